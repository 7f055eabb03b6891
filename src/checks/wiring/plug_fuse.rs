//! Whether the fuse stated in the plug can be there.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, PlugFuse};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::standard::{self, plug::plug_rows};

pub(super) const CHECK: Check = Check {
    id: CheckId::PlugFuse,
    judges: &[],
    about: About {
        looks_at: "Whether the fuse stated in the plug can be there, and whether it protects the cord.",
        limit: "The kinds of plug that hold a fuse, and the largest rating made for each (table of plugs); by the area of the cord: {cords.plug_fuse_by_cord area_mm2 fuse_a}.",
        rows: &["plugs.plug_rows"],
        how: "Compares plug-fuse with the row of the plug and with the row of the cord.",
        mend: "Take plug-fuse out and put a fuse into the jig, or use a plug that holds one; the fuse that is made for the cord.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let s = &case.jig.supply;
    let (Some(_), Some(amperes), Some(plug)) = (&s.mains, s.plug_fuse, &s.plug) else { return };
    let Some(row) = plug_rows().iter().find(|r| r.id == plug.row) else { return };
    let draft = || case.about_key(CheckId::PlugFuse, Signal::Warning, "supply.plug-fuse");
    let letter = plug.letter.clone();
    if row.plug_fuse == "no" {
        let said = PlugFuse::HoldsNone { plug: letter };
        out.push(draft().source(&plug.source).states(Said::PlugFuse(said)));
        return;
    }
    let most = row.plug_fuse_max_a.or_else(|| row.plug_fuse_preferred_a.as_ref()?.iter().copied().reduce(f64::max));
    if let Some(most) = most.filter(|m| amperes > *m) {
        let draft = draft().value(Compared::PlugFuse, amperes, "A").limit(most, &plug.source);
        out.push(draft.states(Said::PlugFuse(PlugFuse::NotMade { amperes, most, plug: letter })));
        return;
    }
    let Some(area) = s.cord.as_ref().and_then(|c| c.area) else { return };
    let Some(most) = standard::cord::plug_fuse_for(area).filter(|_| plug.fused) else { return };
    if amperes > most.value * (1.0 + 1e-6) {
        let said =
            PlugFuse::Cord { area: Amount::new(area, "m²"), fuse: Amount::new(amperes, "A"), most: (&most).into() };
        let draft = draft().value(Compared::PlugFuse, amperes, "A").limit(most.value, &most.source);
        out.push(draft.states(Said::PlugFuse(said)));
    }
}

//! Whether the fuse stated in the plug can be there.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::PlugFuse;
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::standard::plug::plug_rows;

pub(super) const CHECK: Check = Check {
    id: CheckId::PlugFuse,
    judges: &[],
    about: About {
        looks_at: "Whether the fuse stated in the plug can be there.",
        limit: "The kinds of plug that hold a fuse, and the largest rating made for each (table of plugs).",
        rows: &["plugs.plug_rows"],
        how: "Compares plug-fuse with the row of the plug.",
        mend: "Take plug-fuse out and put a fuse into the jig, or use a plug that holds one.",
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
    }
}

//! What a bought module has to deliver in normal use.

use super::lookup::{KINDS, graded, item_name, lasting, rated, taken_back};
use super::overload;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::PsuRating;
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::{Psu, Role};
use crate::standard::bench::psu_input;

pub(super) const CHECK: Check = Check {
    id: CheckId::PsuRating,
    judges: &[of("psu", &["current", "power", "output"], At::LASTING), of("psu", &["input"], &[At::Use])],
    about: About {
        looks_at: "what a bought module has to deliver in normal use, what is driven back into its output, and the volts at its input",
        limit: "its rated current, and no more than its rated watts over its volts; at its input {bench.part_model.psu_input.most_v}, crest or d.c.",
        rows: &["jig"],
        how: "the circuit behind it is solved with the module as a stiff source",
        mend: "a larger module, or a smaller load",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let found = overload::in_normal_use(case, |kind| matches!(kind, PartKind::Psu(_)));
    out.extend(found.into_iter().map(|(part, n)| {
        let (draft, current) = overload::carries(case, CheckId::PsuRating, part, &n);
        draft.states(Said::PsuRating(PsuRating::Gives(current)))
    }));
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Psu(psu) = &part.kind else { continue };
        match item.role {
            Role::Output => out.extend(backwards(case, k, part, psu)),
            Role::Input => out.extend(input(case, k, part)),
            Role::Whole | Role::Contact | Role::Arm | Role::Primary | Role::Secondary => {}
        }
    }
}

/// A current into the output of a module, above what it gives: it has nowhere to put it.
fn backwards(case: &Case, k: usize, part: &Part, psu: &Psu) -> Option<Draft> {
    let limit = rated(psu.rated_amperes()?, "A");
    let s = KINDS.into_iter().find_map(|kind| taken_back(case, k, kind).filter(|s| s.value > limit.value))?;
    let said = PsuRating::Backwards {
        item: item_name(case, k).to_string(),
        under: s.under(),
        current: s.amount(),
        limit: (&limit).into(),
    };
    let draft = case.about_part(CheckId::PsuRating, graded(Signal::Warning, s.kind), part, "output");
    Some(draft.over(Compared::CurrentMean, &s, &limit).states(Said::PsuRating(said)))
}

/// More volts at the input of a module than any for the mains is made for.
fn input(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let limit = psu_input();
    let s = lasting(case, k, Quantity::VoltagePeak, Situation::Normal);
    let s = s.filter(|s| s.value > limit.value * (1.0 + 1e-2))?;
    let said = PsuRating::Input { part: part.name.clone(), volts: s.amount(), limit: (&limit).into() };
    let draft = case.about_part(CheckId::PsuRating, Signal::Warning, part, "input");
    Some(draft.over(Compared::VoltsPeak, &s, &limit).states(Said::PsuRating(said)))
}

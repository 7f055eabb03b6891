//! The heat of the box, as the checks of its air and of its outside see it.

use super::lookup::unended;
use super::propose;
use super::smoulder::fuse_in_its_path;
use crate::checks::{Case, Draft, Proposal};
use crate::finding::said::HeatAsks;
use crate::finding::{Ordinal, Quantity, Signal, Situation};
use crate::standard::bench;
use crate::standard::shell::Shell;
use crate::survey::heat::lamp_anywhere;
use crate::survey::records::{Hot, Worst};

/// A box with so many watts in it.
pub(super) struct Heated {
    /// The box.
    pub(super) shell: Shell,
    /// The watts.
    pub(super) watts: f64,
    /// The part that gives most of them.
    pub(super) part: Option<usize>,
    /// The condition; `None` for normal use.
    pub(super) at: Option<Ordinal>,
    /// The part of the final warming that is reached before a device opens: 1 where none does.
    pub(super) share: f64,
    /// What the file leaves open that decides.
    pub(super) asks: Vec<HeatAsks>,
}

/// The box in normal use, as far as the file says what is in it.
pub(super) fn normal(case: &Case) -> Option<Heated> {
    let shell = case.shell(false)?;
    let part = case.survey.ledger.lasting.heat[Situation::Normal].get().and_then(|h| h.part);
    Some(Heated { shell, watts: case.watts(Situation::Normal), part, at: None, share: 1.0, asks: vec![] })
}

/// The box in normal use at its worst: lamps whose place is not stated stand in it, and metal of unstated finish is bare.
/// `None` where the file leaves nothing open.
pub(super) fn at_worst(case: &Case) -> Option<Heated> {
    let (stated, shell) = (case.shell(false)?, case.shell(case.jig.enclosure.painted.is_none())?);
    let with_lamps = case.survey.ledger.lasting.heat_with_lamps[Situation::Normal].get().map_or(0.0, |w| w.value);
    let lamps = case.jig.parts.iter().filter(|p| lamp_anywhere(&p.kind));
    let mut asks: Vec<HeatAsks> = lamps.map(|p| HeatAsks::Place(p.name.clone())).collect();
    if shell != stated {
        asks.push(HeatAsks::Finish);
    }
    (!asks.is_empty()).then_some(Heated { shell, watts: with_lamps, part: None, at: None, share: 1.0, asks })
}

/// The box with the one fault that heats it most, of those that `hot` finds too hot, and how grave that is: where no fuse
/// opens in the end, else where one does some time, or only after a long one.
pub(super) fn after_fault(case: &Case, hot: impl Fn(&Heated) -> bool) -> Option<(Heated, Signal)> {
    let lasting = &case.survey.ledger.lasting;
    let shell = case.shell(false)?;
    let heated = |h: &Hot| {
        let Worst { value, at } = h.worst;
        Heated { shell, watts: value, part: h.part, at: Some(at), share: h.share, asks: vec![] }
    };
    let unended = lasting.heat_unended.get().map(heated).filter(&hot).map(|h| (h, Signal::Warning));
    let late = [&lasting.heat[Situation::SingleFault], &lasting.slow.heat];
    let late = late.into_iter().find_map(|heat| heat.get().map(heated).filter(&hot));
    unended.or(late.map(|h| (h, Signal::Caution)))
}

impl Heated {
    /// °C of the air inside.
    pub(super) fn inside(&self) -> f64 {
        bench::ambient().value + self.share * self.shell.inside_rise(self.watts).value
    }

    /// °C of the outer surface.
    pub(super) fn surface(&self) -> f64 {
        bench::ambient().value + self.share * self.shell.surface_rise(self.watts).value
    }

    /// Kelvins that its watts may come to in the end so that a temperature is not passed.
    pub(super) fn up_to(&self, limit: f64) -> f64 {
        (limit - bench::ambient().value).max(0.0) / self.share
    }
}

/// The part that heats the box most, and those that are asked about.
pub(super) fn parts_named(case: &Case, draft: Draft, heated: &Heated) -> Draft {
    let draft = match heated.part {
        Some(part) => draft.part(&case.jig.parts[part].name),
        None => draft,
    };
    heated.asks.iter().fold(draft, |draft, ask| match ask {
        HeatAsks::Place(part) => draft.part(part),
        HeatAsks::Finish => draft,
    })
}

/// Smaller fuses in the path of the part that a fault makes so hot, where one there is too large to see it.
pub(super) fn smaller_fuses(case: &Case, h: &Heated) -> Vec<Proposal> {
    let Some(part) = h.part.filter(|_| h.at.is_some()) else { return vec![] };
    let Some((fuse, _)) = fuse_in_its_path(case, &case.jig.parts[part]) else { return vec![] };
    let item = case.items_of(part).next();
    let seen = item.and_then(|item| unended(case, item, Quantity::CurrentRms));
    seen.map(|seen| propose::fuses_opening_at(case, &fuse, seen.value)).unwrap_or_default()
}

//! Findings whose change takes others away: what they bring is told under them.

use super::said::{
    Bypassed, DeadShort, InsulationMissing, InsulationTooWeak, LivePins, OpensInUse, SmoulderCure, WeakBarrier,
};
use super::{Finding, Harm, Said, Signal};

/// What brings others, by what it is known by.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cause {
    /// The secondary of a transformer is joined to the mains.
    Joined(String),
    /// A transformer is all that keeps the mains off, and its insulation is not good for that.
    Weak(String),
    /// No fuse in the path of the mains.
    Unfused,
}

/// The causes among findings.
pub(super) struct Causes<'a> {
    joined: Vec<(&'a str, &'a [String])>,
    weak: Vec<(&'a str, &'a str)>,
    unfused: bool,
    /// Faults in which a part takes too much and no fuse is in its path.
    unfused_faults: Vec<&'a str>,
}

impl<'a> Causes<'a> {
    pub(super) fn of(findings: &'a [Finding]) -> Causes<'a> {
        let mut out = Causes { joined: vec![], weak: vec![], unfused: false, unfused_faults: vec![] };
        for f in findings {
            if let Said::Bypassed(Bypassed::Windings { part, feeds, .. }) = &f.said {
                out.joined.push((part, feeds));
            }
            out.weak.extend(weak(f).map(|w| (w.part.as_str(), w.touchable.as_str())));
            out.unfused |= matches!(f.said, Said::NoFuse(_));
            out.unfused_faults.extend(without_fuse(f).and_then(fault));
        }
        out
    }

    /// The cause that a finding is, or is brought by.
    pub(super) fn cause(&self, f: &Finding) -> Option<Cause> {
        match &f.said {
            Said::Bypassed(Bypassed::Windings { part, .. }) => return Some(Cause::Joined(part.clone())),
            Said::NoFuse(_) => return Some(Cause::Unfused),
            Said::Smoulder(_) | Said::BoxTemperature(_) | Said::HotSurface(_) if self.unfused => {
                return fault(f).filter(|at| self.unfused_faults.contains(at)).map(|_| Cause::Unfused);
            }
            Said::TouchCurrent(_)
            | Said::TouchVoltage(_)
            | Said::OutletShock(_)
            | Said::LivePins(LivePins::Metal { .. }) => {}
            _ => return weak(f).map(|w| Cause::Weak(w.part.clone())),
        }
        let outlet = if let Said::OutletShock(o) = &f.said { Some(o.outlet()) } else { None };
        let touched = || f.touchables.iter().map(String::as_str).chain(outlet);
        let hangs_on = |feeds: &[String]| touched().all(|t| feeds.iter().any(|fed| fed == t));
        if let Some((part, _)) = self.joined.iter().find(|(_, feeds)| hangs_on(feeds)) {
            return Some(Cause::Joined((*part).into()));
        }
        if f.harm() == Harm::AtOnce && outlet.is_none() {
            return None;
        }
        let breaks = |part: &str| fault(f).is_some_and(|at| at.contains(part));
        let weak = self.weak.iter().find(|(part, t)| match outlet {
            Some(_) => breaks(part),
            None => f.touchables.iter().all(|of| of == t),
        });
        weak.map(|(part, _)| Cause::Weak((*part).into()))
    }
}

/// Whether the jig cannot work before this is seen to: whatever else is found in it was found in something else than was
/// meant.
pub(crate) fn stops_it(f: &Finding) -> bool {
    let short = match &f.said {
        Said::OpensInUse(OpensInUse { short, .. }) => *short,
        Said::DeadShort(DeadShort::Poles { .. }) => true,
        _ => false,
    };
    short && f.signal <= Signal::Warning
}

fn weak(f: &Finding) -> Option<&WeakBarrier> {
    match &f.said {
        Said::InsulationMissing(InsulationMissing::Barrier(w))
        | Said::InsulationTooWeak(InsulationTooWeak::Barrier(w)) => Some(w),
        _ => None,
    }
}

fn without_fuse(f: &Finding) -> Option<&Finding> {
    let Said::Smoulder(s) = &f.said else { return None };
    matches!(s.cure, SmoulderCure::FuseAt { .. }).then_some(f)
}

fn fault(f: &Finding) -> Option<&str> {
    f.situation.as_ref().and_then(|s| s.faults.first()).map(String::as_str)
}

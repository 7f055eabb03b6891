//! The first power-up, from the numbers of this tool: behind which lamp, what the lamp shows, what a meter reads, what gets warm.
//! Every number comes from the solved circuit with the lamp in it.

mod behind;

use super::Setting;
use super::point::{self, Point};
use crate::jig::{Jig, LoadKind};
use crate::standard::{Level, meter};
use crate::survey::build;
use crate::survey::condition::{Condition, Moment};
use crate::survey::settings::{orientations, switch_parts};
use behind::Behind;

/// Why the first power-up is not offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NotOffered {
    /// The check finds something that stops.
    Stops,
    /// The check is not complete.
    Incomplete,
    /// The dead test reads otherwise than it must.
    Differs,
    /// The tool never hangs on the mains.
    NoMains,
    /// The circuit behind the lamp could not be solved.
    NotSolved,
}

/// How bright a lamp is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Light {
    /// No light by day.
    Dark,
    /// A glow.
    Glows,
    /// Lit.
    Lit,
}

/// Volts that a meter of 10 MΩ shows, from the lowest to the highest mains.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Volts {
    /// Red lead, black lead.
    pub between: [Point; 2],
    /// A.c. range, true r.m.s.
    pub true_rms: [f64; 2],
    /// A.c. range, average-responding.
    pub average: [f64; 2],
    /// D.c. range.
    pub dc: [f64; 2],
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Step {
    /// Through a residual-current device of at most so many amperes, and through the lamp.
    Arrange { residual: f64, lamp: [f64; 2] },
    /// Nobody touches it; the plug goes in and the switches stand so. The lamp, for so many seconds.
    PlugIn {
        setting: Setting,
        light: Light,
        /// Share of the lamp's volts that stands across it.
        share: f64,
        /// Volts r.m.s. left for the tool, and whether it works at them.
        left: f64,
        works: bool,
        seconds: f64,
        /// Faults that light the lamp.
        lit_by: Vec<String>,
        /// Faults that do not, of those that bridge something.
        dark_by: Vec<String>,
    },
    /// A meter on insulated clips, put on while the tool is unplugged.
    Read(Vec<Volts>),
    /// Unplugged, without the lamp, plugged in once more: watched for so many seconds.
    WithoutLamp { seconds: f64 },
    /// Unplugged and discharged after so many seconds: what to feel, and watts in it; what holds a charge.
    Feel { seconds: f64, parts: Vec<(String, f64)>, charged: Vec<String> },
}

/// The first power-up.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FirstPower {
    /// In their order.
    pub steps: Vec<Step>,
}

/// The steps for a jig whose check found nothing that stops.
///
/// # Errors
/// Why there are none.
pub(crate) fn first_power(jig: &Jig) -> Result<FirstPower, NotOffered> {
    let mains = jig.supply.mains.as_ref().ok_or(NotOffered::NoMains)?;
    let model = build::build(jig);
    let condition = everything_on(jig);
    let behind = Behind { jig, model: &model, condition: &condition };
    let number = |id, key| meter::power(id, key).value;
    let mut chosen = None;
    for lamp in meter::series_lamps(mains.nominal) {
        let solved = behind.solve(lamp, &[]).ok_or(NotOffered::NotSolved)?;
        let works = solved.left >= number("works", "least_fraction") * mains.nominal && solved.light == Light::Dark;
        chosen = Some((lamp, solved, works));
        if works {
            break;
        }
    }
    let (lamp, solved, works) = chosen.ok_or(NotOffered::NotSolved)?;
    let (lit_by, dark_by) = behind.lighting(lamp);
    let plug_in = Step::PlugIn {
        setting: point::named(jig, &condition.switches),
        light: solved.light,
        share: solved.share,
        left: solved.left,
        works,
        seconds: number("watch", "lamp_s"),
        lit_by,
        dark_by,
    };
    let mut steps =
        vec![Step::Arrange { residual: number("residual", "residual_ma"), lamp: [lamp.0, lamp.1] }, plug_in];
    let volts = behind.volts(lamp);
    if !volts.is_empty() {
        steps.push(Step::Read(volts));
    }
    steps.push(Step::WithoutLamp { seconds: number("watch", "smell_s") });
    let (parts, charged) = behind.warm().ok_or(NotOffered::NotSolved)?;
    steps.push(Step::Feel { seconds: number("watch", "warm_s"), parts, charged });
    Ok(FirstPower { steps })
}

/// Everything switched on, nothing plugged in where that can be.
fn everything_on(jig: &Jig) -> Condition {
    let open = |o: &crate::jig::Outlet| o.loads.iter().position(|l| l.kind == LoadKind::Open).unwrap_or(0);
    Condition {
        level: Level::Nominal,
        orientation: orientations(jig)[0],
        switches: vec![0; switch_parts(jig).len()],
        loads: jig.outlets.iter().map(open).collect(),
        faults: vec![],
        corner: vec![],
        moment: Moment::Steady,
    }
}

//! The six quantities of an item, from what a solution says of its branches.

use crate::circuit::Quantities;
use crate::finding::{PerQuantity, Quantity};

use super::model::{Item, Measure};
use crate::part::Role;

/// The six quantities of an item.
pub(crate) fn measured(item: &Item, q: &[Quantities]) -> PerQuantity<f64> {
    let mean = |x: &Quantities| (2.0 * x.i_forward_mean - x.i_mean).abs();
    match &item.measure {
        Measure::Branch(b) => {
            let x = &q[*b];
            row(x.power, [x.v_rms, x.v_peak()], [x.i_rms, mean(x), x.i_peak()])
        }
        Measure::Series(branches, meter) => {
            let (x, v) = (&q[branches[0]], &q[*meter]);
            let power = branches.iter().map(|b| q[*b].power).sum();
            row(power, [v.v_rms, v.v_peak()], [x.i_rms, mean(x), x.i_peak()])
        }
        Measure::Bridge(arms) => {
            // Volts: what the worst arm stands. Current: what leaves at plus; the two upper arms take turns.
            let a = arms.map(|b| q[b]);
            let most = |f: fn(&Quantities) -> f64| a.iter().map(f).fold(0.0, f64::max);
            row(
                a.iter().map(|x| x.power).sum(),
                [most(|x| x.v_rms), most(|x| x.v_peak())],
                [a[0].i_rms.hypot(a[1].i_rms), mean(&a[0]) + mean(&a[1]), most(|x| x.i_peak())],
            )
        }
    }
}

/// Power; volts r.m.s. and peak; amperes r.m.s., mean and peak.
fn row(power: f64, [v_rms, v_peak]: [f64; 2], [i_rms, i_mean, i_peak]: [f64; 3]) -> PerQuantity<f64> {
    PerQuantity::from_fn(|q| match q {
        Quantity::Power => power,
        Quantity::VoltageRms => v_rms,
        Quantity::VoltagePeak => v_peak,
        Quantity::CurrentRms => i_rms,
        Quantity::CurrentMean => i_mean,
        Quantity::CurrentPeak => i_peak,
    })
}

/// How far the first end of an item gets below its second, volts.
pub(crate) fn backwards(item: &Item, q: &[Quantities]) -> f64 {
    let least = match &item.measure {
        Measure::Branch(b) => q[*b].v_min,
        Measure::Series(_, meter) => q[*meter].v_min,
        Measure::Bridge(arms) => arms.iter().map(|b| q[*b].v_min).fold(0.0, f64::min),
    };
    (-least).max(0.0)
}

/// The branch across an item's ends, where one measures them.
fn across(item: &Item) -> Option<usize> {
    match &item.measure {
        Measure::Branch(b) | Measure::Series(_, b) => Some(*b),
        Measure::Bridge(_) => None,
    }
}

/// The lesser of the crests to both sides of zero, volts: 0 for what only ever stands one way round.
pub(crate) fn swing(item: &Item, q: &[Quantities]) -> f64 {
    across(item).map_or(0.0, |b| q[b].v_max.min(-q[b].v_min).max(0.0))
}

/// The alternating part of an item's volts, r.m.s.
pub(crate) fn alternating(item: &Item, q: &[Quantities]) -> f64 {
    across(item).map_or(0.0, |b| (q[b].v_rms.powi(2) - q[b].v_mean.powi(2)).max(0.0).sqrt())
}

/// The mean of an item's volts, either way.
pub(crate) fn direct(item: &Item, q: &[Quantities]) -> f64 {
    across(item).map_or(0.0, |b| q[b].v_mean.abs())
}

/// The least amperes of a current that never comes to zero, either way; 0 for one that does.
pub(crate) fn unbroken(item: &Item, q: &[Quantities]) -> f64 {
    match &item.measure {
        Measure::Branch(b) => q[*b].i_min.max(-q[*b].i_max).max(0.0),
        Measure::Series(branches, _) => branches.first().map_or(0.0, |b| q[*b].i_min.max(-q[*b].i_max).max(0.0)),
        Measure::Bridge(_) => 0.0,
    }
}

/// Mean amperes into the output of a module, which is made to give them.
pub(crate) fn taken_back(item: &Item, q: &[Quantities]) -> f64 {
    match (item.role, &item.measure) {
        (Role::Output, Measure::Branch(b)) => q[*b].i_mean.max(0.0),
        _ => 0.0,
    }
}

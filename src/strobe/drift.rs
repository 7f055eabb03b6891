//! What a ring that drifts means, and what a wanted speed would show.

use super::read::{Counted, wrong};
use super::ring::still;
use crate::finding::strobe::{Drift, DriftOn, Neighbour, SeenAt, StrobeRing, Way};
use crate::jig::InputError;
use crate::standard::strobe::{counted, seen};

/// Seconds of a minute.
pub(crate) const MINUTE: f64 = 60.0;
/// Per cent of the whole.
const PER_CENT: f64 = 100.0;

/// Bars a minute, at a share of the speed above that at which a ring stands still that moves on by `whole` bars a flash.
pub(crate) fn per_minute(share: f64, flashes: f64, whole: f64) -> f64 {
    share * whole * MINUTE * flashes
}

/// What a count means under so many flashes a second on these rings; `mains` is the share by which the mains wanders.
///
/// # Errors
/// More bars than can be counted.
pub(super) fn drift(
    count: &Counted,
    flashes: f64,
    rings: &[StrobeRing],
    mains: Option<f64>,
) -> Result<Drift, InputError> {
    let pace = count.bars / count.seconds;
    let most = counted();
    if pace > most.value {
        let message = format!("{pace:.1} bars a second are more than an eye counts ({} at most)", most.value);
        return Err(wrong("--drift", message, "look at a ring of a few bars more or fewer that drifts less"));
    }
    let sign = match count.way {
        Way::Forward => 1.0,
        Way::Backward => -1.0,
        Way::Still => 0.0,
    };
    let whole = rings.iter().find(|r| r.stated).map_or(1.0, |r| f64::from(r.bars_per_flash));
    let share = |bars_a_second: f64, whole: f64| bars_a_second / (whole * flashes);
    // Half a bar at either end of the count, and the watch.
    let bars = seen("counting", "bars_fraction").value / count.seconds;
    let watch = pace * seen("counting", "time_s").value / count.seconds;
    let unsure = share(bars + watch, whole);
    let on = |r: &StrobeRing| {
        let whole = f64::from(r.bars_per_flash);
        let turns = r.still_at_rpm * (1.0 + sign * share(pace, whole));
        DriftOn {
            rpm: r.rpm,
            label: r.label.clone(),
            bars: r.bars,
            turns_at_rpm: turns,
            uncertainty_rpm: r.still_at_rpm * share(bars + watch, whole),
            off_percent: PER_CENT * (turns / r.rpm - 1.0),
        }
    };
    Ok(Drift {
        bars: count.bars,
        seconds: count.seconds,
        direction: count.way,
        bars_per_minute: sign * pace * MINUTE,
        percent: PER_CENT * sign * share(pace, whole),
        uncertainty_percent: PER_CENT * unsure,
        mains_percent: mains.map(|m| PER_CENT * m),
        speeds: rings.iter().map(on).collect(),
    })
}

/// What one should see at a wanted speed: on the ring that is nearest to it.
pub(super) fn seen_at(rpm: f64, flashes: f64, rings: &[StrobeRing]) -> Option<SeenAt> {
    let apart = |r: &&StrobeRing| (rpm / r.still_at_rpm).ln().abs();
    let ring = rings.iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    let share = rpm / ring.still_at_rpm - 1.0;
    let per_minute = per_minute(share, flashes, f64::from(ring.bars_per_flash));
    let whole = f64::from(ring.bars_per_flash);
    let nearest = (still(1.0, flashes, whole) / rpm).round().max(1.0);
    let at = still(nearest, flashes, whole);
    // What no meter tells from nothing is nothing.
    let nothing = share.abs() < 1e-9;
    Some(SeenAt {
        rpm,
        ring_rpm: ring.rpm,
        label: ring.label.clone(),
        bars: ring.bars,
        percent: if nothing { 0.0 } else { PER_CENT * share },
        bars_per_minute: if nothing { 0.0 } else { per_minute },
        direction: match share {
            _ if nothing => Way::Still,
            s if s > 0.0 => Way::Forward,
            _ => Way::Backward,
        },
        still: Neighbour { bars: nearest as u32, percent: PER_CENT * (at / rpm - 1.0), still_at_rpm: at },
    })
}

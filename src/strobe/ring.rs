//! A ring of bars under a flashing lamp: when it stands still. Arithmetic alone.

use super::MINUTE;

/// What a ring shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ring {
    /// Bars that go by between two flashes.
    pub advance: f64,
    /// The same at the speed at which it stands still next to its own: a whole number, at least 1.
    pub whole: f64,
    /// That speed, turns a minute.
    pub still: f64,
    /// How far it is off the ring's own speed, as a share of it.
    pub off: f64,
    /// Bars of the ring that moves on by one bar a flash.
    pub best: f64,
}

/// A ring of so many bars, made for so many turns a minute, under so many flashes a second. All three above zero.
pub(crate) fn ring(bars: f64, rpm: f64, flashes: f64) -> Ring {
    let advance = rpm * bars / (MINUTE * flashes);
    let whole = advance.round().max(1.0);
    let still = whole * MINUTE * flashes / bars;
    Ring { advance, whole, still, off: (still - rpm) / rpm, best: best(rpm, flashes) }
}

/// Bars of the ring that moves on by one bar a flash and stands still nearest to a speed.
fn best(rpm: f64, flashes: f64) -> f64 {
    let exact = MINUTE * flashes / rpm;
    let apart = |bars: f64| if bars > 0.0 { (exact / bars - 1.0).abs() } else { f64::INFINITY };
    let (fewer, more) = (exact.floor(), exact.ceil());
    // Of a single bar even half of one is the nearest there is.
    if exact < 1.0 {
        exact.round()
    } else if apart(fewer) <= apart(more) {
        fewer
    } else {
        more
    }
}

/// How far a bar, half a pitch wide, moves while a lamp is lit for so many seconds, in widths of a bar.
pub(crate) fn smear(bars: f64, rpm: f64, lit: f64) -> f64 {
    2.0 * lit * rpm * bars / MINUTE
}

/// Speed at which a ring stands still that moves on by so many bars a flash, turns a minute.
pub(crate) fn still(bars: f64, flashes: f64, whole: f64) -> f64 {
    whole * MINUTE * flashes / bars
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-9, "{a} is not {b}");
    }

    #[test]
    fn a_ring_for_33_turns_on_both_half_waves_of_50_hz_has_180_bars() {
        // 100 flashes a second, 33 1/3 turns a minute: 6000 / 33.33 = 180.
        let found = ring(180.0, 100.0 / 3.0, 100.0);
        close(found.advance, 1.0);
        close(found.still, 100.0 / 3.0);
        close(found.off, 0.0);
        close(found.best, 180.0);
    }

    #[test]
    fn on_one_half_wave_alone_it_moves_two_bars_a_flash() {
        let found = ring(180.0, 100.0 / 3.0, 50.0);
        close(found.whole, 2.0);
        close(found.still, 100.0 / 3.0);
        close(found.best, 90.0);
    }

    #[test]
    fn a_ring_for_45_turns_has_no_whole_number_of_bars_at_50_hz() {
        // 6000 / 45 = 133.33: the ring of 133 stands still at 6000 / 133 turns a minute.
        let found = ring(133.0, 45.0, 100.0);
        close(found.still, 6000.0 / 133.0);
        close(found.off, 6000.0 / 133.0 / 45.0 - 1.0);
        close(found.best, 133.0);
    }

    #[test]
    fn a_ring_that_is_too_coarse_stands_still_far_off_its_speed() {
        // 20 bars at 10 turns a minute move a thirtieth of a bar a flash; it stands still at one bar a flash only.
        let found = ring(20.0, 10.0, 100.0);
        close(found.whole, 1.0);
        close(found.still, 300.0);
        close(found.off, 29.0);
    }
}

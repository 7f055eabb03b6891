//! What to mind when a lamp is used as a strobe: facts with their signal words and sources; `wording` makes sentences of them.

use crate::finding::Signal;
use crate::finding::strobe::{NoFlash, Pace, Strobe, StrobeWarning};
use crate::standard::flash::{hazard, main_band, widest_band};
use crate::standard::strobe::{Wandering, seen, wanders};
use crate::standard::{Limit, Row};
use crate::wording::strobe::{self as words, Minded};

/// Rounding of a rate at the end of a band.
const AT_THE_END: f64 = 1e-6;

/// What to mind of a lamp, the gravest first.
pub(super) fn warnings(s: &Strobe) -> Vec<StrobeWarning> {
    let mut out = vec![];
    let mut mind = |signal, what: Minded, source: &str| {
        out.push(StrobeWarning { signal, text: words::minded(&what), source: source.to_string() });
    };
    if let Some(rate) = s.flashes_per_second {
        let (signal, [from, to]) = harmful(rate);
        let band = [from.value, to.value];
        let what =
            if signal == Signal::Notice { Minded::AboveBand { rate, band } } else { Minded::InBand { rate, band } };
        mind(signal, what, &to.source);
        mind(Signal::Notice, Minded::SeemsStill, &cite("rotating_parts_seem_still"));
    }
    if let Some(light) = &s.light {
        let own = light.pace == Pace::Own;
        if own {
            mind(Signal::Notice, Minded::OwnPace, "arithmetic");
        }
        if light.uneven > seen("uneven", "share_fraction").value {
            mind(Signal::Notice, Minded::Uneven { share: light.uneven }, &seen("uneven", "share_fraction").source);
        }
        if !own && light.flashes_at_low_and_high[0] != s.flashes_per_second {
            mind(Signal::Notice, Minded::NotOnLow, "the circuit as solved");
        }
        let contrast = s.rings.iter().filter(|r| !r.stated).find_map(|r| r.contrast);
        if let Some(left) = contrast.filter(|c| *c < seen("sharp_contrast", "contrast_fraction").value) {
            mind(Signal::Notice, Minded::Blurred { left }, &seen("sharp_contrast", "contrast_fraction").source);
        }
    }
    if s.flashes_per_second.is_some() {
        let generator = wanders("", 0.0).into_iter().find(|w| w.sort == Wandering::Generator);
        if let Some(g) = generator {
            mind(Signal::Notice, Minded::Wanders { share: g.share }, &g.source);
        }
    }
    if s.light.is_none() && !matches!(s.dark, Some(NoFlash::Unsolved { .. })) {
        mind(Signal::Notice, Minded::Smoothed, &cite("lamp_pulses"));
    }
    out.sort_by_key(|w| w.signal);
    out
}

/// How flashes of a rate harm, and the band that says so.
fn harmful(rate: f64) -> (Signal, [Limit; 2]) {
    let inside =
        |(from, to): &(Limit, Limit)| rate >= from.value * (1.0 - AT_THE_END) && rate <= to.value * (1.0 + AT_THE_END);
    let (main, wide) = (main_band(), widest_band());
    let signal = match (inside(&main), inside(&wide)) {
        (true, _) => Signal::Warning,
        (false, true) => Signal::Caution,
        (false, false) => Signal::Notice,
    };
    let (from, to) = if signal == Signal::Warning { main } else { wide };
    (signal, [from, to])
}

fn cite(id: &str) -> String {
    hazard().iter().find(|r| r.id() == id).map(Row::cite).unwrap_or_default()
}

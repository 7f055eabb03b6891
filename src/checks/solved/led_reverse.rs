//! Volts backwards across the LEDs of a string.

use super::lookup::{rated, reverse, seen};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{Amount, Backwards, LedReverse};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Led;
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::LedReverse,
    judges: &[of("led", &["reverse"], &[At::Use, At::Emptying])],
    about: About {
        looks_at: "volts backwards across every LED of a string",
        limit: "the LED's reverse volts, {lamps.led_fact.reverse_max.reverse_max_v} where none are stated",
        rows: &["jig"],
        how: "largest reverse volts over a mains cycle, divided by the LEDs of the string",
        mend: "put a diode (or a second LED) the other way round across the LED, or a bridge in front of it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Led(Led { series, reverse, .. }) = &part.kind {
            backwards(case, k, part, f64::from((*series).max(1)), *reverse, out);
        }
    }
}

fn backwards(case: &Case, k: usize, part: &Part, series: f64, back: Option<f64>, out: &mut Vec<Draft>) {
    let each = back.map_or_else(standard::lamp::led_reverse, |v| rated(v, "V"));
    // A charged thing put on the wrong way round is over soon, but an LED breaks down at once.
    let put_on = case.survey.ledger.lasting.put_on[k][Situation::Normal]
        .reverse
        .copied()
        .map(|w| seen(w, "V", Situation::Normal));
    let cyclic = reverse(case, k, Situation::Normal).map(|s| (s, Backwards::HalfCycles));
    let put_on = put_on.map(|s| (s, Backwards::Emptying));
    let found = [cyclic, put_on].into_iter().flatten();
    let Some((s, when)) = found.max_by(|a, b| a.0.value.total_cmp(&b.0.value)) else { return };
    if s.value <= each.value * series {
        return;
    }
    let s = Seen { value: s.value / series, ..s };
    out.push(
        case.about_part(CheckId::LedReverse, Signal::Notice, part, "reverse")
            .over(Compared::ReverseVoltsOfOneLed, &s, &each)
            .states(Said::LedReverse(LedReverse {
                part: part.name.clone(),
                volts: s.amount(),
                limit: Amount::new(each.value, "V"),
                when,
            }))
            .proposes(propose::against_reverse(case, part)),
    );
}

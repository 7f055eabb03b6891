//! Mean and peak current of LEDs.

use super::limiting;
use super::lookup::{lasting, rated, seen};
use super::propose;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LedCurrent, Percent};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Led;
use crate::standard::Limit;

pub(super) const CHECK: Check = Check {
    id: CheckId::LedCurrent,
    about: About {
        looks_at: "mean and peak current of every LED in normal use",
        limit: "current and peak-current of the LED; where none is stated the lowest of ordinary types, {lamps.led.catalogue_green_565nm.current_max_ma} mean",
        rows: &["jig", "lamps.led"],
        how: "mean and peak of the forward current over a mains cycle, highest supply, worst tolerances",
        mend: "raise the series resistance, or lower the series capacitance, to the next preferred value",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Led(Led { current, peak_current, .. }) = &part.kind
            && !limiting::is_bare(case, k)
        {
            led(case, k, part, &limiting::led_mean(*current), *peak_current, out);
        }
    }
}

fn led(case: &Case, k: usize, part: &Part, mean: &Limit, peak: Option<f64>, out: &mut Vec<Draft>) {
    let put_on = case.survey.ledger.lasting.put_on[k][Situation::Normal]
        .amperes
        .copied()
        .map(|w| seen(w, "A", Situation::Normal));
    let worst = |q: Quantity| {
        let brief = put_on.clone().filter(|_| q == Quantity::CurrentPeak);
        [lasting(case, k, q, Situation::Normal), brief].into_iter().flatten().max_by(|a, b| a.value.total_cmp(&b.value))
    };
    let found = [
        (Quantity::CurrentMean, Compared::CurrentMean, Some(mean.clone())),
        (Quantity::CurrentPeak, Compared::CurrentPeak, peak.map(|a| rated(a, "A"))),
    ];
    for (quantity, compared, limit) in found {
        let Some((s, limit)) = worst(quantity).zip(limit).filter(|(s, l)| s.value > l.value) else { continue };
        out.push(
            case.about_part(CheckId::LedCurrent, Signal::Notice, part, "current")
                .over(compared.clone(), &s, &limit)
                .states(Said::LedCurrent(LedCurrent {
                    part: part.name.clone(),
                    quantity: compared,
                    current: s.amount(),
                    limit: Amount::new(limit.value, "A"),
                    cure: Percent::of(s.value / limit.value - 1.0),
                }))
                .proposes(propose::less_current(case, k, s.value / limit.value)),
        );
        return;
    }
}

//! Mean and peak current of LEDs.

use super::limiting;
use super::lookup::{lasting, rated, seen};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LedCurrent, Percent};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Led;
use crate::standard::{self, Limit};
use crate::survey::gravest::Gravest;
use crate::survey::records::Worst;

pub(super) const CHECK: Check = Check {
    id: CheckId::LedCurrent,
    judges: &[
        of("led", &["current"], &[At::Use]),
        of("led", &["peak-current"], &[At::Use, At::SwitchOn, At::Emptying]),
    ],
    about: About {
        looks_at: "mean and peak current of every LED in normal use, and the surge at switch-on, from rest or again after a moment off",
        limit: "current and peak-current of the LED; where none is stated the lowest of ordinary types, {lamps.led.catalogue_green_565nm.current_max_ma} mean, full up to {bench.part_model.led_derating.full_to_c} in the box and none at {bench.part_model.led_derating.none_at_c}. A surge: its peak-current for {bench.rule.led_surge.time_s}, shorter ones by the same I²t",
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
            let rated = limiting::led_mean(*current);
            let share = standard::bench::led_share(case.inside_temperature());
            let mean = Limit { value: rated.value * share, ..rated };
            led(case, k, part, &mean, *peak_current, out);
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
        // In a box that leaves it no current at all less current is no cure.
        let times = s.value / limit.value;
        let cures = if times.is_finite() { propose::less_current(case, k, times) } else { Default::default() };
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
                .proposes(cures),
        );
        return;
    }
    if let Some(limit) = peak {
        out.extend(surge(case, k, part, limit));
    }
}

/// What an LED gets at switch-on, from rest or again, against the peak it stands for so long.
fn surge(case: &Case, k: usize, part: &Part, peak: f64) -> Option<Draft> {
    let lasting = &case.survey.ledger.lasting;
    let carries = peak * peak * standard::bench::led_surge().value;
    let beyond = |peaks: &Gravest<Worst>, i2t: &Gravest<Worst>| {
        let long = i2t.copied().is_some_and(|w| w.value > carries);
        peaks.copied().filter(|w| long && w.value > peak)
    };
    let found = beyond(&lasting.inrush[k], &lasting.inrush_i2t[k])
        .or_else(|| beyond(&lasting.inrush_again[k], &lasting.inrush_again_i2t[k]))?;
    let s = seen(found, "A", Situation::Transient);
    let limit = rated(peak, "A");
    let draft = case.about_part(CheckId::LedCurrent, Signal::Notice, part, "peak-current");
    Some(draft.over(Compared::SurgeAtSwitchOn, &s, &limit).states(Said::LedCurrent(LedCurrent {
        part: part.name.clone(),
        quantity: Compared::SurgeAtSwitchOn,
        current: s.amount(),
        limit: Amount::new(peak, "A"),
        cure: Percent::of(s.value / peak - 1.0),
    })))
}

//! Diodes and bridges: reverse volts, mean current, the surge at switch-on.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::PartKind;
use crate::part::{Bridge, Diode};
use crate::standard::{self, Level, Row};
use crate::survey::model::Measure;

use super::propose;
use super::words::{KINDS, lasting, next_of, rated, reverse, seen, show, to_nominal, when};

pub(super) const CHECK: Check = Check {
    names: &["diode-reverse", "diode-current", "diode-surge"],
    about: &[
        About {
            looks_at: "the largest reverse volts across every diode and every arm of a bridge",
            limit: "its peak reverse rating; the remedy asks for {parts.rectifier_fact.piv_margin.peak_reverse_over_crest_min} times the crest on the mains, which takes up surges",
            rows: &["jig"],
            how: "largest reverse volts over a mains cycle at the highest supply; a capacitor behind one diode doubles them: PIV = 2 · √2 · U",
            mend: "take a diode of the 1N400x row with the next higher rating",
        },
        About {
            looks_at: "the mean current of every diode and bridge in normal use",
            limit: "its rated mean current",
            rows: &["jig"],
            how: "mean of the current over a mains cycle",
            mend: "take a larger rectifier, or lower the load",
        },
        About {
            looks_at: "the first current peak when the tool is switched on at the worst instant",
            limit: "its surge rating (one half cycle)",
            rows: &["jig"],
            how: "the circuit is started at eight angles of the mains with every capacitor empty; the largest peak counts",
            mend: "put a resistor or a thermistor in front that limits the peak: R ≥ √2 · U / I surge",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let mut told: Vec<(usize, &str)> = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let (volts, amperes, surge) = match &part.kind {
            PartKind::Diode(Diode { voltage, current, surge, .. }) => (*voltage, *current, *surge),
            PartKind::Bridge(Bridge { voltage, current, surge, .. }) => (*voltage, *current, *surge),
            _ => continue,
        };
        let whole = matches!(item.measure, Measure::Bridge(_)) || matches!(part.kind, PartKind::Diode(_));
        let mut once = |check: &'static str| {
            let new = !told.contains(&(item.part, check));
            told.push((item.part, check));
            new
        };
        if let Some(v) = volts.filter(|_| whole)
            && let Some(d) = backwards(case, k, v)
            && once("diode-reverse")
        {
            out.push(d);
        }
        if let Some((s, a)) =
            lasting(case, k, Quantity::CurrentMean, Kind::Normal).zip(amperes).filter(|(s, a)| whole && s.value > *a)
            && once("diode-current")
        {
            out.push(
                case.about_part("diode-current", Signal::Warning, part, "current")
                    .over("mean current", &s, &rated(a, "A"))
                    .says(
                        format!(
                            "{} carries {} mean, made for {}: it overheats and mostly fails short",
                            part.name,
                            show(s.value, "A"),
                            show(a, "A")
                        ),
                        format!("use a rectifier of at least {}", show(s.value, "A")),
                    )
                    .proposes(propose::rectifier(case, part)),
            );
        }
        let inrush = case.survey.ledger.lasting.inrush[k].map(|w| seen(case, w, "A", Kind::Transient));
        if let Some((s, a)) = inrush.zip(surge).filter(|(s, a)| s.value > *a)
            && once("diode-surge")
        {
            let crest = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.crest(Level::High));
            let ohms = standard::preferred::nearest_at_least(crest / a, 12).unwrap_or(crest / a);
            out.push(case.about_part("diode-surge", Signal::Warning, part, "surge").over("surge at switch-on", &s, &rated(a, "A")).says(
                    format!("Switched on at the worst instant {} shoots through {}, which stands {} once: it fails, mostly short", show(s.value, "A"), part.name, show(a, "A")),
                    format!("put {} in series (flame-proof, made for pulses), or a thermistor of that cold resistance", show(ohms, "Ω")),
                ).proposes(propose::rectifier(case, part)));
        }
    }
}

fn backwards(case: &Case, k: usize, v: f64) -> Option<Draft> {
    let part = &case.jig.parts[case.survey.model.items[k].part];
    let sizes = || standard::parts::rectifier().iter().map(|r| r.peak_reverse_v);
    for kind in KINDS {
        let Some(s) = reverse(case, k, kind).filter(|s| s.value > v) else { continue };
        let margin = standard::parts::reverse_margin().value;
        let better = next_of(sizes(), margin * s.value * to_nominal(case)).or(next_of(sizes(), s.value));
        let remedy =
            better.map_or("use diodes in series with sharing resistors, or a high-voltage type".to_string(), |b| {
                let name = standard::parts::rectifier().iter().find(|r| r.peak_reverse_v == b).map_or("", |r| r.id());
                format!("use a rectifier for at least {} ({name})", show(b, "V"))
            });
        return Some(
            case.about_part(
                "diode-reverse",
                if kind == Kind::Normal { Signal::Warning } else { Signal::Notice },
                part,
                "voltage",
            )
            .over("peak reverse volts", &s, &rated(v, "V"))
            .says(
                format!(
                    "{} {} stand backwards across {}, made for {}: it breaks down and mostly fails short",
                    when(kind, &s),
                    show(s.value, "V"),
                    part.name,
                    show(v, "V")
                ),
                remedy,
            )
            .proposes(propose::rectifier(case, part)),
        );
    }
    None
}

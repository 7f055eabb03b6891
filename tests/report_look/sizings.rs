//! Artificial sizings of every shape; as invented as the judgements.

use super::{every_signal, only_notice};
use crate::finding::{Candidate, Dissipation, Extra, Sizing};

fn candidate(count: u32, each_ohm: f64) -> Candidate {
    let resistance_ohm = f64::from(count) * each_ohm;
    Candidate {
        resistance_ohm,
        count,
        each_ohm,
        each_power_w: 0.6,
        each_voltage_v: 350.0,
        lamp_current_mean_a: 0.000_39,
        lamp_current_rms_a: 0.000_48,
        lamp_current_peak_a: 0.000_87,
        dissipation_w: Dissipation {
            nominal: 0.069,
            high_supply: 0.091,
            lamp_shorted: Some(0.224),
            one_resistor_shorted: (count > 1).then_some(0.171),
        },
        strike_margin: Some(3.08),
        flashes_per_second: Some(100.0),
        lit_fraction: Some(0.784),
        findings: Vec::new(),
        why: vec!["Two resistors, so that one that shorts leaves the other to hold the current.".into()],
        extras: Vec::new(),
    }
}

/// Three candidates, the first chosen.
pub fn sized() -> Sizing {
    let mut single = candidate(1, 300_000.0);
    single.findings = every_signal().findings;
    single.why = vec!["Costs one resistor less, but its failure leaves the lamp on the bare mains.".into()];
    let mut chosen = candidate(2, 150_000.0);
    chosen.findings = only_notice().findings;
    Sizing {
        task: "a neon lamp A1A on 230 V 50 Hz".into(),
        chosen: Some(0),
        candidates: vec![chosen, candidate(3, 100_000.0), single],
        why: Vec::new(),
    }
}

/// More candidates than stand side by side, with values that only some have.
pub fn sized_many() -> Sizing {
    let mut s = sized();
    s.task = "a string of 4 LEDs on 230 V 50 Hz".into();
    for (n, c) in s.candidates.iter_mut().enumerate() {
        c.strike_margin = None;
        if n != 1 {
            c.extras = vec![
                Extra { key: "capacitance_f", label: "dropper capacitor", value: 330e-9, unit: "F" },
                Extra { key: "bleeder_ohm", label: "bleeder", value: 470e3, unit: "Ω" },
            ];
        }
    }
    let again = s.candidates.clone();
    s.candidates.extend(again);
    s.chosen = Some(4);
    s
}

/// No design will do.
pub fn sized_none() -> Sizing {
    let mut s = sized();
    s.chosen = None;
    s.candidates.drain(..2);
    s.why = vec!["On its lowest voltage of 90 V this supply peaks at 127 V; the worst lamp strikes at 135 V.".into()];
    s
}

/// The chosen design has a DANGER all the same.
pub fn sized_danger() -> Sizing {
    let mut s = sized();
    s.candidates[0].findings = every_signal().findings;
    s
}

/// Every sizing, with the name of its page.
pub fn sizings() -> Vec<(&'static str, Sizing)> {
    let nothing = Sizing { candidates: Vec::new(), ..sized_none() };
    vec![
        ("sized", sized()),
        ("sized-many", sized_many()),
        ("sized-none", sized_none()),
        ("sized-nothing", nothing),
        ("sized-danger", sized_danger()),
    ]
}

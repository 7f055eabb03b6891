//! Rings, iron that saturates, flashers and strays: against the plain implicit stepper and against closed forms.
#![allow(clippy::unwrap_used)]

use super::support::net::Net;
use super::support::stepper::Stepper;
use crate::circuit::{Device, Repeats, Solver, Start, Steady, Until};
use std::f64::consts::{SQRT_2, TAU};

/// Allowed deviation of the solver from the stepper, of the value itself.
const RELATIVE: f64 = 2e-4;

fn steady(net: &Net, scale: f64) -> Steady {
    let s = Solver::new(net.circuit()).unwrap().steady(scale).unwrap();
    assert!(s.residual < 1e-6 && s.stored < 1e-6 && !s.forced, "residual {:e}, stored {:e}", s.residual, s.stored);
    s
}

#[track_caller]
fn near(what: &str, got: f64, expected: f64, relative: f64) {
    assert!((got - expected).abs() <= relative * expected.abs(), "{what}: {got:e} is not {expected:e}");
}

/// r.m.s. current, power and peak volts of these parts over a cycle that starts in the solver's periodic state, by the stepper.
fn against_stepper(net: &Net, scale: f64, parts: &[&str], steps: usize) {
    let (s, period) = (steady(net, scale), 1.0 / net.circuit().hertz);
    assert_eq!(s.repeats, Repeats::Mains { cycles: 1 });
    let mut stepper = Stepper::new(net.circuit(), scale, 0.0, &s.state, period / steps as f64);
    stepper.run(period, None);
    let expected = stepper.quantities();
    for part in parts {
        let (got, by) = (&s.branches[net.index(part)], &expected[net.index(part)]);
        near(&format!("{part} amperes"), got.i_rms, by.i_rms, RELATIVE);
        near(&format!("{part} watts"), got.power, by.power, 2.0 * RELATIVE);
        near(&format!("{part} peak volts"), got.v_peak(), by.v_peak(), 1e-3);
    }
}

/// A diode feeds a load beside a choke and a capacitor that ring at 1 / (2 pi sqrt(LC)) each time it turns off.
fn ringing(henries: f64, farads: f64, ohms: f64) -> Net {
    Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("F1", "L", "a", 0.2)
        .d("D1", "a", "p", 0.7, 0.5, 1e7)
        .r("R1", "p", "0", 10e3)
        .r("R2", "p", "m", ohms)
        .l("L1", "m", "n", henries)
        .c("C1", "n", "0", farads)
}

#[test]
fn what_rings_far_above_the_mains_is_followed() {
    // 5 kHz and 16 kHz, lightly damped: a step of a thirty-second of a cycle sees none of it.
    against_stepper(&ringing(10e-3, 100e-9, 5.0), 1.0, &["F1", "R1", "R2"], 20_000);
    against_stepper(&ringing(1e-3, 100e-9, 2.0), 1.0, &["F1", "R1", "R2"], 60_000);
}

#[test]
fn capacitors_and_inductors_take_no_mean_power() {
    for (henries, farads, ohms) in [(10e-3, 10e-9, 5.0), (3.2e-3, 1e-6, 1.0), (0.1, 1e-6, 20.0)] {
        let net = ringing(henries, farads, ohms);
        let s = steady(&net, 1.0);
        for part in ["C1", "L1"] {
            let q = &s.branches[net.index(part)];
            assert!(q.power.abs() < 1e-6 * q.v_rms * q.i_rms, "{part} takes {:e} W", q.power);
        }
    }
}

#[test]
fn a_crest_between_two_samples_is_found() {
    // A sine through a diode and a divider: its crest, wherever the samples lie.
    for phase in 0..7 {
        let phase = f64::from(phase) * TAU / 32.0 / 4.0 / 7.0;
        let source = Device::Source { dc: 0.0, sine: 230.0 * SQRT_2, phase };
        let net = Net::new(50.0)
            .part("V1", "L", "0", source)
            .r("R1", "L", "a", 10.0)
            .l("L1", "a", "b", 1e-6)
            .d("D1", "b", "p", 0.7, 0.5, 1e7)
            .r("R2", "p", "0", 1e3);
        // The crest of the current: (crest of the mains - knee) over the resistance of the loop, and the diode's leak.
        let amperes = (230.0 * SQRT_2 - 0.7) / 1010.5;
        near("crest", steady(&net, 1.0).branches[net.index("R2")].i_max, amperes, 1e-5);
    }
}

/// A small transformer 230 V to 12 V with a bridge and a reservoir.
fn supply(load: f64) -> Net {
    let turns = 0.065;
    Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("R1", "L", "a", 150.0)
        .l("L1", "a", "0", 21.0)
        .r("Rfe", "a", "0", 40e3)
        .r("R2", "s", "t", 0.7)
        .l("L2", "t", "u", 21.0 * turns * turns)
        .r("hold", "u", "0", 1e6)
        .couple("L1", "L2", 0.992)
        .core(&[("L1", 1.0), ("L2", turns)], 21.0 * 0.992, 0.5, 0.055)
        .bridge("s", "u", "plus", "minus")
        .c("C1", "plus", "minus", 1e-3)
        .r("load", "plus", "minus", load)
}

#[test]
fn iron_that_saturates_agrees_with_the_stepper() {
    // At a tenth over its volts the iron saturates in each half-wave: 253 V over 21 H magnetise with 54 mA crest.
    against_stepper(&supply(40.0), 1.1, &["R1", "Rfe", "R2", "load"], 6000);
    // Far over: amperes.
    let far = steady(&supply(40.0), 1.6);
    assert!(far.branches[1].i_rms > 3.0 * steady(&supply(40.0), 1.0).branches[1].i_rms);
}

#[test]
fn a_half_wave_load_magnetises_the_iron() {
    // One diode instead of a bridge: d.c. in the secondary drives the iron into saturation once a cycle, and the primary
    // takes far more than the load alone would ask for.
    let half = |knee: f64| {
        let net = Net::new(50.0)
            .mains("V1", "L", "0", 230.0)
            .r("R1", "L", "a", 150.0)
            .l("L1", "a", "0", 21.0)
            .r("R2", "s", "t", 0.7)
            .l("L2", "t", "0", 21.0 * 0.065 * 0.065)
            .couple("L1", "L2", 0.992)
            .core(&[("L1", 1.0), ("L2", 0.065)], 21.0 * 0.992, 0.5, knee)
            .d("D1", "s", "p", 0.7, 0.5, 1e7)
            .r("load", "p", "0", 15.0);
        against_stepper(&net, 1.0, &["R1", "load"], 8000);
        steady(&net, 1.0).branches[1].i_rms
    };
    assert!(half(0.055) > 1.5 * half(1e3), "{} {}", half(0.055), half(1e3));
}

#[test]
fn iron_holds_no_direct_current_after_the_plug_is_pulled() {
    let net = supply(1e9);
    let s = steady(&net, 1.0);
    let pulled = net
        .clone()
        .replace("V1", Device::Source { dc: 0.0, sine: 0.0, phase: 0.0 })
        .replace("R1", Device::Resistor { ohms: 1e9 });
    let t = Solver::new(pulled.circuit())
        .unwrap()
        .transient(1.0, &Start { angle: 0.0, state: s.state }, &Until { seconds: 2.0, falls_below: None })
        .unwrap();
    assert!(t.volts[pulled.index("L1")].abs() < 1e-3, "{} V stand at the primary", t.volts[pulled.index("L1")]);
}

#[test]
fn a_flasher_flashes_as_its_formula_says() {
    // T = R C ln((E - out) / (E - strike)) dark, and the discharge through the lamp.
    let lamp = Device::Neon { strike: 90.0, maintain: 60.0, lit_ohms: 3e3, off_ohms: 1e12, extinction: 100e-6 };
    for (ohms, farads) in [(4.4e6f64, 220e-9f64), (3.9e6, 1e-6), (3.3e6, 470e-9)] {
        let net = Net::new(50.0)
            .part("V1", "e", "0", Device::Source { dc: 280.0, sine: 1e-3, phase: 0.0 })
            .r("R1", "e", "c", ohms)
            .c("C1", "c", "0", farads)
            .r("R2", "c", "g", 4.7e3)
            .part("LP1", "g", "0", lamp);
        let mut solver = Solver::new(net.circuit()).unwrap();
        let s = solver.steady(1.0).unwrap();
        assert!(matches!(s.repeats, Repeats::Window { .. } | Repeats::Mains { cycles: 2.. }), "{:?}", s.repeats);
        let rate = solver.lighting(net.index("LP1")).unwrap().flashes_per_cycle * 50.0;
        // Out where the current through both resistors is 100 µA: 60 V + 7.7 kΩ · 100 µA at the capacitor.
        let (out, dark) = (60.0 + 0.77, ohms * farads * ((280.0 - 60.77) / (280.0 - 90.0f64)).ln());
        // While it is lit the capacitor goes towards what the two resistances divide, through both side by side.
        let (towards, beside) = (60.0 + 220.0 * 7.7e3 / (7.7e3 + ohms), 1.0 / (1.0 / ohms + 1.0 / 7.7e3));
        let lit = beside * farads * ((90.0 - towards) / (out - towards)).ln();
        near("flashes a second", rate, 1.0 / (dark + lit), 0.01);
    }
}

#[test]
fn strays_drive_their_own_current_and_nothing_else() {
    // A secondary that only a stray holds: i = w C U through the network, and the rest of the circuit does not move.
    let net = |farads: f64| {
        let net = supply(40.0).stray("L", "s", farads).hand("tip", "minus", "0");
        let hold = net.index("hold");
        (net.replace("hold", Device::Meter), hold)
    };
    let (without, _) = net(1e-15);
    let before = steady(&without, 1.0);
    for farads in [1e-12, 10e-12, 100e-12, 1e-9] {
        let (net, _) = net(farads);
        let s = steady(&net, 1.0);
        assert_eq!(s.branches[net.index("load")], before.branches[net.index("load")]);
        let felt = s.felt[0];
        // U: the mains less what the bridge puts between the winding's end and minus (some volts): 226 to 232 V.
        let low = TAU * 50.0 * farads * 222.0;
        assert!(felt.amperes[0] > low && felt.amperes[0] < 1.08 * low, "{:e} A by {farads:e} F", felt.amperes[0]);
        assert!(felt.read[0] <= felt.amperes[0] && felt.read[1] < 1.2 * SQRT_2 * felt.amperes[0]);
    }
}

#[test]
fn a_hand_on_strays_agrees_with_the_network_put_on() {
    // The same secondary without a rectifier, so that the hand can be put on as branches and solved as a linear circuit.
    let base = || {
        Net::new(50.0)
            .mains("V1", "L", "0", 230.0)
            .r("R1", "L", "a", 150.0)
            .l("L1", "a", "0", 21.0)
            .r("R2", "s", "t", 0.7)
            .l("L2", "t", "u", 21.0 * 0.065 * 0.065)
            .couple("L1", "L2", 0.992)
            .r("load", "s", "u", 30.0)
    };
    let felt = steady(&base().stray("L", "s", 500e-12).hand("tip", "u", "0"), 1.0).felt[0];
    let put_on = base()
        .c("stray", "L", "s", 500e-12)
        .r("skin", "u", "m", 1500.0)
        .c("Cskin", "u", "m", 220e-9)
        .r("body", "m", "0", 500.0)
        .r("reader", "m", "w", 10e3)
        .c("Creader", "w", "0", 22e-9);
    let s = steady(&put_on, 1.0);
    near("amperes", felt.amperes[0], s.branches[put_on.index("body")].i_rms, 5e-3);
    near("read", felt.read[0], s.branches[put_on.index("Creader")].v_rms / 500.0, 5e-3);
}

/// A ring core on 230 V: 3 Ω of copper, 8 H below its knee at 1.1 times the crest of its flux, millihenries beyond.
fn ring() -> (Net, f64) {
    let henries = 8.0;
    let crest = 230.0 * SQRT_2 / (TAU * 50.0 * henries);
    let net = Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("R1", "L", "a", 3.5)
        .l("L1", "a", "0", henries)
        .r("Rfe", "a", "0", 30e3)
        .core(&[("L1", 1.0)], 0.999 * henries, 5e-3, 1.1 * crest);
    (net, crest)
}

/// Inrush of the first two cycles at an angle, with so much of the crest of its flux left in the iron: peak amperes and A²s.
fn inrush(net: &Net, degrees: f64, amperes: f64) -> [f64; 2] {
    let mut state = vec![0.0; net.circuit().branches.len()];
    state[net.index("L1")] = amperes;
    let (angle, r1) = (f64::to_radians(degrees), net.index("R1"));
    let start = Start { angle, state: state.clone() };
    let t = Solver::new(net.circuit())
        .unwrap()
        .transient(1.0, &start, &Until { seconds: 0.04, falls_below: None })
        .unwrap();
    let mut stepper = Stepper::new(net.circuit(), 1.0, angle, &state, 0.02 / 8000.0);
    stepper.run(0.04, None);
    let expected = stepper.quantities();
    near("peak", t.branches[r1].i_peak(), expected[r1].i_peak(), 1e-3);
    near("r.m.s.", t.branches[r1].i_rms, expected[r1].i_rms, 1e-3);
    [t.branches[r1].i_peak(), t.i2t[r1]]
}

#[test]
fn iron_that_was_left_magnetised_draws_most_where_the_mains_drives_it_further() {
    let (net, crest) = ring();
    let remanent = 0.85 * crest;
    let rest = inrush(&net, 0.0, 0.0);
    let further = inrush(&net, 0.0, remanent);
    let back = inrush(&net, 0.0, -remanent);
    assert!(further[0] > 1.1 * rest[0] && further[1] > 1.3 * rest[1], "{rest:?} {further:?}");
    assert!(back[0] < rest[0] && back[1] < rest[1], "{rest:?} {back:?}");
    // The flux wants 0.85 + 2 times its crest and has room for 1.1: tens of amperes, and less than the mains through the
    // copper alone.
    assert!(further[0] > 20.0 && further[0] < 230.0 * SQRT_2 / 3.5, "{further:?}");
    // Half a cycle later it is the other way round.
    let other = inrush(&net, 180.0, -remanent);
    near("the other half-wave", other[0], further[0], 1e-6);
}

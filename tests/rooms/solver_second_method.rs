//! The solver against the plain implicit stepper of `support::stepper` on hand-picked circuits that are not in the
//! reference file, and with every part of three of them open (1 GΩ) and shorted (1 mΩ).
#![allow(clippy::unwrap_used)]

use super::support;
use super::support::net::Net;
use super::support::stepper::{Stepper, last_cycle};
use crate::circuit::{Device, Quantities, Repeats, Solver};
use std::f64::consts::PI;

/// Steps in one mains cycle; the method's own error is then some 1e-6 of the largest value.
const STEPS: usize = 1500;
/// Allowed deviation, of the value itself.
const RELATIVE: f64 = 2e-4;
/// The same for extremes and the mean of the forward current, which the solver takes from samples where no switching
/// marks them.
const SAMPLED: f64 = 1e-3;
/// A diode's knee is left when the voltage over its slope is within 1e-9 V of zero: with 1 Ω a nanoampere.
const KNEE_AMPERES: f64 = 1e-9;
/// The same over the 10 MΩ by which these diodes leak.
const KNEE_VOLTS: f64 = KNEE_AMPERES * 1e7;
/// Allowed deviation, of the largest voltage or current of the circuit (values near zero).
const OF_LARGEST: f64 = 5e-6;

/// Lines for all quantities of all branches that differ.
fn differences(net: &Net, got: &[Quantities], expected: &[Quantities]) -> Vec<String> {
    let largest = |of: fn(&Quantities) -> f64| expected.iter().map(of).fold(0.0, f64::max);
    let (volts, amperes) = (largest(|q| q.v_peak()), largest(|q| q.i_peak()));
    let diodes = net.circuit().branches.iter().any(|b| matches!(b.device, Device::Diode { .. }));
    let mut lines = Vec::new();
    for (k, (g, e)) in got.iter().zip(expected).enumerate() {
        let lossy = *e;
        let rows = [
            ("v_rms", g.v_rms, e.v_rms, volts),
            ("v_mean", g.v_mean, e.v_mean, volts),
            ("v_max", g.v_max, e.v_max, volts),
            ("v_min", g.v_min, e.v_min, volts),
            ("i_rms", g.i_rms, e.i_rms, amperes),
            ("i_mean", g.i_mean, e.i_mean, amperes),
            ("i_forward_mean", g.i_forward_mean, e.i_forward_mean, amperes),
            ("i_max", g.i_max, e.i_max, amperes),
            ("i_min", g.i_min, e.i_min, amperes),
            ("power", g.power, e.power, e.v_rms * e.i_rms),
        ];
        for (what, g, e, scale) in rows {
            let relative = if what.contains("_m") && what != "v_mean" && what != "i_mean" { SAMPLED } else { RELATIVE };
            let knees = match what.as_bytes()[0] {
                _ if !diodes => 0.0,
                b'v' => KNEE_VOLTS,
                b'i' => KNEE_AMPERES,
                _ => KNEE_AMPERES * lossy.v_rms + KNEE_VOLTS * lossy.i_rms,
            };
            if !support::near(g, e, relative, (OF_LARGEST * scale).max(1e-15 * volts * amperes) + knees) {
                lines.push(format!("  {}.{what}: solver {g:e}, stepper {e:e}", net.name(k)));
            }
        }
    }
    lines
}

/// Starts the stepper in the solver's periodic state and lines up what differs after two cycles; the third is compared.
fn compare(title: &str, net: &Net, scale: f64) -> Vec<String> {
    let circuit = net.circuit();
    let steady = match Solver::new(circuit).and_then(|mut solver| solver.steady(scale)) {
        Ok(steady) => steady,
        Err(unsolved) => return vec![format!("{title}: {unsolved}")],
    };
    let mut lines = Vec::new();
    if steady.repeats != (Repeats::Mains { cycles: 1 }) {
        lines.push(format!("  repeats {:?}", steady.repeats));
    }
    if steady.residual > 1e-9 || steady.forced {
        lines.push(format!("  residual {:e}, forced {}", steady.residual, steady.forced));
    }
    let period = 1.0 / circuit.hertz;
    let mut stepper = Stepper::new(circuit, scale, 0.0, &steady.state, period / STEPS as f64);
    stepper.run(2.0 * period, None);
    stepper.forget();
    stepper.run(3.0 * period, None);
    let expected = stepper.quantities();
    for (k, branch) in circuit.branches.iter().enumerate() {
        let (got, drifted, of) = match branch.device {
            Device::Capacitor { .. } => (steady.state[k], stepper.stored[k], expected[k].v_peak()),
            Device::Inductor { .. } => (steady.state[k], stepper.stored[k], expected[k].i_peak()),
            _ => continue,
        };
        if (got - drifted).abs() > 2e-5 * of + 1e-12 {
            lines.push(format!("  {} does not repeat: {got:e} becomes {drifted:e}", net.name(k)));
        }
    }
    lines.extend(differences(net, &steady.branches, &expected));
    if !lines.is_empty() {
        lines.insert(0, format!("{title} at {scale}:"));
    }
    lines
}

fn finish(lines: Vec<String>) {
    assert!(lines.is_empty(), "{}", lines.join("\n"));
}

fn neon_lead() -> Net {
    Net::new(50.0)
        .mains("V1", "s", "0", 230.0)
        .r("Rloop", "s", "L", 0.4)
        .r("Rfuse", "L", "a", 0.8)
        .r("R1", "a", "b", 100e3)
        .neon("N1", "b", "c", 90.0, 60.0)
        .r("R2", "c", "0", 100e3)
}

fn bridge_leds() -> Net {
    Net::new(60.0)
        .mains("V1", "L", "0", 120.0)
        .r("R1", "L", "p", 6.8e3)
        .r("R2", "q", "0", 6.8e3)
        .bridge("p", "q", "x", "y")
        .d("LED1", "x", "y", 6.2, 30.0, 1e7)
}

fn dropper() -> Net {
    Net::new(60.0)
        .mains("V1", "L", "0", 120.0)
        .r("R1", "L", "m", 100.0)
        .c("C1", "m", "p", 470e-9)
        .r("R2", "m", "p", 680e3)
        .bridge("p", "0", "x", "y")
        .d("LED1", "x", "y", 15.0, 60.0, 1e7)
}

/// Circuits whose memory is short: a few dozen cycles from rest are periodic to the last digit that counts.
fn short_memory() -> Vec<(&'static str, Net)> {
    let clamp = Device::Clamp { up: 150.0, down: 170.0, on_ohms: 5.0, off_ohms: 1e8 };
    let zener = Device::Diode { forward: 0.7, on_ohms: 4.0, off_ohms: 1e7, breakdown: Some(100.0) };
    let weary = Device::Neon { strike: 95.0, maintain: 65.0, lit_ohms: 2e3, off_ohms: 1e9, extinction: 50e-6 };
    let half = |phase| Device::Source { dc: 0.0, sine: 120.0 * 2f64.sqrt(), phase };
    vec![
        ("neon with two resistors", neon_lead()),
        (
            "LED with antiparallel diode",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 10e3)
                .d("LED1", "a", "0", 2.1, 12.0, 1e7)
                .d("D1", "0", "a", 0.7, 0.5, 1e8),
        ),
        (
            "two LEDs antiparallel",
            Net::new(60.0)
                .mains("V1", "L", "0", 120.0)
                .r("R1", "L", "a", 22e3)
                .d("LED1", "a", "0", 1.9, 15.0, 1e7)
                .d("LED2", "0", "a", 3.1, 20.0, 1e7),
        ),
        ("LEDs in a bridge", bridge_leds()),
        ("LEDs behind a capacitor", dropper()),
        (
            "capacitor dropper into a resistor",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "m", 47.0)
                .c("C1", "m", "p", 220e-9)
                .r("R2", "m", "p", 470e3)
                .bridge("p", "0", "x", "y")
                .r("Rload", "x", "y", 3.3e3),
        ),
        (
            "series R, L and C",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 470.0)
                .l("L1", "a", "b", 0.5)
                .c("C1", "b", "0", 1e-6),
        ),
        (
            "clamp across a load",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 1e3)
                .part("Z1", "a", "0", clamp)
                .r("R2", "a", "0", 1e4),
        ),
        (
            "diode that breaks down",
            Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "a", 1e4).part("Z1", "a", "0", zener),
        ),
        (
            "body across a Y capacitor divider",
            Net::new(50.0)
                .mains("V1", "L", "0", 253.0)
                .c("C1", "L", "t", 2.2e-9)
                .c("C2", "t", "0", 4.7e-9)
                .r("R1", "t", "u", 1.5e3)
                .c("C3", "t", "u", 0.22e-6)
                .r("R2", "u", "0", 500.0),
        ),
        (
            "three capacitors in a loop",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 10e3)
                .c("C1", "a", "b", 100e-9)
                .c("C2", "b", "0", 220e-9)
                .c("C3", "a", "0", 47e-9)
                .r("R2", "b", "0", 33e3),
        ),
        (
            "capacitor directly across the mains",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .c("C1", "L", "0", 100e-9)
                .r("R1", "L", "a", 1e5)
                .neon("N1", "a", "0", 90.0, 60.0),
        ),
        (
            "inductor and resistor",
            Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "a", 220.0).l("L1", "a", "0", 0.6),
        ),
        (
            "choke with a snubber",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 150.0)
                .l("L1", "a", "0", 0.3)
                .r("R2", "a", "b", 100.0)
                .c("C1", "b", "0", 100e-9),
        ),
        (
            "split phase",
            Net::new(60.0)
                .part("V1", "A", "0", half(0.0))
                .part("V2", "B", "0", half(PI))
                .r("Rn1", "A", "a", 0.3)
                .r("Rn2", "B", "b", 0.3)
                .r("R1", "a", "b", 470.0)
                .r("R2", "a", "0", 100.0)
                .r("R3", "b", "c", 220e3)
                .neon("N1", "c", "0", 90.0, 60.0)
                .d("D1", "a", "d", 0.7, 0.1, 1e7)
                .r("R4", "d", "b", 1e3),
        ),
        (
            "direct voltage on top of the mains",
            Net::new(50.0)
                .part("V1", "L", "0", Device::Source { dc: 40.0, sine: 30.0, phase: 0.4 })
                .r("R1", "L", "a", 220.0)
                .d("D1", "a", "b", 0.7, 1.0, 1e7)
                .r("R2", "b", "0", 330.0),
        ),
        (
            "neon that goes out early",
            Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "a", 330e3).part("N1", "a", "0", weary),
        ),
        (
            "neon with stray capacitance",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 100e3)
                .c("C1", "a", "0", 200e-12)
                .neon("N1", "a", "0", 90.0, 60.0),
        ),
        (
            "neon behind a choke",
            Net::new(50.0)
                .mains("V1", "L", "0", 230.0)
                .r("R1", "L", "a", 100e3)
                .l("L1", "a", "b", 8.0)
                .neon("N1", "b", "0", 90.0, 60.0)
                .r("R2", "b", "0", 1e6),
        ),
    ]
}

/// Circuits that remember for seconds.
fn long_memory() -> Vec<(&'static str, Net)> {
    let transformer = |net: Net| {
        net.r("R1", "L", "a", 50.0)
            .l("Lp", "a", "0", 20.0)
            .l("Ls", "p", "q", 0.2)
            .couple("Lp", "Ls", 0.998)
            .r("Rleak", "q", "0", 1e8)
    };
    let mains = || Net::new(50.0).mains("V1", "L", "0", 230.0);
    vec![
        (
            "half-wave rectifier with smoothing",
            mains()
                .r("R1", "L", "a", 47.0)
                .d("D1", "a", "b", 0.7, 0.2, 1e7)
                .c("C1", "b", "0", 10e-6)
                .r("R2", "b", "0", 10e3),
        ),
        (
            "bridge with 47 µF",
            mains()
                .r("R1", "L", "p", 22.0)
                .bridge("p", "0", "x", "y")
                .c("C1", "x", "y", 47e-6)
                .r("R2", "x", "y", 4.7e3),
        ),
        ("LEDs behind a capacitor, smoothed", dropper().c("C2", "x", "y", 47e-6)),
        ("transformer into a resistor", transformer(mains()).r("R2", "p", "q", 15.0)),
        ("transformer into a rectifier", transformer(mains()).d("D1", "p", "r", 0.7, 0.5, 1e6).r("R2", "r", "q", 33.0)),
        (
            "transformer into a bridge with smoothing",
            transformer(mains()).bridge("p", "q", "x", "y").c("C1", "x", "y", 470e-6).r("R2", "x", "y", 120.0),
        ),
        (
            "voltage doubler",
            mains()
                .r("R1", "L", "a", 100.0)
                .c("C1", "a", "b", 1e-6)
                .d("D1", "0", "b", 0.7, 1.0, 1e7)
                .d("D2", "b", "c", 0.7, 1.0, 1e7)
                .c("C2", "c", "0", 2.2e-6)
                .r("R2", "c", "0", 220e3),
        ),
    ]
}

#[test]
fn short_memory_circuits_from_the_periodic_state() {
    let both_ways = |(title, net): &(&str, Net)| [compare(title, net, 1.0), compare(title, net, -1.1)].concat();
    finish(short_memory().iter().flat_map(both_ways).collect());
}

#[test]
fn long_memory_circuits_from_the_periodic_state() {
    let both_ways = |(title, net): &(&str, Net)| [compare(title, net, 1.0), compare(title, net, -0.9)].concat();
    finish(long_memory().iter().flat_map(both_ways).collect());
}

#[test]
fn short_memory_circuits_from_rest() {
    let mut lines = Vec::new();
    for (title, net) in short_memory() {
        let steady = Solver::new(net.circuit()).unwrap().steady(1.0).unwrap();
        let expected = last_cycle(net.circuit(), 1.0, 30, 500);
        let found = differences(&net, &steady.branches, &expected);
        if !found.is_empty() {
            lines.push(title.to_string());
            lines.extend(found);
        }
    }
    finish(lines);
}

/// Every part of a circuit but its source, open and shorted.
fn every_fault(title: &str, net: &Net) -> Vec<String> {
    let mut lines = Vec::new();
    for branch in 1..net.circuit().branches.len() {
        for ohms in [1e-3, 1e9] {
            let name = net.name(branch).to_string();
            let faulty = net.clone().replace(&name, Device::Resistor { ohms });
            lines.extend(compare(&format!("{title}, {name} {ohms:e} Ω"), &faulty, 1.0));
        }
    }
    lines
}

#[test]
fn every_single_fault_of_a_neon_lead() {
    finish(every_fault("neon", &neon_lead()));
}

#[test]
fn every_single_fault_of_leds_in_a_bridge() {
    finish(every_fault("bridge", &bridge_leds()));
}

#[test]
fn every_single_fault_of_leds_behind_a_capacitor() {
    finish(every_fault("dropper", &dropper()));
}

#[test]
fn relaxation_flasher_flashes_at_the_rate_of_the_stepper_and_of_the_formula() {
    // Steady voltage from a smoothed bridge charges C2 through R2; the lamp fires at 90 V and dumps it down to the
    // extinction current, which is above what R2 can keep going.
    let lamp = Device::Neon { strike: 90.0, maintain: 60.0, lit_ohms: 3e3, off_ohms: 1e9, extinction: 200e-6 };
    let (ohms, farads) = (4.7e6, 100e-9);
    let net = Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("R1", "L", "p", 1e3)
        .bridge("p", "0", "x", "y")
        .c("C1", "x", "y", 10e-6)
        .r("R2", "x", "a", ohms)
        .c("C2", "a", "y", farads)
        .part("N1", "a", "y", lamp);
    let n = net.index("N1");
    let mut solver = Solver::new(net.circuit()).unwrap();
    let steady = solver.steady(1.0).unwrap();
    let found = solver.lighting(n).unwrap().flashes_per_cycle;

    let mut stepper = Stepper::new(net.circuit(), 1.0, 0.0, &[], 0.02 / 200.0);
    stepper.run(20.0 * 0.02, None);
    stepper.forget();
    stepper.run(220.0 * 0.02, None);
    let strikes: Vec<f64> = stepper
        .switchings
        .iter()
        .filter(|(_, branch, to)| *branch == n && *to != 0)
        .map(|(seconds, ..)| *seconds)
        .collect();
    let counted = (strikes.len() - 1) as f64 / (strikes[strikes.len() - 1] - strikes[0]) * 0.02;
    // The solver counts whole flashes in its window.
    let Repeats::Window { cycles } = steady.repeats else { panic!("repeats {:?}", steady.repeats) };
    assert!(
        support::near(found, counted, 0.01, 1.0 / f64::from(cycles)),
        "solver {found}, stepper {counted} flashes a cycle"
    );

    // Exponential charging towards the smoothed voltage from just above the maintaining voltage to the strike, then the
    // discharge through the lit lamp's slope.
    let volts = stepper.quantities()[net.index("C1")].v_mean;
    let seconds = ohms * farads * ((volts - (60.0 + 3e3 * 200e-6)) / (volts - 90.0)).ln()
        + 3e3 * farads * (30.0f64 / (3e3 * 200e-6)).ln();
    assert!(support::near(counted, 0.02 / seconds, 0.02, 0.0), "stepper {counted}, formula {}", 0.02 / seconds);
    assert!(
        support::near(found, 0.02 / seconds, 0.02, 1.0 / f64::from(cycles)),
        "solver {found}, formula {}",
        0.02 / seconds
    );
}

//! The solver against circuits whose solutions another, independent solver found (see the head of the data file),
//! and the tests' own second method against the same numbers.
#![allow(clippy::unwrap_used)]

use super::support;
use super::support::net::Net;
use super::support::stepper::{Stepper, last_cycle};
use crate::circuit::{Device, Lighting, Quantities, Repeats, Solver, Start, Until};
use std::collections::BTreeMap;
use std::path::Path;
use toml::Value;

/// Allowed relative deviation of every value (the file's own error where that is larger).
const RELATIVE: f64 = 1e-6;
/// Allowed deviation of every angle, degrees.
const DEGREES: f64 = 1e-4;

fn data() -> toml::Table {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/reference-circuits.toml");
    std::fs::read_to_string(path).unwrap().parse().unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|i| i as f64)).unwrap_or_else(|| panic!("{value} is no number"))
}

fn list(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(items) => items.iter().map(number).collect(),
        single => vec![number(single)],
    }
}

/// A circuit of the file.
fn net(entry: &Value) -> Net {
    let parts = entry["parts"].as_array().unwrap();
    let hertz = parts.iter().find_map(|p| p.get("hertz")).map_or(50.0, number);
    parts.iter().fold(Net::new(hertz), |net, part| {
        let (name, a, b) =
            (part["name"].as_str().unwrap(), part["nodes"][0].as_str().unwrap(), part["nodes"][1].as_str().unwrap());
        let of = |key: &str| number(&part[key]);
        match part["kind"].as_str().unwrap() {
            "mains" => net.mains(name, a, b, of("volt_rms")),
            "R" => net.r(name, a, b, of("ohm")),
            "C" => net.c(name, a, b, of("farad")),
            // The file's diode steps by forward/off at its knee, ours is continuous: with this knee both lines are the
            // same, on as well as off, and only the few microvolts between the knees differ.
            "D" => net.d(
                name,
                a,
                b,
                of("forward_volt") / (1.0 - of("on_ohm") / of("off_ohm")),
                of("on_ohm"),
                of("off_ohm"),
            ),
            "NEON" => net.part(
                name,
                a,
                b,
                Device::Neon {
                    strike: of("strike_volt"),
                    maintain: of("maintaining_volt"),
                    lit_ohms: of("lit_ohm"),
                    off_ohms: of("off_ohm"),
                    extinction: of("extinction_ampere"),
                },
            ),
            other => panic!("unknown kind {other}"),
        }
    })
}

/// Compares one part with its row and adds a line for every value that is off.
fn compare(
    place: &str,
    row: &toml::Table,
    q: &Quantities,
    is_source: bool,
    lighting: Option<&Lighting>,
    relative: f64,
    complaints: &mut Vec<String>,
) -> usize {
    let mut compared = 0;
    for (key, entry) in row {
        let (expected, err) = (list(&entry["value"]), number(&entry["err"]));
        let sign = if is_source { -1.0 } else { 1.0 };
        let got = match key.as_str() {
            "v_peak" => vec![q.v_peak()],
            "v_rms" => vec![q.v_rms],
            "i_peak" => vec![q.i_peak()],
            "i_rms" => vec![q.i_rms],
            "p_mean" => vec![sign * q.power],
            "i_forward_mean" => vec![q.i_forward_mean],
            "i_mean" => vec![q.i_mean],
            "i_min" => vec![q.i_min],
            angles_or_share => {
                let Some(lighting) = lighting else { continue };
                match angles_or_share {
                    "lit_fraction" => vec![lighting.lit_fraction],
                    "strike_deg" | "flash_on_deg" => lighting.on_deg.clone(),
                    "extinction_deg" | "flash_off_deg" => lighting.off_deg.clone(),
                    other => panic!("{place}: unknown value {other}"),
                }
            }
        };
        compared += 1;
        let mut sorted = got.clone();
        sorted.sort_by(f64::total_cmp);
        let allowed = |expected: f64| match key.as_str() {
            k if k.ends_with("_deg") => DEGREES + err,
            // Power of a part that stores it is zero but for rounding, of volt-amperes that are not.
            "p_mean" => (relative * expected.abs()).max(10.0 * err).max(relative * q.v_rms * q.i_rms),
            // A leak that is the small rest of large currents.
            "i_min" => (relative * expected.abs()).max(1e-11 * q.i_peak()),
            _ => (relative * expected.abs()).max(10.0 * err),
        };
        let fits = sorted.len() == expected.len()
            && sorted.iter().zip(&expected).all(|(got, expected)| (got - expected).abs() <= allowed(*expected));
        if !fits {
            complaints.push(format!("{place}.{key}: got {got:?}, expected {expected:?}"));
        }
    }
    compared
}

fn finish(compared: usize, at_least: usize, complaints: &[String]) {
    assert!(complaints.is_empty(), "{} of {compared} values are off:\n{}", complaints.len(), complaints.join("\n"));
    assert!(compared >= at_least, "only {compared} values compared");
}

#[test]
fn solver_reproduces_every_value_of_the_reference_circuits() {
    let mut complaints = Vec::new();
    let mut compared = 0;
    for (id, entry) in data().iter().filter(|(_, e)| e.get("devices").is_some()) {
        let net = net(entry);
        let mut solver = Solver::new(net.circuit()).unwrap();
        let steady = solver.steady(1.0).unwrap();
        assert_eq!(steady.repeats, Repeats::Mains { cycles: 1 }, "{id}");
        assert!(steady.residual < 1e-9 && !steady.forced && steady.leaks == 0, "{id}: {steady:?}");
        for (name, row) in entry["devices"].as_table().unwrap() {
            let (place, k) = (format!("{id}.{name}"), net.index(name));
            let lighting = solver.lighting(k).unwrap_or_default();
            let is_source = name.starts_with('V');
            let (row, q) = (row.as_table().unwrap(), &steady.branches[k]);
            compared += compare(&place, row, q, is_source, Some(&lighting), RELATIVE, &mut complaints);
        }
    }
    finish(compared, 161, &complaints);
}

#[test]
fn solver_reproduces_the_switch_on_at_the_peak_of_the_mains() {
    let data = data();
    let net = net(&data["c06"]);
    let start = Start { angle: std::f64::consts::FRAC_PI_2, state: Vec::new() };
    let until = Until { seconds: 0.02, falls_below: None };
    let first = Solver::new(net.circuit()).unwrap().transient(1.0, &start, &until).unwrap();
    assert!(support::near(first.seconds, 0.02, 1e-12, 0.0), "ran {} s", first.seconds);
    let mut complaints = Vec::new();
    let mut compared = 0;
    for (name, row) in data["c06"]["switch_on_at_90deg_first_cycle"].as_table().unwrap() {
        let (row, q) = (row.as_table().unwrap(), &first.branches[net.index(name)]);
        compared += compare(&format!("switch-on.{name}"), row, q, false, None, RELATIVE, &mut complaints);
    }
    finish(compared, 18, &complaints);
}

#[test]
fn solver_reproduces_the_discharges() {
    for (id, entry) in data().iter().filter(|(_, e)| e.get("initial_capacitor_volt").is_some()) {
        let net = net(entry);
        let (c, r) = (net.index("C1"), net.index("R1"));
        let rows = entry["transient"].as_table().unwrap();
        let of = |key: &str| number(&rows[key]["value"]);
        let mut state = vec![0.0; 2];
        state[c] = number(&entry["initial_capacitor_volt"]);
        let start = Start { angle: 0.0, state };
        let mut solver = Solver::new(net.circuit()).unwrap();
        let mut run = |seconds, falls_below| solver.transient(1.0, &start, &Until { seconds, falls_below }).unwrap();

        for (level, seconds) in levels(rows) {
            let end = run(100.0, Some((c, level)));
            support::assert_near(&format!("{id}: time to {level} V"), end.seconds, seconds, RELATIVE);
            support::assert_near(&format!("{id}: volts at that time"), end.volts[c], level, RELATIVE);
            let joules = of(&format!("energy_in_resistor_to_{level}V_j"));
            support::assert_near(&format!("{id}: joules to {level} V"), end.energy[r], joules, RELATIVE);
            // All the charge that left: A²s of the resistor is its energy over its ohms.
            let ohms = of("v_start") / of("i_peak");
            support::assert_near(&format!("{id}: A²s to {level} V"), end.i2t[r], joules / ohms, RELATIVE);
        }
        for seconds in [1.0, 2.0, 5.0] {
            let Some(volts) = rows.get(&format!("v_after_{seconds}s")) else {
                continue;
            };
            let end = run(seconds, None);
            support::assert_near(&format!("{id}: after {seconds} s"), end.state[c], number(&volts["value"]), RELATIVE);
            assert_eq!(end.seconds, seconds);
        }
        let tau = of("time_constant_s");
        let all = run(25.0 * tau, None);
        support::assert_near(&format!("{id}: all joules"), all.energy[r], of("energy_in_resistor_total_j"), RELATIVE);
        support::assert_near(&format!("{id}: from the capacitor"), -all.energy[c], of("energy_stored_j"), RELATIVE);
        support::assert_near(&format!("{id}: first amperes"), all.branches[r].i_peak(), of("i_peak"), RELATIVE);
        support::assert_near(&format!("{id}: first volts"), all.branches[r].v_peak(), of("v_start"), RELATIVE);
        let watts = all.branches[r].v_peak() * all.branches[r].i_peak();
        support::assert_near(&format!("{id}: first watts"), watts, of("p_peak_w"), RELATIVE);
    }
}

#[test]
fn second_method_reproduces_the_reference_circuits() {
    let mut complaints = Vec::new();
    let mut compared = 0;
    for (id, entry) in data().iter().filter(|(_, e)| e.get("devices").is_some()) {
        let net = net(entry);
        let found = last_cycle(net.circuit(), 1.0, 7, 2000);
        for (name, row) in entry["devices"].as_table().unwrap() {
            let place = format!("{id}.{name}");
            let k = net.index(name);
            let is_source = name.starts_with('V');
            compared += compare(&place, row.as_table().unwrap(), &found[k], is_source, None, 5e-6, &mut complaints);
        }
    }
    finish(compared, 150, &complaints);
}

#[test]
fn second_method_reproduces_the_discharges() {
    for (id, entry) in data().iter().filter(|(_, e)| e.get("initial_capacitor_volt").is_some()) {
        let net = net(entry);
        let (c, r) = (net.index("C1"), net.index("R1"));
        let rows = entry["transient"].as_table().unwrap();
        let mut stored = vec![0.0; 2];
        stored[c] = number(&entry["initial_capacitor_volt"]);
        for (level, seconds) in levels(rows) {
            let step = number(&rows["time_constant_s"]["value"]) / 500.0;
            let mut stepper = Stepper::new(net.circuit(), 1.0, 0.0, &stored, step);
            stepper.run(10.0, Some((c, level)));
            support::assert_near(&format!("{id}: time to {level} V"), stepper.time, seconds, 1e-6);
            let energy = number(&rows[&format!("energy_in_resistor_to_{level}V_j")]["value"]);
            support::assert_near(&format!("{id}: joules to {level} V"), stepper.energy_and_i2t(r).0, energy, 1e-6);
        }
    }
}

/// Levels in volts and the times at which the file says they are reached.
fn levels(rows: &toml::Table) -> Vec<(f64, f64)> {
    let of = |key: &String| key.strip_prefix("time_to_")?.strip_suffix("V_s")?.parse().ok();
    let found: BTreeMap<String, (f64, f64)> =
        rows.iter().filter_map(|(k, v)| Some((k.clone(), (of(k)?, number(&v["value"]))))).collect();
    assert_eq!(found.len(), 2, "two levels a discharge");
    found.into_values().collect()
}

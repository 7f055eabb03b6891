//! Published lamp data through the whole program: what a maker prints for lamp, resistor and mains is what `check` finds.
#![allow(missing_docs, clippy::unwrap_used)]

use serde_json::Value;
use std::process::Command;

/// A lamp behind one resistor, as the makers' sheets draw it, on mains written out.
fn jig(volts: &str, lamp: &str, resistance: &str) -> String {
    format!(
        r#"format = 1
[jig]
name = "Published lamp"
use = "bench"
[supply]
volts = "{volts}"
frequency = "60 Hz"
tolerance = "5 %"
plug = "A"
[enclosure]
material = "insulating"
class = "II"
[part.R1]
kind = "resistor"
across = ["L", "a"]
resistance = "{resistance}"
tolerance = "5 %"
power = "0.25 W"
voltage = "250 V"
[part.LP1]
kind = "neon-lamp"
across = ["a", "N"]
type = "{lamp}"
"#
    )
}

/// The worst rows of the stresses that `check --format json` prints.
fn stresses(text: &str) -> Vec<Value> {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("lamp.toml"), text).unwrap();
    let out = Command::new(super::program::binary())
        .current_dir(dir.path())
        .args(["check", "--format", "json", "lamp.toml"])
        .output()
        .unwrap();
    let v: Value = serde_json::from_slice(&out.stdout).unwrap();
    v["stresses"].as_array().unwrap().clone()
}

fn of(rows: &[Value], part: &str, quantity: &str, kind: &str, column: &str) -> f64 {
    let row = rows.iter().find(|r| r["part"] == part && r["quantity"] == quantity && r["kind"] == kind).unwrap();
    row[column].as_f64().unwrap()
}

// Miniature neon lamp data sheet, types A1A A1B A1C C2A, single table: series resistor for 100 V to 125 V circuits and design
// current r.m.s.; 115 V is about the middle of that range. The sheet's currents are rounded to a tenth of a milliampere, and
// lamps spread more than that: a tenth of the value is what such a table can be held to.
fn near_print(lamp: &str, resistance: &str, printed: f64) {
    let rows = stresses(&jig("115 V", lamp, resistance));
    let solved = of(&rows, "LP1", "current_rms", "normal", "nominal");
    let off = solved / printed - 1.0;
    assert!(off.abs() < 0.1, "{lamp} behind {resistance}: {solved} A, printed {printed} A, {:.1} %", 100.0 * off);
}

#[test]
fn printed_design_currents_of_standard_lamps_come_out_of_the_solved_circuit() {
    near_print("A1A", "100 kΩ", 0.6e-3);
    near_print("A1B", "220 kΩ", 0.3e-3);
}

#[test]
fn printed_design_currents_of_bright_lamps_come_out_of_the_solved_circuit() {
    near_print("A1C", "47 kΩ", 1.2e-3);
    near_print("C2A", "30 kΩ", 1.9e-3);
}

#[test]
fn the_common_wand_takes_well_under_a_milliampere_and_next_to_no_watts() {
    // Common practice of the trade: a small neon behind 100 kΩ on 110 V 60 Hz carries well under 1 mA, and a quarter-watt
    // resistor does. By hand: at most (110 V - 60 V) r.m.s. sense, 0.5 mA, so 0.5 mA² × 100 kΩ = 25 mW; with the waveform
    // about 0.6 mA and 36 mW.
    let rows = stresses(&jig("110 V", "A1A", "100 kΩ"));
    let (current, watts) =
        (of(&rows, "LP1", "current_rms", "normal", "value"), of(&rows, "R1", "power", "normal", "value"));
    assert!(current > 0.3e-3 && current < 0.8e-3, "{current}");
    assert!(watts < 0.25 / 4.0, "{watts}");
}

//! The study of the dead test: every single fault and every slip put into every demo jig by another road (faults by the survey's
//! own model, slips by editing the jig file), its values somewhere in their tolerances, what a meter then shows worked out from
//! Kirchhoff's law at every node and by the plain stepper, and those readings diagnosed. What is wrong must be among what is told, and first among what a meter
//! can tell. A sample in each run; all of it with `DEADFRONT_DEADTEST=whole`, which prints the figures.
#![allow(clippy::unwrap_used)]

use super::dead_test::DEMOS;
use super::edit::Sound;
use super::support::linear::Factored;
use super::support::stepper::{Stepper, last_cycle};
use crate::circuit::{Branch, Circuit, Device};
use crate::deadtest::{self, End, Measurement, Range, Wish, Wrong, given};
use crate::jig::{self, Jig, LoadKind};
use crate::quantity::format_unit;
use crate::survey::condition::{Condition, END, Fault, Moment, fault_id};
use crate::survey::model::Model;
use crate::survey::settings::{orientations, switch_parts};
use crate::survey::{build, faults};

/// Of every so many faults one is tried in each run.
const EACH: usize = 6;
/// Ohms of what is open.
const OPEN: f64 = 1e12;

/// A tool with something wrong in it.
struct Broken {
    jig: Jig,
    faults: Vec<Fault>,
    /// Points that hang in the air.
    loose: Vec<String>,
    /// Net of each point of the sound tool, by name.
    named: Vec<(String, String)>,
    /// Points that are exchanged.
    exchanged: Option<[String; 2]>,
}

fn whole() -> bool {
    std::env::var("DEADFRONT_DEADTEST").is_ok_and(|v| v == "whole")
}

#[test]
fn what_is_wrong_is_found_from_its_readings() {
    let (mut all, mut found, mut told, mut first, mut strict) = (0, 0, 0, 0, 0);
    let mut lines = vec![];
    for name in DEMOS {
        let sound = Sound::read(name);
        let text = sound.text();
        let jig = jig::parse(name, text.as_bytes()).unwrap();
        let test = deadtest::dead_test(&jig);
        let tellable = |id: &str| test.measurements.iter().any(|m| m.tells.iter().any(|t| t == id));
        let mut row = [0; 4];
        for (k, wrong) in test.wrongs.iter().enumerate().filter(|(k, _)| whole() || k % EACH == 0) {
            let named = test.points.iter().map(|p| (p.name.clone(), jig.nets[p.net].name.clone())).collect();
            let broken = Broken { named, ..broken(&sound, &jig, &wrong.id, &wrong.wrong) };
            let readings: Vec<String> =
                test.measurements.iter().map(|m| format!("{}={}", m.id, shown(&broken, m, k as u64))).collect();
            let wish = Wish { readings: readings.clone(), ..Wish::default() };
            let d = test.diagnose(&given(&test, &wish).unwrap_or_else(|e| panic!("{name} {}: {e:?}", wrong.id)));
            row[0] += 1;
            let explained = d.explained_by.iter().find(|e| e.fault == wrong.id);
            let there = explained.is_some_and(|e| e.fits == d.readings) || d.still_hidden.contains(&wrong.id);
            row[1] += usize::from(there);
            if !there {
                lines.push(format!("{name}: {} is not among {d:?} for {readings:?}", wrong.id));
            }
            if tellable(&wrong.id) {
                row[2] += 1;
                // What no measurement of the test parts from it may stand before it.
                let before = d.explained_by.iter().take_while(|e| e.fault != wrong.id);
                let ahead = before.filter(|e| test.parts(&e.fault, &wrong.id)).count();
                let is_first = explained.is_some_and(|e| e.rank == 1 || ahead == 0);
                strict += usize::from(explained.is_some_and(|e| e.rank == 1));
                row[3] += usize::from(is_first);
                if !is_first && whole() {
                    let before: Vec<&str> =
                        d.explained_by.iter().take_while(|e| e.fault != wrong.id).map(|e| e.fault.as_str()).collect();
                    println!("{name}: {} comes behind {before:?}", wrong.id);
                }
            }
        }
        if whole() {
            println!("{name}: {} tried, {} found, {} tellable, {} of them first", row[0], row[1], row[2], row[3]);
        }
        all += row[0];
        found += row[1];
        told += row[2];
        first += row[3];
    }
    if whole() {
        println!(
            "all: {all} tried, {found} found, {told} told from a sound tool, {first} of them first, {strict} at rank 1"
        );
    }
    assert!(all >= 60, "{all}");
    assert_eq!(found, all, "{}", lines.join("\n"));
    assert!(first * 10 >= told * 9, "{first} of {told} come first");
}

/// The jig with a fault or slip put in.
fn broken(sound: &Sound, jig: &Jig, id: &str, wrong: &Wrong) -> Broken {
    let model = build::build(jig);
    let known = faults::list(jig, &model).0.into_iter().find(|f| fault_id(jig, &model.items, f) == id);
    if let Some(fault) = known {
        return Broken { jig: jig.clone(), faults: vec![fault], loose: vec![], named: vec![], exchanged: None };
    }
    let mut copy = sound.clone();
    let (mut loose, mut exchanged) = (vec![], None);
    match wrong {
        Wrong::Joined { nets: [a, b] } | Wrong::Windings { nets: [a, b], .. } => {
            copy.put("WX", &format!("kind = \"wire\"\nacross = [{a:?}, {b:?}]"));
        }
        Wrong::LeftOut { part } => copy.take(part),
        Wrong::Exchanged { parts: [a, b] } => exchange_parts(&mut copy, a, b),
        Wrong::WiresExchanged { ends: [a, b] } => exchanged = exchange_wires(&mut copy, a, b),
        Wrong::TurnedRound { part, quarter } => turn(&mut copy, part, *quarter),
        Wrong::Decade { part, above } => decade(&mut copy, part, if *above { 1 } else { -1 }),
        Wrong::Unjoined { point } => loose.push(point.clone()),
        Wrong::Misplaced { end, on } => {
            let path = format!("part.{}", end.of);
            for key in ["across", "ac", "plus", "minus", "poles", "primary", "secondary"] {
                if let Some(value) = copy.get(&path, key) {
                    copy.set(&path, key, &value.replace(&format!("{:?}", end.net), &format!("{on:?}")));
                }
            }
        }
        Wrong::Open { .. } | Wrong::Bridged { .. } | Wrong::Welded { .. } | Wrong::Core { .. } => {
            panic!("{id}: a single fault of the survey")
        }
    }
    // What a lead is put on stays where it is, whatever hangs there.
    let text = copy.text();
    let text = text.split("[[point]]").next().unwrap();
    let jig = jig::parse(id, text.as_bytes()).unwrap_or_else(|e| panic!("{id}: {e:?}"));
    Broken { jig, faults: vec![], loose, named: vec![], exchanged }
}

/// Each stands on the nets of the other.
fn exchange_parts(copy: &mut Sound, a: &str, b: &str) {
    let (one, other) = (copy.ends(a), copy.ends(b));
    copy.hang(a, &other[0], &other[1]);
    copy.hang(b, &one[0], &one[1]);
}

fn exchange_wires(copy: &mut Sound, a: &End, b: &End) -> Option<[String; 2]> {
    let pins = ["L", "N", "PE"];
    if pins.contains(&a.of.as_str()) {
        copy.exchange(&a.net, &b.net);
        return None;
    }
    if a.of != b.of {
        return Some([a.of.clone(), b.of.clone()]);
    }
    // A switch of two poles: its two outgoing wires.
    let path = format!("part.{}", a.of);
    let poles = copy.get(&path, "poles").unwrap();
    let [x, y] = [&a.net, &b.net].map(|n| format!("{n:?}]"));
    copy.set(&path, "poles", &poles.replace(&x, "\u{1}").replace(&y, &x).replace('\u{1}', &y));
    None
}

fn turn(copy: &mut Sound, part: &str, quarter: bool) {
    let path = format!("part.{part}");
    if copy.get(&path, "ac").is_none() {
        let [a, b] = match copy.get(&path, "primary") {
            Some(_) => {
                let (first, second) = (copy.get(&path, "primary").unwrap(), copy.get(&path, "secondary").unwrap());
                let across = |t: &str| {
                    let start = t.find('[').unwrap();
                    t[start..=t.find(']').unwrap()].to_string()
                };
                let (x, y) = (across(&first), across(&second));
                copy.set(&path, "primary", &first.replace(&x, &y));
                copy.set(&path, "secondary", &second.replace(&y, &x));
                return;
            }
            None => copy.ends(part),
        };
        return copy.hang(part, &b, &a);
    }
    let ac = copy.get(&path, "ac").unwrap();
    let ends: Vec<&str> = ac.trim_matches(['[', ']']).split(',').map(str::trim).collect();
    let (plus, minus) = (copy.get(&path, "plus").unwrap(), copy.get(&path, "minus").unwrap());
    if quarter {
        copy.set(&path, "ac", &format!("[{plus}, {minus}]"));
        copy.set(&path, "plus", ends[1]);
        copy.set(&path, "minus", ends[0]);
    } else {
        copy.set(&path, "plus", &minus);
        copy.set(&path, "minus", &plus);
    }
}

fn decade(copy: &mut Sound, part: &str, by: i32) {
    let path = format!("part.{part}");
    for (key, unit) in [("resistance", "Ω"), ("capacitance", "F")] {
        if let Some(value) = copy.get(&path, key) {
            let text = value.trim_matches('"');
            let (number, prefixed) = text.split_once(' ').unwrap();
            let power = match prefixed.strip_suffix(unit).unwrap() {
                "k" => 3,
                "M" => 6,
                "n" => -9,
                "" => 0,
                other => panic!("{other}"),
            };
            let value: f64 = format!("{number}e{}", power + by).parse().unwrap();
            copy.set(&path, key, &format!("{:?}", format_unit(value, unit)));
        }
    }
}

/// What a meter shows, as it is written down.
fn shown(broken: &Broken, m: &Measurement, seed: u64) -> String {
    let jig = &broken.jig;
    let model = build::build(jig);
    let condition = condition(jig, &model, m, &broken.faults, seed);
    let mut circuit = dead(jig, &model, &condition, m.range == Range::Capacitance);
    let nodes = [0, 1].map(|k| node(broken, &model, m, k, &mut circuit));
    let value = match m.range {
        Range::Continuity | Range::Ohms => ohms(&circuit, nodes),
        Range::Diode => volts(&mut circuit, nodes),
        Range::Capacitance => farads(&mut circuit, nodes),
    };
    let (least, most) = match m.range {
        Range::Continuity | Range::Ohms => (0.0, 20e6),
        Range::Diode => (0.0, 2.5),
        Range::Capacitance => (1e-9, 1.0),
    };
    if value > most || value < least { "OL".into() } else { format_unit(value, m.range.unit()) }
}

fn condition(jig: &Jig, model: &Model, m: &Measurement, faults: &[Fault], seed: u64) -> Condition {
    let position = |k: usize| {
        let jig::PartKind::Switch(switch) = &jig.parts[k].kind else { panic!("a switch") };
        let named = m.setting.iter().find(|(name, _)| *name == jig.parts[k].name);
        named.map_or(0, |(_, word)| switch.contacts.positions().iter().position(|p| p == word).unwrap())
    };
    // Every value lies somewhere in its tolerance; a plain congruential step is random enough.
    let mut dice = seed.wrapping_mul(6364136223846793005);
    let mut corner = vec![];
    for t in &model.toleranced {
        dice = dice.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407 + t.part as u64);
        let share = (dice >> 33) as i64 % (2 * i64::from(END) + 1) - i64::from(END);
        corner.push(i8::try_from(share).unwrap());
    }
    Condition {
        level: crate::standard::Level::Nominal,
        orientation: orientations(jig)[0],
        switches: switch_parts(jig).into_iter().map(position).collect(),
        loads: jig.outlets.iter().map(|o| o.loads.iter().position(|l| l.kind == LoadKind::Open).unwrap_or(0)).collect(),
        faults: faults.to_vec(),
        corner,
        moment: Moment::Steady,
    }
}

/// The circuit unplugged, at a meter's few volts: filaments cold, nothing leaks, direct current but for capacitances.
fn dead(jig: &Jig, model: &Model, condition: &Condition, capacitors: bool) -> Circuit {
    let mut circuit = model.circuit(jig, condition);
    circuit.couplings.clear();
    circuit.cores.clear();
    circuit.strays.clear();
    circuit.hands.clear();
    for b in &mut circuit.branches {
        match &mut b.device {
            Device::Source { .. } | Device::Meter => b.device = Device::Resistor { ohms: OPEN },
            Device::Inductor { .. } => b.device = Device::Resistor { ohms: 1e-3 },
            Device::Capacitor { .. } if !capacitors => b.device = Device::Resistor { ohms: OPEN },
            Device::Filament { volts, watts, cold_ratio, .. } => {
                b.device = Device::Resistor { ohms: *volts * *volts / *watts * *cold_ratio };
            }
            Device::Diode { off_ohms, .. } | Device::Clamp { off_ohms, .. } | Device::Neon { off_ohms, .. } => {
                *off_ohms = OPEN;
            }
            Device::Capacitor { .. } | Device::Resistor { .. } => {}
        }
    }
    for b in &model.outlet_branches {
        circuit.branches[*b].device = Device::Resistor { ohms: OPEN };
    }
    for node in 1..circuit.nodes {
        circuit.branches.push(Branch { a: node, b: 0, device: Device::Resistor { ohms: OPEN } });
    }
    circuit
}

/// The node that a lead is on.
fn node(broken: &Broken, model: &Model, m: &Measurement, lead: usize, circuit: &mut Circuit) -> usize {
    let point = &m.between[lead];
    let mut name = point.name.clone();
    if let Some([a, b]) = &broken.exchanged {
        name = if name == *a {
            b.clone()
        } else if name == *b {
            a.clone()
        } else {
            name
        };
    }
    let pin = |k: usize| model.conductors[k].map(|b| circuit.branches[b].a);
    let jig = &broken.jig;
    let net = || {
        let touched = jig.touchables.iter().find(|t| t.name == name).map(|t| t.net);
        let named = broken.named.iter().find(|(n, _)| *n == name).map(|(_, net)| net);
        touched.or_else(|| jig.nets.iter().position(|n| Some(&n.name) == named)).map(|net| model.node[net])
    };
    let found = match name.as_str() {
        _ if broken.loose.contains(&name) => None,
        "L" if jig.supply.mains.is_some() => pin(0),
        "N" if jig.supply.mains.is_some() => pin(1),
        "PE" => Some(0),
        _ => net(),
    };
    found.unwrap_or_else(|| {
        circuit.nodes += 1;
        let node = circuit.nodes - 1;
        circuit.branches.push(Branch { a: node, b: 0, device: Device::Resistor { ohms: OPEN } });
        node
    })
}

fn meter(circuit: &mut Circuit, [red, black]: [usize; 2], device: Device, ohms: f64) -> usize {
    circuit.nodes += 1;
    let inner = circuit.nodes - 1;
    circuit.branches.push(Branch { a: inner, b: black, device });
    circuit.branches.push(Branch { a: inner, b: red, device: Device::Resistor { ohms } });
    circuit.branches.len() - 1
}

/// An ampere in at the one lead and out at the other, by Kirchhoff's law at every node: at so few volts every junction is dark.
fn ohms(circuit: &Circuit, [red, black]: [usize; 2]) -> f64 {
    if red == black {
        return 0.0;
    }
    let n = circuit.nodes - 1;
    let mut rows = vec![vec![0.0; n]; n];
    for b in &circuit.branches {
        let siemens = match b.device {
            Device::Resistor { ohms } => 1.0 / ohms,
            _ => 1.0 / OPEN,
        };
        for (one, other) in [(b.a, b.b), (b.b, b.a)] {
            if one > 0 {
                rows[one - 1][one - 1] += siemens;
                if other > 0 {
                    rows[one - 1][other - 1] -= siemens;
                }
            }
        }
    }
    let mut amperes = vec![0.0; n];
    for (node, i) in [(red, 1.0), (black, -1.0)] {
        if node > 0 {
            amperes[node - 1] = i;
        }
    }
    let volts = Factored::new(&rows).solve(&amperes);
    let at = |node: usize| if node == 0 { 0.0 } else { volts[node - 1] };
    (at(red) - at(black)).abs()
}

fn volts(circuit: &mut Circuit, nodes: [usize; 2]) -> f64 {
    if nodes[0] == nodes[1] {
        return 0.0;
    }
    let branch = meter(circuit, nodes, Device::Source { dc: 3.0, sine: 0.0, phase: 0.0 }, 3e3);
    let amperes = Stepper::new(circuit, 1.0, 0.0, &[], 1e-3).amperes(branch);
    3.0 - 3e3 * amperes
}

/// From a sine of 50 Hz: what flows a quarter of a cycle ahead.
fn farads(circuit: &mut Circuit, nodes: [usize; 2]) -> f64 {
    if nodes[0] == nodes[1] {
        return 0.0;
    }
    circuit.hertz = 50.0;
    let branch = meter(circuit, nodes, Device::Source { dc: 0.0, sine: 0.2, phase: 0.0 }, 1e-3);
    let all = last_cycle(circuit, 1.0, 4, 100);
    let (q, source) = (all[branch], all[branch - 1]);
    let (volts, watts) = (0.2 / std::f64::consts::SQRT_2, source.power.abs());
    let across = (q.i_rms * q.i_rms - (watts / volts).powi(2)).max(0.0).sqrt();
    if across < 3.0 * watts / volts { 0.0 } else { across / volts / (2.0 * std::f64::consts::PI * 50.0) }
}

//! What opens, what flows back through the earth, and what stays live while nothing has failed. The numbers in the comments
//! are worked out by hand from the published limits.
#![allow(clippy::unwrap_used)]

use super::tiny::*;
use crate::finding::Signal;
use crate::jig;
use crate::survey::ledger::Outcome;
use crate::survey::{Options, survey};

fn fuse(name: &str, a: &str, b: &str, amperes: &str) -> String {
    let keys = format!("current = \"{amperes}\"\nspeed = \"T\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"");
    part(name, "fuse", a, b, &keys)
}

fn outlet(a: &str, b: &str, loads: &str) -> String {
    format!("[[outlet]]\nname = \"OUT\"\nacross = [\"{a}\", \"{b}\"]\nloads = [{loads}]\n")
}

fn lamp(a: &str, b: &str, watts: &str) -> String {
    part("LP1", "filament-lamp", a, b, &format!("volts = \"230 V\"\npower = \"{watts}\""))
}

// ---- what opens in use ----

#[test]
fn a_fuse_that_opens_in_use_is_told_and_hides_nothing() {
    // 253 V / (520 Ω · 0.95) = 0.51 A, sixteen times 32 mA: a time-lag fuse opens at ten times within 0.3 s.
    let small = |amperes: &str| jig(&[fuses(amperes, "T"), resistor("R1", "L1", "N1", "520 Ω", "50 W")]);
    let f = trips(&small("32 mA"), "opens-in-use", Signal::Warning);
    assert!(f.parts.contains(&"F1".to_string()) && f.parts.contains(&"R1".to_string()), "{f:?}");
    // The two fuses of 32 mA have some ohms of their own.
    close(f.value, 253.0 / (520.0 * 0.95), 0.04);
    silent(&small("32 mA"), "fuse-rating");
    // With the device as with one that holds: 123 W in a resistor for 50 W.
    for amperes in ["32 mA", "1 A"] {
        let j = judged(&small(amperes));
        let found = of(&j, "resistor-power");
        assert!(found.len() == 1 && found[0].signal <= Signal::Warning, "{found:?}");
        assert!(!found[0].message.contains("until"), "{found:?}");
    }
    silent(&small("1 A"), "opens-in-use");
}

#[test]
fn a_part_that_shorts_every_half_wave() {
    let keys = "voltage = \"1000 V\"\ncurrent = \"3 A\"\nsurge = \"100 A\"";
    let shorted = |b: &str| {
        let diode = part("D1", "diode", "L1", b, keys);
        jig(&[fuses("1 A", "T"), diode, resistor("R1", "d", "N1", "1 kΩ", "100 W")])
    };
    let text = shorted("N1").replace("\"d\"", "\"L1\"");
    let f = trips(&text, "opens-in-use", Signal::Warning);
    assert!(f.parts.contains(&"D1".to_string()), "{f:?}");
    silent(&shorted("d"), "opens-in-use");

    // A varistor for 130 V knees at some 203 V, under the 325 V crest; one for 275 V at 430 V, over the 358 V of high mains.
    let varistor = |volts: &str| {
        let keys = format!("voltage = \"{volts}\"\nenergy = \"40 J\"");
        jig(&[fuses("100 mA", "F"), part("RV1", "varistor", "L1", "N1", &keys)])
    };
    let f = trips(&varistor("130 V"), "opens-in-use", Signal::Warning);
    assert!(f.parts.contains(&"RV1".to_string()), "{f:?}");
    // It is as good as a short: its watts heat no box for long.
    silent(&varistor("130 V"), "box-temperature");
    silent(&varistor("275 V"), "opens-in-use");
}

#[test]
fn a_short_on_an_outlet_is_use_only_where_something_bears_it() {
    let loads = "\"open\", \"short\", \"60 W\"";
    // Nothing limits: the fuse ends the fault of what hangs there.
    silent(&jig(&[fuses("2 A", "T"), outlet("L1", "N1", loads)]), "opens-in-use");
    // A 100 W lamp is there to bear the short: 0.43 A through it is use, and 63 mA opens by it.
    let limiter = |amperes: &str| jig(&[fuses(amperes, "T"), lamp("L1", "OL", "100 W"), outlet("OL", "N1", loads)]);
    silent(&limiter("1 A"), "opens-in-use");
    trips(&limiter("63 mA"), "opens-in-use", Signal::Warning);
    // A pilot lamp across the mains bears none of it.
    silent(&jig(&[fuses("2 A", "T"), lamp("L1", "N1", "15 W"), outlet("L1", "N1", loads)]), "opens-in-use");
    // A load that is listed is use: 1000 W through 1 A.
    let load = |watts: &str| jig(&[fuses("1 A", "T"), outlet("L1", "N1", &format!("\"open\", \"{watts}\""))]);
    let f = trips(&load("1000 W"), "opens-in-use", Signal::Warning);
    assert!(f.message.contains("OUT"), "{f:?}");
    silent(&load("100 W"), "opens-in-use");
}

#[test]
fn each_device_opens_once() {
    let text = |rcd: &str, breaker: &str| {
        let supply = format!("rcd = \"{rcd}\"\nbreaker = \"{breaker}\"\n[enclosure]");
        let case = "[[touchable]]\nname = \"case\"\nnet = \"CASE\"\n";
        let wire = part("W1", "wire", "PE", "CASE", "area = \"1 mm2\"\ncolour = \"green-and-yellow\"");
        earthed().replace("[enclosure]", &supply) + &fuses("2 A", "T") + &lamp("L1", "N1", "100 W") + &wire + case
    };
    // A device of next to nothing still carries a leak when it is open: it opens once and no more.
    for (rcd, breaker) in [("1e-15 mA", "16 A"), ("30 mA", "0.1 uA")] {
        let text = text(rcd, breaker);
        let read = jig::parse("once.toml", text.as_bytes()).unwrap();
        let found = survey(&read, &Options::default());
        for t in &found.ledger.tried {
            let crate::survey::condition::Moment::After(opened) = &t.condition.moment else { continue };
            let mut once = opened.clone();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), opened.len(), "{opened:?}");
        }
    }
    trips(&text("30 mA", "0.1 uA"), "opens-in-use", Signal::Warning);
    let tiny = "resistance = \"1 kΩ\"\npower = \"1e-15 W\"\nvoltage = \"350 V\"\nfusible = true";
    judged(&jig(&[fuses("1 A", "T"), part("R1", "resistor", "L1", "N1", tiny)]));
}

#[test]
fn a_bridged_fusible_resistor_opens_nothing() {
    let keys = "resistance = \"10 Ω\"\npower = \"1 W\"\nvoltage = \"350 V\"\nfusible = true\nflameproof = true";
    let text = jig(&[part("R1", "resistor", "L", "L1", keys), resistor("R2", "L1", "N", "100 Ω", "100 W")]);
    let read = jig::parse("fusible.toml", text.as_bytes()).unwrap();
    let found = survey(&read, &Options::default());
    let r1 = found.model.items.iter().position(|i| i.name == "R1").unwrap();
    let bridged = crate::survey::condition::Fault::Short(r1);
    let mut opens = [0, 0];
    for t in &found.ledger.tried {
        if let Outcome::Cleared { by, also, .. } = &t.outcome {
            let own = std::iter::once(*by).chain(also.iter().map(|a| a.0)).any(|k| {
                matches!(found.model.protectors[k].kind, crate::survey::model::ProtectorKind::Fusible(k) if k == r1)
            });
            opens[usize::from(t.condition.faults.contains(&bridged))] += usize::from(own);
        }
    }
    // In use it takes (230/110)² · 10 Ω = 44 W of 1 W and opens; bridged it carries nothing.
    assert!(opens[0] > 0 && opens[1] == 0, "{opens:?}");
}

// ---- the earth as a return ----

#[test]
fn working_current_in_the_earth() {
    let to = |net: &str, touch: &str| {
        let rest = resistor("R2", "L1", "N1", "22 kΩ", "20 W");
        earthed() + &fuses("1 A", "T") + &resistor("R1", "L1", net, "10 kΩ", "20 W") + &rest + touch
    };
    // 253 V / 9.5 kΩ = 27 mA.
    let f = trips(&to("PE", ""), "earth-return", Signal::Warning);
    close(f.value, 253.0 / 9500.0, 0.02);
    assert_eq!(f.parts, ["R1"]);
    silent(&to("PE", ""), "rcd-standing-leakage");
    silent(&to("N1", ""), "earth-return");
    let wire = part("W1", "wire", "PE", "CASE", "area = \"1 mm2\"\ncolour = \"green-and-yellow\"");
    let case = wire + "[[touchable]]\nname = \"case\"\nnet = \"CASE\"\n";
    trips(&to("PE", &case), "earth-return", Signal::Danger);
    // What leaks through a filter is no return, however much: 10 nF take 0.8 mA, 220 nF 17 mA.
    for farads in ["10 nF", "220 nF"] {
        let y = format!("capacitance = \"{farads}\"\nvoltage = \"275 V\"\nclass = \"Y2\"");
        silent(&(earthed() + &fuses("1 A", "T") + &part("C1", "capacitor", "L1", "PE", &y)), "earth-return");
    }
    // A tester's glow lamp to earth: (253 V − 60 V) / 256 kΩ = 0.8 mA, inside the leakage of an inspection.
    let neon = part("LP1", "neon-lamp", "a", "PE", "type = \"A1A\"");
    silent(&(earthed() + &fuses("50 mA", "F") + &resistor("R1", "L1", "a", "270 kΩ", "0.6 W") + &neon), "earth-return");
}

// ---- protection led round ----

#[test]
fn a_chain_of_protection_is_bypassed_as_a_whole() {
    let thermal =
        part("TF1", "thermal-fuse", "Lf", "L1", "temperature = \"115 °C\"\ncurrent = \"10 A\"\nvoltage = \"250 V\"");
    let wire = |a: &str, b: &str| part("W9", "wire", a, b, "area = \"1 mm2\"\ncolour = \"brown\"\nvoltage = \"300 V\"");
    let text = |more: &str| {
        let rest = fuse("F1", "L", "Lf", "1 A") + &thermal + &fuse("F2", "N", "N1", "1 A");
        jig(&[rest, resistor("R1", "L1", "N1", "10 kΩ", "20 W"), more.into()])
    };
    let j = judged(&text(&wire("L", "L1")));
    let named: Vec<&str> = of(&j, "bypassed").iter().map(|f| f.parts[0].as_str()).collect();
    assert_eq!(named, ["F1", "TF1"]);
    assert!(of(&j, "bypassed").iter().all(|f| f.signal == Signal::Warning && f.message.contains("W9")), "{j:?}");
    // The same with a lamp for a pilot between the two: it is fed by the rest of the chain.
    let pilot = wire("L", "L1") + &resistor("R2", "Lf", "N1", "100 kΩ", "2 W");
    assert_eq!(of(&judged(&text(&pilot)), "bypassed").len(), 2);
    // A wire onwards from the chain leads round nothing.
    silent(&text(&(wire("L1", "L2") + &resistor("R2", "L2", "N1", "100 kΩ", "2 W"))), "bypassed");
}

#[test]
fn a_switch_may_lead_round_a_fuse_but_not_round_its_like() {
    let switch = |name: &str, poles: &str| {
        format!("[part.{name}]\nkind = \"switch\"\npoles = {poles}\nvoltage = \"250 V\"\ncurrent = \"10 A\"\n")
    };
    let load = resistor("R1", "L2", "N1", "10 kΩ", "20 W");
    let text = |switches: &str| jig(&[fuses("1 A", "T"), load.clone(), switches.into()]);
    let f = trips(
        &text(&(switch("SW1", "[[\"L1\", \"L2\"]]") + &switch("SW2", "[[\"L\", \"L1\"]]"))),
        "bypassed",
        Signal::Warning,
    );
    assert!(f.parts == ["F1"] && f.message.contains("SW2"), "{f:?}");
    // Two poles side by side share the current; each is as good as the other.
    silent(&text(&switch("SW1", "[[\"L1\", \"L2\"], [\"L1\", \"L2\"]]")), "bypassed");
    // A changeover with one fused and one unfused way: the fuse is never bridged, though no fuse stands in the other way.
    let change = "[part.SW1]\nkind = \"switch\"\npositions = { a = [[\"L1\", \"L2\"]], b = [[\"L\", \"L2\"]] }\nvoltage = \"250 V\"\ncurrent = \"10 A\"\n";
    silent(&text(change), "bypassed");
}

#[test]
fn of_two_windings_any_end_may_touch_any_end() {
    let text = |primary: &str, secondary: &str| {
        let windings = format!(
            "[part.T1]\nkind = \"transformer\"\nprimary = {{ across = {primary}, volts = \"230 V\" }}\nsecondary = {{ across = {secondary}, volts = \"12 V\" }}\npower = \"20 VA\"\ninsulation = \"basic\"\n"
        );
        let wire = part("W1", "wire", "PE", "CASE", "area = \"1 mm2\"\ncolour = \"green-and-yellow\"");
        let earth = part("W2", "wire", "CASE", "S2", "area = \"1 mm2\"\ncolour = \"green-and-yellow\"");
        let load = resistor("R1", "S1", "S2", "100 Ω", "10 W");
        let post = "[[touchable]]\nname = \"plus post\"\nnet = \"S1\"\n";
        earthed()
            + &fuse("F1", "L", "L1", "500 mA")
            + &fuse("F2", "N", "N1", "500 mA")
            + &windings
            + &wire
            + &earth
            + &load
            + post
    };
    let signals = |primary: &str, secondary: &str| {
        let j = judged(&text(primary, secondary));
        let mut out: Vec<(String, Signal)> = j.findings.iter().map(|f| (f.check.to_string(), f.signal)).collect();
        out.sort();
        out
    };
    let one = signals("[\"L1\", \"N1\"]", "[\"S1\", \"S2\"]");
    assert!(!one.is_empty());
    // With both turned round it is the same transformer: which way round one winding stands to the other is another one.
    assert_eq!(signals("[\"N1\", \"L1\"]", "[\"S2\", \"S1\"]"), one);
}

// ---- off ----

#[test]
fn an_outlet_that_is_off_and_lit() {
    let text = |more: &str| {
        let switch =
            "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"L2\"]]\nvoltage = \"250 V\"\ncurrent = \"10 A\"\n";
        let head = earthed().replace("\"F\"", "\"G\"");
        let socket = "[part.J1]\nkind = \"socket\"\nnets = [\"L2\", \"N\", \"PE\"]\nshrouded = true\n";
        head + &fuse("F1", "L", "L1", "2 A") + switch + more + socket + &outlet("L2", "N", "\"open\", \"100 W\"")
    };
    let neon = |ohms: &str, to: &str| {
        resistor("R1", "L1", "k", ohms, "0.6 W") + &part("LP1", "neon-lamp", "k", to, "type = \"A1A\"")
    };
    // (358 V − 60 V) / (47 kΩ + 2 kΩ) = 6.1 mA at the crest, over 0.7 mA.
    let f = trips(&text(&neon("47 kΩ", "L2")), "off-not-dead", Signal::Warning);
    assert!(f.parts.contains(&"SW1".to_string()) && f.parts.contains(&"LP1".to_string()), "{f:?}");
    // From the switched side to the neutral it is dark and dead when off.
    let other = resistor("R1", "L2", "k", "47 kΩ", "0.6 W") + &part("LP1", "neon-lamp", "k", "N", "type = \"A1A\"");
    silent(&text(&other), "off-not-dead");
    // (358 V − 60 V) / 1 MΩ = 0.3 mA: off is not dead, but no shock.
    trips(&text(&neon("1 MΩ", "L2")), "off-not-dead", Signal::Caution);
    let snubber =
        |b: &str| part("C1", "capacitor", "L1", b, "capacitance = \"100 nF\"\nvoltage = \"275 V\"\nclass = \"X2\"");
    trips(&text(&snubber("L2")), "off-not-dead", Signal::Warning);
    silent(&text(&snubber("N")), "off-not-dead");
    // A lamp across a switch is a limiter with its bypass: it is there to feed the outlet.
    silent(&text(&lamp("L1", "L2", "100 W")), "off-not-dead");
}

#[test]
fn a_limiter_in_the_neutral() {
    let text = |plug: &str, lamp_at: [&str; 2], across: [&str; 2]| {
        let head = earthed().replace("\"F\"", &format!("\"{plug}\""));
        let [a, b] = across;
        head + &fuse("F1", "L", "L1", "2 A")
            + &lamp(lamp_at[0], lamp_at[1], "60 W")
            + &outlet(a, b, "\"open\", \"short\", \"40 W\"")
    };
    let f = trips(&text("G", ["X", "N"], ["L1", "X"]), "lamp-in-neutral", Signal::Caution);
    assert_eq!(f.parts, ["LP1"]);
    silent(&text("G", ["L1", "X"], ["X", "N"]), "lamp-in-neutral");
    // Where the plug goes in either way, no pole is the neutral for certain.
    silent(&text("C", ["X", "N"], ["L1", "X"]), "lamp-in-neutral");
}

#[test]
fn a_pilot_across_a_fuse_is_no_load_and_need_not_strike() {
    let switch = "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"L2\"], [\"N1\", \"N2\"]]\nvoltage = \"250 V\"\ncurrent = \"6 A\"\n";
    let pilot = |to: &str| {
        let resistors = resistor("R5", "L", "t", "470 kΩ", "0.6 W") + &resistor("R6", "t", "u", "470 kΩ", "0.6 W");
        let neon = part("LP1", "neon-lamp", "u", to, "type = \"A1B\"");
        jig(&[fuses("1 A", "T"), switch.into(), resistor("R1", "L2", "N2", "10 kΩ", "20 W"), resistors, neon])
    };
    for check in ["single-pole-switch", "lamp-strike"] {
        silent(&pilot("L1"), check);
    }
    // To the neutral ahead of the switch it works all the time; behind the switch it is left on the line when that is off.
    silent(&pilot("N1"), "single-pole-switch");
    trips(&pilot("N2"), "single-pole-switch", Signal::Warning);
}

#[test]
fn a_lamp_that_is_switched_off_need_not_strike() {
    let text = |ohms: &str| {
        let head = HEAD.replace("230 V 50 Hz", "120 V 60 Hz").replace("\"C\"", "\"A polarised\"");
        let switch =
            "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"L2\"]]\nvoltage = \"250 V\"\ncurrent = \"2 A\"\n";
        let lamp = "strike = \"65 V\"\nstrike-max = \"90 V\"\nmaintain = \"55 V\"\ncurrent = \"0.5 mA\"\nmax-current = \"1 mA\"";
        let lamp = part("LP1", "neon-lamp", "a", "N", lamp);
        head + &fuse("F1", "L", "L1", "100 mA") + switch + &resistor("R1", "L2", "a", ohms, "0.6 W") + &lamp
    };
    // On, 1.41 · 108 V = 153 V against 90 V: 1.7 times. Off, 1 GΩ of contact and as much of dark lamp share them: 0.85 times.
    silent(&text("100 kΩ"), "lamp-strike");
}

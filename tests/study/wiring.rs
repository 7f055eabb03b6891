//! Parts left out, bridged, moved, turned round; plug, cord and supply changed. Structural but for a few sums that stand
//! beside them.

use super::edit::Expect::Harmless;
use super::edit::{Case, Sound, flagged};
use crate::finding::Signal::{Caution, Danger, Notice, Warning};

const WIRE: &str =
    "kind = \"wire\"\narea = \"1 mm2\"\nlength = \"0.1 m\"\nvoltage = \"300 V\"\ntemperature = \"70 °C\"";

fn wire(a: &str, b: &str) -> String {
    format!("{WIRE}\nacross = [{a:?}, {b:?}]")
}

/// Two-ended parts turned round, bridged, left out.
pub fn parts(jig: &Sound, out: &mut Vec<Case>) {
    for kind in ["resistor", "fuse", "capacitor", "neon-lamp", "filament-lamp", "wire"] {
        for p in jig.parts(kind) {
            let [a, b] = jig.ends(&p);
            // None of these has a direction.
            jig.case(out, "part without polarity turned round", &p, Harmless, |j| j.hang(&p, &b, &a));
        }
    }
    for p in jig.parts("led") {
        // Behind a bridge it stands its volts backwards and nothing lights. The probe's two LEDs are there for both
        // directions: with both one way the other way leaves 450 V · 150/4950 = 14 V backwards on LEDs for 5 V.
        let [a, b] = jig.ends(&p);
        jig.case(out, "LED turned round", &p, flagged(Notice, &[&p, "LED1", "LED2"]), |j| j.hang(&p, &b, &a));
    }
    for b in jig.parts("bridge") {
        let path = format!("part.{b}");
        jig.case(out, "bridge turned round", &b, flagged(Notice, &[&b, "LED1"]), |j| {
            j.exchange_keys(&path, "plus", "minus")
        });
        let ac = jig.get(&path, "ac").unwrap();
        let turned = if jig.name.starts_with("led") { "[\"q\", \"p\"]" } else { "[\"N1\", \"p\"]" };
        assert_ne!(ac, turned);
        jig.case(out, "part without polarity turned round", &b, Harmless, |j| j.set(&path, "ac", turned));
    }
    for kind in ["resistor", "fuse", "capacitor", "neon-lamp", "filament-lamp", "led"] {
        for p in jig.parts(kind) {
            let [a, b] = jig.ends(&p);
            // A wire across a part: whatever it was for, it no longer does.
            let expect = flagged(Caution, &[&p, "WX"]);
            jig.case(out, "part bridged by a wire", &p, expect, |j| j.put("WX", &wire(&a, &b)));
        }
    }
    // 330 nF hold the crest of the mains on the pins; what the probe is put on stays charged.
    let (emptying, guilty): (&[&str], &[&str]) = match jig.name {
        "capacitor-led-230v" => (&["R2", "R3"], &["C1", "L", "N"]),
        "discharge-probe" => (&["R1", "R2", "R3", "R4"], &["TIP", "CLIP"]),
        _ => (&[], &[]),
    };
    for p in emptying {
        jig.case(out, "part left out that empties a capacitor", *p, flagged(Warning, guilty), |j| j.take(p));
    }
    // In the one loop of a lamp circuit a part that is not there stops the current, and what is left stands on the mains
    // as it stood before. (The ends in the air are worth a word, but harm nobody.)
    let loop_of: &[&str] = match jig.name {
        "neon-wand-230v" | "neon-wand-120v" => &["R1", "R2", "LP1"],
        "led-box-230v" => &["R1", "R2", "LED1"],
        "series-lamp-limiter-230v" => &["LP1"],
        _ => &[],
    };
    for p in loop_of {
        jig.case(out, "part left out of the only loop", *p, Harmless, |j| j.take(p));
    }
    for f in jig.parts("fuse") {
        let [a, b] = jig.ends(&f);
        // One pole only is left fused: on a reversible plug the other way round nothing is, but in class II a fault to
        // earth is not to be expected.
        let class_one = jig.get("enclosure", "class").as_deref() == Some("\"I\"");
        let on_mains = f == "F1" || f == "F2";
        // The second fuse of the isolated side ends nothing that the first one does not.
        if on_mains {
            let expect = flagged(if class_one { Warning } else { Caution }, &[&a, &b, "F1", "F2", &f]);
            jig.case(out, "one fuse replaced by a wire", &f, expect, |j| j.put(&f, &wire(&a, &b)));
        }
    }
    if jig.parts("fuse").len() >= 2 {
        jig.case(out, "no fuse at all", "", flagged(Warning, &["L", "N", "L1", "N1", "fuse"]), |j| {
            for f in ["F1", "F2"] {
                let [a, b] = j.ends(f);
                j.put(f, &wire(&a, &b));
            }
        });
    }
    // A resistor of the string replaced by a wire: what hangs on one resistor alone has nothing once it shorts.
    for (name, list) in
        [("neon-wand-230v", ["R1", "R2"]), ("neon-wand-120v", ["R1", "R2"]), ("led-box-230v", ["R1", "R2"])]
    {
        for r in list.iter().filter(|_| jig.name == name) {
            let [a, b] = jig.ends(r);
            // The LED box's fuses end a short within milliseconds and its LEDs die; its resistor takes twice the watts.
            let least = if name.starts_with("led") { Caution } else { Warning };
            jig.case(out, "dropper halved to one resistor", *r, flagged(least, &["R1", "R2", "LP1", "LED1"]), |j| {
                j.put(r, &wire(&a, &b));
            });
        }
    }
    for s in jig.parts("switch") {
        let path = format!("part.{s}");
        for (way, poles, gone) in [
            ("switch in the neutral only", "[[\"N1\", \"N2\"]]", ["L1", "L2"]),
            ("switch in one pole only", "[[\"L1\", \"L2\"]]", ["N1", "N2"]),
        ] {
            jig.case(out, way, &s, flagged(Warning, &[&s]), |j| {
                j.set(&path, "poles", poles);
                j.put("WX", &wire(gone[0], gone[1]));
            });
        }
        jig.case(out, "part without polarity turned round", &s, Harmless, |j| {
            j.set(&path, "poles", "[[\"L2\", \"L1\"], [\"N2\", \"N1\"]]");
        });
        jig.case(out, "fuse behind the switch", "F1", flagged(Caution, &["F1", &s]), |j| {
            // L - switch - L1 - fuse - L2, the other pole as before.
            j.hang("F1", "L1", "L2");
            j.set(&path, "poles", "[[\"L\", \"L1\"], [\"N1\", \"N2\"]]");
        });
    }
}

/// Plug, cord, colours, supply.
pub fn supply(jig: &Sound, out: &mut Vec<Case>) {
    if jig.name.starts_with("discharge") {
        return;
    }
    let class_one = jig.get("enclosure", "class").as_deref() == Some("\"I\"");
    jig.case(out, "no cord relief", "false", flagged(Caution, &["cord"]), |j| {
        j.set("supply.cord", "strain-relief", "false")
    });
    jig.case(out, "no cord relief", "not stated", flagged(Caution, &["cord"]), |j| {
        j.unset("supply.cord", "strain-relief")
    });
    jig.case(out, "cord too thin", "0.1 mm2", flagged(Warning, &["cord"]), |j| {
        j.set("supply.cord", "area", "\"0.1 mm2\"")
    });
    for (pin, colour) in [("L", "green-and-yellow"), ("N", "green-and-yellow")] {
        let body = format!("{WIRE}\ncolour = {colour:?}");
        jig.case(out, "earth colour on a mains wire", pin, flagged(Warning, &["W9"]), |j| {
            j.in_series(pin, "L0", "W9", &body)
        });
    }
    // Brown on L is the trade's colour of a line.
    let brown = format!("{WIRE}\ncolour = \"brown\"");
    if !jig.name.contains("120v") {
        jig.case(out, "wire more, in the right colour", "L", Harmless, |j| j.in_series("L", "L0", "W9", &brown));
    }
    // The plugs of these jigs go in both ways round, and both poles are fused and switched alike.
    jig.case(out, "L and N exchanged at the plug", "", Harmless, |j| j.exchange("L", "N"));
    if class_one {
        jig.case(out, "two-pin plug on class I", "C", flagged(Warning, &["plug", "PE", "CASE"]), |j| {
            j.set("supply", "plug", "\"C\"")
        });
        jig.case(out, "two-core cord on class I", "", flagged(Warning, &["cord", "PE", "CASE"]), |j| {
            j.set("supply.cord", "cores", "2")
        });
        jig.case(out, "earth not brought in", "C, two cores", flagged(Danger, &["PE", "CASE", "case"]), |j| {
            j.set("supply", "plug", "\"C\"");
            j.set("supply.cord", "cores", "2");
        });
    }
    if jig.name == "neon-wand-120v" {
        // One of 51 kΩ shorted on 230 V: half of (230-65)²/51 kΩ is 0.27 W … the lamp takes 2.3 mA for its 0.5 mA; and
        // a plug made for 125 V.
        jig.case(out, "supply 230 V for 120 V", "", flagged(Warning, &["plug", "R1", "R2", "LP1"]), |j| {
            j.set("supply", "system", "\"230 V 50 Hz\"");
        });
    } else {
        let plug = |j: &mut Sound| {
            j.set("supply", "system", "\"120 V 60 Hz\"");
            j.set("supply", "plug", if class_one { "\"B\"" } else { "\"A\"" });
        };
        // Half the volts on the same parts; but a load given in watts takes twice the current through the transformer.
        let loaded = jig.name.starts_with("isolated");
        let expect = if loaded { flagged(Warning, &["T1"]) } else { Harmless };
        jig.case(out, "supply 120 V for 230 V", "", expect, plug);
        jig.case(out, "plug rated for 125 V on 230 V", "A", flagged(Warning, &["plug"]), |j| {
            j.set("supply", "plug", "\"A\"")
        });
    }
}

/// What is particular to one jig.
pub fn particular(jig: &Sound, out: &mut Vec<Case>) {
    match jig.name {
        "isolated-supply-230v" => isolated(jig, out),
        "series-lamp-limiter-230v" => {
            // What is left is a fused and switched outlet on an earthed case: a short there opens the fuses. That it no
            // longer limits is for a check of this unit to say.
            jig.case(out, "lamp left out of the limiter", "LP1", Harmless, |j| {
                j.put("LP1", &wire("L2", "OL"));
            });
            // The lamp bounds what any load draws.
            jig.case(out, "outlet loaded more", "2000 W", Harmless, |j| j.load("2000 W"));
        }
        "capacitor-led-230v" => {
            jig.case(out, "wrong capacitor class", "no class, a film type", flagged(Warning, &["C1"]), |j| {
                j.unset("part.C1", "class");
                j.set("part.C1", "voltage", "\"400 V\"");
            });
            jig.case(out, "better capacitor class", "X1", Harmless, |j| j.set("part.C1", "class", "\"X1\""));
            // R1 burns for ever when C1 shorts: 253²/470 is 136 W, and a 315 mA fuse does not see 0.5 A.
            jig.case(out, "resistor not made to fail cold", "R1", flagged(Warning, &["R1"]), |j| {
                j.unset("part.R1", "fusible");
                j.unset("part.R1", "flameproof");
            });
        }
        "discharge-probe" => {
            // A quarter of 5000 V is more than twice 500 V on each resistor.
            jig.case(out, "outlet loaded more", "5000 V", flagged(Warning, &["R1", "R2", "R3", "R4"]), |j| {
                j.load("10 uF charged 5000 V")
            });
            // 1 F at 400 V is 80 kJ.
            jig.case(out, "outlet loaded more", "1 F", flagged(Warning, &["R1", "R2", "R3", "R4", "TIP"]), |j| {
                j.load("1 F charged 400 V")
            });
        }
        _ => {}
    }
}

fn isolated(jig: &Sound, out: &mut Vec<Case>) {
    for net in ["S1", "S2", "O1", "O2"] {
        for to in ["PE", "N"] {
            let guilty = flagged(Warning, &[net, "WX", "S1", "S2", "O1", "O2"]);
            jig.case(out, "isolated side tied to mains or earth", format!("{net} to {to}"), guilty, |j| {
                j.put("WX", &wire(net, to))
            });
        }
    }
    for grade in ["basic", "functional"] {
        let guilty = flagged(Warning, &["T1", "OUT", "O1", "O2", "S1", "S2"]);
        jig.case(out, "transformer not insulated enough", grade, guilty, |j| {
            j.set("part.T1", "insulation", &format!("{grade:?}"));
        });
    }
    // 1 µF passes 230·2π50·1e-6 = 72 mA to a hand.
    jig.case(out, "capacitance between the windings", "1 µF", flagged(Warning, &["OUT", "T1", "O1", "O2"]), |j| {
        j.set("part.T1", "capacitance", "\"1 uF\"");
    });
    // 400 W from 100 VA: below what the 1 A fuse in front or one of 10 A behind is sure to end.
    jig.case(out, "transformer overloaded", "400 W behind 10 A", flagged(Warning, &["T1"]), |j| {
        j.load("400 W");
        for f in ["F3", "F4"] {
            j.set(&format!("part.{f}"), "current", "\"10 A\"");
        }
    });
    // Some ten times 0.43 A is all that a short behind the transformer brings.
    for f in ["F3", "F4"] {
        jig.case(out, "fuse breaks little, little to break", f, Harmless, |j| {
            j.set(&format!("part.{f}"), "breaking", "\"35 A\"");
        });
    }
}

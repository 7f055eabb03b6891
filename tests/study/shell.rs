//! What lies between the hand and the mains: insulation, distances, the box, what can be touched. Structural: the way of
//! breaking names what is missing, no sum is needed.

use super::edit::Expect::Harmless;
use super::edit::{Case, Sound, flagged};
use crate::finding::Signal::{Caution, Danger, Warning};

/// Insulation and distances.
pub fn insulation(jig: &Sound, out: &mut Vec<Case>) {
    for k in 0..jig.insulations() {
        let path = format!("insulation.{k}");
        let [a, b] = jig.sides(k);
        let [touchable, _] = jig.touchable();
        let what = format!("{a} to {b}");
        let guilty = || flagged(Warning, &[&a, &b, &touchable]);
        jig.case(out, "insulation not stated", &what, guilty(), |j| j.bare(k));
        jig.case(out, "functional insulation only", &what, guilty(), |j| j.set(&path, "grade", "\"functional\""));
        for (key, way) in [("clearance", "clearance of 0.1 mm"), ("creepage", "creepage of 0.1 mm")] {
            jig.case(out, way, &what, guilty(), |j| j.set(&path, key, "\"0.1 mm\""));
        }
        for (key, way) in [("clearance", "clearance not stated"), ("creepage", "creepage not stated")] {
            jig.case(out, way, &what, guilty(), |j| j.unset(&path, key));
        }
        if jig.get("enclosure", "class").as_deref() == Some("\"II\"") {
            jig.case(out, "basic insulation in class II", &what, guilty(), |j| j.set(&path, "grade", "\"basic\""));
        }
        // More of everything is never worse.
        jig.case(out, "more insulation than needed", &what, Harmless, |j| {
            j.set(&path, "grade", "\"reinforced\"");
            j.set(&path, "clearance", "\"14 mm\"");
            j.set(&path, "creepage", "\"16 mm\"");
        });
    }
}

/// Metal within reach on a net that the mains reaches.
pub fn touchables(jig: &Sound, out: &mut Vec<Case>) {
    let nets: &[&str] = match jig.name {
        "neon-wand-230v" | "neon-wand-120v" => &["L", "N", "L1", "N1", "m", "a"],
        "led-box-230v" => &["L", "N", "L1", "N1", "L2", "N2", "p", "q", "x", "y"],
        "capacitor-led-230v" => &["L", "N", "L1", "N1", "m", "b", "p", "x", "y"],
        "isolated-supply-230v" => &["L", "N", "L1", "N1", "L2", "N2"],
        "series-lamp-limiter-230v" => &["L", "N", "L1", "N1", "L2", "N2", "OL"],
        _ => &[],
    };
    for net in nets {
        let name = "bare screw";
        let body = format!("\n[[touchable]]\nname = {name:?}\nnet = {net:?}\n");
        // Through some kilohms of the body: behind two resistors of 150 kΩ the current is within the limits as built,
        // and one of them shorted is not. Harm is certain, only its grade is left to the solved circuit.
        let least = if jig.name.starts_with("neon") && (*net == "m" || *net == "a") { Warning } else { Danger };
        jig.case(out, "live part within reach", *net, flagged(least, &[net, name]), |j| j.append(&body));
    }
}

/// The box.
pub fn enclosure(jig: &Sound, out: &mut Vec<Case>) {
    let class_one = jig.get("enclosure", "class").as_deref() == Some("\"I\"");
    let mains = !jig.name.starts_with("discharge");
    if mains {
        jig.case(out, "no box", "open", flagged(Danger, &["F1"]), |j| {
            j.set("enclosure", "material", "\"open\"");
        });
        jig.case(out, "box opens by hand", "", flagged(Caution, &["hand"]), |j| {
            j.set("enclosure", "opens-with", "\"hand\"");
        });
        jig.case(out, "class III on the mains", "", flagged(Warning, &["class"]), |j| {
            j.set("enclosure", "class", "\"III\"");
        });
    }
    if class_one {
        jig.case(out, "class I called class II", "", flagged(Warning, &["class", "CASE", "case"]), |j| {
            j.set("enclosure", "class", "\"II\"");
        });
        jig.case(out, "earth wire left out", "", flagged(Danger, &["CASE", "case"]), |j| j.take("W1"));
        jig.case(out, "case wired to a mains pin", "W1 on N", flagged(Danger, &["CASE", "case", "W1"]), |j| {
            j.hang("W1", "N", "CASE");
        });
        for (way, body) in [
            (
                "earth through a fuse",
                "kind = \"fuse\"\ncurrent = \"1 A\"\nspeed = \"T\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"\nacross = [\"PE\", \"CASE\"]",
            ),
            (
                "earth through a switch",
                "kind = \"switch\"\npoles = [[\"PE\", \"CASE\"]]\nvoltage = \"250 V\"\ncurrent = \"10 A\"",
            ),
            (
                "earth through a resistor",
                "kind = \"resistor\"\nresistance = \"100 Ω\"\npower = \"1 W\"\nvoltage = \"350 V\"\nacross = [\"PE\", \"CASE\"]",
            ),
            (
                "earth through a capacitor",
                "kind = \"capacitor\"\ncapacitance = \"4.7 nF\"\nclass = \"Y2\"\nvoltage = \"250 V\"\nacross = [\"PE\", \"CASE\"]",
            ),
        ] {
            jig.case(out, way, "", flagged(Danger, &["CASE", "case", "W1"]), |j| j.put("W1", body));
        }
        let named = &["W1", "colour"];
        jig.case(out, "earth wire in another colour", "brown", flagged(Caution, named), |j| {
            j.set("part.W1", "colour", "\"brown\"");
        });
    } else if mains {
        jig.case(out, "class II called class I", "", flagged(Warning, &["class", "cord", "plug", "earth"]), |j| {
            j.set("enclosure", "class", "\"I\"");
        });
        let metal = |j: &mut Sound| j.set("enclosure", "material", "\"metal\"");
        jig.case(out, "metal box in class II on basic insulation", "", flagged(Warning, &["metal", "class"]), |j| {
            metal(j);
            j.set("insulation.0", "grade", "\"basic\"");
        });
        // Metal all over, but kept from the mains by reinforced insulation: so class II is built.
        jig.case(out, "metal box in class II on reinforced insulation", "", Harmless, metal);
    }
    // Watts over the surface, 10 W a square metre and kelvin at the most: LED box (230-15)²/30 kΩ = 1.5 W on a cube of
    // 20 mm (24 cm²) is 64 K and more. The wands' tenth of a watt leaves the same cube below 10 K.
    let cube = |j: &mut Sound| j.set("enclosure", "size", "[\"20 mm\", \"20 mm\", \"20 mm\"]");
    match jig.name {
        "led-box-230v" => jig.case(out, "box far too small", "20 mm cube", flagged(Caution, &["box", "surface"]), cube),
        "neon-wand-230v" | "neon-wand-120v" => jig.case(out, "small box, little heat", "20 mm cube", Harmless, cube),
        _ => {}
    }
}

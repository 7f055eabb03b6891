//! Tools of many parts: a fault asks for the corners of what it changes only, and the worst of everything stays what it is
//! when every quantity asks for its corner in every fault.
#![allow(clippy::unwrap_used)]

use crate::finding::{Quantity, Situation};
use crate::jig;
use crate::survey::few::{ALIKE, Thrift};
use crate::survey::{Options, Survey, Watch, surveyed};

const ALL: [Situation; 3] = [Situation::Normal, Situation::SingleFault, Situation::Transient];
/// Every quantity asks for its own corner in every condition.
const ALL_CORNERS: Thrift = Thrift { many: usize::MAX, unfelt: 0.0, unfelt_of_many: 0.0 };
/// Watts, volts and amperes that are none.
const NOTHING: f64 = 1e-9;

/// Branches of dividers, LEDs and glow lamps across the fused mains.
fn panel(branches: usize) -> String {
    let mut out = String::from(
        "format = 1\n[jig]\nname = \"Panel\"\nunit = \"panel\"\nuse = \"bench\"\n[supply]\nsystem = \"230 V 50 Hz\"\nplug = \"C\"\n\
         cord = { area = \"0.75 mm2\", length = \"2 m\", cores = 2, strain-relief = true }\n[enclosure]\n\
         material = \"insulating\"\nclass = \"II\"\nsize = [\"400 mm\", \"300 mm\", \"200 mm\"]\nopens-with = \"tool\"\n",
    );
    let mut part = |name: String, kind: &str, a: &str, b: &str, keys: &str| {
        out += &format!("[part.{name}]\nkind = \"{kind}\"\nacross = [\"{a}\", \"{b}\"]\n{keys}\n");
    };
    let fuse = "current = \"1 A\"\nspeed = \"T\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"";
    part("F1".into(), "fuse", "L", "L1", fuse);
    part("F2".into(), "fuse", "N", "N1", fuse);
    for k in 0..branches {
        let [a, b] = [format!("a{k}"), format!("b{k}")];
        let ohms = |kilohms: usize| {
            format!("resistance = \"{kilohms} kΩ\"\ntolerance = \"5 %\"\npower = \"2 W\"\nvoltage = \"500 V\"")
        };
        part(format!("RA{k}"), "resistor", "L1", &a, &ohms(47 + k));
        match k % 3 {
            0 => part(format!("RB{k}"), "resistor", &a, "N1", &ohms(33)),
            1 => {
                part(format!("RB{k}"), "resistor", &a, &b, &ohms(47));
                part(format!("LP{k}"), "neon-lamp", &b, "N1", "type = \"A1A\"");
            }
            _ => {
                part(format!("D{k}"), "diode", &a, &b, "voltage = \"1000 V\"\ncurrent = \"1 A\"");
                part(format!("LED{k}"), "led", &b, "N1", "forward = \"2 V\"\ncurrent = \"20 mA\"\nreverse = \"5 V\"");
            }
        }
    }
    out
}

fn tried(text: &str, thrift: Thrift) -> Survey {
    let jig = jig::parse("panel.toml", text.as_bytes()).unwrap();
    surveyed(&jig, &Options { threads: 2, ..Options::default() }, &Watch::default(), thrift)
}

/// How many values were compared, and those that are not what they are when every quantity asks for its own corner.
fn compared(text: &str) -> (usize, Vec<String>) {
    let thrift = Thrift::default();
    let (few, all) = (tried(text, thrift), tried(text, ALL_CORNERS));
    let many = all.model.toleranced.len() > thrift.many;
    let known = if many { 2.0 * thrift.unfelt_of_many + ALIKE } else { 2.0 * thrift.unfelt };
    let (mut compared, mut differ) = (0, vec![]);
    for (k, item) in all.model.items.iter().enumerate() {
        for q in Quantity::ALL {
            for kind in ALL {
                let of = |s: &Survey, kind| s.ledger.get(k, q, kind).map_or(0.0, |w| w.value);
                // What is there for a moment counts only where it is more than what is there for ever.
                let value = |s: &Survey| {
                    if kind == Situation::Transient {
                        ALL.map(|k| of(s, k)).into_iter().fold(0.0, f64::max)
                    } else {
                        of(s, kind)
                    }
                };
                let (few, all) = (value(&few), value(&all));
                if (few - all).abs() > known * all.abs() + NOTHING {
                    differ.push(format!("{} {q:?} {kind:?}: {few} is not {all}", item.name));
                }
                compared += 1;
            }
        }
    }
    (compared, differ)
}

#[test]
fn the_worst_of_everything_is_found_with_fewer_corners() {
    let text = panel(12);
    let (few, all) = (tried(&text, Thrift::default()), tried(&text, ALL_CORNERS));
    let [n, of] = [&few, &all].map(|s| s.count().solved);
    assert!(4 * n < of, "{n} conditions instead of {of}");
    let (compared, differ) = compared(&text);
    assert!(differ.is_empty() && compared > 500, "{differ:#?}");
}

/// `DEADFRONT_THRIFT=FOLDER` compares every jig of a folder.
#[test]
fn the_worst_of_everything_is_found_in_tools_as_they_are_built() {
    let whole = std::env::var_os("DEADFRONT_THRIFT");
    let folder = whole.clone().unwrap_or_else(|| "demo-data".into());
    let (mut jigs, mut differ) = (0, vec![]);
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|x| x != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let (_, one) = compared(&text);
        if whole.is_some() {
            println!("{}: {} differ {one:#?}", path.display(), one.len());
        }
        differ.extend(one.into_iter().map(|d| format!("{}: {d}", path.display())));
        jigs += 1;
    }
    assert!(differ.is_empty() && jigs > 0, "{differ:#?}");
}

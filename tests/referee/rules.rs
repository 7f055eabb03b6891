//! The rules of the wiring by their published sentences, over walks of their own.

use super::shell;
use super::told::Signal;
use super::tool::Kind;
use super::verdict::Judge;
use super::walks::{self, fuse, is, joints, reach, solid, switch, unfused, wire};

/// What a way without a fuse lets through: surely harmless, surely not, or neither.
#[derive(Clone, Copy, PartialEq)]
pub enum Way {
    Harmless,
    Open,
    Between,
}

pub fn judge(j: &mut Judge) {
    fuses(j);
    switches(j);
    parts(j);
    shell::box_and_cord(j);
    shell::touchables(j);
}

/// Protective impedance: at the highest mains at most 0.5 mA, and 3.5 mA with any one resistor shorted (IEC 61010-1, 6.3).
fn way(high: f64, ohms: &[(f64, f64)]) -> Way {
    let times = |edge: f64| {
        let value = |&(r, percent): &(f64, f64)| r * (1.0 + edge * percent / 100.0);
        let sum: f64 = ohms.iter().map(value).sum();
        let largest = ohms.iter().map(value).fold(0.0, f64::max);
        (high / sum.max(1e-9) / 0.5e-3).max(high / (sum - largest).max(1e-9) / 3.5e-3)
    };
    if ohms.len() < 2 || times(1.0) > 1.03 {
        Way::Open
    } else if times(-1.0) < 0.97 {
        Way::Harmless
    } else {
        Way::Between
    }
}

/// Whether everything between the pins is surely behind protective impedance, or surely not.
pub fn impedance(j: &Judge) -> Way {
    let high = j.tool.supply.map_or(0.0, |s| s.high);
    let mut bare = j.tool.clone();
    for part in &mut bare.parts {
        if fuse(&part.kind) {
            part.kind = Kind::Wire { area: 1.0, colour: "" };
        }
    }
    let ways: Vec<Way> = unfused(&bare, "L", "N").iter().map(|w| way(high, w)).collect();
    if ways.iter().all(|w| *w == Way::Harmless) {
        Way::Harmless
    } else if ways.iter().all(|w| *w == Way::Open) {
        Way::Open
    } else {
        Way::Between
    }
}

fn fuses(j: &mut Judge) {
    let tool = j.tool;
    let high = tool.supply.map_or(0.0, |s| s.high);
    let ways: Vec<Way> = unfused(tool, "L", "N").iter().map(|w| way(high, w)).collect();
    // A fuse in the plug is one, in the line.
    let to_case = tool.parts.iter().any(|p| p.name == "CY1");
    if to_case {
        // Ways to the case are not followed here.
    } else if tool.plug.plug_fuse {
        j.silent("no fuse", &["no-fuse"], "", "a fuse in the plug".into());
    } else if ways.contains(&Way::Open) {
        j.must("no fuse", &["no-fuse"], "", Signal::Warning, "a way without a fuse".into());
    } else if ways.iter().all(|w| *w == Way::Harmless) {
        j.silent("no fuse", &["no-fuse"], "", format!("{} harmless ways without a fuse", ways.len()));
    }
    let first = |pin: &str, kind: fn(&Kind) -> bool| {
        let at: Vec<_> = joints(tool).into_iter().filter(|x| (x.a == pin || x.b == pin) && !is(x, wire)).collect();
        !at.is_empty() && at.iter().all(|x| is(x, kind))
    };
    let (line, neutral) = (first("L", fuse), first("N", fuse));
    // Behind nothing but contacts no fuse either.
    let fuseless = |pin: &str| {
        let at = reach(tool, pin, &[], |x| is(x, switch) || is(x, wire));
        !joints(tool).iter().any(|x| is(x, fuse) && (at.contains(x.a) || at.contains(x.b)))
    };
    if tool.plug.turns {
        if line && neutral {
            j.silent(
                "fuse in one pole",
                &["single-pole-fuse", "fuse-after-switch-or-part"],
                "",
                "a fuse first in each pole".into(),
            );
        } else if (line && fuseless("N") || neutral && fuseless("L")) && impedance(j) == Way::Open && ways.is_empty() {
            j.must(
                "fuse in one pole",
                &["single-pole-fuse"],
                "",
                Signal::Caution,
                "a fuse in one pole, either may be live".into(),
            );
        }
    }
    let live: &[&str] = if tool.plug.turns { &["L", "N"] } else { &["L"] };
    for pin in live {
        let behind = |x: &walks::Joint| is(x, switch) && (x.a == *pin || x.b == *pin);
        let next: Vec<_> = joints(tool).into_iter().filter(behind).collect();
        let fused_next = next.iter().any(|x| {
            let other = if x.a == *pin { x.b } else { x.a };
            joints(tool).iter().any(|y| is(y, fuse) && (y.a == other || y.b == other))
        });
        if first(pin, switch) && fused_next && !tool.plug.plug_fuse && impedance(j) == Way::Open {
            j.must(
                "fuse after switch",
                &["fuse-after-switch-or-part"],
                "",
                Signal::Notice,
                format!("{pin}: switch, then fuse"),
            );
        }
    }
    let in_neutral: Vec<&str> = tool
        .parts
        .iter()
        .filter(|p| fuse(&p.kind) && p.ends.iter().any(|e| solid_without(tool, "N").contains(e.as_str())))
        .map(|p| p.name.as_str())
        .collect();
    if tool.plug.turns {
        j.silent("fuse in neutral", &["fuse-in-neutral"], "", "either pin may be live".into());
    } else if let Some(f) = in_neutral.first() {
        j.must("fuse in neutral", &["fuse-in-neutral"], f, Signal::Caution, "behind N".into());
    } else {
        j.silent("fuse in neutral", &["fuse-in-neutral"], "", "none there".into());
    }
    for part in &tool.parts {
        let Kind::Fuse { breaking, .. } = part.kind else { continue };
        let sees_all = live.iter().any(|pin| part.ends.iter().any(|e| solid(tool, pin).contains(e.as_str())));
        if sees_all && breaking < 1500.0 {
            j.must("fuse breaking", &["fuse-breaking"], &part.name, Signal::Warning, "35 A against 1500 A".into());
        } else if breaking >= 1500.0 {
            j.silent("fuse breaking", &["fuse-breaking"], &part.name, "1500 A".into());
        }
    }
}

/// Joined to a pin by wires, contacts and fuses, not through the other pin.
fn solid_without<'a>(tool: &'a super::tool::Tool, pin: &'a str) -> std::collections::BTreeSet<&'a str> {
    reach(tool, pin, &["L"], |x| is(x, fuse) || is(x, switch) || is(x, wire))
}

fn switches(j: &mut Judge) {
    const BOTH: &[&str] = &["single-pole-switch", "switch-in-neutral"];
    let tool = j.tool;
    let Some(own) = tool.parts.iter().find(|p| switch(&p.kind)) else { return };
    let closed = |x: &walks::Joint| !is(x, switch);
    let mut hot = Vec::new();
    for (pin, other) in [("L", "N"), ("N", "L")] {
        if pin == "N" && !tool.plug.turns {
            continue;
        }
        let reached = reach(tool, pin, &[other, "PE"], closed);
        // What is reached and has no way on to the other pin hangs on the contact alone.
        let dead_end = !reached.contains(other);
        let parts: Vec<&str> = tool
            .parts
            .iter()
            .filter(|p| !matches!(p.kind, Kind::Fuse { .. } | Kind::Switch { .. } | Kind::Wire { .. }))
            .filter(|p| p.ends.iter().any(|e| reached.contains(e.as_str())))
            .map(|p| p.name.as_str())
            .collect();
        let outlet = tool.outlets.iter().any(|o| o.across.iter().any(|e| reached.contains(e.as_str())));
        if dead_end && (!parts.is_empty() || outlet) {
            hot.push(pin);
        } else if !dead_end {
            return; // something bridges the switch: left to other tests
        }
    }
    if hot.is_empty() {
        j.silent("switch poles", BOTH, &own.name, "opens every live pole".into());
    } else if impedance(j) == Way::Open {
        j.must("switch poles", BOTH, "", Signal::Caution, format!("off leaves it on {hot:?}"));
    }
}

fn parts(j: &mut Judge) {
    let tool = j.tool;
    let volts = tool.supply.map_or(0.0, |s| s.volts);
    let (line, neutral) = (solid(tool, "L"), solid(tool, "N"));
    for part in &tool.parts {
        let across = part.ends.len() == 2
            && (line.contains(part.ends[0].as_str()) && neutral.contains(part.ends[1].as_str())
                || line.contains(part.ends[1].as_str()) && neutral.contains(part.ends[0].as_str()));
        match part.kind {
            Kind::Varistor { volts: rated } if across => {
                // IEC 62368-1, G.8: 1.25 times the rated volts of the equipment.
                if rated < 1.25 * volts * 0.99 {
                    j.must(
                        "varistor",
                        &["varistor-rating", "opens-in-use"],
                        &part.name,
                        Signal::Notice,
                        format!("{rated} V on {volts} V"),
                    );
                } else if rated > 1.25 * volts * 1.01 {
                    j.silent("varistor", &["varistor-rating"], &part.name, format!("{rated} V on {volts} V"));
                }
            }
            Kind::Capacitor { class: None, polarised: false, .. } if across || tool.topology == "capacitor dropper" => {
                j.must(
                    "capacitor class",
                    &["capacitor-class"],
                    &part.name,
                    Signal::Caution,
                    "no class, on the mains".into(),
                );
            }
            // From the mains to the case: class Y to earth; one of class Y2 alone keeps nothing unearthed from the mains.
            Kind::Capacitor { class: Some(class), .. } if class.starts_with('Y') => {
                let earthed = tool.earthed() && reach(tool, &part.ends[1], &[], |x| is(x, wire)).contains("PE");
                if earthed {
                    j.silent("capacitor class", &["capacitor-class"], &part.name, "class Y2 to earth".into());
                } else {
                    // Where an earth is missing that should be there, that says it.
                    let bonded = reach(tool, &part.ends[1], &[], |x| is(x, wire)).contains("PE");
                    let (subject, checks): (&str, &[&str]) = if bonded {
                        ("", &["capacitor-class", "earth-open"])
                    } else {
                        (&part.name, &["capacitor-class"])
                    };
                    j.must("capacitor class", checks, subject, Signal::Caution, "Y2, no earth".into());
                }
            }
            Kind::Capacitor { class: Some(_), .. } => {
                j.silent("capacitor class", &["capacitor-class"], &part.name, "class X".into());
            }
            Kind::Wire { colour, .. } if part.ends.iter().any(|e| e == "PE") => {
                if colour == "green-and-yellow" {
                    j.silent("wire colour", &["wire-colour"], &part.name, colour.into());
                } else {
                    j.must("wire colour", &["wire-colour"], &part.name, Signal::Caution, colour.into());
                }
            }
            _ => {}
        }
    }
}

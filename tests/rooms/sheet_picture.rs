//! The wiring picture, read back from its own text: every terminal of the file is there once, each wire joins its own net and
//! nothing else, no wire goes through a symbol, nothing lies on anything. No browser: how fonts fall is looked at elsewhere.

#![allow(clippy::unwrap_used)]

use super::svg_read::{Drawn, Frame, read};
use crate::front::{SheetPart, sheet};
use crate::jig::{self, Jig};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Every jig file of a folder and those in it.
fn jigs(folder: &str, out: &mut Vec<PathBuf>) {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            jigs(path.to_str().unwrap(), out);
        } else if path.extension().is_some_and(|e| e == "toml") {
            out.push(path);
        }
    }
}

fn drawn(path: &Path) -> Option<(Jig, Drawn)> {
    let bytes = std::fs::read(path).unwrap();
    let jig = jig::parse(&path.display().to_string(), &bytes).ok()?;
    let options = crate::Options { file: path.display().to_string(), ..crate::Options::default() };
    let svg = sheet(&bytes, &options, SheetPart::Wiring).unwrap().text;
    Some((jig, read(&svg)))
}

/// Every terminal the file has: its id, and the name of its net.
fn terminals(jig: &Jig) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    let net = |n: &usize| jig.nets[*n].name.clone();
    for part in &jig.parts {
        for (k, n) in part.kind.terminals().iter().enumerate() {
            out.insert(id("terminal", &format!("{}-{}", part.name, k + 1)), net(n));
        }
    }
    for outlet in &jig.outlets {
        for (k, n) in outlet.across.iter().chain(&outlet.earth).enumerate() {
            out.insert(id("terminal-outlet", &format!("{}-{}", outlet.name, k + 1)), net(n));
        }
    }
    for touchable in &jig.touchables {
        out.insert(id("terminal-touchable", &format!("{}-1", touchable.name)), net(&touchable.net));
    }
    out
}

/// As an id is written: what is no letter, digit or one of `._-+` by its number.
fn id(kind: &str, name: &str) -> String {
    let letter = |c: char| {
        if c.is_alphanumeric() || "._-+".contains(c) { c.to_string() } else { format!("~{:x}", c as u32) }
    };
    format!("{kind}-{}", name.chars().map(letter).collect::<String>())
}

/// All that is wrong with a picture.
fn faults(jig: &Jig, d: &Drawn) -> Vec<String> {
    let mut wrong = vec![];
    terminals_and_nets(jig, d, &mut wrong);
    wires_apart(d, &mut wrong);
    nothing_on_anything(d, &mut wrong);
    wrong
}

fn terminals_and_nets(jig: &Jig, d: &Drawn, wrong: &mut Vec<String>) {
    let wanted = terminals(jig);
    for (terminal, net) in &wanted {
        let here: Vec<_> = d.terminals.iter().filter(|(name, _)| name == terminal).collect();
        let [(_, at)] = here[..] else {
            wrong.push(format!("{terminal} is there {} times", here.len()));
            continue;
        };
        // A wire of its net ends there, and no other comes near.
        for wire in &d.nets {
            let ends = wire.lines.iter().any(|l| l.ends_at(*at));
            let mine = wire.id == id("net", net);
            if mine && !ends {
                wrong.push(format!("{terminal} is not joined to {net}"));
            } else if !mine && wire.lines.iter().any(|l| l.goes_through(*at)) {
                wrong.push(format!("{terminal} of {net} is on {}", wire.id));
            }
        }
    }
    let extra =
        d.terminals.iter().filter(|(name, _)| !wanted.contains_key(name) && !name.starts_with("terminal-plug-"));
    wrong.extend(extra.map(|(name, _)| format!("{name} is in no file")));
    for wire in &d.nets {
        if !wire.is_one() {
            wrong.push(format!("{} falls apart", wire.id));
        }
        if wire.lines.iter().any(|l| l.a.0 != l.b.0 && l.a.1 != l.b.1) {
            wrong.push(format!("{} runs aslant", wire.id));
        }
        if wire.name.is_none() {
            wrong.push(format!("{} has no name", wire.id));
        }
    }
    for (k, net) in jig.nets.iter().enumerate() {
        let used = wanted.values().any(|n| *n == net.name);
        if used && !d.nets.iter().any(|w| w.id == id("net", &net.name)) {
            wrong.push(format!("net {k} {} has no wire", net.name));
        }
    }
}

/// Wires of two nets may cross, and no more.
fn wires_apart(d: &Drawn, wrong: &mut Vec<String>) {
    for (k, one) in d.nets.iter().enumerate() {
        for other in &d.nets[k + 1..] {
            for a in &one.lines {
                for b in other.lines.iter().filter(|b| a.touches(b) && !a.crosses(b)) {
                    wrong.push(format!("{} {a:?} lies on {} {b:?}", one.id, other.id));
                }
            }
        }
    }
}

/// No wire through a symbol or a word, no symbol on a symbol, no word on a word or on a symbol of another.
fn nothing_on_anything(d: &Drawn, wrong: &mut Vec<String>) {
    for (k, one) in d.symbols.iter().enumerate() {
        for other in &d.symbols[k + 1..] {
            if one.frame.grown(-1.0).meets(&other.frame.grown(-1.0)) {
                wrong.push(format!("{} is on {}", one.owner, other.owner));
            }
        }
        for wire in &d.nets {
            for line in wire.lines.iter().filter(|l| l.frame().meets(&one.frame.grown(-1.0))) {
                wrong.push(format!("{} {line:?} goes through {}", wire.id, one.owner));
            }
        }
        for (text, frame) in d.texts.iter().filter(|(_, f)| f.meets(&one.frame)) {
            if !one.texts.iter().any(|(own, f)| own == text && f == frame) {
                wrong.push(format!("“{text}” is on {}", one.owner));
            }
        }
    }
    for (k, (one, frame)) in d.texts.iter().enumerate() {
        for (other, _) in d.texts[k + 1..].iter().filter(|(_, f)| f.meets(frame)) {
            wrong.push(format!("“{one}” is on “{other}”"));
        }
        for wire in &d.nets {
            if wire.lines.iter().any(|l| l.frame().meets(frame)) {
                wrong.push(format!("{} goes through “{one}”", wire.id));
            }
        }
        if !d.page.holds(frame) {
            wrong.push(format!("“{one}” is cut off: {frame:?} of {:?}", d.page));
        }
    }
    for symbol in d.symbols.iter().filter(|s| !d.page.holds(&s.frame)) {
        wrong.push(format!("{} is cut off", symbol.owner));
    }
}

#[test]
fn every_jig_is_drawn_whole_and_nothing_lies_on_anything() {
    let mut paths = vec![];
    for folder in ["demo-data", "tests/jigs", "tests/designs"] {
        jigs(folder, &mut paths);
    }
    let (mut seen, mut wrong) = (0, vec![]);
    for path in &paths {
        let Some((jig, drawn)) = drawn(path) else { continue };
        seen += 1;
        wrong.extend(faults(&jig, &drawn).into_iter().map(|w| format!("{}: {w}", path.display())));
    }
    assert!(seen > 300, "{seen} jigs of {}", paths.len());
    assert!(wrong.is_empty(), "{} faults\n{}", wrong.len(), wrong[..wrong.len().min(60)].join("\n"));
}

/// The reader above must see what it is there for.
#[test]
fn a_picture_that_is_spoilt_is_told() {
    let (jig, sound) = drawn(Path::new("demo-data/isolated-supply-230v.toml")).unwrap();
    assert_eq!(faults(&jig, &sound), Vec::<String>::new());
    let spoilt = |spoil: &dyn Fn(&mut Drawn), told: &str| {
        let mut d = drawn(Path::new("demo-data/isolated-supply-230v.toml")).unwrap().1;
        spoil(&mut d);
        let told_all = faults(&jig, &d);
        assert!(told_all.iter().any(|w| w.contains(told)), "{told}: {told_all:?}");
    };
    spoilt(&|d| d.terminals.truncate(3), "is there 0 times");
    spoilt(&|d| d.nets.iter_mut().for_each(|n| n.lines.truncate(1)), "is not joined");
    spoilt(
        &|d| d.symbols.iter_mut().for_each(|s| s.frame = Frame { right: s.frame.right + 300.0, ..s.frame }),
        "is on",
    );
    spoilt(&|d| d.nets[0].lines[0].b.1 += 200.0, "runs aslant");
    spoilt(&|d| d.nets[3].lines = d.nets[4].lines.clone(), "lies on");
    spoilt(&|d| d.texts[2].1 = d.texts[3].1, "is on “");
    spoilt(&|d| d.nets[1].name = None, "has no name");
}

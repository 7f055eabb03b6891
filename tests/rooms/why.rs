//! The catalogue of checks and their pages: every check is there with a source, a jig that trips it and a near twin that
//! does not, and no finding of any jig of this tree names a source that its page does not.
#![allow(clippy::unwrap_used)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::Arc;

use crate::checks::{self, judge, page, pages};
use crate::finding::{CheckId, Finding, Judgement, Page};
use crate::plugin::{run, vm::Bounds, what_if::Subject};
use crate::survey::{Options, survey};
use crate::{jig, standard};

/// The checks a home-built mains tool is to be put through, by the room they stand in. Written down from the design of the
/// program, not read from its code.
const CATALOGUE: [(&str, &[&str]); 2] = [
    (
        "solved",
        &[
            "touch-voltage",
            "touch-current",
            "stored-charge",
            "resistor-power",
            "resistor-voltage",
            "smoulder",
            "lamp-current",
            "lamp-strike",
            "lamp-life",
            "led-current",
            "led-reverse",
            "diode-reverse",
            "diode-surge",
            "capacitor-voltage",
            "capacitor-class",
            "no-limiting",
            "fuse-rating",
            "fuse-breaking",
            "fuse-voltage",
            "fuse-inrush",
            "switch-rating",
            "wire-rating",
            "cord-rating",
            "plug-rating",
            "transformer-rating",
            "psu-rating",
            "wire-protection",
            "box-temperature",
            "hot-surface",
            "rcd-standing-leakage",
            "outlet-shock",
        ],
    ),
    (
        "wiring",
        &[
            "no-fuse",
            "single-pole-fuse",
            "fuse-in-neutral",
            "fuse-after-switch-or-part",
            "switch-in-neutral",
            "single-pole-switch",
            "earth-open",
            "earth-broken-by-part",
            "earth-not-bonded",
            "class-conflict",
            "insulation-missing",
            "insulation-too-weak",
            "clearance",
            "creepage",
            "live-pins",
            "wire-colour",
            "cord-relief",
            "cord-cores",
            "dead-short",
            "bypassed",
            "loose-end",
            "unused-part",
            "rating-missing",
            "flash-rate",
        ],
    ),
];

/// What a failing example draws beside the finding it is for, because its cause breaks more than one rule.
const BESIDE: &[(&str, &[&str])] = &[
    // The basic insulation that was enough to earthed metal may break down.
    ("earth-open", &["touch-current", "class-conflict"]),
    ("earth-broken-by-part", &["touch-current", "insulation-too-weak"]),
    ("earth-not-bonded", &["touch-current", "insulation-too-weak"]),
    ("cord-cores", &["touch-current"]),
    ("insulation-too-weak", &["touch-current"]),
    // The air inside rises by twice what the outside does.
    ("hot-surface", &["box-temperature"]),
    // A part above its rating in normal use is above it in faults that change nothing.
    ("diode-current", &["smoulder"]),
    // What leaks to earth there is a capacitor that nothing empties.
    ("rcd-standing-leakage", &["stored-charge"]),
    // The breaker opens by it.
    ("dead-short", &["opens-in-use"]),
    // What makes this circuit hard to solve is a varistor that conducts all the time.
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn judged(name: &str, text: &[u8]) -> Judgement {
    let jig = jig::parse(name, text).unwrap_or_else(|f| panic!("{name}: {f:?}"));
    let survey = survey(&jig, &Options::default());
    let mut judgement = judge(&jig, &survey, "2026-01-01");
    // The host has its say although there is no plugin: a file may set something for one that is not here.
    let subject = Arc::new(Subject::new(jig, survey, &judgement));
    run::all(&[], &subject, &mut judgement, Bounds::default(), "2026-01-01");
    judgement
}

#[test]
fn every_check_is_there_once_and_named_as_the_others_are() {
    let all = pages();
    for (group, names) in CATALOGUE {
        for name in names {
            let found: Vec<&Page> = all.iter().filter(|p| p.check == *name).collect();
            assert_eq!(found.iter().map(|p| p.group).collect::<Vec<_>>(), [group], "{name}");
        }
    }
    let names: BTreeSet<&str> = all.iter().map(|p| p.check).collect();
    assert_eq!(names.len(), all.len(), "a name stands twice");
    for name in names {
        let word = |w: &str| !w.is_empty() && w.chars().all(|c| c.is_ascii_lowercase());
        assert!(name.split('-').all(word), "{name}");
    }
    for name in ["unsolved-condition", "acceptance", "plugin-failed"] {
        assert_eq!(page(name).unwrap().group, "check itself");
    }
}

/// One check, one value, one file named after it, with a page and two examples. No file lies about that belongs to none.
#[test]
fn every_check_has_one_file_of_its_name() {
    let checks = root().join("src/checks");
    let mut listed: BTreeMap<CheckId, usize> = BTreeMap::new();
    for check in checks::all() {
        *listed.entry(check.id).or_default() += 1;
    }
    let pages = pages();
    let mut examples: BTreeSet<String> = BTreeSet::new();
    for id in CheckId::ALL {
        assert_eq!(listed.get(id), Some(&1), "{id}: is in the list so often");
        let page: Vec<&Page> = pages.iter().filter(|p| p.check == id.name()).collect();
        assert_eq!(page.len(), 1, "{id}: has so many pages");
        let room = if page[0].group == "check itself" { "gaps" } else { page[0].group };
        let file = checks.join(room).join(format!("{}.rs", id.name().replace('-', "_")));
        let text = std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        assert!(text.contains(&format!("id: CheckId::{id:?},")), "{}: is no check {id}", file.display());
        examples.extend(["fails", "passes"].map(|which| format!("{id}.{which}.toml")));
    }
    let there = std::fs::read_dir(checks.join("examples")).unwrap();
    let there: BTreeSet<String> = there.map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(there, examples);
}

/// A number with a unit behind it, or "times": what belongs into a table.
fn typed(text: &str) -> Option<String> {
    const UNITS: [&str; 18] =
        ["V", "A", "mA", "µA", "W", "Ω", "kΩ", "MΩ", "F", "µF", "nF", "µC", "s", "ms", "°C", "mm", "m", "times"];
    let words: Vec<&str> = text.split_whitespace().map(|w| w.trim_matches(['(', ')', ',', ';', ':', '.'])).collect();
    let pair = words.windows(2).find(|w| w[0].parse::<f64>().is_ok() && UNITS.contains(&w[1]))?;
    Some(pair.join(" "))
}

#[test]
fn every_page_is_whole_and_its_numbers_come_from_the_tables() {
    for check in checks::all() {
        let (name, about) = (check.id, check.about);
        for row in about.rows.iter().filter(|r| **r != "jig") {
            assert!(standard::rows(row).is_some(), "{name}: there is no row {row}");
        }
        for text in [about.looks_at, about.limit, about.how] {
            // Where a limit applies, such as "on 230 V", is no limit.
            let limits = text.replace("on 230 V", "").replace("on 120 V", "").replace("100 to 120 V plugs", "");
            assert_eq!(typed(&limits), None, "{name}: {text}");
        }
    }
    assert_eq!(typed("at most 30 V r.m.s."), Some("30 V".into()));
    for p in pages() {
        for text in [&p.looks_at, &p.limit, &p.how, &p.mend] {
            assert!(text.len() > 4 && text.ends_with('.') && !text.contains(['{', '}']), "{}: {text}", p.check);
        }
        assert!(!p.sources.is_empty() && p.sources.iter().all(|s| !s.is_empty()), "{}", p.check);
        for l in &p.limits {
            let row = standard::value(&l.row).unwrap();
            assert!((row.value, row.unit, &row.source) == (l.value, l.unit, &l.source), "{}: {l:?}", p.check);
            assert!(p.sources.contains(&l.source), "{}: {l:?}", p.check);
        }
        assert!(!p.example.change.is_empty(), "{}", p.check);
        assert!(!format!("{p:?}").to_lowercase().contains("is safe"), "{}", p.check);
    }
}

#[test]
fn a_check_of_a_plugin_is_told_as_its_plugin_tells_it() {
    let home = tempfile::tempdir().unwrap();
    let why = |arguments: &[&str]| -> Output {
        let program = super::program::binary();
        Command::new(program).arg("why").args(arguments).env("DEADFRONT_HOME", home.path()).output().unwrap()
    };
    let one = why(&["dark-above-60"]);
    let text = String::from_utf8(one.stdout).unwrap();
    assert_eq!(one.status.code(), Some(0), "{text}");
    let manifest: toml::Table =
        std::fs::read_to_string(root().join("plugins/discharge-probe/plugin.toml")).unwrap().parse().unwrap();
    let said = &manifest["checks"]["dark-above-60"];
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for key in ["title", "source", "why", "limit"] {
        assert!(flat.contains(said[key].as_str().unwrap()), "{key}: {text}");
    }
    assert!(flat.contains("plugin discharge-probe@1.0.0"), "{text}");
    // Two plugins have a check of this name, and both are told.
    let two: serde_json::Value = serde_json::from_slice(&why(&["ring-count", "--format", "json"]).stdout).unwrap();
    let plugins: Vec<&str> =
        two["plugin_checks"].as_array().unwrap().iter().map(|c| c["plugin"].as_str().unwrap()).collect();
    assert_eq!(plugins, ["led-strobe@1.0.0", "strobe-lamp@1.0.0"]);
    assert_eq!(why(&["dark-above-60", "--example", "fails"]).status.code(), Some(2));
    assert_eq!(why(&["dark-above-61"]).status.code(), Some(2));
}

#[test]
fn the_failing_example_draws_this_finding_and_its_twin_none() {
    let mut wrong = vec![];
    for p in pages() {
        let fails = judged(&format!("{}.fails.toml", p.check), p.example.fails.as_bytes());
        let passes = judged(&format!("{}.passes.toml", p.check), p.example.passes.as_bytes());
        let beside = BESIDE.iter().find(|b| b.0 == p.check).map_or(&[][..], |b| b.1);
        let drawn: BTreeSet<&str> = fails.findings.iter().map(|f| f.check.as_str()).collect();
        let wanted: BTreeSet<&str> = beside.iter().copied().chain([p.check]).collect();
        if drawn != wanted {
            wrong.push(format!("{}: the failing jig draws {drawn:?}", p.check));
        }
        for f in passes.findings.iter().filter(|f| f.accepted.is_none()) {
            wrong.push(format!("{}: the passing jig draws {} {:?}: {}", p.check, f.check, f.signal, f.message));
        }
        if passes.conditions.unsolved > 0 {
            wrong.push(format!("{}: the passing jig is not solved", p.check));
        }
        // A twin is near: most of the lines are alike.
        let (a, b) = (p.example.fails.lines().count(), p.example.passes.lines().count());
        let changed = p.example.change.iter().filter(|c| c.side != crate::finding::Side::Both).count();
        assert!(changed * 2 < a + b, "{}: {changed} of {a} and {b} lines", p.check);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn jigs(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
        if entry.is_dir() {
            jigs(&entry, out);
        } else if entry.extension().is_some_and(|e| e == "toml") {
            out.push(entry);
        }
    }
}

/// Whether a finding's source is one of its page, or several of them joined.
fn accounted(source: &str, page: &Page) -> bool {
    // The gates of a fuse may come from several standard sheets: "standard sheets 1 and 2".
    if let Some((standard, sheets)) = source.split_once(", standard sheet") {
        let numbers = sheets.split(|c: char| !c.is_ascii_digit()).filter(|n| !n.is_empty());
        return numbers
            .take(1)
            .all(|n| page.sources.iter().any(|s| s.starts_with(&format!("{standard}, standard sheet {n}"))));
    }
    let mut known: Vec<&String> = page.sources.iter().collect();
    known.sort_by_key(|s| std::cmp::Reverse(s.len()));
    let mut rest = source.to_string();
    let mut any = false;
    for k in known {
        any |= rest.contains(k.as_str());
        rest = rest.replace(k.as_str(), "");
    }
    let joints = ["for reinforced insulation", "for double insulation", ";", " "];
    any && joints.iter().fold(rest, |r, j| r.replace(j, "")).is_empty()
}

#[test]
fn a_finding_names_no_source_that_its_page_does_not() {
    let mut files = vec![];
    for folder in ["tests/jigs", "demo-data", "src/checks/examples"] {
        jigs(&root().join(folder), &mut files);
    }
    // It has every kind of part, load and switch there is, for the reader of files: to solve it takes minutes.
    files.retain(|f| !f.ends_with("everything.toml"));
    let by_name: BTreeMap<&str, Page> = pages().into_iter().map(|p| (p.check, p)).collect();
    let mains = "IEC 61010-1:2010, 6.7.2, Table 4 (from memory)";
    assert!(accounted(mains, &by_name["creepage"]) && !accounted(&format!("{mains}; hearsay"), &by_name["creepage"]));
    assert!(!accounted("common practice", &by_name["touch-current"]) && !accounted("", &by_name["touch-current"]));
    let mut wrong = BTreeSet::new();
    let mut seen = BTreeSet::new();
    for file in &files {
        if jig::read(file).is_err() {
            continue;
        }
        let found: Vec<Finding> = judged(&file.display().to_string(), &std::fs::read(file).unwrap()).findings;
        for f in found {
            match by_name.get(f.check.as_str()) {
                Some(p) if accounted(&f.source, p) => {}
                Some(_) => drop(wrong.insert(format!("{}: {} ({})", f.check, f.source, file.display()))),
                None => drop(wrong.insert(format!("{} has no page", f.check))),
            }
            seen.insert(f.check.to_string());
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
    let missed: Vec<&&str> = by_name.keys().filter(|n| !seen.contains(**n)).collect();
    assert!(missed.is_empty(), "no jig draws {missed:?}");
}

fn why(arguments: &[&str]) -> Output {
    let mut command = Command::new(super::program::binary());
    command.arg("why").args(arguments).env_remove("COLUMNS").output().unwrap()
}

fn out(arguments: &[&str]) -> String {
    let output = why(arguments);
    assert!(output.status.success() && output.stderr.is_empty(), "{arguments:?}: {output:?}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_list_and_every_page_fit_a_terminal() {
    let list = out(&[]);
    for p in pages() {
        let lines = list.lines().filter(|l| l.split_whitespace().next() == Some(p.check)).count();
        assert_eq!(lines, 1, "{}", p.check);
        let text = crate::report::why_text(&p, crate::report::Look::default());
        for line in text.lines().chain(list.lines()) {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{}: {line}", p.check);
        }
        for source in &p.sources {
            let flat: Vec<&str> = text.split_whitespace().collect();
            assert!(flat.join(" ").contains(&source.split_whitespace().collect::<Vec<_>>().join(" ")), "{}", p.check);
        }
    }
}

#[test]
fn an_unknown_name_is_told_with_the_nearest() {
    let output = why(&["touch-curent"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let told = String::from_utf8(output.stderr).unwrap();
    assert!(told.contains("\"touch-curent\"") && told.contains("did you mean touch-current?"), "{told}");
}

#[test]
fn the_whole_example_can_be_printed_and_read() {
    for which in ["fails", "passes"] {
        let text = out(&["clearance", "--example", which]);
        assert!(jig::parse("example.toml", text.as_bytes()).is_ok(), "{text}");
    }
}

#[test]
fn the_json_keeps_its_keys() {
    let one: serde_json::Value = serde_json::from_str(&out(&["touch-current", "--format", "json"])).unwrap();
    let keys: Vec<&String> = one.as_object().unwrap().keys().collect();
    let wanted = [
        "schema_version",
        "tool",
        "check",
        "group",
        "looks_at",
        "limit",
        "limits",
        "sources",
        "how",
        "mend",
        "example",
    ];
    assert_eq!(keys, wanted);
    assert_eq!(one["schema_version"], 1);
    // IEC 61010-1, 6.3.1 b): 0.5 mA r.m.s. in normal condition.
    let row = one["limits"]
        .as_array()
        .unwrap()
        .iter()
        .find(|l| l["row"] == "touch.current_limit.iec61010_normal_ac.ac_rms_ma");
    assert_eq!((&row.unwrap()["value"], &row.unwrap()["unit"]), (&0.5e-3.into(), &"A".into()));
    let keys: Vec<&String> = one["example"].as_object().unwrap().keys().collect();
    assert_eq!(keys, ["fails", "passes", "change"]);
    let all: serde_json::Value = serde_json::from_str(&out(&["--format", "json"])).unwrap();
    assert_eq!(all["checks"].as_array().unwrap().len(), pages().len());
    assert_eq!(all["schema_version"], 1);
}

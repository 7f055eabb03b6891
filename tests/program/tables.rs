//! `deadfront tables`: what it lists is what a jig file may name.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, said};
use serde_json::Value;

fn tables(arguments: &[&str]) -> Value {
    let out = program([&["tables", "--format", "json"], arguments].concat()).output().unwrap();
    assert_eq!(out.status.code(), Some(0), "{arguments:?}: {}", said(&out));
    serde_json::from_str(&printed(&out)).unwrap()
}

fn column<'a>(table: &'a Value, name: &str) -> Vec<&'a str> {
    table["rows"].as_array().unwrap().iter().map(|r| r[name].as_str().unwrap()).collect()
}

/// A jig whose supply and plug, or lamp, are those of a row: it must read.
fn reads(system: &str, plug: &str, lamp: &str) -> bool {
    let text = std::fs::read_to_string(super::program::root().join("demo-data/neon-wand-230v.toml")).unwrap();
    let text = text
        .replace("\"230 V 50 Hz\"", &format!("{system:?}"))
        .replace("plug = \"C\"", &format!("plug = {plug:?}"))
        .replace("type = \"A1A\"", &format!("type = {lamp:?}"));
    let file = tempfile::NamedTempFile::with_suffix(".toml").unwrap();
    std::fs::write(file.path(), text).unwrap();
    let out = program(["check", file.path().to_str().unwrap(), "--only", "no-fault"]).output().unwrap();
    out.status.code() == Some(3)
}

#[test]
fn every_row_may_be_named_in_a_jig() {
    let (supplies, plugs, lamps) = (tables(&["supplies"]), tables(&["plugs"]), tables(&["lamps"]));
    for system in column(&supplies, "system") {
        assert!(reads(system, "C", "A1A"), "{system}");
    }
    for plug in column(&plugs, "plug") {
        assert!(reads("230 V 50 Hz", plug, "A1A"), "{plug}");
    }
    for lamp in column(&lamps, "type") {
        assert!(reads("230 V 50 Hz", "C", lamp), "{lamp}");
    }
    assert!(column(&supplies, "system").contains(&"230 V 50 Hz") && column(&plugs, "plug").contains(&"G"));
    assert!(!reads("231 V 50 Hz", "C", "A1A") && !reads("230 V 50 Hz", "Z", "A1A"), "the probe itself tells");
}

#[test]
fn every_list_has_rows_with_a_source_and_fits_the_screen() {
    let all = tables(&[]);
    for list in column(&all, "table") {
        let table = tables(&[list]);
        assert!(table["rows"].as_array().unwrap().len() >= 5, "{list}");
        if !["units", "kinds", "sections", "bounds"].contains(&list) {
            assert!(column(&table, "source").iter().all(|s| !s.is_empty()), "{list}");
        }
        let text = printed(&program(["tables", list]).output().unwrap());
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{list}\n{text}");
    }
    let units = tables(&["units"]);
    assert!(column(&units, "unit").len() >= 12);
    let out = program(["tables", "plug"]).output().unwrap();
    assert_eq!(out.status.code(), Some(2));
    assert!(said(&out).contains("did you mean plugs?"), "{}", said(&out));
}

#[test]
fn kinds_list_their_keys_with_examples_of_their_own_sort() {
    for kind in column(&tables(&["kinds"]), "kind") {
        assert!(!tables(&["kinds", kind])["rows"].as_array().unwrap().is_empty(), "{kind}");
    }
    let example = |kind: &str, key: &str| {
        let table = tables(&["kinds", kind]);
        let found = column(&table, "key").into_iter().find(|k| k.starts_with(&format!("{key} =")));
        found.unwrap_or_else(|| panic!("{kind} {key}")).to_string()
    };
    assert_eq!(example("led", "forward"), "forward = \"2 V\"");
    assert_eq!(example("fuse", "breaking"), "breaking = \"1500 A\"");
    let schema: Value = serde_json::from_str(&printed(&program(["schema"]).output().unwrap())).unwrap();
    assert_eq!(schema["properties"]["supply"]["properties"]["breaker"]["examples"][0], "16 A");
}

#[test]
fn what_the_sections_list_is_read() {
    let keys = |section: &str| -> Vec<String> {
        column(&tables(&["sections", section]), "key").into_iter().map(str::to_string).collect()
    };
    // A jig made of the examples, of supply without the volts that stand for a row of the table.
    let rows = |section: &str| {
        let keys = keys(section);
        let own = keys.iter().filter(|k| !k.split(" = ").next().unwrap().contains('.'));
        let free = ["volts =", "frequency =", "tolerance =", "functional-earth ="];
        own.filter(|k| !free.iter().any(|f| k.starts_with(f))).map(|k| format!("{k}\n")).collect::<String>()
    };
    let part = "[part.LP1]\nkind = \"filament-lamp\"\nacross = [\"a\", \"b\"]\nvolts = \"230 V\"\npower = \"40 W\"\n";
    let mut text = "format = 1\n".to_string();
    for section in ["jig", "supply", "enclosure"] {
        text += &format!("[{section}]\n{}", rows(section));
    }
    text += part;
    for section in ["insulation", "touchable", "outlet", "accept"] {
        text += &format!("[[{section}]]\n{}", rows(section));
    }
    // Joined so that no net hangs loose.
    text +=
        "[part.W1]\nkind = \"wire\"\nacross = [\"L\", \"a\"]\n[part.W2]\nkind = \"wire\"\nacross = [\"N\", \"b\"]\n";
    let file = tempfile::NamedTempFile::with_suffix(".toml").unwrap();
    std::fs::write(file.path(), &text).unwrap();
    let out = program(["check", file.path().to_str().unwrap()]).output().unwrap();
    let said = said(&out);
    // The plug C has no fuse: what the examples contradict each other in is no slip of reading.
    let slips: Vec<&str> = said.lines().filter(|l| !l.contains("plug-fuse")).collect();
    assert!(slips.is_empty(), "{said}\n{text}");
    assert!(keys("supply").contains(&"cord.length = \"2 m\"".to_string()), "{:?}", keys("supply"));
    let out = program(["tables", "kinds", "supply"]).output().unwrap();
    assert!(super::program::said(&out).contains("deadfront tables sections"), "{}", super::program::said(&out));
}

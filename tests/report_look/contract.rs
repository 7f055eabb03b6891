//! The contract of the JSON forms, typed out by hand from the product's definition of schema version 1 and
//! compared key by key, in order.

use super::pages;
use crate::finding::Judgement;
use crate::report;
use serde_json::Value;

/// Type of a value as the contract of the JSON form names it.
fn shape(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "bool",
        Value::Number(n) if n.is_u64() => "count",
        Value::Number(_) => "number",
        Value::String(_) => "text",
        Value::Array(_) => "list",
        Value::Object(_) => "object",
    }
}

/// Keys in order, each with the shapes it may have.
fn assert_keys(what: &str, value: &Value, keys: &[(&str, &[&str])]) {
    let object = value.as_object().unwrap_or_else(|| panic!("{what} is {}", shape(value)));
    let have: Vec<&str> = object.keys().map(String::as_str).collect();
    let want: Vec<&str> = keys.iter().map(|(key, _)| *key).collect();
    assert_eq!(have, want, "keys of {what}");
    for (key, shapes) in keys {
        assert!(shapes.contains(&shape(&object[*key])), "{what}.{key} is {}", object[*key]);
    }
}

const TEXT: &[&str] = &["text"];
const COUNT: &[&str] = &["count"];
const LIST: &[&str] = &["list"];
const OBJECT: &[&str] = &["object"];
const NUMBER: &[&str] = &["number"];
const NUMBER_OR_NULL: &[&str] = &["number", "null"];
const TEXT_OR_NULL: &[&str] = &["text", "null"];
const OBJECT_OR_NULL: &[&str] = &["object", "null"];

/// The contract of `check`'s JSON.
fn assert_check_contract(name: &str, json: &Value) {
    let mut keys = vec![
        ("schema_version", COUNT),
        ("tool", OBJECT),
        ("made", OBJECT),
        ("date", TEXT),
        ("jig", OBJECT),
        ("verdict", TEXT),
        ("conditions", OBJECT),
        ("findings", LIST),
        ("stresses", LIST),
        ("touch", LIST),
        ("discharge", LIST),
        ("plugins", LIST),
        ("not_checked", LIST),
        ("assumed", LIST),
        ("cleared", LIST),
        ("let_pass", LIST),
        ("actions", LIST),
    ];
    // Only where they are asked for.
    let asked = [("conditions_tried", LIST), ("replay", OBJECT), ("double_faults", OBJECT)];
    keys.extend(asked.into_iter().filter(|(key, _)| json.get(key).is_some()));
    assert_keys(name, json, &keys);
    assert_eq!(json["schema_version"], 1);
    assert_keys("tool", &json["tool"], &[("name", TEXT), ("version", TEXT)]);
    assert_eq!(json["tool"]["name"], "deadfront");
    assert_eq!(json["tool"]["version"], env!("CARGO_PKG_VERSION"));
    assert_keys("jig", &json["jig"], &[("name", TEXT), ("file", TEXT), ("sha256", TEXT)]);
    assert!(["stop", "caution", "no finding"].contains(&json["verdict"].as_str().unwrap()));
    assert_keys("conditions", &json["conditions"], &[("solved", COUNT), ("unsolved", COUNT), ("cleared", COUNT)]);
    for f in json["findings"].as_array().unwrap() {
        assert_finding_contract(f);
    }
    for s in json["stresses"].as_array().unwrap() {
        let keys: [(&str, &[&str]); 9] = [
            ("part", TEXT),
            ("quantity", TEXT),
            ("nominal", NUMBER_OR_NULL),
            ("value", NUMBER),
            ("unit", TEXT),
            ("rating", NUMBER_OR_NULL),
            ("margin", NUMBER_OR_NULL),
            ("condition", TEXT),
            ("kind", TEXT),
        ];
        assert_keys("stress", s, &keys);
        assert!(["normal", "single-fault", "transient"].contains(&s["kind"].as_str().unwrap()));
    }
    for t in json["touch"].as_array().unwrap() {
        let keys: [(&str, &[&str]); 10] = [
            ("touchable", TEXT),
            ("voltage_rms", NUMBER),
            ("voltage_peak", NUMBER),
            ("voltage_dc", NUMBER),
            ("current_rms", NUMBER),
            ("current_peak", NUMBER),
            ("unweighted_rms", NUMBER),
            ("unweighted_peak", NUMBER),
            ("condition", TEXT),
            ("kind", TEXT),
        ];
        assert_keys("touch", t, &keys);
    }
    for d in json["discharge"].as_array().unwrap() {
        assert_keys("discharge", d, &[("between", LIST), ("seconds", NUMBER), ("volts", NUMBER), ("condition", TEXT)]);
        assert_eq!(d["between"].as_array().unwrap().len(), 2);
    }
    for p in json["plugins"].as_array().unwrap() {
        let keys: [(&str, &[&str]); 6] =
            [("id", TEXT), ("version", TEXT), ("sha256", TEXT), ("vetted_by", LIST), ("outcome", TEXT), ("why", TEXT)];
        assert_keys("plugin", p, &keys);
        assert!(["ran", "failed", "skipped"].contains(&p["outcome"].as_str().unwrap()));
    }
    assert!(json["not_checked"].as_array().unwrap().iter().all(Value::is_string));
    // Every finding stands under exactly one action.
    let mut under = vec![];
    for a in json["actions"].as_array().unwrap() {
        assert_keys("action", a, &[("change", TEXT), ("tried", &["bool"]), ("signal", TEXT), ("findings", LIST)]);
        under.extend(a["findings"].as_array().unwrap().iter().map(|k| k.as_u64().unwrap()));
    }
    under.sort_unstable();
    assert_eq!(under, (0..json["findings"].as_array().unwrap().len() as u64).collect::<Vec<_>>());
}

fn assert_finding_contract(f: &Value) {
    let keys: [(&str, &[&str]); 18] = [
        ("check", TEXT),
        ("signal", TEXT),
        ("source_of_check", TEXT),
        ("parts", LIST),
        ("nets", LIST),
        ("touchables", LIST),
        ("condition", TEXT),
        ("situation", OBJECT_OR_NULL),
        ("quantity", TEXT_OR_NULL),
        ("value", NUMBER_OR_NULL),
        ("unit", TEXT_OR_NULL),
        ("limit", NUMBER_OR_NULL),
        ("margin", NUMBER_OR_NULL),
        ("source", TEXT),
        ("message", TEXT),
        ("remedy", TEXT),
        ("place", OBJECT),
        ("accepted", OBJECT_OR_NULL),
    ];
    assert_keys("finding", f, &keys);
    assert!(["DANGER", "WARNING", "CAUTION", "NOTICE"].contains(&f["signal"].as_str().unwrap()));
    assert_keys("place", &f["place"], &[("file", TEXT), ("line", COUNT), ("column", COUNT)]);
    if !f["accepted"].is_null() {
        assert_keys("accepted", &f["accepted"], &[("reason", TEXT), ("by", TEXT), ("until", TEXT)]);
    }
}

#[test]
fn json_of_check_keeps_its_contract() {
    for (name, judgement) in pages::judgements() {
        // Values that are no numbers become null, against the contract, but there is no other word for them.
        let finite = name != "huge-numbers";
        let json: Value = serde_json::from_str(&report::check_json(&judgement)).unwrap();
        if finite {
            assert_check_contract(name, &json);
        }
        assert_facts(&judgement, &json);
    }
}

/// Facts come through unrounded.
fn assert_facts(j: &Judgement, json: &Value) {
    assert_eq!(json["jig"]["file"], j.jig_file);
    assert_eq!(json["jig"]["sha256"], j.jig_sha256);
    assert_eq!(json["conditions"]["solved"], j.conditions.solved);
    assert_eq!(json["findings"].as_array().unwrap().len(), j.findings.len());
    assert_eq!(json["stresses"].as_array().unwrap().len(), j.stresses.len());
    for (row, s) in json["stresses"].as_array().unwrap().iter().zip(&j.stresses) {
        assert_eq!(row["value"].as_f64(), Some(s.value));
        assert_eq!(row["margin"].as_f64(), s.margin.filter(|m| m.is_finite()));
    }
}

#[test]
fn numbers_that_are_none_become_null() {
    let text = report::check_json(&pages::huge_numbers());
    let json: Value = serde_json::from_str(&text).unwrap();
    let finding = |check: &str| json["findings"].as_array().unwrap().iter().find(|f| f["check"] == check).unwrap();
    assert!(finding("lamp-life")["value"].is_null());
    assert!(finding("single-pole-fuse")["value"].is_null());
    assert!(json["stresses"][2]["margin"].is_null());
    assert!(!text.contains(": NaN") && !text.contains(": inf") && !text.contains(": -inf"), "{text}");
}

#[test]
fn json_of_several_checks_is_a_list_of_the_same_objects() {
    let two = [pages::quiet(), pages::accepted()];
    let checked: Vec<report::Checked> = two.iter().map(report::Checked::Judged).collect();
    let json: Value = serde_json::from_str(&report::checks_json(&checked)).unwrap();
    for (one, judgement) in json.as_array().unwrap().iter().zip(&two) {
        assert_check_contract(&judgement.jig_name, one);
        assert_eq!(*one, serde_json::from_str::<Value>(&report::check_json(judgement)).unwrap());
    }
    assert_eq!(json.as_array().unwrap().len(), 2);
    assert_eq!(report::checks_json(&[]), "[]\n");
}

#[test]
fn json_of_size_keeps_its_contract() {
    let contract: [(&str, &[&str]); 14] = [
        ("resistance_ohm", NUMBER),
        ("count", COUNT),
        ("each_ohm", NUMBER),
        ("each_power_w", NUMBER),
        ("each_voltage_v", NUMBER),
        ("lamp_current_mean_a", NUMBER),
        ("lamp_current_rms_a", NUMBER),
        ("lamp_current_peak_a", NUMBER),
        ("dissipation_w", OBJECT),
        ("strike_margin", NUMBER_OR_NULL),
        ("flashes_per_second", NUMBER_OR_NULL),
        ("lit_fraction", NUMBER_OR_NULL),
        ("findings", LIST),
        ("why", LIST),
    ];
    for (name, sizing) in pages::sizings() {
        let json: Value = serde_json::from_str(&report::size_json(&sizing)).unwrap();
        let chosen: &[&str] = if sizing.chosen.is_some() { COUNT } else { &["null"] };
        let keys: [(&str, &[&str]); 6] = [
            ("schema_version", COUNT),
            ("chosen", chosen),
            ("candidates", LIST),
            ("tool", OBJECT),
            ("task", TEXT),
            ("why", LIST),
        ];
        assert_keys(name, &json, &keys);
        assert_eq!(json["schema_version"], 1);
        assert_eq!(json["chosen"].as_u64(), sizing.chosen.map(|n| n as u64));
        for (c, facts) in json["candidates"].as_array().unwrap().iter().zip(&sizing.candidates) {
            let mut keys = contract.to_vec();
            keys.extend(facts.extras.iter().map(|e| (e.key, NUMBER)));
            assert_keys("candidate", c, &keys);
            let keys: [(&str, &[&str]); 4] = [
                ("nominal", NUMBER),
                ("high_supply", NUMBER),
                ("lamp_shorted", NUMBER_OR_NULL),
                ("one_resistor_shorted", NUMBER_OR_NULL),
            ];
            assert_keys("dissipation_w", &c["dissipation_w"], &keys);
            c["findings"].as_array().unwrap().iter().for_each(assert_finding_contract);
        }
    }
}

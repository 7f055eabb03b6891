//! The JSON Schema of the jig file against an independent validator: it takes every good jig and refuses broken ones.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

use crate::jig;
use crate::quantity::{Kind, parse};
use jsonschema::Validator;
use proptest::prelude::*;
use serde_json::Value;

fn validator() -> Validator {
    jsonschema::draft202012::options().build(&jig::schema()).unwrap()
}

fn json(toml_text: &str) -> Value {
    serde_json::to_value(toml_text.parse::<toml::Table>().unwrap()).unwrap()
}

/// Every *.toml below a folder.
fn jigs_below(folder: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            jigs_below(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "toml") {
            found.push(path);
        }
    }
}

#[test]
fn the_schema_is_a_schema() {
    assert!(jsonschema::meta::is_valid(&jig::schema()));
}

#[test]
fn every_jig_that_is_read_is_valid() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    jigs_below(&root.join("tests/jigs"), &mut files);
    assert!(files.len() >= 3, "the jigs of the tests are gone");
    jigs_below(&root.join("demo-data"), &mut files);
    let validator = validator();
    let mut tried = 0;
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        // Other TOML files of the demo (readings, settings) are no jigs.
        if !text.contains("[jig]") && !text.contains("jig =") {
            continue;
        }
        // A plugin's case carries what is expected behind the jig: it is a jig file only without that.
        if text.contains("\n[expect]") {
            continue;
        }
        tried += 1;
        assert!(jig::read(&file).is_ok(), "{} is not read", file.display());
        let errors: Vec<String> =
            validator.iter_errors(&json(&text)).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {errors:?}", file.display());
    }
    assert!(tried >= 3);
}

const WAND: &str = include_str!("../jigs/wand.toml");
const WHOLE: &str = include_str!("../jigs/everything.toml");

/// What is replaced, by what, in the wand.
const BROKEN: &[(&str, &str)] = &[
    ("format = 1", "format = 2"),
    ("format = 1\n", ""),
    ("name = \"Neon strobe wand\"\n", ""),
    ("use = \"hand-held\"", "use = \"handheld\""),
    ("system = \"230 V 50 Hz\"\n", ""),
    ("system = \"230 V 50 Hz\"", "system = \"230 V 50 Hz\"\nvolts = \"230 V\""),
    ("cores = 2", "cores = \"2\""),
    ("strain-relief = true", "strain-relief = \"yes\""),
    ("rcd = \"30 mA\"", "rcd = \"no\""),
    ("class = \"II\"", "class = \"2\""),
    ("\"30 mm\", \"30 mm\"]", "\"30 mm\"]"),
    ("kind = \"fuse\"", "kind = \"fuze\""),
    ("kind = \"fuse\"\n", ""),
    ("current = \"50 mA\"\n", ""),
    ("current = \"50 mA\"", "current = \"50 mV\""),
    ("current = \"50 mA\"", "current = 0.05"),
    ("current = \"50 mA\"", "current = \"50 mA\"\ncurent = \"1 A\""),
    ("resistance = \"150 kΩ\"", "resistance = \"150 m\""),
    ("tolerance = \"5 %\"", "tolerance = \"5\""),
    ("power = \"0.6 W\"", "power = \"0,6 W\""),
    ("across = [\"L\", \"L1\"]", "across = [\"L\"]"),
    ("across = [\"L\", \"L1\"]", "across = [\"L\", \"mains\"]"),
    ("strike = \"85 V\"\n", ""),
    ("grade = \"reinforced\"", "grade = \"strong\""),
    ("net = \"TUBE\"\n", ""),
    ("until = \"2027-12-31\"", "until = \"soon\""),
    ("[enclosure]", "[enclosur]"),
];

#[test]
fn broken_jigs_are_refused_by_schema_and_reader_alike() {
    let validator = validator();
    for (what, by) in BROKEN {
        let text = WAND.replacen(what, by, 1);
        assert_ne!(text, WAND, "{what} is not in the wand");
        assert!(!validator.is_valid(&json(&text)), "the schema takes {by:?} for {what:?}");
        assert!(jig::parse("wand.toml", text.as_bytes()).is_err(), "the reader takes {by:?} for {what:?}");
    }
}

/// Every key carries its meaning, and where volts or amperes are meant, which.
#[test]
fn every_key_says_what_it_means() {
    fn walk(name: &str, value: &Value, count: &mut usize) {
        if let Some(properties) = value["properties"].as_object() {
            for (key, inner) in properties {
                *count += 1;
                let doc = if key == "part" { "x." } else { inner["description"].as_str().unwrap_or_default() };
                let repeated = inner["type"] == "array" && inner["items"]["properties"].is_object();
                assert!(repeated || doc.len() > 1, "{name}.{key} has no meaning");
                let unit = inner["examples"][0].as_str().unwrap_or_default();
                if unit.ends_with(" V") || unit.ends_with("mA") {
                    let said = ["r.m.s", "d.c", "D.c", "eak", "mean", "mperes"].iter().any(|word| doc.contains(word));
                    assert!(said, "{name}.{key} does not say which volts or amperes: {doc}");
                }
                walk(key, inner, count);
            }
        }
        walk_items(name, value, count);
    }
    fn walk_items(name: &str, value: &Value, count: &mut usize) {
        if value["items"].is_object() {
            walk(name, &value["items"], count);
        }
    }
    let schema = jig::schema();
    let mut count = 0;
    walk("file", &schema, &mut count);
    for (kind, definition) in schema["$defs"].as_object().unwrap() {
        walk(kind, definition, &mut count);
    }
    assert!(count > 120, "{count} keys");
}

fn agrees(text: &str, validator: &Validator) -> Result<(), TestCaseError> {
    if jig::parse("j.toml", text.as_bytes()).is_ok() {
        let errors: Vec<String> = validator.iter_errors(&json(text)).map(|e| e.to_string()).collect();
        prop_assert!(errors.is_empty(), "read, but not valid: {errors:?}\n{text}");
    }
    Ok(())
}

proptest! {
    /// Whatever the reader takes as a quantity, the pattern shown to editors takes too.
    #[test]
    fn the_pattern_takes_what_the_reader_takes(text in "[+−\\-]?[0-9/.]{1,4}([eE][0-9])?[ ]?[pnuµμmckKMGTRr0-9]{0,2}(Ω|ohm|ohms|F|H|V|VA|A|W|J|m|mm2|mm²|AWG|Hz|°C|degC|%|s|)",
                                               kind in proptest::sample::select(Kind::ALL.to_vec())) {
        if parse(&text, kind).is_ok() {
            let schema = serde_json::json!({ "type": "string", "pattern": kind.pattern() });
            prop_assert!(jsonschema::is_valid(&schema, &Value::from(text.clone())), "{text} as {kind:?}");
        }
    }
}

/// A damaged jig that is still read is still valid: reader and schema cannot drift apart unseen.
#[test]
fn what_is_read_is_valid_even_when_damaged() {
    let validator = validator();
    let mut runner = proptest::test_runner::TestRunner::default();
    let damage = (any::<bool>(), any::<prop::sample::Index>(), 0usize..3, "[a-zA-Z0-9 .,%Ωµ\\-]{1}");
    runner
        .run(&damage, |(whole, index, cut, put)| {
            let text = if whole { WHOLE } else { WAND };
            let chars: Vec<char> = text.chars().collect();
            let at = index.index(chars.len() - cut);
            let damaged: String =
                chars[..at].iter().copied().chain(put.chars()).chain(chars[at + cut..].iter().copied()).collect();
            agrees(&damaged, &validator)
        })
        .unwrap();
}

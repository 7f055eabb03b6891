//! The word for the kind of unit: slips in it are told with the right word, another kind is said to be unknown, and settings for a
//! plugin that does not look at the jig are told.
#![allow(missing_docs, clippy::unwrap_used)]

use crate::finding::Signal;
use crate::{Options, Report, check};

/// The demo's wand, of another kind of unit.
fn wand(unit: &str) -> String {
    let text = include_str!("../../demo-data/neon-wand-230v.toml");
    let line = text.lines().find(|l| l.starts_with("unit = ")).unwrap();
    text.replace(line, &format!("unit = {unit:?}"))
}

fn report(text: &str) -> Report {
    check(text, &Options::default()).unwrap_or_else(|e| panic!("{e:#?}"))
}

#[test]
fn a_slip_in_a_known_kind_is_an_error_with_the_right_word() {
    for (written, meant) in [
        ("strobe lamp", "strobe-lamp"),
        ("Strobe-Lamp", "strobe-lamp"),
        ("strobelamp", "strobe-lamp"),
        ("strobe_lamp", "strobe-lamp"),
        ("strobe-lmp", "strobe-lamp"),
        ("strobe-lamps", "strobe-lamp"),
        ("stroeb-lamp", "strobe-lamp"),
        ("dim-bulb tester", "series-lamp-limiter"),
        ("dim bulb testor", "series-lamp-limiter"),
        ("Variac", "variable-supply"),
        ("isolated supply", "isolated-supply"),
        ("isolation transformer", "isolated-supply"),
        ("discharge stick", "discharge-probe"),
        ("neon screwdriver", "mains-probe"),
        ("test socket", "test-outlet"),
        ("LED stroboscope", "led-strobe"),
        ("None", "none"),
    ] {
        let errors = check(wand(written), &Options::default()).unwrap_err();
        assert_eq!(errors.len(), 1, "{written}: {errors:#?}");
        let line = wand(written).lines().position(|l| l.starts_with("unit = ")).unwrap() + 1;
        assert_eq!(errors[0].line as usize, line, "{written}");
        assert!(errors[0].column > 0 && errors[0].message.contains(&format!("{meant:?}")), "{written}: {errors:#?}");
        assert!(errors[0].help.contains(&format!("unit = {meant:?}")), "{written}: {errors:#?}");
    }
    // A word that stands for two kinds names both.
    let errors = check(wand("stroboscope"), &Options::default()).unwrap_err();
    assert!(errors[0].message.contains("\"led-strobe\" or \"strobe-lamp\""), "{errors:#?}");
}

#[test]
fn another_kind_is_told_in_the_verdict_and_changes_no_status() {
    let known = report(&wand("strobe-lamp"));
    assert!(known.judgement.unit_without_checks.is_none());
    let unknown = report(&wand("glue-pot"));
    assert_eq!(unknown.exit_status(), known.exit_status());
    assert_eq!(unknown.judgement.unit_without_checks.as_deref(), Some("glue-pot"));
    let text = unknown.to_text(crate::Look::default()).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("No checks for a glue-pot are here: only the core has looked"), "{text}");
    assert!(unknown.to_json().contains("\"unit_without_checks\": \"glue-pot\""));
    // Words that are far from all that is known are no slips, and short ones neither.
    for word in ["egg-timer", "lamp", "strobe-lamp-and-radio"] {
        assert_eq!(report(&wand(word)).judgement.unit_without_checks.as_deref(), Some(word));
    }
    let none = report(&wand("none"));
    assert!(none.judgement.unit_without_checks.is_none());
    assert!(!none.to_text(crate::Look::default()).contains("only the core"));
    assert!(!none.to_json().contains("unit_without_checks"));
}

#[test]
fn settings_for_a_plugin_of_another_kind_are_told() {
    let set = "\n[plugin.led-strobe]\nbars = 180\n";
    let told = |unit: &str| {
        let text = wand(unit) + set;
        let report = report(&text);
        let mine = report.judgement.findings.iter().filter(|f| f.check == "plugin-failed");
        let mine: Vec<_> = mine.map(|f| (f.signal, f.place.line as usize, f.message.clone())).collect();
        (mine, text.lines().count(), report.exit_status())
    };
    let (found, lines, status) = told("none");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!((found[0].0, found[0].1, status), (Signal::Caution, lines, 0));
    assert!(found[0].2.contains("bars") && found[0].2.contains("led-strobe"), "{found:#?}");
    let (found, ..) = told("led-strobe");
    assert!(found.is_empty(), "{found:#?}");
}

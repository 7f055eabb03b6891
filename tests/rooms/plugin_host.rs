//! What the host owes a plugin's author and the bench: slips are told instead of read as "nothing there", failures name their
//! line, memory outside the machine is bounded too, acceptances and settings hold for plugins.
#![allow(missing_docs, clippy::unwrap_used)]

use super::plugins;
use super::plugins::TODAY;
use crate::finding::{Finding, Judgement, Signal};
use crate::jig;
use crate::plugin::vm::{Bounds, Failed, Failure};
use crate::plugin::what_if::Subject;
use crate::plugin::{Loaded, run, worker::RunResult};
use crate::plugin::{Manifest, Plugin};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

const MANIFEST: &str = r#"
id = "wand-extras"
version = "1.2.0"
api = 1
title = "Extras of a wand"
about = "A plugin of this test."
units = ["strobe-lamp"]
author = "Quillgate Repair Co-op"
licence = "MIT"
sources = []
[settings.bars]
type = "number"
default = 100
about = "Bars of the ring."
[settings.rest]
type = "quantity"
default = "5 s"
about = "Rest between uses."
[checks.flash-width]
title = "A check"
limit = "65 Hz"
source = "common practice"
why = "For the test."
"#;

fn wand() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/neon-wand-230v.toml");
    std::fs::read_to_string(path).unwrap()
}

fn judged(text: &str) -> (Arc<Subject>, Judgement) {
    plugins::judged(jig::parse("wand.toml", text.as_bytes()).unwrap())
}

fn plugin(source: &str) -> Plugin {
    plugins::plugin(MANIFEST, source)
}

fn on(text: &str, body: &str) -> RunResult {
    let source = format!("return {{ check = function(jig)\n{body}\nend }}");
    plugins::run(&plugin(&source), &judged(text).0, Bounds::default())
}

fn failed(body: &str) -> Failed {
    on(&wand(), body).unwrap_err()
}

fn said(body: &str) -> String {
    let say =
        "local function say(x) return { notice{ check = 'flash-width', message = tostring(x), remedy = 'none' } } end";
    on(&wand(), &format!("{say} {body}")).unwrap().remove(0).message
}

#[test]
fn a_slip_in_a_kind_is_told_and_not_read_as_none() {
    let f = failed("for _, lamp in jig:parts('neon_lamp') do error('never') end");
    assert!(f.message.contains("neon_lamp") && f.message.contains("neon-lamp") && f.line == Some(2), "{f:?}");
    assert_eq!(said("return say(#jig:parts('neon-lamp'))"), "1");
    assert_eq!(said("return say(#jig:parts('varistor'))"), "0");
}

#[test]
fn a_slip_in_a_key_of_a_part_is_told_and_a_key_of_another_kind_is_nil() {
    let f = failed("local r = jig:part('R1')\nif r.resistence and r.resistence > 5 then return nil end");
    assert!(f.message.contains("resistence") && f.line == Some(3), "{f:?}");
    // A loop over all parts asks each for keys that only some kinds have.
    let count = "local n = 0 for _, p in jig:parts() do if p.strike_max then n += 1 end end return say(n)";
    assert_eq!(said(count), "1");
    // 150 kΩ stands in the demo file.
    assert_eq!(said("return say(jig:part('R1').resistance)"), "150000");
    let frozen = failed("jig:part('R1').resistance = 1");
    assert!(frozen.message.contains("readonly"), "{frozen:?}");
    assert_eq!(said("return say(getmetatable(jig:part('R1')))"), "a row of the jig");
}

#[test]
fn a_lamp_there_is_not_is_told() {
    let f = failed("jig:lamp('LP9')");
    assert!(f.message.contains("LP9"), "{f:?}");
    assert_eq!(said("return say(jig:lamp('R1'))"), "nil");
}

#[test]
fn a_full_stop_for_the_colon_is_explained() {
    for body in ["jig.parts('resistor')", "jig.solve{ supply = 'low' }", "jig.nets()"] {
        let f = failed(body);
        assert!(f.failure == Failure::Error && f.message.contains("colon") && f.line == Some(2), "{body}: {f:?}");
    }
}

#[test]
fn slips_of_beginners_are_told_with_their_line_and_what_is_near() {
    for (body, words) in [
        ("print(jig.name)", "print, pcall, require"),
        ("table.insert(jig:parts(), {})", "from the jig is for reading only"),
        ("limit('flash-with')", "near is flash-width"),
        ("return { notice{ check = 'flash-widht', message = 'm', remedy = 'r' } }", "near is flash-width"),
        ("jig:solve{ faults = { 'LP1-shorted' } }", "near is LP1-short"),
        ("jig:solve{ change = { R1 = { resistence = 1 } } }", "near is resistance"),
        (
            "return { notice{ check = 'flash-width', message = 'm', remedy = 'r', value = 1, unit = 'A' } }",
            "the unit of flash-width is \"A\", its limit in plugin.toml has \"Hz\"",
        ),
        ("return string.format('%d', 'five')", "invalid argument #2 to 'format'"),
        ("return jig:solve{ supply = 'low' }.part", "near is parts"),
        ("return getmetatable(jig.parts).__index", "attempt to index nil"),
        ("jig:joined('L', 'L11')", "this jig has no net \"L11\"; near is L1"),
        ("jig:reach{ from = 'L11' }", "this jig has no net \"L11\"; near is L1"),
        ("jig:reach{ from = 'L', stop_at = { 'L', 'mm' } }", "this jig has no net \"mm\"; near is m"),
        ("jig:reach{ from = 'L', through = { 'resitor' } }", "near is resistor; there is resistor, capacitor"),
        ("jig:reach{ from = 'L', through = 'wire' }", "through is a list of kinds of part, or \"anything\""),
        ("jig:reach{ from = 'L', switches = { SW1 = 'off' } }", "this jig has no switch SW1"),
        ("jig:reach{ through = { 'wire' } }", "reach needs a from"),
        ("jig:reach{ from = { L = 1 } }", "a table in which each name is true; it holds integer"),
        ("jig:reach('L')", "reach has to be a table"),
        ("jig:reach{ from = 'L', past = 'N' }", "reach knows no \"past\": from, through, stop_at, switches"),
        ("jig:divider('L', 'L')", "between one net and itself"),
        ("jig:divider('L', 'N', { SW1 = 'off' })", "this jig has no switch SW1"),
        ("jig:ring(0, 33, 100)", "the bars of the ring have to be above zero"),
        ("jig:reach{ from = 'L' }.N = true", "readonly"),
    ] {
        let f = failed(body);
        assert!(f.failure == Failure::Error && f.line == Some(2), "{body}: {f:?}");
        assert!(f.message.contains(words) && !f.message.contains("prelude"), "{body}: {f:?}");
    }
    let manifest = MANIFEST.replace("limit = \"65 Hz\"", "limit = 65");
    let faults = Manifest::parse("plugin.toml", manifest.as_bytes()).unwrap_err();
    assert!(faults.len() == 1 && faults[0].line == 21 && faults[0].help.contains("in quotes"), "{faults:?}");
}

/// What is made on demand looks as if it had been there from the start.
#[test]
fn a_loop_over_a_solution_meets_all_of_it() {
    let names =
        "local names = {} for key in jig:solve{ supply = 'high', faults = { 'R1-short', 'R2-short', 'LP1-short' } } do
      table.insert(names, key) end table.sort(names) return say(table.concat(names, ' '))";
    // Nothing but the fuses is left across the mains: one of them opens.
    assert_eq!(said(names), "after between nets opens outlets parts period touch waves");
    let twice = "local s = jig:solve{ supply = 'low' } return say(s.parts == s.parts and s.parts.R1 == s.parts.R1)";
    assert_eq!(said(twice), "true");
    assert_eq!(said("return say(jig.parts == jig.parts and jig.supply == jig.supply)"), "true");
    let frozen = failed("local s = jig:solve{ supply = 'low' }\nlocal p = s.parts\ns.parts = {}");
    assert!(frozen.message.contains("readonly") && frozen.line == Some(4), "{frozen:?}");
}

#[test]
fn one_finding_outside_a_list_is_refused_in_words_that_help() {
    let f = failed("return notice{ check = 'flash-width', message = 'm', remedy = 'r' }");
    assert!(f.failure == Failure::Refused && f.message.contains("in a list"), "{f:?}");
}

#[test]
fn a_plugin_out_of_time_or_calls_is_told_with_its_line() {
    let f = failed("local n = 0\nwhile true do\nn += 1\nend");
    assert!(f.failure == Failure::OutOfTime && matches!(f.line, Some(3..=5)), "{f:?}");
    let f = failed("local again = true\n\nwhile again do\n  jig:solve{}\nend");
    assert!(f.failure == Failure::TooManyCalls && f.line == Some(5), "{f:?}");
    let inside = failed("local text = string.rep('a', 300)\n\nreturn text:find(string.rep('a*', 30) .. 'b')");
    assert!(inside.failure == Failure::OutOfTime && inside.line == Some(4), "{inside:?}");
}

#[test]
fn a_plugins_own_words_are_not_taken_for_the_machines() {
    let f = failed("error('this box has not enough memory of heat')");
    assert!(f.failure == Failure::Error && f.message.contains("of heat"), "{f:?}");
}

#[test]
fn nothing_hidden_comes_through_in_a_finding() {
    let hidden = "\u{AD}\u{61C}\u{180E}\u{200B}\u{202E}\u{2066}\u{FEFF}\u{FFF9}\u{E0041}\u{34F}\u{3164}\u{7}\u{9B}";
    let body = format!(
        "return {{ notice{{ check = 'flash-width', message = 'a{hidden}b', remedy = 'r', condition = '{hidden}' }} }}"
    );
    let found = on(&wand(), &body).unwrap().remove(0);
    let wanted = "\u{FFFD}".repeat(hidden.chars().count());
    assert_eq!(found.message, format!("a{wanted}b"));
    assert_eq!(found.condition, wanted);
}

#[test]
fn a_long_discharge_stops_when_the_time_is_over() {
    // Five more switches make 2^6 × 4 settings, cut to what is tried one by one, each both ways round.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/isolated-supply-230v.toml");
    let mut text = std::fs::read_to_string(path).unwrap();
    for k in 2..6 {
        text.push_str(&format!("\n[part.SW{k}]\nkind = \"switch\"\npoles = [[\"L2\", \"N{k}\"]]\n"));
        text.push_str(&format!(
            "[part.C{k}]\nkind = \"capacitor\"\nacross = [\"N{k}\", \"N2\"]\ncapacitance = \"{k} uF\"\n"
        ));
    }
    let limits = Bounds { milliseconds: 20, grace: 2_000, ..Bounds::default() };
    let source = "return { check = function(jig)\n jig:discharge('L', 'N', 60)\n end }";
    let started = Instant::now();
    let f = plugins::run(&plugin(source), &judged(&text).0, limits).unwrap_err();
    assert!(f.failure == Failure::OutOfTime, "{f:?} after {:?}", started.elapsed());
}

/// Peak of this process's memory, MiB; nothing where the system does not tell it.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1024)
}

/// Scripts that make the host itself hold much.
const HEAVY: [(&str, &str); 4] = [
    ("kinds", "local s = string.rep('x', 4050) for i = 1, 290000 do jig:parts(s .. i) end"),
    ("bytes", "local s = string.rep('\\255', 7000000) error(s .. s .. s, 0)"),
    ("words", "local s = string.rep('x', 3000) for i = 1, 1e6 do quantity(s .. i) end"),
    (
        "findings",
        "local s = string.rep('x', 4000)\nfor i = 1, 1000 do warning{ check = 'flash-width', message = s, remedy = s, \
         condition = s, source = s, quantity = s } end",
    ),
];

#[test]
fn memory_outside_the_machine_is_bounded_too() {
    const CHILD: &str = "PLUGIN_HOST_HEAVY";
    if let Ok(name) = std::env::var(CHILD) {
        let body = HEAVY.iter().find(|h| h.0 == name).unwrap().1;
        let _ = on(&wand(), body);
        println!("peak {}", peak().unwrap_or(0));
        return;
    }
    if peak().is_none() {
        println!("skipped: this system does not tell the peak of a process");
        return;
    }
    // The name a test is called by begins behind that of the crate.
    let (_, room) = module_path!().split_once("::").unwrap();
    let test = format!("{room}::memory_outside_the_machine_is_bounded_too");
    for (name, _) in HEAVY {
        let child = std::process::Command::new(std::env::current_exe().unwrap())
            .args([test.as_str(), "--exact", "--nocapture"])
            .env(CHILD, name)
            .output()
            .unwrap();
        let out = String::from_utf8_lossy(&child.stdout).into_owned();
        let told = out.lines().find_map(|l| l.rsplit_once("peak ")?.1.trim().parse::<u64>().ok());
        let mib = told.unwrap_or_else(|| panic!("{name}: {out}"));
        println!("{name}: {mib} MiB");
        assert!(child.status.success() && mib <= 64, "{name}: {mib} MiB");
    }
}

const WIDTH: &str = "return { check = function(jig)\n return { caution{ check = 'flash-width', parts = { 'LP1' }, \
                     message = 'bars ' .. jig.settings.bars, remedy = 'r' } }\nend }";

fn all(text: &str, found: &[Loaded]) -> Judgement {
    let (subject, mut judgement) = judged(text);
    run::all(found, &subject, &mut judgement, Bounds::default(), TODAY);
    judgement
}

fn of<'j>(j: &'j Judgement, check: &str) -> Vec<&'j Finding> {
    j.findings.iter().filter(|f| f.check == check).collect()
}

fn accepting(check: &str, until: &str) -> String {
    format!(
        "{}\n[[accept]]\ncheck = \"{check}\"\nreason = \"looked at\"\nby = \"workshop lead\"\nuntil = \"{until}\"\n",
        wand()
    )
}

#[test]
fn an_acceptance_holds_for_a_plugins_finding() {
    let found = [plugin(WIDTH).into()];
    let good = all(&accepting("flash-width", "2027-12-31"), &found);
    let accepted = of(&good, "flash-width")[0].accepted.as_ref().unwrap();
    assert_eq!((accepted.by.as_str(), of(&good, "acceptance").len()), ("workshop lead", 0));
    let lapsed = all(&accepting("flash-width", "2025-12-31"), &found);
    assert!(of(&lapsed, "flash-width")[0].accepted.is_none());
    assert!(of(&lapsed, "acceptance").len() == 1 && of(&lapsed, "acceptance")[0].message.contains("lapsed"));
    // Without the plugin, and for a name nobody has, the acceptance still matches nothing.
    for j in [all(&accepting("flash-width", "2027-12-31"), &[]), all(&accepting("flash-wdth", "2027-12-31"), &found)] {
        assert!(of(&j, "acceptance").len() == 1 && of(&j, "acceptance")[0].message.contains("matches no finding"));
    }
    let signals: Vec<Signal> = good.findings.iter().map(|f| f.signal).collect();
    assert!(signals.is_sorted(), "{signals:?}");
}

#[test]
fn settings_of_a_plugin_that_is_not_here_leave_the_check_incomplete() {
    let text = format!("{}\n[plugin.wand-extra]\nbars = 90\n", wand());
    let line = text.lines().count();
    let j = all(&text, &[plugin(WIDTH).into()]);
    let run = j.plugins.iter().find(|p| p.id == "wand-extra").unwrap();
    assert!(run.outcome == "failed" && run.why.contains(&format!("wand.toml:{line}:1")), "{run:?}");
    assert_eq!((of(&j, "plugin-failed").len(), j.exit_status()), (1, 3));
    // The one that is here runs, with what its manifest presets.
    assert_eq!(of(&j, "flash-width")[0].message, "bars 100");
}

#[test]
fn everything_wrong_with_settings_is_told_at_its_place_in_the_jig() {
    let good = all(&format!("{}\n[plugin.wand-extras]\nbars = 90\n", wand()), &[plugin(WIDTH).into()]);
    assert_eq!(of(&good, "flash-width")[0].message, "bars 90");
    let text = format!("{}\n[plugin.wand-extras]\nbarz = 90\nbars = \"many\"\nrest = \"5 V\"\n", wand());
    let last = text.lines().count();
    let j = all(&text, &[plugin(WIDTH).into()]);
    let why = &j.plugins[0].why;
    for (line, word) in [(last - 2, "barz"), (last - 1, "number"), (last, "where s is wanted")] {
        assert!(why.contains(&format!("wand.toml:{line}:1: ")) && why.contains(word), "{why}");
    }
    assert!(!why.contains("check.lua") && j.exit_status() == 3, "{why}");
}

#[test]
fn a_plugin_for_another_unit_is_not_started_and_says_what_it_misses() {
    let text = wand().replace("unit = \"strobe-lamp\"", "unit = \"strobe-lmap\"");
    assert_ne!(text, wand());
    let j = all(&format!("{text}\n[plugin.wand-extras]\nbars = 90\n"), &[plugin(WIDTH).into()]);
    assert_eq!(j.plugins[0].outcome, "skipped");
    assert!(j.plugins[0].why.contains("strobe-lamp") && j.plugins[0].why.contains("sets something"));
}

#[test]
fn many_that_run_on_end_together_and_change_nothing_for_the_others() {
    let mut spin = plugin("return { check = function(jig) while true do end end }");
    let mut found = vec![plugin(WIDTH).into()];
    for k in 0..6 {
        spin.manifest.id = format!("spin-{k}");
        found.push(spin.clone().into());
    }
    let alone = all(&wand(), &found[..1]);
    let (subject, mut j) = judged(&wand());
    let limits = Bounds { steps: u64::MAX, ..Bounds::default() };
    let started = Instant::now();
    run::all(&found, &subject, &mut j, limits, TODAY);
    let took = started.elapsed();
    // Four at once, so two rounds of the half second that each has; one after another would take three seconds.
    assert!(took < Duration::from_secs(2), "{took:?}");
    assert_eq!(of(&j, "flash-width"), of(&alone, "flash-width"));
    assert_eq!(of(&j, "plugin-failed").len(), 6);
    assert_eq!(j.plugins.iter().filter(|p| p.outcome == "failed").count(), 6);
    assert_eq!(j.exit_status(), 3);
}

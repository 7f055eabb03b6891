//! Speed of plugins: one machine started, loaded and run; eight that apply side by side; those of other units; a what-if
//! against the same solution of the core. `cargo bench --bench plugins`.
#![allow(missing_docs, clippy::unwrap_used)]

use deadfront::plugin::vm::Bounds;
use deadfront::plugin::what_if::{self, Subject, SupplyWish, Wish};
use deadfront::plugin::worker;
use deadfront::plugin::{Loaded, Manifest, Plugin, find, run, settings};
use deadfront::survey::{Options, condition::Level, survey};
use deadfront::{checks, jig};
use divan::Bencher;
use std::fmt::Write;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

fn main() {
    divan::main();
}

const TODAY: &str = "2026-01-01";
const FIFTY: &str = include_str!("fifty-lines.lua");

fn plugin(id: &str, unit: &str, source: &str) -> Plugin {
    let text = format!(
        "id = \"{id}\"\nversion = \"1.0.0\"\napi = 1\ntitle = \"t\"\nabout = \"a\"\nunits = [\"{unit}\"]\nauthor = \"n\"\n\
         licence = \"MIT\"\nsources = []\n[settings.share]\ntype = \"number\"\ndefault = 0.9\nabout = \"a\"\n"
    );
    let check = |name: &str| {
        format!("[checks.{name}]\ntitle = \"t\"\nlimit = \"30 V\"\nsource = \"common practice\"\nwhy = \"w\"\n")
    };
    let text = text + &check("warm") + &check("bridged") + &check("bare");
    let manifest = Manifest::parse("plugin.toml", text.as_bytes()).unwrap();
    Plugin { manifest, source: source.into(), sha256: "0".repeat(64), vetted_by: vec![] }
}

fn subject(jig: jig::Jig) -> Arc<Subject> {
    let survey = survey(&jig, &Options::default());
    let judgement = checks::judge(&jig, &survey, TODAY);
    Arc::new(Subject::new(jig, survey, &judgement))
}

fn wand() -> Arc<Subject> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/neon-wand-230v.toml");
    subject(jig::read(&path).unwrap())
}

/// The wand's jig with strings of resistors across the mains beside it: a hundred parts.
fn hundred() -> Arc<Subject> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/neon-wand-230v.toml");
    let mut text = std::fs::read_to_string(path).unwrap();
    let parts = text.matches("\n[part.").count();
    for k in parts..100 {
        // Twenty to a string, so that none takes much.
        let (from, to) = (k % 20, k % 20 + 1);
        let net = |n: usize| if n == 0 { "L1".into() } else { format!("q{}-{n}", k / 20) };
        write!(
            text,
            "\n[part.RX{k}]\nkind = \"resistor\"\nacross = [\"{}\", \"{}\"]\nresistance = \"47 kΩ\"\ntolerance = \"5 %\"\n\
             power = \"0.6 W\"\nvoltage = \"350 V\"\n",
            net(from),
            net(to)
        )
        .unwrap();
    }
    let jig = jig::parse("hundred.toml", text.as_bytes()).unwrap();
    assert_eq!(jig.parts.len(), 100);
    subject(jig)
}

#[divan::bench(args = ["neon wand", "100 parts"])]
fn one_of_fifty_lines(bencher: Bencher, jig: &str) {
    let subject = if jig == "neon wand" { wand() } else { hundred() };
    let plugin = plugin("fifty", "strobe-lamp", FIFTY);
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    bencher.bench(|| worker::one(&plugin, set.clone(), &subject, Bounds::default()).unwrap());
}

/// The same without a thread of its own: what the machine itself costs.
#[divan::bench(args = ["neon wand", "100 parts"])]
fn machine_alone(bencher: Bencher, jig: &str) {
    let subject = if jig == "neon wand" { wand() } else { hundred() };
    let plugin = plugin("fifty", "strobe-lamp", FIFTY);
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    let stop = Arc::new(AtomicBool::new(false));
    bencher.bench(|| worker::alone(&plugin, set.clone(), &subject, Bounds::default(), Arc::clone(&stop)).unwrap());
}

/// What so many that apply add to a check, from the folders in hand to their findings in the judgement.
#[divan::bench(args = [0, 1, 8])]
fn side_by_side(bencher: Bencher, count: usize) {
    let subject = wand();
    let found: Vec<Loaded> = (0..count).map(|k| plugin(&format!("fifty-{k}"), "strobe-lamp", FIFTY).into()).collect();
    let judgement = checks::judge(&subject.jig, &subject.survey, TODAY);
    bencher.with_inputs(|| judgement.clone()).bench_refs(|judgement| {
        run::all(&found, &subject, judgement, Bounds::default(), TODAY);
        assert_eq!(judgement.plugins.iter().filter(|p| p.outcome == "ran").count(), count);
    });
}

/// The plugins that ship: read and hashed, as each check does.
#[divan::bench]
fn shipped_read() -> usize {
    find::all(&[], vec![]).unwrap().len()
}

/// The shipped plugin of its unit, on the demo jig it is for.
#[divan::bench(args = ["neon-wand-230v", "led-box-230v", "discharge-probe", "series-lamp-limiter-230v", "isolated-supply-230v"])]
fn shipped_on(bencher: Bencher, name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(format!("{name}.toml"));
    let subject = subject(jig::read(&path).unwrap());
    let found: Vec<Loaded> = find::all(&[], vec![]).unwrap().into_iter().map(|k| k.plugin).collect();
    let judgement = checks::judge(&subject.jig, &subject.survey, TODAY);
    bencher.with_inputs(|| judgement.clone()).bench_refs(|judgement| {
        run::all(&found, &subject, judgement, Bounds::default(), TODAY);
        assert!(judgement.plugins.iter().any(|p| p.outcome == "ran"));
    });
}

const SOLVES: usize = 100;

/// A hundred what-ifs of one plugin.
#[divan::bench]
fn hundred_what_ifs_of_a_plugin(bencher: Bencher) {
    let subject = wand();
    let source = format!(
        "return {{ check = function(jig) for k = 1, {SOLVES} do jig:solve{{ supply = \"low\", faults = {{ \"LP1-short\" }} }} end end }}"
    );
    let plugin = plugin("what-ifs", "strobe-lamp", &source);
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    bencher.bench(|| worker::one(&plugin, set.clone(), &subject, Bounds::default()).unwrap());
}

/// The same hundred by the core alone.
#[divan::bench]
fn hundred_what_ifs_of_the_core(bencher: Bencher) {
    let subject = wand();
    let wish = Wish {
        supply: SupplyWish::Level(Level::Low),
        reversed: false,
        faults: vec!["LP1-short".into()],
        switches: vec![],
        loads: vec![],
        change: vec![],
    };
    bencher.bench(|| (0..SOLVES).map(|_| what_if::solve(&subject, &wish).unwrap().steps.len()).sum::<usize>());
}

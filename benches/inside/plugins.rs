//! Plugins: one machine started, loaded and run; several side by side; a what-if against the same solution of the core.

use crate::finding::Judgement;
use crate::plugin::vm::Bounds;
use crate::plugin::what_if::{self, Subject, SupplyWish, Wish};
use crate::plugin::worker;
use crate::plugin::{Loaded, Manifest, Plugin, find, run, settings};
use crate::standard::Level;
use crate::survey::{Options, survey};
use crate::{checks, jig};
use std::fmt::Write;
use std::hint::black_box;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

const TODAY: &str = "2026-01-01";
const FIFTY: &str = include_str!("../fifty-lines.lua");

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

fn on(jig: &str) -> Arc<Subject> {
    if jig == "neon wand" { wand() } else { hundred() }
}

/// A plugin of fifty lines on a jig, on a thread of its own as a check runs it.
pub fn one_of_fifty_lines(jig: &str) -> impl Fn() {
    let (subject, plugin) = (on(jig), plugin("fifty", "strobe-lamp", FIFTY));
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    move || drop(black_box(worker::one(&plugin, set.clone(), &subject, Bounds::default()).unwrap()))
}

/// The same without a thread of its own: what the machine itself costs.
pub fn machine_alone(jig: &str) -> impl Fn() {
    let (subject, plugin) = (on(jig), plugin("fifty", "strobe-lamp", FIFTY));
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    let stop = Arc::new(AtomicBool::new(false));
    move || {
        drop(black_box(worker::alone(&plugin, set.clone(), &subject, Bounds::default(), Arc::clone(&stop)).unwrap()));
    }
}

fn adding(found: Vec<Loaded>, subject: Arc<Subject>) -> (Judgement, impl Fn(&mut Judgement)) {
    let judgement = checks::judge(&subject.jig, &subject.survey, TODAY);
    (judgement, move |judgement| run::all(&found, &subject, judgement, Bounds::default(), TODAY))
}

/// What so many that apply add to a check: the judgement without them, and their run.
pub fn side_by_side(count: usize) -> (Judgement, impl Fn(&mut Judgement)) {
    let found = (0..count).map(|k| plugin(&format!("fifty-{k}"), "strobe-lamp", FIFTY).into()).collect();
    adding(found, wand())
}

/// The plugins that ship, read and hashed as each check does: how many.
pub fn shipped_read() -> usize {
    find::all(&[], vec![]).unwrap().len()
}

/// The shipped plugins on a demo jig: the judgement without them, and their run.
pub fn shipped_on(name: &str) -> (Judgement, impl Fn(&mut Judgement)) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(format!("{name}.toml"));
    let found = find::all(&[], vec![]).unwrap().into_iter().map(|k| k.plugin).collect();
    adding(found, subject(jig::read(&path).unwrap()))
}

const SOLVES: usize = 100;

/// A hundred what-ifs of one plugin.
pub fn hundred_what_ifs_of_a_plugin() -> impl Fn() {
    let subject = wand();
    let source = format!(
        "return {{ check = function(jig) for k = 1, {SOLVES} do jig:solve{{ supply = \"low\", faults = {{ \"LP1-short\" }} }} end end }}"
    );
    let plugin = plugin("what-ifs", "strobe-lamp", &source);
    let set = settings::of(&subject.jig, &plugin.manifest).unwrap();
    move || drop(black_box(worker::one(&plugin, set.clone(), &subject, Bounds::default()).unwrap()))
}

/// The same hundred by the core alone.
pub fn hundred_what_ifs_of_the_core() -> impl Fn() -> usize {
    let subject = wand();
    let wish = Wish {
        supply: SupplyWish::Level(Level::Low),
        reversed: false,
        faults: vec!["LP1-short".into()],
        switches: vec![],
        loads: vec![],
        change: vec![],
        ..Wish::default()
    };
    move || (0..SOLVES).map(|_| what_if::solve(&subject, &wish).unwrap().steps.len()).sum()
}

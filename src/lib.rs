//! deadfront checks a home-built mains-powered bench tool on paper, before anyone plugs it in.
//!
//! A jig file, in TOML, says which parts there are, which nets they join, what they are rated for and what can be touched.
//! [`check`] solves it in every position of its switches, either way round of its plug, at low, nominal and high supply, and
//! with each part failed in turn; what it finds is held against published limits, each named with its source. [`size`]
//! chooses the dropper of a lamp. Both give facts, which their reports put into JSON or text.
//!
//! ```
//! let jig = r#"
//! format = 1
//!
//! [jig]
//! name = "Glow lamp"
//! use = "bench"
//!
//! [supply]
//! system = "230 V 50 Hz"
//! plug = "C"
//! cord = { area = "0.75 mm2", length = "2 m", cores = 2, strain-relief = true }
//!
//! [enclosure]
//! material = "insulating"
//! class = "II"
//! size = ["160 mm", "30 mm", "30 mm"]
//! opens-with = "tool"
//!
//! [part.F1]
//! kind = "fuse"
//! across = ["L", "a"]
//! current = "50 mA"
//! speed = "F"
//! voltage = "250 V"
//! breaking = "1500 A"
//!
//! [part.R1]
//! kind = "resistor"
//! across = ["a", "b"]
//! resistance = "150 kΩ"
//! tolerance = "5 %"
//! power = "0.25 W"
//! voltage = "350 V"
//!
//! [part.LP1]
//! kind = "neon-lamp"
//! across = ["b", "N"]
//! type = "A1A"
//! "#;
//! let report = deadfront::check(jig, &deadfront::Options::default()).expect("a jig file that reads");
//!
//! // Among the WARNINGs: the resistor is too small for what it takes, and it alone keeps the lamp from bursting.
//! let judgement = &report.judgement;
//! assert_eq!(judgement.verdict(), deadfront::finding::Verdict::Stop);
//! let told = |check: &str| judgement.findings.iter().find(|f| f.check.to_string() == check).expect("it is told");
//! let first = told("resistor-power");
//! assert_eq!(first.parts, ["R1"]);
//! assert_eq!((first.unit.as_str(), first.limit), ("W", Some(0.25)));
//! assert!(first.message.starts_with("In normal use R1 takes 274 mW without end"));
//! assert_eq!(told("no-limiting").parts, ["LP1", "R1"]);
//!
//! // The same as text and as JSON.
//! assert!(report.to_text(deadfront::Look::default()).contains("WARNING"));
//! assert!(report.to_json().contains("\"verdict\": \"stop\""));
//! ```
//!
//! It replaces neither local codes nor a licensed electrician, and it sees only what is written down: not workmanship, real
//! distances, false ratings, moisture or age. Read SAFETY.md.
//!
//! Data walks one way, as [`check`] calls the rooms: **standard → part → jig → nets → circuit → survey → checks → finding →
//! mending → plugin → report**. Each room knows the rooms before it and none of those after it.

mod checks;
pub mod circuit;
pub mod command;
mod deadtest;
mod files;
pub mod finding;
mod format;
mod front;
mod jig;
mod mending;
mod nets;
mod part;
mod picture;
mod plugin;
mod quantity;
mod report;
mod sharing;
mod sizing;
mod standard;
mod strobe;
mod survey;
mod wording;

pub use front::{Design, Faults, Options, Report, Sheet, SheetPart, Strobing, Wish};
pub use jig::InputError;
pub use mending::Effort;
pub use report::{Colour, Look};
pub use sharing::{Day, Home, SharingError, Sources};
pub use sizing::{Begun, Dropper, LedCircuit, LedWish, MainsWish, NeonWish};
pub use strobe::{RingWish, StrobeWish};
pub use survey::{Stage, Watch};

use front::Asked;
use mending::Mended;
use plugin::what_if::Subject;
use std::sync::Arc;

/// Checks a jig: the text of a jig file in, what is found in it out, in SI base units. With the default [`Options`] nothing
/// is read but the text; plugins that ship look at it where it is for their kind of unit.
///
/// A check that is not complete says so ([`finding::Judgement::complete`]): a condition that could not be solved or a plugin
/// that failed is never silently left out.
///
/// # Errors
/// Everything that is wrong with the text, at its place; a folder, home or lock of [`Options::plugins`] that cannot be read;
/// a condition of [`Options::only`] that was not tried.
///
/// ```
/// let errors = deadfront::check("format = 1\n[jig]\nnme = \"Wand\"\n", &deadfront::Options::default()).unwrap_err();
/// let slip = errors.iter().find(|e| e.line == 3).expect("the misspelt key");
/// assert_eq!(slip.to_string(), "jig.toml:3:1: error: [jig] has no key \"nme\"; did you mean \"name\"?");
/// ```
///
/// What a number cures is tried, and written into a new file where that is asked for:
///
/// ```
/// # let jig = include_str!("../demo-data/neon-wand-230v.toml").replace("\"0.6 W\"", "\"0.1 W\"");
/// // The demo's wand with resistors of 0.1 W.
/// let options = deadfront::Options { mend: deadfront::Effort::File, ..deadfront::Options::default() };
/// let report = deadfront::check(jig, &options).expect("a jig file that reads");
/// assert_eq!(report.exit_status(), 1);
/// let changes = report.mending.expect("it was asked for").changes;
/// assert!(changes.iter().any(|c| c.part == "R1" && c.key == "power"));
/// let mended = deadfront::check(report.mended_text.expect("something was changed"), &options).unwrap();
/// assert_eq!(mended.exit_status(), 0);
/// ```
pub fn check(text: impl AsRef<[u8]>, options: &Options) -> Result<Report, Vec<InputError>> {
    let today = options.today.to_string();
    let jig = jig::parse(&options.file, text.as_ref())?;
    // Who may look at the jig is settled before anything looks.
    let plugins = options.plugins.for_unit(&jig.unit, options.today)?;
    let unknown = plugin::unit::unknown(&jig, &plugins)?;
    if let Some(name) = options.only_by_name().filter(|_| jig.supply.mains.is_some()) {
        return Asked::only(&jig, name, &today, options);
    }
    let asked_of_survey = options.survey();
    let survey = survey::watched(&jig, &asked_of_survey, &options.watch);
    let judged = checks::judge_and_propose(&jig, &survey, &today);
    let asked = Asked::of(options, &jig, &survey, &judged.0, &asked_of_survey)?;
    let subject = Arc::new(Subject::new(jig.clone(), survey.clone(), &judged.0));
    let text = String::from_utf8_lossy(text.as_ref());
    options.watch.enter(Stage::Cures);
    let Mended { mut judgement, text, mending } = mending::mend(&text, jig, survey, judged, &today, options.mend);
    checks::fold_twins(&mut judgement);
    if judgement.complete() && subject.survey.budget.is_some_and(survey::budget::Budget::is_spent) {
        judgement.not_checked.push(CURES_LEFT_OUT.to_string());
    }
    plugin::run::known(&plugins, &subject, &mut judgement, &today);
    judgement.not_checked.splice(0..0, options.plugins.not_there());
    judgement.unit_without_checks = unknown;
    checks::tell_under(&subject.jig, &subject.survey, &mut judgement);
    asked.put_into(&mut judgement);
    if options.measure_first && judgement.verdict() == finding::Verdict::NoFinding && judgement.complete() {
        judgement.measure_first = front::measure_first(&subject.jig);
    }
    let mended_text = (options.mend == Effort::File && !mending.changes.is_empty()).then_some(text);
    let mending = (options.mend == Effort::File).then_some(mending);
    Ok(Report { judgement, mending, mended_text })
}

/// What is not checked where only the cures came too late: the findings are whole.
const CURES_LEFT_OUT: &str =
    "what might cure the findings: the time allowed was used up before all was tried; allow more with --budget";

/// Sizes the dropper of a lamp: designs that differ in their dropper, each made into a whole jig and checked like any other,
/// and the choice between them. Values are texts, written as a jig file writes them.
///
/// # Errors
/// Everything that is wrong with the wishes, each naming the option of `deadfront size` it stands for.
///
/// ```
/// use deadfront::{MainsWish, NeonWish, Wish};
/// let mains = MainsWish { supply: Some("230 V 50 Hz".into()), ..MainsWish::default() };
/// let wish = Wish::Neon(NeonWish { mains, lamp_type: Some("A1A".into()), ..NeonWish::default() });
/// let design = deadfront::size(&wish).expect("a lamp and a supply of the tables");
/// assert_eq!(design.sizing.chosen, Some(0));
/// // The jig file of the chosen design passes the checks.
/// let jig = design.text.expect("a design was chosen");
/// assert_eq!(deadfront::check(jig, &deadfront::Options::default()).unwrap().exit_status(), 0);
/// ```
pub fn size(wish: &Wish) -> Result<Design, Vec<InputError>> {
    let sizing::Sized { sizing, text } = match wish {
        Wish::Neon(wish) => sizing::neon(wish)?,
        Wish::Led(wish) => sizing::led(wish)?,
    };
    Ok(Design { sizing, text })
}

/// A whole, commented jig file to begin from: a unit that people build, for a supply and a plug. It is handed out only once it
/// was checked like any other jig with nothing that stops.
///
/// # Errors
/// No such unit; a supply or plug that is not known; a unit that cannot be built for them, with the reason.
///
/// ```
/// let mains = deadfront::MainsWish { supply: Some("120 V 60 Hz".into()), ..Default::default() };
/// let begun = deadfront::begin("bench-lamp", &mains).expect("a unit and a supply that are known");
/// assert_eq!(deadfront::check(begun.text, &deadfront::Options::default()).unwrap().exit_status(), 0);
/// ```
pub fn begin(unit: &str, wish: &MainsWish) -> Result<Begun, Vec<InputError>> {
    let begun = sizing::begin(unit, wish)?;
    let report = check(&begun.text, &Options { file: "the new jig".into(), ..Options::default() })?;
    match report.worst_that_stops() {
        None if report.exit_status() == 0 => settled(begun, &report),
        None => Err(vec![sizing::no_jig(begun.unit, &begun.supply, "the check of it cannot be finished")]),
        Some(why) => Err(vec![sizing::no_jig(begun.unit, &begun.supply, &why)]),
    }
}

/// The jig with the changes that were tried and cure what is to be looked at in it, where there are any.
fn settled(begun: Begun, report: &Report) -> Result<Begun, Vec<InputError>> {
    let cured = |f: &finding::Finding| f.signal == finding::Signal::Caution && f.cure.is_some();
    if !report.judgement.findings.iter().any(cured) {
        return Ok(begun);
    }
    let options = Options { file: "the new jig".into(), mend: Effort::File, ..Options::default() };
    let text = check(&begun.text, &options)?.mended_text;
    Ok(Begun { text: text.unwrap_or_else(|| begun.text.clone()), ..begun })
}

/// A strobe lamp in use: flashes as solved, the ring of bars that stands still at each speed, what a drifting one means. With the
/// text of a jig its lamp is solved, and the jig is checked as [`check`] does; without one the wish states the mains or the
/// flashes.
///
/// # Errors
/// Everything that is wrong with the jig or the wish; a jig without mains, or without a lamp that could flash.
///
/// ```
/// use deadfront::{Options, StrobeWish};
/// let jig = include_str!("../demo-data/neon-wand-230v.toml").as_bytes();
/// let wish = StrobeWish { drift: Some("12 bars in 60 s forward".into()), ..StrobeWish::default() };
/// let used = deadfront::strobe(Some((jig, &Options::default())), &wish).expect("a lamp on the mains");
/// assert_eq!(used.strobe.flashes_per_second, Some(100.0));
/// let ring = used.strobe.rings.iter().find(|r| r.label == "33 1/3").expect("a usual speed");
/// assert_eq!(ring.bars, 180);
/// // 12 of the 6000 bars that pass a mark in a minute at the speed at which the ring stands still.
/// assert!((used.strobe.drift.expect("it was asked for").percent - 0.2).abs() < 1e-9);
/// ```
pub fn strobe(jig: Option<(&[u8], &Options)>, wish: &StrobeWish) -> Result<Strobing, Vec<InputError>> {
    let parsed = jig.map(|(text, options)| jig::parse(&options.file, text)).transpose()?;
    let mut strobe = strobe::strobe(parsed.as_ref(), wish)?;
    let ring = wish.ring.as_ref().filter(|_| strobe.dark.is_none());
    let asked = !wish.rpm.is_empty() || wish.bars.is_some();
    let drawing = ring.map(|ring| strobe::draw(&strobe, ring, asked)).transpose()?;
    let (drawing, drawn) = drawing.unzip();
    strobe.drawing = drawn;
    let report = jig.map(|(text, options)| check(text, options)).transpose()?;
    Ok(Strobing::new(strobe, report, drawing))
}

/// What the benchmarks run inside the rooms.
#[cfg(all(feature = "measured", not(test)))]
#[doc(hidden)]
#[path = "../benches/inside/mod.rs"]
pub mod measured;

/// What a stranger may hand over, for a fuzzer.
#[cfg(all(feature = "fuzzed", not(test)))]
#[doc(hidden)]
#[path = "../tests/fuzz/entries.rs"]
pub mod fuzzed;

/// Tests of the rooms from inside; they stand with the other tests.
#[cfg(test)]
#[path = "../tests/rooms/mod.rs"]
mod tests;

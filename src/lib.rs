//! deadfront checks a home-built mains-powered bench tool on paper, before anyone plugs it in.
//!
//! Data walks one way: **jig → survey → judgement → report**. Each room knows the rooms before it and
//! none of those after it.

pub mod checks;
pub mod circuit;
pub mod command;
pub mod files;
pub mod finding;
pub mod format;
mod front;
pub mod jig;
pub mod mending;
pub mod nets;
pub mod part;
pub mod plugin;
pub mod quantity;
pub mod report;
pub mod sharing;
pub mod sizing;
pub mod standard;
pub mod survey;
pub mod wording;

pub use front::{Design, Faults, Options, Report, Wish};
pub use jig::InputError;
pub use mending::Effort;

use front::Asked;
use mending::Mended;
use plugin::what_if::Subject;
use std::sync::Arc;

/// Checks a jig.
pub fn check(text: impl AsRef<[u8]>, options: &Options) -> Result<Report, Vec<InputError>> {
    let today = options.today.to_string();
    let jig = jig::parse(&options.file, text.as_ref())?;
    // Who may look at the jig is settled before anything looks.
    let plugins = options.plugins.for_unit(&jig.unit, options.today)?;
    let survey = survey::watched(&jig, &options.survey(), &options.watch);
    let judged = checks::judge_and_propose(&jig, &survey, &today);
    let asked = Asked::of(options, &jig, &survey, &judged.0)?;
    let subject = Arc::new(Subject::new(jig.clone(), survey.clone(), &judged.0));
    let text = String::from_utf8_lossy(text.as_ref());
    let Mended { mut judgement, text, mending } = mending::mend(&text, jig, survey, judged, &today, options.mend);
    checks::fold_twins(&mut judgement);
    plugin::run::known(&plugins, &subject, &mut judgement, &today);
    asked.put_into(&mut judgement);
    let mended_text = (options.mend == Effort::File && !mending.changes.is_empty()).then_some(text);
    let mending = (options.mend == Effort::File).then_some(mending);
    Ok(Report { judgement, mending, mended_text })
}

/// Sizes the dropper of a lamp.
pub fn size(wish: &Wish) -> Result<Design, Vec<InputError>> {
    let sizing::Sized { sizing, text } = match wish {
        Wish::Neon(wish) => sizing::neon(wish)?,
        Wish::Led(wish) => sizing::led(wish)?,
    };
    Ok(Design { sizing, text })
}

/// Tests of the rooms from inside; they stand with the other tests.
#[cfg(test)]
#[path = "../tests/rooms/mod.rs"]
mod tests;

//! A jig as a sheet to print, and its pictures.

use super::Options;
use crate::jig::{self, InputError, Jig};
use crate::nets::Nets;
use crate::report;

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetPart {
    /// The whole sheet, as a page (HTML).
    Page,
    /// The wiring picture alone (SVG). Nothing is solved for it.
    Wiring,
    /// The waveforms alone (SVG).
    Waveforms,
}

/// A sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The page or picture.
    pub text: String,
    /// Exit status of the check it shows; 0 where none was made.
    pub exit_status: u8,
    /// The verdict in a line; empty where no check was made.
    pub verdict: String,
}

/// Draws a jig.
pub(crate) fn sheet(text: &[u8], options: &Options, part: SheetPart) -> Result<Sheet, Vec<InputError>> {
    let jig = jig::parse(&options.file, text)?;
    let nets = Nets::of(&jig);
    let drawn = |text: String| Sheet { text, exit_status: 0, verdict: String::new() };
    match part {
        SheetPart::Wiring => Ok(drawn(report::wiring(&jig, &nets))),
        SheetPart::Waveforms => Ok(drawn(String::new())),
        SheetPart::Page => page(text, options, &jig, &nets),
    }
}

fn page(text: &[u8], options: &Options, jig: &Jig, nets: &Nets) -> Result<Sheet, Vec<InputError>> {
    let checked = crate::check(text, options)?;
    let judgement = &checked.judgement;
    let (wiring, wiring_caption) = report::wiring_for_page(jig, nets);
    let facts = report::SheetFacts {
        jig,
        judgement,
        wiring,
        wiring_caption,
        waveforms: Err("Not drawn.".into()),
        watts: None,
        today: options.today.to_string(),
    };
    Ok(Sheet {
        text: report::sheet(&facts),
        exit_status: checked.exit_status(),
        verdict: report::verdict_line(judgement),
    })
}

//! The bench sheet: one page to print and hang over the bench, or its pictures alone. It lays out what it was handed: the jig, the
//! judgement, the picture; judges nothing and works nothing out.

mod bench;
mod glyph;
mod html;
mod instead;
mod label;
mod page;
mod shopping;
mod svg;
mod waves;
mod wiring;

use crate::deadtest::{DeadTest, FirstPower, NotOffered};
use crate::finding::Judgement;
use crate::jig::Jig;
use crate::nets::Nets;
use crate::picture::{Picture, picture};
pub(crate) use waves::{Curve, RunDown, TwoCycles};

/// What stands on a sheet.
pub(crate) struct SheetFacts<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// What was found.
    pub judgement: &'a Judgement,
    /// The wiring picture, for a page.
    pub wiring: String,
    /// What is to be said of it.
    pub wiring_caption: String,
    /// The waveforms and what is to be said of them, or why there are none.
    pub waveforms: Result<(String, String), String>,
    /// What to measure on it unplugged; nothing where there are too many parts to work it out beside the rest.
    pub dead_test: Option<&'a DeadTest>,
    /// The steps of the first power-up, or why there are none.
    pub first_power: Result<FirstPower, NotOffered>,
    /// Mean watts at nominal supply, where they are known.
    pub watts: Option<f64>,
    /// The day (ISO 8601).
    pub today: String,
}

/// The wiring picture alone.
pub(crate) fn wiring(jig: &Jig, nets: &Nets) -> String {
    wiring::wiring_svg(jig, nets, &picture(jig), true)
}

/// The wiring picture within a page, and what is to be said of it.
pub(crate) fn wiring_for_page(jig: &Jig, nets: &Nets) -> (String, String) {
    let picture: Picture = picture(jig);
    let svg = wiring::wiring_svg(jig, nets, &picture, false);
    (svg, wiring::caption(jig, nets, &picture))
}

/// The waveforms alone, or within a page.
pub(crate) fn waveforms(title: &str, cycles: Option<&TwoCycles>, down: Option<&RunDown>, alone: bool) -> String {
    waves::waves_svg(title, cycles, down, alone)
}

/// The whole page.
pub(crate) fn sheet(facts: &SheetFacts) -> String {
    page::page(facts)
}

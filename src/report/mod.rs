//! Words, tables and JSON round the facts of a judgement: the last room of the walk. It judges nothing, works
//! nothing out and knows no limit; what it prints is what it was handed. It must not know the command line.

mod authoring_text;
mod begun_text;
mod brief;
mod cautions;
mod check_text;
mod clean;
mod comparison_text;
mod conditions_text;
mod deadtest_json;
mod deadtest_text;
mod difference_text;
mod finding;
mod json;
mod look;
mod mending_text;
mod number;
mod overview;
mod page;
mod plain;
mod review_text;
mod rows_text;
mod sharing_text;
mod sheet;
mod shelf_text;
mod show_text;
mod size_text;
mod strobe_text;
mod table;
mod why_text;

pub(crate) use authoring_text::{Listed, Trial, TrialCase, listed_text, made_text, trial_text};
pub(crate) use begun_text::begun_text;
pub(crate) use brief::brief_text;
pub(crate) use brief::verdict_line;
pub(crate) use cautions::CAUTIONS;
pub(crate) use check_text::check_text;
pub(crate) use clean::{clean, clean_lines};
pub(crate) use comparison_text::comparison_text;
pub(crate) use deadtest_json::dead_test_json;
pub(crate) use deadtest_text::dead_test_text;
pub(crate) use difference_text::{Difference, JigDifference, difference_text};
#[cfg(test)]
pub(crate) use json::check_json;
pub(crate) use json::{
    Checked, check_json_with, checks_json, comparison_json, matrix_json, rows_json, size_json, strobe_json, value_json,
    why_json, why_list_json, why_plugin_json,
};
pub use look::{Colour, Look};
pub(crate) use look::{colour_for, width_for};
pub(crate) use overview::{is_told, ordered, overview_text};
pub(crate) use plain::{in_ascii, shows_unicode};
pub(crate) use review_text::{PAGE_END, Review, ReviewedCase, dossier_json, review_text};
pub(crate) use rows_text::rows_text;
pub(crate) use sharing_text::{
    added_text, affected_text, key_text, lifted_text, packed_text, shop_text, shops_text, signed_text, stops_text,
    vetted_text,
};
pub(crate) use sheet::{Curve, RunDown, SheetFacts, TwoCycles, sheet, waveforms, wiring, wiring_for_page};
pub(crate) use shelf_text::{carried_text, refreshed_text, shelf_text, taken_text};
pub(crate) use show_text::{Shown, show_json, show_text};
pub(crate) use size_text::size_text;
pub(crate) use strobe_text::strobe_text;
pub(crate) use why_text::{matrix_text, why_list_text, why_plugin_text, why_text};

use crate::finding::{Finding, Signal};

/// The signal word as it is printed.
fn word(signal: Signal) -> &'static str {
    signal.word()
}

/// "1 danger", "2 warnings"; empty when there is no finding.
fn counts(findings: &[Finding]) -> Vec<String> {
    let counted = Signal::ALL.iter().filter_map(|&signal| {
        let count = findings.iter().filter(|f| f.signal == signal).count();
        (count > 0).then(|| plural(count, &word(signal).to_lowercase()))
    });
    counted.collect()
}

/// Gravest first; those of one signal word stay in the order they were found in.
fn gravest_first(findings: &[Finding]) -> Vec<&Finding> {
    let mut sorted: Vec<&Finding> = findings.iter().collect();
    sorted.sort_by_key(|f| f.signal);
    sorted
}

/// "1 condition", "2 conditions".
fn plural(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

//! What the commands need done. Must not know the command line.

use super::deadtest::DeadtestArgs;
use super::errors::Errors;
use crate::finding::Rows;
use crate::finding::comparison::Comparison;
use crate::finding::{Judgement, MatrixPart, Page, PluginCheck};
use crate::front::Tested;
use crate::{Begun, Design, MainsWish, Options, Report, Sheet, SheetPart, StrobeWish, Strobing, Wish};
use std::path::Path;

/// What the commands need done. The program's own rooms stand behind it; tests put artificial results there.
pub(crate) trait Engine {
    /// Reads a jig file and checks it.
    ///
    /// # Errors
    /// All that is wrong with the file.
    fn check(&self, jig: &Path, options: &Options) -> Result<Report, Errors>;

    /// Writes the lock beside a jig that was judged: the exact plugins that looked at it. What that changes, a line each.
    ///
    /// # Errors
    /// One of them did not run, or it could not be written; what is there is as it was.
    fn lock(&self, jig: &Path, judgement: &Judgement) -> Result<Vec<String>, Errors>;

    /// Sizes the dropper of a lamp.
    ///
    /// # Errors
    /// All that is wrong with the wishes.
    fn size(&self, wish: &Wish) -> Result<Design, Errors>;

    /// A whole jig to begin from.
    ///
    /// # Errors
    /// No such unit, supply or plug, or the unit cannot be built for them.
    fn begin(&self, unit: &str, wish: &MainsWish) -> Result<Begun, Errors>;

    /// Checks two jigs and compares them; with the exit status of the second.
    ///
    /// # Errors
    /// All that is wrong with either file.
    fn compare(&self, jigs: [&Path; 2], options: &[Options; 2]) -> Result<(Comparison, u8), Errors>;

    /// What a strobe lamp shows: that of a jig, or one of which the wish says all there is.
    ///
    /// # Errors
    /// All that is wrong with the file or the wishes.
    fn strobe(&self, jig: Option<(&Path, &Options)>, wish: &StrobeWish) -> Result<Strobing, Errors>;

    /// The dead test of a jig, and what readings say of it.
    ///
    /// # Errors
    /// All that is wrong with the jig or with the readings.
    fn dead_test(&self, args: &DeadtestArgs, options: &Options) -> Result<Tested, Errors>;

    /// Checks a jig and draws it.
    ///
    /// # Errors
    /// All that is wrong with the file.
    fn sheet(&self, jig: &Path, options: &Options, part: SheetPart) -> Result<Sheet, Errors>;

    /// Rows that a jig file may name.
    ///
    /// # Errors
    /// There is no such list.
    fn rows(&self, list: &str, kind: Option<&str>) -> Result<Rows, Errors>;

    /// The pages of all checks, room by room.
    fn pages(&self) -> Vec<Page>;

    /// Who judges what the format can state, kind by kind.
    fn matrix(&self) -> Vec<MatrixPart>;

    /// The page of one check.
    ///
    /// # Errors
    /// The names nearest to that one, best first.
    fn page(&self, check: &str) -> Result<Page, Vec<String>>;

    /// Checks of that name in the plugins there are.
    fn plugin_checks(&self, _check: &str) -> Vec<PluginCheck> {
        vec![]
    }

    /// JSON Schema of the jig file.
    fn schema(&self) -> serde_json::Value;
}

//! What stands behind the commands: the front door, with files and folders read where it reads none. Must not judge, word or
//! print.

use super::deadtest::DeadtestArgs;
use super::engine::Engine;
use super::errors::Errors;
use super::{jig_files, progress};
use crate::deadtest::Wish as Readings;
use crate::finding::comparison::Comparison;
use crate::finding::{Judgement, MatrixPart, Page, PluginCheck, Rows};
use crate::front::{DeadWish, Tested};
use crate::jig::InputError;
use crate::plugin::find;
use crate::sharing::{self, Day, Home, Sources};
use crate::{Begun, Design, MainsWish, Options, Report, Sheet, SheetPart, StrobeWish, Strobing, Wish};
use crate::{checks, jig};
use std::path::Path;

/// The program itself.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Program {
    /// Whether to tell how far the work has come where standard error is no terminal.
    pub progress: bool,
}

impl Engine for Program {
    fn check(&self, path: &Path, options: &Options) -> Result<Report, Errors> {
        let bytes = if jig_files::is_stdin(path) { jig::load_stdin()? } else { jig::load(path)? };
        Ok(progress::shown(&options.watch, &options.file, self.progress, || crate::check(bytes, options))?)
    }

    fn lock(&self, path: &Path, judgement: &Judgement) -> Result<Vec<String>, Errors> {
        Ok(sharing::write_lock(path, &judgement.plugins, Day::today())?)
    }

    fn size(&self, wish: &Wish) -> Result<Design, Errors> {
        Ok(crate::size(wish)?)
    }

    fn begin(&self, unit: &str, wish: &MainsWish) -> Result<Begun, Errors> {
        Ok(crate::begin(unit, wish)?)
    }

    fn compare(&self, jigs: [&Path; 2], options: &[Options; 2]) -> Result<(Comparison, u8), Errors> {
        let [old, new] = [jig::load(jigs[0])?, jig::load(jigs[1])?];
        let shown = |bytes: &[u8], options: &Options| {
            progress::shown(&options.watch, &options.file, self.progress, || crate::check(bytes, options))
        };
        let (before, now) = (shown(&old, &options[0])?, shown(&new, &options[1])?);
        Ok((crate::front::compare((&old, &before), (&new, &now)), now.exit_status()))
    }

    fn strobe(&self, jig: Option<(&Path, &Options)>, wish: &StrobeWish) -> Result<Strobing, Errors> {
        let Some((path, options)) = jig else { return Ok(crate::strobe(None, wish)?) };
        let bytes = if jig_files::is_stdin(path) { jig::load_stdin()? } else { jig::load(path)? };
        let used = || crate::strobe(Some((&bytes, options)), wish);
        Ok(progress::shown(&options.watch, &options.file, self.progress, used)?)
    }

    fn dead_test(&self, args: &DeadtestArgs, options: &Options) -> Result<Tested, Errors> {
        let bytes = if jig_files::is_stdin(&args.jig) { jig::load_stdin()? } else { jig::load(&args.jig)? };
        let file = match &args.readings {
            None => None,
            Some(path) => {
                let name = path.display().to_string();
                let text = String::from_utf8(jig::load(path)?)
                    .map_err(|_| InputError::of_file(&name, "the file is not UTF-8", "save it as UTF-8"))?;
                Some((name, text))
            }
        };
        let readings = Readings { readings: args.reading.clone(), file, any_jig: args.any_jig };
        let wish = DeadWish { readings, first_power: args.first_power };
        Ok(crate::front::dead_test(&bytes, options, &wish)?)
    }

    fn sheet(&self, path: &Path, options: &Options, part: SheetPart) -> Result<Sheet, Errors> {
        let bytes = if jig_files::is_stdin(path) { jig::load_stdin()? } else { jig::load(path)? };
        let drawn = || crate::front::sheet(&bytes, options, part);
        Ok(progress::shown(&options.watch, &options.file, self.progress, drawn)?)
    }

    fn rows(&self, list: &str, kind: Option<&str>) -> Result<Rows, Errors> {
        Ok(crate::front::rows(list, kind)?)
    }

    fn matrix(&self) -> Vec<MatrixPart> {
        crate::checks::matrix::matrix()
    }

    fn pages(&self) -> Vec<Page> {
        checks::pages()
    }

    fn page(&self, check: &str) -> Result<Page, Vec<String>> {
        checks::page(check)
    }

    fn plugin_checks(&self, check: &str) -> Vec<PluginCheck> {
        let sources = Sources { home: Home::find().ok(), ..Sources::default() };
        // A home that cannot be read is told by `plugin list` and by every check; here the shipped ones still answer.
        let known = sources.all(Day::today()).or_else(|_| Sources::default().all(Day::today())).unwrap_or_default();
        known.iter().filter_map(|k| find::check_page(k, check.trim())).collect()
    }

    fn schema(&self) -> serde_json::Value {
        crate::front::schema()
    }
}

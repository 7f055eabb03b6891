//! The demo jigs that stand in the binary, and what a plugin does on them. Must not judge a plugin.

use super::cases::Alone;
use super::folder::Plugin;
use super::vm::Bounds;
use crate::jig::{self, InputError};
use include_dir::{Dir, include_dir};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-data");

/// What a plugin does on one jig.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct OnJig {
    /// The jig.
    pub file: String,
    /// Its kind of unit.
    pub unit: String,
    /// What the core finds without the plugin: verdict and number of findings.
    pub without: (String, usize),
    /// What the plugin adds, a line each; None where it does not look at it.
    pub adds: Option<Vec<String>>,
}

/// The demo jigs by name.
pub(crate) fn jigs() -> Vec<(String, Vec<u8>)> {
    let mut all = vec![];
    for dir in [Some(&DEMO), DEMO.get_dir("wrong")].into_iter().flatten() {
        let is = |p: &std::path::Path| p.extension().is_some_and(|e| e == "toml");
        let files = dir.files().filter(|f| is(f.path()));
        all.extend(files.map(|f| (format!("demo-data/{}", f.path().display()), f.contents().to_vec())));
    }
    all.sort();
    all
}

/// What a plugin does on a jig, with and without it.
///
/// # Errors
/// The jig cannot be read.
pub(crate) fn on(plugin: &Plugin, file: &str, bytes: &[u8]) -> Result<OnJig, Vec<InputError>> {
    let jig = jig::parse(file, bytes)?;
    let unit = jig.unit.clone();
    if !plugin.manifest.units.contains(&unit) {
        return Ok(OnJig { file: file.into(), unit, without: (String::new(), 0), adds: None });
    }
    let alone = Alone::new(jig);
    let without = alone.without();
    Ok(OnJig { file: file.into(), unit, without, adds: Some(alone.told_by(plugin, Bounds::default())) })
}

//! Who a plugin says it is: the keys of `plugin.toml` that stand in every level of the interface, read for themselves, since
//! a plugin that asks for more than this program has must be told as such. Must not know its checks.

use crate::jig::{self, InputError};
use semver::Version;
use serde::Deserialize;
use toml::Spanned;

/// Longest id of a plugin, name of a check or version, characters.
const LONGEST_NAME: usize = 40;

/// What a plugin says of itself. It is a claim: what binds it to a shop is the signature over its archive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Identity {
    /// Kebab-case name.
    pub id: String,
    /// Semantic version, without build metadata (which has no order).
    pub version: Version,
    /// Level of the plugin interface it asks for.
    pub api: u32,
    /// Kinds of unit it is for.
    pub units: Vec<String>,
}

/// The keys as they are written, whatever else the file holds.
#[derive(Deserialize)]
pub(super) struct Header {
    pub(super) id: Spanned<String>,
    pub(super) version: Spanned<String>,
    pub(super) api: Spanned<u32>,
    pub(super) units: Spanned<Vec<String>>,
}

impl Identity {
    /// Reads the keys from the bytes of a `plugin.toml`, and leaves the others alone; `file` is named in errors.
    ///
    /// # Errors
    /// The text is no TOML, or these keys are missing or not of their kind.
    pub(crate) fn read(file: &str, bytes: &[u8]) -> Result<Identity, Vec<InputError>> {
        let (text, header) = parsed::<Header>(file, bytes)?;
        let mut errors = Errors { file, text, found: vec![] };
        header.identity(&mut errors).ok_or(errors.found)
    }

    /// `probe-bleeder-1.0.0`: how its archive is named, and the folder within it.
    pub(crate) fn stem(&self) -> String {
        format!("{}-{}", self.id, self.version)
    }
}

impl Header {
    /// What the keys mean; nothing where one of them is wrong.
    pub(super) fn identity(self, errors: &mut Errors) -> Option<Identity> {
        let (id, written) = (self.id.get_ref(), self.version.get_ref());
        if !is_kebab(id) {
            errors.wrong(self.id.span().start, format!("{id:?} can be no id of a plugin"), KEBAB);
        }
        let version = Version::parse(written).ok().filter(|v| v.build.is_empty() && written.len() <= LONGEST_NAME);
        if version.is_none() {
            let message = format!("{written:?} is no version");
            errors.wrong(self.version.span().start, message, "write three numbers, like \"1.0.0\"");
        }
        let (id, api, units) = (self.id.into_inner(), self.api.into_inner(), self.units.into_inner());
        version.filter(|_| is_kebab(&id)).map(|version| Identity { id, version, api, units })
    }
}

/// What to write for the id of a plugin.
pub(super) const KEBAB: &str =
    "write lower-case words joined by hyphens, 40 characters at most, like \"probe-bleeder\"";

/// Whether a word can be the id of a plugin or the name of a check: lower-case words and digits joined by single hyphens, at
/// most 40 characters, a letter first.
pub(crate) fn is_kebab(word: &str) -> bool {
    let part = |p: &str| !p.is_empty() && p.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    word.len() <= LONGEST_NAME && word.starts_with(|c: char| c.is_ascii_lowercase()) && word.split('-').all(part)
}

/// A `plugin.toml` as text and as what serde makes of it.
pub(super) fn parsed<'b, T: Deserialize<'b>>(file: &str, bytes: &'b [u8]) -> Result<(&'b str, T), Vec<InputError>> {
    let one = |at, message: &str, help: &str| vec![InputError::at(file, at, message, help)];
    let begin = jig::Place { line: 1, column: 1 };
    let text = std::str::from_utf8(bytes).map_err(|_| one(begin, "it is not UTF-8", "save it as UTF-8"))?;
    let read = toml::from_str(text).map_err(|e| {
        let at = jig::place_in(text, e.span().map_or(0, |s| s.start));
        one(at, e.message(), "plugins/README.md lists the keys of plugin.toml")
    })?;
    Ok((text, read))
}

/// Collects what is wrong with one file.
pub(super) struct Errors<'t> {
    pub(super) file: &'t str,
    pub(super) text: &'t str,
    pub(super) found: Vec<InputError>,
}

impl Errors<'_> {
    /// Something at this byte of the text is wrong.
    pub(super) fn wrong(&mut self, at: usize, message: impl Into<String>, help: impl Into<String>) {
        self.found.push(InputError::at(self.file, jig::place_in(self.text, at), message, help));
    }
}

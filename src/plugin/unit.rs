//! The word for the kind of unit, against those that plugins know: a slip in it would take every check of the unit away without
//! a word. Must not run a plugin.

use super::find::KnownPlugin;
use super::loaded::Loaded;
use crate::jig::{InputError, Jig, Place};
use crate::quantity::quote;
use std::collections::BTreeSet;

/// The word of a jig that is of no kind.
const NONE: &str = "none";
/// Shortest word of which one letter more or less is a slip: shorter ones are each other's neighbours.
const LONG_ENOUGH: usize = 5;

/// The kind of unit that no plugin knows; nothing where one does, or where the file names none.
///
/// # Errors
/// The word is a known kind but for hyphens, blanks, case or a letter, or another word for one.
pub(crate) fn unknown(jig: &Jig, known: &[KnownPlugin]) -> Result<Option<String>, Vec<InputError>> {
    let unit = jig.unit.as_str();
    if unit.is_empty() || unit == NONE || is_known(unit, known) {
        return Ok(None);
    }
    let meant = meant(unit, known);
    if meant.is_empty() {
        return Ok(Some(unit.to_string()));
    }
    let place = jig.places.get("jig.unit").or_else(|| jig.places.get("jig")).copied().unwrap_or_default();
    let place = Place { line: place.line.max(1), column: place.column.max(1) };
    let all: Vec<String> = meant.iter().map(|word| quote(word)).collect();
    let message = format!("no kind of unit is called {}; here it is {}", quote(unit), all.join(" or "));
    let first = &all[0];
    let help = format!(
        "write unit = {first}, else nothing that is checked of that kind is looked at; unit = \"none\" asks for none of it"
    );
    Err(vec![InputError::at(&jig.file, place, message, help)])
}

/// Whether a plugin is for this kind. One that is stopped stands for its own name: what it is for cannot be read.
fn is_known(unit: &str, known: &[KnownPlugin]) -> bool {
    known.iter().any(|k| k.plugin.looks_at(unit) || matches!(&k.plugin, Loaded::Stopped(s) if s.id == unit))
}

/// The kinds that are meant by a word.
fn meant(unit: &str, known: &[KnownPlugin]) -> BTreeSet<String> {
    let mut exact = BTreeSet::new();
    let mut near = BTreeSet::new();
    let wanted = plain(unit);
    let slip = |word: &str| {
        let word = plain(word);
        word.len() >= LONG_ENOUGH && strsim::damerau_levenshtein(&word, &wanted) <= 1
    };
    if plain(NONE) == wanted {
        exact.insert(NONE.to_string());
    }
    for k in known {
        let Loaded::Ready(plugin) = &k.plugin else { continue };
        let manifest = &plugin.manifest;
        let others = manifest.also_called.iter().map(|word| (word, &manifest.units[0]));
        for (word, stands_for) in manifest.units.iter().map(|unit| (unit, unit)).chain(others) {
            if plain(word) == wanted {
                exact.insert(stands_for.clone());
            } else if slip(word) {
                near.insert(stands_for.clone());
            }
        }
    }
    if exact.is_empty() { near } else { exact }
}

/// A word without case, blanks, hyphens or the like.
fn plain(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

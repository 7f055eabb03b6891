//! Signal words: meaning and colours.

use super::row::{Row, find};

table_file! { "signal.toml" []
    /// A signal word.
    Word in word {
        word: String, rank: u32, meaning: String, safety_alert_symbol: bool, panel_colour: String,
        letter_colour: Option<String>,
    }
    /// A letter colour that is from memory.
    LetterColour in letter_colour { word: String, letter_colour: String }
    /// A safety colour.
    SafetyColour in safety_colour { colour: String, ral: String }
    /// A symbol.
    Symbol in symbol { meaning: String }
}

/// The row of a word as it is printed (`"DANGER"`).
pub(crate) fn by_word(printed: &str) -> Option<&'static Word> {
    word().iter().find(|w| w.word == printed)
}

/// Letter colour of a word: (colour, source).
pub(crate) fn letters(printed: &str) -> Option<(&'static str, String)> {
    let row = by_word(printed)?;
    match &row.letter_colour {
        Some(colour) => Some((colour, row.cite())),
        None => find(letter_colour(), &row.id).map(|l| (l.letter_colour.as_str(), l.cite())),
    }
}

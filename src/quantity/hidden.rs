//! The one list of characters that are not seen. Must not know where a text stands.

use unicode_general_category::{GeneralCategory, get_general_category};

/// Whether a character leaves no mark of its own, so that it can garble a terminal or make one name look like another:
/// controls, line and paragraph separators, format characters (direction marks, joiners, soft hyphens, tags) and whatever
/// else is to be drawn as nothing (Unicode, general categories Cc, Zl, Zp, Cf and property Default_Ignorable_Code_Point).
pub(crate) fn hidden(c: char) -> bool {
    if c.is_ascii() {
        return c.is_ascii_control();
    }
    let by_category = matches!(
        get_general_category(c),
        GeneralCategory::Control
            | GeneralCategory::Format
            | GeneralCategory::LineSeparator
            | GeneralCategory::ParagraphSeparator
    );
    by_category || chooses_variant(c) || drawn_as_nothing(c)
}

/// Whether a character only chooses how the one before it is drawn: the variation selectors.
pub(crate) fn chooses_variant(c: char) -> bool {
    matches!(c, '\u{180b}'..='\u{180d}' | '\u{180f}' | '\u{fe00}'..='\u{fe0f}' | '\u{e0100}'..='\u{e01ef}')
}

/// The rest of Default_Ignorable_Code_Point (Unicode 16.0, DerivedCoreProperties.txt): the combining grapheme joiner,
/// fillers of Hangul and Khmer, and places that are kept free for characters of the kind.
fn drawn_as_nothing(c: char) -> bool {
    matches!(c, '\u{34f}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{2065}' | '\u{3164}' | '\u{ffa0}'
        | '\u{fff0}'..='\u{fff8}' | '\u{e0000}'..='\u{e0fff}')
}

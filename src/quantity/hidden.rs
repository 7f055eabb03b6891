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

/// Whether a character is drawn as a blank and is none of the keyboard's: it can make two names look alike, and push words to
/// where they seem to be of another line (general category Zs, and what is drawn empty without being a space).
pub(crate) fn looks_blank(c: char) -> bool {
    let space = !c.is_ascii() && get_general_category(c) == GeneralCategory::SpaceSeparator;
    space || matches!(c, '\u{2800}' | '\u{1d159}')
}

/// One line of foreign text as it may stand in a message: what is not seen is written out.
pub(crate) fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    for c in text.chars() {
        if hidden(c) { line.extend(c.escape_default()) } else { line.push(c) }
    }
    line
}

/// The rest of Default_Ignorable_Code_Point (Unicode 16.0, DerivedCoreProperties.txt): the combining grapheme joiner,
/// fillers of Hangul and Khmer, and places that are kept free for characters of the kind.
fn drawn_as_nothing(c: char) -> bool {
    matches!(c, '\u{34f}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{2065}' | '\u{3164}' | '\u{ffa0}'
        | '\u{fff0}'..='\u{fff8}' | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_format_character_and_every_blank_of_every_block_is_known() {
        let (mut formats, mut blanks) = (0, 0);
        for c in (0..=0x10FFFF).filter_map(char::from_u32) {
            match get_general_category(c) {
                GeneralCategory::Format | GeneralCategory::Control => {
                    assert!(hidden(c), "{}", c.escape_unicode());
                    formats += 1;
                }
                GeneralCategory::SpaceSeparator if c != ' ' => {
                    assert!(looks_blank(c), "{}", c.escape_unicode());
                    blanks += 1;
                }
                _ => {}
            }
        }
        // Unicode 16.0, DerivedGeneralCategory.txt: 65 of Cc, 170 of Cf, 17 of Zs of which one is the keyboard's.
        assert_eq!((formats, blanks), (235, 16));
        assert!(!hidden('é') && !looks_blank(' ') && !looks_blank('Ω'));
        assert_eq!(one_line("a\n::error::\u{202e}b"), "a\\n::error::\\u{202e}b");
    }
}

//! Text for a terminal that shows nothing but ASCII: each other character as it is written without. Must not know what the text
//! says.

/// What stands for a character of our own; of any other than these a question mark.
const INSTEAD: &[(char, &str)] = &[
    ('Ω', "ohm"),
    ('µ', "u"),
    ('μ', "u"),
    ('━', "="),
    ('─', "-"),
    ('×', "x"),
    ('–', "-"),
    ('—', "-"),
    ('−', "-"),
    ('“', "\""),
    ('”', "\""),
    ('‘', "'"),
    ('’', "'"),
    ('°', "deg "),
    ('²', "2"),
    ('³', "3"),
    ('√', "sqrt"),
    ('·', "*"),
    ('π', "pi"),
    ('…', "..."),
    ('→', "->"),
    ('≤', "<="),
    ('≥', ">="),
    ('±', "+-"),
    ('∞', "infinite"),
    ('ω', "w"),
];

/// The text in ASCII. Codes of colours are ASCII and stay.
pub(crate) fn in_ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match INSTEAD.iter().find(|(of, _)| *of == c) {
            _ if c.is_ascii() => out.push(c),
            Some((_, words)) => out.push_str(words),
            None => out.push('?'),
        }
    }
    out
}

/// Whether a terminal shows more than ASCII, by the environment variables that say so, the first that is set: LC_ALL, LC_CTYPE,
/// LANG. Where none is, it is taken to.
pub(crate) fn shows_unicode(variables: [Option<&str>; 3]) -> bool {
    let first = variables.into_iter().flatten().find(|v| !v.is_empty());
    first.is_none_or(|v| v.to_lowercase().replace('-', "").contains("utf8"))
}

#[cfg(test)]
mod tests {
    use super::{in_ascii, shows_unicode};

    #[test]
    fn our_own_characters_have_words() {
        assert_eq!(
            in_ascii("2 × 150 kΩ, 1.2 µA – “tried” 85 °C ━─ é"),
            "2 x 150 kohm, 1.2 uA - \"tried\" 85 deg C =- ?"
        );
    }

    #[test]
    fn the_first_variable_that_is_set_counts() {
        for (variables, shows) in [
            ([None, None, None], true),
            ([None, None, Some("de_DE.UTF-8")], true),
            ([Some("C"), None, Some("en_GB.utf8")], false),
            ([Some(""), None, Some("C.UTF-8")], true),
            ([None, Some("POSIX"), Some("C.UTF-8")], false),
            ([None, None, Some("de_DE.ISO-8859-1")], false),
        ] {
            assert_eq!(shows_unicode(variables), shows, "{variables:?}");
        }
    }
}

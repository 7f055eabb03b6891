//! Mains plugs: letter or row to pins, rating and whether the live pin is assured.

use super::bench;
use super::row::{Row, find};

table_file! { "plugs.toml" []
    /// A mains plug.
    PlugRow in plug_rows {
        letter: String, also: Option<Vec<String>>, poles: u32, earth: String, reversible: bool, line_pin: String, rated_a: f64, rated_v: f64,
        plug_fuse: String, plug_fuse_max_a: Option<f64>, plug_fuse_preferred_a: Option<Vec<f64>>,
        plug_fuse_other_a: Option<Vec<f64>>, nominal_up_to_v: Option<f64>, north_american: Option<bool>,
    }
    /// An appliance coupler, the cord's end towards the apparatus.
    Coupler in coupler {
        connector: String, earth: bool, rated_a: Option<f64>, rated_v: Option<f64>, pin_temperature_c: Option<f64>,
        reversible: Option<bool>,
    }
}

/// A plug, resolved from its letter or row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plug {
    /// As asked for ("C").
    pub letter: String,
    /// Row of the plugs table.
    pub row: String,
    /// Whether the standard assures which pin is live. When false both ways round are tried.
    pub line_pin_assured: bool,
    /// Whether the plug goes in both ways.
    pub reversible: bool,
    /// Whether it has an earth contact.
    pub earth: bool,
    /// Rated amperes.
    pub rated_a: f64,
    /// Rated volts, or the highest nominal supply it is the ordinary plug of.
    pub rated_v: f64,
    /// Whether it is of the North American pattern, whose cords have a table of their own.
    pub north_american: bool,
    /// Whether the plug itself holds a fuse.
    pub fused: bool,
    /// Where this is published.
    pub source: String,
}

/// The plug a letter (`"C"`, `"E/F"`, `"A polarised"`) or a row name means; `None` when there is none.
///
/// Where several standards share a letter, `bench.toml` says which is meant and why. A plug whose standard leaves the
/// side of line open, or for which that is not settled, is not assured.
pub(crate) fn plug(letter: &str) -> Option<Plug> {
    let wanted = letter.trim();
    let same = |name: &str| name.eq_ignore_ascii_case(wanted);
    let choice = bench::plug_choice().iter().find(|c| same(&c.id));
    let row = match choice {
        Some(choice) => find(plug_rows(), &choice.plug)?,
        None => plug_rows().iter().find(|r| same(&r.id))?,
    };
    Some(Plug {
        letter: wanted.to_string(),
        row: row.id.clone(),
        line_pin_assured: row.line_pin == "assured" && !row.reversible,
        reversible: row.reversible,
        earth: row.earth != "none",
        rated_a: row.rated_a,
        north_american: row.north_american == Some(true),
        rated_v: row.nominal_up_to_v.unwrap_or(row.rated_v),
        fused: row.plug_fuse == "yes",
        source: row.cite(),
    })
}

/// What the trade calls the plug of a row, the commonest name first.
pub(crate) fn names(row: &str) -> &'static [String] {
    find(plug_rows(), row).and_then(|r| r.also.as_deref()).unwrap_or_default()
}

/// What to write for a plug that the trade calls by another name ("Schuko", "UK", "BS 1363"): the letter where that means
/// just this plug, else its row.
pub(crate) fn called(name: &str) -> Option<&'static str> {
    let plain =
        |text: &str| text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect::<String>();
    let said = plain(name);
    let wanted = ["plug", "type"].iter().fold(said, |word, filler| word.replace(filler, ""));
    let names = |row: &PlugRow| row.also.iter().flatten().any(|also| plain(also) == wanted);
    let row = plug_rows().iter().find(|row| !wanted.is_empty() && (names(row) || plain(&row.id) == wanted))?;
    let letter = bench::plug_choice().iter().find(|choice| choice.plug == row.id);
    Some(letter.map_or(row.id.as_str(), |choice| choice.id.as_str()))
}

/// What to write in place of a plug that is not known.
pub(crate) fn instead(name: &str) -> String {
    let bare = name.trim();
    let letter = bare.split_whitespace().last().filter(|last| plug(last).is_some() && bare.len() > last.len());
    match called(bare).or(letter) {
        Some(known) => format!("write \"{known}\""),
        None => "write the letter of its type, A to O (deadfront tables plugs lists them), or \"fixed\" for hard-wired"
            .to_string(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_from_a_to_o_and_every_row_is_a_plug() {
        for letter in 'A'..='O' {
            let found = plug(&letter.to_string()).unwrap();
            assert!(found.rated_a > 0.0 && found.rated_v > 0.0);
        }
        for name in bench::plug_choice().iter().map(|c| &c.id).chain(plug_rows().iter().map(|r| &r.id)) {
            assert!(plug(name).is_some(), "{name}");
        }
        assert!(plug("P").is_none() && plug("").is_none());
    }

    #[test]
    fn what_the_trade_calls_a_plug() {
        for (name, wanted) in [
            ("Schuko", Some("F")),
            ("europlug", Some("C")),
            ("UK", Some("G")),
            ("BS1363", Some("G")),
            ("CEE 7/7", Some("E/F")),
            ("Nema 1-15P", Some("A polarised")),
            ("Chinese plug", Some("i_china")),
            ("P", None),
            ("plug", None),
            ("", None),
        ] {
            assert_eq!(called(name), wanted, "{name}");
        }
        assert_eq!(instead("Type G"), "write \"G\"");
        assert!(instead("P").contains("A to O"));
    }

    #[test]
    fn live_pin() {
        for (letter, assured) in [
            ("A", false),
            ("A polarised", true),
            ("B", true),
            ("C", false),
            ("E", false),
            ("F", false),
            ("G", true),
            ("H", true),
            ("L", false),
            ("N", false),
        ] {
            assert_eq!(plug(letter).unwrap().line_pin_assured, assured, "{letter}");
        }
        assert!(!plug("E").unwrap().reversible);
        assert!(plug("G").unwrap().fused && !plug("C").unwrap().earth);
    }
}

//! A key of the file format: its name, what it holds, what it means. Must not know which keys there are.

use crate::quantity::{Kind, Range};

/// What a key holds.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Holds {
    /// A quantity in a string.
    Quantity(Kind, Range),
    /// Free words.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// Colour of a wire, from [`COLOURS`].
    Colour,
    /// true or false.
    Flag,
    /// A whole number.
    Count(u32, u32),
    /// A plain number above zero and up to one.
    Share,
    /// A net.
    Net,
    /// Two nets.
    Ends,
    /// Two nets a pole.
    Poles,
    /// One net or more.
    Nets,
    /// Named positions, each with its closed contacts.
    Positions,
    /// A calendar day.
    Date,
    /// An inner table.
    Table(&'static [Key]),
    /// One inner table or several.
    Tables(&'static [Key]),
    /// What is plugged into an outlet.
    Loads,
    /// Two sides of an insulation.
    Sides,
    /// Three lengths.
    Size,
    /// Rated residual current or "none".
    Residual,
}

/// One key.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    pub(crate) holds: Holds,
    pub(crate) needed: bool,
    pub(crate) doc: &'static str,
}

impl Key {
    /// A quantity as it is usual behind this key, for people: a breaker of amperes, a cord of metres. What does not read is
    /// found by a test.
    pub(crate) fn usual(&self, kind: Kind) -> &'static str {
        let usual = USUAL.iter().find(|(name, of, _)| *name == self.name && *of == kind);
        usual.map_or(kind.example(), |(.., text)| text)
    }

    /// The key as it may be written, e.g. `resistance = "150 kΩ"`.
    pub(crate) fn example(&self) -> String {
        let name = self.name;
        match self.holds {
            Holds::Quantity(kind, _) => format!("{name} = \"{}\"", self.usual(kind)),
            Holds::Text => format!("{name} = \"…\""),
            Holds::Word(words) => format!("{name} = \"{}\"", words.first().copied().unwrap_or_default()),
            Holds::Colour => format!("{name} = \"brown\""),
            Holds::Flag => format!("{name} = true"),
            Holds::Count(..) => format!("{name} = 2"),
            Holds::Share => format!("{name} = 0.9"),
            Holds::Net => format!("{name} = \"CASE\""),
            Holds::Ends | Holds::Nets => format!("{name} = [\"a\", \"b\"]"),
            Holds::Poles => format!("{name} = [[\"a\", \"b\"]]"),
            Holds::Positions => format!("{name} = {{ on = [[\"a\", \"b\"]], off = [] }}"),
            Holds::Date => format!("{name} = \"2027-12-31\""),
            Holds::Table(_) | Holds::Tables(_) => format!("{name} = {{ across = [\"a\", \"b\"], volts = \"12 V\" }}"),
            Holds::Loads => format!("{name} = [\"open\"]"),
            Holds::Sides => format!("{name} = [\"mains\", \"CASE\"]"),
            Holds::Size => format!("{name} = [\"160 mm\", \"30 mm\", \"30 mm\"]"),
            Holds::Residual => format!("{name} = \"30 mA\""),
        }
    }
}

/// What stands behind keys that are not usually what the unit's own example says.
const USUAL: &[(&str, Kind, &str)] = &[
    ("volts", Kind::Voltage, "230 V"),
    ("breaker", Kind::Current, "16 A"),
    ("plug-fuse", Kind::Current, "3 A"),
    ("length", Kind::Length, "2 m"),
    ("voltage", Kind::Voltage, "350 V"),
    ("forward", Kind::Voltage, "2 V"),
    ("reverse", Kind::Voltage, "5 V"),
    ("strike", Kind::Voltage, "85 V"),
    ("strike-max", Kind::Voltage, "95 V"),
    ("maintain", Kind::Voltage, "60 V"),
    ("extinguish", Kind::Voltage, "55 V"),
    ("slope", Kind::Resistance, "12 Ω"),
    ("capacitance", Kind::Capacitance, "330 nF"),
    ("peak-current", Kind::Current, "100 mA"),
    ("max-current", Kind::Current, "1 mA"),
    ("breaking", Kind::Current, "1500 A"),
    ("surge", Kind::Current, "30 A"),
    ("power", Kind::ApparentPower, "30 VA"),
    ("tolerance", Kind::Fraction, "10 %"),
];

/// Groups of keys of which one is to be given whole.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Choice {
    pub(crate) groups: &'static [&'static [&'static str]],
    /// Keys of two groups together contradict each other.
    pub(crate) exclusive: bool,
}

/// A section or a kind of part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Section {
    /// Name of the section, or the word behind `kind =`.
    pub(crate) name: &'static str,
    pub(crate) doc: &'static str,
    pub(crate) keys: &'static [Key],
    pub(crate) choice: Option<Choice>,
}

pub(crate) const fn needs(name: &'static str, holds: Holds, doc: &'static str) -> Key {
    Key { name, holds, needed: true, doc }
}

pub(crate) const fn may(name: &'static str, holds: Holds, doc: &'static str) -> Key {
    Key { name, holds, needed: false, doc }
}

/// A quantity above zero.
pub(crate) const fn above_zero(kind: Kind) -> Holds {
    Holds::Quantity(kind, Range::Positive)
}

/// Colours of conductor insulation (the words of IEC 60757, with both spellings of grey and some of the trade's own).
pub(crate) const COLOURS: &[&str] = &[
    "black",
    "brown",
    "red",
    "orange",
    "yellow",
    "green",
    "blue",
    "violet",
    "grey",
    "white",
    "pink",
    "turquoise",
    "gray",
    "purple",
    "bare",
    "transparent",
    "clear",
    "cream",
    "ivory",
    "tan",
    "gold",
    "silver",
];

/// Words between and beside colours.
pub(crate) const COLOUR_JOINTS: &[&str] = &["and", "with", "stripe", "stripes", "tracer", "light", "dark"];

#[cfg(test)]
mod tests {
    use super::USUAL;
    use crate::part::SECTIONS;
    use crate::quantity::{Range, parse_in};

    #[test]
    fn what_is_usual_reads_and_stands_behind_a_key_that_there_is() {
        let top = ["volts", "breaker", "plug-fuse", "length", "tolerance"];
        for (name, kind, text) in USUAL {
            assert!(parse_in(text, *kind, Range::Positive).is_ok(), "{name}: {text}");
            let known = SECTIONS.iter().any(|s| s.keys.iter().any(|k| k.name == *name));
            assert!(known || top.contains(name), "{name}");
        }
    }
}

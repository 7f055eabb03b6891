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
    pub(crate) fn usual(&self, section: &str, kind: Kind) -> &'static str {
        // What is usual in the section stands before what is usual anywhere.
        let usual = USUAL.iter().find(|(name, of, _)| *of == kind && self.is_named(section, name));
        usual.map_or(kind.example(), |(.., text)| text)
    }

    /// Whether a name, `breaking` or `fuse.speed`, is that of this key in a section.
    fn is_named(&self, section: &str, name: &str) -> bool {
        let own = name.strip_prefix(section).and_then(|rest| rest.strip_prefix('.'));
        own == Some(self.name) || name == self.name
    }

    /// The key as it may be written in a section, e.g. `resistance = "150 kΩ"`.
    pub(crate) fn example(&self, section: &str) -> String {
        format!("{} = {}", self.name, self.example_value(section))
    }

    fn example_value(&self, section: &str) -> String {
        match self.holds {
            Holds::Quantity(kind, _) => format!("\"{}\"", self.usual(section, kind)),
            Holds::Text => {
                let usual = TEXTS.iter().find(|(name, _)| self.is_named(section, name));
                format!("\"{}\"", usual.map_or("…", |(_, text)| text))
            }
            Holds::Word(words) => {
                let usual = TEXTS.iter().find(|(name, text)| words.contains(text) && self.is_named(section, name));
                format!("\"{}\"", usual.map_or(words.first().copied().unwrap_or_default(), |(_, text)| text))
            }
            Holds::Colour => "\"brown\"".into(),
            Holds::Flag => "true".into(),
            Holds::Count(..) => "2".into(),
            Holds::Share => "0.9".into(),
            Holds::Net => match self.name {
                "plus" => "\"P\"".into(),
                "minus" => "\"M\"".into(),
                "earth" | "screen" => "\"PE\"".into(),
                _ => "\"CASE\"".into(),
            },
            Holds::Ends | Holds::Nets => "[\"a\", \"b\"]".into(),
            Holds::Poles => "[[\"a\", \"b\"]]".into(),
            Holds::Positions => "{ on = [[\"a\", \"b\"]], off = [] }".into(),
            Holds::Date => "\"2027-12-31\"".into(),
            Holds::Table(keys) | Holds::Tables(keys) => {
                // What must be there; where nothing must, all of it.
                let least = keys.iter().any(|k| k.needed);
                let shown = keys.iter().filter(|k| k.needed || !least);
                let shown: Vec<String> = shown.map(|k| k.example(self.name)).collect();
                format!("{{ {} }}", shown.join(", "))
            }
            Holds::Loads => "[\"open\", \"100 W\"]".into(),
            Holds::Sides => "[\"mains\", \"CASE\"]".into(),
            Holds::Size => "[\"160 mm\", \"80 mm\", \"50 mm\"]".into(),
            Holds::Residual => "\"30 mA\"".into(),
        }
    }
}

/// Words that stand behind keys of free text, and usual ones where the first of a list is not.
const TEXTS: &[(&str, &str)] = &[
    ("jig.name", "Bench lamp"),
    ("outlet.name", "OUT"),
    ("point.name", "F1"),
    ("neon-lamp.type", "A1A"),
    ("jig.use", "bench"),
    ("enclosure.class", "II"),
    ("enclosure.finish", "painted"),
    ("fuse.speed", "T"),
    ("capacitor.class", "X2"),
    ("insulation.grade", "reinforced"),
    ("transformer.insulation", "reinforced"),
    ("system", "230 V 50 Hz"),
    ("plug", "C"),
    ("unit", "bench-lamp"),
    ("name", "tip"),
    ("check", "flash-rate"),
    ("part", "LP1"),
    ("on", "T1"),
    ("coil", "K1"),
    ("reason", "ordinary light stays on"),
    ("by", "Ines"),
];

/// What stands behind keys that are not usually what the unit's own example says.
const USUAL: &[(&str, Kind, &str)] = &[
    ("neon-lamp.current", Kind::Current, "500 µA"),
    ("neon-lamp.max-current", Kind::Current, "1 mA"),
    ("extinguish-current", Kind::Current, "100 µA"),
    ("neon-lamp.slope", Kind::Resistance, "5 kΩ"),
    ("led.slope", Kind::Resistance, "12 Ω"),
    ("diode.forward", Kind::Voltage, "1 V"),
    ("bridge.forward", Kind::Voltage, "1 V"),
    ("bridge.voltage", Kind::Voltage, "600 V"),
    ("diode.voltage", Kind::Voltage, "1000 V"),
    ("switch.voltage", Kind::Voltage, "250 V"),
    ("fuse.voltage", Kind::Voltage, "250 V"),
    ("thermal-fuse.voltage", Kind::Voltage, "250 V"),
    ("wire.voltage", Kind::Voltage, "300 V"),
    ("capacitor.voltage", Kind::Voltage, "275 V"),
    ("varistor.voltage", Kind::Voltage, "275 V"),
    ("capacitor.dc-voltage", Kind::Voltage, "400 V"),
    ("dc-voltage", Kind::Voltage, "60 V"),
    ("charged", Kind::Voltage, "400 V"),
    ("ripple", Kind::Current, "500 mA"),
    ("psu.limit", Kind::Current, "1.5 A"),
    ("psu.power", Kind::Power, "12 W"),
    ("loss", Kind::Power, "3 W"),
    ("filament-lamp.power", Kind::Power, "60 W"),
    ("load.power", Kind::Power, "40 W"),
    ("transformer.capacitance", Kind::Capacitance, "200 pF"),
    ("thermal-link", Kind::Temperature, "130 °C"),
    ("wire.temperature", Kind::Temperature, "105 °C"),
    ("wire.length", Kind::Length, "200 mm"),
    ("led.current", Kind::Current, "20 mA"),
    ("switch.current", Kind::Current, "10 A"),
    ("current", Kind::Current, "1 A"),
    ("clearance", Kind::Length, "6 mm"),
    ("creepage", Kind::Length, "6 mm"),
    ("area", Kind::Area, "0.75 mm²"),
    ("psu.volts", Kind::Voltage, "12 V"),
    ("secondary.volts", Kind::Voltage, "12 V"),
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
    ("slope", Kind::Resistance, "50 mΩ"),
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
        let top = ["volts", "breaker", "plug-fuse", "length", "tolerance", "clearance", "creepage", "area"];
        for (name, kind, text) in USUAL {
            assert!(parse_in(text, *kind, Range::Positive).is_ok(), "{name}: {text}");
            let (section, key) = name.split_once('.').unwrap_or(("", name));
            let known = SECTIONS.iter().any(|s| s.name.starts_with(section) && s.keys.iter().any(|k| k.name == key));
            assert!(known || top.contains(&key) || section == "secondary", "{name}");
        }
    }
}

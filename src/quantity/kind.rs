//! What kinds of quantity there are: their units, the prefixes a bench uses with them, examples. Must not know
//! what the quantities are used for.

/// A kind of quantity and, with it, the unit of the `f64` that [`crate::quantity::parse`] returns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Kind {
    /// Ohms.
    Resistance,
    /// Farads.
    Capacitance,
    /// Henries.
    Inductance,
    /// Volts. Whether r.m.s., peak or d.c. is meant is said by whoever asks, never by the unit.
    Voltage,
    /// Amperes.
    Current,
    /// Watts.
    Power,
    /// Volt-amperes (a transformer's rating); watts are read too.
    ApparentPower,
    /// Joules.
    Energy,
    /// Metres.
    Length,
    /// Square metres; also read as American Wire Gauge (ASTM B258).
    Area,
    /// Hertz.
    Frequency,
    /// Degrees Celsius (not kelvins).
    Temperature,
    /// A plain number: 5 % is 0.05.
    Fraction,
    /// Seconds.
    Time,
}

/// Which values make sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Range {
    /// Above zero.
    Positive,
    /// Zero or above.
    NotNegative,
    /// Any number the kind allows (temperatures stay above absolute zero).
    Any,
}

/// A prefix as written and its power of ten.
pub(crate) type Prefix = (&'static str, i32);

const MICRO: [Prefix; 3] = [("µ", -6), ("μ", -6), ("u", -6)];

impl Kind {
    /// Every kind.
    pub(crate) const ALL: [Kind; 14] = [
        Kind::Resistance,
        Kind::Capacitance,
        Kind::Inductance,
        Kind::Voltage,
        Kind::Current,
        Kind::Power,
        Kind::ApparentPower,
        Kind::Energy,
        Kind::Length,
        Kind::Area,
        Kind::Frequency,
        Kind::Temperature,
        Kind::Fraction,
        Kind::Time,
    ];

    /// The name with its article, as used in messages: "a resistance".
    pub(crate) fn name(self) -> &'static str {
        match self {
            Kind::Resistance => "a resistance",
            Kind::Capacitance => "a capacitance",
            Kind::Inductance => "an inductance",
            Kind::Voltage => "a voltage",
            Kind::Current => "a current",
            Kind::Power => "a power",
            Kind::ApparentPower => "an apparent power",
            Kind::Energy => "an energy",
            Kind::Length => "a length",
            Kind::Area => "a cross-section",
            Kind::Frequency => "a frequency",
            Kind::Temperature => "a temperature",
            Kind::Fraction => "a percentage",
            Kind::Time => "a time",
        }
    }

    /// A well-written example.
    pub(crate) fn example(self) -> &'static str {
        match self {
            Kind::Resistance => "150 kΩ",
            Kind::Capacitance => "330 nF",
            Kind::Inductance => "10 mH",
            Kind::Voltage => "275 V",
            Kind::Current => "30 mA",
            Kind::Power => "0.6 W",
            Kind::ApparentPower => "20 VA",
            Kind::Energy => "5 J",
            Kind::Length => "6 mm",
            Kind::Area => "0.75 mm2",
            Kind::Frequency => "50 Hz",
            Kind::Temperature => "85 °C",
            Kind::Fraction => "5 %",
            Kind::Time => "2 s",
        }
    }

    /// The unit as printed, without prefix; for an area the square millimetre.
    pub(crate) fn symbol(self) -> &'static str {
        match self {
            Kind::Area => "mm²",
            _ => self.units()[0],
        }
    }

    /// The units that are read, the first of them the one printed.
    pub(crate) fn units(self) -> &'static [&'static str] {
        match self {
            Kind::Resistance => &["Ω", "\u{2126}", "ohms", "ohm"],
            Kind::Capacitance => &["F"],
            Kind::Inductance => &["H"],
            Kind::Voltage => &["V"],
            Kind::Current => &["A"],
            Kind::Power => &["W"],
            Kind::ApparentPower => &["VA", "W"],
            Kind::Energy => &["J"],
            Kind::Length => &["m"],
            Kind::Area => &["m²", "m2"],
            Kind::Frequency => &["Hz"],
            Kind::Temperature => &["°C", "℃", "degC"],
            Kind::Fraction => &["%"],
            Kind::Time => &["s"],
        }
    }

    /// The power of ten that the bare unit stands for.
    pub(crate) fn unit_power(self) -> i32 {
        if self == Kind::Fraction { -2 } else { 0 }
    }

    /// The prefixes that are read. Only those met at a bench: `MV`, `MA` or `mHz` are a slip of the shift key far
    /// more often than they are meant.
    pub(crate) fn prefixes(self) -> Vec<Prefix> {
        let plain: &[Prefix] = match self {
            Kind::Resistance => &[("m", -3), ("k", 3), ("K", 3), ("M", 6), ("G", 9), ("T", 12)],
            Kind::Capacitance => &[("p", -12), ("n", -9), ("m", -3)],
            Kind::Inductance => &[("n", -9), ("m", -3)],
            Kind::Voltage | Kind::Power | Kind::ApparentPower | Kind::Energy => &[("m", -3), ("k", 3)],
            Kind::Current => &[("p", -12), ("n", -9), ("m", -3), ("k", 3)],
            Kind::Length => &[("m", -3), ("c", -2), ("k", 3)],
            // Square units: the prefix is squared with the unit.
            Kind::Area => return vec![("m", -6), ("c", -4)],
            Kind::Frequency => return vec![("k", 3), ("M", 6)],
            Kind::Temperature | Kind::Fraction => return Vec::new(),
            Kind::Time => &[("n", -9), ("m", -3)],
        };
        plain.iter().chain(&MICRO).copied().collect()
    }

    /// The prefixes that are printed, from small to large, the bare unit among them.
    pub(crate) fn printed(self) -> &'static [Prefix] {
        match self {
            Kind::Resistance => &[("µ", -6), ("m", -3), ("", 0), ("k", 3), ("M", 6), ("G", 9), ("T", 12)],
            Kind::Capacitance => &[("p", -12), ("n", -9), ("µ", -6), ("m", -3), ("", 0)],
            Kind::Inductance | Kind::Time => &[("n", -9), ("µ", -6), ("m", -3), ("", 0)],
            Kind::Voltage | Kind::Power | Kind::ApparentPower | Kind::Energy => {
                &[("µ", -6), ("m", -3), ("", 0), ("k", 3)]
            }
            Kind::Current => &[("p", -12), ("n", -9), ("µ", -6), ("m", -3), ("", 0), ("k", 3)],
            Kind::Length => &[("µ", -6), ("m", -3), ("", 0)],
            // The symbol is mm² already.
            Kind::Area => &[("", -6)],
            Kind::Frequency => &[("", 0), ("k", 3), ("M", 6)],
            Kind::Temperature => &[("", 0)],
            Kind::Fraction => &[("", -2)],
        }
    }

    /// Which values make sense when nobody says otherwise.
    pub(crate) fn usual_range(self) -> Range {
        match self {
            Kind::Temperature => Range::Any,
            Kind::Fraction => Range::NotNegative,
            _ => Range::Positive,
        }
    }

    /// A regular expression (ECMA-262) for the text forms that are read, for editors.
    pub(crate) fn pattern(self) -> String {
        let number = r"\+?(([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?|[0-9]+/[0-9]+)";
        let signed = number.replacen(r"\+?", r"[+\u2212-]?", 1);
        let choice = |words: Vec<&str>| words.join("|");
        let units = choice(self.units().to_vec());
        let prefixes = choice(self.prefixes().iter().map(|p| p.0).collect());
        let unit = if prefixes.is_empty() { format!("({units})") } else { format!("({prefixes})?({units})") };
        match self {
            Kind::Resistance => {
                let ohms = choice(self.units().to_vec());
                format!(
                    r"^\s*({number}\s*({unit}|[kKMGTR])|[0-9]+[RrkKMGT][0-9]+\s*({ohms})?|[Rr][0-9]+\s*({ohms})?)\s*$"
                )
            }
            Kind::Area => format!(r"^\s*({number}\s*{unit}|([0-9]+|[1-4]/0)\s*[Aa][Ww][Gg])\s*$"),
            Kind::Temperature => format!(r"^\s*{signed}\s*{unit}\s*$"),
            _ => format!(r"^\s*{number}\s*{unit}\s*$"),
        }
    }
}

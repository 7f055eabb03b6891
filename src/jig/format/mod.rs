//! The one description of the format: sections and kinds of part, their keys, what each holds and means.
//! The reader and the JSON Schema both come from it, so they cannot drift. Must not know how a file is read.

mod parts;

use crate::quantity::{Kind, Range};
pub(crate) use parts::PARTS;

/// The format this program reads.
pub(crate) const FORMAT: i64 = 1;
/// Most parts in one file (the format's own limit).
pub(crate) const MOST_PARTS: usize = 500;
/// Longest name of a part, net, outlet or touchable thing, characters.
pub(crate) const LONGEST_NAME: usize = 64;
/// Side of an insulation that stands for everything joined to the supply.
pub(crate) const MAINS: &str = "mains";

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
    /// The key as it may be written, e.g. `resistance = "150 kΩ"`.
    pub(crate) fn example(&self) -> String {
        let name = self.name;
        match self.holds {
            Holds::Quantity(kind, _) => format!("{name} = \"{}\"", kind.example()),
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

/// Grades of insulation in the words of IEC 60664-1 and IEC 61140.
pub(crate) const GRADES: &[&str] = &["functional", "basic", "supplementary", "double", "reinforced"];

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

const CORD: &[Key] = &[
    may("area", above_zero(Kind::Area), "Cross-section of each conductor, as printed on the sheath."),
    may("length", above_zero(Kind::Length), "Length from the plug to the jig."),
    may("cores", Holds::Count(1, 12), "Number of conductors, the protective earth among them."),
    may("strain-relief", Holds::Flag, "Whether a clamp takes the pull and the twist off the joints."),
];

/// `[jig]`.
pub(crate) const JIG: Section = Section {
    name: "jig",
    doc: "What the tool is.",
    keys: &[
        needs("name", Holds::Text, "Name of the tool, as on its label."),
        may("unit", Holds::Text, "Kind of unit, e.g. \"strobe-lamp\"; plugins choose by it."),
        needs(
            "use",
            Holds::Word(&["hand-held", "bench", "fixed"]),
            "Held in the hand, standing on the bench, or fixed in place.",
        ),
    ],
    choice: None,
};

/// `[supply]`.
pub(crate) const SUPPLY: Section = Section {
    name: "supply",
    doc: "The mains it hangs on, and what stands between the mains and the jig.",
    keys: &[
        may(
            "system",
            Holds::Text,
            "A row of the supplies table, e.g. \"230 V 50 Hz\", which brings the tolerance; \"none\" for a tool with no mains at all.",
        ),
        may(
            "volts",
            above_zero(Kind::Voltage),
            "Nominal volts r.m.s. between the two pins, where no row fits; with frequency and tolerance.",
        ),
        may("frequency", above_zero(Kind::Frequency), "Frequency, where no row fits."),
        may(
            "tolerance",
            Holds::Quantity(Kind::Fraction, Range::NotNegative),
            "How far the volts may be above or below nominal, where no row fits.",
        ),
        may("plug", Holds::Text, "Letter of the plug type, A to O, or \"fixed\" for hard-wired."),
        may("cord", Holds::Table(CORD), "The cord."),
        may("breaker", above_zero(Kind::Current), "Rated current of the branch circuit's breaker, amperes r.m.s."),
        may(
            "rcd",
            Holds::Residual,
            "Rated residual current of the residual-current device ahead of the jig, amperes r.m.s., or \"none\".",
        ),
        may("plug-fuse", above_zero(Kind::Current), "Rated current of the fuse inside the plug, amperes r.m.s."),
    ],
    choice: Some(Choice { groups: &[&["system"], &["volts", "frequency", "tolerance"]], exclusive: true }),
};

/// `[enclosure]`.
pub(crate) const ENCLOSURE: Section = Section {
    name: "enclosure",
    doc: "The box.",
    keys: &[
        may(
            "material",
            Holds::Word(&["insulating", "metal", "open"]),
            "What the outside is made of; \"open\" for no box.",
        ),
        may("class", Holds::Word(&["I", "II", "III"]), "Class of protection against electric shock (IEC 61140)."),
        may("size", Holds::Size, "Outside length, width and height."),
        may("opens-with", Holds::Word(&["tool", "hand"]), "What it takes to open the box."),
    ],
    choice: None,
};

/// `[[insulation]]`.
pub(crate) const INSULATION: Section = Section {
    name: "insulation",
    doc: "Insulation between two nets, as built.",
    keys: &[
        needs(
            "between",
            Holds::Sides,
            "The two sides: nets, or \"mains\" for every net conductively joined to L or N in any switch position.",
        ),
        needs("grade", Holds::Word(GRADES), "Grade of the insulation."),
        may("clearance", above_zero(Kind::Length), "Shortest distance through air."),
        may("creepage", above_zero(Kind::Length), "Shortest distance along surfaces."),
    ],
    choice: None,
};

/// `[[touchable]]`.
pub(crate) const TOUCHABLE: Section = Section {
    name: "touchable",
    doc: "Something conductive that fingers can reach.",
    keys: &[needs("name", Holds::Text, "What it is."), needs("net", Holds::Net, "The net it is part of.")],
    choice: None,
};

/// `[[outlet]]`.
pub(crate) const OUTLET: Section = Section {
    name: "outlet",
    doc: "Where the thing under test goes on.",
    keys: &[
        needs("name", Holds::Text, "What it is."),
        needs("across", Holds::Ends, "Its two nets."),
        may(
            "loads",
            Holds::Loads,
            "What may be plugged in: \"open\", \"short\", \"100 W\", \"10 kΩ\", \"100 uF charged 400 V\". Each is a condition; open when none is given.",
        ),
    ],
    choice: None,
};

/// `[[accept]]`.
pub(crate) const ACCEPT: Section = Section {
    name: "accept",
    doc: "A finding someone has looked at: shown as accepted, never hidden; DANGER and WARNING still count.",
    keys: &[
        needs("check", Holds::Text, "Name of the check."),
        may("part", Holds::Text, "The one part it is limited to."),
        needs("reason", Holds::Text, "Why it is accepted."),
        needs("by", Holds::Text, "By whom."),
        needs("until", Holds::Date, "Last day it holds, as \"2027-12-31\"."),
    ],
    choice: None,
};

/// Sections that stand once.
pub(crate) const SINGLE: &[&Section] = &[&JIG, &SUPPLY, &ENCLOSURE];
/// Sections that may be repeated.
pub(crate) const REPEATED: &[&Section] = &[&INSULATION, &TOUCHABLE, &OUTLET, &ACCEPT];
/// Everything that may stand at the top of a file.
pub(crate) const TOP: &[&str] =
    &["format", "jig", "supply", "enclosure", "part", "insulation", "touchable", "outlet", "accept", "plugin"];
/// What must stand at the top of a file.
pub(crate) const TOP_NEEDED: &[&str] = &["jig", "supply", "part"];

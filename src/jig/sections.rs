//! The sections of the format, their keys, what each holds and means; the kinds of part are in `part`. The reader and the
//! JSON Schema both come from these, so they cannot drift. Must not know how a file is read.

use crate::format::{Choice, Holds, Key, Section, above_zero, may, needs};
use crate::quantity::{Kind, Range};
use crate::standard::Grade;
use crate::standard::residual::RcdKind;

/// The format this program reads.
pub(crate) const FORMAT: i64 = 1;
/// Side of an insulation that stands for everything joined to the supply.
pub(crate) const MAINS: &str = "mains";

const CORD: &[Key] = &[
    may("area", above_zero(Kind::Area), "Cross-section of each conductor, as printed on the sheath."),
    may("length", above_zero(Kind::Length), "Length from the plug to the jig."),
    may("cores", Holds::Count(1, 12), "Number of conductors, the protective earth among them."),
    may("strain-relief", Holds::Flag, "Whether a clamp takes the pull and the twist off the joints."),
];

/// Says the same in `[jig]` and in `[supply]`.
const FUNCTIONAL_EARTH: &str = "Whether a class II tool brings an earth wire that only screens or measures.";

/// `[jig]`.
pub(crate) const JIG: Section = Section {
    name: "jig",
    doc: "What the tool is.",
    keys: &[
        needs("name", Holds::Text, "Name of the tool, as on its label."),
        may(
            "unit",
            Holds::Text,
            "Kind of unit, e.g. \"strobe-lamp\"; plugins choose by it. \"none\" asks for no plugin.",
        ),
        needs(
            "use",
            Holds::Word(&["hand-held", "bench", "fixed"]),
            "Held in the hand, standing on the bench, or fixed in place.",
        ),
        may("functional-earth", Holds::Flag, FUNCTIONAL_EARTH),
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
        may(
            "plug",
            Holds::Text,
            "Letter of the plug type, A to O, or \"fixed\" for hard-wired. A probe that is held in the hand and has no cord has none: L and N are its tips, tried either way round.",
        ),
        may("cord", Holds::Table(CORD), "The cord."),
        may("breaker", above_zero(Kind::Current), "Rated current of the branch circuit's breaker, amperes r.m.s."),
        may(
            "rcd",
            Holds::Residual,
            "Rated residual current of the residual-current device ahead of the jig, amperes r.m.s., or \"none\".",
        ),
        may(
            "rcd-type",
            Holds::Word(&RcdKind::WORDS),
            "What the residual-current device sees, as printed on it: \"AC\" sine only, \"A\" pulses too, \"B\" smooth direct current too.",
        ),
        may(
            "earthing",
            Holds::Word(&["TN", "TT"]),
            "\"TN\": the earth goes back to the source by a wire; \"TT\": through an earth electrode of the house.",
        ),
        may("plug-fuse", above_zero(Kind::Current), "Rated current of the fuse inside the plug, amperes r.m.s."),
        may("functional-earth", Holds::Flag, FUNCTIONAL_EARTH),
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
        may("size", Holds::Size, "Outside length, width and height, in this order."),
        may(
            "finish",
            Holds::Word(&["bare", "painted"]),
            "Outside of a metal box: bare metal, or painted, powder-coated or anodised, which gives off more heat.",
        ),
        may(
            "vents",
            above_zero(Kind::Area),
            "Area of the openings low in the box, with as much high in it, for air to pass through.",
        ),
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
        needs("grade", Holds::Word(&Grade::WORDS), "Grade of the insulation."),
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
        may("earth", Holds::Net, "The net of its earth contact."),
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

/// `[[point]]`.
pub(crate) const POINT: Section = Section {
    name: "point",
    doc: "Where a meter can reach, for the dead test: a terminal, a joint that is still bare, a test point.",
    keys: &[needs("name", Holds::Text, "What it is."), needs("net", Holds::Net, "The net that is reached there.")],
    choice: None,
};

/// Sections that stand once.
pub(crate) const SINGLE: &[&Section] = &[&JIG, &SUPPLY, &ENCLOSURE];
/// Sections that may be repeated.
pub(crate) const REPEATED: &[&Section] = &[&INSULATION, &TOUCHABLE, &OUTLET, &POINT, &ACCEPT];
/// Everything that may stand at the top of a file.
pub(crate) const TOP: &[&str] =
    &["format", "jig", "supply", "enclosure", "part", "insulation", "touchable", "outlet", "point", "accept", "plugin"];
/// What must stand at the top of a file.
pub(crate) const TOP_NEEDED: &[&str] = &["jig", "supply", "part"];

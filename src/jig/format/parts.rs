//! The kinds of part and their keys. Each doc says which volts and amperes are meant.

use super::{Choice, GRADES, Holds, Key, Section, above_zero, may, needs};
use crate::quantity::{Kind, Range};

const ACROSS: Key = needs("across", Holds::Ends, "The two nets it joins.");
const TOLERANCE: Key = may(
    "tolerance",
    Holds::Quantity(Kind::Fraction, Range::NotNegative),
    "How far the value may be above or below what is marked.",
);
const SLOPE: Key = may("slope", above_zero(Kind::Resistance), "Slope resistance while it conducts.");
const WINDING: &[Key] = &[
    needs("across", Holds::Ends, "The two nets of the winding."),
    needs("volts", above_zero(Kind::Voltage), "Rated volts r.m.s. of the winding."),
];

const fn kind(name: &'static str, doc: &'static str, keys: &'static [Key]) -> Section {
    Section { name, doc, keys, choice: None }
}

/// Every kind of part.
pub(crate) const PARTS: &[Section] = &[
    kind(
        "resistor",
        "A resistor.",
        &[
            ACROSS,
            needs("resistance", above_zero(Kind::Resistance), "Marked resistance."),
            TOLERANCE,
            may("power", above_zero(Kind::Power), "Rated dissipation at its rated ambient, mean watts."),
            may("voltage", above_zero(Kind::Voltage), "Limiting element voltage, volts r.m.s. for sine (or d.c.)."),
            may("flameproof", Holds::Flag, "Whether its coating does not burn."),
            may("fusible", Holds::Flag, "Whether it is made to fail open like a fuse."),
        ],
    ),
    kind(
        "capacitor",
        "A capacitor.",
        &[
            ACROSS,
            needs("capacitance", above_zero(Kind::Capacitance), "Marked capacitance."),
            TOLERANCE,
            may("voltage", above_zero(Kind::Voltage), "Rated a.c. volts r.m.s. (the 275 V of an X2)."),
            may(
                "class",
                Holds::Word(&["X1", "X2", "X3", "Y1", "Y2", "Y4"]),
                "Class as an interference-suppression capacitor (IEC 60384-14).",
            ),
            may("polarised", Holds::Flag, "Whether it has a plus pole; the first net of across is plus."),
            may("dc-voltage", above_zero(Kind::Voltage), "Rated d.c. volts."),
            may(
                "charged",
                Holds::Quantity(Kind::Voltage, Range::NotNegative),
                "D.c. volts it starts with, first net plus: a thing to be discharged.",
            ),
        ],
    ),
    kind(
        "inductor",
        "A choke or coil.",
        &[
            ACROSS,
            needs("inductance", above_zero(Kind::Inductance), "Inductance at the mains frequency."),
            needs("resistance", above_zero(Kind::Resistance), "Resistance of the wire."),
            may("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
        ],
    ),
    kind(
        "winding",
        "A motor, relay coil or other winding.",
        &[
            ACROSS,
            needs("resistance", above_zero(Kind::Resistance), "Resistance of the wire."),
            needs("inductance", above_zero(Kind::Inductance), "Inductance at the mains frequency."),
            may("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
            may(
                "temperature-class",
                Holds::Word(&["Y", "A", "E", "B", "F", "H", "105", "120", "130", "155", "180"]),
                "Thermal class of its insulation (IEC 60085).",
            ),
        ],
    ),
    kind(
        "diode",
        "A diode, from anode to cathode.",
        &[
            needs("across", Holds::Ends, "Anode, then cathode."),
            may("forward", above_zero(Kind::Voltage), "Forward d.c. volts."),
            SLOPE,
            may("voltage", above_zero(Kind::Voltage), "Repetitive peak reverse volts."),
            may("current", above_zero(Kind::Current), "Rated mean forward amperes."),
            may("surge", above_zero(Kind::Current), "Peak amperes it stands once, for half a mains cycle."),
        ],
    ),
    kind(
        "led",
        "A light-emitting diode or a string of them, from anode to cathode.",
        &[
            needs("across", Holds::Ends, "Anode, then cathode."),
            needs("forward", above_zero(Kind::Voltage), "Forward d.c. volts of one LED."),
            may("slope", above_zero(Kind::Resistance), "Slope resistance of one LED."),
            may("current", above_zero(Kind::Current), "Rated mean forward amperes."),
            may("peak-current", above_zero(Kind::Current), "Rated peak forward amperes."),
            may("reverse", above_zero(Kind::Voltage), "Peak reverse volts of one LED."),
            may("series", Holds::Count(1, 1000), "How many stand in one string; 1 when not given."),
        ],
    ),
    kind(
        "suppressor",
        "A voltage-limiting diode.",
        &[
            needs("across", Holds::Ends, "Anode, then cathode."),
            needs("breakdown", above_zero(Kind::Voltage), "Breakdown volts, peak or d.c."),
            may("power", above_zero(Kind::Power), "Rated mean watts."),
            may("bidirectional", Holds::Flag, "Whether it breaks down in both directions."),
        ],
    ),
    kind(
        "bridge",
        "A bridge of four diodes.",
        &[
            needs("ac", Holds::Ends, "The two a.c. nets."),
            needs("plus", Holds::Net, "The net of the positive terminal."),
            needs("minus", Holds::Net, "The net of the negative terminal."),
            may("forward", above_zero(Kind::Voltage), "Forward d.c. volts of each diode."),
            may("slope", above_zero(Kind::Resistance), "Slope resistance of each diode."),
            may("voltage", above_zero(Kind::Voltage), "Repetitive peak reverse volts of each diode."),
            may("current", above_zero(Kind::Current), "Rated mean output amperes."),
            may("surge", above_zero(Kind::Current), "Peak amperes it stands once, for half a mains cycle."),
        ],
    ),
    Section {
        name: "neon-lamp",
        doc: "A neon glow lamp without a resistor of its own.",
        keys: &[
            ACROSS,
            may("type", Holds::Text, "A row of the lamps table, which gives the other keys; each may be overridden."),
            may("strike", above_zero(Kind::Voltage), "Strike volts, peak or d.c."),
            may("strike-max", above_zero(Kind::Voltage), "Strike volts of the worst lamp of the type, peak or d.c."),
            may("maintain", above_zero(Kind::Voltage), "Volts across the lit lamp, peak or d.c."),
            may("slope", above_zero(Kind::Resistance), "Slope resistance of the lit lamp."),
            may("current", above_zero(Kind::Current), "Design amperes r.m.s."),
            may("max-current", above_zero(Kind::Current), "Highest amperes r.m.s."),
        ],
        choice: Some(Choice { groups: &[&["type"], &["strike", "maintain"]], exclusive: false }),
    },
    kind(
        "filament-lamp",
        "A filament lamp.",
        &[
            ACROSS,
            needs("volts", above_zero(Kind::Voltage), "Rated volts r.m.s. (or d.c.)."),
            needs("power", above_zero(Kind::Power), "Rated mean watts at its rated volts."),
            may("cold-ratio", Holds::Share, "Cold resistance divided by hot resistance, such as 0.07."),
        ],
    ),
    kind(
        "fuse",
        "A fuse-link in its holder.",
        &[
            ACROSS,
            needs("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
            may(
                "speed",
                Holds::Word(&["FF", "F", "M", "T", "TT"]),
                "Letter of its speed (IEC 60127-1): very quick, quick, medium, time-lag, long time-lag.",
            ),
            may("voltage", above_zero(Kind::Voltage), "Rated a.c. volts r.m.s."),
            may("breaking", above_zero(Kind::Current), "Rated breaking capacity, prospective amperes r.m.s."),
        ],
    ),
    kind(
        "thermal-fuse",
        "A link that opens for ever when it gets too hot.",
        &[
            ACROSS,
            needs("temperature", Holds::Quantity(Kind::Temperature, Range::Positive), "Rated functioning temperature."),
            may("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
            may("voltage", above_zero(Kind::Voltage), "Rated a.c. volts r.m.s."),
        ],
    ),
    Section {
        name: "switch",
        doc: "A switch, relay contact, push button or plug-and-socket link.",
        keys: &[
            may("poles", Holds::Poles, "Two nets for each pole; all poles open and close together."),
            may(
                "positions",
                Holds::Positions,
                "Named positions, each with the contacts closed in it: { low = [[\"a\", \"b\"]], high = [[\"a\", \"c\"]] }.",
            ),
            may("voltage", above_zero(Kind::Voltage), "Rated a.c. volts r.m.s."),
            may("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
        ],
        choice: Some(Choice { groups: &[&["poles"], &["positions"]], exclusive: true }),
    },
    kind(
        "varistor",
        "A voltage-dependent resistor.",
        &[
            ACROSS,
            needs("voltage", above_zero(Kind::Voltage), "Highest continuous a.c. volts r.m.s."),
            may("energy", above_zero(Kind::Energy), "Energy it stands in one pulse."),
        ],
    ),
    kind(
        "thermistor",
        "An inrush limiter: high resistance cold, low resistance hot.",
        &[
            ACROSS,
            needs("cold", above_zero(Kind::Resistance), "Resistance at 25 °C."),
            may("hot", above_zero(Kind::Resistance), "Resistance at its rated current."),
            may("current", above_zero(Kind::Current), "Rated amperes r.m.s."),
        ],
    ),
    kind(
        "transformer",
        "A transformer.",
        &[
            needs("primary", Holds::Table(WINDING), "The winding on the supply's side."),
            needs("secondary", Holds::Tables(WINDING), "The other winding, or a list of several."),
            may("power", above_zero(Kind::ApparentPower), "Rated volt-amperes of all secondaries together."),
            may("insulation", Holds::Word(GRADES), "Grade of the insulation between primary and secondary."),
            may("capacitance", above_zero(Kind::Capacitance), "Capacitance between primary and secondary."),
            may("inductance", above_zero(Kind::Inductance), "Magnetising inductance seen at the primary."),
        ],
    ),
    kind(
        "psu",
        "A bought, approved power-supply module.",
        &[
            needs("input", Holds::Ends, "The two nets of its input."),
            needs("output", Holds::Ends, "The two nets of its output, plus first."),
            may("volts", above_zero(Kind::Voltage), "Rated output d.c. volts."),
            may("current", above_zero(Kind::Current), "Rated output amperes d.c."),
            may("power", above_zero(Kind::Power), "Rated output watts."),
            may(
                "output-class",
                Holds::Word(&["SELV", "none"]),
                "\"SELV\" when its maker states a safety extra-low-voltage output.",
            ),
        ],
    ),
    Section {
        name: "load",
        doc: "Something fixed inside the jig that takes power.",
        keys: &[
            ACROSS,
            may("power", above_zero(Kind::Power), "Mean watts at the supply's nominal volts."),
            may("resistance", above_zero(Kind::Resistance), "Resistance."),
            may("power-factor", Holds::Share, "Power factor; 1 when not given."),
        ],
        choice: Some(Choice { groups: &[&["power"], &["resistance"]], exclusive: true }),
    },
    kind(
        "wire",
        "A wire, track or lead.",
        &[
            ACROSS,
            may("area", above_zero(Kind::Area), "Cross-section of the conductor."),
            may("colour", Holds::Colour, "Colour of the insulation, e.g. \"brown\", \"green-yellow\", \"bare\"."),
            may("voltage", above_zero(Kind::Voltage), "Rated a.c. volts r.m.s. of the insulation."),
            may("length", above_zero(Kind::Length), "Length."),
            may(
                "temperature",
                Holds::Quantity(Kind::Temperature, Range::Positive),
                "Highest temperature of the insulation.",
            ),
            may("screened", Holds::Flag, "Whether a screen lies around it."),
        ],
    ),
    kind(
        "socket",
        "A panel connector, terminal post, 4 mm socket or inlet; nothing to solve.",
        &[
            needs("nets", Holds::Nets, "The nets on its contacts."),
            may("type", Holds::Text, "What it is, e.g. \"4 mm socket\"."),
            may("shrouded", Holds::Flag, "Whether a finger cannot touch its contacts."),
            may(
                "exposed-pins",
                Holds::Flag,
                "Whether it has pins that a finger can touch while nothing is plugged in.",
            ),
        ],
    ),
];

//! How much of everything one jig file may hold: more is an error at the first one too many. They stand in the schema and are
//! printed by `deadfront tables bounds`. Must not know how a file is read.

/// Largest jig file, bytes.
pub(crate) const LARGEST_FILE: usize = 1 << 20;
/// Deepest nesting of brackets; the format needs four.
pub(crate) const DEEPEST: usize = 32;
/// Most parts.
pub(crate) const MOST_PARTS: usize = 500;
/// Most switches: every one is tried in every position.
pub(crate) const MOST_SWITCHES: usize = 64;
/// Most capacitors, inductors and windings together: every one is a state of the circuit, and what is solved grows with the
/// cube of their number.
pub(crate) const MOST_STORES: usize = 250;
/// Most touchable things: every two of them are two hands, so what is solved grows with the square of their number.
pub(crate) const MOST_TOUCHABLES: usize = 64;
/// Most outlets, and most loads of one.
pub(crate) const MOST_OUTLETS: usize = 32;
/// Most points for a meter: what a dead test tries grows with the square of their number.
pub(crate) const MOST_POINTS: usize = 32;
/// Most insulations: each is broken down between every two nets it lies between.
pub(crate) const MOST_INSULATIONS: usize = 128;
/// Most acceptances.
pub(crate) const MOST_ACCEPTS: usize = 128;
/// Most settings for plugins, over all plugins.
pub(crate) const MOST_SETTINGS: usize = 256;
/// Most windings on one side of a transformer, poles or positions of a switch, contacts of a socket: no part of the trade has
/// more, and each winding is coupled with every other one.
pub(crate) const MOST_OF_A_PART: usize = 16;
/// Longest name of a part, net, outlet or touchable thing, characters.
pub(crate) const LONGEST_NAME: usize = 64;
/// Longest text of any other key, characters.
pub(crate) const LONGEST_TEXT: usize = 1000;

/// Most parts of a jig whose dead test is worked out: every fault of every part is tried at every two points.
pub(crate) const MOST_IN_A_DEAD_TEST: usize = 150;
/// Most parts that are drawn: what is wired grows with the square of their number.
pub(crate) const MOST_DRAWN: usize = 200;

/// Everything that is counted, in words, with the most there may be of it.
pub(crate) const BOUNDS: &[(&str, usize)] = &[
    ("bytes of the file", LARGEST_FILE),
    ("brackets within brackets", DEEPEST),
    ("parts", MOST_PARTS),
    ("switches", MOST_SWITCHES),
    ("capacitors, inductors and windings", MOST_STORES),
    ("[[touchable]]", MOST_TOUCHABLES),
    ("[[outlet]]", MOST_OUTLETS),
    ("loads of an outlet", MOST_OUTLETS),
    ("[[point]]", MOST_POINTS),
    ("[[insulation]]", MOST_INSULATIONS),
    ("[[accept]]", MOST_ACCEPTS),
    ("settings of all [plugin.ID]", MOST_SETTINGS),
    ("secondaries, poles, positions, contacts of a position or nets of a socket", MOST_OF_A_PART),
    ("characters of a name", LONGEST_NAME),
    ("characters of any other text", LONGEST_TEXT),
];

/// How often a repeated section may stand.
pub(crate) fn most_rows(section: &str) -> Option<usize> {
    let heading = format!("[[{section}]]");
    BOUNDS.iter().find(|(what, _)| *what == heading).map(|(_, most)| *most)
}

//! A design as the text of a jig file: what every lamp has in common. Must not choose values.

use super::parts::{Rating, fuse_sheet};
use super::supply::Feed;
use crate::jig::Grade;
use crate::jig::write::{Text, quoted};
use crate::quantity::{Kind, format};
use crate::standard;

/// Outer sizes of the boxes a design may need, from small to large, by the watts they have to lose.
const BOXES: [[&str; 3]; 4] = [
    ["120 mm", "40 mm", "40 mm"],
    ["120 mm", "80 mm", "50 mm"],
    ["200 mm", "120 mm", "80 mm"],
    ["300 mm", "200 mm", "120 mm"],
];

/// Size of a box for so many watts: each of the boxes loses about five times what the one before does.
pub(super) fn box_for(watts: f64) -> [&'static str; 3] {
    let rise = |b: &[&'static str; 3]| {
        let metres = b.map(|t| crate::quantity::parse(t, Kind::Length).unwrap_or(0.1));
        standard::bench::inside_rise(watts, metres).value
    };
    // Half of what ambient leaves to the start of a film resistor's derating.
    let room = 0.5 * (70.0 - standard::bench::ambient().value);
    BOXES.into_iter().find(|b| rise(b) <= room).unwrap_or(BOXES[3])
}

/// The head of the file up to the fuses. Returns the text and the nets behind them.
pub(super) fn head(
    feed: &Feed,
    name: &str,
    unit: &str,
    note: &str,
    size: [&str; 3],
    fuse: f64,
) -> (Text, [&'static str; 2]) {
    let mut t = Text::new().comment(note);
    t = t.section("jig").key("name", name).key("unit", unit).key("use", "bench");
    t = t.section("supply");
    for (key, value) in &feed.keys {
        t = t.key(key, value);
    }
    t = t.key("plug", &feed.letter);
    if let Some(a) = feed.plug_fuse() {
        t = t.key("plug-fuse", &format(a, Kind::Current));
    }
    let area = if feed.mains.hertz == 60.0 && feed.mains.nominal < 130.0 { "18 AWG" } else { "0.75 mm2" };
    let cord = [
        ("area", quoted(area)),
        ("length", quoted("2 m")),
        ("cores", "2".to_string()),
        ("strain-relief", "true".to_string()),
    ];
    t = t.table("cord", &cord);
    t = t
        .section("enclosure")
        .key("material", "insulating")
        .key("class", "II")
        .list("size", &size)
        .key("opens-with", "tool");
    let sheet = fuse_sheet();
    let one = |t: Text, name: &str, ends: &[&str]| {
        t.section(&format!("part.{name}"))
            .key("kind", "fuse")
            .list("across", ends)
            .key("current", &format(fuse, Kind::Current))
            .key("speed", &sheet.characteristic)
            .key("voltage", &format(sheet.rated_v, Kind::Voltage))
            .key("breaking", &format(sheet.breaking_capacity_a, Kind::Current).replace("1.5 kA", "1500 A"))
    };
    if feed.both_poles() {
        t = t.comment("A fuse in each pole: either pin can be live.");
        t = one(one(t, "F1", &["L", "L1"]), "F2", &["N", "N1"]);
        (t, ["L1", "N1"])
    } else {
        (one(t, "F1", &["L", "L1"]), ["L1", "N"])
    }
}

/// A string of `count` equal resistors `R{first}`… from one net to another.
pub(super) fn string(mut t: Text, first: usize, count: usize, ohms: f64, rating: Rating, from: &str, to: &str) -> Text {
    for k in 0..count {
        let a = if k == 0 { from.to_string() } else { format!("r{}", first + k - 1) };
        let b = if k + 1 == count { to.to_string() } else { format!("r{}", first + k) };
        t = t
            .section(&format!("part.R{}", first + k))
            .key("kind", "resistor")
            .list("across", &[&a, &b])
            .key("resistance", &format(ohms, Kind::Resistance))
            .key("tolerance", "5 %")
            .key("power", &format(rating.watts, Kind::Power))
            .key("voltage", &format(rating.volts, Kind::Voltage));
        if rating.flameproof {
            t = t.flag("flameproof", true);
        }
    }
    t
}

/// Insulation and what fingers reach: the tail of the file.
pub(super) fn tail(feed: &Feed, t: Text) -> Text {
    let t = t.another("insulation").list("between", &["mains", "SHELL"]).key("grade", "reinforced");
    // Whole millimetres, as a builder measures; never below the table.
    let t = match standard::insulation::mains_distances(feed.mains.high, Grade::Reinforced) {
        Some((clearance, creepage)) => {
            let mm = |metres: f64| format!("{} mm", (metres * 1e3 - 1e-9).ceil());
            t.key("clearance", &mm(clearance.value)).key("creepage", &mm(creepage.value))
        }
        None => t,
    };
    t.another("touchable").key("name", "shell").key("net", "SHELL")
}

/// What a resistor looks like: its bands in words.
pub(super) fn bands(ohms: f64) -> Option<String> {
    let bands = standard::colour_code::bands(ohms, 0.05)?;
    Some(bands.iter().map(|c| c.word()).collect::<Vec<_>>().join(", "))
}

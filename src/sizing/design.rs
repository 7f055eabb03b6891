//! One design, and the text of the jig file that writes it down. Must not know whether it is any good.

use super::parts::{self, Rating, SHELLS, X2};
use super::supply::Feed;
use super::wish::LedCircuit;
use crate::jig::write::{Text, quoted};
use crate::quantity::{Kind, format};
use crate::standard::{self, Level};

/// The lamp and what belongs to it.
#[derive(Debug, Clone)]
pub(super) enum Lamp {
    /// A glow lamp, with or without a diode.
    Neon {
        /// Keys of the lamp.
        keys: Vec<(&'static str, String)>,
        /// A diode in series.
        diode: bool,
    },
    /// A string of LEDs.
    Led {
        /// Keys of the string, each with a remark or none.
        keys: Vec<(&'static str, String, &'static str)>,
        /// LEDs in the string.
        series: u32,
        /// What keeps the reverse volts off.
        circuit: LedCircuit,
    },
}

/// A dropper capacitor with its bleeder.
#[derive(Debug, Clone)]
pub(super) struct Capacitor {
    /// Farads.
    pub(super) farads: f64,
    /// Rating.
    pub(super) x2: X2,
    /// Ohms of each of the two resistors of the bleeder.
    pub(super) bleeder: f64,
    /// Rating of each.
    pub(super) rating: Rating,
}

/// Resistors of a bleeder: more than one, so that one that shorts does not short the capacitor.
pub(super) const BLEEDERS: usize = 2;

/// A whole design.
#[derive(Debug, Clone)]
pub(super) struct Design<'a> {
    /// Supply and plug.
    pub(super) feed: &'a Feed,
    /// Name of the jig.
    pub(super) name: String,
    /// Lamp.
    pub(super) lamp: Lamp,
    /// Resistors in series.
    pub(super) count: usize,
    /// Ohms of each.
    pub(super) each: f64,
    /// Rating of each.
    pub(super) rating: Rating,
    /// Fuse rating, amperes.
    pub(super) fuse: f64,
    /// Dropper capacitor.
    pub(super) capacitor: Option<Capacitor>,
    /// Index into [`SHELLS`].
    pub(super) shell: usize,
}

impl Design<'_> {
    /// Name of the lamp's part.
    pub(super) fn lamp_name(&self) -> &'static str {
        match self.lamp {
            Lamp::Neon { .. } => "LP1",
            Lamp::Led { .. } => "LED1",
        }
    }

    /// Names of the string of resistors.
    pub(super) fn string(&self) -> Vec<String> {
        (1..=self.count).map(|n| format!("R{n}")).collect()
    }

    /// Names of the resistors of the bleeder.
    pub(super) fn bleeders(&self) -> Vec<String> {
        let some = if self.capacitor.is_some() { BLEEDERS } else { 0 };
        (1..=some).map(|n| format!("R{}", self.count + n)).collect()
    }

    /// The jig file.
    pub(super) fn text(&self) -> String {
        let shell = &SHELLS[self.shell];
        let mut t = Text::new()
            .comment("Written by a sizing: every value is a proposal to build to, check again once it is built.")
            .section("jig")
            .key("name", &self.name)
            .key("unit", if matches!(self.lamp, Lamp::Neon { .. }) { "strobe-lamp" } else { "led-strobe" })
            .key("use", shell.word)
            .section("supply");
        for (key, value) in &self.feed.keys {
            t = t.key(key, value);
        }
        t = t.key("plug", &self.feed.letter).table("cord", &self.cord());
        if let Some(amperes) = self.feed.plug_fuse() {
            t = t.key("plug-fuse", &format(amperes, Kind::Current));
        }
        let size = shell.size.map(|mm| format!("{mm} mm"));
        t = t
            .section("enclosure")
            .key("material", "insulating")
            .key("class", "II")
            .list("size", &size.each_ref().map(String::as_str))
            .key("opens-with", "tool");
        t = self.lamp_parts(self.chain(self.fuses(t)));
        if let Some([clear, creep]) = parts::distances(self.feed.mains.nominal) {
            t = t
                .another("insulation")
                .list("between", &["mains", shell.net])
                .key("grade", "reinforced")
                .key("clearance", &format!("{clear} mm"))
                .key("creepage", &format!("{creep} mm"));
        }
        t.another("touchable").key("name", shell.touchable).key("net", shell.net).finish()
    }

    /// Two cores (class II has no earth) of the size the table asks of a long cord.
    fn cord(&self) -> Vec<(&'static str, String)> {
        let area = standard::cord::smallest_cord(self.fuse, None).map(|l| format(l.value, Kind::Area));
        let mut cord = area.map(|a| ("area", quoted(&a))).into_iter().collect::<Vec<_>>();
        cord.extend([("length", quoted("2 m")), ("cores", "2".into()), ("strain-relief", "true".into())]);
        cord
    }

    /// Net behind the fuses on the side of N.
    fn back(&self) -> &'static str {
        if self.feed.both_poles() { "N1" } else { "N" }
    }

    fn fuses(&self, mut t: Text) -> Text {
        let sheet = parts::fuse_sheet();
        let mut fuses = vec![("F1", "L", "L1")];
        if self.feed.both_poles() {
            fuses.push(("F2", "N", "N1"));
            t = t.comment("A fuse in each pole: either pin can be the live one.");
        }
        for (name, from, to) in fuses {
            t = t
                .section(&format!("part.{name}"))
                .key("kind", "fuse")
                .list("across", &[from, to])
                .key("current", &format(self.fuse, Kind::Current))
                .key("speed", sheet.speed)
                .key("voltage", &format(sheet.rated_v, Kind::Voltage))
                // In plain amperes, as on the fuse.
                .key("breaking", &format!("{} A", sheet.breaking));
        }
        t
    }

    /// String, and the capacitor with its bleeder behind it; ends at net `a`.
    fn chain(&self, mut t: Text) -> Text {
        if self.count > 1 {
            t = t.comment("In series, so that one that shorts does not leave the lamp without a dropper.");
        }
        let end = if self.capacitor.is_some() { "c" } else { "a" };
        let nets: Vec<String> = (1..self.count).map(|n| format!("m{n}")).collect();
        let nets: Vec<&str> = std::iter::once("L1").chain(nets.iter().map(String::as_str)).chain([end]).collect();
        for (name, ends) in self.string().iter().zip(nets.windows(2)) {
            t = resistor(t, name, [ends[0], ends[1]], self.each, self.rating);
        }
        let Some(c) = &self.capacitor else { return t };
        t = t
            .section("part.C1")
            .key("kind", "capacitor")
            .list("across", &["c", "a"])
            .key("capacitance", &format(c.farads, Kind::Capacitance))
            .key("tolerance", &format(c.x2.tolerance, Kind::Fraction))
            .key("voltage", &format(c.x2.volts, Kind::Voltage))
            .key("class", "X2")
            .comment(
                "The bleeder empties the capacitor once the plug is pulled; in two, so that none alone can short it.",
            );
        for (name, ends) in self.bleeders().iter().zip([["c", "b"], ["b", "a"]]) {
            t = resistor(t, name, ends, c.bleeder, c.rating);
        }
        t
    }

    fn lamp_parts(&self, mut t: Text) -> Text {
        let back = self.back();
        match &self.lamp {
            Lamp::Neon { keys, diode } => {
                let mut from = "a";
                if *diode {
                    t = self.diode(t, "D1", ["a", "d"]);
                    from = "d";
                }
                t = t.section("part.LP1").key("kind", "neon-lamp").list("across", &[from, back]);
                for (key, value) in keys {
                    t = t.key(key, value);
                }
            }
            Lamp::Led { keys, series, circuit } => {
                let strings: &[(&str, [&str; 2])] = match circuit {
                    LedCircuit::Bridge => {
                        t = self.rectifier(t.section("part.BR1").key("kind", "bridge").list("ac", &["a", back]));
                        &[("LED1", ["x", "y"])]
                    }
                    LedCircuit::AntiparallelDiode => {
                        t = self.diode(t, "D1", [back, "a"]);
                        &[("LED1", ["a", back])]
                    }
                    LedCircuit::AntiparallelLed => &[("LED1", ["a", back]), ("LED2", [back, "a"])],
                };
                for (name, ends) in strings {
                    t = t.section(&format!("part.{name}")).key("kind", "led").list("across", ends);
                    for (key, value, remark) in keys {
                        t = if remark.is_empty() { t.key(key, value) } else { t.key_with(key, value, remark) };
                    }
                    t = t.count("series", *series);
                }
            }
        }
        t
    }

    fn diode(&self, t: Text, name: &str, ends: [&str; 2]) -> Text {
        let t = t.section(&format!("part.{name}")).key("kind", "diode").list("across", &ends);
        self.ratings(t)
    }

    fn rectifier(&self, t: Text) -> Text {
        self.ratings(t.key("plus", "x").key("minus", "y"))
    }

    fn ratings(&self, t: Text) -> Text {
        let crest = self.feed.mains.crest(Level::High);
        let Some(d) = parts::diode(crest) else { return t };
        t.key("voltage", &format(d.volts, Kind::Voltage))
            .key("current", &format(d.current, Kind::Current))
            .key("surge", &format(d.surge, Kind::Current))
    }
}

fn resistor(t: Text, name: &str, ends: [&str; 2], ohms: f64, rating: Rating) -> Text {
    let t = t
        .section(&format!("part.{name}"))
        .key("kind", "resistor")
        .list("across", &ends)
        .key("resistance", &format(ohms, Kind::Resistance))
        .key("tolerance", &format(parts::resistor_tolerance(), Kind::Fraction))
        .key("power", &format(rating.watts, Kind::Power))
        .key("voltage", &format(rating.volts, Kind::Voltage));
    if rating.fusible { t.flag("flameproof", true).flag("fusible", true) } else { t }
}

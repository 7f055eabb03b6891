//! What every jig to begin from is made of: supply, box, fuses, switch, earth wire, insulation, and the comments that teach
//! them. Texts as they stand in the file.

use super::super::parts;
use super::super::supply::Feed;
use super::super::wish::MainsWish;
use crate::quantity::{Kind, format};
use crate::standard;

/// Where a unit is to be plugged in.
pub(super) struct Site {
    /// Supply and plug; none without mains.
    pub(super) feed: Option<Feed>,
    /// What was taken without being asked for.
    pub(super) notes: Vec<String>,
}

/// Fuse, rated amperes by whether the mains is of the low or of the high sort: the same watts ask for twice the amperes.
pub(super) struct Amperes {
    /// On 100 V to 127 V.
    pub(super) low: &'static str,
    /// On 200 V and more.
    pub(super) high: &'static str,
}

impl Site {
    pub(super) fn new(feed: &Feed) -> Site {
        Site { feed: Some(feed.clone()), notes: feed.notes.clone() }
    }

    pub(super) fn without_mains() -> Site {
        Site { feed: None, notes: vec![] }
    }

    /// The supply in words.
    pub(super) fn supply(&self) -> String {
        self.feed.as_ref().map_or("no mains".to_string(), |f| f.mains.label.clone())
    }

    /// Nominal volts, as printed on parts.
    pub(super) fn volts(&self) -> String {
        format(self.nominal(), Kind::Voltage)
    }

    pub(super) fn nominal(&self) -> f64 {
        self.feed.as_ref().map_or(0.0, |f| f.mains.nominal)
    }

    /// Whether the mains is of the low sort, where plugs A and B are at home.
    pub(super) fn low(&self) -> bool {
        self.nominal() < standard::bench::plug_a_below().value
    }

    /// Whether a live pin stands at no more than the low sort of mains to earth, whatever stands between the pins.
    pub(super) fn low_to_earth(&self) -> bool {
        self.feed.as_ref().is_some_and(|f| f.mains.to_earth() < standard::bench::plug_a_below().value)
    }

    /// The same as it was wished for, for what is sized.
    pub(super) fn wish(&self) -> MainsWish {
        let Some(feed) = &self.feed else { return MainsWish::default() };
        let key = |name: &str| feed.keys.iter().find(|(k, _)| *k == name).map(|(_, v)| v.clone());
        MainsWish {
            supply: key("system"),
            volts: key("volts"),
            frequency: key("frequency"),
            tolerance: key("tolerance"),
            plug: Some(feed.letter.clone()),
            file: None,
        }
    }

    /// Net behind the fuses on the side of N: its own where N is fused too.
    pub(super) fn back(&self) -> &'static str {
        if self.both_poles() { "N1" } else { "N" }
    }

    fn both_poles(&self) -> bool {
        self.feed.as_ref().is_some_and(Feed::both_poles)
    }

    /// `format`, `[jig]` and `[supply]`.
    pub(super) fn opening(&self, name: &str, unit: &str, hand: &str, cord: &str, cores: &str) -> String {
        let mut out = format!(
            "format = 1\n\n[jig]\nname = \"{name}, {}\"\nunit = \"{unit}\"  # which checks of its own it gets: deadfront tables units\nuse = \"{hand}\"\n\n[supply]\n",
            self.supply()
        );
        let Some(feed) = &self.feed else { return out + "system = \"none\"\n" };
        for (key, value) in &feed.keys {
            out.push_str(&format!("{key} = \"{value}\"\n"));
        }
        out.push_str(&format!("plug = \"{}\"\n", feed.letter));
        if let Some(amperes) = feed.plug_fuse() {
            out.push_str(&format!("plug-fuse = \"{}\"\n", format(amperes, Kind::Current)));
        }
        if !cord.is_empty() {
            out.push_str(&format!(
                "cord = {{ area = \"{cord}\", length = \"2 m\", cores = {cores}, strain-relief = true }}\n"
            ));
        }
        out
    }

    /// The fuses behind the plug, slow.
    pub(super) fn fuses(&self, amperes: &Amperes) -> String {
        let rating = if self.low() { amperes.low } else { amperes.high };
        let breaking = parts::fuse_sheet().breaking;
        let fuse = |name: &str, from: &str, to: &str| {
            format!(
                "\n[part.{name}]\nkind = \"fuse\"\nacross = [\"{from}\", \"{to}\"]\ncurrent = \"{rating}\"\nspeed = \"T\"\n\
                 voltage = \"250 V\"\nbreaking = \"{breaking} A\"\n"
            )
        };
        if self.both_poles() {
            format!(
                "\n# A fuse in each pole, before anything else: either pin can be the live one.{}{}",
                fuse("F1", "L", "L1"),
                fuse("F2", "N", "N1")
            )
        } else {
            format!(
                "\n# The plug settles which pin is live: one fuse, in that pole, before anything else.{}",
                fuse("F1", "L", "L1")
            )
        }
    }

    /// A two-pole switch behind the fuses; what is behind it lies on L2 and N2.
    pub(super) fn switch(&self) -> String {
        format!(
            "\n# Both poles: off means dead, whichever way round the plug is in.\n[part.SW1]\nkind = \"switch\"\n\
             poles = [[\"L1\", \"L2\"], [\"{}\", \"N2\"]]\nvoltage = \"250 V\"\ncurrent = \"10 A\"\n",
            self.back()
        )
    }

    /// Insulation between the mains and what fingers reach, and that itself.
    pub(super) fn reinforced(&self, net: &str) -> String {
        let [clear, creep] = parts::distances(self.nominal()).unwrap_or_default();
        format!(
            "\n# What keeps the mains off what fingers reach: measure it in the finished box.\n[[insulation]]\n\
             between = [\"mains\", \"{net}\"]\ngrade = \"reinforced\"\nclearance = \"{clear} mm\"  # through air\n\
             creepage = \"{creep} mm\"  # along surfaces\n"
        )
    }
}

/// An insulating box.
pub(super) fn plastic(size: [&str; 3]) -> String {
    let [a, b, c] = size;
    format!(
        "\n[enclosure]\nmaterial = \"insulating\"\nclass = \"II\"  # double or reinforced insulation throughout, no earth\n\
         size = [\"{a}\", \"{b}\", \"{c}\"]\nopens-with = \"tool\"\n"
    )
}

/// A metal box on the protective earth.
pub(super) fn metal(size: [&str; 3]) -> String {
    let [a, b, c] = size;
    format!(
        "\n[enclosure]\nmaterial = \"metal\"\nclass = \"I\"  # everything metal that fingers reach is on the protective earth\n\
         size = [\"{a}\", \"{b}\", \"{c}\"]\nfinish = \"painted\"\nopens-with = \"tool\"\n"
    )
}

/// The wire that puts the case on the protective earth, the insulation round the mains, and the case.
pub(super) fn earthed_case(area: &str, others: &[&str]) -> String {
    let mut out = format!(
        "\n# The case has an earth wire of its own, with nothing in it that opens.\n[part.W1]\nkind = \"wire\"\n\
         across = [\"PE\", \"CASE\"]\narea = \"{area}\"\nlength = \"0.2 m\"\ncolour = \"green-and-yellow\"\nvoltage = \"500 V\"\n"
    );
    for net in ["mains"].iter().chain(others) {
        out.push_str(&format!(
            "\n[[insulation]]\nbetween = [\"{net}\", \"CASE\"]\ngrade = \"basic\"\nclearance = \"4 mm\"\ncreepage = \"5 mm\"\n"
        ));
    }
    out + &touchable("case", "CASE")
}

/// Something conductive that fingers reach.
pub(super) fn touchable(name: &str, net: &str) -> String {
    format!(
        "\n# What fingers reach; its net is what it is joined to, or a name of its own where that is nothing.\n[[touchable]]\nname = \"{name}\"\nnet = \"{net}\"\n"
    )
}

/// A resistor, 5 %.
pub(super) fn resistor(name: &str, from: &str, to: &str, ohms: &str, rating: [&str; 2]) -> String {
    let [watts, volts] = rating;
    format!(
        "\n[part.{name}]\nkind = \"resistor\"\nacross = [\"{from}\", \"{to}\"]\nresistance = \"{ohms}\"\ntolerance = \"5 %\"\n\
         power = \"{watts}\"\nvoltage = \"{volts}\"\n"
    )
}

/// A fuse of the isolated side.
pub(super) fn secondary_fuse(name: &str, from: &str, to: &str, amperes: &str, speed: &str) -> String {
    format!(
        "\n[part.{name}]\nkind = \"fuse\"\nacross = [\"{from}\", \"{to}\"]\ncurrent = \"{amperes}\"\nspeed = \"{speed}\"\n\
         voltage = \"250 V\"\nbreaking = \"1500 A\"\n"
    )
}

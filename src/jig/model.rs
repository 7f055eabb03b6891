//! What a jig file means: parts, nets, insulation, with the place of everything kept. SI base units.

use std::collections::BTreeMap;

pub(crate) use crate::format::{Ends, LoadKind, NET_L, NET_N, NET_PE, Net, NetId, OutletLoad, Place, Side};
pub(crate) use crate::part::{PartKind, SwitchContacts};
#[cfg(test)]
pub(crate) use crate::standard::Arrangement;
use crate::standard::protection::Earthing;
use crate::standard::residual::RcdKind;
use crate::standard::shell::{Finish, Shell};
pub(crate) use crate::standard::{CapClass, Grade, Mains, Plug};

/// A whole jig.
#[derive(Debug, Clone)]
pub(crate) struct Jig {
    /// File as named by the user.
    pub file: String,
    /// sha256 of the bytes, lower-case hex.
    pub sha256: String,
    /// `[jig] name`.
    pub name: String,
    /// `[jig] unit`, the kind of unit (empty when not given).
    pub unit: String,
    /// `[jig] use`.
    pub usage: Usage,
    /// Whether the earth wire of a class II tool only screens or measures.
    pub functional_earth: bool,
    /// The supply.
    pub supply: Supply,
    /// The box.
    pub enclosure: Enclosure,
    /// Parts in file order.
    pub parts: Vec<Part>,
    /// Outlets in file order.
    pub outlets: Vec<Outlet>,
    /// Stated insulation.
    pub insulations: Vec<Insulation>,
    /// What fingers can reach.
    pub touchables: Vec<Touchable>,
    /// Where a meter can reach besides plug, outlets and touchables.
    pub points: Vec<Point>,
    /// Accepted findings.
    pub accepts: Vec<Accept>,
    /// What the file sets for plugins, `[plugin.ID]`, in the order of the file.
    pub plugin_settings: Vec<PluginSetting>,
    /// Nets; the first three are L, N, PE.
    pub nets: Vec<Net>,
    /// Place of `[jig]`, `[supply]`, `[enclosure]` and of their keys, e.g. `supply.plug`.
    pub places: BTreeMap<String, Place>,
}

/// Where the tool is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Usage {
    /// Held in the hand.
    HandHeld,
    /// Stands on the bench.
    Bench,
    /// Fixed.
    Fixed,
}

/// The mains the jig hangs on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Supply {
    /// `None` for `system = "none"`: no mains at all.
    pub mains: Option<Mains>,
    /// The plug; `None` for hard-wired ("fixed") or no mains.
    pub plug: Option<Plug>,
    /// True for `plug = "fixed"`.
    pub fixed: bool,
    /// True for a probe: held in the hand, no plug and no cord. It may be put on the mains either way round.
    pub held: bool,
    /// The cord, when stated.
    pub cord: Option<Cord>,
    /// Branch breaker rating in amperes, when stated.
    pub breaker: Option<f64>,
    /// RCD rated residual current, amperes; `Some(None)` for an explicit "none".
    pub rcd: Option<Option<f64>>,
    /// What the RCD sees, when stated.
    pub rcd_type: Option<RcdKind>,
    /// How the supply is earthed; at its source where nothing is stated.
    pub earthing: Earthing,
    /// Fuse in the plug, amperes.
    pub plug_fuse: Option<f64>,
}

impl Jig {
    /// Whether its metal must be on the protective earth: a tool on the mains that is stated as class I, or has a metal box
    /// and no stated class.
    pub(crate) fn is_class_one(&self) -> bool {
        let Enclosure { class, material, .. } = &self.enclosure;
        let stated = *class == Some(Class::I);
        self.supply.mains.is_some() && (stated || (class.is_none() && *material == Some(Material::Metal)))
    }
}

impl Supply {
    /// Whether the plug goes in either way round, so that it is open which pin is live.
    pub(crate) fn reversible(&self) -> bool {
        self.held || self.plug.as_ref().is_some_and(|plug| !plug.line_pin_assured)
    }
}

/// The cord.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cord {
    /// Conductor area, square metres.
    pub area: Option<f64>,
    /// Length, metres.
    pub length: Option<f64>,
    /// Number of cores.
    pub cores: Option<u32>,
    /// Strain relief.
    pub strain_relief: Option<bool>,
}

/// The box.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Enclosure {
    /// Material, when stated.
    pub material: Option<Material>,
    /// Class, when stated.
    pub class: Option<Class>,
    /// Outside size in metres, when stated.
    pub size: Option<[f64; 3]>,
    /// Outside of a metal box, when stated: whether it is painted.
    pub painted: Option<bool>,
    /// Openings low in it, and as much high in it, square metres, when stated.
    pub vents: Option<f64>,
    /// Opens with a tool or by hand, when stated.
    pub opens_with: Option<OpensWith>,
}

impl Enclosure {
    /// A box of known size that keeps heat in. Metal of unstated finish is taken for painted; `bare` says otherwise.
    pub(crate) fn shell(&self, bare: bool) -> Option<Shell> {
        let finish = match self.material? {
            Material::Open => return None,
            Material::Insulating => Finish::Plastic,
            Material::Metal if bare || self.painted == Some(false) => Finish::Bare,
            Material::Metal => Finish::Painted,
        };
        Some(Shell { size: self.size?, finish, vents: self.vents.unwrap_or(0.0) })
    }
}

/// Box material.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Material {
    /// Insulating.
    Insulating,
    /// Metal.
    Metal,
    /// No box.
    Open,
}

/// Class of protection against electric shock (IEC 61140).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Class {
    /// Protective earth.
    I,
    /// Double or reinforced insulation.
    II,
    /// Extra-low voltage.
    III,
}

/// What it takes to open the box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum OpensWith {
    /// A tool.
    Tool,
    /// A hand.
    Hand,
}

/// One part.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    /// Name, e.g. `R1`.
    pub name: String,
    /// Place of its header.
    pub place: Place,
    /// Place of each key that was written.
    pub places: BTreeMap<String, Place>,
    /// What it is.
    pub kind: PartKind,
}

impl Part {
    /// Whether a key is written.
    pub(crate) fn states(&self, key: &str) -> bool {
        self.places.contains_key(key)
    }

    /// Place of a key, or of the part's header when the key is not written.
    pub(crate) fn place_of(&self, key: &str) -> Place {
        self.places.get(key).copied().unwrap_or(self.place)
    }
}

/// Stated insulation between two groups of nets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Insulation {
    /// The two sides.
    pub between: [Side; 2],
    /// Grade.
    pub grade: Grade,
    /// Clearance, metres.
    pub clearance: Option<f64>,
    /// Creepage, metres.
    pub creepage: Option<f64>,
    /// Place of its header.
    pub place: Place,
}

/// Something fingers can reach.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Touchable {
    /// Its name.
    pub name: String,
    /// The net it is part of.
    pub net: NetId,
    /// Place of its header.
    pub place: Place,
}

/// Where a meter can reach.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    /// Its name.
    pub name: String,
    /// The net that is reached there.
    pub net: NetId,
}

/// Where the thing under test goes on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outlet {
    /// Its name.
    pub name: String,
    /// Its two terminals.
    pub across: Ends,
    /// The net of its earth contact, when stated.
    pub earth: Option<NetId>,
    /// What may be plugged in; never empty (open when the file gives none).
    pub loads: Vec<OutletLoad>,
    /// Place of its header.
    pub place: Place,
}

/// An accepted finding.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Accept {
    /// Check name.
    pub check: String,
    /// Part it is limited to, when stated.
    pub part: Option<String>,
    /// Reason.
    pub reason: String,
    /// By whom.
    pub by: String,
    /// ISO date after which it lapses.
    pub until: String,
    /// Place of its header.
    pub place: Place,
}

/// One key of a `[plugin.ID]` table: what it means is declared by the plugin.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PluginSetting {
    /// Id of the plugin.
    pub plugin: String,
    /// Name of the setting.
    pub name: String,
    /// Its value: a text, number or flag.
    pub value: toml::Value,
    /// Where it stands.
    pub place: Place,
}

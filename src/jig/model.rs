//! What a jig file means: parts, nets, insulation, with the place of everything kept. SI base units.
//! Net 0 is `L`, net 1 is `N`, net 2 is `PE`, whether the file mentions them or not.

use std::collections::BTreeMap;

pub use crate::standard::{Arrangement, CapClass, Grade, Mains, Plug};

/// Index into [`Jig::nets`].
pub type NetId = usize;
/// The plug's L pin as wired.
pub const NET_L: NetId = 0;
/// The plug's N pin as wired.
pub const NET_N: NetId = 1;
/// The protective earth pin.
pub const NET_PE: NetId = 2;

/// Line and column in the jig file, counted from 1 (columns in characters).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place {
    /// Line.
    pub line: u32,
    /// Column.
    pub column: u32,
}

/// A whole jig.
#[derive(Debug, Clone)]
pub struct Jig {
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
pub enum Usage {
    /// Held in the hand.
    HandHeld,
    /// Stands on the bench.
    Bench,
    /// Fixed.
    Fixed,
}

/// A net.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Net {
    /// Its name.
    pub name: String,
    /// First mention (1:1 for L, N, PE never mentioned).
    pub place: Place,
    /// Ends of parts, outlets and touchables that name it.
    pub ends: usize,
}

/// The mains the jig hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// `None` for `system = "none"`: no mains at all.
    pub mains: Option<Mains>,
    /// The plug; `None` for hard-wired ("fixed") or no mains.
    pub plug: Option<Plug>,
    /// True for `plug = "fixed"`.
    pub fixed: bool,
    /// The cord, when stated.
    pub cord: Option<Cord>,
    /// Branch breaker rating in amperes, when stated.
    pub breaker: Option<f64>,
    /// RCD rated residual current, amperes; `Some(None)` for an explicit "none".
    pub rcd: Option<Option<f64>>,
    /// Fuse in the plug, amperes.
    pub plug_fuse: Option<f64>,
}

/// The cord.
#[derive(Debug, Clone, PartialEq)]
pub struct Cord {
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
pub struct Enclosure {
    /// Material, when stated.
    pub material: Option<Material>,
    /// Class, when stated.
    pub class: Option<Class>,
    /// Outside size in metres, when stated.
    pub size: Option<[f64; 3]>,
    /// Opens with a tool or by hand, when stated.
    pub opens_with: Option<OpensWith>,
}

/// Box material.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Material {
    /// Insulating.
    Insulating,
    /// Metal.
    Metal,
    /// No box.
    Open,
}

/// Class of protection against electric shock (IEC 61140).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Protective earth.
    I,
    /// Double or reinforced insulation.
    II,
    /// Extra-low voltage.
    III,
}

/// What it takes to open the box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpensWith {
    /// A tool.
    Tool,
    /// A hand.
    Hand,
}

/// One part.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
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
    /// Place of a key, or of the part's header when the key is not written.
    pub fn place_of(&self, key: &str) -> Place {
        self.places.get(key).copied().unwrap_or(self.place)
    }
}

/// Two ends of a part.
pub type Ends = [NetId; 2];

/// Kinds of part with what the file says of them. `Option` = not written. SI base units; fractions, not per cent;
/// temperatures in degrees Celsius.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum PartKind {
    Resistor {
        across: Ends,
        resistance: f64,
        tolerance: Option<f64>,
        power: Option<f64>,
        voltage: Option<f64>,
        flameproof: bool,
        fusible: bool,
    },
    Capacitor {
        across: Ends,
        capacitance: f64,
        tolerance: Option<f64>,
        voltage: Option<f64>,
        class: Option<CapClass>,
        polarised: bool,
        dc_voltage: Option<f64>,
        charged: Option<f64>,
    },
    Inductor {
        across: Ends,
        inductance: f64,
        resistance: f64,
        current: Option<f64>,
    },
    Winding {
        across: Ends,
        inductance: f64,
        resistance: f64,
        current: Option<f64>,
        temperature_class: Option<String>,
    },
    Diode {
        across: Ends,
        forward: Option<f64>,
        slope: Option<f64>,
        voltage: Option<f64>,
        current: Option<f64>,
        surge: Option<f64>,
    },
    Led {
        across: Ends,
        forward: f64,
        slope: Option<f64>,
        current: Option<f64>,
        peak_current: Option<f64>,
        reverse: Option<f64>,
        series: u32,
    },
    Suppressor {
        across: Ends,
        breakdown: f64,
        power: Option<f64>,
        bidirectional: bool,
    },
    Bridge {
        ac: Ends,
        plus: NetId,
        minus: NetId,
        forward: Option<f64>,
        slope: Option<f64>,
        voltage: Option<f64>,
        current: Option<f64>,
        surge: Option<f64>,
    },
    Neon {
        across: Ends,
        lamp_type: Option<String>,
        strike: f64,
        strike_max: Option<f64>,
        maintain: f64,
        slope: Option<f64>,
        current: Option<f64>,
        max_current: Option<f64>,
    },
    Filament {
        across: Ends,
        volts: f64,
        power: f64,
        cold_ratio: Option<f64>,
    },
    Fuse {
        across: Ends,
        current: f64,
        speed: Option<String>,
        voltage: Option<f64>,
        breaking: Option<f64>,
    },
    ThermalFuse {
        across: Ends,
        temperature: f64,
        current: Option<f64>,
        voltage: Option<f64>,
    },
    Switch {
        contacts: SwitchContacts,
        voltage: Option<f64>,
        current: Option<f64>,
    },
    Varistor {
        across: Ends,
        voltage: f64,
        energy: Option<f64>,
    },
    Thermistor {
        across: Ends,
        cold: f64,
        hot: Option<f64>,
        current: Option<f64>,
    },
    Transformer {
        primary: Winding,
        secondaries: Vec<Winding>,
        power: Option<f64>,
        insulation: Option<Grade>,
        capacitance: Option<f64>,
        inductance: Option<f64>,
    },
    Psu {
        input: Ends,
        output: Ends,
        volts: Option<f64>,
        current: Option<f64>,
        power: Option<f64>,
        selv: bool,
    },
    Load {
        across: Ends,
        power: Option<f64>,
        resistance: Option<f64>,
        power_factor: Option<f64>,
    },
    Wire {
        across: Ends,
        area: Option<f64>,
        colour: Option<String>,
        voltage: Option<f64>,
        length: Option<f64>,
        temperature: Option<f64>,
        screened: bool,
    },
    Socket {
        nets: Vec<NetId>,
        socket_type: Option<String>,
        shrouded: Option<bool>,
        exposed_pins: Option<bool>,
    },
}

impl PartKind {
    /// The word used for `kind` in the file.
    pub fn word(&self) -> &'static str {
        match self {
            PartKind::Resistor { .. } => "resistor",
            PartKind::Capacitor { .. } => "capacitor",
            PartKind::Inductor { .. } => "inductor",
            PartKind::Winding { .. } => "winding",
            PartKind::Diode { .. } => "diode",
            PartKind::Led { .. } => "led",
            PartKind::Suppressor { .. } => "suppressor",
            PartKind::Bridge { .. } => "bridge",
            PartKind::Neon { .. } => "neon-lamp",
            PartKind::Filament { .. } => "filament-lamp",
            PartKind::Fuse { .. } => "fuse",
            PartKind::ThermalFuse { .. } => "thermal-fuse",
            PartKind::Switch { .. } => "switch",
            PartKind::Varistor { .. } => "varistor",
            PartKind::Thermistor { .. } => "thermistor",
            PartKind::Transformer { .. } => "transformer",
            PartKind::Psu { .. } => "psu",
            PartKind::Load { .. } => "load",
            PartKind::Wire { .. } => "wire",
            PartKind::Socket { .. } => "socket",
        }
    }
}

/// A transformer winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// Its name in reports: `primary`, `secondary`, `secondary2` ...
    pub name: String,
    /// Its ends.
    pub across: Ends,
    /// Rated volts r.m.s.
    pub volts: f64,
}

/// Contacts of a switch.
#[derive(Debug, Clone, PartialEq)]
pub enum SwitchContacts {
    /// Ganged poles: all closed (on) or all open (off).
    Poles(Vec<Ends>),
    /// Named positions in file order, each with the contacts closed in it.
    Positions(Vec<(String, Vec<Ends>)>),
}

/// Stated insulation between two groups of nets.
#[derive(Debug, Clone, PartialEq)]
pub struct Insulation {
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

/// One side of an insulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// `"mains"`: every net conductively joined to L or N in any switch position.
    Mains,
    /// One net.
    Net(NetId),
}

/// Something fingers can reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Touchable {
    /// Its name.
    pub name: String,
    /// The net it is part of.
    pub net: NetId,
    /// Place of its header.
    pub place: Place,
}

/// Where the thing under test goes on.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    /// Its name.
    pub name: String,
    /// Its two terminals.
    pub across: Ends,
    /// What may be plugged in; never empty (open when the file gives none).
    pub loads: Vec<OutletLoad>,
    /// Place of its header.
    pub place: Place,
}

/// One load of an outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletLoad {
    /// As written in the file.
    pub label: String,
    /// What it is.
    pub kind: LoadKind,
}

/// Kinds of load on an outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadKind {
    /// Nothing plugged in.
    Open,
    /// A dead short.
    Short,
    /// Takes this many watts at the supply's nominal volts.
    Power(f64),
    /// Ohms.
    Resistance(f64),
    /// Farads, charged to volts beforehand.
    Charged(f64, f64),
}

/// An accepted finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Accept {
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
pub struct PluginSetting {
    /// Id of the plugin.
    pub plugin: String,
    /// Name of the setting.
    pub name: String,
    /// Its value: a text, number or flag.
    pub value: toml::Value,
    /// Where it stands.
    pub place: Place,
}

//! A whole tool as data.

/// What a part is, with its values and ratings in SI units. Volts of mains parts are r.m.s.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    Resistor {
        ohms: f64,
        percent: f64,
        watts: f64,
        volts: f64,
    },
    Capacitor {
        farads: f64,
        percent: f64,
        volts: f64,
        class: Option<&'static str>,
        polarised: bool,
    },
    Diode {
        forward: f64,
        slope: f64,
        volts: f64,
        amps: f64,
        surge: f64,
    },
    Led {
        forward: f64,
        slope: f64,
        amps: f64,
        peak: f64,
        reverse: f64,
    },
    /// Ends: two of the a.c. side, plus, minus.
    Bridge {
        forward: f64,
        slope: f64,
        volts: f64,
        amps: f64,
        surge: f64,
    },
    Neon {
        strike: f64,
        strike_max: f64,
        maintain: f64,
        slope: f64,
        amps: f64,
        max: f64,
    },
    Filament {
        volts: f64,
        watts: f64,
    },
    Fuse {
        amps: f64,
        speed: &'static str,
        volts: f64,
        breaking: f64,
    },
    /// Ends: two of each pole.
    Switch {
        volts: f64,
        amps: f64,
    },
    Varistor {
        volts: f64,
    },
    Wire {
        area: f64,
        colour: &'static str,
    },
}

#[derive(Clone, Debug)]
pub struct Part {
    pub name: String,
    pub kind: Kind,
    pub ends: Vec<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    Functional,
    Basic,
    Supplementary,
    Double,
    Reinforced,
}

impl Grade {
    pub fn word(self) -> &'static str {
        match self {
            Grade::Functional => "functional",
            Grade::Basic => "basic",
            Grade::Supplementary => "supplementary",
            Grade::Double => "double",
            Grade::Reinforced => "reinforced",
        }
    }
}

#[derive(Clone, Debug)]
pub struct Insulation {
    pub from: String,
    pub to: String,
    pub grade: Grade,
}

#[derive(Clone, Debug)]
pub struct Touchable {
    pub name: String,
    pub net: String,
}

#[derive(Clone, Debug)]
pub struct Outlet {
    pub name: String,
    pub across: [String; 2],
    pub loads: Vec<Load>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    Open,
    Short,
    Watts(f64),
    Charged { farads: f64, volts: f64 },
}

/// The mains: volts r.m.s. at the ends of its band.
#[derive(Clone, Copy, Debug)]
pub struct Supply {
    /// How the file names it; none: by volts, frequency and tolerance.
    pub row: Option<&'static str>,
    pub volts: f64,
    pub low: f64,
    pub high: f64,
    pub hertz: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plug {
    pub letter: &'static str,
    pub turns: bool,
    pub earth: bool,
    pub plug_fuse: bool,
}

#[derive(Clone, Debug)]
pub struct Tool {
    pub topology: &'static str,
    /// None: a tool with no mains.
    pub supply: Option<Supply>,
    pub plug: Plug,
    pub cores: usize,
    pub relief: bool,
    pub tool_to_open: bool,
    pub metal: bool,
    pub class_one: bool,
    /// Millimetres.
    pub size: [f64; 3],
    pub rcd: bool,
    pub breaker: Option<f64>,
    pub parts: Vec<Part>,
    pub insulation: Vec<Insulation>,
    pub touchables: Vec<Touchable>,
    pub outlets: Vec<Outlet>,
}

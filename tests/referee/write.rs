//! The jig file of a tool.

use super::tool::{Kind, Load, Part, Tool};
use std::fmt::Write as _;

/// A number as short as it reads back exactly.
fn num(x: f64) -> String {
    let scaled = format!("{x}");
    if scaled.len() > 12 { format!("{x:e}") } else { scaled }
}

/// A value with a prefix of the trade.
pub fn si(x: f64, unit: &str) -> String {
    for (scale, prefix) in [(1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "u"), (1e-9, "n"), (1e-12, "p")] {
        if x >= scale * 0.999_999 {
            let short = (x / scale * 1e6).round() / 1e6;
            return format!("{} {prefix}{unit}", num(short));
        }
    }
    format!("{} {unit}", num(x))
}

fn ohms(x: f64) -> String {
    si(x, "Ω")
}

impl Part {
    fn keys(&self) -> (&'static str, Vec<(&'static str, String)>) {
        let q = |s: String| format!("\"{s}\"");
        let v = |x: f64| q(si(x, "V"));
        let a = |x: f64| q(si(x, "A"));
        match self.kind {
            Kind::Resistor { ohms: r, percent, watts, volts } => (
                "resistor",
                vec![
                    ("resistance", q(ohms(r))),
                    ("tolerance", q(format!("{percent} %"))),
                    ("power", q(si(watts, "W"))),
                    ("voltage", v(volts)),
                ],
            ),
            Kind::Capacitor { farads, percent, volts, class, polarised } => {
                let mut keys = vec![
                    ("capacitance", q(si(farads, "F"))),
                    ("tolerance", q(format!("{percent} %"))),
                    ("voltage", v(volts)),
                ];
                if let Some(class) = class {
                    keys.push(("class", q(class.into())));
                }
                if polarised {
                    keys.push(("polarised", "true".into()));
                }
                ("capacitor", keys)
            }
            Kind::Diode { forward, slope, volts, amps, surge } => (
                "diode",
                vec![
                    ("forward", v(forward)),
                    ("slope", q(ohms(slope))),
                    ("voltage", v(volts)),
                    ("current", a(amps)),
                    ("surge", a(surge)),
                ],
            ),
            Kind::Led { forward, slope, amps, peak, reverse } => (
                "led",
                vec![
                    ("forward", v(forward)),
                    ("slope", q(ohms(slope))),
                    ("current", a(amps)),
                    ("peak-current", a(peak)),
                    ("reverse", v(reverse)),
                ],
            ),
            Kind::Bridge { forward, slope, volts, amps, surge } => (
                "bridge",
                vec![
                    ("forward", v(forward)),
                    ("slope", q(ohms(slope))),
                    ("voltage", v(volts)),
                    ("current", a(amps)),
                    ("surge", a(surge)),
                ],
            ),
            Kind::Neon { strike, strike_max, maintain, slope, amps, max } => (
                "neon-lamp",
                vec![
                    ("strike", v(strike)),
                    ("strike-max", v(strike_max)),
                    ("maintain", v(maintain)),
                    ("slope", q(ohms(slope))),
                    ("current", a(amps)),
                    ("max-current", a(max)),
                ],
            ),
            Kind::Filament { volts, watts } => (
                "filament-lamp",
                vec![("volts", v(volts)), ("power", q(si(watts, "W"))), ("place", q("outside".into()))],
            ),
            Kind::Fuse { amps, speed, volts, breaking } => (
                "fuse",
                vec![
                    ("current", a(amps)),
                    ("speed", q(speed.into())),
                    ("voltage", v(volts)),
                    ("breaking", q(format!("{breaking} A"))),
                ],
            ),
            Kind::Switch { volts, amps } => ("switch", vec![("voltage", v(volts)), ("current", a(amps))]),
            Kind::Varistor { volts } => ("varistor", vec![("voltage", v(volts))]),
            Kind::Wire { area, colour } => (
                "wire",
                vec![
                    ("area", q(format!("{area} mm2"))),
                    ("length", q("0.2 m".into())),
                    ("colour", q(colour.into())),
                    ("voltage", q("300 V".into())),
                ],
            ),
        }
    }

    /// The keys that say where its ends go.
    fn places(&self) -> Vec<(&'static str, String)> {
        let e = &self.ends;
        match self.kind {
            Kind::Bridge { .. } => vec![
                ("ac", format!("[\"{}\", \"{}\"]", e[0], e[1])),
                ("plus", format!("\"{}\"", e[2])),
                ("minus", format!("\"{}\"", e[3])),
            ],
            Kind::Switch { .. } => {
                let poles: Vec<String> = e.chunks(2).map(|p| format!("[\"{}\", \"{}\"]", p[0], p[1])).collect();
                vec![("poles", format!("[{}]", poles.join(", ")))]
            }
            _ => vec![("across", format!("[\"{}\", \"{}\"]", e[0], e[1]))],
        }
    }
}

impl Load {
    fn word(self) -> String {
        match self {
            Load::Open => "open".into(),
            Load::Short => "short".into(),
            Load::Watts(w) => format!("{w} W"),
            Load::Charged { farads, volts } => format!("{} charged {}", si(farads, "F"), si(volts, "V")),
        }
    }
}

impl Tool {
    /// The jig file.
    pub fn text(&self) -> String {
        let mut t = String::from("format = 1\n");
        let _ = write!(t, "[jig]\nname = \"Random tool\"\nunit = \"none\"\nuse = \"bench\"\n[supply]\n");
        match self.supply {
            None => t += "system = \"none\"\n",
            Some(s) => {
                match s.row {
                    Some(row) => {
                        let _ = writeln!(t, "system = \"{row}\"");
                    }
                    None => {
                        let percent = ((s.high / s.volts - 1.0) * 1e4).round() / 1e2;
                        let _ = write!(
                            t,
                            "volts = \"{} V\"\nfrequency = \"{} Hz\"\ntolerance = \"{percent} %\"\n",
                            s.volts, s.hertz
                        );
                    }
                }
                let _ = writeln!(t, "plug = \"{}\"", self.plug.letter);
                if self.plug.plug_fuse {
                    t += "plug-fuse = \"3 A\"\n";
                }
                let area = if self.cores == 3 { 1.0 } else { 0.75 };
                let _ = writeln!(
                    t,
                    "cord = {{ area = \"{area} mm2\", length = \"2 m\", cores = {}, strain-relief = {} }}",
                    self.cores, self.relief
                );
                if self.rcd {
                    t += "rcd = \"30 mA\"\n";
                }
                if let Some(b) = self.breaker {
                    let _ = writeln!(t, "breaker = \"{b} A\"");
                }
            }
        }
        let _ = write!(
            t,
            "[enclosure]\nmaterial = \"{}\"\nclass = \"{}\"\nsize = [\"{} mm\", \"{} mm\", \"{} mm\"]\nopens-with = \"{}\"\n",
            if self.metal { "metal" } else { "insulating" },
            if self.class_one { "I" } else { "II" },
            self.size[0],
            self.size[1],
            self.size[2],
            if self.tool_to_open { "tool" } else { "hand" }
        );
        if self.metal {
            t += "finish = \"painted\"\n";
        }
        for part in &self.parts {
            let (kind, keys) = part.keys();
            let _ = write!(t, "[part.{}]\nkind = \"{kind}\"\n", part.name);
            for (key, value) in part.places().into_iter().chain(keys) {
                let _ = writeln!(t, "{key} = {value}");
            }
        }
        for o in &self.outlets {
            let loads: Vec<String> = o.loads.iter().map(|l| format!("\"{}\"", l.word())).collect();
            let _ = write!(
                t,
                "[[outlet]]\nname = \"{}\"\nacross = [\"{}\", \"{}\"]\nloads = [{}]\n",
                o.name,
                o.across[0],
                o.across[1],
                loads.join(", ")
            );
        }
        for i in &self.insulation {
            let _ = write!(
                t,
                "[[insulation]]\nbetween = [\"{}\", \"{}\"]\ngrade = \"{}\"\nclearance = \"8 mm\"\ncreepage = \"10 mm\"\n",
                i.from,
                i.to,
                i.grade.word()
            );
        }
        for touchable in &self.touchables {
            let _ = write!(t, "[[touchable]]\nname = \"{}\"\nnet = \"{}\"\n", touchable.name, touchable.net);
        }
        t
    }
}

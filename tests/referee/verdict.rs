//! The second road to the verdict: every limit by its published sentence, applied to what was played.

use super::circuit::Fault;
use super::play::{Played, Stress};
use super::plays::Plays;
use super::told::Signal;
use super::tool::{Kind, Tool};

/// What the report has to say, or not to say.
#[derive(Clone, Debug)]
pub struct Expect {
    /// Name of the limit, for the table of figures.
    pub class: &'static str,
    /// Any of these checks.
    pub checks: &'static [&'static str],
    /// Part or touchable; empty: whichever.
    pub subject: String,
    /// The mildest signal word that does; none: nothing of this may be said.
    pub least: Option<Signal>,
    /// The number and its limit.
    pub why: String,
}

/// Where nothing limits a lamp, its current goes without saying.
const CURRENT: &[&str] = &["lamp-current", "led-current", "no-limiting"];
/// Neither is right within this of a limit.
const BAND: f64 = 0.03;
/// A fuse carries its rating for ever: up to here nothing opens. IEC 60127-2: at 1.5 times it holds for an hour, UL 248-14: at
/// 1.0 times; from 2.75 times (IEC, half an hour at 2.1) it is sure to open.
const HOLDS: f64 = 1.0;
const SURELY_OPENS: f64 = 4.0;
/// A residual-current device of 30 mA may open from half of it on (IEC 61008-1); here a little less.
const RCD_HOLDS: f64 = 0.01;

pub struct Judge<'a> {
    pub tool: &'a Tool,
    pub plays: &'a Plays,
    pub out: Vec<Expect>,
}

impl Judge<'_> {
    pub fn must(
        &mut self,
        class: &'static str,
        checks: &'static [&'static str],
        subject: &str,
        least: Signal,
        why: String,
    ) {
        self.out.push(Expect { class, checks, subject: subject.into(), least: Some(least), why });
    }
    pub fn silent(&mut self, class: &'static str, checks: &'static [&'static str], subject: &str, why: String) {
        self.out.push(Expect { class, checks, subject: subject.into(), least: None, why });
    }

    fn over_of(p: &Played) -> f64 {
        p.over
    }

    /// The worst of part `k` over normal use, over faults that surely last, and over all that may last; its own failure
    /// is not its stress.
    fn worst(&self, k: usize) -> [Stress; 3] {
        let mut three = [Stress::default(); 3];
        for p in &self.plays.normal {
            three[0].join(&p.parts[k]);
        }
        for p in &self.plays.faults {
            let own = matches!(p.fault, Fault::Open(f) | Fault::Short(f) if f == k);
            if !own && Self::over_of(p) < HOLDS && !(self.tool.rcd && p.earth > RCD_HOLDS) {
                three[1].join(&p.parts[k]);
            }
            if Self::over_of(p) < SURELY_OPENS {
                three[2].join(&p.parts[k]);
            }
        }
        three
    }

    /// Must and must not by a limit in normal use.
    pub fn normal_limit(
        &mut self,
        class: &'static str,
        checks: &'static [&'static str],
        subject: &str,
        got: f64,
        limit: f64,
        least: Signal,
    ) {
        self.limit(class, [checks; 2], subject, got, limit, least);
    }

    /// The same where one check may tell it and another is the one that must be silent.
    fn limit(
        &mut self,
        class: &'static str,
        [told, checks]: [&'static [&'static str]; 2],
        subject: &str,
        got: f64,
        limit: f64,
        least: Signal,
    ) {
        if got > limit * (1.0 + BAND) {
            self.must(class, told, subject, least, format!("{got:.4e} > {limit:.4e}"));
        } else if got < limit * (1.0 - BAND) {
            self.silent(class, checks, subject, format!("{got:.4e} < {limit:.4e}"));
        }
    }

    fn resistor(&mut self, k: usize, watts: f64, volts: f64, warm: [f64; 2]) {
        let tool = self.tool;
        let name = &tool.parts[k].name;
        let [normal, fault, maybe] = self.worst(k);
        // Film: full up to 70 °C, none at 155 °C.
        let derate = |t: f64| ((155.0 - t) / 85.0).clamp(0.0, 1.0);
        let (rated, rated_hot) = (watts * derate(warm[0]), watts * derate(warm[1]));
        const POWER: &[&str] = &["resistor-power", "smoulder"];
        let why = |w: f64, limit: f64| format!("{w:.4e} W against {limit:.4e} W");
        if normal.watts > rated * (1.0 + BAND) {
            self.must("resistor power", POWER, name, Signal::Warning, why(normal.watts, rated));
        } else if normal.watts > 0.5 * rated * (1.0 + BAND) {
            self.must("resistor power, half", POWER, name, Signal::Caution, why(normal.watts, 0.5 * rated));
        }
        // Far over the rating of a part not built to fail cold: fire, whatever else is told of it.
        let worst = normal.watts.max(fault.watts);
        if worst > 5.0 * rated * (1.0 + BAND) {
            self.must("resistor power, fire", POWER, name, Signal::Danger, why(worst, 5.0 * rated));
        } else if normal.watts > 0.5 * rated * (1.0 + BAND) {
        } else if fault.watts > rated * (1.0 + BAND) {
            self.must("resistor power, fault", POWER, name, Signal::Notice, why(fault.watts, rated));
        } else if normal.watts < 0.5 * rated * (1.0 - BAND) && maybe.watts < rated_hot * (1.0 - BAND) {
            self.silent("resistor power", POWER, name, why(normal.watts.max(maybe.watts), rated));
        }
        const VOLTS: &[&str] = &["resistor-voltage"];
        let why = |v: f64| format!("{v:.4e} V against {volts} V");
        if normal.v_rms > volts * (1.0 + BAND) {
            self.must("resistor volts", VOLTS, name, Signal::Warning, why(normal.v_rms));
        } else if fault.v_rms > volts * (1.0 + BAND) {
            self.must("resistor volts, fault", VOLTS, name, Signal::Notice, why(fault.v_rms));
        } else if normal.v_rms.max(maybe.v_rms) < volts * (1.0 - BAND) {
            self.silent("resistor volts", VOLTS, name, why(normal.v_rms.max(maybe.v_rms)));
        }
    }

    /// Air in the box after the makers' rule: 40 °C and W / (k · A), k 3.5 of plastic and 5.5 of painted metal, the underside
    /// left out; for normal use, and the most of any fault.
    fn warm(&self) -> [f64; 2] {
        let [a, b, c] = self.tool.size.map(|mm| mm / 1e3);
        let area = 2.0 * (a * b + b * c + a * c) * 0.8;
        let k = if self.tool.metal { 5.5 } else { 3.5 };
        if self.plays.normal.iter().any(|p| p.over > 1.0) {
            return [40.0; 2];
        }
        let heat = |list: &[Played]| list.iter().map(|p| p.heat).fold(0.0, f64::max);
        [heat(&self.plays.normal), heat(&self.plays.faults)].map(|w| 40.0 + w / (k * area))
    }

    /// Next to no impedance: one that lets five times the highest current through (published for films that glow), as built
    /// or with one resistor or capacitor shorted while no fuse is sure to end it.
    fn limiting(&mut self, k: usize, times: impl Fn(&Stress) -> [f64; 2]) {
        let tool = self.tool;
        let limits = |p: &Played| match p.fault {
            Fault::None => true,
            Fault::Short(f) => matches!(tool.parts[f].kind, Kind::Resistor { .. } | Kind::Capacitor { .. }),
            _ => false,
        };
        let (mut surely, mut perhaps) = (0.0f64, 0.0f64);
        for p in self.plays.normal.iter().chain(&self.plays.faults).filter(|p| limits(p)) {
            let [a, b] = times(&p.parts[k]);
            if Self::over_of(p) < HOLDS {
                surely = surely.max(a.min(b));
            }
            perhaps = perhaps.max(a.max(b));
        }
        let name = &tool.parts[k].name;
        if surely > 5.0 * (1.0 + BAND) {
            self.must("limiting", &["no-limiting"], name, Signal::Warning, format!("{surely:.1} times its current"));
        } else if perhaps < 5.0 * (1.0 - BAND) {
            self.silent("limiting", &["no-limiting"], name, format!("{perhaps:.1} times its current at most"));
        }
    }

    pub fn parts(&mut self) {
        let tool = self.tool;
        let warm = self.warm();
        let worst = |list: &[Played], k: usize| {
            let mut s = Stress::default();
            for p in list {
                s.join(&p.parts[k]);
            }
            s
        };
        let nominal_volts = tool.supply.map_or(0.0, |s| s.volts);
        for (k, part) in tool.parts.iter().enumerate() {
            let name = part.name.as_str();
            let normal = worst(&self.plays.normal, k);
            let nominal = worst(&self.plays.nominal, k);
            match part.kind {
                Kind::Resistor { watts, volts, .. } => self.resistor(k, watts, volts, warm),
                Kind::Neon { max, .. } => {
                    self.limit("lamp current", [CURRENT, &["lamp-current"]], name, normal.i_rms, max, Signal::Notice);
                    self.limiting(k, |s| [s.i_rms / max; 2]);
                }
                Kind::Led { amps, peak, reverse, .. } => {
                    if warm[0] < 49.0 {
                        let over = (normal.i_forward_mean / amps).max(normal.i_forward_peak / peak);
                        self.limit("LED current", [CURRENT, &["led-current"]], name, over, 1.0, Signal::Notice);
                    }
                    self.limiting(k, |s| [s.i_forward_mean / amps, s.i_forward_peak / peak]);
                    let helped =
                        tool.parts.iter().any(|p| matches!(p.kind, Kind::Diode { .. }) && p.ends[0] != part.ends[1]);
                    if !helped {
                        self.normal_limit(
                            "LED reverse",
                            &["led-reverse"],
                            name,
                            normal.v_reverse,
                            reverse,
                            Signal::Notice,
                        );
                    }
                }
                Kind::Diode { volts, .. } | Kind::Bridge { volts, .. } => {
                    let got = normal.v_reverse;
                    if got > volts * (1.0 + BAND) {
                        self.must(
                            "diode reverse",
                            &["diode-reverse"],
                            name,
                            Signal::Warning,
                            format!("{got:.1} V against {volts} V"),
                        );
                    }
                }
                Kind::Capacitor { volts, class: Some(_), .. } => {
                    self.normal_limit(
                        "capacitor volts",
                        &["capacitor-voltage"],
                        name,
                        nominal.v_rms,
                        volts,
                        Signal::Warning,
                    );
                }
                Kind::Capacitor { volts, polarised: true, .. } => {
                    let faults = self.worst(k)[2].v_peak;
                    if normal.v_peak > volts * (1.0 + BAND) || faults < volts * (1.0 - BAND) {
                        self.normal_limit(
                            "capacitor volts",
                            &["capacitor-voltage"],
                            name,
                            normal.v_peak,
                            volts,
                            Signal::Warning,
                        );
                    }
                }
                Kind::Fuse { amps, volts, .. } => {
                    self.normal_limit(
                        "fuse current",
                        &["fuse-rating", "opens-in-use"],
                        name,
                        nominal.i_rms,
                        amps,
                        Signal::Caution,
                    );
                    self.normal_limit("fuse volts", &["fuse-voltage"], name, nominal_volts, volts, Signal::Warning);
                }
                Kind::Switch { volts, amps } => {
                    let over = (nominal.i_rms / amps).max(nominal_volts / volts);
                    self.normal_limit("switch", &["switch-rating"], name, over, 1.0, Signal::Warning);
                }
                Kind::Filament { volts, .. } => {
                    self.normal_limit(
                        "lamp volts",
                        &["lamp-voltage"],
                        name,
                        nominal.v_rms,
                        1.1 * volts,
                        Signal::Caution,
                    );
                }
                _ => {}
            }
        }
        let warmest = warm[0];
        if warmest > 70.0 * (1.0 + BAND) {
            self.must("box", &["box-temperature"], "", Signal::Caution, format!("{warmest:.0} °C in use"));
        } else if warm[1].max(warmest) < 70.0 * (1.0 - BAND) {
            self.silent("box", &["box-temperature"], "", format!("{:.0} °C", warm[1].max(warmest)));
        }
    }
}

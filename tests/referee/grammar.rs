//! Random whole tools: a grammar of what people build, with right and wrong values.

use super::dice::Dice;
use super::tool::{Grade, Insulation, Kind, Part, Plug, Supply, Tool, Touchable};

/// Bands: EN 50160 (230 V), ANSI C84.1 Range A (120 V), the Japanese ordinance (100 V), the British band before 1995 (240 V);
/// otherwise stated in the file.
const SUPPLIES: [Supply; 8] = [
    Supply { row: Some("230 V 50 Hz"), volts: 230.0, low: 207.0, high: 253.0, hertz: 50.0 },
    Supply { row: Some("230 V 50 Hz"), volts: 230.0, low: 207.0, high: 253.0, hertz: 50.0 },
    Supply { row: Some("120 V 60 Hz"), volts: 120.0, low: 108.0, high: 126.0, hertz: 60.0 },
    Supply { row: Some("120 V 60 Hz"), volts: 120.0, low: 108.0, high: 126.0, hertz: 60.0 },
    Supply { row: Some("100 V 50 Hz"), volts: 100.0, low: 95.0, high: 107.0, hertz: 50.0 },
    Supply { row: Some("240 V 50 Hz"), volts: 240.0, low: 225.6, high: 254.4, hertz: 50.0 },
    Supply { row: None, volts: 220.0, low: 209.0, high: 231.0, hertz: 60.0 },
    Supply { row: None, volts: 110.0, low: 99.0, high: 121.0, hertz: 50.0 },
];

const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];

/// A preferred value near `x`.
pub fn preferred(x: f64) -> f64 {
    let decade = 10f64.powf(x.log10().floor());
    let best = E12
        .iter()
        .chain(&[10.0])
        .copied()
        .min_by(|a, b| (a * decade / x).ln().abs().total_cmp(&(b * decade / x).ln().abs()));
    let value = best.unwrap_or(1.0) * decade;
    // Back to what is printed on it.
    format!("{value:.6e}").parse().unwrap_or(value)
}

/// A tool being put together.
pub struct Bench<'d> {
    pub dice: &'d mut Dice,
    pub tool: Tool,
    pub volts: f64,
}

impl Bench<'_> {
    pub fn part(&mut self, name: &str, kind: Kind, ends: &[&str]) {
        let ends = ends.iter().map(ToString::to_string).collect();
        self.tool.parts.push(Part { name: name.into(), kind, ends });
    }

    /// A resistor for about `ohms` and the watts and volts it is expected to take, rated right or wrong.
    pub fn resistor(&mut self, name: &str, ohms: f64, volts: f64, ends: [&str; 2]) {
        let ohms = preferred(ohms);
        let watts = volts * volts / ohms;
        let factor = self.dice.pick(&[0.4, 0.9, 1.4, 3.0, 3.0, 5.0, 8.0, 20.0]);
        let sizes = [0.125, 0.25, 0.4, 0.5, 0.6, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 25.0];
        let rated = sizes.iter().copied().find(|w| *w >= watts * factor).unwrap_or(50.0);
        let element = self.dice.pick(&[150.0, 200.0, 250.0, 350.0, 350.0, 500.0, 500.0, 750.0]);
        let percent = self.dice.pick(&[1.0, 5.0, 5.0, 10.0]);
        self.part(name, Kind::Resistor { ohms, percent, watts: rated, volts: element }, &ends);
    }

    pub fn fuse(&mut self, name: &str, amps: f64, ends: [&str; 2]) {
        let speed = self.dice.pick(&["F", "T"]);
        let volts = if self.dice.below(10) == 0 { self.dice.pick(&[32.0, 125.0]) } else { 250.0 };
        let breaking = if self.dice.below(10) == 0 { 35.0 } else { 1500.0 };
        self.part(name, Kind::Fuse { amps, speed, volts, breaking }, &ends);
    }

    /// Fuses and switch behind the plug; the nets the rest hangs on.
    pub fn front(&mut self, amps: f64) -> (String, String) {
        let ratings = [0.032, 0.05, 0.1, 0.2, 0.315, 0.5, 1.0, 2.0, 3.15, 5.0];
        let wanted = amps * self.dice.pick(&[0.5, 1.5, 2.0, 4.0, 8.0]);
        let rated = ratings.iter().copied().find(|r| *r >= wanted).unwrap_or(6.3);
        let (mut l, mut n) = ("L".to_string(), "N".to_string());
        let fuses = self.dice.pick(&[0, 1, 1, 2, 2, 2, 3]);
        let switch = self.dice.pick(&[0, 0, 1, 2, 2, 3]);
        let before = self.dice.below(8) == 0;
        let steps = if before { [1, 0] } else { [0, 1] };
        for step in steps {
            if step == 0 {
                if fuses == 1 || fuses == 2 {
                    self.fuse("F1", rated, [&l, "FL"]);
                    l = "FL".into();
                }
                if fuses >= 2 {
                    self.fuse("F2", rated, [&n, "FN"]);
                    n = "FN".into();
                }
            } else if switch > 0 {
                let mut ends: Vec<String> = Vec::new();
                if switch != 3 {
                    ends.extend([l.clone(), "SL".into()]);
                    l = "SL".into();
                }
                if switch >= 2 {
                    ends.extend([n.clone(), "SN".into()]);
                    n = "SN".into();
                }
                let volts = if self.dice.below(8) == 0 { 48.0 } else { 250.0 };
                let rating = self.dice.pick(&[0.05, 1.0, 3.0, 10.0]);
                let ends: Vec<&str> = ends.iter().map(String::as_str).collect();
                self.part("SW1", Kind::Switch { volts, amps: rating }, &ends);
            }
        }
        (l, n)
    }

    pub fn led(&mut self) -> Kind {
        let forward = self.dice.pick(&[1.8, 2.0, 3.1]);
        let amps = self.dice.pick(&[0.005, 0.02, 0.02, 0.03]);
        Kind::Led { forward, slope: 15.0, amps, peak: amps * self.dice.pick(&[2.0, 3.0, 5.0]), reverse: 5.0 }
    }

    pub fn diode(&mut self) -> Kind {
        let volts = self.dice.pick(&[50.0, 200.0, 400.0, 1000.0, 1000.0]);
        Kind::Diode { forward: 0.7, slope: 0.1, volts, amps: 1.0, surge: 30.0 }
    }

    /// A lamp that needs a dropper, between `a` and `b`; the amperes it is made for and the volts it takes.
    pub fn lamp(&mut self, a: &str, b: &str) -> (f64, f64) {
        match self.dice.below(7) {
            0..=2 => {
                let maintain = self.dice.pick(&[55.0, 60.0, 65.0]);
                let strike = maintain + self.dice.pick(&[15.0, 20.0, 25.0]);
                let amps = self.dice.pick(&[0.0005, 0.0007, 0.0015]);
                let kind = Kind::Neon { strike, strike_max: strike + 5.0, maintain, slope: 3e3, amps, max: 2.0 * amps };
                self.part("LP1", kind, &[a, b]);
                (amps, maintain)
            }
            3 => {
                let led = self.led();
                let diode = self.diode();
                let Kind::Led { amps, .. } = led else { return (0.01, 2.0) };
                self.part("LED1", led, &[a, b]);
                self.part("D1", diode, &[b, a]);
                (amps * 1.5, 2.0)
            }
            4 => {
                let led = self.led();
                let Kind::Led { amps, .. } = led else { return (0.01, 2.0) };
                let other = self.led();
                self.part("LED1", led, &[a, b]);
                self.part("LED2", other, &[b, a]);
                (amps * 1.5, 2.0)
            }
            5 => {
                let led = self.led();
                let Kind::Led { amps, .. } = led else { return (0.01, 2.0) };
                let volts = self.dice.pick(&[100.0, 400.0, 1000.0]);
                self.part(
                    "BR1",
                    Kind::Bridge { forward: 0.7, slope: 0.1, volts, amps: 1.0, surge: 30.0 },
                    &[a, b, "BP", "BM"],
                );
                self.part("LED1", led, &["BP", "BM"]);
                (amps * 0.9, 3.0)
            }
            _ => {
                let led = self.led();
                let Kind::Led { amps, .. } = led else { return (0.01, 2.0) };
                self.part("LED1", led, &[a, b]);
                (amps * 1.5, 2.0)
            }
        }
    }

    /// The box, what fingers reach, and what keeps it from the mains.
    fn shell(&mut self) {
        self.tool.class_one = self.tool.plug.earth && self.dice.below(3) > 0;
        if self.dice.below(12) == 0 {
            self.tool.class_one = !self.tool.class_one;
        }
        self.tool.cores = if self.tool.class_one && self.dice.below(12) > 0 { 3 } else { 2 };
        self.tool.relief = self.dice.below(10) > 0;
        self.tool.tool_to_open = self.dice.below(10) > 0;
        let grades = [
            None,
            Some(Grade::Functional),
            Some(Grade::Basic),
            Some(Grade::Basic),
            Some(Grade::Double),
            Some(Grade::Reinforced),
            Some(Grade::Reinforced),
        ];
        if self.tool.class_one {
            let bonded = self.dice.below(8) > 0;
            let net = "CASE";
            if bonded {
                let colour = if self.dice.below(8) == 0 { "blue" } else { "green-and-yellow" };
                self.part("W1", Kind::Wire { area: 1.0, colour }, &["PE", net]);
            }
            self.earth_on_case(net);
            self.insulated("case", net, &grades);
        } else if self.dice.below(3) > 0 {
            self.insulated("tube", "TUBE", &grades);
        }
        self.tool.size = if self.dice.below(5) == 0 { [80.0, 50.0, 40.0] } else { [300.0, 200.0, 150.0] };
        self.tool.rcd = self.dice.below(3) == 0;
    }

    /// Now and then a filter leads its noise to the case.
    fn earth_on_case(&mut self, net: &str) {
        let Some(line) = self.tool.parts.iter().find(|p| p.name == "C1").map(|p| p.ends.clone()) else { return };
        if self.tool.topology != "filter" || self.dice.below(2) == 0 {
            return;
        }
        let farads = self.dice.pick(&[1e-9, 2.2e-9, 4.7e-9, 10e-9, 47e-9, 100e-9]);
        for (name, end) in [("CY1", &line[0]), ("CY2", &line[1])] {
            let kind = Kind::Capacitor { farads, percent: 20.0, volts: 300.0, class: Some("Y2"), polarised: false };
            self.part(name, kind, &[end, net]);
        }
    }

    fn insulated(&mut self, name: &str, net: &str, grades: &[Option<Grade>]) {
        self.tool.touchables.push(Touchable { name: name.into(), net: net.into() });
        // The reader refuses a touchable that nothing else names.
        let named = self.tool.parts.iter().any(|p| p.ends.iter().any(|e| e == net));
        let grade = self.dice.pick(grades).or((!named).then_some(Grade::Functional));
        if let Some(grade) = grade {
            self.tool.insulation.push(Insulation { from: "mains".into(), to: net.into(), grade });
        }
    }
}

/// The tool of a seed.
pub fn tool(seed: u64) -> Tool {
    let mut dice = Dice::new(seed);
    let supply = dice.pick(&SUPPLIES);
    let low = supply.volts < 150.0;
    let plugs: &[Plug] = if low {
        &[
            Plug { letter: "A", turns: true, earth: false, plug_fuse: false },
            Plug { letter: "B", turns: false, earth: true, plug_fuse: false },
        ]
    } else {
        &[
            Plug { letter: "C", turns: true, earth: false, plug_fuse: false },
            Plug { letter: "F", turns: true, earth: true, plug_fuse: false },
            Plug { letter: "G", turns: false, earth: true, plug_fuse: true },
            Plug { letter: "I", turns: false, earth: true, plug_fuse: false },
        ]
    };
    let plug = dice.pick(plugs);
    let tool = Tool {
        topology: "",
        supply: Some(supply),
        plug,
        cores: 2,
        relief: true,
        tool_to_open: true,
        metal: false,
        class_one: false,
        size: [300.0, 200.0, 150.0],
        rcd: false,
        breaker: None,
        parts: Vec::new(),
        insulation: Vec::new(),
        touchables: Vec::new(),
        outlets: Vec::new(),
    };
    let mut bench = Bench { volts: supply.volts, dice: &mut dice, tool };
    bench.tool.topology = match bench.dice.below(40) {
        0..=20 => {
            bench.indicator();
            "indicator"
        }
        21 => {
            bench.capacitor_dropper();
            "capacitor dropper"
        }
        22..=25 => {
            bench.filter();
            "filter"
        }
        26..=29 => {
            bench.limiter();
            "limiter"
        }
        30..=35 => {
            bench.outlet();
            "outlet"
        }
        _ => {
            bench.touch_plate();
            "touch plate"
        }
    };
    bench.shell();
    bench.tool
}

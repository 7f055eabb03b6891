//! The tools themselves: what stands between the poles.

use super::grammar::{Bench, preferred};
use super::tool::{Kind, Load, Outlet, Touchable};

impl Bench<'_> {
    /// Lamp behind one to three resistors.
    pub fn indicator(&mut self) {
        let guess = 0.01;
        let (l, n) = self.front(guess);
        self.dropped_lamp(&l, &n, "");
    }

    pub fn dropped_lamp(&mut self, l: &str, n: &str, tag: &str) {
        let count = 1 + self.dice.below(3);
        let after = count > 1 && self.dice.below(2) == 0;
        let (amps, drop) = self.lamp("LA", "LB");
        let total = (self.volts - drop) / (amps * self.dice.pick(&[0.3, 0.7, 1.0, 1.0, 1.6, 4.0]));
        let before = if after { count - 1 } else { count };
        let mut at = l.to_string();
        for k in 0..before {
            let to = if k + 1 == before { "LA".to_string() } else { format!("R{tag}{}", k + 1) };
            let each = (self.volts - drop) / count as f64;
            self.resistor(&format!("R{tag}{}", k + 1), total / count as f64, each, [&at, &to]);
            at = to;
        }
        if after {
            let each = (self.volts - drop) / count as f64;
            self.resistor(&format!("R{tag}{count}"), total / count as f64, each, ["LB", n]);
        } else {
            for part in &mut self.tool.parts {
                for end in &mut part.ends {
                    if end == "LB" {
                        *end = n.to_string();
                    }
                }
            }
        }
    }

    /// LEDs behind a capacitor and a bridge.
    pub fn capacitor_dropper(&mut self) {
        let led = {
            let amps = self.dice.pick(&[0.02, 0.03]);
            let forward = self.dice.pick(&[6.2, 12.4, 31.0, 62.0]);
            Kind::Led { forward, slope: self.dice.pick(&[30.0, 60.0]), amps, peak: amps * 5.0, reverse: 100.0 }
        };
        let Kind::Led { forward, amps, .. } = led else { return };
        let (l, n) = self.front(amps * 2.0);
        let hertz = self.tool.supply.map_or(50.0, |s| s.hertz);
        let wanted = amps * self.dice.pick(&[0.3, 0.8, 1.5]) / 0.9;
        let farads = preferred(wanted / (std::f64::consts::TAU * hertz * (self.volts - forward).max(20.0)));
        let ohms = self.dice.pick(&[47.0, 100.0, 220.0, 470.0]);
        self.resistor("R1", ohms, ohms * wanted * 1.2, [&l, "C"]);
        let class = self.dice.pick(&[Some("X2"), Some("X2"), Some("X2"), None]);
        let volts = if class.is_some() { self.dice.pick(&[275.0, 310.0, 125.0]) } else { 400.0 };
        self.part("C1", Kind::Capacitor { farads, percent: 10.0, volts, class, polarised: false }, &["C", "AC"]);
        self.bleeder("C", "AC", farads);
        let volts = self.dice.pick(&[100.0, 600.0, 1000.0]);
        self.part(
            "BR1",
            Kind::Bridge { forward: 0.7, slope: 0.2, volts, amps: 1.0, surge: 30.0 },
            &["AC", &n, "BP", "BM"],
        );
        self.part("LED1", led, &["BP", "BM"]);
        if self.dice.below(3) == 0 {
            let farads = self.dice.pick(&[4.7e-6, 10e-6]);
            let volts = self.dice.pick(&[16.0, 63.0, 100.0]);
            self.part(
                "C2",
                Kind::Capacitor { farads, percent: 20.0, volts, class: None, polarised: true },
                &["BP", "BM"],
            );
        }
    }

    pub fn bleeder(&mut self, a: &str, b: &str, farads: f64) {
        let count = self.dice.pick(&[0, 1, 2, 2]);
        let seconds = self.dice.pick(&[0.1, 0.3, 0.6, 2.0, 8.0]);
        let ohms = seconds / farads / f64::from(count.max(1));
        let each = self.volts / f64::from(count.max(1));
        match count {
            1 => self.resistor("RB1", ohms, each, [a, b]),
            2 => {
                self.resistor("RB1", ohms, each, [a, "RBM"]);
                self.resistor("RB2", ohms, each, ["RBM", b]);
            }
            _ => {}
        }
    }

    /// Capacitor across the line with its bleeder, before or behind the switch.
    pub fn filter(&mut self) {
        let (l, n) = self.front(0.02);
        let farads = self.dice.pick(&[47e-9, 100e-9, 220e-9, 470e-9, 1e-6]);
        let class = self.dice.pick(&[Some("X2"), Some("X2"), Some("X1"), None]);
        let volts = self.dice.pick(&[275.0, 310.0, 125.0]);
        self.part("C1", Kind::Capacitor { farads, percent: 10.0, volts, class, polarised: false }, &[&l, &n]);
        self.bleeder(&l, &n, farads);
        if self.dice.below(2) == 0 {
            let volts = self.dice.pick(&[130.0, 150.0, 275.0, 300.0, 320.0]);
            self.part("MOV1", Kind::Varistor { volts }, &[&l, &n]);
        }
        if self.dice.below(2) == 0 {
            self.dropped_lamp(&l, &n, "P");
        }
    }

    /// A filament lamp in series with an outlet.
    pub fn limiter(&mut self) {
        let watts = self.dice.pick(&[25.0, 40.0, 60.0, 100.0]);
        let rated = if self.dice.below(6) == 0 { self.dice.pick(&[24.0, 120.0, 230.0]) } else { self.volts };
        let amps = watts / self.volts;
        let (l, n) = self.front(amps);
        self.part("LP9", Kind::Filament { volts: rated, watts }, &[&l, "OL"]);
        let mut loads = vec![Load::Open, Load::Short];
        if self.dice.below(2) == 0 {
            loads.push(Load::Watts(self.dice.pick(&[25.0, 60.0])));
        }
        self.tool.outlets.push(Outlet { name: "OUT".into(), across: ["OL".into(), n.clone()], loads });
        if self.dice.below(3) == 0 {
            self.dropped_lamp(&l, &n, "P");
        }
    }

    /// Fuses, switch, outlet, perhaps a pilot lamp and a varistor.
    pub fn outlet(&mut self) {
        let watts = self.dice.pick(&[40.0, 100.0, 250.0, 500.0]);
        let (l, n) = self.front(watts / self.volts);
        let loads = vec![Load::Open, Load::Watts(watts)];
        self.tool.outlets.push(Outlet { name: "OUT".into(), across: [l.clone(), n.clone()], loads });
        if self.dice.below(2) == 0 {
            self.dropped_lamp(&l, &n, "P");
        }
        // A jig has one part at the least.
        if self.dice.below(2) == 0 || self.tool.parts.is_empty() {
            let volts = self.dice.pick(&[130.0, 150.0, 275.0, 300.0]);
            self.part("MOV1", Kind::Varistor { volts }, &[&l, &n]);
        }
    }

    /// A contact for a finger behind resistors: a probe that says which pin is live.
    pub fn touch_plate(&mut self) {
        let count = 1 + self.dice.below(3);
        let each = self.dice.decades(5e4, 2.5e6);
        let lamp = self.dice.below(2) == 0;
        let mut at = "L".to_string();
        for k in 0..count {
            let to = if k + 1 == count { "LA".to_string() } else { format!("R{}", k + 1) };
            let volts = self.volts / count as f64;
            self.resistor(&format!("R{}", k + 1), each, volts, [&at, &to]);
            at = to;
        }
        if lamp {
            let kind =
                Kind::Neon { strike: 80.0, strike_max: 85.0, maintain: 60.0, slope: 3e3, amps: 0.0005, max: 0.001 };
            self.part("LP1", kind, &["LA", "PLATE"]);
        } else {
            for part in &mut self.tool.parts {
                for end in &mut part.ends {
                    if end == "LA" {
                        *end = "PLATE".into();
                    }
                }
            }
        }
        // A second way to the other pole keeps the net in use.
        let ohms = self.dice.decades(1e6, 9e6);
        self.resistor("R9", ohms, self.volts, ["PLATE", "N"]);
        self.tool.touchables.push(Touchable { name: "plate".into(), net: "PLATE".into() });
    }
}

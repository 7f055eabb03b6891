//! The solver against formulas that can be written down: rectified sines, R-C and R-L circuits, phasors, the body
//! network, the constant-voltage neon lamp and its published design currents.
//!
//! Formulas are evaluated here, from the textbook, and never by the code under test.
#![allow(clippy::unwrap_used)]

use super::support::assert_near;
use super::support::net::Net;
use crate::circuit::{Branch, Circuit, Device, Lighting, Solver, Start, Steady, Unsolved, Until};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

const SQRT2: f64 = std::f64::consts::SQRT_2;

fn steady(net: &Net) -> Steady {
    steady_and_lighting(net, 0).0
}

/// The steady state, and when one of its branches is lit.
fn steady_and_lighting(net: &Net, branch: usize) -> (Steady, Option<Lighting>) {
    let mut solver = Solver::new(net.circuit()).unwrap();
    let steady = solver.steady(1.0).unwrap();
    assert!(steady.residual < 1e-9 && !steady.forced, "energy residual {:e}", steady.residual);
    (steady, solver.lighting(branch))
}

/// A complex number, just enough of one for phasors.
#[derive(Clone, Copy)]
struct Phasor(f64, f64);

impl Phasor {
    fn plus(self, o: Phasor) -> Phasor {
        Phasor(self.0 + o.0, self.1 + o.1)
    }
    fn times(self, o: Phasor) -> Phasor {
        Phasor(self.0 * o.0 - self.1 * o.1, self.0 * o.1 + self.1 * o.0)
    }
    fn inverse(self) -> Phasor {
        let square = self.0 * self.0 + self.1 * self.1;
        Phasor(self.0 / square, -self.1 / square)
    }
    fn size(self) -> f64 {
        self.0.hypot(self.1)
    }
}

/// Impedances in parallel.
fn beside(a: Phasor, b: Phasor) -> Phasor {
    a.inverse().plus(b.inverse()).inverse()
}

#[test]
fn half_wave_rectified_sine() {
    // Mean of a half-rectified sine Vp/pi, r.m.s. Vp/2; the diode is all but ideal.
    for (volts, hertz) in [(230.0, 50.0), (120.0, 60.0)] {
        let net =
            Net::new(hertz).mains("V1", "L", "0", volts).d("D1", "L", "a", 1e-4, 1e-4, 1e11).r("R1", "a", "0", 1e3);
        let (s, r) = (steady(&net), net.index("R1"));
        let peak = volts * SQRT2;
        assert_near("mean volts", s.branches[r].v_mean, peak / PI, 2e-6);
        assert_near("r.m.s. volts", s.branches[r].v_rms, peak / 2.0, 2e-6);
        assert_near("peak volts", s.branches[r].v_peak(), peak, 2e-6);
        assert_near("watts", s.branches[r].power, peak * peak / 4.0 / 1e3, 4e-6);
        assert_near("reverse volts", -s.branches[net.index("D1")].v_min, peak, 2e-6);
    }
}

#[test]
fn full_wave_rectified_sine() {
    // Mean 2 Vp/pi, r.m.s. Vp/sqrt 2.
    let arm = |net: Net, name, a, b| net.d(name, a, b, 1e-4, 1e-4, 1e11);
    let mut net = Net::new(50.0).mains("V1", "L", "0", 230.0);
    for (name, a, b) in [("D1", "L", "x"), ("D2", "0", "x"), ("D3", "y", "L"), ("D4", "y", "0")] {
        net = arm(net, name, a, b);
    }
    let net = net.r("R1", "x", "y", 2e3);
    let (s, r) = (steady(&net), net.index("R1"));
    let peak = 230.0 * SQRT2;
    assert_near("mean volts", s.branches[r].v_mean, 2.0 * peak / PI, 3e-6);
    assert_near("r.m.s. amperes", s.branches[r].i_rms, 230.0 / 2e3, 3e-6);
    assert_near("mean arm amperes", s.branches[net.index("D1")].i_mean, peak / PI / 2e3, 3e-6);
}

#[test]
fn half_wave_with_a_knee() {
    // i = (Vp sin x - Vf)/(R + r) between a and pi - a, sin a = Vf/Vp; leakage 1e11 ohms.
    let (vf, on, ohms) = (28.0, 120.0, 4.7e3);
    let net = Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "a", ohms).d("LED1", "a", "0", vf, on, 1e11);
    let led = net.index("LED1");
    let (s, lighting) = steady_and_lighting(&net, led);
    let (peak, total) = (230.0 * SQRT2, ohms + on);
    let a = (vf / peak).asin();
    let mean = (2.0 * peak * a.cos() - vf * (PI - 2.0 * a)) / (TAU * total);
    let square = mean_square(peak, vf, a, PI - a) / (total * total);
    assert_near("mean amperes", s.branches[led].i_forward_mean, mean, 1e-6);
    assert_near("r.m.s. amperes", s.branches[led].i_rms, square.sqrt(), 1e-6);
    assert_near("peak amperes", s.branches[led].i_peak(), (peak - vf) / total, 1e-6);
    // The current passes a tenth of its peak where Vp sin x - Vf = (Vp - Vf)/10.
    let tenth = ((vf + (peak - vf) / 10.0) / peak).asin().to_degrees();
    let lighting = lighting.unwrap();
    assert_eq!((lighting.on_deg.len(), lighting.off_deg.len()), (1, 1), "{lighting:?}");
    assert!((lighting.on_deg[0] - tenth).abs() < 1e-3, "{lighting:?}, expected on at {tenth}");
    assert!((lighting.off_deg[0] - (180.0 - tenth)).abs() < 1e-3, "{lighting:?}");
    assert!((lighting.lit_fraction - (180.0 - 2.0 * tenth) / 360.0).abs() < 1e-5, "{lighting:?}");
}

/// Mean over a whole cycle of `(peak sin x - level)^2` taken between the angles a and b only.
fn mean_square(peak: f64, level: f64, a: f64, b: f64) -> f64 {
    let sines = peak * peak * ((b - a) / 2.0 - ((2.0 * b).sin() - (2.0 * a).sin()) / 4.0);
    (sines - 2.0 * peak * level * (a.cos() - b.cos()) + level * level * (b - a)) / TAU
}

#[test]
fn capacitor_discharges_through_a_resistor() {
    let net = Net::new(50.0).c("C1", "a", "0", 470e-9).r("R1", "a", "0", 1e6);
    let start = Start { angle: 0.0, state: vec![325.0, 0.0] };
    let mut solver = Solver::new(net.circuit()).unwrap();
    for seconds in [1e-3, 0.1, 0.47, 1.0, 3.0] {
        let end = solver.transient(1.0, &start, &Until { seconds, falls_below: None }).unwrap();
        assert_near("volts", end.state[0], 325.0 * (-seconds / 0.47).exp(), 1e-8);
        assert_near("joules", end.energy[1], 0.5 * 470e-9 * 325f64.powi(2) * -(-2.0 * seconds / 0.47).exp_m1(), 1e-8);
    }
    let level = Until { seconds: 100.0, falls_below: Some((1, 34.0)) };
    let end = solver.transient(1.0, &start, &level).unwrap();
    assert_near("seconds to 34 V", end.seconds, 0.47 * (325.0f64 / 34.0).ln(), 1e-8);
}

#[test]
fn a_level_that_is_never_reached_ends_the_run_at_its_time() {
    // A diode blocks the discharge path: only the leak of 1e11 ohms empties the capacitor.
    let net = Net::new(50.0).c("C1", "a", "0", 1e-6).d("D1", "0", "b", 0.7, 1.0, 1e11).r("R1", "b", "a", 1e3);
    let start = Start { angle: 0.0, state: vec![325.0, 0.0, 0.0] };
    let until = Until { seconds: 5.0, falls_below: Some((0, 34.0)) };
    let end = Solver::new(net.circuit()).unwrap().transient(1.0, &start, &until).unwrap();
    assert_eq!(end.seconds, 5.0);
    assert_near("volts left", end.state[0], 325.0 * (-5.0f64 / 1e5).exp(), 1e-8);
}

#[test]
fn inductor_switched_on() {
    // i = V/|Z| (sin(wt + x - p) - sin(x - p) exp(-t R/L)); largest at the zero of the mains when R is small.
    let (ohms, henries, hertz) = (10.0, 0.5, 50.0);
    let net = Net::new(hertz).mains("V1", "L", "0", 230.0).r("R1", "L", "a", ohms).l("L1", "a", "0", henries);
    let z = ohms.hypot(TAU * hertz * henries);
    let p = (TAU * hertz * henries / ohms).atan();
    let mut solver = Solver::new(net.circuit()).unwrap();
    for degrees in [0.0f64, 37.0, 90.0, 200.0] {
        let x = degrees.to_radians();
        let formula = |t: f64| {
            230.0 * SQRT2 / z * ((TAU * hertz * t + x - p).sin() - (x - p).sin() * (-t * ohms / henries).exp())
        };
        let start = Start { angle: x, state: Vec::new() };
        let run = solver.transient(1.0, &start, &Until { seconds: 0.05, falls_below: None }).unwrap();
        assert_near("amperes at the end", run.state[2], formula(0.05), 1e-8);
        // Samples of the formula, fine enough that the largest one is within 1e-8 of the peak.
        let samples: Vec<f64> = (0..=200_000).map(|k| formula(k as f64 * 0.05 / 200_000.0)).collect();
        let peak = samples.iter().fold(0.0f64, |a, b| a.max(b.abs()));
        assert_near("largest amperes", run.branches[2].i_peak(), peak, 1e-5);
        let i2t = samples.windows(2).map(|w| (w[0] * w[0] + w[1] * w[1]) / 2.0).sum::<f64>() * 0.05 / 200_000.0;
        assert_near("A²s", run.i2t[2], i2t, 1e-7);
        assert_near("joules in the resistor", run.energy[1], i2t * ohms, 1e-7);
    }
}

#[test]
fn low_pass_size_and_phase() {
    for hertz in [50.0, 60.0] {
        let (ohms, farads) = (15e3, 220e-9);
        let net = Net::new(hertz).mains("V1", "L", "0", 230.0).r("R1", "L", "a", ohms).c("C1", "a", "0", farads);
        let s = steady(&net);
        let x = TAU * hertz * ohms * farads;
        let size = 1.0 / (1.0 + x * x).sqrt();
        assert_near("volts", s.branches[2].v_rms, 230.0 * size, 1e-8);
        assert_near("amperes", s.branches[2].i_rms, 230.0 * size * TAU * hertz * farads, 1e-8);
        // At the rising zero of the mains the capacitor is late by atan x.
        assert_near("volts at 0 degrees", s.state[2], -230.0 * SQRT2 * size * x.atan().sin(), 1e-8);
        assert_near("watts", s.branches[1].power, (230.0 * size * x).powi(2) / ohms, 1e-8);
    }
}

#[test]
fn slowest_time_constant_of_a_slow_network() {
    // 1 megohm and 4.7 microfarads forget in 4.7 s; the one-cycle map gives it to half a cycle or better.
    let net = Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "a", 1e6).c("C1", "a", "0", 4.7e-6);
    let found = steady(&net).slowest_s;
    assert!((found - 4.7).abs() <= 0.0101, "{found} s");
}

#[test]
fn body_network_behind_a_y_capacitor_and_behind_a_resistor() {
    // 1.5 kilohms beside 0.22 microfarads, then 500 ohms.
    for hertz in [50.0, 60.0] {
        let w = TAU * hertz;
        let skin = beside(Phasor(1500.0, 0.0), Phasor(0.0, -1.0 / (w * 0.22e-6)));
        let body = skin.plus(Phasor(500.0, 0.0));
        for (part, series) in [
            (Device::Capacitor { farads: 4.7e-9 }, Phasor(0.0, -1.0 / (w * 4.7e-9))),
            (Device::Resistor { ohms: 1e6 }, Phasor(1e6, 0.0)),
            (Device::Resistor { ohms: 1e-3 }, Phasor(1e-3, 0.0)),
        ] {
            let net = Net::new(hertz)
                .mains("V1", "L", "0", 253.0)
                .part("X1", "L", "t", part)
                .r("R1", "t", "u", 1500.0)
                .c("C1", "t", "u", 0.22e-6)
                .r("R2", "u", "0", 500.0);
            let s = steady(&net);
            let amperes = 253.0 / series.plus(body).size();
            assert_near("body amperes", s.branches[net.index("R2")].i_rms, amperes, 1e-8);
            assert_near("peak", s.branches[net.index("R2")].i_peak(), amperes * SQRT2, 1e-6);
            assert_near("skin volts", s.branches[net.index("C1")].v_rms, amperes * skin.size(), 1e-8);
        }
    }
}

#[test]
fn series_resonance() {
    let (ohms, henries, farads) = (220.0, 1.2, 4.7e-6);
    let net = Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("R1", "L", "a", ohms)
        .l("L1", "a", "b", henries)
        .c("C1", "b", "0", farads);
    let s = steady(&net);
    let w = TAU * 50.0;
    let z = Phasor(ohms, w * henries - 1.0 / (w * farads));
    assert_near("amperes", s.branches[1].i_rms, 230.0 / z.size(), 1e-8);
    assert_near("inductor volts", s.branches[2].v_rms, 230.0 / z.size() * w * henries, 1e-8);
    assert_near("capacitor volts", s.branches[3].v_rms, 230.0 / z.size() / (w * farads), 1e-8);
    assert_near("watts", -s.branches[0].power, 230.0 * 230.0 * ohms / (z.size() * z.size()), 1e-8);
}

#[test]
fn loaded_transformer() {
    // Zin = R1 + jwL1 + (wM)^2 / (R2 + jwL2); the secondary is tied to the reference at one end.
    let (r1, l1, l2, k, r2) = (30.0, 10.0, 0.1, 0.995, 12.0);
    let net = Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .r("R1", "L", "a", r1)
        .l("Lp", "a", "0", l1)
        .l("Ls", "p", "0", l2)
        .couple("Lp", "Ls", k)
        .r("R2", "p", "0", r2);
    let s = steady(&net);
    let w = TAU * 50.0;
    let m = k * f64::sqrt(l1 * l2);
    let reflected = Phasor((w * m) * (w * m), 0.0).times(Phasor(r2, w * l2).inverse());
    let primary = 230.0 / Phasor(r1, w * l1).plus(reflected).size();
    let secondary = primary * w * m / Phasor(r2, w * l2).size();
    assert_near("primary amperes", s.branches[1].i_rms, primary, 1e-7);
    assert_near("secondary amperes", s.branches[4].i_rms, secondary, 1e-7);
    assert_near("secondary volts", s.branches[4].v_rms, secondary * r2, 1e-7);
}

#[test]
fn ideal_capacitor_dropper_carries_its_charge() {
    // With a constant voltage V behind a bridge the capacitor swings by 2 (Vp - V) each half cycle, all through the load:
    // mean load current 4 f C (Vp - V), whatever the waveform.
    let (farads, volts) = (330e-9, 30.0);
    let net = Net::new(50.0)
        .mains("V1", "L", "0", 230.0)
        .c("C1", "L", "p", farads)
        .d("D1", "p", "x", 1e-4, 0.1, 1e11)
        .d("D2", "0", "x", 1e-4, 0.1, 1e11)
        .d("D3", "y", "p", 1e-4, 0.1, 1e11)
        .d("D4", "y", "0", 1e-4, 0.1, 1e11)
        .d("LED1", "x", "y", volts, 0.1, 1e11);
    let s = steady(&net);
    let expected = 4.0 * 50.0 * farads * (230.0 * SQRT2 - volts);
    assert_near("mean amperes", s.branches[net.index("LED1")].i_forward_mean, expected, 1e-5);
}

/// Closed form of a lamp with a constant maintaining voltage behind a resistor: (strike, extinction) angles in degrees,
/// r.m.s., mean magnitude and peak of the current.
struct ConstantLamp {
    strike_deg: f64,
    extinction_deg: f64,
    rms: f64,
    mean: f64,
    peak: f64,
}

fn constant_lamp(volts: f64, strike: f64, maintain: f64, ohms: f64) -> ConstantLamp {
    let peak = volts * SQRT2;
    let (a, b) = ((strike / peak).asin(), PI - (maintain / peak).asin());
    ConstantLamp {
        strike_deg: a.to_degrees(),
        extinction_deg: b.to_degrees(),
        rms: (2.0 * mean_square(peak, maintain, a, b)).sqrt() / ohms,
        mean: (peak * (a.cos() - b.cos()) - maintain * (b - a)) / PI / ohms,
        peak: (peak - maintain) / ohms,
    }
}

fn neon_net(volts: f64, hertz: f64, strike: f64, maintain: f64, ohms: f64, lit_ohms: f64) -> Net {
    let lamp = Device::Neon { strike, maintain, lit_ohms, off_ohms: 1e12, extinction: 0.0 };
    Net::new(hertz).mains("V1", "L", "0", volts).r("R1", "L", "a", ohms).part("N1", "a", "0", lamp)
}

#[test]
fn neon_lamp_in_closed_form() {
    for (volts, hertz, strike, maintain, ohms) in [
        (230.0, 50.0, 90.0, 60.0, 270e3),
        (115.0, 60.0, 90.0, 60.0, 100e3),
        (120.0, 60.0, 135.0, 70.0, 30e3),
        (253.0, 50.0, 128.0, 80.0, 47e3),
    ] {
        let net = neon_net(volts, hertz, strike, maintain, ohms, 1e-2);
        let (s, lighting) = steady_and_lighting(&net, 2);
        let (q, lighting) = (&s.branches[2], lighting.unwrap());
        let expected = constant_lamp(volts, strike, maintain, ohms);
        assert_near("r.m.s. amperes", q.i_rms, expected.rms, 1e-6);
        assert_near("forward mean", q.i_forward_mean, expected.mean / 2.0, 1e-6);
        assert_near("peak amperes", q.i_peak(), expected.peak, 1e-6);
        assert_near("lamp watts", q.power, expected.mean * maintain, 1e-6);
        let all = |degrees: f64| vec![degrees, degrees + 180.0];
        for (got, expected) in
            [(&lighting.on_deg, all(expected.strike_deg)), (&lighting.off_deg, all(expected.extinction_deg))]
        {
            assert_eq!(got.len(), 2, "{lighting:?}");
            assert!(got.iter().zip(&expected).all(|(g, e)| (g - e).abs() < 1e-4), "{got:?} instead of {expected:?}");
        }
        let share = (expected.extinction_deg - expected.strike_deg) / 180.0;
        assert!((lighting.lit_fraction - share).abs() < 1e-6, "{lighting:?}");
        assert_eq!(lighting.flashes_per_cycle, 2.0);
    }
}

/// A row of the published lamp table and the printed arithmetic beside it.
struct PrintedLamp {
    name: &'static str,
    strike: f64,
    maintain: f64,
    ohms: f64,
    /// Published design current, amperes r.m.s.
    design: f64,
    /// Printed: strike and extinction degrees, lit fraction, r.m.s., mean and peak milliamperes, resistor watts.
    printed: [f64; 7],
}

/// Series resistor and design current: miniature neon lamp data sheet, types A1A A1B A1C C2A A9A, single table
/// ("circuit volts, current, maximum breakdown, series resistor, life"; published). Strike and maintaining volts and the
/// printed results: arithmetic with constant maintaining volts, resistor and sine supply, 115 V 60 Hz (common practice).
const PRINTED: [PrintedLamp; 4] = [
    PrintedLamp {
        name: "A1A",
        strike: 90.0,
        maintain: 60.0,
        ohms: 100e3,
        design: 0.6e-3,
        printed: [33.6, 158.4, 0.693, 0.640, 0.497, 1.026, 0.041],
    },
    PrintedLamp {
        name: "A1B",
        strike: 90.0,
        maintain: 60.0,
        ohms: 220e3,
        design: 0.3e-3,
        printed: [33.6, 158.4, 0.693, 0.291, 0.226, 0.467, 0.019],
    },
    PrintedLamp {
        name: "A1C",
        strike: 135.0,
        maintain: 70.0,
        ohms: 47e3,
        design: 1.2e-3,
        printed: [56.1, 154.5, 0.547, 1.148, 0.794, 1.971, 0.062],
    },
    PrintedLamp {
        name: "C2A",
        strike: 135.0,
        maintain: 70.0,
        ohms: 30e3,
        design: 1.9e-3,
        printed: [56.1, 154.5, 0.547, 1.798, 1.244, 3.088, 0.097],
    },
];

#[test]
fn published_lamps_take_their_design_current() {
    for lamp in PRINTED {
        let net = neon_net(115.0, 60.0, lamp.strike, lamp.maintain, lamp.ohms, 1e-2);
        let (s, lighting) = steady_and_lighting(&net, 2);
        let (q, lighting) = (&s.branches[2], lighting.unwrap());
        assert_near(&format!("{}: design current", lamp.name), q.i_rms, lamp.design, 0.10);
        let found = [
            lighting.on_deg[0],
            lighting.off_deg[0],
            lighting.lit_fraction,
            q.i_rms * 1e3,
            2e3 * q.i_forward_mean,
            q.i_peak() * 1e3,
            s.branches[1].power,
        ];
        // Half a unit of the last printed digit.
        let halves = [0.05, 0.05, 5e-4, 5e-4, 5e-4, 5e-4, 5e-4];
        for (k, (found, (printed, half))) in found.iter().zip(lamp.printed.iter().zip(halves)).enumerate() {
            assert!((found - printed).abs() <= half + 1e-9, "{} value {k}: {found} printed as {printed}", lamp.name);
        }
    }
}

#[test]
fn the_usual_neon_resistor_on_110_volts_runs_cool() {
    // Common practice: 100 kilohms with a standard lamp (90 V, 60 V) on 110 V 60 Hz takes well under a milliampere and a
    // quarter-watt resistor stays far below its rating.
    let net = neon_net(110.0, 60.0, 90.0, 60.0, 100e3, 3e3);
    let s = steady(&net);
    assert!(s.branches[1].i_rms > 0.4e-3 && s.branches[1].i_rms < 0.7e-3, "{} A", s.branches[1].i_rms);
    assert!(s.branches[1].power < 0.25 / 5.0, "{} W", s.branches[1].power);
}

#[test]
fn neon_lamp_below_its_strike_stays_dark() {
    // 63 V r.m.s. peaks at 89.1 V, 64 V at 90.5 V; the dark lamp takes next to all of it.
    for (volts, lights) in [(63.0, false), (64.0, true)] {
        let net = neon_net(volts, 50.0, 90.0, 60.0, 100e3, 3e3);
        let (s, lighting) = steady_and_lighting(&net, 2);
        assert_eq!(lighting.unwrap().flashes_per_cycle > 0.0, lights, "{volts} V");
        if !lights {
            assert_near("dark current", s.branches[2].i_rms, volts / (1e12 + 100e3), 1e-6);
        }
    }
}

#[test]
fn filament_lamp_settles_where_its_own_power_says() {
    // i ~ v^n means R = R_hot (P/W)^((1-n)/(1+n)); with a series resistor solved by halving an interval.
    let (volts, watts, cold_ratio, exponent) = (230.0, 60.0, 0.075, 0.55);
    let hot = volts * volts / watts;
    let lamp = Device::Filament { volts, watts, cold_ratio, exponent };
    let of_power = |p: f64| (hot * (p / watts).powf((1.0 - exponent) / (1.0 + exponent))).max(cold_ratio * hot);
    for (supply, series) in [(230.0, 1e-3), (230.0, 500.0), (253.0, 100.0), (115.0, 2e3), (12.0, 50e3)] {
        let (mut low, mut high) = (0.0, 10.0 * hot);
        for _ in 0..200 {
            let ohms = 0.5 * (low + high);
            let amperes = supply / (ohms + series);
            if of_power(amperes * amperes * ohms) > ohms { low = ohms } else { high = ohms }
        }
        let net = Net::new(50.0).mains("V1", "L", "0", supply).r("R1", "L", "a", series).part("B1", "a", "0", lamp);
        let s = steady(&net);
        let amperes = supply / (low + series);
        assert_near("amperes", s.branches[2].i_rms, amperes, 1e-5);
        assert_near("lamp volts", s.branches[2].v_rms, amperes * low, 1e-5);
        assert_near("lamp watts", s.branches[2].power, amperes * amperes * low, 1e-5);
    }
    // Rated at rated volts; cold at switch-on.
    let net = Net::new(50.0).mains("V1", "L", "0", 230.0).part("B1", "L", "0", lamp);
    assert_near("rated watts", steady(&net).branches[1].power, 60.0, 1e-5);
    let start = Start { angle: FRAC_PI_2, state: Vec::new() };
    let first = Solver::new(net.circuit()).unwrap().transient(1.0, &start, &Until { seconds: 0.01, falls_below: None });
    assert_near("switch-on amperes", first.unwrap().branches[1].i_peak(), 230.0 * SQRT2 / (cold_ratio * hot), 1e-6);
}

#[test]
fn faults_of_extreme_resistance() {
    // A short of 1 milliohm across 230 V behind 0.4 ohms, and the same beside 1 gigohm.
    let net = Net::new(50.0)
        .mains("V1", "s", "0", 230.0)
        .r("R1", "s", "L", 0.4)
        .r("R2", "L", "0", 1e-3)
        .r("R3", "L", "m", 1e9)
        .r("R4", "m", "0", 1e-3);
    let s = steady(&net);
    assert_near("fault amperes", s.branches[2].i_rms, 230.0 / 0.401, 1e-8);
    assert_near("amperes in the gigohm", s.branches[3].i_rms, 230.0 / 0.401 * 1e-3 / 1e9, 1e-8);
    let bare = Net::new(50.0).mains("V1", "L", "0", 230.0).r("R1", "L", "0", 1e-3);
    assert_near("bare short", steady(&bare).branches[1].i_rms, 230e3, 1e-8);
}

#[test]
fn split_phase_voltages_add() {
    let half = |phase| Device::Source { dc: 0.0, sine: 120.0 * SQRT2, phase };
    let net = Net::new(60.0)
        .part("V1", "A", "0", half(0.0))
        .part("V2", "B", "0", half(PI))
        .r("R1", "A", "B", 100.0)
        .r("R2", "A", "0", 60.0)
        .r("R3", "B", "0", 40.0);
    let s = steady(&net);
    assert_near("volts between the lines", s.branches[2].v_rms, 240.0, 1e-9);
    // Line A carries 2.4 A and 2 A, line B 2.4 A and 3 A.
    assert_near("amperes of line A", s.branches[0].i_rms, 4.4, 1e-9);
    assert_near("amperes of line B", s.branches[1].i_rms, 5.4, 1e-9);
}

#[test]
fn capacitor_directly_across_the_mains() {
    let net = Net::new(60.0).mains("V1", "L", "0", 120.0).c("C1", "L", "0", 1e-6).r("R1", "L", "0", 1e4);
    let s = steady(&net);
    assert_near("capacitor amperes", s.branches[1].i_rms, 120.0 * TAU * 60.0 * 1e-6, 1e-8);
    assert_near("mains amperes", s.branches[0].i_rms, (120.0 * TAU * 60.0 * 1e-6).hypot(120.0 / 1e4), 1e-8);
    assert!(s.branches[1].power.abs() < 1e-9, "an ideal capacitor takes no power: {}", s.branches[1].power);
}

#[test]
fn inductor_directly_across_the_mains_keeps_its_offset_from_rest() {
    // i = Vp/(wL) (1 - cos wt) from a switch-on at the rising zero, and nothing damps it.
    let net = Net::new(50.0).mains("V1", "L", "0", 230.0).l("L1", "L", "0", 2.0);
    let s = steady(&net);
    let swing = 230.0 * SQRT2 / (TAU * 50.0 * 2.0);
    assert_near("largest amperes", s.branches[1].i_max, 2.0 * swing, 1e-6);
    assert_near("mean amperes", s.branches[1].i_mean, swing, 1e-6);
    assert!(s.branches[1].i_min.abs() < 1e-6 * swing, "smallest amperes {}", s.branches[1].i_min);
}

#[test]
fn sources_in_a_loop_are_refused_by_name() {
    let net = Net::new(50.0).mains("V1", "a", "0", 230.0).r("R1", "a", "0", 10.0).mains("V2", "a", "0", 120.0);
    assert_eq!(Solver::new(net.circuit()).err(), Some(Unsolved::SourceLoop { branch: 2 }));
    let net = Net::new(50.0).mains("V1", "a", "a", 230.0).r("R1", "a", "0", 10.0);
    assert_eq!(Solver::new(net.circuit()).err(), Some(Unsolved::SourceLoop { branch: 0 }));
}

#[test]
fn values_that_make_no_circuit_are_refused_by_name() {
    let good = Net::new(50.0).mains("V1", "a", "0", 230.0).r("R1", "a", "b", 10.0);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let devices = [
            Device::Resistor { ohms: bad },
            Device::Capacitor { farads: bad },
            Device::Inductor { henries: bad },
            Device::Diode { forward: 0.7, on_ohms: bad, off_ohms: 1e7, breakdown: None },
            Device::Neon { strike: 90.0, maintain: 60.0, lit_ohms: bad, off_ohms: 1e9, extinction: 0.0 },
            Device::Filament { volts: 230.0, watts: bad, cold_ratio: 0.1, exponent: 0.55 },
        ];
        for device in devices {
            let net = good.clone().part("X1", "b", "0", device);
            let refused = Solver::new(net.circuit()).err();
            assert!(matches!(refused, Some(Unsolved::BadValue { branch: 2, .. })), "{device:?}: {refused:?}");
        }
    }
}

#[test]
fn an_empty_circuit_is_no_panic() {
    for circuit in [
        Circuit { nodes: 1, hertz: 50.0, ..Circuit::default() },
        Circuit { nodes: 3, hertz: 50.0, ..Circuit::default() },
    ] {
        if let Ok(mut solver) = Solver::new(&circuit) {
            assert!(solver.steady(1.0).is_ok_and(|s| s.branches.is_empty()));
        }
    }
}

#[test]
fn a_transient_of_no_duration_is_refused() {
    let resistor = Branch { a: 1, b: 0, device: Device::Resistor { ohms: 1e3 } };
    let circuit = Circuit { nodes: 2, hertz: 50.0, branches: vec![resistor], ..Circuit::default() };
    for seconds in [0.0, -1.0, f64::NAN] {
        let until = Until { seconds, falls_below: None };
        assert!(Solver::new(&circuit).unwrap().transient(1.0, &Start::default(), &until).is_err(), "{seconds}");
    }
}

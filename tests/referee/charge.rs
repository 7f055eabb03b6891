//! What is left between the pins of the plug after it is pulled at the worst instant.

use super::circuit::{Condition, Fault, place};
use super::march::{self, March};
use super::network::{El, Network};
use super::phasor;
use super::play;
use super::told::Signal;
use super::tool::{Kind, Tool};
use super::verdict::Judge;

/// IEC 61010-1, 6.10.3: 5 s after unplugging at most 60 V or 45 µC between the pins.
const VOLTS: f64 = 60.0;
const COULOMBS: f64 = 45e-6;
/// IEC 60335-1, 22.5: 34 V a second after it, where more than 100 nF is charged.
const SOON: f64 = 34.0;
const SMALL: f64 = 100e-9;
/// Volts at the meter of less than a touch current may be (0.5 mA): a leak and no charge.
const LEAK: f64 = 1.0;
/// What a charge is measured through.
const METER: f64 = 2000.0;

/// What every capacitor holds when one of them stands highest.
fn peaks(net: &Network, crest: f64) -> Option<Vec<Vec<f64>>> {
    if net.has_knees() && !net.caps_across_the_mains() {
        return Some(march::cycle(net, crest)?.1);
    }
    let volts = phasor::volts(net, crest);
    let caps = (0..net.branches.len()).filter(|&k| matches!(net.branches[k].el, El::Farads(_)));
    Some(
        caps.map(|k| {
            let (sin, cos) = volts[k][1].atan2(volts[k][0]).sin_cos();
            volts.iter().map(|v| v[0] * cos + v[1] * sin).collect()
        })
        .collect(),
    )
}

/// Runs without mains for `span` seconds in steps that grow; volts and coulombs of the last branch are seen.
fn wait(march: &mut March, span: f64, mut see: impl FnMut(f64, f64)) -> Option<()> {
    let (mut t, mut h) = (0.0, 1e-5);
    while t < span {
        let step = f64::min(h, span - t);
        march.run(0.0, step, step, |_| 0.0, |v, i, dt| see(v[v.len() - 1], i[i.len() - 1] * dt))?;
        t += step;
        h *= 1.3;
    }
    Some(())
}

#[derive(Clone, Copy, Debug, Default)]
struct Left {
    soon: f64,
    late: f64,
    coulombs: f64,
    /// Volts that an instrument sees but a hand may not: through what leaks.
    seen: f64,
}

fn left(tool: &Tool, fault: &Fault, off: bool, load: usize, corner: &[f64]) -> Option<Left> {
    let supply = tool.supply?;
    let condition = |unplugged: bool, on: bool, ohms: f64| Condition {
        fault,
        turned: false,
        switched_on: on,
        loads: play::loads(tool)[load].clone(),
        corner: corner.to_vec(),
        unplugged,
        probe: Some(("L", "N", ohms)),
    };
    let alive = place(tool, &condition(false, true, 1e12));
    let mut worst = Left::default();
    // Node by node the two networks differ in the mains alone, whose branches come last but the probe.
    let parts: usize = alive.of_part.iter().map(Vec::len).sum();
    for held in peaks(&alive.net, supply.high * 2f64.sqrt())? {
        let open = place(tool, &condition(true, !off, 1e12)).net;
        let instrument = place(tool, &condition(true, !off, 1e9)).net;
        let meter = place(tool, &condition(true, !off, METER)).net;
        let mut stored = vec![0.0; open.branches.len()];
        stored[..parts].copy_from_slice(&held[..parts]);
        let mut march = March::new(&open, stored);
        for (k, span) in [1.0, 4.0].into_iter().enumerate() {
            wait(&mut march, span, |_, _| {})?;
            let mut first = None;
            let mut sum = 0.0;
            let mut hand = March::new(&meter, march.stored.clone());
            wait(&mut hand, 1.0, |v, q| {
                first.get_or_insert(v.abs());
                sum += q;
            })?;
            let volts = first.filter(|v: &f64| v.is_finite())?;
            if k == 0 {
                worst.soon = worst.soon.max(volts);
            } else {
                worst.late = worst.late.max(volts);
                let mut instrument = March::new(&instrument, march.stored.clone());
                wait(&mut instrument, 1e-3, |v, _| worst.seen = worst.seen.max(v.abs()))?;
                worst.coulombs = worst.coulombs.max(if volts > LEAK { sum.abs() } else { 0.0 });
            }
        }
    }
    Some(worst)
}

impl Judge<'_> {
    pub fn charge(&mut self) {
        const CHECK: &[&str] = &["stored-charge"];
        let tool = self.tool;
        let farads: f64 = tool
            .parts
            .iter()
            .map(|p| match p.kind {
                Kind::Capacitor { farads, percent, .. } => farads * (1.0 + percent / 100.0),
                _ => 0.0,
            })
            .sum();
        if farads == 0.0 {
            return;
        }
        let all_high: Vec<f64> = tool
            .parts
            .iter()
            .map(|p| match p.kind {
                Kind::Resistor { percent, .. } | Kind::Capacitor { percent, .. } => 1.0 + percent / 100.0,
                _ => 1.0,
            })
            .collect();
        let mut faults = vec![Fault::None];
        faults.extend(
            (0..tool.parts.len()).filter(|&k| matches!(tool.parts[k].kind, Kind::Resistor { .. })).map(Fault::Open),
        );
        let (mut normal, mut faulty) = (Left::default(), Left::default());
        let join = |into: &mut Left, l: Left| {
            *into = Left {
                soon: into.soon.max(l.soon),
                late: into.late.max(l.late),
                coulombs: into.coulombs.max(l.coulombs),
                seen: into.seen.max(l.seen),
            };
        };
        for fault in &faults {
            for off in [false, true] {
                for load in 0..play::loads(tool).len() {
                    let Some(l) = left(tool, fault, off, load, &all_high) else { return };
                    join(if *fault == Fault::None { &mut normal } else { &mut faulty }, l);
                }
            }
        }
        let over = |l: &Left| (l.late / VOLTS).min(l.coulombs / COULOMBS);
        let show = |l: &Left| {
            format!("{:.1} V, then {:.1} V ({:.1} V seen) and {:.1} µC", l.soon, l.late, l.seen, l.coulombs * 1e6)
        };
        let words = format!("in order {}; one resistor open {}", show(&normal), show(&faulty));
        let seen = |l: &Left| (l.seen / VOLTS).min(l.coulombs / COULOMBS);
        let quick = normal.soon / SOON;
        if over(&normal) > 1.03 {
            self.must("stored charge", CHECK, "", Signal::Warning, words);
        } else if over(&faulty) > 1.03 || quick > 1.03 && farads > SMALL * 1.5 {
            self.must("stored charge, milder", CHECK, "", Signal::Caution, words);
        } else if tool.topology != "capacitor dropper"
            // There other parts than resistors fail as well.
            && seen(&normal).max(seen(&faulty)) < 0.97
            && (quick < 0.97 && faulty.soon < SOON * 0.97 || farads < SMALL)
        {
            self.silent("stored charge", CHECK, "", words);
        }
    }
}

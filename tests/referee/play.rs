//! A tool played through its conditions: what each part and each hand gets, and whether a fuse ends it.

use super::circuit::{Condition, Fault, Placed, place};
use super::network::{El, Network, Worked};
use super::tool::{Kind, Load, Tool};
use super::{march, phasor, scan};

/// The smallest breaker usual on a circuit that feeds sockets, amperes.
const BRANCH: f64 = 15.0;

/// What one condition does to one part (of a bridge: its worst arm), worst over the corners.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stress {
    pub watts: f64,
    pub v_rms: f64,
    pub v_peak: f64,
    pub v_reverse: f64,
    pub i_rms: f64,
    pub i_peak: f64,
    /// Largest current forwards (of a LED) and its mean.
    pub i_forward_peak: f64,
    pub i_forward_mean: f64,
}

impl Stress {
    fn take(&mut self, w: &Worked) {
        let larger = |a: &mut f64, b: f64| *a = a.max(b);
        larger(&mut self.watts, w.watts);
        larger(&mut self.v_rms, w.v_rms);
        larger(&mut self.v_peak, w.v_max.max(-w.v_min));
        larger(&mut self.v_reverse, -w.v_min);
        larger(&mut self.i_rms, w.i_rms);
        larger(&mut self.i_peak, w.i_peak);
        larger(&mut self.i_forward_peak, w.i_max);
        larger(&mut self.i_forward_mean, w.i_forward_mean);
    }
    pub fn join(&mut self, o: &Stress) {
        let larger = |a: &mut f64, b: f64| *a = a.max(b);
        larger(&mut self.watts, o.watts);
        larger(&mut self.v_rms, o.v_rms);
        larger(&mut self.v_peak, o.v_peak);
        larger(&mut self.v_reverse, o.v_reverse);
        larger(&mut self.i_rms, o.i_rms);
        larger(&mut self.i_peak, o.i_peak);
        larger(&mut self.i_forward_peak, o.i_forward_peak);
        larger(&mut self.i_forward_mean, o.i_forward_mean);
    }
}

/// Amperes through a hand.
#[derive(Clone, Copy, Debug, Default)]
pub struct Hand {
    pub rms: f64,
    pub peak: f64,
    pub dc: f64,
    pub volts: f64,
}

/// One condition played.
#[derive(Clone, Debug)]
pub struct Played {
    pub fault: Fault,
    pub turned: bool,
    pub load: usize,
    pub parts: Vec<Stress>,
    /// Largest current of a fuse or breaker over its rating.
    pub over: f64,
    /// Watts of all parts in the box.
    pub heat: f64,
    /// Amperes r.m.s. in the earth core.
    pub earth: f64,
}

/// A network's steady state, by whichever road fits.
pub fn steady(net: &Network, crest: f64) -> Option<Vec<Worked>> {
    let mut net = net.clone();
    let filaments = net.branches.iter().any(|b| matches!(b.el, El::Filament { .. }));
    for round in 0..60 {
        let worked = match (net.has_storage(), net.has_knees()) {
            (_, false) => phasor::cycle(&net, crest),
            (false, true) => scan::cycle(&net, crest)?,
            (true, true) if net.caps_across_the_mains() => apart(&net, crest)?,
            (true, true) => march::cycle(&net, crest)?.0,
        };
        if !filaments {
            return Some(worked);
        }
        let mut moved = 0.0f64;
        for (b, w) in net.branches.iter_mut().zip(&worked) {
            if let El::Filament { hot, volts, now } = &mut b.el {
                // R / R hot = (V / V rated)^0.45 (measured current law of lamps), at least the cold fifteenth.
                let to = *hot * (w.v_rms / *volts).powf(0.45).max(0.0667);
                moved = moved.max((to / *now - 1.0).abs());
                *now = to;
            }
        }
        if moved < 1e-4 || round == 59 {
            return Some(worked);
        }
    }
    None
}

/// Capacitors straight across the mains change nothing for the rest: both are solved alone.
fn apart(net: &Network, crest: f64) -> Option<Vec<Worked>> {
    let mut without = net.clone();
    let mut linear = net.clone();
    for b in &mut without.branches {
        if matches!(b.el, El::Farads(_)) {
            b.el = El::Ohms(1e12);
        }
    }
    for b in &mut linear.branches {
        if matches!(b.el, El::Diode { .. } | El::Neon { .. }) {
            b.el = El::Ohms(1e12);
        }
    }
    let mut worked = scan::cycle(&without, crest)?;
    for ((w, l), b) in worked.iter_mut().zip(phasor::cycle(&linear, crest)).zip(&net.branches) {
        let ohms = matches!(b.el, El::Ohms(_));
        if matches!(b.el, El::Farads(_)) || ohms && l.i_rms > w.i_rms {
            *w = l;
        }
    }
    Some(worked)
}

/// Factors for the values: all nominal, all at one end, one against the others.
pub fn corners(tool: &Tool) -> Vec<Vec<f64>> {
    let spread: Vec<f64> = tool
        .parts
        .iter()
        .map(|p| match p.kind {
            Kind::Resistor { percent, .. } | Kind::Capacitor { percent, .. } => percent / 100.0,
            _ => 0.0,
        })
        .collect();
    let is_cap = |k: usize| matches!(tool.parts[k].kind, Kind::Capacitor { .. });
    let toleranced: Vec<usize> = (0..spread.len()).filter(|&k| spread[k] > 0.0).collect();
    let make = |f: &dyn Fn(usize) -> f64| -> Vec<f64> { (0..spread.len()).map(|k| 1.0 + f(k) * spread[k]).collect() };
    // A smaller resistance and a larger capacitance pass more.
    let more = |k: usize| if is_cap(k) { 1.0 } else { -1.0 };
    let mut all = vec![make(&|_| 0.0)];
    if toleranced.is_empty() {
        return all;
    }
    let marched = tool.topology == "capacitor dropper";
    all.push(make(&more));
    all.push(make(&|k| -more(k)));
    if marched {
        all.push(make(&|_| 1.0));
        all.push(make(&|_| -1.0));
        let reservoir = |k: usize| matches!(tool.parts[k].kind, Kind::Capacitor { polarised: true, .. });
        all.push(make(&|k| if reservoir(k) { -1.0 } else { more(k) }));
        for &one in toleranced.iter().filter(|&&k| tool.parts[k].name.starts_with("RB")) {
            all.push(make(&|k| {
                if is_cap(k) {
                    -1.0
                } else if k == one {
                    1.0
                } else {
                    -1.0
                }
            }));
        }
    }
    if toleranced.len() > 1 && !marched {
        for &one in &toleranced {
            all.push(make(&|k| if k == one { -more(k) } else { more(k) }));
            if toleranced.len() > 2 {
                all.push(make(&|k| if k == one { more(k) } else { -more(k) }));
            }
        }
    }
    all
}

/// Every choice of loads, one outlet at a time.
pub fn loads(tool: &Tool) -> Vec<Vec<Load>> {
    match tool.outlets.as_slice() {
        [] => vec![vec![]],
        [only] => only.loads.iter().map(|l| vec![*l]).collect(),
        more => vec![more.iter().map(|o| o.loads[0]).collect()],
    }
}

fn summed(tool: &Tool, placed: &Placed, worked: &[Worked], into: &mut Played) {
    for (k, own) in placed.of_part.iter().enumerate() {
        for &b in own {
            into.parts[k].take(&worked[b]);
        }
        if let Kind::Fuse { amps, .. } = tool.parts[k].kind {
            into.over = into.over.max(worked[own[0]].i_rms / amps);
        }
    }
    let outside = |k: usize| matches!(tool.parts[k].kind, Kind::Filament { .. });
    let heat: f64 = (0..tool.parts.len())
        .filter(|&k| !outside(k))
        .map(|k| placed.of_part[k].iter().map(|&b| worked[b].watts).sum::<f64>())
        .sum();
    into.heat = into.heat.max(heat);
    if let Some(core) = placed.earth_core {
        into.earth = into.earth.max(worked[core].i_rms);
    }
    if let Some(line) = placed.line_core {
        into.over = into.over.max(worked[line].i_rms / BRANCH);
    }
}

/// Plays one condition over the corners at `rms` volts. None: not solved.
pub fn condition(tool: &Tool, fault: &Fault, turned: bool, load: usize, all: &[Vec<f64>], rms: f64) -> Option<Played> {
    let loads = loads(tool)[load].clone();
    let mut played = Played {
        fault: fault.clone(),
        turned,
        load,
        parts: vec![Stress::default(); tool.parts.len()],
        over: 0.0,
        heat: 0.0,
        earth: 0.0,
    };
    for corner in all {
        let c = Condition {
            fault,
            turned,
            switched_on: true,
            loads: loads.clone(),
            corner: corner.clone(),
            unplugged: false,
            probe: None,
        };
        let placed = place(tool, &c);
        let worked = steady(&placed.net, rms * 2f64.sqrt())?;
        summed(tool, &placed, &worked, &mut played);
    }
    Some(played)
}

/// The body between a touchable and the earth or another touchable: 1.5 kΩ and 500 Ω (IEC 60990, figure 4; the 220 nF across
/// the skin take 0.3 % off that at the mains' frequency).
const BODY: f64 = 2000.0;

/// What a hand on `net` draws, worst over the corners.
#[allow(clippy::too_many_arguments)] // one question to the circuit: all of it is what is asked
pub fn hand(
    tool: &Tool,
    fault: &Fault,
    turned: bool,
    on: bool,
    load: usize,
    nets: (&str, &str),
    all: &[Vec<f64>],
    rms: f64,
) -> Option<(Hand, f64, f64)> {
    let mut worst = Hand::default();
    let (mut over, mut earth) = (0.0f64, 0.0f64);
    for corner in all {
        for (ohms, is_hand) in [(BODY, true), (1e9, false)] {
            let c = Condition {
                fault,
                turned,
                switched_on: on,
                loads: loads(tool)[load].clone(),
                corner: corner.clone(),
                unplugged: false,
                probe: Some((nets.0, nets.1, ohms)),
            };
            let placed = place(tool, &c);
            let worked = steady(&placed.net, rms * 2f64.sqrt())?;
            let w = &worked[placed.probe?];
            if is_hand {
                worst.rms = worst.rms.max(w.i_rms);
                worst.peak = worst.peak.max(w.i_peak);
                worst.dc = worst.dc.max(w.i_mean.abs());
            } else {
                worst.volts = worst.volts.max(w.v_rms);
                if let Some(line) = placed.line_core {
                    over = over.max(worked[line].i_rms / BRANCH);
                }
                if let Some(core) = placed.earth_core {
                    earth = earth.max(worked[core].i_rms);
                }
                for (k, own) in placed.of_part.iter().enumerate() {
                    if let Kind::Fuse { amps, .. } = tool.parts[k].kind {
                        over = over.max(worked[own[0]].i_rms / amps);
                    }
                }
            }
        }
    }
    Some((worst, over, earth))
}

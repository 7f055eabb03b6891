//! What a hand draws from what fingers reach, against the published touch limits.

use super::circuit::Fault;
use super::play;
use super::told::Signal;
use super::tool::Kind;
use super::verdict::Judge;

/// IEC 61010-1:2010, 6.3.1 b): 0.5 mA r.m.s., 0.7 mA peak, 2 mA d.c. in normal condition.
const NORMAL: [f64; 3] = [0.5e-3, 0.7e-3, 2e-3];
/// IEC 61010-1:2010, 6.3.2 b): 3.5 mA r.m.s., 5 mA peak, 15 mA d.c. after a single fault.
const FAULT: [f64; 3] = [3.5e-3, 5e-3, 15e-3];
/// A breaker may take longer than the published disconnection time; a fuse at so many times its rating does not, nor does a
/// residual-current device.
const FUSE_IN_TIME: f64 = 40.0;
const TOUCH: &[&str] = &["touch-current", "touch-voltage"];

/// How far over its limits; and what it was.
#[derive(Clone, Debug, Default)]
struct Over {
    times: f64,
    words: String,
}

impl Over {
    fn take(&mut self, times: f64, words: String) {
        if times > self.times {
            *self = Over { times, words };
        }
    }
}

impl Judge<'_> {
    /// Whether anything but an insulation joins the net to the rest.
    fn in_circuit(&self, net: &str) -> bool {
        self.tool.parts.iter().any(|p| p.ends.iter().any(|e| e == net))
    }

    pub fn hands(&mut self) {
        let tool = self.tool;
        let Some(supply) = tool.supply else { return };
        let all = play::corners(tool);
        // Only behind the resistors of a touch plate and the capacitors of a filter the values decide.
        let count = match tool.topology {
            "touch plate" => all.len(),
            "filter" => 2,
            _ => 1,
        };
        let few: Vec<Vec<f64>> = all.into_iter().take(count).collect();
        // One of type AC need not see half waves.
        let one_way = |k: &Kind| matches!(k, Kind::Diode { .. } | Kind::Led { .. } | Kind::Bridge { .. });
        let sure_rcd = tool.rcd && !tool.parts.iter().any(|p| one_way(&p.kind));
        for touchable in &tool.touchables {
            let (mut normal, mut lasting, mut perhaps) = (Over::default(), Over::default(), Over::default());
            let mut faults = vec![Fault::None];
            faults.extend(tool.faults());
            let mut lost = false;
            for fault in &faults {
                let broken = matches!(fault, Fault::Broken(i, _) if tool.insulation[*i].to == touchable.net);
                if !broken && !self.in_circuit(&touchable.net) {
                    continue;
                }
                for turned in [false, true] {
                    if turned && !tool.plug.turns {
                        continue;
                    }
                    for load in 0..play::loads(tool).len() {
                        for on in [true, false] {
                            if !on && !tool.parts.iter().any(|p| matches!(p.kind, Kind::Switch { .. })) {
                                continue;
                            }
                            let nets = (touchable.net.as_str(), "");
                            let got = play::hand(tool, fault, turned, on, load, nets, &few, supply.high);
                            let Some((hand, over, earth)) = got else {
                                lost = true;
                                continue;
                            };
                            let limits = if *fault == Fault::None { NORMAL } else { FAULT };
                            let times = (hand.rms / limits[0]).max(hand.peak / limits[1]).max(hand.dc / limits[2]);
                            let words = format!(
                                "{:.3e} A r.m.s., {:.3e} A peak, {fault:?}, turned {turned}",
                                hand.rms, hand.peak
                            );
                            if *fault == Fault::None {
                                normal.take(times, words);
                            } else if over < 1.0 && earth < if tool.rcd { 0.01 } else { 1.0 } {
                                lasting.take(times, words);
                            } else if over < FUSE_IN_TIME && !(sure_rcd && earth > 1.0) {
                                perhaps.take(times, words);
                            }
                        }
                    }
                }
            }
            let name = touchable.name.as_str();
            if normal.times > 1.03 {
                self.must("touch, normal", TOUCH, name, Signal::Warning, normal.words);
            } else if lasting.times > 1.03 {
                self.must("touch, fault", TOUCH, name, Signal::Warning, lasting.words);
            } else if !lost && normal.times < 0.97 && lasting.times.max(perhaps.times) < 0.97 {
                let words = format!("normal {} / fault {}", normal.words, lasting.words);
                self.silent("touch", TOUCH, name, words);
            }
        }
    }

    /// What opens in normal use has to be told; its numbers are left.
    pub fn opened(&mut self) {
        let worst = self.plays.nominal.iter().map(|p| p.over).fold(0.0, f64::max);
        if worst > 4.0 {
            self.must("opens in use", &["opens-in-use"], "", Signal::Warning, format!("{worst:.1} times its rating"));
        }
    }
}

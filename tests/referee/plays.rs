//! All conditions of a tool, played.

use super::circuit::Fault;
use super::play::{self, Played};
use super::tool::Tool;

/// Everything that was played at the top of the band.
pub struct Plays {
    pub normal: Vec<Played>,
    pub nominal: Vec<Played>,
    pub faults: Vec<Played>,
    /// Conditions the second method itself could not follow.
    pub lost: usize,
}

pub fn play_all(tool: &Tool) -> Plays {
    let mut plays = Plays { normal: vec![], nominal: vec![], faults: vec![], lost: 0 };
    let Some(supply) = tool.supply else { return plays };
    let corners = play::corners(tool);
    let plain = vec![vec![1.0; tool.parts.len()]];
    // What has to be stepped through takes its time: after a fault only what passes most, with the resistors at either end.
    let faulty: Vec<Vec<f64>> = if tool.topology == "capacitor dropper" {
        corners.iter().enumerate().filter(|(k, _)| matches!(k, 1 | 3)).map(|(_, c)| c.clone()).collect()
    } else {
        corners.clone()
    };
    for load in 0..play::loads(tool).len() {
        for turned in if tool.plug.turns { vec![false, true] } else { vec![false] } {
            if turned && !tool.parts.iter().any(|p| p.ends.iter().any(|e| e == "PE")) {
                continue; // the mirror of the other way round
            }
            let mut into = |list: &mut Vec<Played>, fault: &Fault, all: &[Vec<f64>], rms| match play::condition(
                tool, fault, turned, load, all, rms,
            ) {
                Some(p) => list.push(p),
                None => plays.lost += 1,
            };
            into(&mut plays.normal, &Fault::None, &corners, supply.high);
            into(&mut plays.nominal, &Fault::None, &plain, supply.volts);
            for fault in tool.faults() {
                into(&mut plays.faults, &fault, &faulty, supply.high);
            }
        }
    }
    plays
}

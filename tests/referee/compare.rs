//! Program against referee.

use super::plays::{Plays, play_all};
use super::rules;
use super::told::Told;
use super::tool::{Kind, Tool};
use super::verdict::{Expect, Judge};
use std::collections::BTreeMap;

/// Of one limit: how often it had to be told, had to be left, and what went otherwise.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    pub must: usize,
    pub silent: usize,
    pub missed: usize,
    pub alarms: usize,
}

#[derive(Default)]
pub struct Outcome {
    pub tallies: BTreeMap<&'static str, Tally>,
    pub numbers: usize,
    pub complaints: Vec<String>,
    pub lost: usize,
}

/// All that is expected of a tool.
pub fn expectations(tool: &Tool) -> (Vec<Expect>, Plays) {
    let plays = play_all(tool);
    let mut judge = Judge { tool, plays: &plays, out: Vec::new() };
    // What opens in use, or is not followed to its end, leaves the numbers open.
    let opens = plays.normal.iter().any(|p| p.over > 1.0);
    let varistor = tool
        .parts
        .iter()
        .any(|p| matches!(p.kind, Kind::Varistor { volts } if volts < 1.1 * tool.supply.map_or(0.0, |s| s.high)));
    if varistor || plays.lost > 0 {
        // Nothing is known of the numbers.
    } else if opens {
        // The numbers hold as long as the device does.
        judge.parts();
        // Before it opens no box gets warm.
        judge.out.retain(|e| e.least.is_some() && e.class != "box");
        judge.opened();
    } else {
        judge.parts();
        judge.hands();
        judge.charge();
    }
    rules::judge(&mut judge);
    (judge.out, plays)
}

/// Holds a report against a tool.
pub fn compare(seed: u64, tool: &Tool, told: &Told) -> Outcome {
    let mut outcome = Outcome::default();
    let (expected, plays) = expectations(tool);
    outcome.lost = plays.lost;
    if told.unsolved > 0 {
        outcome.complaints.push(format!("{seed} unsolved {}", told.unsolved));
    }
    for e in &expected {
        let tally = outcome.tallies.entry(e.class).or_default();
        let found: Vec<_> = told
            .findings
            .iter()
            .filter(|f| {
                e.checks.contains(&f.check.as_str()) && (e.subject.is_empty() || f.subjects.contains(&e.subject))
            })
            .collect();
        match e.least {
            Some(least) => {
                tally.must += 1;
                if !found.iter().any(|f| f.signal >= least) {
                    tally.missed += 1;
                    let got: Vec<_> = found.iter().map(|f| format!("{:?} {}", f.signal, f.check)).collect();
                    outcome.complaints.push(format!(
                        "{seed} MISSED {} {} ({}): {} {got:?} [{}]",
                        e.class,
                        e.subject,
                        e.checks.join("/"),
                        e.why,
                        tool.topology
                    ));
                }
            }
            None => {
                tally.silent += 1;
                // Pulses and switching on are no steady state: other tests look at them.
                if let Some(f) = found.iter().find(|f| !f.condition.contains("switched on")) {
                    tally.alarms += 1;
                    outcome.complaints.push(format!(
                        "{seed} ALARM {} {}: {} but {:?} {} [{}] {}",
                        e.class, e.subject, e.why, f.signal, f.check, f.condition, f.message
                    ));
                }
            }
        }
    }
    numbers(seed, tool, &plays, told, &mut outcome);
    outcome
}

/// Solved numbers within this of each other.
const CLOSE: f64 = 0.02;

fn numbers(seed: u64, tool: &Tool, plays: &Plays, told: &Told, outcome: &mut Outcome) {
    if plays.lost > 0
        || plays.normal.iter().any(|p| p.over > 0.95)
        || tool.parts.iter().any(|p| matches!(p.kind, Kind::Varistor { .. }))
    {
        return;
    }
    for (k, part) in tool.parts.iter().enumerate() {
        let quantities: &[&str] = match part.kind {
            Kind::Resistor { .. } | Kind::Filament { .. } => &["power", "voltage_rms"],
            Kind::Led { .. } | Kind::Neon { .. } => &["current_rms"],
            _ => continue,
        };
        for q in quantities {
            let own = plays.normal.iter().map(|p| match *q {
                "power" => p.parts[k].watts,
                "voltage_rms" => p.parts[k].v_rms,
                _ => p.parts[k].i_rms,
            });
            let own = own.fold(0.0, f64::max);
            let Some(row) = told.rows.iter().find(|r| r.part == part.name && r.quantity == *q && !r.fault) else {
                continue;
            };
            let small = match *q {
                "power" => 1e-4,
                "voltage_rms" => 0.1,
                _ => 1e-6,
            };
            outcome.numbers += 1;
            if (row.value - own).abs() > CLOSE * own.max(small) {
                outcome.complaints.push(format!(
                    "{seed} NUMBER {} {q}: program {:.5e}, referee {own:.5e} ({}) [{}]",
                    part.name, row.value, row.condition, tool.topology
                ));
            }
        }
    }
}

//! What a whole check costs of processor time: tools on a transformer, and panels of 100, 200 and 500 parts. Beside each
//! figure its ratio to the steady state of a capacitor-fed LED in the same run, since machines differ.
//! `cargo bench --bench check`, or `cargo bench --bench check -- WORD` for those with the word in their name.

mod tools;

use deadfront::circuit::{Branch, Circuit, Device, Solver};
use std::hint::black_box;
use std::time::Instant;

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let unit = capacitor_fed();
    println!("capacitor-fed LED: {:.1} µs", 1e6 * unit);
    println!(
        "{:<28}{:>12}{:>10}{:>12}{:>14}{:>9}",
        "tool", "conditions", "unsolved", "seconds", "capacitor-fed", "MiB"
    );
    for (name, text) in tools::all() {
        if !wanted.is_empty() && !wanted.iter().any(|w| name.contains(w.as_str())) {
            continue;
        }
        let before = processor_seconds();
        let report = match deadfront::check(&text, &deadfront::Options::default()) {
            Ok(report) => report,
            Err(errors) => {
                println!("{name}: {}", errors[0]);
                continue;
            }
        };
        let seconds = processor_seconds() - before;
        let conditions = report.judgement.conditions;
        println!(
            "{name:<28}{:>12}{:>10}{seconds:>12.2}{:>14.0}{:>9}",
            conditions.solved + conditions.unsolved,
            conditions.unsolved,
            seconds / unit,
            most_memory()
        );
    }
}

/// Processor seconds of this process so far, all threads; the wall clock where the system does not tell.
fn processor_seconds() -> f64 {
    const TICKS_A_SECOND: f64 = 100.0;
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // Behind the name, which stands in brackets: user time and system time are the 12th and 13th.
    let behind = stat.rsplit(')').next().unwrap_or_default();
    let ticks: Vec<f64> = behind.split_whitespace().skip(11).take(2).filter_map(|t| t.parse().ok()).collect();
    if ticks.len() == 2 {
        return (ticks[0] + ticks[1]) / TICKS_A_SECOND;
    }
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    START.get_or_init(Instant::now).elapsed().as_secs_f64()
}

/// Most memory that was resident so far, MiB; 0 where the system does not tell.
fn most_memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:")).unwrap_or_default();
    line.split_whitespace().next().and_then(|kib| kib.parse::<u64>().ok()).map_or(0, |kib| kib / 1024)
}

/// Seconds of one steady state of LEDs in a bridge behind a capacitor, from an unprepared circuit: the best of many.
fn capacitor_fed() -> f64 {
    let branch = |a: usize, b: usize, device: Device| Branch { a, b, device };
    let diode =
        |a, b, forward, on_ohms| branch(a, b, Device::Diode { forward, on_ohms, off_ohms: 1e7, breakdown: None });
    let mut branches =
        vec![branch(1, 0, Device::Source { dc: 0.0, sine: 230.0 * std::f64::consts::SQRT_2, phase: 0.0 })];
    branches.push(branch(1, 2, Device::Resistor { ohms: 220.0 }));
    branches.push(branch(2, 3, Device::Capacitor { farads: 330e-9 }));
    branches.push(branch(2, 3, Device::Resistor { ohms: 1e6 }));
    branches.extend([diode(3, 4, 0.65, 1.0), diode(0, 4, 0.65, 1.0), diode(5, 3, 0.65, 1.0), diode(5, 0, 0.65, 1.0)]);
    branches.push(diode(4, 5, 28.0, 120.0));
    let circuit = Circuit { nodes: 6, hertz: 50.0, branches, ..Circuit::default() };
    let once = || {
        let start = Instant::now();
        let _ = black_box(Solver::new(black_box(&circuit)).and_then(|mut s| s.steady(black_box(1.0))));
        start.elapsed().as_secs_f64()
    };
    (0..2000).map(|_| once()).fold(f64::INFINITY, f64::min)
}

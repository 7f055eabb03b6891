//! What happens at one instant: devices leave their segments until a consistent mode is found, one in which every guard
//! holds.

use super::machine::{Machine, Position};
use super::margins::{falls_now, violated};
use super::mode::{Guard, at};
use super::netlist::Device;
use super::segment::Segment;
use super::trace::Event;
use super::unsolved::in_time;

/// Rounds in which all violated guards flip their devices at once; after them only the first one does (Murty's rule,
/// which ends for every network whose characteristics rise).
const ALL_AT_ONCE: usize = 8;
/// Rounds after those, for each guard of the mode.
const ROUNDS_PER_GUARD: usize = 2;
/// Rounds from one look at the clock to the next.
const ROUNDS_A_LOOK: usize = 16;
/// Volts a second below which the instant of an event hardly moves with the state: its share would be rounding.
const STANDSTILL: f64 = 1e-12;

/// What one instant did to each lamp, by device: for the rules that make a consistent mode exist.
#[derive(Default)]
struct LampRecord {
    struck: Vec<usize>,
    quenched: Vec<usize>,
    held: Vec<usize>,
}

/// Where the devices came to rest.
#[derive(Debug, Clone, Copy)]
pub(super) struct Settled {
    pub mode: usize,
    /// Whether every guard of the mode holds.
    pub consistent: bool,
}

impl Settled {
    /// The mode, if every guard of it holds.
    pub(super) fn mode_if_consistent(self) -> Option<usize> {
        self.consistent.then_some(self.mode)
    }
}

/// Finds a mode whose guards all hold at the position's `z`, from the segments it has, and puts it there.
pub(super) fn settle(machine: &mut Machine, here: &mut Position) -> Settled {
    settle_with(machine, here, &mut LampRecord::default())
}

/// Flips the device whose guard fell, and all whose guards fall with it (equal arms of a bridge, equal branches: one
/// event instead of many), then settles. Who left its segment is appended to `events` as happened at `t`.
pub(super) fn event(
    machine: &mut Machine,
    mode: usize,
    guard: usize,
    here: &mut Position,
    t: f64,
    events: &mut Vec<Event>,
) -> Settled {
    let before = here.segments.clone();
    let mut record = LampRecord::default();
    let left = &machine.modes[mode];
    let mut flips = vec![left.guards[guard]];
    for (k, g) in left.guards.iter().enumerate() {
        if k != guard && falls_now(left, k, &here.z) && flips.iter().all(|f| f.device != g.device) {
            flips.push(*g);
        }
    }
    flip(machine, mode, &flips, here, &mut record);
    let settled = settle_with(machine, here, &mut record);
    for (device, (&from, &to)) in before.iter().zip(&here.segments).enumerate() {
        if from != to {
            events.push(Event { t, device, from, to });
        }
    }
    settled
}

fn settle_with(machine: &mut Machine, here: &mut Position, record: &mut LampRecord) -> Settled {
    let mut round = 0;
    loop {
        let mode = machine.mode(&here.segments);
        let flips = violators(machine, mode, &here.z, record, round >= ALL_AT_ONCE);
        if flips.is_empty() {
            return Settled { mode, consistent: true };
        }
        // Out of time is told by whoever walks on.
        let late = round % ROUNDS_A_LOOK == ROUNDS_A_LOOK - 1 && in_time(machine.plan.until).is_err();
        if late || round >= ALL_AT_ONCE + ROUNDS_PER_GUARD * machine.modes[mode].guards.len() {
            return Settled { mode, consistent: false };
        }
        flip(machine, mode, &flips, here, record);
        round += 1;
    }
}

/// The violated guards of a mode at `z`, or only the first of them.
fn violators(machine: &Machine, mode: usize, z: &[f64], record: &LampRecord, first_only: bool) -> Vec<Guard> {
    let mode = &machine.modes[mode];
    let mut out = vec![];
    for (k, guard) in mode.guards.iter().enumerate() {
        // A lamp put on hold in this event re-arms only in a later one.
        let rearms = mode.segments[guard.device].is_held() && matches!(guard.to, Segment::Up | Segment::Down);
        if rearms && record.held.contains(&guard.device) {
            continue;
        }
        if violated(mode, k, z) {
            out.push(*guard);
            if first_only {
                break;
            }
        }
    }
    out
}

/// Puts the guards' devices on their new segments.
fn flip(machine: &Machine, mode: usize, guards: &[Guard], here: &mut Position, record: &mut LampRecord) {
    for g in guards {
        here.segments[g.device] = lamp_rule(machine, mode, *g, &here.z, record);
    }
}

/// Where a guard's device goes. Lamps are hysteretic; these rules always end: one that struck in this instant below its
/// extinction current, or is driven at once after going out, is held lit.
fn lamp_rule(machine: &Machine, mode: usize, guard: Guard, z: &[f64], record: &mut LampRecord) -> Segment {
    let Guard { device, to } = guard;
    let Some(&branch) = machine.plan.forest.switching.get(device) else { return to };
    if !matches!(machine.plan.links[branch].device, Device::Neon { .. }) {
        return to;
    }
    let old = machine.modes[mode].segments[device];
    match (old, to) {
        (Segment::Off, way) if record.quenched.contains(&device) => {
            record.held.push(device);
            way.held()
        }
        (Segment::Off, way) => {
            record.struck.push(device);
            way
        }
        (Segment::Up | Segment::Down, Segment::Off)
            if record.struck.contains(&device) && at(&machine.modes[mode].i, branch, z) * old.sign() > 0.0 =>
        {
            record.held.push(device);
            old.held()
        }
        (_, Segment::Off) => {
            record.quenched.push(device);
            Segment::Off
        }
        (_, way) => way,
    }
}

/// Carries the sensitivity `phi` (n × n) across an event at `z`, where `guard` of one mode fell and led to the mode after
/// it: its instant itself moves with the state.
pub(super) fn saltate(machine: &Machine, before: usize, after: usize, guard: usize, z: &[f64], phi: &mut [f64]) {
    let n = machine.plan.n;
    let (before, after) = (&machine.modes[before], &machine.modes[after]);
    let row = before.guard_row(guard, z.len());
    let speed = at(&before.guard_rates, guard, z);
    if speed.abs() < STANDSTILL {
        return;
    }
    let jump: Vec<f64> = (0..n).map(|k| at(&after.rate_rows, k, z) - at(&before.rate_rows, k, z)).collect();
    for c in 0..n {
        let moved: f64 = (0..n).map(|k| row[k] * phi[k * n + c]).sum::<f64>() / speed;
        for k in 0..n {
            phi[k * n + c] += jump[k] * moved;
        }
    }
}

//! What a walk through time leaves behind.

use super::segment::Segment;

/// How a step was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Road {
    /// A whole step of this level of the ladder.
    Ladder(usize),
    /// A part of a step of this level, by the polynomial through its quarters.
    Part(usize),
    /// By the series of Taylor.
    Taylor,
}

/// One accepted step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub mode: usize,
    pub road: Road,
    /// Its start, seconds.
    pub t: f64,
    /// Its length, seconds.
    pub h: f64,
}

/// A device that left its segment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Event {
    /// Seconds, or radians of the mains where there is no storage.
    pub t: f64,
    pub device: usize,
    pub from: Segment,
    pub to: Segment,
}

/// What happened between two instants.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace {
    pub steps: Vec<Step>,
    /// The extended state at the start of every step and at the end.
    pub z: Vec<f64>,
    pub events: Vec<Event>,
    /// Whether a mode had to be held that was not consistent.
    pub forced: bool,
    /// The first switching device that was held so, by its number, where it is known.
    pub held: Option<usize>,
}

/// Steps of a cycle or two.
const ROOM: usize = 160;

impl Trace {
    /// With room for a cycle or two of steps of `nz` numbers, so that it need not grow while it is written.
    pub(super) fn with_room(nz: usize) -> Trace {
        Trace { steps: Vec::with_capacity(ROOM), z: Vec::with_capacity(ROOM * nz), ..Trace::default() }
    }

    /// Empties it, keeping its room.
    pub(super) fn clear(&mut self) {
        self.steps.clear();
        self.z.clear();
        self.events.clear();
        self.forced = false;
        self.held = None;
    }

    /// Its length, seconds; `None` when it has no steps.
    pub(super) fn span(&self) -> Option<f64> {
        self.steps.last().map(|s| s.t + s.h)
    }

    /// The extended states (of `nz` numbers) at the two ends of step `k`.
    pub(super) fn ends(&self, k: usize, nz: usize) -> (&[f64], &[f64]) {
        (&self.z[k * nz..(k + 1) * nz], &self.z[(k + 1) * nz..(k + 2) * nz])
    }

    /// Appends a trace that begins `t` seconds after this one and where this one has its end (of `nz` numbers).
    pub(super) fn append(&mut self, part: &Trace, t: f64, nz: usize) {
        self.steps.extend(part.steps.iter().map(|s| Step { t: s.t + t, ..*s }));
        self.events.extend(part.events.iter().map(|e| Event { t: e.t + t, ..*e }));
        // The end of one part is the start of the next.
        self.z.truncate(self.z.len().saturating_sub(nz));
        self.z.extend_from_slice(&part.z);
        self.forced |= part.forced;
        self.held = self.held.or(part.held);
    }
}

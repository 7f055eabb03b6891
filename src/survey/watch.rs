//! How far a check has come, for whoever waits. Must not know how it is shown.

use std::sync::atomic::{AtomicU8, AtomicUsize, Ordering};

/// What a check is working on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Conditions without a fault and with one.
    Conditions,
    /// Two faults at once.
    Pairs,
    /// What might cure the findings.
    Cures,
}

/// A counter that a check moves on and another thread reads.
#[derive(Debug, Default)]
pub struct Watch {
    done: AtomicUsize,
    of: AtomicUsize,
    stage: AtomicU8,
}

impl Watch {
    /// Something else is worked on from here; what was counted belongs to what went before.
    pub fn enter(&self, stage: Stage) {
        self.stage.store(stage as u8, Ordering::Relaxed);
        self.done.store(0, Ordering::Relaxed);
        self.of.store(0, Ordering::Relaxed);
    }

    /// So many more tasks are ahead.
    pub fn expect(&self, tasks: usize) {
        self.of.fetch_add(tasks, Ordering::Relaxed);
    }

    /// One task is done.
    pub fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    /// Tasks done and tasks known of.
    pub fn read(&self) -> (usize, usize) {
        (self.done.load(Ordering::Relaxed), self.of.load(Ordering::Relaxed))
    }

    /// What is worked on.
    pub fn stage(&self) -> Stage {
        let stage = self.stage.load(Ordering::Relaxed);
        [Stage::Pairs, Stage::Cures].into_iter().find(|s| *s as u8 == stage).unwrap_or(Stage::Conditions)
    }
}

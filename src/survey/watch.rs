//! How far a survey has come, for whoever waits. Must not know how it is shown.

use std::sync::atomic::{AtomicUsize, Ordering};

/// A counter that the survey moves on and another thread reads.
#[derive(Debug, Default)]
pub struct Watch {
    done: AtomicUsize,
    of: AtomicUsize,
}

impl Watch {
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
}

//! Counts what a plugin uses up, and remembers which bound it passed first. Must not know what it does.

use super::bounds::Bounds;
use super::failure::{Failed, Failure};
use mlua::{Lua, WeakLua};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What the host's functions and the machine share.
#[derive(Clone)]
pub(crate) struct Meter {
    /// Set from outside: stop.
    pub stop: Arc<AtomicBool>,
    calls: Rc<Cell<u64>>,
    steps: Rc<Cell<u64>>,
    /// The first bound that was passed. A plugin cannot take it back.
    exceeded: Rc<Cell<Option<Failure>>>,
    /// Line of the plugin at which it was.
    line: Rc<Cell<Option<u32>>>,
    /// Line at which it failed.
    failed: Rc<Cell<Option<u32>>>,
    /// The machine and the plugin's name in it, to ask for a line.
    machine: Rc<RefCell<Option<(WeakLua, String)>>>,
}

impl Meter {
    pub(super) fn new(bounds: Bounds, stop: Arc<AtomicBool>) -> Meter {
        let cell = |n| Rc::new(Cell::new(n));
        let (calls, steps) = (cell(bounds.calls), cell(bounds.steps));
        let (exceeded, line, failed, machine) = Default::default();
        Meter { stop, calls, steps, exceeded, line, failed, machine }
    }

    fn fail(&self, failure: Failure) -> mlua::Error {
        if self.exceeded.get().is_none() {
            self.exceeded.set(Some(failure));
            self.line.set(self.line_now());
        }
        mlua::Error::runtime(failure.words())
    }

    /// The bound that was passed first, where one was.
    pub(super) fn exceeded(&self) -> Option<Failed> {
        self.exceeded.get().map(|failure| Failed { line: self.line.get(), ..Failed::new(failure, "") })
    }

    /// Says which machine runs the plugin of this id, to ask it for a line.
    pub(super) fn watch(&self, lua: &Lua, id: &str) {
        *self.machine.borrow_mut() = Some((lua.weak(), id.to_string()));
    }

    /// Notes the line that is running as the one at which the plugin failed.
    pub(super) fn note_failure(&self) {
        self.failed.set(self.line_now());
    }

    /// The line that was noted.
    pub(super) fn failed_at(&self) -> Option<u32> {
        self.failed.get()
    }

    /// The line of the plugin that is running.
    fn line_now(&self) -> Option<u32> {
        let machine = self.machine.borrow();
        let (lua, id) = machine.as_ref()?;
        line_now(&lua.try_upgrade()?, id)
    }

    /// Counts a host call.
    ///
    /// # Errors
    /// There were too many, or the time is over.
    pub(crate) fn spend(&self, cost: u64) -> mlua::Result<()> {
        if self.stop.load(Ordering::Relaxed) {
            return Err(self.fail(Failure::OutOfTime));
        }
        match self.calls.get().checked_sub(cost) {
            Some(left) => {
                self.calls.set(left);
                Ok(())
            }
            None => Err(self.fail(Failure::TooManyCalls)),
        }
    }

    pub(super) fn step(&self) -> mlua::Result<()> {
        if self.exceeded.get().is_some() {
            return Err(mlua::Error::runtime("stopped"));
        }
        let left = self.steps.get();
        if left == 0 || self.stop.load(Ordering::Relaxed) {
            return Err(self.fail(Failure::OutOfTime));
        }
        self.steps.set(left - 1);
        Ok(())
    }
}

/// The line of the plugin that is running.
fn line_now(lua: &Lua, id: &str) -> Option<u32> {
    // Deeper than this nobody looks for his own line.
    const LEVELS: usize = 64;
    let line = |level| {
        lua.inspect_stack(level, |d| {
            let own = d.source().short_src.is_some_and(|s| s == id);
            own.then(|| d.current_line()).flatten().and_then(|l| u32::try_from(l).ok())
        })
    };
    (0..LEVELS).map_while(line).flatten().next()
}

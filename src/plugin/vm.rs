//! One machine for one plugin and one jig: nothing of the world in it, and bounds on time, memory and calls. Runs on a thread
//! of its own, so that whoever waits can turn away from it. Must not know what a jig is.
//!
//! Order matters: libraries, compiler, prelude, the host's functions, `sandbox(true)`, interrupt, memory limit last.

use mlua::chunk::{ChunkMode, Compiler};
use mlua::{Function, Lua, LuaOptions, StdLib, Table, Value, VmState, WeakLua};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

/// What a plugin may use up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Bounds {
    /// Milliseconds until it is told to stop.
    pub milliseconds: u64,
    /// Milliseconds after that until it is left behind.
    pub grace: u64,
    /// Bytes of its machine.
    pub memory: usize,
    /// Loops and calls, counted by the machine: ends a loop at the same point on every computer.
    pub steps: u64,
    /// Host calls: 1 a look-up, [`SOLVE_COST`] a solution.
    pub calls: u64,
}

impl Default for Bounds {
    fn default() -> Bounds {
        Bounds { milliseconds: 500, grace: 250, memory: 32 << 20, steps: 4_000_000, calls: 300_000 }
    }
}

/// Host calls that one solution counts for.
pub(crate) const SOLVE_COST: u64 = 1_000;
/// The compiler is outside every bound: sources are kept short.
pub(crate) const MOST_SOURCE: usize = 128 << 10;
/// Bytes at which rubbish is first collected.
const SOON: usize = 1 << 20;
/// Characters of an error that are kept.
const MOST_ERROR: usize = 300;

/// Why a plugin failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Failure {
    /// It ran past its time or its steps.
    OutOfTime,
    /// It wanted more memory than it may have.
    OutOfMemory,
    /// It is no Lua.
    Syntax,
    /// It stopped with an error.
    Error,
    /// It gave back something that is no list of findings.
    Refused,
    /// It asked the host too often.
    TooManyCalls,
    /// Its source is longer than it may be.
    TooLarge,
    /// The host itself failed while it ran.
    Panic,
    /// It could not be stopped.
    DoesNotStop,
}

impl Failure {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Failure::OutOfTime => "out of time",
            Failure::OutOfMemory => "out of memory",
            Failure::Syntax => "syntax",
            Failure::Error => "error",
            Failure::Refused => "refused result",
            Failure::TooManyCalls => "too many host calls",
            Failure::TooLarge => "source too large",
            Failure::Panic => "panic",
            Failure::DoesNotStop => "does not stop",
        }
    }
}

/// A failure with what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Failed {
    /// Why.
    pub failure: Failure,
    /// More, in words; cleaned and short.
    pub message: String,
    /// Line of `check.lua`, where there is one.
    pub line: Option<u32>,
}

impl Failed {
    /// A failure without a line.
    pub(crate) fn new(failure: Failure, message: impl Into<String>) -> Failed {
        Failed { failure, message: message.into(), line: None }
    }
}

/// What the host's functions and the machine share.
#[derive(Clone)]
pub(crate) struct Meter {
    /// Set from outside: stop.
    pub stop: Arc<AtomicBool>,
    calls: Rc<Cell<u64>>,
    steps: Rc<Cell<u64>>,
    /// The first bound that was passed. A plugin cannot take it back.
    broken: Rc<Cell<Option<Failure>>>,
    /// Line of the plugin at which it was.
    line: Rc<Cell<Option<u32>>>,
    /// Line at which it failed.
    failed: Rc<Cell<Option<u32>>>,
    /// The machine and the plugin's name in it, to ask for a line.
    machine: Rc<RefCell<Option<(WeakLua, String)>>>,
}

impl Meter {
    fn new(limits: Bounds, stop: Arc<AtomicBool>) -> Meter {
        let cell = |n| Rc::new(Cell::new(n));
        let (calls, steps) = (cell(limits.calls), cell(limits.steps));
        let (broken, line, failed, machine) = Default::default();
        Meter { stop, calls, steps, broken, line, failed, machine }
    }

    fn fail(&self, failure: Failure) -> mlua::Error {
        if self.broken.get().is_none() {
            self.broken.set(Some(failure));
            self.line.set(self.line_now());
        }
        mlua::Error::runtime(failure.words())
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

    fn step(&self) -> mlua::Result<()> {
        if self.broken.get().is_some() {
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

/// Built-ins that the prelude replaces or removes: calls to them must not be compiled into direct ones.
const DISABLED: &[&str] = &[
    "string.find",
    "string.match",
    "string.gmatch",
    "string.gsub",
    "string.split",
    "string.rep",
    "string.format",
    "table.sort",
    "table.move",
    "table.concat",
    "table.create",
    "table.insert",
    "table.find",
    "tostring",
    "math.random",
    "math.randomseed",
    "math.noise",
    "os.clock",
    "os.time",
    "os.date",
    "require",
    "loadstring",
    "load",
    "dofile",
    "loadfile",
    "getfenv",
    "setfenv",
    "newproxy",
    "print",
    "collectgarbage",
    "gcinfo",
    "pcall",
    "xpcall",
    "coroutine.create",
    "coroutine.wrap",
    "coroutine.resume",
    "coroutine.yield",
    "buffer.create",
    "vector.create",
];

/// Loads a source and calls its `check` in a fresh machine. `provide` gives the machine the host's functions and returns
/// what `check` is called with; `take` reads the result.
///
/// # Errors
/// The plugin failed.
pub(crate) fn run<T>(
    source: &str,
    id: &str,
    limits: Bounds,
    stop: Arc<AtomicBool>,
    provide: impl FnOnce(&Lua, &Meter) -> mlua::Result<Value>,
    take: impl FnOnce(Value) -> Result<T, String>,
) -> Result<T, Failed> {
    if source.len() > MOST_SOURCE {
        let words = format!("{} bytes, at most {MOST_SOURCE}", source.len());
        return Err(Failed::new(Failure::TooLarge, words));
    }
    let meter = Meter::new(limits, stop);
    let read_error = |e: &mlua::Error| failed(&meter, id, e);
    let (lua, trampoline, argument) = machine(limits, id, &meter, provide).map_err(|e| read_error(&e))?;
    let compiled = lua.load(source).set_name(format!("={id}")).set_mode(ChunkMode::Text).into_function();
    let chunk = compiled.map_err(|e| read_error(&e))?;
    let call = |f: Function, argument: Value| -> Result<Value, Failed> {
        let (fine, result): (bool, Value) = trampoline.call((f, argument)).map_err(|e| read_error(&e))?;
        if let Some(failure) = meter.broken.get() {
            return Err(Failed { line: meter.line.get(), ..Failed::new(failure, "") });
        }
        if fine {
            return Ok(result);
        }
        let failed = match &result {
            // Cut before it is anything else: a text of bytes that are no UTF-8 grows to three times its length.
            Value::String(s) => from_text(id, &String::from_utf8_lossy(cut(&s.as_bytes()))),
            Value::Error(e) => read_error(e),
            _ => Failed::new(Failure::Error, "it failed with something that is no text"),
        };
        Err(Failed { line: failed.line.or(meter.failed.get()), ..failed })
    };
    let refused = |m: &str| Failed::new(Failure::Refused, m);
    let module = call(chunk, Value::Nil)?;
    let check = match &module {
        Value::Table(t) => t.raw_get::<Value>("check").ok(),
        _ => None,
    };
    let Some(Value::Function(check)) = check else {
        return Err(refused("check.lua has to end with: return { check = function(jig) … end }"));
    };
    let result = call(check, argument)?;
    take(result).map_err(|m| refused(&m))
}

fn compiler() -> Compiler {
    Compiler::new().set_disabled_builtins(DISABLED.iter().copied())
}

/// The prelude, compiled once for all machines of a run.
fn prelude() -> mlua::Result<&'static [u8]> {
    static CODE: OnceLock<Result<Vec<u8>, String>> = OnceLock::new();
    let code = CODE.get_or_init(|| compiler().compile(include_str!("prelude.luau")).map_err(|e| e.to_string()));
    code.as_deref().map_err(mlua::Error::runtime)
}

fn machine(
    limits: Bounds,
    id: &str,
    meter: &Meter,
    provide: impl FnOnce(&Lua, &Meter) -> mlua::Result<Value>,
) -> mlua::Result<(Lua, Function, Value)> {
    let libraries = StdLib::TABLE | StdLib::STRING | StdLib::MATH | StdLib::UTF8 | StdLib::BIT;
    // A panic of the host must not be something a plugin can catch.
    // Dropping the first handle collects all rubbish: nobody needs that just before everything goes, and now there is little.
    let lua = Lua::new_with(libraries, LuaOptions::new().catch_rust_panics(false))?.clone();
    // Rubbish is collected below, when it is worth it: most plugins are done long before.
    lua.gc_stop();
    lua.set_compiler(compiler());
    let prelude = lua.load(prelude()?).set_name("=prelude").set_mode(ChunkMode::Binary);
    let noted = meter.clone();
    let note = lua.create_function(move |_, ()| {
        noted.failed.set(noted.line_now());
        Ok(())
    })?;
    let trampoline: Function = prelude.call(note)?;
    let argument = provide(&lua, meter)?;
    lua.sandbox(true)?;
    let counted = meter.clone();
    *meter.machine.borrow_mut() = Some((lua.weak(), id.to_string()));
    // An honest plugin that makes much and keeps little would otherwise meet the limit: nothing is collected when it is hit.
    // Sooner than that memory is dear, too: fresh pages cost more than the rubbish on the old ones.
    let collect_at = Cell::new(SOON.min(limits.memory / 4));
    lua.set_interrupt(move |lua| {
        counted.step()?;
        if lua.used_memory() > collect_at.get() {
            lua.gc_collect()?;
            let used = lua.used_memory();
            collect_at.set(used + used.max(SOON).min(limits.memory / 4));
        }
        Ok(VmState::Continue)
    });
    lua.set_memory_limit(limits.memory)?;
    Ok((lua, trampoline, argument))
}

/// What an error of the machine means.
fn failed(meter: &Meter, id: &str, error: &mlua::Error) -> Failed {
    if let Some(failure) = meter.broken.get() {
        return Failed { line: meter.line.get(), ..Failed::new(failure, "") };
    }
    match error {
        mlua::Error::SyntaxError { message, .. } => Failed { failure: Failure::Syntax, ..from_text(id, message) },
        mlua::Error::MemoryError(_) => Failed::new(Failure::OutOfMemory, ""),
        mlua::Error::RuntimeError(text) => from_text(id, text),
        mlua::Error::CallbackError { traceback, cause } => {
            let inner = failed(meter, id, cause);
            Failed { line: inner.line.or_else(|| line_in(id, traceback)), ..inner }
        }
        // The words are the library's and the host's own. A full stop for the colon is the slip behind nearly all of them.
        mlua::Error::BadArgument { .. } | mlua::Error::FromLuaConversionError { .. } => {
            let words: String = error.to_string().lines().next().unwrap_or_default().chars().take(MOST_ERROR).collect();
            Failed::new(Failure::Error, format!("{words}; functions of jig are called with a colon: jig:parts(…)"))
        }
        _ => Failed::new(Failure::Error, "it failed with something that is no text"),
    }
}

/// Bytes enough for the longest error that is kept.
fn cut(bytes: &[u8]) -> &[u8] {
    &bytes[..bytes.len().min(4 * MOST_ERROR)]
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

/// The first line of the plugin's source that a traceback names.
fn line_in(id: &str, traceback: &str) -> Option<u32> {
    let mark = format!("{id}:");
    let rest = traceback.lines().find_map(|l| l.trim_start().strip_prefix(&mark))?;
    rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

/// Takes `id:12: message` apart. Cut before anything else is done with it.
fn from_text(id: &str, text: &str) -> Failed {
    let text: String = text.lines().next().unwrap_or_default().chars().take(MOST_ERROR).collect();
    // The machine's own words; a plugin's would stand behind its name and line.
    if text == "not enough memory" {
        return Failed::new(Failure::OutOfMemory, "");
    }
    let rest = text.strip_prefix(id).and_then(|t| t.strip_prefix(':')).and_then(|t| t.split_once(':'));
    let found = rest.and_then(|(line, message)| Some((line.trim().parse().ok()?, message.trim())));
    let (line, message) = found.map_or((None, text.as_str()), |(line, message)| (Some(line), message));
    // A library function that the prelude stands before names its own line there.
    let library = message.strip_prefix("prelude:").and_then(|rest| rest.split_once(": "));
    let message = library.map_or(message, |(_, message)| message);
    // The machine's words for the two slips it is shortest about.
    let more = match message {
        m if m.starts_with("attempt to call a nil value") => {
            "; no function of that name is here: print, pcall, require, os, io and debug are not either"
        }
        "attempt to modify a readonly table" => "; what comes from the jig is for reading only",
        _ => "",
    };
    Failed { failure: Failure::Error, message: format!("{message}{more}"), line }
}

/// Lets the host put its tables together without the memory limit, and looks at it when they are done. With a limit each
/// single key is a protected call, at many times its cost.
///
/// # Errors
/// What `make` says; the machine holds more than it may.
pub(crate) fn unlimited<T>(lua: &Lua, make: impl FnOnce() -> mlua::Result<T>) -> mlua::Result<T> {
    let limit = lua.set_memory_limit(0)?;
    let made = make();
    lua.set_memory_limit(limit)?;
    if limit > 0 && lua.used_memory() > limit {
        return Err(mlua::Error::MemoryError(String::new()));
    }
    made
}

/// Puts something into a frozen table of the host's own.
///
/// # Errors
/// The machine holds more than it may.
pub(crate) fn put(lua: &Lua, table: &Table, key: Value, value: &Value) -> mlua::Result<()> {
    table.set_readonly(false);
    let put = unlimited(lua, || table.raw_set(key, value));
    table.set_readonly(true);
    put
}

/// Refuses a write, whoever tries it.
///
/// # Errors
/// The machine is out of memory.
pub(crate) fn frozen(table: Table) -> mlua::Result<Table> {
    table.set_readonly(true);
    Ok(table)
}

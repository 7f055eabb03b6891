//! One machine for one plugin and one jig: nothing of the world in it, and bounds on time, memory and calls. Runs on a thread
//! of its own, so that whoever waits can turn away from it. Must not know what a jig is.
//!
//! Order matters: libraries, compiler, prelude, the host's functions, `sandbox(true)`, interrupt, memory limit last.

mod bounds;
mod errors;
mod failure;
mod meter;
mod ordered;
mod tables;

pub(crate) use bounds::{Bounds, SOLVE_COST};
pub(crate) use failure::{Failed, Failure};
pub(crate) use meter::Meter;
pub(crate) use tables::{frozen, put, unlimited};

use errors::{cut, failed, from_text};
use mlua::chunk::{ChunkMode, Compiler};
use mlua::{Function, Lua, LuaOptions, StdLib, Value, VmState};
use std::cell::Cell;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

/// The compiler is outside every bound: sources are kept short.
pub(crate) const MOST_SOURCE: usize = 128 << 10;
/// Bytes at which rubbish is first collected.
const SOON: usize = 1 << 20;
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
    "table.foreach",
    "next",
    "pairs",
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
    bounds: Bounds,
    stop: Arc<AtomicBool>,
    provide: impl FnOnce(&Lua, &Meter) -> mlua::Result<Value>,
    take: impl FnOnce(Value) -> Result<T, String>,
) -> Result<T, Failed> {
    if source.len() > MOST_SOURCE {
        let words = format!("{} bytes, at most {MOST_SOURCE}", source.len());
        return Err(Failed::new(Failure::TooLarge, words));
    }
    let meter = Meter::new(bounds, stop);
    let read_error = |e: &mlua::Error| failed(&meter, id, e);
    let (lua, trampoline, argument) = machine(bounds, id, &meter, provide).map_err(|e| read_error(&e))?;
    let compiled = |source: &str| lua.load(source).set_name(format!("={id}")).set_mode(ChunkMode::Text).into_function();
    let chunk = match ordered::watched(source) {
        Ok(watched) => compiled(&watched).map_err(|e| read_error(&compiled(source).err().unwrap_or(e)))?,
        // What is no Lua is told as the compiler tells it.
        Err(why) => {
            let error = compiled(source).err().map(|e| read_error(&e));
            return Err(
                error.unwrap_or_else(|| Failed::new(Failure::Syntax, format!("its loops cannot be followed: {why}")))
            );
        }
    };
    let call = |f: Function, argument: Value| -> Result<Value, Failed> {
        let (fine, result): (bool, Value) = trampoline.call((f, argument)).map_err(|e| read_error(&e))?;
        if let Some(exceeded) = meter.exceeded() {
            return Err(exceeded);
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
        Err(Failed { line: failed.line.or(meter.failed_at()), ..failed })
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
    bounds: Bounds,
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
        noted.note_failure();
        Ok(())
    })?;
    let trampoline: Function = prelude.call(note)?;
    let argument = provide(&lua, meter)?;
    lua.sandbox(true)?;
    let counted = meter.clone();
    meter.watch(&lua, id);
    // An honest plugin that makes much and keeps little would otherwise meet the limit: nothing is collected when it is hit.
    // Sooner than that memory is dear, too: fresh pages cost more than the rubbish on the old ones.
    let collect_at = Cell::new(SOON.min(bounds.memory / 4));
    lua.set_interrupt(move |lua| {
        counted.step()?;
        if lua.used_memory() > collect_at.get() {
            lua.gc_collect()?;
            let used = lua.used_memory();
            collect_at.set(used + used.max(SOON).min(bounds.memory / 4));
        }
        Ok(VmState::Continue)
    });
    lua.set_memory_limit(bounds.memory)?;
    Ok((lua, trampoline, argument))
}

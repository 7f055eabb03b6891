//! Tables that the host puts into a machine. Must not know what stands in them.

use mlua::{Lua, Table, Value};

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

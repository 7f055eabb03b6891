//! Words of lamp-voltage.

use crate::finding::said::LampVoltage;

pub(super) fn words(s: &LampVoltage) -> (String, String) {
    let LampVoltage { part, volts, limit, watts, hot } = s;
    let end = if *hot { "it is dead soon, its holder overheats and its glass may burst" } else { "it is dead soon" };
    (
        format!("In normal use {volts} r.m.s. stand on {part}, made for {limit}: {watts:.1} times its watts, {end}"),
        format!("use a lamp made for {volts} or more in its place, or two like it in series"),
    )
}

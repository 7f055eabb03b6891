//! Words of lamp-voltage.

use super::Known;
use crate::finding::said::LampVoltage;

pub(super) fn words(known: &Known, s: &LampVoltage) -> (String, String) {
    let LampVoltage { part, under, lamp, volts, limit, watts, hot } = s;
    let end = match (lamp, hot) {
        (true, true) => "it is dead soon, its holder overheats and its glass may burst",
        (true, false) => "it is dead soon",
        (false, true) => "it overheats, and what is near it",
        (false, false) => "it runs hotter than it is made for",
    };
    let thing = if *lamp { "a lamp" } else { "one" };
    (
        format!(
            "{} {volts} r.m.s. stand on {part}, made for {limit}: {watts:.1} times its watts, {end}",
            known.under(*under)
        ),
        format!("use {thing} made for {volts} or more in its place, or two like it in series"),
    )
}

//! Words of diode-current.

use crate::finding::said::DiodeCurrent;

pub(super) fn words(s: &DiodeCurrent) -> (String, String) {
    let DiodeCurrent { part, current, limit } = s;
    (
        format!("{part} carries {current} mean, made for {limit}: it overheats and mostly fails short"),
        format!("use a rectifier of at least {current}"),
    )
}

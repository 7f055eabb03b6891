//! Pulsed light: photosensitive bands, stand-still hazard, flash length, mains frequency.

use super::row::{Limit, Row, find};

table_file! { "flash.toml" [flash, hazard, mains_frequency] }

/// The band of flashes a second in which most photosensitive people react: (from, to), hertz.
pub(crate) fn main_band() -> (Limit, Limit) {
    band("photosensitive_main_band")
}

/// The widest band in which reactions are on record: (from, to), hertz.
pub(crate) fn widest_band() -> (Limit, Limit) {
    band("photosensitive_official_1990")
}

fn band(id: &str) -> (Limit, Limit) {
    let row = find(hazard(), id).expect("flash.toml: hazard bands are tested");
    let hertz = |key| row.value(row.number(key).expect("flash.toml: hazard bands are tested"), "Hz");
    (hertz("flash_min_hz"), hertz("flash_max_hz"))
}

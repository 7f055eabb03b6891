//! Which rings are drawn, and how high each is.

use super::super::read::wrong;
use crate::finding::strobe::{Strobe, StrobeRing};
use crate::jig::InputError;
use crate::standard::strobe::{millimetres, seen, speed};

/// A ring of bars to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ring {
    pub label: String,
    pub bars: u32,
    pub still: f64,
    pub percent: f64,
    pub own: bool,
    /// Millimetres across its bars.
    pub height: f64,
}

/// The rings of one speed, those of fewer bars first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub label: String,
    pub rings: Vec<Ring>,
}

/// Millimetres between two rings.
pub(super) fn gap() -> f64 {
    millimetres("ring", "gap_mm")
}

/// Millimetres of the words of a speed.
pub(super) fn words() -> f64 {
    millimetres("ring", "words_mm")
}

impl Group {
    /// Millimetres of its words and its rings, with the gap behind each.
    pub(super) fn height(&self) -> f64 {
        words() + self.rings.iter().map(|r| r.height + gap()).sum::<f64>()
    }
}

/// The speeds that are drawn, those of most bars first. Where none was asked for, of usual speeds with one ring the nearest; on a
/// band those that a rim has room for.
pub(super) fn groups(s: &Strobe, neighbours: u32, asked: bool, band: bool) -> Vec<Group> {
    let mut rings: Vec<&StrobeRing> = s.rings.iter().collect();
    if !asked {
        let best = |r: &&&StrobeRing| {
            let rival = |o: &&StrobeRing| o.bars == r.bars && !o.stated && o.off_percent.abs() < r.off_percent.abs();
            r.stated || !s.rings.iter().any(|o| rival(&o))
        };
        let on_band = |r: &StrobeRing| speed().iter().any(|row| row.label == r.label && row.band == Some(true));
        rings = s.rings.iter().filter(|r| best(&r)).filter(|r| !band || r.stated || on_band(r)).collect();
    }
    rings.sort_by(|a, b| b.bars.cmp(&a.bars).then(b.stated.cmp(&a.stated)));
    rings.dedup_by(|a, b| a.bars == b.bars && a.label == b.label);
    rings.into_iter().map(|r| group(r, neighbours)).collect()
}

fn group(r: &StrobeRing, neighbours: u32) -> Group {
    let own = Ring {
        label: r.label.clone(),
        bars: r.bars,
        still: r.still_at_rpm,
        percent: r.off_percent,
        own: true,
        height: millimetres("ring", "own_mm"),
    };
    let beside = r.neighbours.iter().filter(|n| n.bars.abs_diff(r.bars) <= neighbours).map(|n| Ring {
        label: r.label.clone(),
        bars: n.bars,
        still: n.still_at_rpm,
        percent: n.percent,
        own: false,
        height: millimetres("ring", "neighbour_mm"),
    });
    let mut rings: Vec<Ring> = beside.chain([own]).collect();
    rings.sort_by_key(|ring| ring.bars);
    Group { label: r.label.clone(), rings }
}

/// Whether the bars of a ring that is so long round can be printed and seen.
///
/// # Errors
/// They are too narrow.
pub(super) fn fine(ring: &Ring, round: f64) -> Result<(), InputError> {
    let (wide, least) = (round / (2.0 * f64::from(ring.bars)), 1e3 * seen("finest_bar", "width_mm").value);
    if wide >= least {
        return Ok(());
    }
    let message = format!(
        "the ring of {} bars for {} would have bars of {wide:.2} mm, and less than {least} mm is neither printed nor seen",
        ring.bars, ring.label
    );
    Err(wrong("--ring", message, "take a larger --outer, fewer speeds with --rpm, or fewer --neighbours"))
}

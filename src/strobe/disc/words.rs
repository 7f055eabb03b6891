//! The words of a drawing.

use super::layout::Group;
use crate::finding::strobe::{Pace, Strobe};

/// For which lamp and mains it is, in a line or two.
pub(super) fn lamp(s: &Strobe) -> String {
    let rate = number(s.flashes_per_second.unwrap_or_default());
    let on = s.lamp.supply.as_ref().map_or(String::new(), |m| format!(" on {m}"));
    let pace = s.light.as_ref().is_some_and(|l| l.pace == Pace::Own);
    let own = if pace { ", at a pace of its own: these rings tell nothing of a speed" } else { "" };
    match &s.lamp.name {
        Some(name) => format!("For {name}: {rate} flashes a second{on}{own}."),
        None => format!("For a lamp of {rate} flashes a second{on}."),
    }
}

/// What is to be known by whoever reads the ring.
pub(super) fn reading(s: &Strobe, groups: &[Group]) -> Vec<String> {
    let rate = s.flashes_per_second.unwrap_or_default();
    let mut out = vec![
        lamp(s),
        "Under other flashes or on another mains these rings stand still at other speeds.".into(),
        format!(
            "Bars that go with the turning: fast. Against it: slow. {} bars a minute past a mark are 1 %, on every ring.",
            number(0.01 * 60.0 * rate)
        ),
    ];
    if groups.iter().any(|g| g.rings.len() > 1) {
        out.push(
            "The wide ring is that of the speed; the narrow ones beside it stand still where the words say.".into(),
        );
    }
    let keep =
        "Under this light whatever turns can seem to stand still: keep ordinary light on as well, and keep hands away.";
    out.push(keep.into());
    out
}

/// What is told at a group of rings; `outside` and `inside` tell where those of fewer and of more bars are.
pub(super) fn group(g: &Group, [outside, inside]: [&str; 2]) -> String {
    let Some(own) = g.rings.iter().find(|r| r.own) else { return String::new() };
    let off = if own.percent == 0.0 { String::new() } else { format!(" ({})", signed(own.percent)) };
    let beside = |word: &str, fewer: bool| {
        let list = g.rings.iter().filter(|r| !r.own && (r.bars < own.bars) == fewer);
        let told: Vec<String> = list.map(|r| format!("{} {}", r.bars, signed(r.percent))).collect();
        if told.is_empty() { String::new() } else { format!(" · {word} {}", told.join(", ")) }
    };
    let (fewer, more) = (beside(outside, true), beside(inside, false));
    format!("{} a minute: {} bars{off}{fewer}{more}", g.label, own.bars)
}

pub(super) fn number(x: f64) -> String {
    let text = format!("{x:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

pub(super) fn signed(percent: f64) -> String {
    let sign = if percent < 0.0 { "−" } else { "+" };
    format!("{sign}{:.2} %", percent.abs())
}

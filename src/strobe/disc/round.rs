//! A disc: rings of bars round a hole, a scale of degrees at the rim.

use super::super::read::wrong;
use super::layout::{Group, Ring, fine, gap, words as words_height};
use super::sheet::{LETTERS, Sheet, escaped, mm};
use super::{Measures, words};
use crate::finding::strobe::{Drawn, DrawnRing, Strobe};
use crate::jig::InputError;
use crate::standard::strobe::millimetres;
use std::f64::consts::TAU;
use std::fmt::Write as _;

/// Degrees of a turn.
const TURN: u32 = 360;

/// Draws it.
///
/// # Errors
/// What does not fit.
pub(super) fn draw(s: &Strobe, m: &Measures, groups: &[Group]) -> Result<(String, Drawn), InputError> {
    let placed = placed(m, groups)?;
    let [margin, foot] = ["margin_mm", "foot_mm"].map(|key| millimetres("page", key));
    let (wide, high) = (m.outer + 2.0 * margin, m.outer + 2.0 * margin + foot);
    if wide > m.paper.width_mm || high > m.paper.height_mm {
        let most = (m.paper.width_mm - 2.0 * margin).min(m.paper.height_mm - 2.0 * margin - foot);
        let message = format!("a disc of {} mm does not fit on {}", mm(m.outer), m.paper.id);
        return Err(wrong("--outer", message, format!("{} mm fit; or name a larger --paper", mm(most.floor()))));
    }
    let mut sheet = Sheet::new(m.paper);
    let centre = [m.paper.width_mm / 2.0, margin + m.outer / 2.0];
    sheet.put(&format!("<g id=\"disc\" transform=\"translate({} {})\">", mm(centre[0]), mm(centre[1])));
    sheet.put(&cut("rim", m.outer / 2.0));
    sheet.put(&cut("hole", m.hole / 2.0));
    // A cross to find the centre by.
    let arm = m.hole / 4.0;
    sheet.put(&format!(
        "<path id=\"centre\" d=\"M-{0} 0H{0}M0 -{0}V{0}\" stroke=\"#000\" stroke-width=\"0.1\" fill=\"none\"/>",
        mm(arm)
    ));
    scale(&mut sheet, m.outer / 2.0);
    for ((ring, [from, to]), k) in placed.iter().zip(1..) {
        sheet.put(&bars(ring, *from, *to, k));
    }
    for (group, k) in groups.iter().zip(1..) {
        let top = placed.iter().find(|(r, _)| group.rings.first() == Some(r)).map_or(0.0, |(_, [_, to])| *to);
        label(&mut sheet, group, top, k);
    }
    let room = placed.last().map_or(m.outer / 2.0, |(_, [from, _])| *from);
    middle(&mut sheet, s, m.hole / 2.0, room);
    sheet.put("</g>");
    sheet.foot(margin + m.outer + margin / 2.0, &words::reading(s, groups));
    let told = |(r, [from, to]): &(Ring, [f64; 2])| DrawnRing {
        label: r.label.clone(),
        bars: r.bars,
        still_at_rpm: r.still,
        percent: r.percent,
        own: r.own,
        from_mm: *from,
        to_mm: *to,
    };
    let drawn = Drawn {
        file: None,
        paper: m.paper.id.clone(),
        band: false,
        outer_mm: m.outer,
        hole_mm: Some(m.hole),
        rings: placed.iter().map(told).collect(),
    };
    Ok((sheet.finish(&words::lamp(s)), drawn))
}

/// Every ring with the radii between which its bars lie, from the rim inwards.
fn placed(m: &Measures, groups: &[Group]) -> Result<Vec<(Ring, [f64; 2])>, InputError> {
    if m.outer <= m.hole {
        let message = format!("a disc of {} mm is no larger than its hole of {} mm", mm(m.outer), mm(m.hole));
        return Err(wrong("--outer", message, "give the diameter of the whole disc, such as \"180 mm\""));
    }
    let [scale, core] = ["scale_mm", "core_mm"].map(|key| millimetres("ring", key));
    let needed = scale + groups.iter().map(Group::height).sum::<f64>() + core;
    let there = (m.outer - m.hole) / 2.0;
    if needed > there {
        let message = format!(
            "the rings need {needed:.1} mm between rim and hole, and there are {there:.1} mm: {} speeds",
            groups.len()
        );
        let help = format!(
            "take an --outer of {} mm, fewer speeds with --rpm, or fewer --neighbours",
            (m.hole + 2.0 * needed).ceil()
        );
        return Err(wrong("--outer", message, help));
    }
    let mut at = m.outer / 2.0 - scale;
    let mut out = vec![];
    for group in groups {
        at -= words_height();
        for ring in &group.rings {
            let inner = at - ring.height;
            fine(ring, TAU * inner)?;
            out.push((ring.clone(), [inner, at]));
            at = inner - gap();
        }
    }
    Ok(out)
}

/// A circle to cut along.
fn cut(id: &str, radius: f64) -> String {
    format!("<circle id=\"{id}\" r=\"{}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.15\"/>", mm(radius))
}

/// A point at a radius, so many degrees from the top the way of the clock.
fn point(radius: f64, degrees: f64) -> String {
    let a = degrees.to_radians();
    format!("{} {}", mm(radius * a.sin()), mm(-radius * a.cos()))
}

/// Degrees at the rim: a tick at each, longer at each fifth and tenth, a number at each thirtieth.
fn scale(sheet: &mut Sheet, rim: f64) {
    let whole = millimetres("ring", "scale_mm");
    let long = |k: u32| {
        if k.is_multiple_of(10) {
            0.5
        } else if k.is_multiple_of(5) {
            0.35
        } else {
            0.2
        }
    };
    let tick = |k: u32| {
        let at = f64::from(k);
        format!("M{}L{}", point(rim, at), point(rim - long(k) * whole, at))
    };
    let ticks: String = (0..TURN).map(tick).collect();
    sheet.put(&format!("<path id=\"scale\" d=\"{ticks}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.12\"/>"));
    let size = 0.4 * whole;
    for k in (0..TURN).step_by(30) {
        // The foot of a figure stands towards the centre.
        let at = rim - 0.5 * whole - 0.85 * size;
        sheet.put(&format!(
            "<text transform=\"rotate({k})\" y=\"{}\" font-size=\"{}\" text-anchor=\"middle\">{k}</text>",
            mm(-at),
            mm(size)
        ));
    }
}

/// Bars as wide as their gaps, the middle of the first at the top.
fn bars(ring: &Ring, inner: f64, outer: f64, number: u32) -> String {
    let pitch = f64::from(TURN) / f64::from(ring.bars);
    let mut out = format!(
        "<g class=\"ring\" id=\"ring-{number}\" data-speed=\"{}\" data-bars=\"{}\" data-still-rpm=\"{:.4}\">",
        escaped(&ring.label),
        ring.bars,
        ring.still
    );
    let (r, q) = (mm(outer), mm(inner));
    for k in 0..ring.bars {
        let (a, b) = ((f64::from(k) - 0.25) * pitch, (f64::from(k) + 0.25) * pitch);
        // Writing to a text does not fail.
        let _ = write!(
            out,
            "\n<path class=\"bar\" d=\"M{}A{r} {r} 0 0 1 {}L{}A{q} {q} 0 0 0 {}Z\"/>",
            point(outer, a),
            point(outer, b),
            point(inner, b),
            point(inner, a)
        );
    }
    out + "\n</g>"
}

/// For which lamp it is, round the hole: what is cut out keeps it. As much of it as there is room for.
fn middle(sheet: &mut Sheet, s: &Strobe, hole: f64, room: f64) {
    let rate = format!("{} flashes a second", words::number(s.flashes_per_second.unwrap_or_default()));
    let told = [s.lamp.name.clone(), s.lamp.supply.clone(), Some(rate)];
    let largest = millimetres("page", "words_mm");
    let mut below = hole;
    for (k, text) in told.into_iter().enumerate().filter_map(|(k, text)| Some((k, text?))) {
        // The name above the hole, the others below: each as large as the circle lets a line of it be.
        let half = (room * room - (hole + 2.0 * largest).powi(2)).max(0.0).sqrt();
        let size = (2.0 * half * LETTERS / text.chars().count().max(1) as f64).min(largest);
        if size < 0.5 * largest {
            continue;
        }
        let y = if k == 0 {
            -hole - 0.6 * size
        } else {
            below += 1.25 * size;
            below
        };
        sheet.text([0.0, y], size, true, &text);
    }
}

/// The words of a group along the circle outside of its first ring.
fn label(sheet: &mut Sheet, group: &Group, top: f64, number: u32) {
    let size = 0.68 * words_height();
    let r = top + 0.3 * words_height();
    sheet.put(&format!(
        "<path id=\"words-{number}\" d=\"M{}A{2} {2} 0 1 1 {1}\" fill=\"none\"/>",
        point(r, 181.0),
        point(r, 179.0),
        mm(r)
    ));
    sheet.put(&format!(
        "<text font-size=\"{}\" text-anchor=\"middle\"><textPath href=\"#words-{number}\" startOffset=\"50%\">{}</textPath></text>",
        mm(size),
        escaped(&words::group(group, ["outside", "inside"]))
    ));
}

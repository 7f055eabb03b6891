//! A band for a rim: rows of bars, cut into pieces that a sheet takes.

use super::super::read::wrong;
use super::layout::{Group, Ring, fine, gap, words as words_height};
use super::sheet::{Sheet, escaped, mm};
use super::{Measures, words};
use crate::finding::strobe::{Drawn, DrawnRing, Strobe};
use crate::jig::InputError;
use crate::standard::strobe::millimetres;
use std::f64::consts::PI;
use std::fmt::Write as _;

/// One piece of a band: how far along it begins and ends, and where it lies on the sheet.
struct Piece {
    number: usize,
    of: usize,
    from: f64,
    to: f64,
    left: f64,
    top: f64,
}

/// Draws it.
///
/// # Errors
/// What does not fit.
pub(super) fn draw(s: &Strobe, m: &Measures, groups: &[Group]) -> Result<(String, Drawn), InputError> {
    let long = PI * m.outer;
    let rows = rows(groups);
    for (ring, _) in &rows {
        fine(ring, long)?;
    }
    let high = gap() + groups.iter().map(Group::height).sum::<f64>();
    let [margin, foot] = ["margin_mm", "foot_mm"].map(|key| millimetres("page", key));
    let [tongue, apart] = ["tongue_mm", "apart_mm"].map(|key| millimetres("band", key));
    let most = m.paper.width_mm - 2.0 * margin - tongue;
    let count = (long / most).ceil().max(1.0);
    let needed = 2.0 * margin + foot + count * (high + apart);
    if needed > m.paper.height_mm {
        let message = format!(
            "a band of {count} pieces, {high:.1} mm high, round a rim of {} mm does not fit on {}",
            mm(m.outer),
            m.paper.id
        );
        let help = "take fewer speeds with --rpm, fewer --neighbours, or a larger --paper";
        return Err(wrong("--ring", message, help));
    }
    let each = long / count;
    let mut sheet = Sheet::new(m.paper);
    for k in 0..count as usize {
        let from = k as f64 * each;
        let top = margin + k as f64 * (high + apart);
        let piece = Piece { number: k + 1, of: count as usize, from, to: from + each, left: margin, top };
        strip(&mut sheet, &piece, groups, &rows, (high, long));
    }
    let mut reading = words::reading(s, groups);
    let glue = format!(
        "Band for a rim of {} mm, {} mm round: glue piece to piece at the tongues, each edge on the line, and the last to the first.",
        mm(m.outer),
        words::number(long.round())
    );
    reading.insert(1, glue);
    sheet.foot(margin + count * (high + apart), &reading);
    let told = |(r, from): &(Ring, f64)| DrawnRing {
        label: r.label.clone(),
        bars: r.bars,
        still_at_rpm: r.still,
        percent: r.percent,
        own: r.own,
        from_mm: *from,
        to_mm: from + r.height,
    };
    let drawn = Drawn {
        file: None,
        paper: m.paper.id.clone(),
        band: true,
        outer_mm: m.outer,
        hole_mm: None,
        rings: rows.iter().map(told).collect(),
    };
    Ok((sheet.finish(&words::lamp(s)), drawn))
}

/// Every ring with how far below the upper edge its bars begin.
fn rows(groups: &[Group]) -> Vec<(Ring, f64)> {
    let mut at = gap();
    let mut out = vec![];
    for group in groups {
        at += words_height();
        for ring in &group.rings {
            out.push((ring.clone(), at));
            at += ring.height + gap();
        }
    }
    out
}

/// One piece with its edges, its tongue and its part of every row.
fn strip(sheet: &mut Sheet, p: &Piece, groups: &[Group], rows: &[(Ring, f64)], (high, long): (f64, f64)) {
    let tongue = millimetres("band", "tongue_mm");
    let wide = p.to - p.from;
    let [x, y] = [mm(p.left), mm(p.top)];
    sheet.put(&format!("<g class=\"piece\" id=\"piece-{}\" transform=\"translate({x} {y})\">", p.number));
    let (w, h, t) = (mm(wide), mm(high), mm(tongue));
    sheet.put(&format!(
        "<path class=\"edge\" d=\"M0 0H{w}V{h}H0ZM{w} 0h{t}v{h}h-{t}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.15\"/>"
    ));
    for ((ring, from), k) in rows.iter().zip(1..) {
        sheet.put(&bars(ring, *from, k, p, long));
    }
    let mut top = gap();
    for group in groups {
        let size = 0.72 * words_height();
        let words = words::group(group, ["above", "below"]);
        sheet.text([1.0, top + 0.75 * words_height()], size, false, &words);
        top += group.height();
    }
    let size = 0.5 * tongue.min(words_height());
    sheet.put(&format!(
        "<text transform=\"translate({} {}) rotate(90)\" font-size=\"{}\">{} of {}</text>",
        mm(wide + 0.4 * tongue),
        mm(1.0),
        mm(size),
        p.number,
        p.of
    ));
    sheet.put("</g>");
}

/// The part of a row that lies on a piece. A bar that runs over its end goes on on the next.
fn bars(ring: &Ring, top: f64, number: u32, p: &Piece, long: f64) -> String {
    let pitch = long / f64::from(ring.bars);
    let mut out = format!(
        "<g class=\"ring\" data-ring=\"{number}\" data-speed=\"{}\" data-bars=\"{}\" data-still-rpm=\"{:.4}\">",
        escaped(&ring.label),
        ring.bars,
        ring.still
    );
    for k in 0..ring.bars {
        let (a, b) = ((f64::from(k) + 0.25) * pitch, (f64::from(k) + 0.75) * pitch);
        let (from, to) = (a.max(p.from), b.min(p.to));
        if to <= from {
            continue;
        }
        let class = if a >= p.from { "bar" } else { "rest" };
        // Writing to a text does not fail.
        let _ = write!(
            out,
            "\n<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            mm(from - p.from),
            mm(top),
            mm(to - from),
            mm(ring.height)
        );
    }
    out + "\n</g>"
}

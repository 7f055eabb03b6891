//! Scalable pictures (SVG 1.1) as text: shapes with absolute points, so that whoever reads them needs no arithmetic. Must not
//! know what is drawn.

use std::fmt::Write as _;

/// Shapes, written one after the other.
#[derive(Debug, Default)]
pub(super) struct Svg(String);

/// A point, in points of the picture.
pub(super) type At = (f64, f64);

impl Svg {
    /// What was written.
    pub(super) fn into_text(self) -> String {
        self.0
    }

    /// As it is.
    pub(super) fn raw(&mut self, text: &str) {
        self.0.push_str(text);
    }

    /// A group with an id (none where it is empty) and a class; everything until [`Svg::close`] is in it.
    pub(super) fn open(&mut self, id: &str, class: &str) {
        let id = if id.is_empty() { String::new() } else { format!(" id=\"{}\"", escaped(id)) };
        let _ = write!(self.0, "<g{id} class=\"{}\">", escaped(class));
    }

    /// The name of what is drawn, for who does not see it or points at it.
    pub(super) fn title(&mut self, text: &str) {
        let _ = write!(self.0, "<title>{}</title>", escaped(text));
    }

    /// Ends a group.
    pub(super) fn close(&mut self) {
        self.0.push_str("</g>\n");
    }

    /// A line through points.
    pub(super) fn line(&mut self, class: &str, points: &[At]) {
        let mut path = String::new();
        for (k, p) in points.iter().enumerate() {
            let _ = write!(path, "{}{} {}", if k == 0 { "M" } else { "L" }, short(p.0), short(p.1));
        }
        self.path(class, &path);
    }

    /// A closed line through points.
    pub(super) fn closed(&mut self, class: &str, points: &[At]) {
        let mut path = String::new();
        for (k, p) in points.iter().enumerate() {
            let _ = write!(path, "{}{} {}", if k == 0 { "M" } else { "L" }, short(p.0), short(p.1));
        }
        path.push('Z');
        self.path(class, &path);
    }

    /// A path as it is written.
    pub(super) fn path(&mut self, class: &str, path: &str) {
        let _ = write!(self.0, "<path class=\"{class}\" d=\"{path}\"/>");
    }

    /// A rectangle by two corners.
    pub(super) fn rectangle(&mut self, class: &str, (x0, y0): At, (x1, y1): At) {
        let [x, y, w, h] = [x0.min(x1), y0.min(y1), (x1 - x0).abs(), (y1 - y0).abs()].map(short);
        let _ = write!(self.0, "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>");
    }

    /// A circle, with an id where there is one.
    pub(super) fn circle(&mut self, id: &str, class: &str, (x, y): At, radius: f64) {
        let id = if id.is_empty() { String::new() } else { format!(" id=\"{}\"", escaped(id)) };
        let [x, y, r] = [x, y, radius].map(short);
        let _ = write!(self.0, "<circle{id} class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>");
    }

    /// A text; `anchor` is start, middle or end.
    pub(super) fn text(&mut self, class: &str, (x, y): At, anchor: &str, text: &str) {
        let [x, y] = [x, y].map(short);
        let text = escaped(text);
        let _ = write!(self.0, "<text class=\"{class}\" x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">{text}</text>");
    }
}

/// A number with at most two decimals.
pub(super) fn short(number: f64) -> String {
    let text = format!("{number:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.to_string() }
}

/// A text between tags or in an attribute: without what would end it, and without characters that are not seen.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in crate::report::clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// An id: no spaces, no two alike for two names.
pub(super) fn id(kind: &str, name: &str) -> String {
    let mut out = format!("{kind}-");
    for c in name.chars() {
        if c.is_alphanumeric() || matches!(c, '.' | '_' | '-' | '+') {
            out.push(c);
        } else {
            let _ = write!(out, "~{:x}", c as u32);
        }
    }
    out
}

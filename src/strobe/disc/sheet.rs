//! A sheet of SVG: lines, texts, the line to check the printer by. Must not know what is drawn on it.

use super::words::number;
use crate::standard::strobe::{Paper, millimetres};
use std::fmt::Write as _;

/// Letters of one line of words for each millimetre of it, at a height of one: what a plain sans takes at most.
pub(super) const LETTERS: f64 = 1.6;
/// Millimetres between lines of words, in heights of a letter.
const LINE: f64 = 1.45;

/// A drawing that is being made.
pub(super) struct Sheet {
    paper: &'static Paper,
    body: String,
}

impl Sheet {
    pub(super) fn new(paper: &'static Paper) -> Sheet {
        Sheet { paper, body: String::new() }
    }

    /// Puts elements on it, on a line of their own.
    pub(super) fn put(&mut self, element: &str) {
        self.body.push_str(element);
        self.body.push('\n');
    }

    /// Words at a place, their left end or, with `middle`, their middle on it.
    pub(super) fn text(&mut self, [x, y]: [f64; 2], size: f64, middle: bool, words: &str) {
        let anchor = if middle { " text-anchor=\"middle\"" } else { "" };
        self.put(&format!(
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}>{}</text>",
            mm(x),
            mm(y),
            mm(size),
            escaped(words)
        ));
    }

    /// The line to check the printer by, at this height, and the words below it.
    pub(super) fn foot(&mut self, top: f64, words: &[String]) {
        let [margin, long, size] = ["margin_mm", "check_line_mm", "words_mm"].map(|key| millimetres("page", key));
        let (left, y) = (margin, top + 2.0 * size);
        self.put("<g id=\"check-line\" stroke=\"#000\" stroke-width=\"0.2\" fill=\"none\">");
        self.put(&format!("<path id=\"length\" d=\"M{} {}H{}\"/>", mm(left), mm(y), mm(left + long)));
        let ticks = (0..=long as u32).map(|k| {
            // Longer at each fifth and tenth.
            let up = if k.is_multiple_of(10) {
                1.0
            } else if k.is_multiple_of(5) {
                0.7
            } else {
                0.4
            };
            format!("M{} {}v-{}", mm(left + f64::from(k)), mm(y), mm(up * size))
        });
        let ticks: String = ticks.collect();
        self.put(&format!("<path d=\"{ticks}\"/>"));
        self.put("</g>");
        self.text([left + long + size, y], size, false, "100 mm when it is printed true");
        let columns = ((self.paper.width_mm - 2.0 * margin) * LETTERS / size) as usize;
        let how = "Print at 100 % (actual size), not fitted to the page, and measure the line: if it is not 100 mm long, the ring is not \
                   round or does not fit, though its speeds still hold.";
        let mut at = y + 2.0 * LINE * size;
        for line in [how.to_string()].iter().chain(words).flat_map(|text| textwrap::wrap(text, columns)) {
            self.text([left, at], size, false, &line);
            at += LINE * size;
        }
    }

    /// The whole file.
    pub(super) fn finish(self, title: &str) -> String {
        let (w, h) = (number(self.paper.width_mm), number(self.paper.height_mm));
        let mut out = String::with_capacity(self.body.len() + 1024);
        // Writing to a text does not fail.
        let _ = write!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
             font-family=\"Helvetica, Arial, 'Liberation Sans', sans-serif\" fill=\"#000\">\n<title>{}</title>\n\
             <style>@page{{size:{w}mm {h}mm;margin:0}}</style>\n{}</svg>\n",
            escaped(title),
            self.body
        );
        out
    }
}

/// Millimetres to a tenth of a thousandth, without noughts behind.
pub(super) fn mm(x: f64) -> String {
    let text = format!("{x:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Text that is no markup, without characters that are not seen.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if crate::quantity::hidden(c) => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

//! A page of text of a fixed width: paragraphs, labelled notes, bullets, headings. Knows widths and wrapping;
//! must not know what a finding is.

use super::look::Look;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// Columns the label of a note takes, with its indent.
const LABEL: usize = 12;
/// Indent of what belongs to a line above.
pub(super) const INDENT: &str = "  ";
/// Holds a number and its unit together while wrapping.
const GLUE: char = '\u{A0}';

pub(super) struct Page {
    pub(super) look: Look,
    text: String,
}

impl Page {
    pub(super) fn new(look: Look) -> Page {
        Page { look, text: String::new() }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }

    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// One line as it is: it must fit.
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A heading, wrapped, with a gap above.
    pub(super) fn heading(&mut self, heading: &str) {
        self.gap();
        self.paragraph(heading);
    }

    /// A paragraph, wrapped.
    pub(super) fn paragraph(&mut self, text: &str) {
        self.hang("", "", text);
    }

    /// A bullet, wrapped.
    pub(super) fn bullet(&mut self, text: &str) {
        self.hang("- ", INDENT, text);
    }

    /// `  Label     text`, wrapped under the text. Nothing when there is no text.
    pub(super) fn note(&mut self, label: &str, text: &str) {
        if !text.trim().is_empty() {
            self.hang(&format!("{INDENT}{label:<width$}", width = LABEL - INDENT.len()), &" ".repeat(LABEL), text);
        }
    }

    /// `first` before the first line, `rest` before the others.
    pub(super) fn hang(&mut self, first: &str, rest: &str, text: &str) {
        for line in wrap(text, self.look, first, rest) {
            self.line(&line);
        }
    }
}

/// Lines of at most `look.width` columns; words longer than a line are broken.
pub(super) fn wrap(text: &str, look: Look, first: &str, rest: &str) -> Vec<String> {
    let [text, first, rest] = [text, first, rest].map(|t| look.shown(t));
    let options = Options::new(look.width)
        .initial_indent(&first)
        .subsequent_indent(&rest)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::wrap(&glue(&text), options).into_iter().map(|line| line.replace(GLUE, " ")).collect()
}

/// Joins "260 V" and "260 V r.m.s." so that no line ends between a number and its unit.
fn glue(text: &str) -> String {
    let mut glued = String::with_capacity(text.len());
    let mut before = "";
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        if !glued.is_empty() {
            let number = before.ends_with(|c: char| c.is_ascii_digit()) && is_unit(word);
            let kind = is_unit(before) && ["r.m.s.", "d.c.", "a.c."].iter().any(|k| word.starts_with(k));
            glued.push(if number || kind { GLUE } else { ' ' });
        }
        glued.push_str(word);
        before = word;
    }
    glued
}

/// Whether a word is an SI unit of the trade, with or without a prefix and a stop behind it.
fn is_unit(word: &str) -> bool {
    const UNITS: [&str; 18] =
        ["V", "A", "W", "Ω", "F", "H", "Hz", "s", "J", "m", "m²", "mm²", "°C", "%", "kΩ", "ohm", "m2", "mm2"];
    let word = word.trim_end_matches(['.', ',', ';', ':', ')']);
    let bare = word.strip_prefix(['f', 'p', 'n', 'µ', 'u', 'm', 'k', 'M', 'G', 'T']).unwrap_or(word);
    UNITS.contains(&word) || UNITS.contains(&bare)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn of(width: usize) -> Look {
        Look { width, ..Look::default() }
    }

    #[test]
    fn what_is_written_out_counts_as_it_is_shown() {
        // "150 kΩ" is one column shorter than what stands for it.
        let ascii = Look { ascii: true, ..of(12) };
        assert_eq!(wrap("drop 150 kΩ", of(12), "", ""), ["drop 150 kΩ"]);
        assert_eq!(wrap("drop 150 kΩ", ascii, "– ", ""), ["- drop", "150 kohm"]);
    }

    #[test]
    fn a_number_keeps_its_unit() {
        let lines = wrap("the resistor sees 260 V r.m.s. at most", of(22), "", "");
        assert_eq!(lines, ["the resistor sees", "260 V r.m.s. at most"]);
        let lines = wrap("a drop of 150 kΩ, and more", of(13), "", "");
        assert_eq!(lines, ["a drop of", "150 kΩ, and", "more"]);
    }

    #[test]
    fn long_words_are_broken_and_indents_kept() {
        let lines = wrap("abcdefghij kl", of(8), "* ", "  ");
        assert_eq!(lines, ["* abcdef", "  ghij", "  kl"]);
    }
}

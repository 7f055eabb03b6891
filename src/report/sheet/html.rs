//! A page (HTML 5) as text. Must not know what it is about.

use super::svg::escaped;
use std::fmt::Write as _;

/// A page being written.
#[derive(Debug, Default)]
pub(super) struct Html(String);

impl Html {
    /// What was written.
    pub(super) fn into_text(self) -> String {
        self.0
    }

    /// As it is.
    pub(super) fn raw(&mut self, text: &str) {
        self.0.push_str(text);
    }

    /// A section with its heading; until [`Html::end`] everything is in it.
    pub(super) fn section(&mut self, id: &str, heading: &str) {
        let _ = write!(
            self.0,
            "<section id=\"{id}\" aria-labelledby=\"{id}-heading\">\n<h2 id=\"{id}-heading\">{}</h2>\n",
            escaped(heading)
        );
    }

    /// Ends a section.
    pub(super) fn end(&mut self) {
        self.0.push_str("</section>\n");
    }

    /// An element with a text.
    pub(super) fn element(&mut self, tag: &str, class: &str, text: &str) {
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        let _ = writeln!(self.0, "<{tag}{class}>{}</{tag}>", escaped(text));
    }

    /// A paragraph.
    pub(super) fn paragraph(&mut self, text: &str) {
        self.element("p", "", text);
    }

    /// A list of texts.
    pub(super) fn list(&mut self, texts: &[String]) {
        self.0.push_str("<ul>\n");
        texts.iter().for_each(|text| self.element("li", "", text));
        self.0.push_str("</ul>\n");
    }

    /// A table: heads, and rows whose first cell is the head of its row. A cell of several lines is one with line ends; an empty
    /// one is there to be written in.
    pub(super) fn table(&mut self, class: &str, caption: &str, heads: &[&str], rows: &[Vec<String>]) {
        let _ =
            write!(self.0, "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{}\">", escaped(caption));
        let _ = writeln!(self.0, "<table class=\"{class}\"><caption>{}</caption>", escaped(caption));
        self.0.push_str("<thead><tr>");
        heads.iter().for_each(|head| {
            let _ = write!(self.0, "<th scope=\"col\">{}</th>", escaped(head));
        });
        self.0.push_str("</tr></thead>\n<tbody>\n");
        for row in rows {
            self.0.push_str("<tr>");
            for (k, cell) in row.iter().enumerate() {
                let text = cell.lines().map(escaped).collect::<Vec<_>>().join("<br>");
                let _ = match k {
                    0 => write!(self.0, "<th scope=\"row\">{text}</th>"),
                    _ if cell.is_empty() => write!(self.0, "<td class=\"blank\"></td>"),
                    _ => write!(self.0, "<td>{text}</td>"),
                };
            }
            self.0.push_str("</tr>\n");
        }
        self.0.push_str("</tbody></table></div>\n");
    }
}

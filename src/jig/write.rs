//! Writes a new jig file: ordered sections, comments, one key a line. Must not know what the keys mean.

use std::fmt;

/// Builds the text of a jig file from the top down.
#[derive(Debug, Clone)]
pub(crate) struct Text {
    out: String,
    ended: bool,
}

impl Default for Text {
    fn default() -> Self {
        Self::new()
    }
}

impl Text {
    /// Begins a file of the format that this program reads.
    pub(crate) fn new() -> Self {
        Self { out: format!("format = {}\n", super::sections::FORMAT), ended: false }
    }

    /// A comment on lines of its own. Before a section it goes above the section's header with a free line before it.
    pub(crate) fn comment(mut self, text: &str) -> Self {
        self.free_line();
        for line in text.lines() {
            // Only tab is allowed of the control characters in a comment (TOML 1.0, "Comment").
            let line: String = line.chars().map(|c| if c.is_control() && c != '\t' { ' ' } else { c }).collect();
            self.out.push_str(format!("# {line}").trim_end());
            self.out.push('\n');
        }
        self.ended = true;
        self
    }

    /// Begins `[section]`; name a part as `part.R1`.
    pub(crate) fn section(self, path: &str) -> Self {
        let path = dotted(path);
        self.header(&format!("[{path}]"))
    }

    /// Begins another `[[section]]`.
    pub(crate) fn another(self, path: &str) -> Self {
        let path = dotted(path);
        self.header(&format!("[[{path}]]"))
    }

    fn header(mut self, header: &str) -> Self {
        if !self.ended {
            self.free_line();
        }
        self.ended = false;
        self.out.push_str(header);
        self.out.push('\n');
        self
    }

    fn free_line(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// `key = "value"`.
    pub(crate) fn key(self, key: &str, value: &str) -> Self {
        self.plain(key, &quoted(value))
    }

    /// `key = "value"  # remark`.
    pub(crate) fn key_with(mut self, key: &str, value: &str, remark: &str) -> Self {
        self = self.plain(key, &quoted(value));
        self.out.pop();
        let remark: String = remark.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        self.out.push_str(&format!("  # {remark}\n"));
        self
    }

    /// `key = true`.
    pub(crate) fn flag(self, key: &str, value: bool) -> Self {
        self.plain(key, &value.to_string())
    }

    /// `key = 2`.
    pub(crate) fn count(self, key: &str, value: u32) -> Self {
        self.plain(key, &value.to_string())
    }

    /// `key = ["a", "b"]`.
    pub(crate) fn list(self, key: &str, values: &[&str]) -> Self {
        let list: Vec<String> = values.iter().map(|value| quoted(value)).collect();
        self.plain(key, &format!("[{}]", list.join(", ")))
    }

    /// `key = [["a", "b"], ["c", "d"]]`.
    #[cfg(test)]
    pub(crate) fn pairs(self, key: &str, pairs: &[[&str; 2]]) -> Self {
        let list: Vec<String> = pairs.iter().map(|[a, b]| format!("[{}, {}]", quoted(a), quoted(b))).collect();
        self.plain(key, &format!("[{}]", list.join(", ")))
    }

    /// `key = { inner = …, … }`; the values are written as they are (see [`quoted`]).
    pub(crate) fn table(self, key: &str, entries: &[(&str, String)]) -> Self {
        let list: Vec<String> =
            entries.iter().map(|(key, value)| format!("{} = {value}", bare_or_quoted(key))).collect();
        self.plain(key, &format!("{{ {} }}", list.join(", ")))
    }

    fn plain(mut self, key: &str, value: &str) -> Self {
        self.ended = false;
        self.out.push_str(&format!("{} = {value}\n", bare_or_quoted(key)));
        self
    }

    /// The whole text.
    pub(crate) fn finish(self) -> String {
        self.out
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.out)
    }
}

/// A value as a TOML string in double quotes.
pub(crate) fn quoted(value: &str) -> String {
    let mut out = String::from("\"");
    for c in value.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A path of sections: the first word, then the name, which may itself need quotes.
fn dotted(path: &str) -> String {
    match path.split_once('.') {
        Some((first, rest)) => format!("{}.{}", bare_or_quoted(first), bare_or_quoted(rest)),
        None => bare_or_quoted(path),
    }
}

fn bare_or_quoted(key: &str) -> String {
    let bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    if bare { key.to_string() } else { quoted(key) }
}

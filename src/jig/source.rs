//! The bytes of a jig file: fit to be read at all? Where in it is a byte? Must not know the format.

use std::cell::Cell;
use toml::de::DeTable;

use toml::Spanned;

use super::bounds::{DEEPEST, LARGEST_FILE};
use super::error::{InputErrors, MOST_ERRORS};
use super::model::Place;
use crate::quantity::quote;

/// Turns byte offsets into places.
pub(crate) struct Index<'t> {
    text: &'t str,
    starts: Vec<usize>,
    /// Offset and column last asked for: keys are asked for in order, so a file of one long line costs one pass.
    last: Cell<(usize, usize)>,
}

impl<'t> Index<'t> {
    pub(crate) fn new(text: &'t str) -> Self {
        let starts =
            std::iter::once(0).chain(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1));
        Self { text, starts: starts.collect(), last: Cell::new((0, 0)) }
    }

    /// Place of a byte offset; an offset inside a character or past the end is moved back.
    pub(crate) fn place(&self, offset: usize) -> Place {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let (last, before) = self.last.get();
        let known = if (start..=offset).contains(&last) { (last, before) } else { (start, 0) };
        let before = known.1 + self.text[known.0..offset].chars().count();
        self.last.set((offset, before));
        let column = before + 1;
        Place { line: u32::try_from(line).unwrap_or(u32::MAX), column: u32::try_from(column).unwrap_or(u32::MAX) }
    }

    /// The text of a line, counted from 1, without its end.
    fn line(&self, line: u32) -> &'t str {
        let Some(start) = (line as usize).checked_sub(1).and_then(|i| self.starts.get(i)) else {
            return "";
        };
        self.text[*start..].lines().next().unwrap_or("")
    }
}

/// The text of the file, or `None` with errors when it cannot be a jig file at all.
pub(crate) fn text<'b>(bytes: &'b [u8], errors: &mut InputErrors) -> Option<&'b str> {
    let nowhere = Place::default();
    if bytes.len() > LARGEST_FILE {
        let size = bytes.len() as f64 / LARGEST_FILE as f64;
        let size =
            if bytes.len() < LARGEST_FILE * 11 / 10 { "a little over 1".to_string() } else { format!("{size:.1}") };
        errors.wrong(
            nowhere,
            format!("the file has {size} MiB"),
            "a jig file has at most 1 MiB; is this the right file?",
        );
        return None;
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        errors.wrong(place_in(bytes, 0), "the file is written in UTF-16", "save it as UTF-8");
        return None;
    }
    let body = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    if let Some(at) = body.iter().position(|b| *b == 0) {
        errors.wrong(
            place_in(body, at),
            "the file holds a NUL byte",
            "a jig file is plain text; is this the right file?",
        );
        return None;
    }
    match std::str::from_utf8(body) {
        Err(error) => {
            let at = error.valid_up_to();
            let byte = body.get(at).copied().unwrap_or(0);
            let message = format!("byte 0x{byte:02X} is not UTF-8");
            errors.wrong(place_in(body, at), message, "save the file as UTF-8");
            None
        }
        Ok(text) if text.trim().is_empty() => {
            errors.wrong(Place { line: 1, column: 1 }, "the file is empty", "a jig file begins with format = 1");
            None
        }
        Ok(text) => Some(text),
    }
}

/// Place of a byte in what may not be UTF-8; everything before `at` is.
fn place_in(bytes: &[u8], at: usize) -> Place {
    let before = String::from_utf8_lossy(&bytes[..at]);
    Index::new(&before).place(before.len())
}

/// Reads the TOML, as far as it can be read; what cannot is an error.
pub(crate) fn tree<'t>(text: &'t str, index: &Index<'t>, errors: &mut InputErrors) -> Option<Spanned<DeTable<'t>>> {
    if let Some(at) = too_deep(text) {
        let help = format!("a jig file needs no more than four; {DEEPEST} are read");
        errors.wrong(index.place(at), "brackets are nested too deep", help);
        return None;
    }
    let (tree, slips) = DeTable::parse_recoverable(text);
    let mut twice_headers = Vec::new();
    for (count, slip) in slips.into_iter().enumerate() {
        let at = slip.span().map_or(0, |span| span.start);
        let place = index.place(at);
        let message = slip.message();
        if count > 2 * MOST_ERRORS {
            // Only counted: nobody reads them, and a file of a hundred thousand slips is to be told at once.
            if message == "duplicate key" {
                errors.wrong(place, message, "");
            } else {
                errors.syntax(place, message, "");
            }
            continue;
        }
        if message == "duplicate key" {
            duplicate(index, place, at, &mut twice_headers, errors);
            continue;
        }
        if message.contains("recurs") {
            errors.syntax(place, "keys or brackets are nested too deep", "a jig file needs no more than four levels");
            continue;
        }
        let line = index.line(place.line).trim();
        errors.syntax(place, format!("this is not TOML: {message}"), hint(line, message));
    }
    Some(tree)
}

/// What is the likely slip on a line that is no TOML.
fn hint(line: &str, message: &str) -> String {
    if line.contains(['“', '”', '‘', '’', '„']) {
        return "use straight quotes: \"…\"".to_string();
    }
    if let Some((key, value)) = line.split_once('=') {
        let value = value.split('#').next().unwrap_or_default().trim();
        if !value.is_empty() && !value.contains(['"', '\'', '[', '{']) {
            let key = key.trim();
            return format!("put the value in quotes: {key} = {}", quote(value));
        }
    }
    if message.contains("array") {
        return "close the list with ] and put commas between".to_string();
    }
    if message.contains("unclosed") || message.contains("closing") || message.contains("invalid basic string") {
        return "close the quotes or brackets on this line".to_string();
    }
    if !line.contains('=') && !line.starts_with('[') {
        return "a line is key = value, [section], or a comment behind #".to_string();
    }
    String::new()
}

/// Offset of the first bracket that opens a level too deep. A rough scan: strings and comments are skipped, which is
/// enough to keep what the TOML reader sees shallow; the reader has a guard of its own.
fn too_deep(text: &str) -> Option<usize> {
    let mut depth = 0usize;
    let mut string: Option<u8> = None;
    let mut comment = false;
    let mut escaped = false;
    for (at, byte) in text.bytes().enumerate() {
        match (string, byte) {
            (_, b'\n') => {
                string = None;
                comment = false;
            }
            _ if comment => {}
            (Some(b'"'), b'\\') if !escaped => {
                escaped = true;
                continue;
            }
            (Some(open), _) if byte == open && !escaped => string = None,
            (Some(_), _) => {}
            (None, b'"' | b'\'') => string = Some(byte),
            (None, b'#') => comment = true,
            (None, b'[' | b'{') => {
                depth += 1;
                if depth > DEEPEST {
                    return Some(at);
                }
            }
            (None, b']' | b'}') => depth = depth.saturating_sub(1),
            _ => {}
        }
        escaped = false;
    }
    None
}

/// A key or section written twice: name both places.
fn duplicate(index: &Index<'_>, place: Place, at: usize, twice_headers: &mut Vec<u32>, errors: &mut InputErrors) {
    let here = index.line(place.line).trim_start();
    let header = |line: u32| {
        (1..=line)
            .rev()
            .find(|n| index.line(*n).trim_start().starts_with('['))
            .map(|n| (n, plain_header(index.line(n))))
    };
    if here.starts_with('[') {
        let wanted = plain_header(here);
        let first = (1..place.line).find(|n| {
            let line = index.line(*n).trim_start();
            line.starts_with('[') && plain_header(line) == wanted
        });
        twice_headers.push(place.line);
        let name = format!("[{wanted}]");
        match first {
            Some(first) => errors.wrong(
                place,
                format!("{name} is written twice, first in line {first}"),
                "give one of them another name or remove it",
            ),
            None => errors.wrong(place, format!("{name} is already defined by other keys"), "write it in one place"),
        }
        return;
    }
    let section = header(place.line);
    // Every key of a section written twice is there twice; the section's own error says it.
    if section.as_ref().is_some_and(|(line, _)| twice_headers.contains(line)) {
        return;
    }
    let key = index.text[at..].split(['=', '.', ' ', '\t', '\r', '\n', ',']).next().unwrap_or_default();
    let from = section.as_ref().map_or(1, |(line, _)| line + 1);
    let first = (from..place.line).find(|n| {
        let line = index.line(*n).trim_start();
        line.split(['=', '.']).next().is_some_and(|k| k.trim() == key)
    });
    let where_ = match first {
        Some(first) => format!(", first in line {first}"),
        None => String::new(),
    };
    errors.wrong(
        place,
        format!("{} is written twice{where_}", quote(key.trim_matches(['"', '\'']))),
        "keep one of them",
    );
}

fn plain_header(line: &str) -> String {
    let line = line.split('#').next().unwrap_or_default();
    line.chars().filter(|c| !matches!(c, '[' | ']' | '"' | '\'' | ' ' | '\t' | '\r')).collect()
}

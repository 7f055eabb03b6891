//! Readings as they are written down, in a file or on the command line. Must not know what is measured.

use serde::Deserialize;
use toml::Spanned;

use super::Fault;
use crate::deadtest::network::Network;
use crate::deadtest::{DeadTest, Range};
use crate::format::Place;
use crate::jig::place_in;
use crate::quantity::quote;

/// The format of the file of readings.
const FORMAT: i64 = 1;
/// Most readings.
const MOST: usize = 1000;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: Spanned<i64>,
    jig: Option<Spanned<String>>,
    #[serde(default)]
    reading: Vec<Spanned<RowKeys>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RowKeys {
    id: Option<Spanned<String>>,
    between: Option<Spanned<[String; 2]>>,
    setting: Option<Spanned<String>>,
    range: Option<Spanned<String>>,
    value: Spanned<String>,
}

/// A reading before it is matched.
pub(super) struct Raw {
    pub id: Option<String>,
    pub between: Option<[String; 2]>,
    pub setting: Option<String>,
    pub range: Option<String>,
    pub value: String,
    pub line: Place,
}

/// The rows of a file of readings.
///
/// # Errors
/// Everything that is wrong with the file itself, each at its place.
pub(super) fn file(test: &DeadTest, text: &str, any_jig: bool) -> Result<Vec<Raw>, Vec<(Place, Fault)>> {
    let file: File = toml::from_str(text).map_err(|error| {
        let place = place_in(text, error.span().map_or(0, |span| span.start));
        let message = error.message().lines().next().unwrap_or_default().to_string();
        let help = "a file of readings has format = 1, jig = \"…\" and [[reading]] with id, or between, and value";
        vec![(place, (message, help.to_string()))]
    })?;
    let place = |start: usize| place_in(text, start);
    let mut errors = vec![];
    if *file.format.get_ref() != FORMAT {
        let message = format!("the file is of format {}", file.format.get_ref());
        errors.push((place(file.format.span().start), (message, format!("this program reads format {FORMAT} only"))));
    }
    match &file.jig {
        None if any_jig => {}
        None => {
            let help = format!("write jig = \"{}\"", test.sha256);
            errors.push((place(0), ("the file does not say which jig was measured".to_string(), help)));
        }
        Some(hash) if any_jig || is_hash_of(hash.get_ref(), &test.sha256) => {}
        Some(hash) => {
            let message = format!(
                "these are readings of another jig, {}, or of this one before it was changed",
                quote(hash.get_ref())
            );
            let help = format!("this jig is {}; --any-jig takes them all the same", test.sha256);
            errors.push((place(hash.span().start), (message, help)));
        }
    }
    if file.reading.is_empty() {
        let help = "write [[reading]] with id or between, and value".to_string();
        errors.push((place(0), ("the file holds no readings".to_string(), help)));
    }
    if file.reading.len() > MOST {
        let message = format!("the file holds {} readings", file.reading.len());
        errors.push((place(file.reading[MOST].span().start), (message, format!("at most {MOST} are read"))));
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let row = |row: Spanned<RowKeys>| {
        let line = place(row.get_ref().value.span().start);
        let row = row.into_inner();
        let word = |text: Option<Spanned<String>>| text.map(Spanned::into_inner);
        Raw {
            id: word(row.id),
            between: row.between.map(Spanned::into_inner),
            setting: word(row.setting),
            range: word(row.range),
            value: row.value.into_inner(),
            line,
        }
    };
    Ok(file.reading.into_iter().map(row).collect())
}

/// Whether a hash, or as much of it as its first eight digits, is that of the jig.
fn is_hash_of(text: &str, sha256: &str) -> bool {
    const FEWEST: usize = 8;
    let text = text.trim().to_lowercase();
    let text = text.strip_prefix("sha256:").unwrap_or(&text);
    text.len() >= FEWEST && sha256.starts_with(text)
}

/// `L-N=OL`, `M3=299 kΩ`, `L-case SW1=off ohms=none`.
pub(super) fn argument(test: &DeadTest, text: &str) -> Result<Raw, Fault> {
    let how = || "write it as \"L-N=OL\", \"M1=299 kΩ\" or \"L-N SW1=off ohms=OL\"".to_string();
    let Some((what, value)) = text.rsplit_once('=') else { return Err(("there is no = in it".to_string(), how())) };
    let (what, value) = (what.trim(), value.trim().to_string());
    let mut raw =
        Raw { id: None, between: None, setting: None, range: None, value, line: Place { line: 0, column: 0 } };
    let Some((between, mut rest)) = leads(&test.bench.network, what) else {
        raw.id = Some(what.to_string());
        return Ok(raw);
    };
    raw.between = Some(between);
    rest = rest.trim();
    if let Some((before, last)) = rest.rsplit_once(' ').or(Some(("", rest)))
        && Range::ALL.iter().any(|r| r.word() == last)
    {
        raw.range = Some(last.to_string());
        rest = before.trim();
    }
    if !rest.is_empty() {
        raw.setting = Some(rest.to_string());
    }
    Ok(raw)
}

/// The two points that a text begins with, `L-N`, and what is behind them.
fn leads<'t>(network: &Network, text: &'t str) -> Option<([String; 2], &'t str)> {
    let names = || network.points.iter().flat_map(|p| [p.name.as_str(), p.net_name.as_str()]);
    let first = names().filter(|n| text.strip_prefix(n).is_some_and(|rest| rest.starts_with('-')));
    let mut found: Vec<([String; 2], &str)> = vec![];
    for a in first {
        let rest = &text[a.len() + 1..];
        let ends = |rest: &str| rest.is_empty() || rest.starts_with(' ');
        let second = names().filter(|n| rest.strip_prefix(n).is_some_and(ends));
        found.extend(second.map(|b| ([a.to_string(), b.to_string()], &rest[b.len()..])));
    }
    found.into_iter().max_by_key(|(names, _)| names[0].len() + names[1].len())
}

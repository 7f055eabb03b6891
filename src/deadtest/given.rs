//! Readings that were taken: from the command line and from a file, each matched to a measurement. Nothing is diagnosed from half of
//! them: whatever is wrong with one is told, with its line.

use serde::Deserialize;
use toml::Spanned;

use super::network::Network;
use super::reading::{self, Reading};
use super::table::Where;
use super::{DeadTest, Measurement, Range, Setting};
use crate::format::Place;
use crate::jig::{InputError, place_in};
use crate::quantity::{self, Kind, quote};
use crate::standard::meter;

/// A reading that was taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Given {
    /// How it is named: the id of its measurement, or its points.
    pub label: String,
    pub place: Where,
    /// SI; without bound for no reading.
    pub value: f64,
    /// Where it stands in the file, or nothing for the command line.
    line: Place,
}

/// What was asked for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Wish {
    /// Readings of the command line: `L-N=OL`.
    pub readings: Vec<String>,
    /// A file of readings: its name and its text.
    pub file: Option<(String, String)>,
    /// Whether readings of another jig are taken.
    pub any_jig: bool,
}

/// The format of the file of readings.
const FORMAT: i64 = 1;
/// Most readings.
const MOST: usize = 1000;
/// The name that stands for a file in errors of the command line.
const ARGUMENT: &str = "--reading";

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
struct Raw {
    id: Option<String>,
    between: Option<[String; 2]>,
    setting: Option<String>,
    range: Option<String>,
    value: String,
    line: Place,
}

/// Message and help of what is wrong with a reading.
type Fault = (String, String);

/// The readings that were taken.
///
/// # Errors
/// Everything that is wrong with them: units, points, settings, another jig, two that exclude each other.
pub(crate) fn given(test: &DeadTest, wish: &Wish) -> Result<Vec<Given>, Vec<InputError>> {
    let mut errors = vec![];
    let mut raws: Vec<(String, Raw)> = vec![];
    if let Some((name, text)) = &wish.file {
        match file(test, text, wish.any_jig) {
            Ok(rows) => raws.extend(rows.into_iter().map(|raw| (name.clone(), raw))),
            Err(list) => errors.extend(list.into_iter().map(|(place, (m, h))| InputError::at(name, place, m, h))),
        }
    }
    for text in &wish.readings {
        match argument(test, text) {
            Ok(raw) => raws.push((format!("{ARGUMENT} {}", quote(text)), raw)),
            Err((m, h)) => errors.push(InputError::of_file(format!("{ARGUMENT} {}", quote(text)), m, h)),
        }
    }
    let mut found = vec![];
    for (file, raw) in raws {
        match matched(test, &raw) {
            Ok(given) => found.push((file, given)),
            Err((m, h)) => errors.push(at(file, raw.line, m, h)),
        }
    }
    errors.extend(excluding(&found));
    if errors.is_empty() { Ok(found.into_iter().map(|(_, g)| g).collect()) } else { Err(errors) }
}

fn at(file: String, place: Place, message: String, help: String) -> InputError {
    if place.line == 0 { InputError::of_file(file, message, help) } else { InputError::at(file, place, message, help) }
}

fn file(test: &DeadTest, text: &str, any_jig: bool) -> Result<Vec<Raw>, Vec<(Place, Fault)>> {
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
fn argument(test: &DeadTest, text: &str) -> Result<Raw, Fault> {
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

fn matched(test: &DeadTest, raw: &Raw) -> Result<Given, Fault> {
    match (&raw.id, &raw.between) {
        (Some(id), None) => of_id(test, raw, id),
        (None, Some(between)) => of_points(test, raw, between),
        (Some(_), Some(_)) => Err(("a reading has id or between, not both".into(), "leave one of them out".into())),
        (None, None) => Err(("the reading does not say where it was taken".into(), "write id, or between".into())),
    }
}

fn of_id(test: &DeadTest, raw: &Raw, id: &str) -> Result<Given, Fault> {
    let known = test.measurements.iter().position(|m| m.id.eq_ignore_ascii_case(id));
    let Some(k) = known else {
        let help = format!("the dead test has M1 to M{}, and the points {}", test.measurements.len(), points(test));
        return Err((format!("there is no measurement and no pair of points {}", quote(id)), help));
    };
    let m = &test.measurements[k];
    let other_range = raw.range.as_ref().is_some_and(|r| r != m.range.word());
    let other_setting =
        raw.setting.as_ref().is_some_and(|s| setting_of(test, s).ok() != Some(test.bench.chosen[k].setting));
    if other_range || other_setting {
        let message = format!("{} is measured on the {} range{}", m.id, m.range.word(), in_setting(&m.setting));
        return Err((message, "leave range and setting out, or write between in place of id".into()));
    }
    let value = value(&raw.value, m.range)?;
    Ok(Given { label: m.id.clone(), place: test.bench.chosen[k], value, line: raw.line })
}

fn in_setting(setting: &Setting) -> String {
    if setting.is_empty() { String::new() } else { format!(" with {}", shown(setting)) }
}

/// A setting as files and readings write it.
pub(crate) fn shown(setting: &Setting) -> String {
    setting.iter().map(|(switch, position)| format!("{switch}={position}")).collect::<Vec<_>>().join(", ")
}

fn points(test: &DeadTest) -> String {
    test.points.iter().map(|p| p.name.as_str()).collect::<Vec<_>>().join(", ")
}

fn of_points(test: &DeadTest, raw: &Raw, between: &[String; 2]) -> Result<Given, Fault> {
    let mut at = [0; 2];
    for (k, name) in between.iter().enumerate() {
        let Some(point) = test.points.iter().position(|p| p.is_called(name)) else {
            let help = format!("the points are {}", points(test));
            return Err((format!("there is no point {}", quote(name)), help));
        };
        at[k] = point;
    }
    if at[0] == at[1] {
        return Err(("both leads are on one point".into(), "name two points".into()));
    }
    let range = match &raw.range {
        None => None,
        Some(word) => Some(Range::ALL.into_iter().find(|r| r.word() == word.as_str()).ok_or_else(|| {
            let known = Range::ALL.map(Range::word).join(", ");
            (format!("a meter has no range {}", quote(word)), format!("the ranges are {known}"))
        })?),
    };
    let setting = raw.setting.as_ref().map(|s| setting_of(test, s)).transpose()?;
    let range = match range {
        Some(range) => range,
        None => unstated(test, raw, between, at)?,
    };
    let value = value(&raw.value, range)?;
    let kind = if range == Range::Continuity { Range::Ohms } else { range };
    let planned: Vec<(usize, &Measurement)> = (0..test.measurements.len())
        .filter(|k| same_points(&test.bench.chosen[*k], at) && test.bench.chosen[*k].range == kind)
        .map(|k| (k, &test.measurements[k]))
        .collect();
    let setting = match setting {
        Some(s) => s,
        None => {
            let mut found: Vec<usize> = planned.iter().map(|(k, _)| test.bench.chosen[*k].setting).collect();
            found.dedup();
            if found.len() > 1 {
                let each = planned.iter().map(|(_, m)| format!("\"{}\"", shown(&m.setting))).collect::<Vec<_>>();
                let message =
                    format!("{}-{} is measured in more than one position of the switches", between[0], between[1]);
                return Err((message, format!("say in which: {}", each.join(" or "))));
            }
            found.first().copied().unwrap_or(0)
        }
    };
    // Only a junction cares which lead is where.
    let between_points = if kind == Range::Diode { at } else { [at[0].min(at[1]), at[0].max(at[1])] };
    let place = Where { setting, range: kind, between: between_points };
    let label = test
        .bench
        .chosen
        .iter()
        .zip(&test.measurements)
        .find(|(c, _)| **c == place)
        .map_or_else(|| format!("{}-{}", between[0], between[1]), |(_, m)| m.id.clone());
    Ok(Given { label, place, value, line: raw.line })
}

/// The range of a reading that does not state it: by its unit, or by what is to be measured between its points.
fn unstated(test: &DeadTest, raw: &Raw, between: &[String; 2], at: [usize; 2]) -> Result<Range, Fault> {
    let planned = test.measurements.iter().zip(&test.bench.chosen).filter(|(_, c)| same_points(c, at));
    let mut ranges: Vec<Range> = planned.map(|(m, _)| m.range).collect();
    ranges.dedup();
    let Some(by_unit) = by_unit(&raw.value) else {
        return Ok(if ranges.len() == 1 { ranges[0] } else { Range::Ohms });
    };
    if ranges.is_empty() || ranges.iter().any(|r| r.unit() == by_unit.unit()) {
        return Ok(by_unit);
    }
    let words = ranges.iter().map(|r| r.word()).collect::<Vec<_>>().join(" or ");
    let message = format!("{} is no reading of the {words} range", quote(&raw.value));
    let help = format!(
        "{}-{} is measured on that range, which reads {}; on another one write the range too",
        between[0],
        between[1],
        ranges[0].unit()
    );
    Err((message, help))
}

fn same_points(place: &Where, at: [usize; 2]) -> bool {
    place.between == at || (place.range != Range::Diode && place.between == [at[1], at[0]])
}

fn setting_of(test: &DeadTest, text: &str) -> Result<usize, Fault> {
    let wanted: Vec<&str> = text.split([',', ' ']).filter(|w| !w.is_empty()).collect();
    let known = test.bench.settings.iter().map(|s| format!("\"{}\"", shown(s))).collect::<Vec<_>>();
    let of = |setting: &Setting| {
        let has = |w: &&str| setting.iter().any(|(s, p)| *w == format!("{s}={p}"));
        wanted.iter().all(has) && wanted.len() == setting.len()
    };
    test.bench.settings.iter().position(of).ok_or_else(|| {
        let help = if known.is_empty() || known == ["\"\""] {
            "this jig has no switch: leave setting out".to_string()
        } else {
            format!("measured are {}", known.join(", "))
        };
        (format!("there is no setting {}", quote(text)), help)
    })
}

/// The range that a unit belongs to.
fn by_unit(text: &str) -> Option<Range> {
    [Range::Ohms, Range::Diode, Range::Capacitance].into_iter().find(|r| quantity_of(text, *r).is_ok())
}

fn quantity_of(text: &str, range: Range) -> Result<f64, quantity::ReadError> {
    let kind = match range {
        Range::Continuity | Range::Ohms => Kind::Resistance,
        Range::Diode => Kind::Voltage,
        Range::Capacitance => Kind::Capacitance,
    };
    quantity::parse_in(text, kind, quantity::Range::NotNegative)
}

fn value(text: &str, range: Range) -> Result<f64, Fault> {
    if ["none", "ol"].contains(&text.trim().to_lowercase().as_str()) {
        return Ok(f64::INFINITY);
    }
    let unit = range.unit();
    let value = quantity_of(text, range).map_err(|error| {
        let help = format!("the {} range reads {unit}, or \"OL\" or \"none\" where it shows no number", range.word());
        (error.message, if error.help.is_empty() { help } else { format!("{}; {help}", error.help) })
    })?;
    let most = meter::diode().open_volts;
    if range == Range::Diode && value > most {
        let help =
            format!("it has {} at most; is the tool unplugged and discharged?", quantity::format_table(most, unit));
        return Err((format!("{} is more than a meter's diode range has", quote(text)), help));
    }
    Ok(value)
}

/// Two readings of one measurement that differ, and a resistance that is more than those along the way.
fn excluding(found: &[(String, Given)]) -> Vec<InputError> {
    let shows = |g: &Given| Reading { low: g.value, high: g.value };
    let named = |(file, g): &(String, Given)| match g.line.line {
        0 => format!("{} ({file})", g.label),
        line => format!("{} (line {line})", g.label),
    };
    let mut errors = vec![];
    let mut tell = |k: usize, message: String| {
        let (file, g) = &found[k];
        let help = "measure again: one of them is wrong, or the tool was changed between them".to_string();
        errors.push(at(file.clone(), g.line, message, help));
    };
    for (k, (_, g)) in found.iter().enumerate() {
        let twin = found[..k].iter().find(|(_, o)| o.place == g.place && shows(o).differs(&shows(g), g.place.range));
        if let Some(twin) = twin {
            tell(k, format!("{} was read twice, with values that exclude each other: see {}", g.label, named(twin)));
        }
    }
    let ohms: Vec<usize> = (0..found.len()).filter(|k| found[*k].1.place.range.is_ohms()).collect();
    for &c in &ohms {
        let [a, b] = found[c].1.place.between;
        let low = shows(&found[c].1).widened(Range::Ohms).low;
        for &x in &ohms {
            for &y in ohms.iter().filter(|y| **y > x) {
                let alike = [x, y, c].iter().all(|k| found[*k].1.place.setting == found[c].1.place.setting);
                if !alike || x == c || y == c || !chain(found[x].1.place.between, found[y].1.place.between, [a, b]) {
                    continue;
                }
                let way: f64 = [x, y].iter().map(|k| shows(&found[*k].1).widened(Range::Ohms).high).sum();
                if low > way && way < reading::end(Range::Ohms) {
                    let message = format!(
                        "{} reads more than {} and {} together, which lead from the one point to the other: these exclude each other",
                        found[c].1.label,
                        named(&found[x]),
                        named(&found[y]),
                    );
                    tell(c, message);
                }
            }
        }
    }
    errors
}

/// Whether two pairs of points make a way between the ends of a third.
fn chain(x: [usize; 2], y: [usize; 2], [a, b]: [usize; 2]) -> bool {
    let from = |p: [usize; 2], q: [usize; 2]| {
        p.contains(&a) && q.contains(&b) && {
            let m = if p[0] == a { p[1] } else { p[0] };
            m != b && q.contains(&m)
        }
    };
    from(x, y) || from(y, x)
}

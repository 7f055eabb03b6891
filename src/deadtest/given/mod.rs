//! Readings that were taken: from the command line and from a file, each matched to a measurement. Nothing is diagnosed from half of
//! them: whatever is wrong with one is told, with its line.

mod excluding;
mod raw;

use super::table::Where;
use super::{DeadTest, Range, Setting};
use crate::format::Place;
use crate::jig::InputError;
use crate::quantity::{self, Kind, quote};
use crate::standard::meter;
use excluding::excluding;
use raw::{Raw, argument, file};

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

/// The name that stands for a file in errors of the command line.
const ARGUMENT: &str = "--reading";

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
    let at = [point(test, &between[0])?, point(test, &between[1])?];
    if at[0] == at[1] {
        return Err(("both leads are on one point".into(), "name two points".into()));
    }
    let range = match &raw.range {
        Some(word) => range(word)?,
        None => unstated(test, raw, between, at)?,
    };
    let value = value(&raw.value, range)?;
    let range = if range == Range::Continuity { Range::Ohms } else { range };
    let setting = match &raw.setting {
        Some(text) => setting_of(test, text)?,
        None => planned_setting(test, between, at, range)?,
    };
    // Only a junction cares which lead is where.
    let ends = if range == Range::Diode { at } else { [at[0].min(at[1]), at[0].max(at[1])] };
    let place = Where { setting, range, between: ends };
    let planned = test.bench.chosen.iter().position(|c| *c == place);
    let label = planned.map_or_else(|| between.join("-"), |k| test.measurements[k].id.clone());
    Ok(Given { label, place, value, line: raw.line })
}

fn point(test: &DeadTest, name: &str) -> Result<usize, Fault> {
    let found = test.points.iter().position(|p| p.is_called(name));
    found.ok_or_else(|| (format!("there is no point {}", quote(name)), format!("the points are {}", points(test))))
}

fn range(word: &str) -> Result<Range, Fault> {
    Range::ALL.into_iter().find(|r| r.word() == word).ok_or_else(|| {
        let known = Range::ALL.map(Range::word).join(", ");
        (format!("a meter has no range {}", quote(word)), format!("the ranges are {known}"))
    })
}

/// The setting of a reading that does not state it: that of the one measurement that the test has there, else everything on.
fn planned_setting(test: &DeadTest, between: &[String; 2], at: [usize; 2], range: Range) -> Result<usize, Fault> {
    let there = |c: &&Where| same_points(c, at) && c.range == range;
    let mut found: Vec<usize> = test.bench.chosen.iter().filter(there).map(|c| c.setting).collect();
    found.dedup();
    if found.len() > 1 {
        let each = found.iter().map(|s| format!("\"{}\"", shown(&test.bench.settings[*s]))).collect::<Vec<_>>();
        let message = format!("{} is measured in more than one position of the switches", between.join("-"));
        return Err((message, format!("say in which: {}", each.join(" or "))));
    }
    Ok(found.first().copied().unwrap_or(0))
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

//! What a plugin says of itself: `plugin.toml`, read strictly. A key it does not know is an error, never skipped: a plugin
//! that means something by it would be judged by other rules than its author wrote. Runs nothing.

use super::identity::{Errors, Header, Identity, is_kebab, parsed};
use crate::finding::CheckId;
use crate::jig::InputError;
use crate::quantity;
use semver::Version;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Level of the interface this program offers. A level never changes its meaning.
pub(crate) const API: u32 = 1;

/// What a plugin says of itself.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Manifest {
    /// Kebab-case name, also the name of its folder.
    pub id: String,
    /// Version.
    pub version: Version,
    /// One line.
    pub title: String,
    /// What it looks for and why, a few sentences.
    pub about: String,
    /// Kinds of unit it is for.
    pub units: Vec<String>,
    /// What the trade calls that unit besides.
    pub also_called: Vec<String>,
    /// Who wrote it.
    pub author: String,
    /// Under which licence.
    pub licence: String,
    /// Where its limits are published.
    pub sources: Vec<String>,
    /// What a jig file may set, with what holds when it does not.
    pub settings: BTreeMap<String, Setting>,
    /// Its checks, by name.
    pub checks: BTreeMap<String, CheckInfo>,
    /// Numbers that are the limit of no check, by name.
    pub numbers: BTreeMap<String, Number>,
}

/// A number that checks use and that is the limit of none.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    /// Its value with its unit.
    pub value: (f64, String),
    /// Where it is published, or "common practice".
    pub source: String,
}

/// Something a jig file may set under `[plugin.ID]`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Setting {
    /// Holds when the jig file says nothing.
    pub default: SettingValue,
    /// What it means.
    pub about: String,
}

/// The value of a setting. A quantity is held in SI base units with its unit.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum SettingValue {
    /// A plain number.
    Number(f64),
    /// A number with a unit.
    Quantity(f64, String),
    /// A text.
    Text(String),
    /// Yes or no.
    Flag(bool),
}

impl SettingValue {
    /// What a value of this kind is called.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            SettingValue::Number(_) => "number",
            SettingValue::Quantity(..) => "quantity",
            SettingValue::Text(_) => "text",
            SettingValue::Flag(_) => "flag",
        }
    }
}

/// One check of a plugin.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CheckInfo {
    /// One line.
    pub title: String,
    /// The limit as a number with its unit, where it is one.
    pub limit: Option<(f64, String)>,
    /// Where it is published, or "common practice".
    pub source: String,
    /// Why it matters.
    pub why: String,
    /// Checks of the core that tell the same: where one of them has told it of the same parts, it is not told again.
    pub told_by: Vec<CheckId>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    id: toml::Spanned<String>,
    version: toml::Spanned<String>,
    api: toml::Spanned<u32>,
    title: String,
    about: String,
    units: toml::Spanned<Vec<String>>,
    #[serde(default, rename = "also-called")]
    also_called: Option<toml::Spanned<Vec<String>>>,
    author: String,
    licence: String,
    sources: Vec<String>,
    #[serde(default)]
    settings: BTreeMap<String, RawSetting>,
    checks: toml::Spanned<BTreeMap<String, RawCheck>>,
    #[serde(default)]
    numbers: BTreeMap<String, RawNumber>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawNumber {
    value: toml::Spanned<toml::Value>,
    source: toml::Spanned<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawSetting {
    #[serde(rename = "type")]
    kind: toml::Spanned<String>,
    default: toml::Spanned<toml::Value>,
    about: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCheck {
    title: String,
    limit: Option<toml::Spanned<toml::Value>>,
    source: toml::Spanned<String>,
    why: String,
    #[serde(default, rename = "told-by")]
    told_by: Vec<toml::Spanned<String>>,
}

impl Manifest {
    /// `ID@VERSION`.
    pub(crate) fn stamp(&self) -> String {
        format!("{}@{}", self.id, self.version)
    }

    /// Reads a `plugin.toml`; `file` is named in errors.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub(crate) fn parse(file: &str, bytes: &[u8]) -> Result<Manifest, Vec<InputError>> {
        let (text, raw) = parsed(file, bytes)?;
        let mut errors = Errors { file, text, found: vec![] };
        match built(raw, &mut errors) {
            Some(manifest) if errors.found.is_empty() => Ok(manifest),
            _ => Err(errors.found),
        }
    }
}

fn built(raw: Raw, errors: &mut Errors) -> Option<Manifest> {
    let (asked, at) = (*raw.api.get_ref(), [raw.api.span().start, raw.units.span().start]);
    let units = raw.units.get_ref();
    let for_none = units.is_empty() || units.iter().any(|u| u.trim().is_empty());
    let also_called = raw.also_called.map_or_else(Vec::new, |names| {
        let bad = |n: &String| n.trim().is_empty() || units.contains(n);
        if units.len() != 1 || names.get_ref().iter().any(bad) {
            let help = "list other words for the one unit of the plugin, none of them empty or the unit itself";
            errors.wrong(names.span().start, "also-called does not fit", help);
        }
        names.into_inner()
    });
    let identity = Header { id: raw.id, version: raw.version, api: raw.api, units: raw.units }.identity(errors);
    if asked != API {
        let message = format!("this plugin asks for API level {asked}; this program has level {API}");
        errors.wrong(at[0], message, "take a version of the plugin, or of this program, that fits");
    }
    if for_none {
        let help = "name the kinds of unit it is for, like units = [\"strobe-lamp\"]";
        errors.wrong(at[1], "it is for no kind of unit", help);
    }
    if raw.checks.get_ref().is_empty() {
        errors.wrong(raw.checks.span().start, "it has no check", "add [checks.NAME] for each check it makes");
    }
    let settings = raw.settings.into_iter().filter_map(|(name, s)| Some((name.clone(), declared(&name, s, errors)?)));
    let settings = settings.collect();
    let checks = raw.checks.into_inner().into_iter().map(|(name, c)| (name.clone(), check(&name, c, errors))).collect();
    let numbers = raw.numbers.into_iter().filter_map(|(name, n)| number(&name, n, errors).map(|n| (name, n))).collect();
    let Identity { id, version, units, .. } = identity?;
    Some(Manifest {
        id,
        version,
        title: raw.title,
        about: raw.about,
        units,
        also_called,
        author: raw.author,
        licence: raw.licence,
        sources: raw.sources,
        settings,
        checks,
        numbers,
    })
}

fn declared(name: &str, raw: RawSetting, errors: &mut Errors) -> Option<Setting> {
    let kind = raw.kind.get_ref();
    match setting(kind, raw.default.get_ref()) {
        Ok(default) => Some(Setting { default, about: raw.about }),
        Err(help) => {
            errors.wrong(raw.default.span().start, format!("the default of {name} is no {kind}"), help);
            None
        }
    }
}

fn check(name: &str, raw: RawCheck, errors: &mut Errors) -> CheckInfo {
    let at = raw.source.span().start;
    if !is_kebab(name) {
        errors.wrong(at, format!("{name:?} can be no name of a check"), "write lower-case words joined by hyphens");
    }
    if raw.source.get_ref().trim().is_empty() {
        let help = "name the standard and clause, or write \"common practice\"";
        errors.wrong(at, format!("the check {name} names no source"), help);
    }
    let limit = raw.limit.and_then(|l| written(&l, "limit", errors));
    let mut told_by = vec![];
    for word in raw.told_by {
        match CheckId::named(word.get_ref()) {
            Some(check) => told_by.push(check),
            None => {
                let help = "name checks as `deadfront why` lists them";
                errors.wrong(word.span().start, format!("the core has no check {:?}", word.get_ref()), help);
            }
        }
    }
    CheckInfo { title: raw.title, limit, source: raw.source.into_inner(), why: raw.why, told_by }
}

/// A number with its unit as it is written.
fn written(l: &toml::Spanned<toml::Value>, what: &str, errors: &mut Errors) -> Option<(f64, String)> {
    let written = l.get_ref().as_str();
    let limit = written.and_then(measured);
    if limit.is_none() {
        let shown = written.map_or_else(|| l.get_ref().to_string(), |w| format!("{w:?}"));
        let help = "write a number and the symbol of its unit in quotes, like \"65 Hz\"; a plain number is \"1.1\"";
        errors.wrong(l.span().start, format!("{shown} is no {what}"), help);
    }
    limit
}

fn number(name: &str, raw: RawNumber, errors: &mut Errors) -> Option<Number> {
    if !is_kebab(name) {
        let message = format!("{name:?} can be no name of a number");
        errors.wrong(raw.source.span().start, message, "write lower-case words joined by hyphens");
    }
    if raw.source.get_ref().trim().is_empty() {
        let help = "name the standard and clause, or write \"common practice\"";
        errors.wrong(raw.source.span().start, format!("the number {name} names no source"), help);
    }
    Some(Number { value: written(&raw.value, "number", errors)?, source: raw.source.into_inner() })
}

/// A text as a number with its SI unit; a bare number has the unit "".
pub(crate) fn measured(text: &str) -> Option<(f64, String)> {
    if let Ok(number) = text.trim().parse::<f64>() {
        return number.is_finite().then(|| (number, String::new()));
    }
    let (value, kind) = quantity::parse_any(text).ok()?;
    Some((value, unit_of(kind).to_string()))
}

/// The SI unit a value of a kind is held in; a share is a plain number.
pub(crate) fn unit_of(kind: quantity::Kind) -> &'static str {
    match kind {
        quantity::Kind::Fraction => "",
        kind => kind.units()[0],
    }
}

/// A value of the kind a setting declares.
///
/// # Errors
/// What to write instead.
pub(crate) fn setting(kind: &str, value: &toml::Value) -> Result<SettingValue, String> {
    match (kind, value) {
        ("number", toml::Value::Integer(n)) => Ok(SettingValue::Number(*n as f64)),
        ("number", toml::Value::Float(n)) if n.is_finite() => Ok(SettingValue::Number(*n)),
        ("number", _) => Err("write a number".into()),
        ("text", toml::Value::String(s)) => Ok(SettingValue::Text(s.clone())),
        ("text", _) => Err("write a text in quotes".into()),
        ("flag", toml::Value::Boolean(b)) => Ok(SettingValue::Flag(*b)),
        ("flag", _) => Err("write true or false".into()),
        ("quantity", toml::Value::String(s)) => match measured(s) {
            Some((value, unit)) if !unit.is_empty() => Ok(SettingValue::Quantity(value, unit)),
            _ => Err("write a number with its unit in quotes, like \"5 mA\"".into()),
        },
        ("quantity", _) => Err("write a number with its unit in quotes, like \"5 mA\"".into()),
        _ => Err("the type of a setting is number, quantity, text or flag".into()),
    }
}

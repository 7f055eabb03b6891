//! What a plugin says of itself: `plugin.toml`, read strictly. A key it does not know is an error, never skipped: a plugin
//! that means something by it would be judged by other rules than its author wrote. Runs nothing.

use crate::jig::InputError;
use crate::quantity;
use semver::Version;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Level of the interface this program offers. A level never changes its meaning.
pub const API: u32 = 1;

/// What a plugin says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Manifest {
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
}

/// Something a jig file may set under `[plugin.ID]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// Holds when the jig file says nothing.
    pub default: SettingValue,
    /// What it means.
    pub about: String,
}

/// The value of a setting. A quantity is held in SI base units with its unit.
#[derive(Debug, Clone, PartialEq)]
pub enum SettingValue {
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
    pub fn kind(&self) -> &'static str {
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
pub struct CheckInfo {
    /// One line.
    pub title: String,
    /// The limit as a number with its unit, where it is one.
    pub limit: Option<(f64, String)>,
    /// Where it is published, or "common practice".
    pub source: String,
    /// Why it matters.
    pub why: String,
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
    author: String,
    licence: String,
    sources: Vec<String>,
    #[serde(default)]
    settings: BTreeMap<String, RawSetting>,
    checks: toml::Spanned<BTreeMap<String, RawCheck>>,
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
}

/// Whether a word is kebab-case: lower-case words and digits joined by single hyphens.
pub fn is_kebab(word: &str) -> bool {
    let part = |p: &str| !p.is_empty() && p.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
    word.len() <= 40 && word.split('-').all(part) && word.starts_with(|c: char| c.is_ascii_lowercase())
}

/// A place of a text, counted from 1.
fn place(text: &str, at: usize) -> (u32, u32) {
    let end = (0..=at.min(text.len())).rev().find(|k| text.is_char_boundary(*k)).unwrap_or(0);
    let before = &text[..end];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
    (u32::try_from(line).unwrap_or(u32::MAX), u32::try_from(column).unwrap_or(u32::MAX))
}

/// Gathers what is wrong with one file.
struct Errors<'t> {
    file: &'t str,
    text: &'t str,
    found: Vec<InputError>,
}

impl Errors<'_> {
    fn wrong(&mut self, at: usize, message: impl Into<String>, help: impl Into<String>) {
        let (line, column) = place(self.text, at);
        let (message, help) = (message.into(), help.into());
        self.found.push(InputError { file: self.file.to_string(), line, column, message, help });
    }
}

impl Manifest {
    /// `ID@VERSION`.
    pub fn stamp(&self) -> String {
        format!("{}@{}", self.id, self.version)
    }

    /// Reads a `plugin.toml`; `file` is named in errors.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn parse(file: &str, bytes: &[u8]) -> Result<Manifest, Vec<InputError>> {
        let one = |line, column, message: String, help: &str| {
            vec![InputError { file: file.to_string(), line, column, message, help: help.to_string() }]
        };
        let text = std::str::from_utf8(bytes).map_err(|_| one(1, 1, "it is not UTF-8".into(), "save it as UTF-8"))?;
        let raw: Raw = toml::from_str(text).map_err(|e| {
            let (line, column) = place(text, e.span().map_or(0, |s| s.start));
            one(line, column, e.message().to_string(), "plugins/README.md lists the keys of plugin.toml")
        })?;
        let mut errors = Errors { file, text, found: vec![] };
        let manifest = built(raw, &mut errors);
        match manifest {
            Some(m) if errors.found.is_empty() => Ok(m),
            _ => Err(errors.found),
        }
    }
}

fn built(raw: Raw, errors: &mut Errors) -> Option<Manifest> {
    let at = raw.id.span().start;
    if !is_kebab(raw.id.get_ref()) {
        let help = "write lower-case words joined by hyphens, 40 characters at most, like \"probe-bleeder\"";
        errors.wrong(at, format!("{:?} can be no id of a plugin", raw.id.get_ref()), help);
    }
    let version = Version::parse(raw.version.get_ref()).ok().filter(|v| v.build.is_empty());
    if version.is_none() {
        let message = format!("{:?} is no version", raw.version.get_ref());
        errors.wrong(raw.version.span().start, message, "write three numbers, like \"1.0.0\"");
    }
    if *raw.api.get_ref() != API {
        let message = format!("this plugin asks for API level {}; this program has level {API}", raw.api.get_ref());
        errors.wrong(raw.api.span().start, message, "take a version of the plugin, or of this program, that fits");
    }
    if raw.units.get_ref().is_empty() || raw.units.get_ref().iter().any(|u| u.trim().is_empty()) {
        let help = "name the kinds of unit it is for, like units = [\"strobe-lamp\"]";
        errors.wrong(raw.units.span().start, "it is for no kind of unit", help);
    }
    if raw.checks.get_ref().is_empty() {
        errors.wrong(raw.checks.span().start, "it has no check", "add [checks.NAME] for each check it makes");
    }
    let mut settings = BTreeMap::new();
    for (name, s) in raw.settings {
        let default = setting(s.kind.get_ref(), s.default.get_ref());
        match default {
            Ok(default) => {
                settings.insert(name, Setting { default, about: s.about });
            }
            Err(help) => {
                errors.wrong(s.default.span().start, format!("the default of {name} is no {}", s.kind.get_ref()), help)
            }
        }
    }
    let mut checks = BTreeMap::new();
    for (name, c) in raw.checks.into_inner() {
        if !is_kebab(&name) {
            let at = c.source.span().start;
            errors.wrong(at, format!("{name:?} can be no name of a check"), "write lower-case words joined by hyphens");
        }
        if c.source.get_ref().trim().is_empty() {
            let help = "name the standard and clause, or write \"common practice\"";
            errors.wrong(c.source.span().start, format!("the check {name} names no source"), help);
        }
        let mut limit = None;
        if let Some(l) = c.limit {
            let written = l.get_ref().as_str();
            match written.and_then(measured) {
                Some(value) => limit = Some(value),
                None => {
                    let shown = written.map_or_else(|| l.get_ref().to_string(), |w| format!("{w:?}"));
                    let help = "write a number and the symbol of its unit in quotes, like \"65 Hz\"; a plain number is \"1.1\"";
                    errors.wrong(l.span().start, format!("{shown} is no limit"), help);
                }
            }
        }
        checks.insert(name, CheckInfo { title: c.title, limit, source: c.source.into_inner(), why: c.why });
    }
    Some(Manifest {
        id: raw.id.into_inner(),
        version: version?,
        title: raw.title,
        about: raw.about,
        units: raw.units.into_inner(),
        author: raw.author,
        licence: raw.licence,
        sources: raw.sources,
        settings,
        checks,
    })
}

/// A text as a number with its SI unit; a bare number has the unit "".
pub fn measured(text: &str) -> Option<(f64, String)> {
    if let Ok(number) = text.trim().parse::<f64>() {
        return number.is_finite().then(|| (number, String::new()));
    }
    let (value, kind) = quantity::parse_any(text).ok()?;
    Some((value, unit_of(kind).to_string()))
}

/// The SI unit a value of a kind is held in; a share is a plain number.
pub fn unit_of(kind: quantity::Kind) -> &'static str {
    match kind {
        quantity::Kind::Fraction => "",
        kind => kind.units()[0],
    }
}

/// A value of the kind a setting declares.
///
/// # Errors
/// What to write instead.
pub fn setting(kind: &str, value: &toml::Value) -> Result<SettingValue, String> {
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

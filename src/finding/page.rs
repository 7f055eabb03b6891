//! What is to be known of one check, as facts: the page of `why`. Field names and order follow its stable JSON (schema
//! version 1).

use serde::Serialize;

/// A number that a check judges by, read from the published tables.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PageLimit {
    /// Where it stands in the tables: `file.table.row.key`.
    pub row: String,
    /// Its value.
    pub value: f64,
    /// SI unit, empty for a plain number.
    pub unit: &'static str,
    /// Where it is published.
    pub source: String,
}

/// How a line of two jigs compares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// In both.
    Both,
    /// In the jig that fails alone.
    Fails,
    /// In the jig that passes alone.
    Passes,
}

/// One line of the tables in which two jigs differ.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// Which jig it is in.
    pub side: Side,
    /// The line.
    pub line: &'static str,
}

/// A jig that draws a finding of a check and a near one that does not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Example {
    /// Complete text of the jig that fails.
    pub fails: &'static str,
    /// Complete text of the one that passes.
    pub passes: &'static str,
    /// The tables of the two files that differ, line by line.
    pub change: Vec<Difference>,
}

/// The page of one check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Page {
    /// Name of the check, kebab-case.
    pub check: &'static str,
    /// What it reads: `solved`, `wiring` or `check itself`.
    pub group: &'static str,
    /// What it looks at.
    pub looks_at: String,
    /// The limit in words, with its values.
    pub limit: String,
    /// The values by themselves.
    pub limits: Vec<PageLimit>,
    /// Where the limits are published: a finding of this check names no other source.
    pub sources: Vec<String>,
    /// How it is worked out.
    pub how: String,
    /// How to mend it.
    pub mend: String,
    /// The examples.
    pub example: Example,
}

/// What a plugin's `plugin.toml` says of one of its checks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PluginCheck {
    /// Name of the check, kebab-case.
    pub check: String,
    /// The plugin: `ID@VERSION`.
    pub plugin: String,
    /// Kinds of unit it is for.
    pub units: Vec<String>,
    /// What it looks at.
    pub title: String,
    /// The limit with its unit, where it is a number.
    pub limit: Option<String>,
    /// Where it is published.
    pub source: String,
    /// Why it matters.
    pub why: String,
}

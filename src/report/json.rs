//! The stable JSON of `check` and `size`, schema version 1: keys and their order are a contract. Must not round,
//! translate or leave out. A number that is not finite becomes null: JSON has no word for it.

use super::gravest_first;
use crate::finding::comparison::Comparison;
use crate::finding::strobe::Strobe;
use crate::finding::{
    Action, Assumed, Candidate, Cleared, Conditions, Discharge, DoubleFaults, Finding, Judgement, LetPass, MatrixPart,
    Mending, Page, PluginCheck, PluginRun, Replay, Rows, Signal, Sizing, Stress, Touch, Tried, Verdict, actions,
};
use crate::quantity::hidden;
use crate::standard;
use serde::Serialize;

/// Version of both JSON forms. It rises when a key changes its meaning or goes; a new key does not raise it.
pub(crate) const SCHEMA_VERSION: u32 = 1;

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

const TOOL: Tool = Tool { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") };

/// What a report was made with: a later one may differ by any of these.
#[derive(Serialize)]
struct MadeKeys<'a> {
    date: &'a str,
    version: &'static str,
    /// First digits of the hash of all published tables.
    tables: &'static str,
}

#[derive(Serialize)]
struct JigKeys<'a> {
    name: &'a str,
    file: &'a str,
    sha256: &'a str,
}

#[derive(Serialize)]
struct CheckKeys<'a> {
    schema_version: u32,
    tool: Tool,
    made: MadeKeys<'a>,
    date: &'a str,
    jig: JigKeys<'a>,
    verdict: Verdict,
    conditions: Conditions,
    findings: Vec<&'a Finding>,
    stresses: &'a [Stress],
    touch: &'a [Touch],
    discharge: &'a [Discharge],
    plugins: &'a [PluginRun],
    not_checked: &'a [String],
    assumed: &'a [Assumed],
    #[serde(skip_serializing_if = "Option::is_none")]
    unit_without_checks: Option<&'a str>,
    cleared: &'a [Cleared],
    let_pass: &'a [LetPass],
    actions: Vec<ActionKeys>,
    #[serde(skip_serializing_if = "Option::is_none")]
    conditions_tried: Option<&'a [Tried]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replay: Option<&'a Replay>,
    #[serde(skip_serializing_if = "Option::is_none")]
    double_faults: Option<&'a DoubleFaults>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mending: Option<&'a Mending>,
}

/// One thing to do: `findings` are places in the list of that name, from 0.
#[derive(Serialize)]
struct ActionKeys {
    change: String,
    tried: bool,
    signal: Signal,
    findings: Vec<usize>,
}

#[derive(Serialize)]
struct SizeKeys<'a> {
    schema_version: u32,
    chosen: Option<usize>,
    candidates: &'a [Candidate],
    tool: Tool,
    task: &'a str,
    why: &'a [String],
}

#[derive(Serialize)]
struct WhyKeys<'a> {
    schema_version: u32,
    tool: Tool,
    #[serde(flatten)]
    page: &'a Page,
}

#[derive(Serialize)]
struct WhyListKeys<'a> {
    schema_version: u32,
    tool: Tool,
    checks: &'a [Page],
}

fn action_keys(findings: &[&Finding]) -> Vec<ActionKeys> {
    let owned: Vec<Finding> = findings.iter().map(|f| (*f).clone()).collect();
    let keys = |a: Action| {
        let signal = a.findings.iter().map(|k| owned[*k].signal).min()?;
        Some(ActionKeys { change: a.change, tried: a.tried, signal, findings: a.findings })
    };
    actions(&owned).into_iter().filter_map(keys).collect()
}

fn check_keys(j: &Judgement) -> CheckKeys<'_> {
    let findings = gravest_first(&j.findings);
    CheckKeys {
        schema_version: SCHEMA_VERSION,
        tool: TOOL,
        made: MadeKeys { date: &j.date, version: TOOL.version, tables: standard::edition() },
        date: &j.date,
        jig: JigKeys { name: &j.jig_name, file: &j.jig_file, sha256: &j.jig_sha256 },
        verdict: j.verdict(),
        conditions: j.conditions,
        actions: action_keys(&findings),
        findings,
        stresses: &j.stresses,
        touch: &j.touch,
        discharge: &j.discharge,
        plugins: &j.plugins,
        not_checked: &j.not_checked,
        assumed: &j.assumed,
        unit_without_checks: j.unit_without_checks.as_deref(),
        cleared: &j.cleared,
        let_pass: &j.let_pass,
        conditions_tried: j.tried.as_deref(),
        replay: j.replay.as_ref(),
        double_faults: j.double_faults.as_ref(),
        mending: None,
    }
}

/// One check as a JSON object, with a line end behind it.
#[cfg(test)]
pub(crate) fn check_json(judgement: &Judgement) -> String {
    check_json_with(judgement, None)
}

/// As [`check_json`], with a key `mending` where the jig was to be mended.
pub(crate) fn check_json_with(judgement: &Judgement, mending: Option<&Mending>) -> String {
    written(&CheckKeys { mending, ..check_keys(judgement) })
}

/// One of several jigs that were asked for.
pub(crate) enum Checked<'a> {
    /// It was checked.
    Judged(&'a Judgement),
    /// It could not be read: its file, and what is wrong with it.
    Unread(&'a str, Vec<String>),
}

#[derive(Serialize)]
struct UnreadKeys<'a> {
    schema_version: u32,
    tool: Tool,
    file: &'a str,
    errors: &'a [String],
}

/// Several checks as a JSON array, in the order they were asked for: the objects of [`check_json`], and of a jig that could
/// not be read one with its `file` and `errors`.
pub(crate) fn checks_json(checked: &[Checked]) -> String {
    let one = |c: &Checked| match c {
        Checked::Judged(j) => serde_json::to_value(check_keys(j)),
        Checked::Unread(file, errors) => {
            serde_json::to_value(UnreadKeys { schema_version: SCHEMA_VERSION, tool: TOOL, file, errors })
        }
    };
    // The types above have text keys only: there is no error to meet.
    written(&checked.iter().map(|c| one(c).expect("types with text keys become JSON")).collect::<Vec<_>>())
}

/// A sizing as a JSON object, with a line end behind it. Beyond the contract it has the keys `tool`, `task`
/// and `why`, and in a candidate those of its extras.
pub(crate) fn size_json(sizing: &Sizing) -> String {
    let Sizing { task, chosen, candidates, why } = sizing;
    written(&SizeKeys { schema_version: SCHEMA_VERSION, chosen: *chosen, candidates, tool: TOOL, task, why })
}

/// The page of one check as a JSON object.
pub(crate) fn why_json(page: &Page) -> String {
    written(&WhyKeys { schema_version: SCHEMA_VERSION, tool: TOOL, page })
}

/// The pages of all checks as one JSON object.
pub(crate) fn why_list_json(pages: &[Page]) -> String {
    written(&WhyListKeys { schema_version: SCHEMA_VERSION, tool: TOOL, checks: pages })
}

/// Who judges what, as a JSON object.
pub(crate) fn matrix_json(matrix: &[MatrixPart]) -> String {
    value_json(serde_json::Map::from_iter([
        ("tool".to_string(), serde_json::json!(TOOL)),
        ("matrix".to_string(), serde_json::json!(matrix)),
    ]))
}

/// What plugins say of their checks of one name as a JSON object.
pub(crate) fn why_plugin_json(checks: &[PluginCheck]) -> String {
    value_json(serde_json::Map::from_iter([
        ("tool".to_string(), serde_json::json!(TOOL)),
        ("plugin_checks".to_string(), serde_json::json!(checks)),
    ]))
}

/// Two jigs beside each other, as a JSON object.
pub(crate) fn comparison_json(comparison: &Comparison) -> String {
    let mut keys = serde_json::Map::from_iter([("tool".to_string(), serde_json::json!(TOOL))]);
    if let serde_json::Value::Object(facts) = serde_json::json!(comparison) {
        keys.extend(facts);
    }
    value_json(keys)
}

/// A strobe lamp in use, as a JSON object.
pub(crate) fn strobe_json(strobe: &Strobe) -> String {
    let mut keys = serde_json::Map::from_iter([("tool".to_string(), serde_json::json!(TOOL))]);
    if let serde_json::Value::Object(facts) = serde_json::json!(strobe) {
        keys.extend(facts);
    }
    value_json(keys)
}

/// A list of what a jig file may name, as a JSON object: a row is an object by the heads of the columns.
pub(crate) fn rows_json(rows: &Rows) -> String {
    let one = |row: &Vec<String>| {
        let cells = rows.columns.iter().zip(row).filter(|(head, _)| !head.is_empty());
        serde_json::Value::Object(cells.map(|(head, cell)| (head.to_string(), serde_json::json!(cell))).collect())
    };
    value_json(serde_json::Map::from_iter([
        ("tool".to_string(), serde_json::json!(TOOL)),
        ("table".to_string(), serde_json::json!(rows.table)),
        ("about".to_string(), serde_json::json!(rows.about)),
        ("rows".to_string(), rows.rows.iter().map(one).collect()),
    ]))
}

/// The program, as every JSON form names it.
pub(crate) fn tool() -> serde_json::Value {
    serde_json::json!(TOOL)
}

/// Other facts as a JSON object, with the schema version in front.
pub(crate) fn value_json(facts: serde_json::Map<String, serde_json::Value>) -> String {
    let mut keys = serde_json::Map::from_iter([("schema_version".to_string(), SCHEMA_VERSION.into())]);
    keys.extend(facts);
    written(&keys)
}

/// Pretty-printed, with every hidden character escaped: the text means the same to a reader of JSON, and does
/// nothing to a terminal it is shown on.
fn written(value: &impl Serialize) -> String {
    // The types above have text keys only, and writing to memory does not fail: there is no error to meet.
    let plain = serde_json::to_string_pretty(value).expect("types with text keys become JSON");
    let mut text = String::with_capacity(plain.len() + 1);
    for c in plain.chars() {
        // Line ends stand only between texts: serde_json has escaped those within.
        if c != '\n' && hidden(c) {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                text.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            text.push(c);
        }
    }
    text.push('\n');
    text
}

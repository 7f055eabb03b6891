//! What the program says of jigs: its JSON, read.

use serde_json::Value;

/// One finding.
#[derive(Clone, Debug)]
pub struct Finding {
    pub check: String,
    pub signal: Signal,
    /// Parts and touchables.
    pub subjects: Vec<String>,
    pub condition: String,
    pub message: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    Notice,
    Caution,
    Warning,
    Danger,
}

/// One row of the stress table.
#[derive(Clone, Debug)]
pub struct Row {
    pub part: String,
    pub quantity: String,
    pub value: f64,
    pub condition: String,
    pub fault: bool,
}

/// A report.
#[derive(Clone, Debug)]
pub struct Told {
    pub unsolved: u64,
    /// Conditions that a device ended.
    pub cleared: u64,
    pub findings: Vec<Finding>,
    pub rows: Vec<Row>,
    /// Touchable, amperes r.m.s. and peak, whether after a fault.
    pub touch: Vec<(String, f64, f64, bool)>,
}

fn text(v: &Value) -> String {
    v.as_str().unwrap_or_default().to_string()
}

fn names(v: &Value) -> impl Iterator<Item = String> + '_ {
    v.as_array().into_iter().flatten().map(text)
}

fn finding(v: &Value) -> Finding {
    let signal = match v["signal"].as_str() {
        Some("DANGER") => Signal::Danger,
        Some("WARNING") => Signal::Warning,
        Some("CAUTION") => Signal::Caution,
        _ => Signal::Notice,
    };
    Finding {
        check: text(&v["check"]),
        signal,
        subjects: names(&v["parts"]).chain(names(&v["touchables"])).collect(),
        condition: text(&v["condition"]),
        message: text(&v["message"]),
    }
}

impl Told {
    pub fn read(v: &Value) -> Told {
        let list = |key: &str| v[key].as_array().cloned().unwrap_or_default();
        let row = |r: &Value| Row {
            part: text(&r["part"]),
            quantity: text(&r["quantity"]),
            value: r["value"].as_f64().unwrap_or(f64::NAN),
            condition: text(&r["condition"]),
            fault: r["kind"] != "normal",
        };
        let touch = |r: &Value| {
            let number = |key: &str| r[key].as_f64().unwrap_or(f64::NAN);
            (text(&r["touchable"]), number("current_rms"), number("current_peak"), r["kind"] != "normal")
        };
        Told {
            cleared: v["conditions"]["cleared"].as_u64().unwrap_or(1),
            unsolved: v["conditions"]["unsolved"].as_u64().unwrap_or(1),
            findings: list("findings").iter().map(finding).collect(),
            rows: list("stresses").iter().map(row).collect(),
            touch: list("touch").iter().map(touch).collect(),
        }
    }
}

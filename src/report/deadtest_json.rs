//! The dead test, what readings say, and the first power-up, as JSON. Must not work anything out.

use serde_json::{Map, Value, json};

use super::json::{tool, value_json};
use crate::deadtest::{Diagnosis, FirstPower, Measurement, NotOffered, Point, Step, Volts, shown};
use crate::front::Tested;
use crate::wording::deadtest as words;

/// One JSON object, with a line end behind it.
pub(crate) fn dead_test_json(tested: &Tested) -> String {
    let Tested { test, diagnosis, first_power } = tested;
    let hidden: Vec<Value> =
        test.hidden.iter().map(|h| json!({ "fault": h.fault, "why": words::why(&h.why) })).collect();
    let wrongs: Map<String, Value> =
        test.wrongs.iter().map(|w| (w.id.clone(), words::wrong(&w.wrong).into())).collect();
    let mut keys = Map::from_iter([
        ("tool".to_string(), tool()),
        ("jig".to_string(), json!({ "name": test.name, "file": test.file, "sha256": test.sha256 })),
        ("complete".to_string(), json!(test.complete)),
        ("points".to_string(), test.points.iter().map(|p| json!(p.name)).collect()),
        ("measurements".to_string(), test.measurements.iter().map(measurement).collect()),
        ("hidden".to_string(), json!(hidden)),
        ("faults".to_string(), Value::Object(wrongs)),
    ]);
    if let Some(d) = diagnosis {
        keys.extend(diagnosed(d));
    }
    if let Some(first_power) = first_power {
        keys.insert("first_power".to_string(), power(first_power));
    }
    value_json(keys)
}

fn names(between: &[Point; 2]) -> [&str; 2] {
    [&between[0].name, &between[1].name]
}

fn measurement(m: &Measurement) -> Value {
    json!({
        "id": m.id,
        "between": names(&m.between),
        "setting": shown(&m.setting),
        "range": m.range.word(),
        // No reading is null: JSON has no word for what is without bound.
        "expect": { "low": m.expect.low, "high": m.expect.high, "words": words::reads(m) },
        "unit": m.range.unit(),
        "tells": m.tells,
    })
}

fn diagnosed(d: &Diagnosis) -> Vec<(String, Value)> {
    let explained: Vec<Value> =
        d.explained_by.iter().map(|e| json!({ "fault": e.fault, "fits": e.fits, "rank": e.rank })).collect();
    vec![
        ("readings".to_string(), json!(d.readings)),
        ("differ".to_string(), json!(d.differ)),
        ("explained_by".to_string(), json!(explained)),
        ("unexplained".to_string(), json!(d.unexplained)),
        ("next".to_string(), json!(d.next)),
        ("still_hidden".to_string(), json!(d.still_hidden)),
    ]
}

fn power(first_power: &Result<FirstPower, NotOffered>) -> Value {
    match first_power {
        Err(why) => json!({ "offered": false, "why": words::not_offered(*why), "steps": [] }),
        Ok(power) => {
            json!({ "offered": true, "why": null, "steps": power.steps.iter().map(step).collect::<Vec<_>>() })
        }
    }
}

fn step(step: &Step) -> Value {
    let (act, stop) = words::step(step);
    let mut keys = Map::from_iter([("do".to_string(), json!(act)), ("stop".to_string(), json!(stop))]);
    let facts = match step {
        Step::Arrange { residual, lamp: [volts, watts] } => {
            json!({ "residual_a": residual, "lamp": { "volts": volts, "watts": watts } })
        }
        Step::PlugIn { share, left, works, seconds, lit_by, dark_by, setting, .. } => json!({
            "setting": shown(setting), "lamp_share": share, "volts_left": left, "works": works, "seconds": seconds,
            "lit_by": lit_by, "dark_by": dark_by,
        }),
        Step::Read(volts) => json!({ "volts": volts.iter().map(read).collect::<Vec<_>>() }),
        Step::WithoutLamp { seconds } => json!({ "seconds": seconds }),
        Step::Feel { seconds, parts, charged } => {
            let parts: Vec<Value> = parts.iter().map(|(part, watts)| json!({ "part": part, "watts": watts })).collect();
            json!({ "seconds": seconds, "warm": parts, "charged": charged })
        }
    };
    if let Value::Object(facts) = facts {
        keys.extend(facts);
    }
    Value::Object(keys)
}

fn read(v: &Volts) -> Value {
    json!({ "between": names(&v.between), "true_rms": v.true_rms, "average": v.average, "dc": v.dc })
}

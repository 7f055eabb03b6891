//! Findings of one cause told once: two parts that do the same work, such as two resistors of one string, and are found
//! wanting in the same way are one finding that names both. Judges nothing.

use crate::finding::Finding;
use crate::wording::join;

/// Values that print alike: the two ends of a string differ by the drop of a fuse.
const ALIKE: f64 = 1e-3;

/// Folds twins into the first of them. The findings are in the order of the report.
pub(super) fn fold(findings: Vec<Finding>) -> Vec<Finding> {
    let mut out: Vec<Finding> = vec![];
    let mut others: Vec<Vec<String>> = vec![];
    for f in findings {
        match out.iter().position(|first| twins(first, &f)) {
            Some(k) => others[k].extend(f.parts),
            None => {
                out.push(f);
                others.push(vec![]);
            }
        }
    }
    for (f, others) in out.iter_mut().zip(others).filter(|(_, o)| !o.is_empty()) {
        f.message.push_str(&format!("; likewise {}", join::all(&others)));
        f.parts.extend(others);
    }
    out
}

/// Whether two findings are one trouble in two parts. What a person accepted for one of them is not accepted for both.
fn twins(a: &Finding, b: &Finding) -> bool {
    let alike = match (a.value, b.value) {
        (Some(x), Some(y)) => (x - y).abs() <= ALIKE * x.abs(),
        _ => false,
    };
    let single = |f: &Finding| f.parts.len() == 1 && f.touchables.is_empty() && f.nets.is_empty();
    let facts = |f: &Finding| {
        (f.check.clone(), f.signal, f.source_of_check.clone(), f.quantity.clone(), f.limit.map(f64::to_bits))
    };
    let words = |f: &Finding| (f.source.clone(), f.remedy.clone(), f.accepted.clone());
    single(a) && single(b) && alike && facts(a) == facts(b) && words(a) == words(b)
}

#[cfg(test)]
mod tests {
    use super::fold;
    use crate::finding::{CheckId, FilePlace, Finding, Signal};

    fn finding(part: &str, value: f64) -> Finding {
        let place = FilePlace { file: "f".into(), line: 1, column: 1 };
        Finding {
            parts: vec![part.into()],
            quantity: "power".into(),
            value: Some(value),
            unit: "W".into(),
            limit: Some(0.25),
            margin: Some(0.25 / value),
            source: "s".into(),
            message: format!("{part} is hot"),
            remedy: "use 0.4 W".into(),
            ..Finding::new(CheckId::ResistorPower, Signal::Warning, place)
        }
    }

    #[test]
    fn twins_are_told_once_and_all_named() {
        let out = fold(vec![finding("R1", 0.274), finding("R2", 0.274_1), finding("R3", 0.274)]);
        assert_eq!(out.len(), 1);
        assert_eq!(out[0].parts, ["R1", "R2", "R3"]);
        assert_eq!(out[0].message, "R1 is hot; likewise R2 and R3");
    }

    #[test]
    fn what_differs_stays_apart() {
        let odd = |change: fn(&mut Finding)| {
            let mut f = finding("R2", 0.274);
            change(&mut f);
            fold(vec![finding("R1", 0.274), f]).len()
        };
        assert_eq!(odd(|_| {}), 1);
        assert_eq!(odd(|f| f.value = Some(0.28)), 2);
        assert_eq!(odd(|f| f.signal = Signal::Caution), 2);
        assert_eq!(odd(|f| f.remedy = "use 1 W".into()), 2);
        assert_eq!(odd(|f| f.nets = vec!["L".into()]), 2);
        assert_eq!(odd(|f| f.limit = Some(0.4)), 2);
        let accepted = |f: &mut Finding| {
            f.accepted = Some(crate::finding::Accepted { reason: "r".into(), by: "b".into(), until: "u".into() });
        };
        assert_eq!(odd(accepted), 2);
    }
}

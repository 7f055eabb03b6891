//! Findings of one cause told once: two parts that do the same work, such as two resistors of one string, and are found
//! wanting in the same way are one finding that names both. Judges nothing.

use crate::finding::Finding;
use crate::wording;

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
        wording::finding::likewise(f, &others);
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
        (
            f.check.clone(),
            f.signal,
            f.source_of_check.clone(),
            f.quantity.clone(),
            f.limit.map(f64::to_bits),
            f.source.clone(),
        )
    };
    let same_cure = a.cure == b.cure && (a.cure.is_some() || a.said.same_cure(&b.said));
    single(a) && single(b) && alike && facts(a) == facts(b) && a.accepted == b.accepted && same_cure
}

#[cfg(test)]
mod tests {
    use super::fold;
    use crate::finding::{CheckId, Cure, FilePlace, Finding, Said, Signal};

    fn finding(part: &str, value: f64) -> Finding {
        let place = FilePlace { file: "f".into(), line: 1, column: 1 };
        let words = [format!("{part} is hot"), "use 0.4 W".to_string()];
        Finding {
            parts: vec![part.into()],
            quantity: "power".into(),
            value: Some(value),
            unit: "W".into(),
            limit: Some(0.25),
            margin: Some(0.25 / value),
            source: "s".into(),
            ..Finding::written(CheckId::ResistorPower, Signal::Warning, place, words)
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
        let odd = |change: &dyn Fn(&mut Finding)| {
            let mut f = finding("R2", 0.274);
            change(&mut f);
            fold(vec![finding("R1", 0.274), f]).len()
        };
        assert_eq!(odd(&|_| {}), 1);
        assert_eq!(odd(&|f| f.value = Some(0.28)), 2);
        assert_eq!(odd(&|f| f.signal = Signal::Caution), 2);
        let other = Said::Written { message: "R2 is hot".into(), remedy: "use 1 W".into() };
        assert_eq!(odd(&move |f| f.said = other.clone()), 2);
        assert_eq!(odd(&|f| f.cure = Some(Cure { ways: vec![], alone: true })), 2);
        assert_eq!(odd(&|f| f.nets = vec!["L".into()]), 2);
        assert_eq!(odd(&|f| f.limit = Some(0.4)), 2);
        let accepted = |f: &mut Finding| {
            f.accepted = Some(crate::finding::Accepted { reason: "r".into(), by: "b".into(), until: "u".into() });
        };
        assert_eq!(odd(&accepted), 2);
    }
}

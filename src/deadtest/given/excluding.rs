//! Readings that exclude each other: one measurement read twice, and a resistance that is more than those along the way. Must not know
//! how readings are written.

use super::{Given, at};
use crate::deadtest::Range;
use crate::deadtest::reading::{self, Reading};
use crate::jig::InputError;

/// Two readings of one measurement that differ, and a resistance that is more than those along the way.
pub(super) fn excluding(found: &[(String, Given)]) -> Vec<InputError> {
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

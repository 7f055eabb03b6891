//! Chooses the measurements: greedily, what tells most from the sound tool first, the quickest where two tell as much; then
//! what parts faults from each other. Must not know what the faults are.

use super::Range;
use super::reading::Reading;
use super::table::{Table, Where};

/// A measurement that was chosen.
pub(crate) type Chosen = Where;

/// Most measurements: beyond, only what tells something from the sound tool that nothing else tells.
const MOST: usize = 12;

/// Which variants differ from the sound tool in a column.
fn told(column: &[Reading], range: Range) -> Vec<bool> {
    column.iter().map(|r| column[0].differs(r, range)).collect()
}

/// The measurements, in the order in which to do them: switch by switch, range by range.
pub(super) fn choose(table: &mut Table) -> Vec<Chosen> {
    let mut columns: Vec<(Where, Vec<Reading>)> = vec![];
    for place in table.all_ohms() {
        let column = table.column(place);
        columns.push((place, column));
    }
    let mut open: Vec<bool> = vec![true; table.len()];
    open[0] = false;
    let mut chosen: Vec<(Where, Vec<Reading>)> = vec![];
    take_what_tells(&columns, &mut open, &mut chosen);
    // What ohms do not tell may show on the slower ranges.
    for range in [Range::Diode, Range::Capacitance] {
        let left: Vec<usize> = (1..table.len()).filter(|v| open[*v]).collect();
        let mut more = vec![];
        for place in table.others(range) {
            let sound = table.reading(place, 0);
            if left.iter().any(|v| sound.differs(&table.reading(place, *v), range)) {
                let column = table.column(place);
                more.push((place, column));
            }
        }
        take_what_tells(&more, &mut open, &mut chosen);
        columns.extend(more);
    }
    let detected: Vec<usize> = (1..table.len()).filter(|v| !open[*v]).collect();
    split(&columns, &detected, &mut chosen);
    let mut places: Vec<Where> = chosen.into_iter().map(|(place, _)| place).collect();
    places.sort_unstable();
    places
}

/// Takes the column that tells most of what is open, again and again.
fn take_what_tells(columns: &[(Where, Vec<Reading>)], open: &mut [bool], chosen: &mut Vec<(Where, Vec<Reading>)>) {
    let tells: Vec<Vec<bool>> = columns.iter().map(|(place, column)| told(column, place.range)).collect();
    loop {
        let gain = |k: usize| tells[k].iter().zip(open.iter()).filter(|(t, o)| **t && **o).count();
        // Of those that tell as much the first one: its setting, range and points come first.
        let Some(best) = (0..columns.len()).max_by_key(|k| (gain(*k), std::cmp::Reverse(*k))) else { return };
        if gain(best) == 0 {
            return;
        }
        open.iter_mut().zip(&tells[best]).for_each(|(o, t)| *o = *o && !t);
        chosen.push(columns[best].clone());
    }
}

/// Takes what parts most pairs of faults that nothing has parted yet, while there is room.
fn split(columns: &[(Where, Vec<Reading>)], detected: &[usize], chosen: &mut Vec<(Where, Vec<Reading>)>) {
    let parts =
        |(place, column): &(Where, Vec<Reading>), [a, b]: [usize; 2]| column[a].differs(&column[b], place.range);
    let mut pairs: Vec<[usize; 2]> = vec![];
    for (k, a) in detected.iter().enumerate() {
        pairs.extend(detected[k + 1..].iter().map(|b| [*a, *b]));
    }
    pairs.retain(|pair| !chosen.iter().any(|c| parts(c, *pair)));
    while chosen.len() < MOST && !pairs.is_empty() {
        let gain = |k: usize| pairs.iter().filter(|pair| parts(&columns[k], **pair)).count();
        let Some((best, most)) =
            (0..columns.len()).map(|k| (k, gain(k))).max_by_key(|(k, gain)| (*gain, std::cmp::Reverse(*k)))
        else {
            return;
        };
        if most == 0 {
            return;
        }
        pairs.retain(|pair| !parts(&columns[best], *pair));
        chosen.push(columns[best].clone());
    }
}

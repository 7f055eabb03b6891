//! Chooses the measurements: greedily, what tells most from the sound tool first, the quickest where two tell as much; then
//! what parts faults from each other. Must not know what the faults are.

use super::Range;
use super::reading::Reading;
use super::table::{Table, Where};

/// A measurement that was chosen.
pub(crate) type Chosen = Where;

/// Most measurements: beyond, only what tells something from the sound tool that nothing else tells.
const MOST: usize = 12;

/// What all variants read in one place, with what the meter may be off.
type Column = (Where, Vec<Reading>);

fn column(table: &mut Table, place: Where) -> Column {
    (place, table.column(place).iter().map(|r| r.widened(place.range)).collect())
}

/// Which variants differ from the sound tool in a column.
fn told((_, column): &Column) -> Vec<bool> {
    column.iter().map(|r| column[0].is_apart_from(r)).collect()
}

/// The measurements, in the order in which to do them: switch by switch, range by range.
pub(super) fn choose(table: &mut Table) -> Vec<Chosen> {
    let mut columns: Vec<Column> = vec![];
    for place in table.all_ohms() {
        columns.push(column(table, place));
    }
    let mut open = everything(table);
    take_what_tells(&columns, &mut open, &mut vec![]);
    // The slower ranges only where they tell what ohms do not, or look for a bridge to something touchable.
    for range in [Range::Diode, Range::Capacitance] {
        let more = worth_while(table, range, &open);
        take_what_tells(&more, &mut open, &mut vec![]);
        columns.extend(more);
    }
    let mut open = everything(table);
    let mut chosen = vec![];
    take_what_tells(&columns, &mut open, &mut chosen);
    drop_what_others_tell(&mut chosen);
    let detected: Vec<usize> = (1..table.len()).filter(|v| !open[*v]).collect();
    split(&columns, &detected, &mut chosen);
    let mut places: Vec<Where> = chosen.into_iter().map(|(place, _)| place).collect();
    places.sort_unstable();
    places
}

/// The columns of a range that are worth working out for everything: those that together tell all that is open, and those
/// that look for a bridge to something touchable.
fn worth_while(table: &mut Table, range: Range, open: &[bool]) -> Vec<Column> {
    let mut left: Vec<usize> = (1..table.len()).filter(|v| open[*v]).collect();
    let places = table.others(range);
    let tells = |place: &Where| -> Vec<usize> {
        let sound = table.reading(*place, 0);
        left.iter().copied().filter(|v| sound.differs(&table.reading(*place, *v), range)).collect()
    };
    let mut told: Vec<(Where, Vec<usize>)> = places.iter().map(|place| (*place, tells(place))).collect();
    let mut chosen: Vec<Where> = vec![];
    loop {
        let gain = |t: &(Where, Vec<usize>)| t.1.iter().filter(|v| left.contains(v)).count();
        told.sort_by_key(|t| (std::cmp::Reverse(gain(t)), t.0));
        let Some((place, tells)) = told.first().filter(|t| gain(t) > 0) else { break };
        chosen.push(*place);
        left.retain(|v| !tells.contains(v));
    }
    if range == Range::Diode {
        chosen.extend(places.into_iter().filter(|place| table.is_barrier(*place)));
        chosen.sort_unstable();
        chosen.dedup();
    }
    chosen.into_iter().map(|place| column(table, place)).collect()
}

/// Everything but the sound tool itself.
fn everything(table: &Table) -> Vec<bool> {
    (0..table.len()).map(|v| v > 0).collect()
}

/// Drops each measurement of which everything is told by the others, the last one taken first.
fn drop_what_others_tell(chosen: &mut Vec<Column>) {
    for k in (0..chosen.len()).rev() {
        let tells: Vec<Vec<bool>> = chosen.iter().map(told).collect();
        let by_others = |v: usize| tells.iter().enumerate().any(|(other, t)| other != k && t[v]);
        if (0..tells[k].len()).all(|v| !tells[k][v] || by_others(v)) {
            chosen.remove(k);
        }
    }
}

/// Takes the column that tells most of what is open, again and again.
fn take_what_tells(columns: &[Column], open: &mut [bool], chosen: &mut Vec<Column>) {
    let tells: Vec<Vec<bool>> = columns.iter().map(told).collect();
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
fn split(columns: &[Column], detected: &[usize], chosen: &mut Vec<Column>) {
    let parts = |(_, column): &Column, [a, b]: [usize; 2]| column[a].is_apart_from(&column[b]);
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

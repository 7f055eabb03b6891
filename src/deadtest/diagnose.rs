//! From readings to what may be wrong: every fault and slip that fits them, the likeliest first, and the measurement that parts
//! those best. Never says that a tool is sound.

use super::given::{Given, shown};
use super::reading::Reading;
use super::table::{Table, Where};
use super::{DeadTest, Measurement, Range};

/// What the readings say.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Diagnosis {
    /// How many readings were given.
    pub readings: usize,
    /// Those that are not as on a sound tool.
    pub differ: Vec<String>,
    /// What fits, the likeliest first.
    pub explained_by: Vec<Explained>,
    /// Readings that nothing in the list explains.
    pub unexplained: Vec<String>,
    /// The measurement that parts best what is left: its id, or one beside the list as a reading writes it.
    pub next: Option<String>,
    /// What fits the readings as well as a sound tool does.
    pub still_hidden: Vec<String>,
}

/// A fault or slip that fits.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Explained {
    /// Its id.
    pub fault: String,
    /// How many of the readings it fits.
    pub fits: usize,
    /// 1 is the likeliest; what no reading that was given parts from the likeliest of a rank has that rank too.
    pub rank: usize,
}

impl Diagnosis {
    /// Whether something is not as on a sound tool.
    pub(crate) fn differs(&self) -> bool {
        !self.differ.is_empty()
    }
}

/// How much a wide interval counts against what gives it: its width over the reading, at most.
const WIDEST: f64 = 10.0;
/// Width below which an interval is as good as a point.
const NARROW: f64 = 0.1;

/// Holds readings against everything that may be wrong.
pub(super) fn diagnose(test: &DeadTest, given: &[Given]) -> Diagnosis {
    let table = &test.bench.table;
    let columns: Vec<Vec<Reading>> =
        given.iter().map(|g| (0..table.len()).map(|v| table.reading(g.place, v)).collect()).collect();
    let fits = |v: usize, g: usize| columns[g][v].holds(given[g].value, given[g].place.range);
    let count = |v: usize| (0..given.len()).filter(|g| fits(v, *g)).count();
    let differ: Vec<usize> = (0..given.len()).filter(|g| !fits(0, *g)).collect();
    let label = |g: &usize| given[*g].label.clone();
    let whole: Vec<usize> = (1..table.len()).filter(|v| count(*v) == given.len()).collect();
    let mut out = Diagnosis {
        readings: given.len(),
        differ: differ.iter().map(label).collect(),
        explained_by: vec![],
        unexplained: vec![],
        next: None,
        still_hidden: vec![],
    };
    let id = |v: usize| test.wrongs[v - 1].id.clone();
    if differ.is_empty() {
        out.still_hidden = whole.iter().map(|v| id(*v)).collect();
        let left: Vec<usize> = std::iter::once(0).chain(whole).collect();
        out.next = next(test, given, &left, true);
        return out;
    }
    let most = (1..table.len()).map(&count).max().unwrap_or(0);
    let some: Vec<usize> = if whole.is_empty() && most > count(0) {
        (1..table.len()).filter(|v| count(*v) == most).collect()
    } else {
        whole
    };
    let score = |v: usize| {
        let close: f64 = (0..given.len()).filter(|g| fits(v, *g)).map(|g| closeness(&columns[g][v], &given[g])).sum();
        table.weights[v].ln() + close
    };
    let mut scored: Vec<(f64, usize)> = some.iter().map(|v| (score(*v), *v)).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    // The likeliest of a rank, and what none of the readings parts from it: how likely is all that is between them.
    let alike =
        |a: usize, b: usize| (0..given.len()).all(|g| !columns[g][a].differs(&columns[g][b], given[g].place.range));
    let mut leaders: Vec<(usize, usize)> = vec![];
    for (k, (_, v)) in scored.iter().enumerate() {
        let known = leaders.iter().find(|(leader, _)| alike(*leader, *v)).map(|(_, rank)| *rank);
        let rank = known.unwrap_or(k + 1);
        if known.is_none() {
            leaders.push((*v, rank));
        }
        out.explained_by.push(Explained { fault: id(*v), fits: count(*v), rank });
    }
    let explained = |g: &usize| some.iter().any(|v| fits(*v, *g));
    out.unexplained = if most < given.len() {
        let first = scored.first().map(|(_, v)| *v);
        let by_first = |g: &usize| first.is_some_and(|v| fits(v, *g));
        (0..given.len()).filter(|g| !explained(g) || !by_first(g)).map(|g| label(&g)).collect()
    } else {
        vec![]
    };
    out.next = next(test, given, &some, false);
    out
}

/// How well an interval that holds a reading foretells it: narrow ones well.
fn closeness(interval: &Reading, given: &Given) -> f64 {
    let w = interval.widened(given.place.range);
    let width = if given.value.is_infinite() {
        if interval.is_none() { 0.0 } else { WIDEST }
    } else if w.high.is_infinite() {
        WIDEST
    } else {
        (w.high - w.low) / given.value.max(w.high * NARROW)
    };
    -(width.min(WIDEST) + NARROW).ln()
}

/// The measurement of the list that is not yet read and parts most of what is left; where nothing differs, most of it from
/// the sound tool.
fn next(test: &DeadTest, given: &[Given], left: &[usize], from_sound: bool) -> Option<String> {
    let table = &test.bench.table;
    let read = |place: &Where| given.iter().any(|g| g.place == *place);
    let open = test.bench.chosen.iter().zip(&test.measurements).filter(|(place, _)| !read(place));
    let gain = |place: &Where| parted(table, *place, left, from_sound);
    let best = open.map(|(place, m)| (gain(place), m)).filter(|(gain, _)| *gain > 0);
    best.fold(None, |best: Option<(usize, &Measurement)>, one| match best {
        Some(b) if b.0 >= one.0 => Some(b),
        _ => Some(one),
    })
    .map(|(_, m)| m.id.clone())
    .or_else(|| beside(test, given, left))
}

/// Where nothing of the list parts what is left: ohms between any two points that do, as a reading writes it.
fn beside(test: &DeadTest, given: &[Given], left: &[usize]) -> Option<String> {
    let table = &test.bench.table;
    let open = table.all_ohms().into_iter().filter(|place| !given.iter().any(|g| g.place == *place));
    let gains = open.map(|place| (parted(table, place, left, false), place)).filter(|(gain, _)| *gain > 0);
    let (_, place) = gains.min_by_key(|(gain, place)| (std::cmp::Reverse(*gain), *place))?;
    let [a, b] = place.between.map(|p| test.points[p].name.as_str());
    let setting = shown(&test.bench.settings[place.setting]);
    let words = [format!("{a}-{b}"), setting, Range::Ohms.word().to_string()];
    Some(words.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" "))
}

fn parted(table: &Table, place: Where, left: &[usize], from_sound: bool) -> usize {
    let readings: Vec<Reading> = left.iter().map(|v| table.reading(place, *v)).collect();
    let range: Range = place.range;
    let firsts = if from_sound { 1 } else { readings.len() };
    (0..firsts).map(|i| readings[i + 1..].iter().filter(|r| readings[i].differs(r, range)).count()).sum()
}

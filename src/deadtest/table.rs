//! What every measurement reads on the sound tool and with everything that may be wrong. Ohms between all points come at once;
//! the other ranges are worked out when they are asked for.

use std::collections::HashMap;

use super::network::{Branch, Network};
use super::ohms::Corner;
use super::point::Place;
use super::reading::Reading;
use super::wrong::{Candidate, Wrong};
use super::{Measurement, Range, Through, admittance, diode, ohms, point};
use crate::jig::{Jig, PartKind};
use crate::part::dead::Dead;
use crate::standard::meter;

/// One measurement: two points (the first with the red lead), the setting by its number, the range. Ohms and continuity are
/// one here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Where {
    pub setting: usize,
    pub range: Range,
    pub between: [usize; 2],
}

/// Readings of the sound tool, number 0, and of everything that may be wrong, from 1 on.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    pub settings: Vec<Vec<usize>>,
    at: Vec<usize>,
    places: Vec<Place>,
    nodes: usize,
    /// The network of each.
    variants: Vec<Vec<Branch>>,
    /// How likely each is, the sound tool with none.
    pub weights: Vec<f64>,
    ohms: HashMap<Where, Vec<Reading>>,
    others: HashMap<Where, Vec<Reading>>,
}

impl Table {
    pub(super) fn new(network: &Network, settings: Vec<Vec<usize>>, wrongs: &[Candidate]) -> Table {
        let variants: Vec<Vec<Branch>> =
            std::iter::once(network.changed(&[])).chain(wrongs.iter().map(|w| network.changed(&w.changes))).collect();
        let weights = std::iter::once(0.0).chain(wrongs.iter().map(|w| w.weight)).collect();
        let places = network.points.iter().map(|p| p.place).collect();
        let (at, nodes) = (network.at.clone(), network.nodes);
        let mut table =
            Table { settings, at, places, nodes, variants, weights, ohms: HashMap::new(), others: HashMap::new() };
        table.fill_ohms();
        table
    }

    fn fill_ohms(&mut self) {
        for (s, setting) in self.settings.iter().enumerate() {
            for variant in &self.variants {
                let [low, high] =
                    Corner::BOTH.map(|corner| ohms::between(variant, self.nodes, &self.at, setting, corner));
                for i in 0..self.at.len() {
                    for j in i + 1..self.at.len() {
                        let place = Where { setting: s, range: Range::Ohms, between: [i, j] };
                        let reading = Reading::on(low[i][j], high[i][j], Range::Ohms);
                        self.ohms.entry(place).or_default().push(reading);
                    }
                }
            }
        }
    }

    /// How many there are, the sound tool among them.
    pub(super) fn len(&self) -> usize {
        self.variants.len()
    }

    /// Every measurement of ohms.
    pub(super) fn all_ohms(&self) -> Vec<Where> {
        let mut all: Vec<Where> = self.ohms.keys().copied().collect();
        all.sort_unstable();
        all
    }

    /// Every measurement of another range that anything but its points could join.
    pub(super) fn others(&self, range: Range) -> Vec<Where> {
        let wanted = |b: &Branch| match (range, b.dead) {
            (Range::Diode, Dead::Junction(_)) | (Range::Capacitance, Dead::Farads(_)) => true,
            (Range::Continuity | Range::Ohms | Range::Diode | Range::Capacitance, _) => false,
        };
        if !self.variants[0].iter().any(wanted) {
            return vec![];
        }
        let n = self.at.len();
        let both_ways = range == Range::Diode;
        let pairs = (0..n).flat_map(|i| (0..n).map(move |j| [i, j])).filter(|[i, j]| i < j || (both_ways && i != j));
        let pairs: Vec<[usize; 2]> = pairs.collect();
        let at = |setting| pairs.iter().map(move |between| Where { setting, range, between: *between });
        (0..self.settings.len()).flat_map(at).collect()
    }

    /// Whether a measurement goes from something touchable to a rectifier, everything being switched on: a bridge between them
    /// shows through it.
    pub(super) fn is_barrier(&self, place: Where) -> bool {
        let touched = |k: usize| self.places[place.between[k]] == Place::Touchable;
        let at_junction = |k: usize| {
            let (point, node) = (place.between[k], self.at[place.between[k]]);
            let ends_there = |b: &Branch| matches!(b.dead, Dead::Junction(_)) && b.ends.contains(&node);
            self.places[point] == Place::Named && self.variants[0].iter().any(ends_there)
        };
        place.setting == 0 && (touched(0) && at_junction(1) || at_junction(0) && touched(1))
    }

    /// What one variant reads.
    pub(super) fn reading(&self, place: Where, variant: usize) -> Reading {
        if place.range.is_ohms() {
            return self.column_of_ohms(place).map_or(Reading::NONE, |c| c[variant]);
        }
        match self.others.get(&place) {
            Some(column) => column[variant],
            None => self.work_out(place, variant),
        }
    }

    fn column_of_ohms(&self, place: Where) -> Option<&Vec<Reading>> {
        let [i, j] = place.between;
        self.ohms.get(&Where { range: Range::Ohms, between: [i.min(j), i.max(j)], ..place })
    }

    /// What all variants read, worked out where it is not known.
    pub(super) fn column(&mut self, place: Where) -> Vec<Reading> {
        if place.range.is_ohms() {
            return self.column_of_ohms(place).cloned().unwrap_or_default();
        }
        if !self.others.contains_key(&place) {
            let column = (0..self.len()).map(|v| self.work_out(place, v)).collect();
            self.others.insert(place, column);
        }
        self.others[&place].clone()
    }

    fn work_out(&self, place: Where, variant: usize) -> Reading {
        let (branches, setting) = (&self.variants[variant], &self.settings[place.setting]);
        let ends = place.between.map(|p| self.at[p]);
        if ends[0] == ends[1] {
            return Reading { low: 0.0, high: 0.0 };
        }
        match place.range {
            Range::Diode => {
                let [low, high] = Corner::BOTH.map(|corner| diode::volts(branches, ends, setting, corner));
                Reading::on(low.min(high), high.max(low), Range::Diode)
            }
            Range::Capacitance => farads(branches, ends, setting),
            Range::Continuity | Range::Ohms => self.reading(place, variant),
        }
    }

    /// A chosen measurement with its words' facts.
    pub(super) fn measurement(&mut self, jig: &Jig, number: usize, place: &Where, wrongs: &[Candidate]) -> Measurement {
        let column = self.column(*place);
        let told: Vec<&Candidate> =
            (1..self.len()).filter(|v| column[0].differs(&column[*v], place.range)).map(|v| &wrongs[v - 1]).collect();
        let reads_ohms = place.range.is_ohms() && column[0].high.is_finite();
        let network_points = point::points(jig).0;
        Measurement {
            id: format!("M{}", number + 1),
            between: place.between.map(|p| network_points[p].clone()),
            setting: point::named(jig, &self.settings[place.setting]),
            range: self.shown_range(*place),
            expect: column[0],
            rises: self.rises(*place),
            one_way: place.range == Range::Diode && !column[0].is_none() && self.other_way(*place).is_none(),
            through: told.iter().filter(|_| reads_ohms).filter_map(|w| through(jig, &w.wrong)).collect(),
            tells: told.iter().map(|w| w.id.clone()).collect(),
        }
    }

    /// What the sound tool reads with the leads the other way round.
    fn other_way(&self, place: Where) -> Reading {
        let [a, b] = place.between;
        self.reading(Where { between: [b, a], ..place }, 0)
    }

    /// Continuity where next to nothing is to be read.
    fn shown_range(&self, place: Where) -> Range {
        let most = (meter::ohms().leads + meter::ohms().leads).min(meter::sounds_below());
        if place.range.is_ohms() && self.reading(place, 0).high <= most { Range::Continuity } else { place.range }
    }

    /// Seconds until ohms stand, where capacitors make them rise for so long that it is seen.
    fn rises(&self, place: Where) -> Option<f64> {
        if !place.range.is_ohms() {
            return None;
        }
        let ends = place.between.map(|p| self.at[p]);
        let (constants, told_from) = meter::settles();
        let setting = &self.settings[place.setting];
        let slow = 1.0 / self.slowest();
        let (g, farads) = admittance::between(&self.variants[0], ends, setting, slow, (Corner::High, Corner::High))?;
        let range = meter::ohms();
        let ohms = if g > 1.0 / range.most { Some(1.0 / g) } else { None };
        let seconds = match ohms {
            Some(ohms) => constants * ohms * farads,
            None => farads * range.open_volts / range.charging,
        };
        (seconds >= told_from).then_some(seconds)
    }

    /// Seconds that are long against everything the capacitors do.
    fn slowest(&self) -> f64 {
        let farads: f64 =
            self.variants[0].iter().map(|b| if let Dead::Farads([_, c]) = b.dead { c } else { 0.0 }).sum();
        (farads * meter::ohms().most).max(1.0) * 1e3
    }
}

/// What the capacitance range shows. A number that means nothing is as good as no reading: what would be shown is not known.
/// Resistance in series takes most away at the highest frequency, resistance beside it counts most at the lowest.
fn farads(branches: &[Branch], ends: [usize; 2], setting: &[usize]) -> Reading {
    let range = meter::capacitance();
    let [slow, fast] = range.hertz;
    let (low, high) = (Corner::Low, Corner::High);
    let mut found = Reading { low: f64::INFINITY, high: 0.0 };
    let (mut shown, mut doubtful) = (false, false);
    for (hertz, corners) in [(slow, (low, low)), (fast, (high, low)), (slow, (low, high))] {
        let Some((g, c)) = admittance::between(branches, ends, setting, hertz, corners) else {
            return Reading::NONE;
        };
        let flows = 2.0 * std::f64::consts::PI * hertz * c;
        if flows < g * range.over_resistance || c < range.least {
            doubtful = true;
        } else {
            shown = true;
            found = Reading { low: found.low.min(c), high: found.high.max(c) };
        }
    }
    // Some meters show a number there, and others none.
    match (shown, doubtful) {
        (false, _) => Reading::NONE,
        (true, true) => Reading { high: f64::INFINITY, ..found },
        (true, false) => found,
    }
}

/// What is cold or wound of an item that would be missed if it were open.
fn through(jig: &Jig, wrong: &Wrong) -> Option<Through> {
    let Wrong::Open { item } = wrong else { return None };
    let part = item.split('.').next().unwrap_or(item);
    let kind = &jig.parts.iter().find(|p| p.name == part)?.kind;
    match kind {
        PartKind::Filament(_) => Some(Through::ColdFilament(item.clone())),
        PartKind::Transformer(_) | PartKind::Winding(_) | PartKind::Inductor(_) => Some(Through::Winding(item.clone())),
        PartKind::Resistor(_)
        | PartKind::Capacitor(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => None,
    }
}

//! Tolerances of a faulty tool of many parts. A fault changes a few of them; what it leaves as it was, or brings a little
//! down, has the corners that it has without the fault. Only what the fault brings up asks for corners of its own here, and
//! only the values of parts that it changes much are moved one by one: that all others move it as they did without the
//! fault is looked at once, with all of them moved together, and where they do not, each is moved after all. Of what every
//! fault leaves alone the fault that leaves most is looked at once, at the end.

use crate::finding::{PerQuantity, Quantity};

use super::condition::{Condition, END};
use super::context::SurveyContext;
use super::corners::{Base, Row, Slopes, Toward, Trial, Wanted, all_corners};
use super::gravest::{Gravest, Ordinal};
use super::ledger::Ledger;
use super::measured::measured;
use super::recorder::Recorder;
use super::records::Worst;
use super::touch::contacts;

/// How corners of the tolerances are saved.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Thrift {
    /// Values with a tolerance beyond which a tool has many: a fault then asks only for the corners of what it changes.
    pub many: usize,
    /// Part of a quantity by which all the values together may move it of which its corner asks nothing. Where others ask
    /// the contrary of them the quantity falls short by twice that: in a tool of few values as well as peaks are known.
    pub unfelt: f64,
    /// The same in a tool of many.
    pub unfelt_of_many: f64,
}

impl Default for Thrift {
    fn default() -> Self {
        Thrift { many: 12, unfelt: 5e-6, unfelt_of_many: 5e-5 }
    }
}

/// Part of a quantity by which a fault may bring it up that still leaves it as it was.
pub(crate) const ALIKE: f64 = 1e-4;
/// Part of a quantity to which it is known how far values move it together.
const CLOSE: f64 = 1e-4;
/// Part of what a quantity is without the fault below which it has fallen far: what moves it may be another value.
const FALLEN: f64 = 0.7;
/// Watts, volts and amperes that are none.
const NOTHING: f64 = 1e-9;
/// Volts at a place for a hand that are none.
const NO_VOLTS: f64 = 1e-3;
/// Turns the number of a value into a part of [`SPREAD_OVER`], no two alike (the golden section). The values moved at once
/// lie as far as that apart, near their ends.
const SPREAD: f64 = 0.618_033_988_749_895;
const SPREAD_OVER: f64 = 0.25;
/// Part of what all values together move a quantity by that is due to their moving it along a bent line.
const BENT: f64 = 0.05;
/// The same for watts, which go by the square.
const BENT_SQUARE: f64 = 0.15;

/// A setting without a fault: what everything is with values as stated, and which way each value moves it.
#[derive(Debug)]
pub(crate) struct Sound {
    pub(super) items: Vec<PerQuantity<f64>>,
    pub(super) open: Vec<f64>,
    pub(super) slopes: Slopes,
}

/// What a fault does to a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Change {
    /// It leaves it as it was, or brings it a little down.
    Alike,
    /// It brings it far down.
    Fallen,
    /// It brings it up.
    Risen,
}

fn change(now: f64, sound: f64, nothing: f64) -> Change {
    if now > nothing && now > sound + ALIKE * sound.abs() {
        Change::Risen
    } else if now < FALLEN * sound || now < nothing && sound > nothing {
        Change::Fallen
    } else {
        Change::Alike
    }
}

/// What is left as it was, in the conditions with a fault in which it is highest: items, then places for a hand.
#[derive(Debug, Clone, Default)]
pub(crate) struct LeftAlike {
    items: Vec<PerQuantity<Gravest<Worst>>>,
    open: Vec<Gravest<Worst>>,
}

impl LeftAlike {
    /// Joins what another one holds.
    pub(super) fn merge(&mut self, other: LeftAlike) {
        self.room(other.items.len(), other.open.len());
        for (mine, theirs) in self.items.iter_mut().zip(other.items) {
            mine.join(theirs, Gravest::merge);
        }
        self.open.iter_mut().zip(other.open).for_each(|(mine, theirs)| mine.merge(theirs));
    }

    fn room(&mut self, items: usize, places: usize) {
        self.items.resize(self.items.len().max(items), PerQuantity::default());
        self.open.resize(self.open.len().max(places), Gravest::default());
    }

    fn take(&mut self, sound: &Sound, base: &Base, at: Ordinal) {
        self.room(base.items.len(), base.open.len());
        for (slot, (now, was)) in self.items.iter_mut().zip(base.items.iter().zip(&sound.items)) {
            for (q, slot) in slot.iter_mut().filter(|(q, _)| change(now[*q], was[*q], NOTHING) == Change::Alike) {
                slot.take(Worst { value: now[q], at });
            }
        }
        for (slot, (now, was)) in self.open.iter_mut().zip(base.open.iter().zip(&sound.open)) {
            if change(*now, *was, NO_VOLTS) == Change::Alike {
                slot.take(Worst { value: *now, at });
            }
        }
    }
}

/// The corners of a condition with a fault, filed at `at` with values as stated.
pub(super) fn corners(trial: &Trial, sound: &Sound, at: Ordinal, recorder: &mut Recorder) {
    let base = trial.base(recorder);
    let mut changed = Changed::of(trial, sound, &base);
    if !changed.others_move_it_alike(trial, sound, &base) {
        all_corners(trial, recorder);
        return;
    }
    recorder.ledger.left_alike.take(sound, &base, at);
    let mut matched = vec![];
    let own: Vec<Option<Row>> = (0..trial.context.model.toleranced.len())
        .map(|t| if changed.own[t] { trial.row(t, &base, &mut matched, recorder) } else { None })
        .collect();
    let rows: Vec<&Row> =
        own.iter().zip(&sound.slopes.rows).map(|(own, sound)| own.as_ref().unwrap_or(sound)).collect();
    let toward = Toward { rows: &rows, unfelt: trial.context.unfelt() };
    let mut wanted = Wanted::default();
    let times = |t: usize, more: f32| if changed.own[t] { 1.0 } else { more };
    for risen in &changed.items {
        let (item, q) = (risen.item, risen.q);
        let at = toward.corner(base.items[item][q], |t, row| times(t, risen.more) * row.items[item][q]);
        for (_, value) in matched.iter().filter(|(matched, _)| q == Quantity::Power && *matched == item) {
            wanted.extend(trial.most_power(item, *value, at.clone(), recorder));
        }
        wanted.want(at);
    }
    for k in &changed.open {
        wanted.want(toward.corner(base.open[*k], |_, row| row.open[*k]));
        wanted.want(toward.corner(base.drawn[*k].unwrap_or(0.0), |_, row| row.drawn[*k]));
    }
    if !changed.items.is_empty() {
        wanted.want(toward.corner(base.heat, |_, row| row.heat));
    }
    trial.file(wanted, recorder);
}

/// A quantity of an item that a fault brings up.
#[derive(Debug, Clone, Copy)]
struct Risen {
    item: usize,
    q: Quantity,
    /// How many times what it is without the fault.
    times: f64,
    /// By how much more the values of other parts move it then.
    more: f32,
}

/// What a fault changes so that it may be worse than without.
struct Changed {
    items: Vec<Risen>,
    open: Vec<usize>,
    /// [value]: whether the fault brings anything of its part up or far down.
    own: Vec<bool>,
}

impl Changed {
    fn of(trial: &Trial, sound: &Sound, base: &Base) -> Changed {
        let model = trial.context.model;
        let (mut items, mut parts) = (vec![], vec![false; trial.context.jig.parts.len()]);
        for (k, (now, was)) in base.items.iter().zip(&sound.items).enumerate() {
            for q in Quantity::ALL {
                let change = change(now[q], was[q], NOTHING);
                parts[model.items[k].part] |= change != Change::Alike;
                if change == Change::Risen {
                    items.push(Risen { item: k, q, times: now[q] / was[q], more: 1.0 });
                }
            }
        }
        let open = (0..base.open.len()).filter(|k| change(base.open[*k], sound.open[*k], NO_VOLTS) == Change::Risen);
        let own = model.toleranced.iter().map(|t| parts[t.part]).collect();
        Changed { open: open.collect(), own, items }
    }

    /// Whether the values of all other parts move it as they do without the fault, or as many times more as it is more, all
    /// of them moved at once, each as far as no other. Keeps how many times.
    fn others_move_it_alike(&mut self, trial: &Trial, sound: &Sound, base: &Base) -> bool {
        if self.items.is_empty() && self.open.is_empty() || self.own.iter().all(|own| *own) {
            return true;
        }
        let part = |t: usize| f64::from(END) * (1.0 - SPREAD_OVER * (SPREAD * (t + 1) as f64).fract());
        let corner: Vec<i8> =
            self.own.iter().enumerate().map(|(t, own)| if *own { 0 } else { part(t).round() as i8 }).collect();
        let (c, circuit) = trial.at(corner.clone());
        let Ok(s) = trial.context.solve_near(&circuit, c.level, trial.nominal) else { return false };
        let others = Others { rows: &sound.slopes.rows, corner: &corner };
        let items = &trial.context.model.items;
        let probes: Vec<usize> = contacts(trial.context).map(|c| c.probe).collect();
        let all_items = self.items.iter_mut().all(|risen| {
            let (k, q) = (risen.item, risen.q);
            let went = (base.items[k][q], measured(&items[k], &s.branches)[q]);
            // A power goes by the square: where what flows has grown, the same amperes more are so many times more watts.
            let (bent, more) =
                if q == Quantity::Power { (BENT_SQUARE, risen.times.sqrt()) } else { (BENT, risen.times) };
            let by = [1.0, more].into_iter().find(|by| others.bring(went, NOTHING, bent, *by, |row| row.items[k][q]));
            risen.more = by.unwrap_or(1.0) as f32;
            by.is_some()
        });
        all_items
            && self.open.iter().all(|k| {
                let went = (base.open[*k], s.branches[probes[*k]].v_peak());
                others.bring(went, NO_VOLTS, BENT, 1.0, |row| row.open[*k])
            })
    }
}

/// Values that a fault does not touch, moved at once.
struct Others<'a> {
    rows: &'a [Row],
    corner: &'a [i8],
}

impl Others<'_> {
    /// Whether they bring a quantity from where it was to where it is now, `times` as far as without the fault.
    fn bring(&self, (was, now): (f64, f64), nothing: f64, bent: f64, times: f64, of: impl Fn(&Row) -> f32) -> bool {
        let (mut by, mut all) = (0.0, 0.0);
        for (row, at) in self.rows.iter().zip(self.corner) {
            let one = f64::from(of(row)) * f64::from(*at) / f64::from(END);
            (by, all) = (by + one, all + one.abs());
        }
        (now - was - times * by).abs() <= CLOSE * was.abs().max(nothing) + bent * times * all
    }
}

/// What every fault left alone, where one left most of it: the condition, and the quantities that ask for a corner in it.
pub(super) struct Rest {
    pub(super) condition: Condition,
    items: Vec<(usize, Quantity)>,
    open: Vec<usize>,
}

/// What is to be looked at once, when all faults have been tried.
pub(super) fn rest(ledger: &Ledger) -> Vec<Rest> {
    let mut out: Vec<Rest> = vec![];
    let mut of = |at: Ordinal| -> Option<usize> {
        let condition = &ledger.tried_at(at)?.condition;
        let known = out.iter().position(|r| r.condition == *condition);
        Some(known.unwrap_or_else(|| {
            out.push(Rest { condition: condition.clone(), items: vec![], open: vec![] });
            out.len() - 1
        }))
    };
    let mut items = vec![];
    for (k, slots) in ledger.left_alike.items.iter().enumerate() {
        let found = slots.iter().filter_map(|(q, slot)| Some((q, slot.get()?.at)));
        items.extend(found.filter_map(|(q, at)| Some((of(at)?, k, q))));
    }
    let open = ledger.left_alike.open.iter().enumerate().filter_map(|(k, slot)| Some((of(slot.get()?.at)?, k)));
    let open: Vec<(usize, usize)> = open.collect();
    items.into_iter().for_each(|(at, k, q)| out[at].items.push((k, q)));
    open.into_iter().for_each(|(at, k)| out[at].open.push(k));
    out
}

impl Rest {
    /// Solves and files its corners: they are those of the setting without a fault.
    pub(super) fn run(&self, context: &SurveyContext, recorder: &mut Recorder) {
        let Some(sound) = context.sound(&self.condition) else { return };
        let circuit = context.circuit(&self.condition);
        let nominal = match context.solve(&circuit, self.condition.level) {
            Ok(nominal) => nominal,
            Err(why) => return recorder.unsolved(self.condition.clone(), why),
        };
        let rows: Vec<&Row> = sound.slopes.rows.iter().collect();
        let toward = Toward { rows: &rows, unfelt: context.unfelt() };
        let mut wanted = Wanted::default();
        for (item, q) in &self.items {
            wanted.want(toward.corner(sound.items[*item][*q], |_, row| row.items[*item][*q]));
        }
        for k in &self.open {
            wanted.want(toward.corner(sound.open[*k], |_, row| row.open[*k]));
            wanted.want(toward.corner(0.0, |_, row| row.drawn[*k]));
        }
        Trial { context, condition: &self.condition, circuit: &circuit, nominal: &nominal }.file(wanted, recorder);
    }
}

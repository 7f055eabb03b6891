//! The gravest of many records, the same whatever order they come in and however they were shared out between threads.
//!
//! Two values that differ by rounding alone are one value, and then the earlier condition is named: it has less that is
//! special about it. "Within rounding" is no order (a is close to b and b to c, yet a is not close to c), so comparing
//! two at a time would let the order decide. What is chosen is therefore defined over all records at once: of those
//! within rounding of the gravest, the earliest. Whatever may still be chosen when more come is kept beside it.

use std::cmp::Ordering;

pub(crate) use crate::finding::Ordinal;

/// Relative difference up to which two values are equal but for rounding: solutions are good to about 1e-12.
const ROUNDING: f64 = 1e-9;

/// A record that can be graver than another.
pub(crate) trait Graded {
    /// What makes it grave, higher is graver; the second number decides where the first ones are equal.
    fn grade(&self) -> [f64; 2];

    /// The condition it was found in.
    fn at(&self) -> Ordinal;

    /// Which of two comes first that are of one condition and of one grade. Equal: they are the same.
    fn order(&self, _other: &Self) -> Ordering {
        Ordering::Equal
    }
}

/// The gravest record, with those that may still take its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gravest<T> {
    chosen: Option<T>,
    rivals: Vec<T>,
}

impl<T> Default for Gravest<T> {
    fn default() -> Gravest<T> {
        Gravest { chosen: None, rivals: vec![] }
    }
}

impl<T: Graded> Gravest<T> {
    /// The gravest so far.
    pub(crate) fn get(&self) -> Option<&T> {
        self.chosen.as_ref()
    }

    /// Takes a record.
    pub(crate) fn take(&mut self, new: T) {
        match &self.chosen {
            None => self.chosen = Some(new),
            Some(chosen) if covers(chosen, &new) => {}
            Some(_) => self.settle(new),
        }
    }

    /// Takes what another one holds.
    pub(crate) fn merge(&mut self, other: Gravest<T>) {
        other.chosen.into_iter().chain(other.rivals).for_each(|record| self.take(record));
    }

    /// Chooses anew among what is held and `new`.
    fn settle(&mut self, new: T) {
        let mut held = std::mem::take(&mut self.rivals);
        held.extend(self.chosen.take());
        if !held.iter().any(|h| covers(h, &new)) {
            held.retain(|h| !covers(&new, h));
            held.push(new);
        }
        let top = highest(&held, 0);
        held.retain(|h| within_rounding(h.grade()[0], top));
        let second = highest(&held, 1);
        let gravest = (0..held.len()).filter(|k| within_rounding(held[*k].grade()[1], second));
        let first = gravest.min_by(|a, b| preferred(&held[*a], &held[*b]));
        self.chosen = first.map(|k| held.swap_remove(k));
        self.rivals = held;
    }
}

/// Of values that belong to something the one with the most, or the first of those that are equal but for rounding: which
/// part is named must not hang on the last digit. None where there are none.
pub(crate) fn first_of_most<T>(all: impl IntoIterator<Item = (T, f64)>) -> Option<(T, f64)> {
    all.into_iter().reduce(|best, next| if next.1 - best.1 > ROUNDING * best.1.abs() { next } else { best })
}

impl<T: Graded + Copy> Gravest<T> {
    /// The gravest so far, by value.
    pub(crate) fn copied(&self) -> Option<T> {
        self.chosen
    }
}

fn highest<T: Graded>(held: &[T], number: usize) -> f64 {
    held.iter().map(|h| h.grade()[number]).max_by(f64::total_cmp).unwrap_or(f64::NAN)
}

fn within_rounding(value: f64, top: f64) -> bool {
    value.total_cmp(&top).is_ge() || value >= top - ROUNDING * top.abs()
}

/// Of records that are equally grave: the earlier one, then the graver one.
fn preferred<T: Graded>(a: &T, b: &T) -> Ordering {
    let ([a0, a1], [b0, b1]) = (a.grade(), b.grade());
    a.at().cmp(&b.at()).then(b0.total_cmp(&a0)).then(b1.total_cmp(&a1)).then(a.order(b))
}

/// Whether `b` can never be chosen where `a` is held: `a` is as grave in both numbers, and preferred.
fn covers<T: Graded>(a: &T, b: &T) -> bool {
    let ([a0, a1], [b0, b1]) = (a.grade(), b.grade());
    a0.total_cmp(&b0).is_ge() && a1.total_cmp(&b1).is_ge() && preferred(a, b).is_le()
}

#[cfg(test)]
mod tests {
    use super::{Graded, Gravest, Ordinal};

    #[derive(Debug, Clone, Copy, PartialEq)]
    struct Record([f64; 2], Ordinal);

    impl Graded for Record {
        fn grade(&self) -> [f64; 2] {
            self.0
        }

        fn at(&self) -> Ordinal {
            self.1
        }
    }

    /// Splitmix64.
    fn next(state: &mut u64) -> u64 {
        *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (*state ^ (*state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(state: &mut u64, n: usize) -> usize {
        (next(state) % n as u64) as usize
    }

    fn gathered(records: impl IntoIterator<Item = Record>) -> Gravest<Record> {
        let mut out = Gravest::default();
        records.into_iter().for_each(|r| out.take(r));
        out
    }

    /// The definition, over all records at once.
    fn defined(records: &[Record]) -> Record {
        let close = |v: f64, top: f64| v >= top - 1e-9 * top.abs();
        let top = records.iter().map(|r| r.0[0]).fold(f64::MIN, f64::max);
        let near: Vec<&Record> = records.iter().filter(|r| close(r.0[0], top)).collect();
        let second = near.iter().map(|r| r.0[1]).fold(f64::MIN, f64::max);
        let near = near.into_iter().filter(|r| close(r.0[1], second));
        *near.min_by_key(|r| r.1).expect("there are records")
    }

    /// Chains of values that are each close to the next and not to the last, with jumps between them.
    fn records(state: &mut u64) -> Vec<Record> {
        let mut order: Vec<u32> = (0..2 + below(state, 14) as u32).collect();
        for k in (1..order.len()).rev() {
            order.swap(k, below(state, k + 1));
        }
        let base: f64 = [1.0, -3.0, 0.0, 1e-7][below(state, 4)];
        let mut value = || base + base.abs() * 4e-10 * below(state, 9) as f64;
        let mut out: Vec<Record> = order.iter().map(|k| Record([value(), value()], (*k, 0))).collect();
        if below(state, 3) == 0 {
            out[0].0[0] *= 1.5;
        }
        out
    }

    #[test]
    fn any_order_and_any_split_choose_what_is_defined() {
        let mut state = 12;
        for _ in 0..4000 {
            let mut records = records(&mut state);
            let expected = defined(&records);
            for _ in 0..6 {
                for k in (1..records.len()).rev() {
                    records.swap(k, below(&mut state, k + 1));
                }
                assert_eq!(gathered(records.iter().copied()).copied(), Some(expected), "{records:?}");
                let threads = 1 + below(&mut state, 4);
                let mut split = vec![vec![]; threads];
                records.iter().for_each(|r| split[below(&mut state, threads)].push(*r));
                let mut merged = Gravest::default();
                split.into_iter().for_each(|part| merged.merge(gathered(part)));
                assert_eq!(merged.copied(), Some(expected), "{records:?}");
            }
        }
    }

    #[test]
    fn comparing_two_at_a_time_would_not_do() {
        // Each is within rounding of the next one, the first and the last are not.
        let chain =
            [Record([1.0, 0.0], (3, 0)), Record([1.0 + 8e-10, 0.0], (1, 0)), Record([1.0 + 16e-10, 0.0], (2, 0))];
        assert_eq!(gathered(chain).copied(), Some(chain[1]));
        assert_eq!(gathered(chain.into_iter().rev()).copied(), Some(chain[1]));
    }

    #[test]
    fn what_is_no_number_is_gravest() {
        let records =
            [Record([1.0, 0.0], (0, 0)), Record([f64::NAN, 0.0], (1, 0)), Record([f64::INFINITY, 0.0], (2, 0))];
        for turn in 0..3 {
            let mut records = records.to_vec();
            records.rotate_left(turn);
            assert_eq!(gathered(records).get().map(|r| r.1), Some((1, 0)));
        }
    }
}

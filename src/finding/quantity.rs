//! The six quantities a part is stressed by, and a value for each of them.

use serde::Serialize;

/// A quantity of a stress row. Sorted as the report lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Mean power taken, watts.
    Power,
    /// Volts r.m.s.
    VoltageRms,
    /// Largest volts, either way.
    VoltagePeak,
    /// Amperes r.m.s.
    CurrentRms,
    /// Mean of the rectified current, amperes.
    CurrentMean,
    /// Largest amperes, either way.
    CurrentPeak,
}

impl Quantity {
    /// Every quantity, in the order of the report.
    pub const ALL: [Quantity; 6] = [
        Quantity::Power,
        Quantity::VoltageRms,
        Quantity::VoltagePeak,
        Quantity::CurrentRms,
        Quantity::CurrentMean,
        Quantity::CurrentPeak,
    ];

    /// Its stable name in JSON and in plugins.
    pub const fn name(self) -> &'static str {
        match self {
            Quantity::Power => "power",
            Quantity::VoltageRms => "voltage_rms",
            Quantity::VoltagePeak => "voltage_peak",
            Quantity::CurrentRms => "current_rms",
            Quantity::CurrentMean => "current_mean",
            Quantity::CurrentPeak => "current_peak",
        }
    }

    /// Its SI unit.
    pub const fn unit(self) -> &'static str {
        match self {
            Quantity::Power => "W",
            Quantity::VoltageRms | Quantity::VoltagePeak => "V",
            Quantity::CurrentRms | Quantity::CurrentMean | Quantity::CurrentPeak => "A",
        }
    }

    /// The quantity of a name; `None` where there is none of that name.
    pub fn named(name: &str) -> Option<Quantity> {
        Quantity::ALL.into_iter().find(|q| q.name() == name)
    }
}

/// A value for each quantity: `values[Quantity::Power]`.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PerQuantity<T>([T; 6]);

impl<T> PerQuantity<T> {
    /// From what `of` says of each.
    pub fn from_fn(mut of: impl FnMut(Quantity) -> T) -> PerQuantity<T> {
        PerQuantity(Quantity::ALL.map(&mut of))
    }

    /// Each quantity with its value, in the order of the report.
    pub fn iter(&self) -> impl Iterator<Item = (Quantity, &T)> {
        Quantity::ALL.into_iter().zip(&self.0)
    }

    /// Joins another value to that of each quantity.
    pub fn join<U>(&mut self, other: PerQuantity<U>, mut with: impl FnMut(&mut T, U)) {
        self.0.iter_mut().zip(other.0).for_each(|(mine, theirs)| with(mine, theirs));
    }

    /// Each quantity with its value to change.
    pub fn iter_mut(&mut self) -> impl Iterator<Item = (Quantity, &mut T)> {
        Quantity::ALL.into_iter().zip(&mut self.0)
    }
}

impl<T> std::ops::Index<Quantity> for PerQuantity<T> {
    type Output = T;

    fn index(&self, q: Quantity) -> &T {
        &self.0[q as usize]
    }
}

impl<T> std::ops::IndexMut<Quantity> for PerQuantity<T> {
    fn index_mut(&mut self, q: Quantity) -> &mut T {
        &mut self.0[q as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::{PerQuantity, Quantity};

    #[test]
    fn a_value_stands_at_its_own_quantity() {
        let values = PerQuantity::from_fn(Quantity::name);
        for q in Quantity::ALL {
            assert_eq!(values[q], q.name());
            assert_eq!(Quantity::named(q.name()), Some(q));
            assert_eq!(serde_json::to_value(q).ok(), Some(q.name().into()));
        }
        assert!(values.iter().all(|(q, name)| *name == q.name()));
        assert_eq!(Quantity::named("volts"), None);
    }
}

//! Values as facts of a finding.

use crate::quantity::format_unit;
use crate::standard::Limit;
use std::fmt;

/// A value with its SI unit. Two amounts are alike when they print alike.
#[derive(Debug, Clone, Copy)]
pub struct Amount {
    /// Value.
    pub value: f64,
    /// SI unit.
    pub unit: &'static str,
}

impl Amount {
    /// A value with its unit.
    pub fn new(value: f64, unit: &'static str) -> Amount {
        Amount { value, unit }
    }
}

impl From<&Limit> for Amount {
    fn from(limit: &Limit) -> Amount {
        Amount::new(limit.value, limit.unit)
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&format_unit(self.value, self.unit))
    }
}

impl PartialEq for Amount {
    fn eq(&self, other: &Amount) -> bool {
        self.to_string() == other.to_string()
    }
}

/// So many hundredths, told to a whole one. Two are alike when they print alike.
#[derive(Debug, Clone, Copy)]
pub struct Percent(pub f64);

impl Percent {
    /// A fraction.
    pub fn of(fraction: f64) -> Percent {
        Percent(100.0 * fraction)
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} %", self.0)
    }
}

impl PartialEq for Percent {
    fn eq(&self, other: &Percent) -> bool {
        self.to_string() == other.to_string()
    }
}

//! Transformers.

use super::assembly::{Assembly, Assumption};
use super::declare::{Declared as _, part};
use super::item::{Failure, Item, Role, Spared};
use super::joint::{Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::Rating;
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::Quantity;
use crate::format::{Ends, Holds, Key, NetId, Row, above_zero, needs};
use crate::quantity::Kind as Unit;
use crate::standard::{self, Grade};

const WINDING: &[Key] = &[
    needs("across", Holds::Ends, "The two nets of the winding."),
    needs("volts", above_zero(Unit::Voltage), "Rated volts r.m.s. of the winding."),
];

part! {
    "A transformer.", Transformer = "transformer";
    needs "primary" [primary: TransformerWinding] = Holds::Table(WINDING), "The winding on the supply's side.";
    needs "secondary" [secondaries: Vec<TransformerWinding>] = Holds::Tables(WINDING),
        "The other winding, or a list of several.";
    may "power" [power: Option<f64>] = above_zero(Unit::ApparentPower),
        "Rated volt-amperes of all secondaries together.";
    may "insulation" [insulation: Option<Grade>] = Holds::Word(&Grade::WORDS),
        "Grade of the insulation between primary and secondary.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "capacitance" [capacitance: Option<f64>] = above_zero(Unit::Capacitance),
        "Capacitance between primary and secondary.";
    may "inductance" [inductance: Option<f64>] = above_zero(Unit::Inductance),
        "Magnetising inductance seen at the primary.";
}

/// A winding of a transformer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TransformerWinding {
    /// Its name in reports: `primary`, `secondary`, `secondary2` ...
    pub name: String,
    /// Its ends.
    pub across: Ends,
    /// Rated volts r.m.s.
    pub volts: f64,
}

impl TransformerWinding {
    /// The winding a row describes, the `k`th of its key.
    pub(super) fn from_row(row: &Row, key: &str, k: usize) -> Option<TransformerWinding> {
        let name = if k == 0 { key.to_string() } else { format!("{key}{}", k + 1) };
        Some(TransformerWinding { name, across: row.ends("across")?, volts: row.number("volts")? })
    }
}

impl Transformer {
    /// Every winding, the primary first.
    pub(crate) fn windings(&self) -> impl Iterator<Item = &TransformerWinding> {
        std::iter::once(&self.primary).chain(&self.secondaries)
    }

    /// Rated amperes of a winding, the primary being the first, where the power is stated: the secondaries share it.
    pub(crate) fn rated_amperes(&self, winding: usize) -> Option<f64> {
        let share = if winding == 0 { 1.0 } else { self.secondaries.len() as f64 };
        Some(self.power? / self.windings().nth(winding)?.volts / share)
    }

    /// Whether the insulation between its windings is of a grade that no single fault breaks down (IEC 61558-1).
    pub(crate) fn strong_insulation(&self) -> bool {
        matches!(self.insulation, Some(Grade::Reinforced | Grade::Double))
    }
}

impl Behaviour for Transformer {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        Self::from_keys(row)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.windings().flat_map(|winding| winding.across).collect()
    }

    fn joints(&self) -> Vec<Joint> {
        let joint = |(k, w): (usize, &TransformerWinding)| {
            let link = Link::Winding { name: w.name.clone(), secondary: k > 0, volts: w.volts };
            Joint { ends: w.across, link }
        };
        self.windings().enumerate().map(joint).collect()
    }

    /// Coupled windings with series resistance, leakage and capacitance between windings. What the file does not
    /// say follows from the power by the stated assumptions.
    fn assemble(&self, circuit: &mut Assembly) {
        let [leakage, drop, between] = standard::bench::transformer();
        let omega = circuit.omega();
        let primary = &self.primary;
        let watts = self.power.unwrap_or_else(|| {
            let guess = standard::bench::transformer_power().value;
            circuit.assume(Assumption::TransformerPower(guess));
            guess
        });
        let z1 = primary.volts * primary.volts / watts;
        // Magnetising current: an assumption in the ratio of the drop; only light load sees it.
        let l1 = self.inductance.unwrap_or(z1 / drop.value / omega);
        let mut coils = vec![];
        for (k, w) in self.windings().enumerate() {
            let ratio = w.volts / primary.volts;
            let (role, share) =
                if k == 0 { (Role::Primary, 1.0) } else { (Role::Secondary, self.secondaries.len() as f64) };
            let ohms = 0.5 * drop.value * z1 * ratio * ratio * share;
            let branch = circuit.coil((&format!(".{}", w.name), role), w.across, ohms, l1 * ratio * ratio);
            coils.push((branch, w.volts));
        }
        // Leakage as a fraction of the rated impedance: k² = 1 - X_leak / X_magnetising.
        let tight = (1.0 - leakage.value * z1 / (omega * l1)).max(0.5).sqrt();
        for i in 0..coils.len() {
            for j in i + 1..coils.len() {
                let m = tight * l1 * (coils[i].1 / primary.volts) * (coils[j].1 / primary.volts);
                circuit.couple(coils[i].0, coils[j].0, m);
            }
        }
        let farads = self.capacitance.unwrap_or(between.value);
        for w in &self.secondaries {
            circuit.across([primary.across[0], w.across[0]], Device::Capacitor { farads });
        }
    }

    fn failures(&self, items: &[Item], k: usize) -> Failures {
        let mut out = open_or_short();
        let Some(primary) = items.iter().position(|i| i.part == items[k].part).filter(|p| *p != k) else { return out };
        // The windings of an autotransformer are one: there is no insulation between them to fail.
        if items[primary].ends.iter().any(|n| items[k].ends.contains(n)) {
            out.spared.push(Spared::PartOfAWinding);
        } else if self.strong_insulation() {
            out.spared.push(Spared::StrongInsulation);
        } else {
            out.faults.push(Failure::JoinedTo(primary));
        }
        out
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        Some(Quantity::CurrentRms)
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        vec![]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![
            want("power", self.power.is_some(), When::Always),
            want("insulation", self.insulation.is_some(), When::Always),
        ]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        match key {
            "capacitance" => Some(self.capacitance.get_or_insert(0.0)),
            "power" => Some(self.power.get_or_insert(0.0)),
            _ => None,
        }
    }
}

//! Transformers.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::{Declared as _, part};
use super::iron::Model;
use super::item::{Failure, Item, Role, Spared};
use super::joint::{Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::Rating;
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::{Core, Device};
use crate::finding::Quantity;
use crate::format::{Ends, Holds, Key, NetId, Row, above_zero, may, needs};
use crate::quantity::Kind as Unit;
use crate::standard::transformer::CoreBuild;
use crate::standard::{self, Grade};

const ACROSS: Key = needs("across", Holds::Ends, "The two nets of the winding.");
const VOLTS: Key = needs("volts", above_zero(Unit::Voltage), "Rated volts r.m.s. of the winding.");
const LOADED: Key = needs("volts", above_zero(Unit::Voltage), "Rated volts r.m.s. of the winding at full load.");
const COPPER: Key = may("resistance", above_zero(Unit::Resistance), "Resistance of the winding's copper.");
const NO_LOAD: Key = may("no-load", above_zero(Unit::Voltage), "Volts r.m.s. of the winding without load.");
const PRIMARY: &[Key] = &[ACROSS, VOLTS, COPPER];
const SECONDARY: &[Key] = &[ACROSS, LOADED, NO_LOAD, COPPER];

part! {
    "A transformer.", Transformer = "transformer";
    needs "primary" [primary: TransformerWinding] = Holds::Table(PRIMARY), "The winding on the supply's side.";
    needs "secondary" [secondaries: Vec<TransformerWinding>] = Holds::Tables(SECONDARY),
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
    may "core" [core: Option<CoreBuild>] = Holds::Word(&CoreBuild::WORDS), "How the iron is built.";
    may "regulation" [regulation: Option<f64>] = above_zero(Unit::Fraction),
        "Rise of the secondary's volts from full load to none, over those at full load.";
    may "loss" [loss: Option<f64>] = above_zero(Unit::Power), "Watts that the iron turns to heat at rated volts.";
    may "short-circuit-proof" [short_circuit_proof: bool] = Holds::Flag,
        "Whether the maker states that a lasting short circuit does it no harm.";
    may "thermal-link" [thermal_link: Option<f64>] = above_zero(Unit::Temperature),
        "Temperature at which a thermal link in its windings opens.";
    may "screen" [screen: Option<NetId>] = Holds::Net, "The net of a screen between primary and secondaries.";
}

/// A winding of a transformer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TransformerWinding {
    /// Its name in reports: `primary`, `secondary`, `secondary2` ...
    pub name: String,
    /// Its ends.
    pub across: Ends,
    /// Rated volts r.m.s.; of a secondary, at full load.
    pub volts: f64,
    /// Volts r.m.s. without load.
    pub no_load: Option<f64>,
    /// Ohms of its copper.
    pub resistance: Option<f64>,
}

impl TransformerWinding {
    /// The winding a row describes, the `k`th of its key.
    pub(super) fn from_row(row: &Row, key: &str, k: usize) -> Option<TransformerWinding> {
        let name = if k == 0 { key.to_string() } else { format!("{key}{}", k + 1) };
        Some(TransformerWinding {
            name,
            across: row.ends("across")?,
            volts: row.number("volts")?,
            no_load: row.number("no-load"),
            resistance: row.number("resistance"),
        })
    }
}

impl Transformer {
    /// Every winding, the primary first.
    pub(crate) fn windings(&self) -> impl Iterator<Item = &TransformerWinding> {
        std::iter::once(&self.primary).chain(&self.secondaries)
    }

    /// Whether every secondary is a part of the primary: an autotransformer.
    pub(super) fn is_one_winding(&self) -> bool {
        self.secondaries.iter().all(|w| w.across.iter().any(|end| self.primary.across.contains(end)))
    }

    /// Rated amperes of a winding, the primary being the first, where the power is stated: the secondaries share it.
    pub(crate) fn rated_amperes(&self, winding: usize) -> Option<f64> {
        let share = if winding == 0 { 1.0 } else { self.secondaries.len() as f64 };
        Some(self.power? / self.windings().nth(winding)?.volts / share)
    }

    /// Whether a short circuit behind it does it no harm: it is built for that, or a link in its windings opens before they
    /// are too hot.
    pub(crate) fn bears_a_short(&self) -> bool {
        let most = standard::link::SelfHeated::Winding.most();
        self.short_circuit_proof || self.thermal_link.is_some_and(|celsius| celsius <= most)
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
        self.windings().flat_map(|winding| winding.across).chain(self.screen).collect()
    }

    fn joints(&self) -> Vec<Joint> {
        let joint = |(k, w): (usize, &TransformerWinding)| {
            let link = Link::Winding { name: w.name.clone(), secondary: k > 0, volts: w.volts };
            Joint { ends: w.across, link }
        };
        self.windings().enumerate().map(joint).collect()
    }

    /// Windings of copper on iron that loses some and saturates, coupled with some leakage, a capacitance between primary
    /// and secondaries. What the file does not say follows from the size by the rows of the transformers table.
    fn assemble(&self, circuit: &mut Assembly) {
        let model = Model::of(self, circuit.omega());
        model.guesses.iter().for_each(|guess| circuit.assume(*guess));
        let mut coils = vec![];
        for (k, (w, winding)) in self.windings().zip(&model.windings).enumerate() {
            let role = if k == 0 { Role::Primary } else { Role::Secondary };
            let own = model.coupled + model.stray;
            let henries = own * winding.turns * winding.turns;
            let coil = circuit.coil((&format!(".{}", w.name), role), w.across, winding.ohms, henries);
            coils.push((coil, winding.turns));
        }
        circuit.beside(coils[0].0, Device::Resistor { ohms: model.iron_loss });
        for i in 0..coils.len() {
            for j in i + 1..coils.len() {
                circuit.couple(coils[i].0, coils[j].0, model.coupled * coils[i].1 * coils[j].1);
            }
        }
        circuit.remanence(coils[0].0, model.remanent);
        circuit.core(Core { windings: coils, henries: model.coupled, saturated: model.saturated, knee: model.knee });
        let farads = self.capacitance.unwrap_or_else(|| standard::bench::transformer()[1].value);
        for w in &self.secondaries {
            match self.screen {
                Some(screen) => {
                    circuit.stray(self.primary.across[0], screen, farads);
                    circuit.stray(screen, w.across[0], farads);
                }
                None => circuit.stray(self.primary.across[0], w.across[0], farads),
            }
        }
    }

    fn dead(&self) -> Vec<DeadBranch> {
        let model = Model::of(self, 1.0);
        let stated = |w: &TransformerWinding| if w.resistance.is_some() { "copper_stated" } else { "copper_by_size" };
        let winding = |(w, by): (&TransformerWinding, &super::iron::Winding)| DeadBranch {
            ends: w.across,
            dead: Dead::Ohms(dead::share(by.ohms, stated(w))),
            closed: None,
        };
        self.windings().zip(&model.windings).map(winding).collect()
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

    /// What is built to bear a short circuit, or carries a link that ends it, does not overheat by its current.
    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        (!self.bears_a_short()).then_some(Quantity::CurrentRms)
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

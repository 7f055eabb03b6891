//! Bought power-supply modules.

use super::assembly::{Assembly, Assumption, open};
use super::dead::{self, DeadBranch};
use super::declare::{Declared as _, part};
use super::diode::silicon;
use super::item::{Failure, Item, Measure, Role};
use super::joint::{Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Ends, Holds, NetId, Row, above_zero};
use crate::quantity::Kind as Unit;
use crate::standard;

part! {
    "A bought, approved power-supply module.", Psu = "psu";
    needs "input" [input: Ends] = Holds::Ends, "The two nets of its input.";
    needs "output" [output: Ends] = Holds::Ends, "The two nets of its output, plus first.";
    may "volts" [volts: Option<f64>] = above_zero(Unit::Voltage), "Rated output d.c. volts.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Rated output amperes d.c.";
    may "place" [place: Option<String>] = Holds::Word(&["inside", "outside"]),
        "Where its heat goes: inside the box, or outside of it.";
    may "power" [power: Option<f64>] = above_zero(Unit::Power), "Rated output watts.";
    may "limit" [limit: Option<f64>] = above_zero(Unit::Current),
        "Output amperes at which it limits itself; twice its rated current where it is not stated.";
    may "output-class" [selv: bool] = Holds::Word(&["SELV", "none"]),
        "\"SELV\" when its maker states a safety extra-low-voltage output; without it the output counts as joined to the mains.";
}

/// The generator that a limited output is made of, against its rated volts: so far above them that its current hardly
/// depends on what stands across it.
const STIFF: f64 = 100.0;

impl Psu {
    /// Output amperes that it is made for: as stated, and no more than its watts allow.
    pub(crate) fn rated_amperes(&self) -> Option<f64> {
        let by_power = self.power.zip(self.volts).map(|(watts, volts)| watts / volts);
        [self.current, by_power].into_iter().flatten().min_by(f64::total_cmp)
    }

    /// Output amperes at which it limits itself, as stated or usual; none where its rated current is not known.
    pub(crate) fn limits_at(&self) -> Option<f64> {
        self.limit.or_else(|| Some(self.current.or(self.rated_amperes())? * standard::bench::psu_limit().value))
    }

    /// Rated volts behind a diode that takes what the load leaves of a current: no more than that current is given. Gives
    /// the node that the output hangs on.
    fn limited(&self, circuit: &mut Assembly, minus: usize, volts: f64, drop: f64) -> usize {
        let inner = circuit.inner();
        circuit.branch(inner, minus, Device::Source { dc: volts, sine: 0.0, phase: 0.0 });
        let Some(amperes) = self.limits_at() else { return inner };
        let (top, generator) = (circuit.inner(), circuit.inner());
        let high = volts * STIFF;
        circuit.branch(generator, minus, Device::Source { dc: high, sine: 0.0, phase: 0.0 });
        circuit.branch(generator, top, Device::Resistor { ohms: high / amperes });
        let off_ohms = standard::bench::diode()[2].value;
        let device = Device::Diode { forward: 0.0, on_ohms: drop / STIFF, off_ohms, breakdown: None };
        circuit.branch(top, inner, device);
        top
    }

    /// What may join its output to its input where nothing says that it isolates: a rectifier on the mains, whose minus
    /// is the output's.
    fn joined(&self) -> Vec<Ends> {
        if self.selv { vec![] } else { self.input.map(|pin| [self.output[1], pin]).to_vec() }
    }
}

impl Behaviour for Psu {
    fn read(row: &Row, _: &mut Reading) -> Option<Self> {
        // Nothing but the word of its maker makes it a safety extra-low voltage.
        Some(Psu { selv: row.word("output-class") == Some("SELV"), ..Self::from_keys(row)? })
    }

    fn terminals(&self) -> Vec<NetId> {
        [self.input, self.output].concat()
    }

    fn joints(&self) -> Vec<Joint> {
        let side = |ends, output, volts| Joint { ends, link: Link::Module { output, volts } };
        let mut joints = vec![side(self.input, false, None), side(self.output, true, self.volts)];
        let arms = self.joined().into_iter().zip([false, true]);
        joints.extend(arms.map(|(ends, first)| Joint { ends, link: Link::Arm { first } }));
        joints
    }

    fn assemble(&self, circuit: &mut Assembly) {
        // Takes its rated power, gives its rated volts behind a small resistance up to its limit. A stated barrier holds.
        let watts = self.power.or_else(|| Some(self.volts? * self.current?));
        let ohms = watts.map_or(f64::INFINITY, |p| circuit.nominal.max(1.0).powi(2) / p);
        let device = if ohms.is_finite() { Device::Resistor { ohms } } else { open() };
        let branch = circuit.across(self.input, device);
        circuit.item("", Role::Input, self.input, Measure::Branch(branch));
        if let Some(volts) = self.volts {
            let [plus, minus] = circuit.nodes(self.output);
            let ohms = self.current.map_or(1.0, |i| standard::bench::psu_drop().value * volts / i);
            let gives = self.limited(circuit, minus, volts, ohms);
            let branch = circuit.branch(plus, gives, Device::Resistor { ohms });
            circuit.item(".output", Role::Output, self.output, Measure::Branch(branch));
        }
        for ends in self.joined() {
            circuit.across(ends, silicon(None, None, None));
        }
        circuit.assume(if self.selv { Assumption::ModuleBarrier } else { Assumption::NoBarrier });
    }

    fn dead(&self) -> Vec<DeadBranch> {
        // What is inside is its maker's: rectifier, reservoir and bleeder show whatever they show.
        let output = self.volts.map(|_| self.output);
        let sides = std::iter::once(self.input).chain(output).chain(self.joined());
        sides.map(|ends| DeadBranch { ends, dead: dead::UNFORESEEN, closed: None }).collect()
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        // The barrier is spared among the assumptions; its two sides fail open.
        Failures::of(&[Failure::Open])
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

    fn ratings(&self, role: Role) -> Vec<Rating> {
        match role {
            Role::Output => vec![],
            Role::Whole | Role::Contact | Role::Arm | Role::Primary | Role::Secondary | Role::Input => {
                vec![rated(Quantity::Power, self.power, CheckId::PsuRating)]
            }
        }
    }

    fn wanted(&self) -> Vec<Wanted> {
        let power = self.power.is_some() || (self.volts.is_some() && self.current.is_some());
        vec![want("power", power, When::Always), want("volts", self.volts.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, _: &str) -> Option<&mut f64> {
        None
    }
}

//! What limits the current from one net to another: fuses on the way, resistors, protective impedance, or nothing.

use super::{Edge, NetSet, Nets, Walk};
use crate::format::{Ends, NET_L, NET_N, NetId};
use crate::part::Link;
use crate::standard::touch;

/// Least resistance of a way, ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Resistance {
    /// As built.
    pub built: f64,
    /// With the one resistor bridged that matters most.
    pub bridged: f64,
}

/// There is no way.
const NO_WAY: Resistance = Resistance { built: f64::INFINITY, bridged: f64::INFINITY };

impl Resistance {
    /// Behind one more edge.
    fn and(self, edge: &Edge) -> Resistance {
        let ohms = edge.sure_ohms();
        Resistance { built: self.built + ohms, bridged: (self.bridged + ohms).min(self.built) }
    }

    fn least(self, other: Resistance) -> Resistance {
        Resistance { built: self.built.min(other.built), bridged: self.bridged.min(other.bridged) }
    }

    /// Whether so many volts drive no more than a harmless current through it: as built inside the limit of normal
    /// condition, with any one resistor bridged inside that of a single fault.
    pub(crate) fn is_harmless(self, volts: f64) -> bool {
        let limit = |condition| touch::limits(condition).current_rms.value;
        volts / self.built <= limit(touch::LimitsIn::Normal)
            && volts / self.bridged <= limit(touch::LimitsIn::SingleFault)
    }
}

impl Walk<'_> {
    /// Least resistance from where the walk starts to each net; nothing but resistors counts as resistance.
    pub(crate) fn resistance(&self) -> Vec<Resistance> {
        let start = Resistance { built: 0.0, bridged: 0.0 };
        let found = self.best(start, &|here, edge| here.and(edge), &Resistance::least);
        found.into_iter().map(|r| r.unwrap_or(NO_WAY)).collect()
    }

    /// Whether so many volts drive no more than a harmless current from where the walk starts to any net of `goal`.
    pub(crate) fn is_harmless(&self, goal: &NetSet, volts: f64) -> bool {
        let resistance = self.resistance();
        goal.iter().all(|net| resistance[net].is_harmless(volts))
    }
}

/// What limits next to no current, beside hard joints.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limitless {
    /// Resistors that come to less than so many ohms in series.
    pub below_ohms: f64,
    /// A part that is bridged.
    pub shorted: Option<usize>,
    /// A bridge conducts one way at a time: whether in the half-wave in which its first a.c. terminal is positive.
    pub first_half: bool,
}

impl Limitless {
    /// Whether it is this edge.
    pub(crate) fn passes(&self, edge: &Edge) -> bool {
        let shorted = self.shorted.is_some() && edge.part() == self.shorted;
        match edge.link {
            Link::Wire | Link::Fuse(_) | Link::ThermalFuse | Link::Contact(_) | Link::Diode | Link::Threshold => true,
            Link::Arm { first } => first == self.first_half,
            Link::Resistor(ohms) => ohms < self.below_ohms || shorted,
            Link::Capacitor { .. } | Link::Impedance { .. } => shorted,
            Link::Winding { .. } | Link::Module { .. } => false,
        }
    }

    /// Ohms of an edge that passes.
    fn ohms(&self, edge: &Edge) -> f64 {
        match edge.link {
            Link::Resistor(ohms) if edge.part() != self.shorted => ohms,
            Link::Resistor(_)
            | Link::Wire
            | Link::Fuse(_)
            | Link::ThermalFuse
            | Link::Contact(_)
            | Link::Capacitor { .. }
            | Link::Diode
            | Link::Threshold
            | Link::Arm { .. }
            | Link::Impedance { .. }
            | Link::Winding { .. }
            | Link::Module { .. } => 0.0,
        }
    }
}

impl Nets {
    /// For each net the largest fuse rating that a current from a live pin passes on the way there, amperes (infinite
    /// where a way without a fuse leads there): no more than that fuse lets through can flow for ever. `None`: no way
    /// within one conductive circuit.
    pub(crate) fn largest_fuse(&self) -> Vec<Option<f64>> {
        let pass =
            |edge: &Edge| edge.part().is_some() && !matches!(edge.link, Link::Winding { .. } | Link::Module { .. });
        let along = |amperes: f64, edge: &Edge| match edge.link {
            Link::Fuse(rating) => amperes.min(rating),
            Link::Wire
            | Link::ThermalFuse
            | Link::Contact(_)
            | Link::Resistor(_)
            | Link::Capacitor { .. }
            | Link::Diode
            | Link::Threshold
            | Link::Arm { .. }
            | Link::Impedance { .. }
            | Link::Winding { .. }
            | Link::Module { .. } => amperes,
        };
        self.walk(self.live_pins(), &pass).best(f64::INFINITY, &along, &f64::max)
    }

    /// Pairs of nets that a stiff source stands between: the pins, a module's output, a transformer's secondary, the
    /// terminals of an outlet on a tool without mains.
    pub(crate) fn sources(&self) -> Vec<Ends> {
        let outlets = self.edges().iter().filter(|edge| !self.has_mains() && edge.part().is_none());
        let gives = |edge: &&Edge| {
            matches!(edge.link, Link::Module { output: true, .. } | Link::Winding { secondary: true, .. })
        };
        let mains = self.has_mains().then_some([NET_L, NET_N]);
        let parts = self.edges().iter().filter(gives);
        mains.into_iter().chain(outlets.chain(parts).map(|edge| edge.ends)).collect()
    }

    /// Whether a part across two nets hangs between the poles of a source with nothing that limits its current in the
    /// way. What lies beside it, such as a varistor or a heater across the mains, is no way round it.
    pub(crate) fn unlimited(&self, part: usize, across: Ends, limitless: &Limitless) -> bool {
        let hard = self.groups(&Edge::is_hard);
        let pass = |edge: &Edge| edge.is_hard() || edge.part() != Some(part) && limitless.passes(edge);
        // What stands in series adds up, on both sides of the part.
        let along = |ohms: f64, edge: &Edge| ohms + limitless.ohms(edge);
        // Least ohms from one net to another past neither end of a pole.
        let leads = |from, to: NetId, past| {
            let past = NetSet::of(self.count(), |net| hard.same(net, past));
            if past.has(from) {
                return f64::INFINITY;
            }
            self.walk(&[from], &pass).round(&past).best(0.0, &along, &f64::min)[to].unwrap_or(f64::INFINITY)
        };
        let limits_nothing = |ohms: f64| ohms < limitless.below_ohms;
        self.sources().iter().any(|&[s, t]| {
            // What stands between the poles already is a dead short, not this part's fault.
            !hard.same(s, t)
                && !hard.same(across[0], across[1])
                && [[s, t], [t, s]]
                    .iter()
                    .any(|&[one, other]| limits_nothing(leads(across[0], one, other) + leads(across[1], other, one)))
        })
    }
}

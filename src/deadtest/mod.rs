//! What a meter must read on the finished tool while it is unplugged and discharged, and what is wrong where it reads something
//! else; then the steps of the first power-up. Facts only: the words for them are `wording`'s.
//!
//! Every part says what it is at a meter's few volts ([`crate::part::dead`]); with the plug's pins, contacts and touchables as
//! nodes of their own that is a [`network`]. What may be wrong with it ([`wrong`]) is a change of the network. Readings are
//! intervals over all tolerances ([`reading`]): a resistance between two points never falls when a resistance rises, so
//! the two ends of every tolerance give the two ends of the reading.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

mod admittance;
mod choose;
mod diagnose;
mod diode;
mod given;
mod hidden;
mod network;
mod ohms;
mod point;
mod power;
mod reading;
mod table;
mod wrong;

pub(crate) use diagnose::Diagnosis;
pub(crate) use given::{Given, Wish, given, shown};
pub(crate) use hidden::{Hidden, Why};
pub(crate) use point::{Place, Point};
pub(crate) use power::{FirstPower, Light, NotOffered, Step, Volts, first_power};
pub(crate) use reading::Reading;
pub(crate) use wrong::{End, Wrong};

use crate::jig::Jig;
use choose::Chosen;
use network::Network;
use table::Table;

/// Which range of the meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Range {
    /// Ohms of next to nothing: with a tone.
    Continuity,
    /// Ohms, at volts that leave every junction dark.
    Ohms,
    /// Volts of a junction; the first point is the red lead.
    Diode,
    /// Farads.
    Capacitance,
}

impl Range {
    /// All of them, the quickest first.
    pub(crate) const ALL: [Range; 4] = [Range::Continuity, Range::Ohms, Range::Diode, Range::Capacitance];

    /// Its word in files and in JSON.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Range::Continuity => "continuity",
            Range::Ohms => "ohms",
            Range::Diode => "diode",
            Range::Capacitance => "capacitance",
        }
    }

    /// SI unit of its reading.
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Range::Continuity | Range::Ohms => "Ω",
            Range::Diode => "V",
            Range::Capacitance => "F",
        }
    }

    /// Whether it reads ohms.
    pub(crate) fn is_ohms(self) -> bool {
        match self {
            Range::Continuity | Range::Ohms => true,
            Range::Diode | Range::Capacitance => false,
        }
    }
}

/// Position of each switch, by its name and that of the position.
pub(crate) type Setting = Vec<(String, String)>;

/// One measurement: where, how, what it must read, what it tells.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measurement {
    /// `M1`, `M2`, …
    pub id: String,
    /// Red lead, black lead.
    pub between: [Point; 2],
    /// Position of each switch; none where there is none.
    pub setting: Setting,
    /// Range of the meter.
    pub range: Range,
    /// What it reads on a sound tool, over all tolerances.
    pub expect: Reading,
    /// Seconds until the reading stands, where it is seen to rise.
    pub rises: Option<f64>,
    /// Of a junction: whether it reads nothing with the leads the other way round.
    pub one_way: bool,
    /// What in its way has so few ohms cold that one might take it for a short.
    pub through: Vec<Through>,
    /// What it alone tells from the sound tool: ids of [`DeadTest::wrongs`].
    pub tells: Vec<String>,
}

/// What current goes through between the leads, by the name of the item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Through {
    /// A filament, which cold has a small part of its ohms.
    ColdFilament(String),
    /// A winding: of a transformer, a motor, a relay, a choke.
    Winding(String),
}

/// A fault or slip with its name.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Named {
    /// `R1-open`, …
    pub id: String,
    /// What it is.
    pub wrong: Wrong,
}

/// The dead test of a jig.
#[derive(Debug, Clone)]
pub(crate) struct DeadTest {
    /// File as named by the user, its hash and the name of the jig.
    pub file: String,
    /// sha256 of the jig file, lower-case hex.
    pub sha256: String,
    /// `[jig] name`.
    pub name: String,
    /// Where a meter can reach.
    pub points: Vec<Point>,
    /// What to measure, in the order in which to do it.
    pub measurements: Vec<Measurement>,
    /// Everything that was looked for.
    pub wrongs: Vec<Named>,
    /// What no measurement tells.
    pub hidden: Vec<Hidden>,
    /// Whether all settings and points were tried; where there are too many the rest is left out.
    pub complete: bool,
    bench: Bench,
}

/// What the readings are worked out from.
#[derive(Debug, Clone)]
pub(crate) struct Bench {
    network: Network,
    table: Table,
    chosen: Vec<Chosen>,
    /// The settings of the table, by name.
    settings: Vec<Setting>,
}

/// The dead test of a jig.
pub(crate) fn dead_test(jig: &Jig) -> DeadTest {
    let network = Network::of(jig);
    let (positions, all) = point::settings(jig);
    let (wrongs, all_wrongs) = wrong::list(jig, &network);
    let mut table = Table::new(&network, positions.clone(), &wrongs);
    let settings = positions.iter().map(|s| point::named(jig, s)).collect();
    let chosen = choose::choose(&mut table);
    let measurements = chosen.iter().enumerate().map(|(k, c)| table.measurement(jig, k, c, &wrongs)).collect();
    let hidden = hidden::hidden(jig, &network, &mut table, &chosen, &wrongs);
    let named = |w: &wrong::Candidate| Named { id: w.id.clone(), wrong: w.wrong.clone() };
    DeadTest {
        file: jig.file.clone(),
        sha256: jig.sha256.clone(),
        name: jig.name.clone(),
        points: network.points.clone(),
        measurements,
        wrongs: wrongs.iter().map(named).collect(),
        hidden,
        complete: all && all_wrongs && network.all_points,
        bench: Bench { network, table, chosen, settings },
    }
}

impl DeadTest {
    /// What readings say.
    pub(crate) fn diagnose(&self, given: &[Given]) -> Diagnosis {
        diagnose::diagnose(self, given)
    }

    /// Whether a measurement of the test parts two faults.
    #[cfg(test)]
    pub(crate) fn parts(&self, a: &str, b: &str) -> bool {
        let at = |id| self.wrongs.iter().position(|w| w.id == id).expect("a fault of the list") + 1;
        let read = |place: &Chosen, v| self.bench.table.reading(*place, v);
        self.bench.chosen.iter().any(|c| read(c, at(a)).differs(&read(c, at(b)), c.range))
    }

    /// What a sound tool reads between two points by name, with everything switched on.
    #[cfg(test)]
    pub(crate) fn reading(&self, red: &str, black: &str, range: Range) -> Reading {
        let at = |name| self.points.iter().position(|p| p.name == name).expect("a point of the jig");
        self.bench.table.reading(table::Where { setting: 0, range, between: [at(red), at(black)] }, 0)
    }

    /// The name of a fault or slip.
    pub(crate) fn wrong(&self, id: &str) -> Option<&Wrong> {
        self.wrongs.iter().find(|w| w.id == id).map(|w| &w.wrong)
    }
}

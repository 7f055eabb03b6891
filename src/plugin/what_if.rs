//! A plugin's what-if: one condition, with values changed, through the real solver. Plain data in and out; knows no Lua.

use crate::circuit::Quantities;
use crate::finding::{Discharge, Judgement, PerQuantity, Stress, Touch};
use crate::jig::{Jig, NetId, PartKind, SwitchContacts};
use crate::part::{Fuse, Switch, ThermalFuse, Wire};
use crate::standard::{self, Level};
use crate::survey::condition::{Condition, Fault, Moment, Orientation, fault_id};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::records::TouchWorst;
use crate::survey::replay::{self, Readings, Step};
use crate::survey::settings::{orientations, settings, switch_parts};
use crate::survey::{Survey, faults, model, transients};
use crate::wording;
use std::collections::HashMap;

/// A jig with everything the core knows of it.
#[derive(Debug)]
pub struct Subject {
    /// The jig.
    pub jig: Jig,
    /// Its survey.
    pub survey: Survey,
    /// Worst stresses.
    pub stresses: Vec<Stress>,
    /// Worst touch values.
    pub touch: Vec<Touch>,
    /// Charge left.
    pub discharge: Vec<Discharge>,
    /// Parts, nets and rows of `stresses` by name: plugins ask for each of hundreds.
    parts: HashMap<String, usize>,
    nets: HashMap<String, NetId>,
    rows: HashMap<String, Vec<usize>>,
}

impl Subject {
    /// From what a check has worked out.
    pub fn new(jig: Jig, survey: Survey, judgement: &Judgement) -> Subject {
        let Judgement { stresses, touch, discharge, .. } = judgement;
        let (stresses, touch, discharge) = (stresses.clone(), touch.clone(), discharge.clone());
        let parts = jig.parts.iter().enumerate().map(|(k, p)| (p.name.clone(), k)).collect();
        let nets = jig.nets.iter().enumerate().map(|(k, n)| (n.name.clone(), k)).collect();
        let mut rows: HashMap<String, Vec<usize>> = HashMap::new();
        for (k, s) in stresses.iter().enumerate() {
            rows.entry(s.part.clone()).or_default().push(k);
        }
        Subject { jig, survey, stresses, touch, discharge, parts, nets, rows }
    }

    /// A net by its name.
    pub fn net(&self, name: &str) -> Option<NetId> {
        self.nets.get(name).copied()
    }

    /// A part by its name.
    pub fn part(&self, name: &str) -> Option<usize> {
        self.parts.get(name).copied()
    }

    /// Worst stresses of a part, a winding or an outlet, each with its place among all; nothing where that name has none.
    pub fn stresses_of(&self, name: &str) -> Option<impl Iterator<Item = (usize, &Stress)>> {
        self.rows.get(name).map(|rows| rows.iter().map(|k| (*k, &self.stresses[*k])))
    }
}

/// The supply of a what-if.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SupplyWish {
    /// One of the three levels.
    Level(Level),
    /// So many volts r.m.s. between the pins.
    Volts(f64),
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
    /// Supply; high where nothing is said.
    pub supply: SupplyWish,
    /// The plug the other way round.
    pub reversed: bool,
    /// Short names of faults.
    pub faults: Vec<String>,
    /// Switch and position; on where nothing is said.
    pub switches: Vec<(String, String)>,
    /// Outlet and load; the first where nothing is said.
    pub loads: Vec<(String, String)>,
    /// Part, key, value in SI base units.
    pub change: Vec<(String, String, f64)>,
}

/// What came out: until something opens, and what lasts.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The items' names, in the order of the states.
    pub items: Vec<String>,
    /// The condition step by step.
    pub steps: Vec<Step>,
    /// Names of the protective devices.
    pub devices: Vec<String>,
}

/// Solves a what-if.
///
/// # Errors
/// What cannot be asked, or could not be solved.
pub fn solve(subject: &Subject, wish: &Wish) -> Result<Answer, String> {
    let changed = changed(subject, wish)?;
    let jig = changed.as_ref().map_or(&subject.jig, |c| c);
    let built = changed.as_ref().map(crate::survey::build::build);
    let model = built.as_ref().unwrap_or(&subject.survey.model);
    let condition = condition(jig, model, wish)?;
    let context = SurveyContext::new(jig, model, Depth::Steady);
    let steps = replay::replay(&context, &condition).map_err(|why| wording::condition::why(&why))?;
    // A comparison with what is no number is never true: it would pass every limit.
    if !steps.iter().all(|s| finite(&s.readings)) {
        return Err("the values asked for lead out of the range of numbers".into());
    }
    let items = model.items.iter().map(|i| i.name.clone()).collect();
    let devices = (0..model.protectors.len()).map(|k| wording::device::name(model, k).to_string()).collect();
    Ok(Answer { items, steps, devices })
}

fn finite(s: &Readings) -> bool {
    let volts = |q: &Quantities| [q.v_rms, q.v_mean, q.v_max, q.v_min];
    let felt = |t: &TouchWorst| [t.voltage_rms, t.voltage_peak, t.voltage_dc, t.current_rms, t.current_peak];
    s.items.iter().flat_map(PerQuantity::iter).all(|(_, x)| x.is_finite())
        && s.nets.iter().flat_map(volts).all(f64::is_finite)
        && s.touch.iter().flat_map(felt).all(f64::is_finite)
}

/// Volts left between two nets so many seconds after the plug is pulled (or what is charged is put on): the worst over every
/// way round and setting, without a fault, at the highest supply. `go_on` is asked before each of them.
///
/// # Errors
/// Why it could not be solved, or why it is not to go on.
pub fn left(
    subject: &Subject,
    nets: [NetId; 2],
    seconds: f64,
    go_on: &dyn Fn() -> Result<(), String>,
) -> Result<f64, String> {
    let context = SurveyContext::new(&subject.jig, &subject.survey.model, Depth::Full);
    let mut most: f64 = 0.0;
    for condition in crate::survey::conditions(&subject.jig, &[]) {
        go_on()?;
        let condition = Condition { level: Level::High, ..condition };
        let left = transients::left_between(&context, &condition, nets, seconds);
        most = most.max(left.map_err(|why| wording::condition::why(&why))?);
    }
    Ok(most)
}

fn condition(jig: &Jig, model: &model::Model, wish: &Wish) -> Result<Condition, String> {
    let (mut switches, mut loads) = settings(jig).0.into_iter().next().unwrap_or_default();
    for (name, position) in &wish.switches {
        let found = switch_parts(jig).into_iter().enumerate().find(|(_, k)| jig.parts[*k].name == *name);
        let Some((at, k)) = found else { return Err(format!("this jig has no switch {name}")) };
        let PartKind::Switch(Switch { contacts, .. }) = &jig.parts[k].kind else { continue };
        let known: Vec<String> = match contacts {
            SwitchContacts::Poles(_) => vec!["on".into(), "off".into()],
            SwitchContacts::Positions(p) => p.iter().map(|x| x.0.clone()).collect(),
        };
        let place = known.iter().position(|w| w == position);
        switches[at] =
            place.ok_or_else(|| format!("{name} has no position {position}; it has {}", known.join(", ")))?;
    }
    for (name, label) in &wish.loads {
        let at = jig.outlets.iter().position(|o| o.name == *name);
        let at = at.ok_or_else(|| format!("this jig has no outlet {name}"))?;
        let known = &jig.outlets[at].loads;
        let place = known.iter().position(|l| l.label == *label);
        let labels = || known.iter().map(|l| l.label.as_str()).collect::<Vec<_>>().join(", ");
        loads[at] = place.ok_or_else(|| format!("{name} has no load {label}; it has {}", labels()))?;
    }
    let list: Vec<Fault> = faults::list(jig, model).0;
    let fault = |id: &String| {
        let found = list.iter().find(|f| fault_id(jig, &model.items, f).eq_ignore_ascii_case(id));
        found.cloned().ok_or_else(|| {
            let known: Vec<String> = list.iter().map(|f| fault_id(jig, &model.items, f)).collect();
            let near = standard::near(id, known.iter().map(String::as_str));
            format!("no single fault of this jig is called {id}{near}")
        })
    };
    let faults = wish.faults.iter().map(fault).collect::<Result<_, _>>()?;
    let orientations = orientations(jig);
    let orientation = match (wish.reversed, orientations.first()) {
        (true, _) if orientations.contains(&Orientation::Reversed) => Orientation::Reversed,
        (true, _) => return Err("the plug of this jig goes in one way round only".into()),
        (false, first) => first.copied().unwrap_or(Orientation::AsWired),
    };
    let level = match wish.supply {
        SupplyWish::Level(level) => level,
        SupplyWish::Volts(_) => Level::High,
    };
    Ok(Condition { level, orientation, switches, loads, faults, corner: vec![], moment: Moment::Steady })
}

/// A copy of the jig with what is to be changed; nothing where nothing is.
fn changed(subject: &Subject, wish: &Wish) -> Result<Option<Jig>, String> {
    let volts = match wish.supply {
        SupplyWish::Volts(v) => Some(v),
        SupplyWish::Level(_) => None,
    };
    if volts.is_none() && wish.change.is_empty() {
        return Ok(None);
    }
    let mut jig = subject.jig.clone();
    if let Some(v) = volts {
        let Some(mains) = &mut jig.supply.mains else { return Err("this jig has no mains".into()) };
        // Twice the nominal is beyond every supply; it keeps a slip from becoming an answer.
        if !(v >= 0.0 && v <= 2.0 * mains.nominal) {
            return Err(format!("the supply can be 0 V to {} V here", 2.0 * mains.nominal));
        }
        mains.high = v;
    }
    for (name, key, value) in &wish.change {
        let part = jig.parts.iter_mut().find(|p| p.name == *name);
        let part = part.ok_or_else(|| format!("this jig has no part {name}"))?;
        if !(value.is_finite() && *value > 0.0) {
            return Err(format!("{name}.{key} has to be above zero"));
        }
        let slot = part.kind.value_mut(key);
        *slot.ok_or_else(|| {
            let near = standard::near(key, CHANGEABLE.into_iter());
            format!("{key} of {name} is no value that can be changed{near}")
        })? = *value;
    }
    Ok(Some(jig))
}

/// Keys of such values, of any kind of part.
const CHANGEABLE: [&str; 9] =
    ["resistance", "capacitance", "inductance", "volts", "power", "strike", "maintain", "forward", "current"];

/// A number for each net, the same for those that wires, fuses and switch contacts join; a switch stands on, or at the position
/// named.
///
/// # Errors
/// A switch or position is not there.
pub fn joined(jig: &Jig, positions: &[(String, String)]) -> Result<Vec<usize>, String> {
    let mut group: Vec<usize> = (0..jig.nets.len()).collect();
    let mut join = |a: NetId, b: NetId| {
        let (a, b) = (group[a], group[b]);
        group.iter_mut().filter(|g| **g == b).for_each(|g| *g = a);
    };
    for (name, _) in positions {
        if !switch_parts(jig).into_iter().any(|k| jig.parts[k].name == *name) {
            return Err(format!("this jig has no switch {name}"));
        }
    }
    for part in &jig.parts {
        match &part.kind {
            PartKind::Wire(Wire { across, .. })
            | PartKind::Fuse(Fuse { across, .. })
            | PartKind::ThermalFuse(ThermalFuse { across, .. }) => {
                join(across[0], across[1]);
            }
            PartKind::Switch(Switch { contacts, .. }) => {
                let wanted = positions.iter().find(|(n, _)| *n == part.name).map(|(_, p)| p.as_str());
                let closed: &[[NetId; 2]] = match (contacts, wanted) {
                    (SwitchContacts::Poles(p), None | Some("on")) => p,
                    (SwitchContacts::Poles(_), Some("off")) => &[],
                    (SwitchContacts::Positions(p), None) => p.first().map_or(&[], |x| &x.1),
                    (SwitchContacts::Positions(p), Some(word)) if p.iter().any(|x| x.0 == word) => {
                        p.iter().find(|x| x.0 == word).map_or(&[], |x| &x.1)
                    }
                    (_, Some(word)) => return Err(format!("{} has no position {word}", part.name)),
                };
                closed.iter().for_each(|e| join(e[0], e[1]));
            }
            _ => {}
        }
    }
    Ok(group)
}

//! A plugin's what-if: one condition, with values changed, through the real solver. Plain data in and out; knows no Lua.

use super::wiring;
use crate::circuit::Quantities;
use crate::finding::PerQuantity;
use crate::jig::{Jig, NetId};
use crate::standard::{self, Level};
use crate::strobe::{self, Light};
use crate::survey::condition::{Condition, Fault, Moment, Orientation, fault_id};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::emptying::{Course, Emptied, emptied};
use crate::survey::glow::{LampGlow, glow};
use crate::survey::records::TouchWorst;
use crate::survey::replay::{self, Readings, Step};
use crate::survey::rig::Rig;
use crate::survey::settings::orientations;
use crate::survey::{faults, model, transients};
use crate::wording;

pub(crate) use super::subject::Subject;

/// The supply of a what-if.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SupplyWish {
    /// One of the three levels.
    Level(Level),
    /// So many volts r.m.s. between the pins.
    Volts(f64),
}

impl Default for SupplyWish {
    fn default() -> SupplyWish {
        SupplyWish::Level(Level::High)
    }
}

/// What is asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Wish {
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
    /// Two nets each, joined by a wire.
    pub join: Vec<[String; 2]>,
    /// One net or two that somebody holds; with one the other hand is on earth.
    pub hold: Vec<String>,
    /// Filaments and inrush limiters cold.
    pub cold: bool,
    /// Two nets each between which the volts are wanted.
    pub between: Vec<[String; 2]>,
    /// Parts of which the current is wanted instant by instant.
    pub waves: Vec<String>,
}

/// What came out: until something opens, and what lasts.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    /// The items' names, in the order of the states.
    pub items: Vec<String>,
    /// The condition step by step.
    pub steps: Vec<Step>,
    /// Names of the protective devices.
    pub devices: Vec<String>,
    /// Names of the parts of which the current is there instant by instant.
    pub waves: Vec<String>,
    /// Mains cycles a second; 0 without mains.
    pub hertz: f64,
}

/// Solves a what-if.
///
/// # Errors
/// What cannot be asked, or could not be solved.
pub(crate) fn solve(subject: &Subject, wish: &Wish) -> Result<Answer, String> {
    with(subject, wish, |jig, model| {
        let condition = condition(jig, model, wish)?;
        let rig = rig(subject, model, wish)?;
        let context = SurveyContext::new(jig, model, Depth::Steady);
        let steps =
            replay::replay_with(&context, &condition, &rig).map_err(|why| wording::condition::why(model, &why))?;
        // A comparison with what is no number is never true: it would pass every limit.
        if !steps.iter().all(|s| finite(&s.readings)) {
            return Err(OUT_OF_RANGE.into());
        }
        let items = model.items.iter().map(|i| i.name.clone()).collect();
        let devices = (0..model.protectors.len()).map(|k| wording::device::name(model, k).to_string()).collect();
        let (waves, hertz) = (wish.waves.clone(), model.base.hertz);
        Ok(Answer { items, steps, devices, waves, hertz })
    })
}

const OUT_OF_RANGE: &str = "the values asked for lead out of the range of numbers";

/// A discharge that was asked for.
#[derive(Debug, Clone)]
pub(crate) struct Discharge {
    /// The items' names, in the order of the run.
    pub items: Vec<String>,
    /// The run.
    pub run: Emptied,
}

/// Puts on what is charged and follows it. Where the wish names loads, outlets that it does not name are open.
///
/// # Errors
/// What cannot be asked, or could not be solved; nothing is charged.
pub(crate) fn put_on(subject: &Subject, wish: &Wish, course: Course) -> Result<Discharge, String> {
    with(subject, wish, |jig, model| {
        let mut condition = condition(jig, model, wish)?;
        for (outlet, load) in jig.outlets.iter().zip(&mut condition.loads) {
            if !wish.loads.is_empty() && !wish.loads.iter().any(|(name, _)| *name == outlet.name) {
                *load = usize::MAX;
            }
        }
        let rig = rig(subject, model, wish)?;
        let context = SurveyContext::new(jig, model, Depth::Full);
        let run = emptied(&context, &condition, &rig, course).map_err(|why| wording::condition::why(model, &why))?;
        let run = run.ok_or("nothing is charged here: name a load that is, or a capacitor with charged = …")?;
        let taken = run.items.iter().flat_map(|t| [t.energy, t.voltage_peak, t.current_peak, t.power_peak, t.i2t]);
        if !taken
            .chain(run.between.iter().copied())
            .chain([run.seconds, run.left, run.current_peak])
            .all(f64::is_finite)
        {
            return Err(OUT_OF_RANGE.into());
        }
        Ok(Discharge { items: model.items.iter().map(|i| i.name.clone()).collect(), run })
    })
}

/// The jig and its model with what the wish changes.
fn with<T>(
    subject: &Subject,
    wish: &Wish,
    then: impl FnOnce(&Jig, &model::Model) -> Result<T, String>,
) -> Result<T, String> {
    let changed = changed(subject, wish)?;
    let jig = changed.as_ref().map_or(&subject.jig, |c| c);
    let built = changed.as_ref().map(crate::survey::build::build);
    then(jig, built.as_ref().unwrap_or(&subject.survey.model))
}

/// The light of lamps in one condition.
///
/// # Errors
/// What cannot be asked, or could not be solved.
pub(crate) fn light(subject: &Subject, wish: &Wish, lamps: &[String]) -> Result<Light, String> {
    with(subject, wish, |jig, model| {
        let condition = condition(jig, model, wish)?;
        let context = SurveyContext::new(jig, model, Depth::Steady);
        let found = glow(&context, &condition).map_err(|why| wording::condition::why(model, &why))?;
        let name = |l: &LampGlow| &model.items[l.item].name;
        for lamp in lamps {
            if !found.lamps.iter().any(|l| name(l) == lamp) {
                let near = standard::near(lamp, found.lamps.iter().map(|l| name(l).as_str()));
                return Err(format!("this jig has no glow lamp or LED {}{near}", crate::quantity::quote(lamp)));
            }
        }
        let of: Vec<&LampGlow> = found.lamps.iter().filter(|l| lamps.contains(name(l))).collect();
        Ok(strobe::light_of(&context, &found, &of))
    })
}

fn rig(subject: &Subject, model: &model::Model, wish: &Wish) -> Result<Rig, String> {
    let net = |name: &String| wiring::net(subject, name);
    let pair = |[a, b]: &[String; 2]| Ok::<_, String>([net(a)?, net(b)?]);
    let hold = match wish.hold.as_slice() {
        [] => None,
        [one] => Some((net(one)?, None)),
        [one, other] => Some((net(one)?, Some(net(other)?))),
        _ => return Err("hold is one net, or two: a body has two hands".into()),
    };
    let item = |name: &String| {
        let found = model.items.iter().position(|i| i.name == *name);
        found.ok_or_else(|| {
            let near = standard::near(name, model.items.iter().map(|i| i.name.as_str()));
            format!("this jig has no part {}{near} of which a current could be told", crate::quantity::quote(name))
        })
    };
    Ok(Rig {
        join: wish.join.iter().map(pair).collect::<Result<_, _>>()?,
        hold,
        cold: wish.cold,
        between: wish.between.iter().map(pair).collect::<Result<_, _>>()?,
        waves: wish.waves.iter().map(item).collect::<Result<_, _>>()?,
    })
}

fn finite(s: &Readings) -> bool {
    let volts = |q: &Quantities| [q.v_rms, q.v_mean, q.v_max, q.v_min];
    let felt = |t: &TouchWorst| [t.voltage_rms, t.voltage_peak, t.voltage_dc, t.current_rms, t.current_peak];
    s.items.iter().flat_map(PerQuantity::iter).all(|(_, x)| x.is_finite())
        && s.nets.iter().chain(&s.outlets).chain(&s.between).flat_map(volts).all(f64::is_finite)
        && s.outlets.iter().chain(&s.held).flat_map(|q| [q.i_rms, q.i_mean, q.power]).all(f64::is_finite)
        && s.waves.iter().flatten().copied().all(f64::is_finite)
        && s.touch.iter().flat_map(felt).all(f64::is_finite)
}

/// Volts left between two nets so many seconds after the plug is pulled (or what is charged is put on): the worst over every
/// way round and setting, without a fault, at the highest supply; or in the one setting that is wished for. `go_on` is asked
/// before each of them.
///
/// # Errors
/// Why it could not be solved, or why it is not to go on.
pub(crate) fn left(
    subject: &Subject,
    nets: [NetId; 2],
    seconds: f64,
    wish: Option<&Wish>,
    go_on: &dyn Fn() -> Result<(), String>,
) -> Result<f64, String> {
    let none = Wish::default();
    with(subject, wish.unwrap_or(&none), |jig, model| {
        let context = SurveyContext::new(jig, model, Depth::Full);
        let every = || crate::survey::conditions(jig, &[]);
        let conditions =
            wish.map_or_else(|| Ok(every()), |wish| Ok::<_, String>(vec![condition(jig, model, wish)?]))?;
        let mut most: f64 = 0.0;
        for condition in conditions {
            go_on()?;
            let level = if wish.is_some() { condition.level } else { Level::High };
            let left = transients::left_between(&context, &Condition { level, ..condition }, nets, seconds);
            most = most.max(left.map_err(|why| wording::condition::why(model, &why))?);
        }
        Ok(most)
    })
}

fn condition(jig: &Jig, model: &model::Model, wish: &Wish) -> Result<Condition, String> {
    let switches = wiring::positions(jig, &wish.switches)?;
    let mut loads = vec![0; jig.outlets.len()];
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

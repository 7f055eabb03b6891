//! The light of lamps in one condition: when each is lit and how bright it is, instant by instant. Judges nothing.

use crate::circuit::{Repeats, Solver};
use crate::jig::PartKind;
use crate::part::Measure;

use super::condition::Condition;
use super::context::SurveyContext;
use super::lamps::light_of;
use super::records::Light;
use super::unsolved::NotSolved;

/// Instants a mains cycle at which the current is read: one each 0.7 of a degree.
const POINTS: usize = 512;
/// Mains cycles after which what repeats is no longer taken to follow the mains.
const FOLLOWS: u32 = 2;

/// What glows in a condition.
#[derive(Debug, Clone)]
pub(crate) struct Glow {
    /// Every glow lamp and LED.
    pub lamps: Vec<LampGlow>,
    /// Mains cycles that the waves span; `None` where the light does not follow the mains, and there are no waves.
    pub cycles: Option<u32>,
}

/// What one of them does.
#[derive(Debug, Clone)]
pub(crate) struct LampGlow {
    /// Item.
    pub item: usize,
    /// When it is lit.
    pub light: Light,
    /// Mean of its current without its sign, amperes; of an LED, forward.
    pub mean: f64,
    /// That current instant by instant.
    pub wave: Vec<f64>,
}

/// What glows in the steady state of a condition.
///
/// # Errors
/// Why it could not be solved.
pub(crate) fn glow(context: &SurveyContext, condition: &Condition) -> Result<Glow, NotSolved> {
    let circuit = context.circuit(condition);
    let mut solver = Solver::new(&circuit)?;
    let steady = context.solve_with(&mut solver, condition.level)?;
    let lights: Vec<(usize, Light)> =
        (0..context.model.items.len()).filter_map(|k| Some((k, light_of(context, &solver, &steady, k)?))).collect();
    let cycles = match steady.repeats {
        Repeats::Mains { cycles } if cycles <= FOLLOWS => Some(cycles),
        Repeats::Mains { .. } | Repeats::Window { .. } => None,
    };
    let waves = match cycles {
        Some(n) => solver.waveform(context.scale(condition.level), POINTS * n as usize)?,
        None => vec![],
    };
    let lamps = lights.into_iter().filter_map(|(item, light)| {
        let Measure::Branch(b) = context.model.items[item].measure else { return None };
        let led = matches!(context.jig.parts[context.model.items[item].part].kind, PartKind::Led(_));
        let bright = |amperes: f64| if led { amperes.max(0.0) } else { amperes.abs() };
        let wave: Vec<f64> = waves.get(b).into_iter().flatten().map(|(_, amperes)| bright(*amperes)).collect();
        let q = &steady.branches[b];
        let mean = match wave.len() {
            0 if led => q.i_forward_mean,
            0 => q.i_rms,
            n => wave.iter().sum::<f64>() / n as f64,
        };
        Some(LampGlow { item, light, mean, wave })
    });
    Ok(Glow { lamps: lamps.collect(), cycles })
}

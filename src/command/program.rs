//! What stands behind the commands: the rooms, called in order. Must not judge, word or print.

use super::progress;
use super::size::{Form, Mains};
use super::{CheckArgs, Dropper, Engine, LedArgs, NeonArgs};
use crate::jig::{Fault, Jig};
use crate::judgement::{Judgement, Sizing};
use crate::plugin::run::Found;
use crate::plugin::vm::Limits;
use crate::plugin::what_if::Subject;
use crate::plugin::{find, run};
use crate::sizing::{LedWish, MainsWish, NeonWish, Sized};
use crate::survey::{Survey, Watch};
use crate::{checks, jig, sizing, survey};
use std::path::Path;
use std::sync::Arc;

/// The program itself.
pub struct Program;

/// Today as an ISO date (UTC), against which acceptances lapse.
fn today() -> String {
    let d = time::OffsetDateTime::now_utc().date();
    format!("{:04}-{:02}-{:02}", d.year(), u8::from(d.month()), d.day())
}

impl Engine for Program {
    type Fault = Fault;

    fn check(&self, path: &Path, args: &CheckArgs) -> Result<Judgement, Vec<Fault>> {
        let jig = jig::read(path)?;
        // What may look at the jig is settled before anything looks.
        let known = find::all(&args.plugins, vec![])?;
        let watch = Watch::default();
        progress::shown(&watch, || judged(&jig, &known, args, &watch))
    }

    fn size_neon(&self, args: &NeonArgs) -> Result<Sizing, Vec<Fault>> {
        let wish = NeonWish {
            mains: mains(&args.mains),
            lamp_type: args.lamp_type.clone(),
            strike: args.strike.clone(),
            strike_max: args.strike_max.clone(),
            maintain: args.maintain.clone(),
            current: args.current.clone(),
            max_current: args.max_current.clone(),
            with_diode: args.with_diode,
        };
        written(&args.mains, sizing::neon(&wish)?)
    }

    fn size_led(&self, args: &LedArgs) -> Result<Sizing, Vec<Fault>> {
        let wish = LedWish {
            mains: mains(&args.mains),
            forward: args.forward.clone(),
            current: args.current.clone(),
            max_current: args.max_current.clone(),
            peak_current: args.peak_current.clone(),
            reverse: args.reverse.clone(),
            series: args.series,
            dropper: match args.dropper {
                Dropper::Resistor => sizing::Dropper::Resistor,
                Dropper::Capacitor => sizing::Dropper::Capacitor,
            },
            circuit: args.circuit.map(|c| match c {
                Form::AntiparallelDiode => sizing::Circuit::AntiparallelDiode,
                Form::AntiparallelLed => sizing::Circuit::AntiparallelLed,
                Form::Bridge => sizing::Circuit::Bridge,
            }),
        };
        written(&args.mains, sizing::led(&wish)?)
    }

    fn schema(&self) -> serde_json::Value {
        jig::schema()
    }
}

/// A jig surveyed and judged, with what else was asked for.
fn judged(jig: &Jig, known: &[find::Known], args: &CheckArgs, watch: &Watch) -> Result<Judgement, Vec<Fault>> {
    let survey = survey::watched(jig, &survey::Options::default(), watch);
    let mut judgement = checks::judge(jig, &survey, &today());
    if args.conditions {
        judgement.tried = Some(checks::conditions::tried(jig, &survey));
    }
    if let Some(wanted) = &args.only {
        let replay = checks::conditions::replayed(jig, &survey, &judgement.findings, wanted).map_err(|e| {
            let file = jig.file.clone();
            vec![Fault { file, line: 0, column: 0, message: format!("--only: {}", e.message), help: e.help }]
        })?;
        judgement.replay = Some(replay);
    }
    if args.faults > 1 {
        judgement.double_faults = Some(checks::pairs::double_faults(jig, &judgement.findings, 0, watch));
    }
    looked_at(jig, survey, known, &mut judgement);
    Ok(judgement)
}

/// Lets the plugins that are for this unit look at the jig. Where none is, nothing is started.
fn looked_at(jig: &Jig, survey: Survey, known: &[find::Known], judgement: &mut Judgement) {
    let found: Vec<Found> = known.iter().map(|k| k.found.clone()).collect();
    if found.is_empty() {
        return;
    }
    let subject = Arc::new(Subject::new(jig.clone(), survey, judgement));
    run::all(&found, &subject, judgement, Limits::default());
    find::annotate(known, &jig.unit, judgement);
}

fn mains(args: &Mains) -> MainsWish {
    MainsWish {
        supply: args.supply.clone(),
        volts: args.volts.clone(),
        frequency: args.frequency.clone(),
        tolerance: args.tolerance.clone(),
        plug: args.plug.clone(),
        file: args.write.as_ref().map(|p| p.display().to_string()),
    }
}

/// Writes the chosen design where that is asked for: whole, and never over a file that is there.
fn written(args: &Mains, sized: Sized) -> Result<Sizing, Vec<Fault>> {
    if let (Some(path), Some(text)) = (&args.write, &sized.text) {
        jig::write::write_whole(path, text, false).map_err(|e| {
            let there = e.kind() == std::io::ErrorKind::AlreadyExists;
            let (message, help) = if there {
                ("is there already; nothing was written".to_string(), "name a file that does not exist yet")
            } else {
                (format!("could not be written: {e}"), "name a file in a folder you may write to")
            };
            vec![Fault { file: path.display().to_string(), line: 0, column: 0, message, help: help.to_string() }]
        })?;
    }
    Ok(sized.sizing)
}

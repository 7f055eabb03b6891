//! What stands behind the commands: the rooms, called in order. Must not judge, word or print.

use super::progress;
use super::size::{Form, Mains};
use super::{CheckArgs, Dropper, Engine, LedArgs, NeonArgs};
use crate::files::{self, Existing, Readers};
use crate::finding::{Judgement, Mending, Page, PluginCheck, Sizing};
use crate::jig::{InputError, Jig};
use crate::mending::{Effort, Mended};
use crate::plugin::{Loaded, find, run, vm::Bounds, what_if::Subject};
use crate::sharing::{self, Day, Home, Sources};
use crate::sizing::{LedWish, MainsWish, NeonWish, Sized};
use crate::survey::Watch;
use crate::{checks, jig, mending, sizing, survey};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The program itself.
pub struct Program;

/// A user without a home folder has no plugins there.
fn sources(folders: &[PathBuf], lock_of: Option<&Path>) -> Sources {
    Sources { home: Home::find().ok(), folders: folders.to_vec(), lock_of: lock_of.map(Path::to_path_buf) }
}

/// Today as an ISO date (UTC), against which acceptances lapse.
fn today() -> String {
    let d = time::OffsetDateTime::now_utc().date();
    format!("{:04}-{:02}-{:02}", d.year(), u8::from(d.month()), d.day())
}

impl Engine for Program {
    type Error = InputError;

    fn check(&self, path: &Path, args: &CheckArgs) -> Result<(Judgement, Option<Mending>), Vec<InputError>> {
        if let Some(file) = args.mend.as_deref().filter(|f| f.symlink_metadata().is_ok()) {
            return Err(vec![unwritten(file, "is there already; nothing was written", ANOTHER_NAME)]);
        }
        let bytes = jig::load(path)?;
        let jig = jig::parse(&path.display().to_string(), &bytes)?;
        // Who may look at it is settled before anything looks.
        let plugins =
            sources(&args.plugins, if args.lock { None } else { Some(path) }).for_unit(&jig.unit, Day::today())?;
        let watch = Watch::default();
        // What was read as a jig is UTF-8.
        let text = String::from_utf8_lossy(&bytes);
        let (judgement, text, mut mending) = progress::shown(&watch, || judged(&text, jig, &plugins, args, &watch))?;
        let Some(file) = &args.mend else { return Ok((judgement, None)) };
        if !mending.changes.is_empty() {
            written(file, &text)?;
            mending.file = Some(file.display().to_string());
        }
        Ok((judgement, Some(mending)))
    }

    fn lock(&self, path: &Path, judgement: &Judgement) -> Result<(), Vec<InputError>> {
        sharing::write_lock(path, &judgement.plugins, Day::today()).map_err(|error| vec![error.into()])
    }

    fn size_neon(&self, args: &NeonArgs) -> Result<Sizing, Vec<InputError>> {
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
        sized(&args.mains, sizing::neon(&wish)?)
    }

    fn size_led(&self, args: &LedArgs) -> Result<Sizing, Vec<InputError>> {
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
        sized(&args.mains, sizing::led(&wish)?)
    }

    fn pages(&self) -> Vec<Page> {
        checks::pages()
    }

    fn page(&self, check: &str) -> Result<Page, Vec<String>> {
        checks::page(check)
    }

    fn plugin_checks(&self, check: &str) -> Vec<PluginCheck> {
        // A home that cannot be read is told by `plugin list` and by every check; here the shipped ones still answer.
        let known = sources(&[], None).all(Day::today()).or_else(|_| find::all(&[], vec![])).unwrap_or_default();
        known.iter().filter_map(|k| find::check_page(k, check.trim())).collect()
    }

    fn schema(&self) -> serde_json::Value {
        jig::schema()
    }
}

/// A jig surveyed, judged and mended, with what else was asked for.
fn judged(
    text: &str,
    jig: Jig,
    known: &[find::KnownPlugin],
    args: &CheckArgs,
    watch: &Watch,
) -> Result<(Judgement, String, Mending), Vec<InputError>> {
    let survey = survey::watched(&jig, &survey::Options::default(), watch);
    let judged = checks::judge_and_propose(&jig, &survey, &today());
    let tried = args.conditions.then(|| checks::conditions::tried(&jig, &survey));
    let replay = match &args.only {
        None => None,
        Some(wanted) => {
            let found = checks::conditions::replayed(&jig, &survey, &judged.0.findings, wanted);
            Some(found.map_err(|e| {
                let file = jig.file.clone();
                vec![InputError { file, line: 0, column: 0, message: format!("--only: {}", e.message), help: e.help }]
            })?)
        }
    };
    let pairs = (args.faults > 1).then(|| checks::pairs::double_faults(&jig, &judged.0.findings, 0, watch));
    let effort = if args.mend.is_some() { Effort::File } else { Effort::Words };
    // A copy only where a plugin is to look at it.
    let subject = (!known.is_empty()).then(|| Arc::new(Subject::new(jig.clone(), survey.clone(), &judged.0)));
    let Mended { mut judgement, text, mending } = mending::mend(text, jig, survey, judged, &today(), effort);
    (judgement.tried, judgement.replay, judgement.double_faults) = (tried, replay, pairs);
    checks::fold_twins(&mut judgement);
    if let Some(subject) = subject {
        let found: Vec<Loaded> = known.iter().map(|k| k.plugin.clone()).collect();
        run::all(&found, &subject, &mut judgement, Bounds::default(), &today());
        find::report_replaced(known, &subject.jig.unit, &mut judgement);
    }
    Ok((judgement, text, mending))
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

/// Writes the chosen design where that is asked for.
fn sized(args: &Mains, sized: Sized) -> Result<Sizing, Vec<InputError>> {
    if let (Some(path), Some(text)) = (&args.write, &sized.text) {
        written(path, text)?;
    }
    Ok(sized.sizing)
}

const ANOTHER_NAME: &str = "name a file that does not exist yet";

fn unwritten(path: &Path, message: &str, help: &str) -> InputError {
    InputError { file: path.display().to_string(), line: 0, column: 0, message: message.into(), help: help.into() }
}

/// Writes a jig file: whole, and never over a file that is there.
fn written(path: &Path, text: &str) -> Result<(), Vec<InputError>> {
    files::write(path, text.as_bytes(), Existing::Kept, Readers::Anyone).map_err(|e| {
        vec![if e.kind() == std::io::ErrorKind::AlreadyExists {
            unwritten(path, "is there already; nothing was written", ANOTHER_NAME)
        } else {
            unwritten(path, &format!("could not be written: {e}"), "name a file in a folder you may write to")
        }]
    })
}

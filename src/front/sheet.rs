//! A jig as a sheet to print, and its pictures.

use super::Options;
use super::dead::{dead_test_of, power_after};
use crate::jig::bounds::MOST_DRAWN;
use crate::jig::{self, InputError, Jig};
use crate::nets::Nets;
use crate::quantity::format_table;
use crate::report::{self, Curve, RunDown, TwoCycles};
use crate::survey::{self, traces};
use crate::wording;

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetPart {
    /// The whole sheet, as a page (HTML).
    Page,
    /// The wiring picture alone (SVG). Nothing is solved for it.
    Wiring,
    /// The waveforms alone (SVG).
    Waveforms,
}

/// A sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// The page or picture.
    pub text: String,
    /// Exit status of the check it shows; 0 where none was made.
    pub exit_status: u8,
    /// The verdict in a line; empty where no check was made.
    pub verdict: String,
}

/// Draws a jig.
pub(crate) fn sheet(text: &[u8], options: &Options, part: SheetPart) -> Result<Sheet, Vec<InputError>> {
    let jig = jig::parse(&options.file, text)?;
    if jig.parts.len() > MOST_DRAWN {
        let message = format!("the jig has {} parts", jig.parts.len());
        let help = format!("a sheet is drawn of at most {MOST_DRAWN}: write the tool in several files");
        return Err(vec![InputError::at(&options.file, jig.parts[MOST_DRAWN].place, message, help)]);
    }
    let nets = Nets::of(&jig);
    let drawn = |text: String| Sheet { text, exit_status: 0, verdict: String::new() };
    match part {
        SheetPart::Wiring => Ok(drawn(report::wiring(&jig, &nets))),
        SheetPart::Waveforms => match waves(&jig).drawn(true) {
            Ok((svg, _)) => Ok(drawn(svg)),
            Err(why) => Err(vec![InputError::of_file(options.file.as_str(), why, "the whole sheet needs none")]),
        },
        SheetPart::Page => page(text, options, &jig, &nets),
    }
}

fn page(text: &[u8], options: &Options, jig: &Jig, nets: &Nets) -> Result<Sheet, Vec<InputError>> {
    let checked = crate::check(text, options)?;
    let judgement = &checked.judgement;
    let (wiring, wiring_caption) = report::wiring_for_page(jig, nets);
    let waves = waves(jig);
    let test = dead_test_of(jig);
    let facts = report::SheetFacts {
        dead_test: test.as_ref(),
        first_power: power_after(jig, judgement),
        jig,
        judgement,
        wiring,
        wiring_caption,
        waveforms: waves.drawn(false),
        watts: waves.watts,
        today: options.today.to_string(),
    };
    Ok(Sheet {
        text: report::sheet(&facts),
        exit_status: checked.exit_status(),
        verdict: report::verdict_line(judgement),
    })
}

/// Waveforms as they are drawn.
struct Waves {
    title: String,
    cycles: Option<TwoCycles>,
    down: Option<RunDown>,
    /// What is to be said under them.
    caption: String,
    /// Why there is nothing, where there is nothing.
    why: String,
    /// Mean watts from the mains, of a tool that nothing is plugged into.
    watts: Option<f64>,
}

impl Waves {
    /// The picture and what is to be said under it, or why there is none.
    fn drawn(&self, alone: bool) -> Result<(String, String), String> {
        if self.cycles.is_none() && self.down.is_none() {
            return Err(self.why.clone());
        }
        let svg = report::waveforms(&self.title, self.cycles.as_ref(), self.down.as_ref(), alone);
        Ok((svg, self.caption.clone()))
    }
}

fn waves(jig: &Jig) -> Waves {
    let model = survey::build::build(jig);
    let mut told = vec![];
    let mut why = vec![];
    let trace = traces::trace(jig, &model).unwrap_or_else(|e| {
        why.push(format!("The waveforms could not be solved: {}.", wording::condition::why(&model, &e)));
        None
    });
    let emptying = traces::emptying(jig, &model).unwrap_or_else(|e| {
        why.push(format!("What is left of a charge could not be followed: {}.", wording::condition::why(&model, &e)));
        None
    });
    if let Some(t) = &trace {
        told.push(format!("Values as stated, {}.", wording::condition::words(jig, &model, &t.condition)));
        if t.lit.is_some() {
            told.push("Shaded: lit.".into());
        }
    }
    let watts = trace.as_ref().filter(|_| jig.outlets.is_empty()).map(|t| t.taken);
    let cycles = trace.map(|t| two_cycles(&name(jig, &model, t.of), &t));
    let sources = emptying.as_ref().map(|e| {
        let sources: Vec<&str> = e.limits.iter().map(|l| l.2.as_str()).collect();
        format!("Charge: highest mains, values that keep it longest; limits: {}.", sources.join("; "))
    });
    let down = emptying.map(|e| run_down(jig, &e));
    if let Some(sources) = sources {
        told.push(sources);
    } else if jig.supply.mains.is_some() && why.is_empty() {
        told.push("No capacitor in it keeps a charge that counts.".into());
    }
    told.extend(why.iter().cloned());
    let none = if why.is_empty() { "Nothing in it has a waveform to show.".to_string() } else { why.join(" ") };
    Waves { title: format!("Waveforms of {}", jig.name), cycles, down, caption: told.join(" "), why: none, watts }
}

fn name(jig: &Jig, model: &survey::model::Model, of: traces::Shown) -> String {
    match of {
        traces::Shown::Item(k) => model.items[k].name.clone(),
        traces::Shown::Outlet(k) => jig.outlets[k].name.clone(),
    }
}

fn two_cycles(name: &str, t: &traces::Trace) -> TwoCycles {
    let q = &t.measured;
    let curve = |what: &str, unit, values: Vec<f64>, rms, peaks| Curve {
        name: format!("{what} {name}"),
        unit,
        values,
        rms,
        peaks,
    };
    let volts = t.points.iter().map(|p| p.0).collect();
    let amperes = t.points.iter().map(|p| p.1).collect();
    TwoCycles {
        curves: [
            curve("Volts across", "V", volts, q.v_rms, [q.v_max, q.v_min]),
            curve("Current through", "A", amperes, q.i_rms, [q.i_max, q.i_min]),
        ],
        seconds: 2.0 / t.hertz,
        lit: t.lit.clone().unwrap_or_default(),
    }
}

fn run_down(jig: &Jig, e: &traces::Emptying) -> RunDown {
    let name = if e.pins {
        "Volts left between the pins once the plug is pulled".to_string()
    } else {
        let outlet = jig.outlets.first().map_or("what is put on", |o| o.name.as_str());
        format!("Volts left of the charge put on {outlet}")
    };
    let words = |(seconds, volts, _): &(f64, f64, String)| {
        let (after, left) = (format_table(*seconds, "s"), format_table(*volts, "V"));
        let words =
            if e.pins { format!("at most {left} after {after}") } else { format!("below {left} after {after}") };
        (*seconds, *volts, words)
    };
    RunDown { name, points: e.points.clone(), limits: e.limits.iter().map(words).collect() }
}

//! The survey's worst value of every quantity is never milder than any value found by throwing tolerances at random: a
//! thousand corners (each value at one of its ends) and a thousand points inside, for each condition tried. The thrown
//! circuits are changed here, value by value, not by the survey's own corners.
#![allow(missing_docs, clippy::unwrap_used)]

use super::support::dice::Dice;
use crate::checks::judge;
use crate::circuit::{Circuit, Device, Solver, Steady};
use crate::finding::{Signal, Situation};
use crate::jig::{self, Jig};
use crate::survey::clearing;
use crate::survey::condition::{Condition, Fault, LEVELS, Level, Moment};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::few::Thrift;
use crate::survey::ledger::{Ledger, Outcome, Tried};
use crate::survey::measured::measured;
use crate::survey::model::Model;
use crate::survey::run::{self, Job};
use crate::survey::settings::{orientations, settings};
use crate::survey::{Options, Survey, faults, fresh, survey};
use crate::wording::condition::words;

/// Throws a condition gets, of each kind.
const THROWS: usize = 1000;
/// How well the survey says it knows the worst of the tolerances.
fn accuracy() -> f64 {
    2.0 * Thrift::default().unfelt
}

fn demo(name: &str) -> Jig {
    let path = format!("{}/demo-data/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    jig::parse(name, &std::fs::read(path).unwrap()).unwrap_or_else(|f| panic!("{f:?}"))
}

fn condition(level: Level, jig: &Jig, fault: Option<Fault>) -> Condition {
    let (switches, loads) = settings(jig).0[0].clone();
    Condition {
        level,
        orientation: orientations(jig)[0],
        switches,
        loads,
        faults: fault.into_iter().collect(),
        corner: vec![],
        moment: Moment::Steady,
    }
}

/// The circuit with each toleranced value multiplied by its own factor.
fn thrown(model: &Model, plain: &Circuit, factor: &[f64]) -> Circuit {
    let mut out = plain.clone();
    for (t, f) in model.toleranced.iter().zip(factor) {
        // A part that has failed has no tolerance any more.
        let same = std::mem::discriminant(&model.base.branches[t.branch].device)
            == std::mem::discriminant(&plain.branches[t.branch].device)
            && model.base.branches[t.branch].device == plain.branches[t.branch].device;
        match &mut out.branches[t.branch].device {
            Device::Resistor { ohms } if same => *ohms *= f,
            Device::Capacitor { farads } if same => *farads *= f,
            _ => {}
        }
    }
    out
}

/// What a job's survey knows against what the throws bring.
struct Trial<'a> {
    jig: &'a Jig,
    context: SurveyContext<'a>,
    /// What the survey of every condition knows.
    whole: Ledger,
    complaints: Vec<String>,
    compared: usize,
}

impl Trial<'_> {
    /// All levels of one way round, one setting and one fault (or none).
    fn job(&mut self, plain: Condition, dice: &mut Dice) {
        let (jig, model) = (self.jig, self.context.model);
        let mut ledger =
            Ledger::new(model.items.len(), jig.touchables.len(), model.pair_probes.len(), jig.outlets.len());
        // A number above 0: the lamp facts of the plain condition are not wanted here.
        run::run(&self.context, &Job { number: 1, condition: plain.clone() }, &mut ledger);
        let kind = if plain.faults.is_empty() { Situation::Normal } else { Situation::SingleFault };
        let circuit = model.circuit(jig, &plain);
        for throw in 0..2 * THROWS {
            let factor: Vec<f64> = model
                .toleranced
                .iter()
                .map(|t| {
                    1.0 + t.tolerance
                        * if throw < THROWS { 2.0 * dice.below(2) as f64 - 1.0 } else { dice.between(-1.0, 1.0) }
                })
                .collect();
            // With a fault only the high mains has corners of its own; low mains is held against the whole survey.
            let level =
                if kind == Situation::Normal { LEVELS[throw % 3] } else { [Level::High, Level::Low][throw % 8 / 7] };
            let mut solver = Solver::new(&thrown(model, &circuit, &factor)).unwrap();
            let steady = solver.steady(self.context.scale(level)).unwrap();
            // What a device ends is a transient; that is the clearing's business.
            if clearing::opens(jig, model, &plain, &steady.branches).next().is_some() {
                continue;
            }
            let thrown = Condition { level, ..plain.clone() };
            let ledger = if kind == Situation::SingleFault && level == Level::Low { &self.whole } else { &ledger };
            self.compared += 1;
            self.complaints.extend(self.compare(
                ledger,
                &steady,
                kind,
                format!("{}, {factor:?}", words(jig, model, &thrown)),
            ));
        }
    }

    fn compare(&self, ledger: &Ledger, steady: &Steady, kind: Situation, said: String) -> Vec<String> {
        let mut complaints = vec![];
        for (k, item) in self.context.model.items.iter().enumerate() {
            for (q, &value) in measured(item, &steady.branches).iter() {
                let worst = ledger.get(k, q, kind).map_or(0.0, |w| w.value);
                if value > worst * (1.0 + accuracy()) + 1e-9 {
                    complaints.push(format!("{} {}: {value:e} > {worst:e}: {said}", item.name, q.name()));
                }
            }
        }
        for (k, probe) in self.context.model.touch_probes.iter().enumerate() {
            let value = steady.branches[*probe].v_rms;
            let worst = ledger.touch_of(k, kind).map_or(0.0, |w| w.voltage_rms);
            if value > worst * (1.0 + accuracy()) + 1e-6 {
                complaints.push(format!("touchable {k}: {value:e} V > {worst:e} V: {said}"));
            }
        }
        complaints
    }
}

/// Normal condition, every way round, and every `step`-th single fault.
fn holds(jig: &Jig, step: usize) {
    let model = crate::survey::build::build(jig);
    assert!(model.toleranced.len() > 1);
    let whole = survey(jig, &Options::default()).ledger;
    let mut trial =
        Trial { jig, context: SurveyContext::new(jig, &model, Depth::Full), whole, complaints: vec![], compared: 0 };
    let mut dice = Dice::new(20);
    for orientation in orientations(jig) {
        trial.job(Condition { orientation, ..condition(Level::Nominal, jig, None) }, &mut dice);
    }
    for fault in faults::list(jig, &model).0.into_iter().step_by(step) {
        trial.job(condition(Level::Nominal, jig, Some(fault)), &mut dice);
    }
    let first: Vec<&String> = trial.complaints.iter().take(12).collect();
    assert!(trial.complaints.is_empty(), "{} of {}: {first:#?}", trial.complaints.len(), trial.compared);
    assert!(trial.compared > 2 * THROWS, "{}", trial.compared);
}

#[test]
fn neon_wand_230v() {
    holds(&demo("neon-wand-230v"), 1);
}

#[test]
fn neon_wand_120v() {
    holds(&demo("neon-wand-120v"), 1);
}

#[test]
fn led_box() {
    holds(&demo("led-box-230v"), 3);
}

#[test]
fn capacitor_fed_led() {
    holds(&demo("capacitor-led-230v"), 2);
}

/// A touchable behind a capacitor and beside a bleeder: its open volts hardly move with the tolerances, the current that
/// a hand gets does.
#[test]
fn touch_current_behind_a_capacitor() {
    let text = r#"
format = 1
[jig]
name = "touch"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "C"
cord = { area = "0.75 mm2", length = "2 m", cores = 2, strain-relief = true }
[enclosure]
material = "insulating"
class = "II"
[part.R1]
kind = "resistor"
across = ["L", "m"]
resistance = "100 kΩ"
tolerance = "10 %"
[part.C1]
kind = "capacitor"
across = ["m", "T"]
capacitance = "4.7 nF"
tolerance = "20 %"
class = "Y2"
[part.R2]
kind = "resistor"
across = ["m", "N"]
resistance = "2.2 MΩ"
tolerance = "5 %"
[[touchable]]
name = "cap"
net = "T"
"#;
    let jig = jig::parse("touch.toml", text.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
    let model = crate::survey::build::build(&jig);
    let known = survey(&jig, &Options::default()).ledger.touch_of(0, Situation::Normal).unwrap().current_rms;
    let mut dice = Dice::new(21);
    let mut most: f64 = 0.0;
    for throw in 0..2 * THROWS {
        let end = |dice: &mut Dice| 2.0 * dice.below(2) as f64 - 1.0;
        let mut at = || if throw < THROWS { end(&mut dice) } else { dice.between(-1.0, 1.0) };
        let factor: Vec<f64> = model.toleranced.iter().map(|t| 1.0 + t.tolerance * at()).collect();
        let plain = model.circuit(&jig, &condition(Level::High, &jig, None));
        let mut circuit = thrown(&model, &plain, &factor);
        let put = model.touch(&mut circuit, jig.touchables[0].net, None);
        let steady = Solver::new(&circuit).unwrap().steady(1.1).unwrap();
        most = most.max(steady.branches[put.reader].v_rms / crate::standard::touch::body_network().rb);
    }
    assert!(most <= known * (1.0 + accuracy()), "{most} > {known}");
    // The throws reach the worst corner, so the comparison means something.
    assert!(most > known * 0.999, "{most} of {known}");
}

const HEAD: &str = r#"format = 1
[jig]
name = "dividers"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "C"
cord = { area = "0.75 mm2", length = "2 m", cores = 2, strain-relief = true }
[enclosure]
material = "insulating"
class = "II"
[part.F1]
kind = "fuse"
across = ["L", "live"]
current = "100 mA"
speed = "T"
voltage = "250 V"
breaking = "1500 A"
"#;

/// A divider from the fuse to N; its lower resistor takes most where the upper one is low and it is high itself.
fn divider(name: &str, rated: &str) -> String {
    let one = |end: &str, across: &str, ohms: &str| {
        format!(
            "[part.{name}{end}]\nkind = \"resistor\"\nacross = [{across}]\nresistance = \"{ohms}\"\ntolerance = \"5 %\"\n\
             power = \"{rated}\"\nvoltage = \"350 V\"\n"
        )
    };
    let middle = format!("m{name}");
    one("a", &format!("\"live\", \"{middle}\""), "150 kΩ") + &one("b", &format!("\"{middle}\", \"N\""), "82 kΩ")
}

/// 253 V put 97.5 mW into the lower resistor as stated, 102.6 mW with every resistor of the jig low, and 105.4 mW at the
/// corner it asks for itself: (0.95 · 150 kΩ, 1.05 · 82 kΩ). Only that one is over 104 mW.
#[test]
fn a_divider_is_judged_alike_alone_and_beside_39_others() {
    let signals = |text: &str| {
        let jig = jig::parse("dividers.toml", text.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
        let j = judge(&jig, &survey(&jig, &Options { faults: 0, threads: 0, ..Options::default() }), "2026-01-01");
        assert!(j.complete());
        let mine = j.findings.iter().filter(|f| f.parts == ["Xb"]);
        let normal: Vec<_> = mine.map(|f| (f.check.clone(), f.signal, f.value)).collect();
        (normal, j.exit_status())
    };
    let others: String = (0..39).map(|k| divider(&format!("R{k}"), "1 W")).collect();
    let (alone, exit_alone) = signals(&(HEAD.to_string() + &divider("X", "104 mW")));
    let (beside, exit_beside) = signals(&(HEAD.to_string() + &others + &divider("X", "104 mW")));
    let over = |found: &[(_, Signal, Option<f64>)]| {
        found.iter().find(|f| f.1 == Signal::Warning).and_then(|f| f.2).unwrap_or_else(|| panic!("{found:#?}"))
    };
    let expected = 253.0 * 253.0 * 1.05 * 82e3 / (0.95 * 150e3 + 1.05 * 82e3_f64).powi(2);
    for watts in [over(&alone), over(&beside)] {
        assert!((watts / expected - 1.0).abs() < 1e-3, "{watts} is not {expected}");
    }
    assert_eq!((exit_alone, exit_beside), (1, 1));
}

/// What a bound on the corners leaves out makes the check incomplete, and is told with its number.
#[test]
fn corners_that_are_left_out_are_told() {
    let text = HEAD.to_string() + &divider("X", "1 W");
    let jig = jig::parse("dividers.toml", text.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
    let whole = survey(&jig, &Options { faults: 0, threads: 1, ..Options::default() });
    let bounded = |most_corners| {
        let mut context = SurveyContext::new(&jig, &whole.model, Depth::Full);
        context.most_corners = most_corners;
        let mut ledger = fresh(&context);
        let condition = condition(Level::Nominal, &jig, None);
        run::run(&context, &Job { number: 0, condition }, &mut ledger);
        Survey { ledger, ..whole.clone() }
    };
    let corners = |s: &Survey| {
        let at = |l: Level| move |t: &&Tried| t.condition.level == l && !t.condition.corner.is_empty();
        s.ledger.tried.iter().filter(at(Level::High)).filter(|t| t.outcome == Outcome::Solved).count()
    };
    let all = bounded(1000);
    let wanted = corners(&all);
    assert!(judge(&jig, &all, "2026-01-01").complete() && wanted > 2, "{wanted}");
    let some = bounded(2);
    assert_eq!(corners(&some), 2);
    let j = judge(&jig, &some, "2026-01-01");
    assert_eq!(j.exit_status(), 3);
    let told = j.findings.iter().find(|f| f.check == "unsolved-condition").unwrap();
    let words = format!("of the worst corners of its tolerances 2 were solved and {} left out", wanted - 2);
    assert!(told.message.contains(&words), "{}", told.message);
}

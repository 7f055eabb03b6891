//! What could not be solved on the way to something else is told too: a moment, a lamp before it strikes, a value moved
//! to see what feels it.
#![allow(missing_docs, clippy::unwrap_used)]

use crate::checks::judge;
use crate::circuit::{Solver, Start, Until};
use crate::jig;
use crate::standard::discharge::plug_pin_rules;
use crate::survey::condition::{Condition, Moment};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::handled::Places;
use crate::survey::ledger::Outcome;
use crate::survey::unplug::pulled;
use crate::survey::unsolved::NotSolved;
use crate::survey::{Options, survey};

/// A varistor holds the current of a coil when the plug is pulled; with R2 bridged there is next to nothing between them.
const TEXT: &str = r#"format = 1
[jig]
name = "coil"
use = "bench"
[supply]
system = "120 V 60 Hz"
plug = "fixed"
[enclosure]
material = "insulating"
class = "II"
[part.F1]
kind = "fuse"
across = ["L", "L1"]
current = "500 mA"
speed = "T"
[part.R2]
kind = "resistor"
across = ["a", "b"]
resistance = "430 ohm"
[part.R3]
kind = "resistor"
across = ["c", "N"]
resistance = "13.3 kohm"
[part.C1]
kind = "capacitor"
across = ["b", "c"]
capacitance = "466 nF"
[part.L1]
kind = "inductor"
across = ["b", "L1"]
inductance = "568 mH"
resistance = "54.6 ohm"
[part.V2]
kind = "varistor"
across = ["a", "L1"]
voltage = "150 V"
"#;

#[test]
fn a_device_held_in_no_state_of_its_own_makes_the_check_incomplete() {
    let jig = jig::parse("coil.toml", TEXT.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
    let found = survey(&jig, &Options::default());
    let context = SurveyContext::new(&jig, &found.model, Depth::Full);
    let mut times: Vec<f64> = plug_pin_rules().iter().map(|r| r.after_s).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    let (mut held, mut free) = (0, 0);
    for t in &found.ledger.tried {
        let Moment::Unplugged { degrees: Some(degrees), moved: None } = t.condition.moment else { continue };
        // It stands with its values as stated when the plug is pulled, and empties with them at their ends.
        let stated = Condition { corner: vec![], ..t.condition.clone() };
        let circuit = found.model.circuit(&jig, &stated);
        let mut solver = Solver::new(&circuit).unwrap();
        let states = solver.states_over_cycle(context.scale(t.condition.level), 32).unwrap();
        let mut state = states[(degrees * 32.0 / 360.0).round() as usize].clone();
        let (_, mut pulled) = pulled(&context, &t.condition);
        Places::metered(&jig, &found.model, &mut pulled);
        state.resize(pulled.branches.len(), 0.0);
        let (mut forced, mut before) = (false, 0.0);
        for time in &times {
            let until = Until { seconds: time - before, falls_below: None };
            let t = Solver::new(&pulled).unwrap().transient(1.0, &Start { angle: 0.0, state }, &until).unwrap();
            forced |= t.forced;
            (state, before) = (t.state, *time);
        }
        let told = matches!(t.outcome, Outcome::Unsolved(NotSolved::Inconsistent));
        assert_eq!(told, forced, "{:?}", t.condition);
        *(if forced { &mut held } else { &mut free }) += 1;
    }
    assert!(held > 0 && free > 0, "{held} held, {free} free: this jig shows nothing any more, take another");
    let j = judge(&jig, &found, "2026-01-01");
    assert_eq!(j.exit_status(), 3);
    assert!(j.findings.iter().any(|f| f.message.contains("no consistent set of device states at one instant")));
}

//! What stays live behind a switch that is off, through a lamp or a capacitor across its contact.

use super::across_contact::{Past, past_switches};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, OffNotDead};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::{LoadKind, NET_N};
use crate::nets::Live;
use crate::standard::{Level, rules, touch};
use crate::survey::condition::{Condition, Moment, Orientation};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::records::TouchWorst;
use crate::survey::replay::hand_on;
use crate::survey::settings::switch_parts;

pub(super) const CHECK: Check = Check {
    id: CheckId::OffNotDead,
    judges: &[],
    about: About {
        looks_at: "a switch that is off while a glow lamp, an LED or a capacitor leads past its open contact: to an outlet, or to everything behind the main switch",
        limit: "off means dead (CAUTION); what a hand draws from the outlet then, {touch.current_limit.iec61010_normal_ac.ac_rms_ma} r.m.s., as for anything touchable (WARNING)",
        rows: &["rules.rule.switch_means_dead"],
        how: "walks from the live pin through everything that stands with the switch off; the body network of IEC 60990, Figure 4, from the terminal of the outlet to earth, highest supply, nothing plugged in",
        mend: "put the lamp from the switched side to the neutral, the snubber across what is switched, or switch both poles",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for past in past_switches(case) {
        out.push(found(case, &past));
    }
}

fn found(case: &Case, past: &Past) -> Draft {
    let part = &case.jig.parts[past.switch];
    let reversed = case.nets().live() == Some(Live::Either) && past.pin == NET_N;
    let drawn = past.outlet.and_then(|_| drawn(case, past, reversed));
    let over = drawn.filter(|t| t.hazard > 1.0);
    let signal = if over.is_some() { Signal::Warning } else { Signal::Caution };
    let through: Vec<String> = past.parts.iter().map(|p| case.jig.parts[*p].name.clone()).collect();
    let mut d = case.about_part(CheckId::OffNotDead, signal, part, "poles").net(case.net(past.net));
    d = through.iter().fold(d, |d, name| d.part(name));
    d = d.when(When::SwitchOff { switch: part.name.clone(), reversed });
    if let Some(t) = over {
        let limit = touch::limits(touch::LimitsIn::Normal).current_rms;
        d = d.value(Compared::TouchCurrentRms, t.current_rms, "A").limit(limit.value, &limit.source);
    } else {
        d = d.source(&rules::switch_means_dead());
    }
    d.states(Said::OffNotDead(OffNotDead {
        switch: part.name.clone(),
        through,
        outlet: past.outlet.map(|k| case.jig.outlets[k].name.clone()),
        net: case.net(past.net).to_string(),
        current: drawn.map(|t| Amount::new(t.current_rms, "A")),
    }))
}

/// What a hand draws from the terminal, nothing plugged in.
fn drawn(case: &Case, past: &Past, reversed: bool) -> Option<TouchWorst> {
    let context = SurveyContext::new(case.jig, &case.survey.model, Depth::Steady);
    let orientation = match case.nets().live()? {
        Live::Both => Orientation::BothLive,
        Live::Either if reversed => Orientation::Reversed,
        Live::Either | Live::Line => Orientation::AsWired,
    };
    let at = |part: usize| if part == past.switch { past.off } else { 0 };
    let open = |o: &crate::jig::Outlet| o.loads.iter().position(|l| l.kind == LoadKind::Open).unwrap_or(usize::MAX);
    let condition = Condition {
        level: Level::High,
        orientation,
        switches: switch_parts(case.jig).into_iter().map(at).collect(),
        loads: case.jig.outlets.iter().map(open).collect(),
        faults: vec![],
        corner: vec![],
        moment: Moment::Steady,
    };
    // What is not solved here is told as what the wiring shows.
    hand_on(&context, &condition, past.net).ok()
}

//! What stays live behind a switch that is off, through a lamp or a capacitor across its contact.

use super::across_contact::{Past, past_switches};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LivePast, OffNotDead};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::{LoadKind, NET_N, PartKind};
use crate::nets::Live;
use crate::part::Switch;
use crate::standard::{Level, rules, touch};
use crate::survey::condition::{Condition, Moment, Orientation};
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::records::TouchWorst;
use crate::survey::replay::hand_on;
use crate::survey::settings::{off_positions, switch_parts};

pub(super) const CHECK: Check = Check {
    id: CheckId::OffNotDead,
    judges: &[of("switch", &["coil"], &[At::Use])],
    about: About {
        looks_at: "a switch that is off while a glow lamp, an LED or a capacitor leads past its open contact: to an outlet, or to everything behind the main switch; a relay or contactor that holds itself while no switch releases it",
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
    out.extend(case.jig.parts.iter().enumerate().filter_map(|(k, _)| holds(case, k)));
}

/// A relay whose own contact feeds its coil while no switch releases it.
fn holds(case: &Case, relay: usize) -> Option<Draft> {
    let part = &case.jig.parts[relay];
    let PartKind::Switch(Switch { coil: Some(coil), .. }) = &part.kind else { return None };
    let nets = case.nets();
    let winding = nets.edges().iter().find(|e| e.name(case.jig) == *coil)?;
    let switches = switch_parts(case.jig);
    // Everything on, but for those that are named with a position.
    let fed = |off: &[(usize, usize)]| {
        let at = |part: &usize| off.iter().find(|(k, _)| k == part).map_or(0, |(_, position)| *position);
        let positions: Vec<usize> = switches.iter().map(at).collect();
        nets.is_fed(winding, &|e| !e.link.is_safety_capacitor() && nets.is_closed(e, &positions))
    };
    let off = |k: usize| {
        let PartKind::Switch(s) = &case.jig.parts[k].kind else { return vec![] };
        off_positions(&s.contacts)
    };
    let dropped = off(relay).first().map(|position| (relay, *position))?;
    let others: Vec<(usize, usize)> =
        switches.iter().filter(|k| **k != relay).flat_map(|k| off(*k).into_iter().map(|p| (*k, p))).collect();
    // Those without which it does not pull in, and whether any of them releases it again.
    let starts: Vec<&(usize, usize)> = others.iter().filter(|x| fed(&[dropped]) && !fed(&[dropped, **x])).collect();
    let released = others.iter().any(|x| !fed(&[*x]));
    if starts.is_empty() || released || !fed(&[]) {
        return None;
    }
    let names: Vec<String> = starts.iter().map(|(k, _)| case.jig.parts[*k].name.clone()).collect();
    let draft = case.about_part(CheckId::OffNotDead, Signal::Warning, part, "poles").part(coil);
    let draft = names.iter().fold(draft, |d, name| d.part(name)).source(&rules::switch_means_dead());
    let said = OffNotDead::Holds { relay: part.name.clone(), coil: coil.clone(), switches: names };
    Some(draft.states(Said::OffNotDead(said)))
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
    d.states(Said::OffNotDead(OffNotDead::Past(LivePast {
        switch: part.name.clone(),
        through,
        outlet: past.outlet.map(|k| case.jig.outlets[k].name.clone()),
        net: case.net(past.net).to_string(),
        current: drawn.map(|t| Amount::new(t.current_rms, "A")),
    })))
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

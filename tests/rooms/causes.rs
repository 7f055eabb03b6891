//! What stands under one change: for each rule by which one finding brings others a set that it joins, and a near twin that it
//! leaves apart. The findings are made by hand, without a jig: what is tried is the arrangement alone.
#![allow(clippy::unwrap_used)]

use crate::finding::said::{
    Amount, Bypassed, DeadShort, InsulationTooWeak, NoFuse, OpensInUse, OutletShock, Smoulder, SmoulderCure,
    Smouldering, TouchCurrent, TouchCurrentCure, TouchFault, Touching, WeakBarrier,
};
use crate::finding::{
    CheckId, CheckName, Circumstance, Compared, FilePlace, Finding, Ordinal, Said, Signal, Situation, actions,
};
use crate::nets::Live;

fn finding(check: CheckId, signal: Signal, remedy: &str, said: Said) -> Finding {
    let place = FilePlace { file: "made-by-hand.toml".into(), line: 1, column: 1 };
    Finding { remedy: remedy.into(), said, ..Finding::new(CheckName::Core(check), signal, place) }
}

/// With one fault, by its short name.
fn with_fault(mut f: Finding, fault: &str) -> Finding {
    f.situation = Some(Circumstance {
        kind: Situation::SingleFault,
        faults: vec![fault.into()],
        supply: Some("high"),
        plug: Some("as wired"),
        switches: Default::default(),
        loads: Default::default(),
        tolerances: Default::default(),
        moment: String::new(),
    });
    f
}

fn amperes(value: f64) -> Amount {
    Amount::new(value, "A")
}

fn touched(on: &str) -> Finding {
    let touching = Touching { on: on.into(), to: None, fault: TouchFault::None };
    let said = TouchCurrent {
        touching,
        volts: Amount::new(126.0, "V"),
        quantity: Compared::TouchCurrentRms,
        current: amperes(0.04),
        limit: amperes(0.0035),
        cure: TouchCurrentCure::BondOrFuse,
    };
    let mut f = finding(CheckId::TouchCurrent, Signal::Danger, "keep it off the mains", Said::TouchCurrent(said));
    f.touchables = vec![on.into()];
    f
}

/// The changes, and how many findings stand under each.
fn arranged(findings: &[Finding]) -> Vec<(String, usize)> {
    actions(findings).into_iter().map(|a| (a.change, a.findings.len())).collect()
}

fn joined(feeds: &[&str]) -> Finding {
    let said = Bypassed::Windings {
        part: "T1".into(),
        nets: vec!["S1".into(), "N2".into()],
        at: "N2".into(),
        by: vec![],
        feeds: feeds.iter().map(|f| f.to_string()).collect(),
    };
    finding(CheckId::Bypassed, Signal::Warning, "take the secondary of T1 off N2", Said::Bypassed(said))
}

#[test]
fn what_hangs_on_a_joined_secondary_stands_under_it() {
    let brings = [joined(&["plus", "minus"]), touched("plus"), touched("minus")];
    assert_eq!(arranged(&brings), [("take the secondary of T1 off N2".into(), 3)]);
    // A thing that it does not feed is live by something else.
    let apart = [joined(&["plus"]), touched("plus"), touched("box")];
    let told = arranged(&apart);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.contains(&("take the secondary of T1 off N2".into(), 2)), "{told:?}");
}

fn weak() -> Finding {
    let barrier = WeakBarrier { part: "T1".into(), touchable: "plus".into() };
    let said = Said::InsulationTooWeak(InsulationTooWeak::Barrier(barrier));
    let mut f = finding(CheckId::InsulationTooWeak, Signal::Warning, "use a safety transformer for T1", said);
    f.touchables = vec!["plus".into()];
    f
}

fn shock(fault: &str) -> Finding {
    let said = OutletShock::FirstTouch {
        outlet: "OUT".into(),
        kind: Situation::SingleFault,
        current: amperes(0.06),
        limit: amperes(0.0035),
    };
    let f = finding(CheckId::OutletShock, Signal::Warning, "do not touch OUT", Said::OutletShock(said));
    with_fault(f, fault)
}

#[test]
fn a_weak_transformer_brings_what_comes_through_it() {
    let broken = "windings-T1.primary-T1.secondary-L2-S2";
    let brings = [weak(), with_fault(touched("plus"), broken), shock(broken)];
    assert_eq!(arranged(&brings), [("use a safety transformer for T1".into(), 3)]);
    // A shock by the failure of another part, and one without any fault, are something else.
    assert_eq!(arranged(&[weak(), shock("R1-short")]).len(), 2);
    let mut at_once = touched("plus");
    at_once.situation = None;
    at_once.touchables = vec!["minus".into()];
    assert_eq!(arranged(&[weak(), at_once]).len(), 2);
}

fn no_fuse() -> Finding {
    let said = NoFuse { pins: vec!["L".into()], through: vec!["SW1".into()], live: Live::Line };
    finding(CheckId::NoFuse, Signal::Warning, "put a fuse into the wire from L", Said::NoFuse(said))
}

fn burns(cure: SmoulderCure, fault: &str) -> Finding {
    let said = Smoulder {
        item: "T1".into(),
        at: Ordinal::default(),
        value: amperes(4.85),
        limit: amperes(0.5),
        fuse: None,
        ends: None,
        fate: Smouldering::Burns,
        cure,
    };
    with_fault(finding(CheckId::Smoulder, Signal::Warning, "use a smaller fuse", Said::Smoulder(said)), fault)
}

#[test]
fn what_burns_for_want_of_a_fuse_stands_under_it() {
    let wants = || SmoulderCure::FuseAt { value: amperes(4.85), part: "T1".into() };
    let told = arranged(&[no_fuse(), burns(wants(), "T1.secondary-short")]);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].0.starts_with("put a fuse into the wire from L; if it is not sure to open at 4.85 A"), "{told:?}");
    // Where a fuse in its path is too large, a further one does not cure it.
    let other = SmoulderCure::SmallerFuse { fuse: "F3".into(), part: "BR1".into() };
    assert_eq!(arranged(&[no_fuse(), burns(other, "R1-short")]).len(), 2);
    // And without the finding that none is there it is a finding of its own.
    assert_eq!(arranged(&[burns(wants(), "T1.secondary-short")]).len(), 1);
    assert!(!arranged(&[burns(wants(), "T1.secondary-short")])[0].0.contains("into the wire from L"));
}

fn opens(short: bool) -> Finding {
    let said = OpensInUse {
        device: "F1".into(),
        also: vec![],
        current: amperes(126.0),
        within: Amount::new(0.3, "s"),
        drawn_by: vec!["T1".into()],
        residual: false,
        short,
        swapped: None,
        cure: None,
    };
    finding(CheckId::OpensInUse, Signal::Warning, "correct T1", Said::OpensInUse(said))
}

#[test]
fn what_stops_the_tool_is_told_before_what_was_found_in_it_meanwhile() {
    assert_eq!(arranged(&[touched("plus"), opens(true)])[0].0, "correct T1");
    let poles = Said::DeadShort(DeadShort::Poles { through: vec!["W1".into()] });
    let dead = finding(CheckId::DeadShort, Signal::Warning, "take W1 out", poles);
    assert_eq!(arranged(&[touched("plus"), dead])[0].0, "take W1 out");
    // A fuse that is merely too small leaves the rest as it is: what kills comes first.
    assert_eq!(arranged(&[touched("plus"), opens(false)])[1].0, "correct T1");
}

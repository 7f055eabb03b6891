//! What a plugin asks about the wiring: names to nets, switches and links, and the question put to the nets. Plain data in
//! and out; knows no Lua.

use super::subject::Subject;
use crate::jig::{Jig, NetId, PartKind};
use crate::nets::{Divider, Edge, Groups, MOST_DIVIDED, NetSet, Nets, Owner};
use crate::{quantity, standard};

/// The word for what is plugged into an outlet, beside those of the kinds of part.
const OUTLET: &str = "outlet";

/// Kinds that join two nets as good as a wire: what a walk goes through where nothing is said.
const JOINING: [&str; 4] = ["wire", "fuse", "thermal-fuse", "switch"];

/// What may be walked through.
fn links() -> Vec<&'static str> {
    crate::jig::kinds().chain([OUTLET]).collect()
}

/// What a walk goes through.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) enum Through {
    /// What joins as good as a wire.
    #[default]
    Joining,
    /// Whatever joins two nets.
    Anything,
    /// These kinds.
    Kinds(Vec<String>),
}

/// Where a walk starts, what it goes through and where it ends, by the names of the file.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct ReachWish {
    /// Nets it starts from.
    pub from: Vec<String>,
    /// What it goes through.
    pub through: Through,
    /// Nets it reaches and does not go on from.
    pub stop_at: Vec<String>,
    /// Switch and position; every contact counts as closed where nothing is said.
    pub switches: Option<Vec<(String, String)>>,
    /// Parts and outlets it does not go through.
    pub except: Vec<String>,
}

/// The net of a name.
///
/// # Errors
/// There is none, with the nearest name.
pub(crate) fn net(subject: &Subject, name: &str) -> Result<NetId, String> {
    subject.net(name).ok_or_else(|| {
        let near = standard::near(name, subject.jig.nets.iter().map(|net| net.name.as_str()));
        format!("this jig has no net {}{near}", quantity::quote(name))
    })
}

/// Position of every switch, in the order of the file: as named, on (or the first) where nothing is said.
///
/// # Errors
/// A switch or a position is not there.
pub(crate) fn positions(jig: &Jig, named: &[(String, String)]) -> Result<Vec<usize>, String> {
    let switches: Vec<_> = jig
        .parts
        .iter()
        .filter_map(|part| if let PartKind::Switch(switch) = &part.kind { Some((&part.name, switch)) } else { None })
        .collect();
    let mut positions = vec![0; switches.len()];
    for (name, position) in named {
        let found = switches.iter().position(|(switch, _)| *switch == name);
        let Some(at) = found else {
            let near = standard::near(name, switches.iter().map(|(switch, _)| switch.as_str()));
            return Err(format!("this jig has no switch {name}{near}"));
        };
        let known = switches[at].1.contacts.positions();
        let place = known.iter().position(|word| word == position);
        positions[at] =
            place.ok_or_else(|| format!("{name} has no position {position}; it has {}", known.join(", ")))?;
    }
    Ok(positions)
}

/// Nets that wires, fuses and switch contacts join, the switches standing as named.
///
/// # Errors
/// As [`positions`].
pub(crate) fn joined(subject: &Subject, switches: &[(String, String)]) -> Result<Groups, String> {
    let nets = &subject.survey.model.nets;
    let positions = positions(&subject.jig, switches)?;
    Ok(nets.groups(&|edge| edge.is_hard() && nets.is_closed(edge, &positions)))
}

/// The nets a walk reaches.
///
/// # Errors
/// A net, kind, switch or position is not there.
pub(crate) fn reach(subject: &Subject, wish: &ReachWish) -> Result<NetSet, String> {
    let (jig, nets) = (&subject.jig, &subject.survey.model.nets);
    let through: Vec<&str> = match &wish.through {
        Through::Joining => JOINING.to_vec(),
        Through::Anything => links(),
        Through::Kinds(named) => named.iter().map(|word| link(word)).collect::<Result<_, _>>()?,
    };
    let from = wish.from.iter().map(|name| net(subject, name)).collect::<Result<Vec<_>, _>>()?;
    let mut stop_at = NetSet::none(nets.count());
    for name in &wish.stop_at {
        stop_at.insert(net(subject, name)?);
    }
    let positions = wish.switches.as_ref().map(|named| positions(jig, named)).transpose()?;
    let except = wish.except.iter().map(|name| owner(subject, name)).collect::<Result<Vec<_>, _>>()?;
    let closed = |edge: &Edge| positions.as_ref().is_none_or(|at| nets.is_closed(edge, at));
    let pass = |edge: &Edge| through.contains(&word(jig, edge)) && closed(edge) && !except.contains(&edge.owner);
    Ok(nets.walk(&from, &pass).ending_at(&stop_at).reached())
}

/// The part or outlet of a name.
fn owner(subject: &Subject, name: &str) -> Result<Owner, String> {
    let jig = &subject.jig;
    let outlet = || jig.outlets.iter().position(|o| o.name == name).map(Owner::Outlet);
    subject.part(name).map(Owner::Part).or_else(outlet).ok_or_else(|| {
        let known = jig.parts.iter().map(|p| p.name.as_str()).chain(jig.outlets.iter().map(|o| o.name.as_str()));
        let near = standard::near(name, known);
        format!("this jig has no part or outlet {}{near}", quantity::quote(name))
    })
}

fn link(word: &str) -> Result<&'static str, String> {
    let known = links();
    known.iter().find(|link| **link == word).copied().ok_or_else(|| {
        let near = standard::near(word, known.iter().copied());
        format!(
            "nothing is called {} that a walk goes through{near}; there is {}",
            quantity::quote(word),
            known.join(", ")
        )
    })
}

/// What the file calls the owner of an edge.
fn word(jig: &Jig, edge: &Edge) -> &'static str {
    match edge.owner {
        Owner::Part(part) => jig.parts[part].kind.word(),
        Owner::Outlet(_) => OUTLET,
    }
}

/// One volt between two nets, divided by the resistances there are, the switches standing as named.
///
/// # Errors
/// The two nets are one, too many hang together, or as [`positions`].
pub(crate) fn divider(subject: &Subject, ends: [NetId; 2], switches: &[(String, String)]) -> Result<Divider, String> {
    if ends[0] == ends[1] {
        return Err("the divider is asked for between one net and itself".into());
    }
    let nets: &Nets = &subject.survey.model.nets;
    let divided = nets.divider(ends, &positions(&subject.jig, switches)?);
    divided.ok_or_else(|| format!("more than {MOST_DIVIDED} nets hang together there: too many to divide volts over"))
}

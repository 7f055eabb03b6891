//! What a plugin is about: a jig and everything the core has worked out of it. Plain data; knows no Lua.

use crate::finding::{Judgement, Stress, Touch};
use crate::jig::{Jig, NetId};
use crate::survey::Survey;
use std::collections::HashMap;

/// A jig with everything the core knows of it.
#[derive(Debug)]
pub(crate) struct Subject {
    /// The jig.
    pub jig: Jig,
    /// Its survey.
    pub survey: Survey,
    /// Worst stresses.
    pub stresses: Vec<Stress>,
    /// Worst touch values.
    pub touch: Vec<Touch>,
    /// Parts, nets and rows of `stresses` by name: plugins ask for each of hundreds.
    parts: HashMap<String, usize>,
    nets: HashMap<String, NetId>,
    rows: HashMap<String, Vec<usize>>,
}

impl Subject {
    /// From what a check has worked out.
    pub(crate) fn new(jig: Jig, survey: Survey, judgement: &Judgement) -> Subject {
        let Judgement { stresses, touch, .. } = judgement;
        let (stresses, touch) = (stresses.clone(), touch.clone());
        let parts = jig.parts.iter().enumerate().map(|(k, p)| (p.name.clone(), k)).collect();
        let nets = jig.nets.iter().enumerate().map(|(k, n)| (n.name.clone(), k)).collect();
        let mut rows: HashMap<String, Vec<usize>> = HashMap::new();
        for (k, s) in stresses.iter().enumerate() {
            rows.entry(s.part.clone()).or_default().push(k);
        }
        Subject { jig, survey, stresses, touch, parts, nets, rows }
    }

    /// A net by its name.
    pub(crate) fn net(&self, name: &str) -> Option<NetId> {
        self.nets.get(name).copied()
    }

    /// A part by its name.
    pub(crate) fn part(&self, name: &str) -> Option<usize> {
        self.parts.get(name).copied()
    }

    /// Worst stresses of a part, a winding or an outlet, each with its place among all; nothing where that name has none.
    pub(crate) fn stresses_of(&self, name: &str) -> Option<impl Iterator<Item = (usize, &Stress)>> {
        self.rows.get(name).map(|rows| rows.iter().map(|k| (*k, &self.stresses[*k])))
    }
}

//! What a check works with: the jig, its survey, what is known of its nets, and a short way to word a finding.

use crate::finding::{CheckId, FilePlace, Finding, Kind, Quantity, Signal};
use crate::jig::{Jig, Material, NetId, Part, Place};
use crate::standard::{self, Limit};
use crate::survey::Survey;
use crate::survey::faults::mains_nets;
use crate::survey::ledger::{Ordinal, Outcome};

use super::Proposal;

/// A jig with everything known about it.
pub struct Case<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Its survey.
    pub survey: &'a Survey,
    /// Nets conductively joined to the mains in some switch position.
    pub mains: Vec<NetId>,
}

/// A value the survey found.
#[derive(Debug, Clone)]
pub struct Seen {
    /// The value.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Where.
    pub at: Ordinal,
    /// The condition in words.
    pub condition: String,
    /// Kind of condition.
    pub kind: Kind,
}

impl<'a> Case<'a> {
    /// Sets a case up.
    pub fn new(jig: &'a Jig, survey: &'a Survey) -> Case<'a> {
        Case { jig, survey, mains: mains_nets(jig) }
    }

    /// Watts turned to heat in the box in normal condition, as the checks of the solved circuit count them.
    pub fn watts(&self) -> f64 {
        super::solved::box_watts(self)
    }

    /// Temperature of the air inside the box, °C: the highest ordinary ambient and the rise from the box's own watts. An
    /// open tool, or a box of unknown size, counts as ambient.
    pub fn inside_temperature(&self) -> f64 {
        let ambient = standard::bench::ambient().value;
        match (self.jig.enclosure.size, self.jig.enclosure.material) {
            (_, Some(Material::Open)) | (None, _) => ambient,
            (Some(size), _) => ambient + standard::bench::inside_rise(self.watts(), size).value,
        }
    }

    /// Name of a net.
    pub fn net(&self, n: NetId) -> &str {
        self.jig.nets.get(n).map_or("?", |n| n.name.as_str())
    }

    /// Whether a net is conductively joined to the mains.
    pub fn is_mains(&self, n: NetId) -> bool {
        self.mains.contains(&n)
    }

    /// Items (rows of stresses) of a part, by index of the part.
    pub fn items_of(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.survey.model.items.len()).filter(move |&k| self.survey.model.items[k].part == part)
    }

    /// Worst value of a quantity of an item in a kind of condition.
    pub fn worst(&self, item: usize, quantity: Quantity, kind: Kind) -> Option<Seen> {
        let w = self.survey.ledger.get(item, quantity, kind)?;
        Some(Seen {
            value: w.value,
            unit: quantity.unit(),
            at: w.at,
            condition: self.survey.words(self.jig, w.at),
            kind,
        })
    }

    /// Value at nominal supply and values, no fault, first load, switches on.
    pub fn nominal(&self, item: usize, quantity: Quantity) -> Option<f64> {
        Some(self.survey.ledger.nominal.get(item)?.as_ref()?[quantity])
    }

    /// How the condition of a value ended.
    pub fn outcome(&self, at: Ordinal) -> Option<&Outcome> {
        self.survey.ledger.tried_at(at).map(|t| &t.outcome)
    }

    /// A protective device within a sentence: "F1", "the branch breaker".
    pub fn device(&self, name: &str) -> String {
        let found = self.survey.model.protectors.iter().find(|p| p.name == name);
        found.map_or_else(|| name.to_string(), crate::survey::model::Protector::in_a_sentence)
    }

    /// A place of the jig file.
    pub fn place(&self, p: Place) -> FilePlace {
        FilePlace { file: self.jig.file.clone(), line: p.line, column: p.column }
    }

    /// A finding about one part, placed at one of its keys (or its header).
    pub fn about_part(&self, check: CheckId, signal: Signal, part: &Part, key: &str) -> Draft {
        Draft(Finding { parts: vec![part.name.clone()], ..self.blank(check, signal, part.place_of(key)) }, vec![])
    }

    /// A finding placed at a key of `[jig]`, `[supply]` or `[enclosure]`, e.g. `supply.plug` (or at their header).
    pub fn about_key(&self, check: CheckId, signal: Signal, key: &str) -> Draft {
        let head = key.split('.').next().unwrap_or("jig");
        let place = self.jig.places.get(key).or_else(|| self.jig.places.get(head)).copied().unwrap_or_default();
        Draft(self.blank(check, signal, place), vec![])
    }

    /// A finding at any place.
    pub fn at(&self, check: CheckId, signal: Signal, place: Place) -> Draft {
        Draft(self.blank(check, signal, place), vec![])
    }

    fn blank(&self, check: CheckId, signal: Signal, place: Place) -> Finding {
        // A file always has a first character to point at.
        let place = if place.line == 0 { Place { line: 1, column: 1 } } else { place };
        Finding {
            check: check.into(),
            signal,
            source_of_check: "core".into(),
            parts: vec![],
            nets: vec![],
            touchables: vec![],
            condition: String::new(),
            quantity: String::new(),
            value: None,
            unit: String::new(),
            limit: None,
            margin: None,
            source: String::new(),
            message: String::new(),
            remedy: String::new(),
            place: self.place(place),
            accepted: None,
        }
    }
}

/// A finding being written, with what may cure it, the preferred first.
#[derive(Debug, Clone)]
pub struct Draft(pub Finding, pub Vec<Proposal>);

impl Draft {
    /// What may cure it, the preferred first.
    pub fn proposes(mut self, proposals: Vec<Proposal>) -> Draft {
        self.1.extend(proposals);
        self
    }

    /// Parts it is also about.
    pub fn part(mut self, name: &str) -> Draft {
        if !self.0.parts.iter().any(|p| p == name) {
            self.0.parts.push(name.to_string());
        }
        self
    }

    /// Nets it is about.
    pub fn net(mut self, name: &str) -> Draft {
        if !self.0.nets.iter().any(|p| p == name) {
            self.0.nets.push(name.to_string());
        }
        self
    }

    /// Touchables it is about.
    pub fn touchable(mut self, name: &str) -> Draft {
        if !self.0.touchables.iter().any(|p| p == name) {
            self.0.touchables.push(name.to_string());
        }
        self
    }

    /// What was compared, its value and condition, and the limit with its source.
    pub fn over(mut self, quantity: &str, seen: &Seen, limit: &Limit) -> Draft {
        self = self.value(quantity, seen.value, seen.unit);
        self.0.condition.clone_from(&seen.condition);
        self.limit(limit.value, &limit.source)
    }

    /// A value without a condition.
    pub fn value(mut self, quantity: &str, value: f64, unit: &str) -> Draft {
        self.0.quantity = quantity.to_string();
        self.0.value = Some(value);
        self.0.unit = unit.to_string();
        self
    }

    /// The limit the value is compared with, and its source.
    pub fn limit(mut self, limit: f64, source: &str) -> Draft {
        self.0.limit = Some(limit);
        self.0.margin = self.0.value.filter(|v| *v != 0.0).map(|v| limit / v);
        self.source(source)
    }

    /// Where the rule is published.
    pub fn source(mut self, source: &str) -> Draft {
        self.0.source = source.to_string();
        self
    }

    /// The worst condition.
    pub fn condition(mut self, words: &str) -> Draft {
        self.0.condition = words.to_string();
        self
    }

    /// What it means, one sentence, and what to change.
    pub fn says(mut self, message: impl Into<String>, remedy: impl Into<String>) -> Draft {
        self.0.message = message.into();
        self.0.remedy = remedy.into();
        self
    }
}

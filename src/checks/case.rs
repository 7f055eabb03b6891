//! What a check works with: the jig, its survey, what is known of its nets, and a short way to word a finding.

use crate::finding::said::Amount;
use crate::finding::{CheckId, Compared, FilePlace, Finding, Ordinal, Quantity, Said, Signal, Situation, Under, When};
use crate::jig::{Jig, NetId, Part, Place};
use crate::nets::Nets;
use crate::standard::shell::Shell;
use crate::standard::{self, Limit};
use crate::survey::Survey;
use crate::survey::ledger::Outcome;
use crate::wording::{self, Known};

use super::Proposal;

/// A jig with everything known about it.
pub(crate) struct Case<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Its survey.
    pub survey: &'a Survey,
}

/// A value the survey found.
#[derive(Debug, Clone)]
pub(crate) struct Seen {
    /// The value.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// The condition it was found in.
    pub at: Ordinal,
    /// Situation of condition.
    pub kind: Situation,
}

impl Seen {
    /// The value with its unit.
    pub(crate) fn amount(&self) -> Amount {
        Amount::new(self.value, self.unit)
    }

    /// The sort of condition it was found in.
    pub(crate) fn under(&self) -> Under {
        match self.kind {
            Situation::Normal => Under::NormalUse,
            Situation::SingleFault | Situation::Transient => Under::OneFault(self.at),
        }
    }
}

impl<'a> Case<'a> {
    /// Sets a case up.
    pub(crate) fn new(jig: &'a Jig, survey: &'a Survey) -> Case<'a> {
        Case { jig, survey }
    }

    /// Watts turned to heat in the box, all of one condition.
    pub(crate) fn watts(&self, kind: Situation) -> f64 {
        self.survey.ledger.lasting.heat[kind].get().map_or(0.0, |h| h.worst.value)
    }

    /// A box of known size that keeps heat in: [`Enclosure::shell`](crate::jig::Enclosure::shell).
    pub(crate) fn shell(&self, bare: bool) -> Option<Shell> {
        self.jig.enclosure.shell(bare)
    }

    /// Temperature of the air inside the box in normal use, °C: the highest ordinary ambient and the rise from the box's
    /// own watts. An open tool, or a box of unknown size, counts as ambient.
    pub(crate) fn inside_temperature(&self) -> f64 {
        let rise = self.shell(false).map_or(0.0, |shell| shell.inside_rise(self.watts(Situation::Normal)).value);
        standard::bench::ambient().value + rise
    }

    /// Name of a net.
    pub(crate) fn net(&self, n: NetId) -> &str {
        self.jig.nets.get(n).map_or("?", |n| n.name.as_str())
    }

    /// Whether a net is conductively joined to the mains.
    pub(crate) fn is_mains(&self, n: NetId) -> bool {
        self.nets().on_mains().has(n)
    }

    /// Its nets and what joins them.
    pub(crate) fn nets(&self) -> &'a Nets {
        &self.survey.model.nets
    }

    /// Items (rows of stresses) of a part, by index of the part.
    pub(crate) fn items_of(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.survey.model.items.len()).filter(move |&k| self.survey.model.items[k].part == part)
    }

    /// Worst value of a quantity of an item in a kind of condition.
    pub(crate) fn worst(&self, item: usize, quantity: Quantity, kind: Situation) -> Option<Seen> {
        let w = self.survey.ledger.get(item, quantity, kind)?;
        Some(Seen { value: w.value, unit: quantity.unit(), at: w.at, kind })
    }

    /// Value at nominal supply and values, no fault, first load, switches on.
    pub(crate) fn nominal(&self, item: usize, quantity: Quantity) -> Option<f64> {
        Some(self.survey.ledger.nominal.get(item)?.as_ref()?[quantity])
    }

    /// How the condition of a value ended.
    pub(crate) fn outcome(&self, at: Ordinal) -> Option<&Outcome> {
        self.survey.ledger.tried_at(at).map(|t| &t.outcome)
    }

    /// What the words of a finding are taken from.
    pub(crate) fn known(&self) -> Known<'a> {
        Known { jig: self.jig, survey: self.survey }
    }

    /// A place of the jig file.
    pub(crate) fn place(&self, p: Place) -> FilePlace {
        FilePlace { file: self.jig.file.clone(), line: p.line, column: p.column }
    }

    /// A finding about one part, placed at one of its keys (or its header).
    pub(crate) fn about_part(&self, check: CheckId, signal: Signal, part: &Part, key: &str) -> Draft {
        Draft::new(Finding { parts: vec![part.name.clone()], ..self.blank(check, signal, part.place_of(key)) })
    }

    /// A finding placed at a key of `[jig]`, `[supply]` or `[enclosure]`, e.g. `supply.plug` (or at their header).
    pub(crate) fn about_key(&self, check: CheckId, signal: Signal, key: &str) -> Draft {
        let head = key.split('.').next().unwrap_or("jig");
        let place = self.jig.places.get(key).or_else(|| self.jig.places.get(head)).copied().unwrap_or_default();
        Draft::new(self.blank(check, signal, place))
    }

    /// A finding at any place.
    pub(crate) fn at(&self, check: CheckId, signal: Signal, place: Place) -> Draft {
        Draft::new(self.blank(check, signal, place))
    }

    fn blank(&self, check: CheckId, signal: Signal, place: Place) -> Finding {
        // A file always has a first character to point at.
        let place = if place.line == 0 { Place { line: 1, column: 1 } } else { place };
        Finding::new(check, signal, self.place(place))
    }
}

/// A finding being written, with what may cure it, the preferred first.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    /// The finding. It is put into words last.
    pub finding: Finding,
    /// What may cure it.
    pub proposals: Vec<Proposal>,
}

impl Draft {
    fn new(finding: Finding) -> Draft {
        Draft { finding, proposals: vec![] }
    }

    /// The condition it was found in.
    pub(crate) fn found_in(mut self, at: Ordinal) -> Draft {
        self.finding.when = When::Tried(at);
        self
    }

    /// The condition it holds in, where that is none of those tried.
    pub(crate) fn when(mut self, when: When) -> Draft {
        self.finding.when = when;
        self
    }

    /// Puts it into words.
    pub(crate) fn worded(mut self, known: &Known) -> Draft {
        wording::finding::put(known, &mut self.finding);
        self
    }

    /// What may cure it, the preferred first.
    pub(crate) fn proposes(mut self, proposals: Vec<Proposal>) -> Draft {
        self.proposals.extend(proposals);
        self
    }

    /// Parts it is also about.
    pub(crate) fn part(mut self, name: &str) -> Draft {
        if !self.finding.parts.iter().any(|p| p == name) {
            self.finding.parts.push(name.to_string());
        }
        self
    }

    /// Nets it is about.
    pub(crate) fn net(mut self, name: &str) -> Draft {
        if !self.finding.nets.iter().any(|p| p == name) {
            self.finding.nets.push(name.to_string());
        }
        self
    }

    /// Touchables it is about.
    pub(crate) fn touchable(mut self, name: &str) -> Draft {
        if !self.finding.touchables.iter().any(|p| p == name) {
            self.finding.touchables.push(name.to_string());
        }
        self
    }

    /// What was compared, its value and condition, and the limit with its source.
    pub(crate) fn over(mut self, quantity: impl Into<Compared>, seen: &Seen, limit: &Limit) -> Draft {
        self = self.value(quantity, seen.value, seen.unit);
        self.finding.when = When::Tried(seen.at);
        self.limit(limit.value, &limit.source)
    }

    /// A value without a condition.
    pub(crate) fn value(mut self, quantity: impl Into<Compared>, value: f64, unit: &str) -> Draft {
        self.finding.quantity = quantity.into();
        self.finding.value = Some(value);
        self.finding.unit = unit.to_string();
        self
    }

    /// The limit the value is compared with, and its source.
    pub(crate) fn limit(mut self, limit: f64, source: &str) -> Draft {
        self.finding.limit = Some(limit);
        // Below one is outside the limit, whichever side of it that is.
        let pair = [self.finding.value, self.finding.limit];
        let [value, limit] = if self.finding.quantity.is_at_least() { [pair[1], pair[0]] } else { pair };
        self.finding.margin = Finding::margin_of(value, limit);
        self.source(source)
    }

    /// Where the rule is published.
    pub(crate) fn source(mut self, source: &str) -> Draft {
        self.finding.source = source.to_string();
        self
    }

    /// What it states, as facts.
    pub(crate) fn states(mut self, said: Said) -> Draft {
        self.finding.said = said;
        self
    }
}

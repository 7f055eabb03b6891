//! Reads the contents of one key by what the description says it holds. Must not know what a kind of part means.

use toml::Spanned;
use toml::de::DeValue;

use super::bounds::{LONGEST_TEXT, MOST_OF_A_PART};
use super::walk::{Walk, type_name};
use super::words;
use crate::format::{COLOUR_JOINTS, COLOURS, Holds, Key};
use crate::format::{Row, Value};
use crate::quantity::{Kind, Range, hidden, parse_in, quote};

pub(super) type Node<'t> = Spanned<DeValue<'t>>;

impl<'t> Walk<'t, '_> {
    /// The contents of a key, or `None` after an error.
    pub(crate) fn value(&mut self, key: &'static str, holds: Holds, node: &Node<'t>) -> Option<Value> {
        match holds {
            Holds::Quantity(kind, range) => self.quantity(key, kind, range, node).map(Value::Number),
            Holds::Text => self.words(key, node).map(Value::Text),
            Holds::Word(known) => self.word(key, known, node).map(Value::Word),
            Holds::Colour => self.colour(key, node).map(Value::Text),
            Holds::Flag => self.flag(key, node),
            Holds::Count(least, most) => self.count(key, least, most, node),
            Holds::Share => self.share(key, node),
            Holds::Net => self.net(node).map(Value::Net),
            Holds::Ends => self.ends(key, node).map(|ends| Value::Pairs(vec![ends])),
            Holds::Poles => self.pairs(key, node, true).map(Value::Pairs),
            Holds::Nets => self.nets(key, node),
            Holds::Positions => self.positions(key, node),
            Holds::Date => self.date(key, node),
            Holds::Table(keys) => {
                let table = self.inner(key, holds, node)?;
                Some(Value::Rows(vec![self.keys(key, self.place(node.span().start), table, keys, &[])]))
            }
            Holds::Tables(keys) => {
                let nodes = match node.get_ref() {
                    DeValue::Array(list) if !list.is_empty() => list.iter().collect(),
                    _ => vec![node],
                };
                self.few(key, &nodes, MOST_OF_A_PART)?;
                let rows: Option<Vec<Row>> = nodes
                    .into_iter()
                    .map(|one| {
                        let table = self.inner(key, holds, one)?;
                        Some(self.keys(key, self.place(one.span().start), table, keys, &[]))
                    })
                    .collect();
                rows.map(Value::Rows)
            }
            Holds::Loads => self.loads(key, node),
            Holds::Sides => self.sides(key, node),
            Holds::Size => self.size(key, node),
            Holds::Residual => match node.get_ref().as_str() {
                Some("none") => Some(Value::Residual(None)),
                _ => self.quantity(key, Kind::Current, Range::Positive, node).map(|n| Value::Residual(Some(n))),
            },
        }
    }

    /// `None` where a list is longer than so many, which is told at the first one too many.
    pub(super) fn few(&mut self, key: &str, list: &[&Node<'t>], most: usize) -> Option<()> {
        let Some(beyond) = list.get(most) else { return Some(()) };
        self.mistaken(beyond, format!("{key} has {} entries", list.len()), format!("it may have at most {most}"));
        None
    }

    pub(super) fn mistaken(&mut self, node: &Node<'t>, message: impl Into<String>, help: impl Into<String>) {
        let place = self.place(node.span().start);
        self.errors.wrong(place, message, help);
    }

    pub(super) fn inner<'a>(
        &mut self,
        key: &'static str,
        holds: Holds,
        node: &'a Node<'t>,
    ) -> Option<&'a toml::de::DeTable<'t>> {
        let table = node.get_ref().as_table();
        if table.is_none() {
            let message = format!("{key} is {}, where a table is wanted", type_name(node.get_ref()));
            // The section is not known here: what is usual in any stands in the example.
            let example = Key { name: key, holds, needed: true, doc: "" }.example(key);
            self.mistaken(node, message, format!("write {example}"));
        }
        table
    }

    pub(super) fn quantity(&mut self, key: &str, kind: Kind, range: Range, node: &Node<'t>) -> Option<f64> {
        let bare = match node.get_ref() {
            DeValue::String(_) => None,
            DeValue::Integer(number) => Some(number.as_str()),
            DeValue::Float(number) => Some(number.as_str()),
            other => {
                let message = format!("{key} is {}, where {} is wanted", type_name(other), kind.name());
                self.mistaken(node, message, format!("write {key} = \"{}\"", kind.example()));
                return None;
            }
        };
        if let Some(number) = bare {
            // The whole text goes through the reader, so that nan, inf and -5 say what is wrong with them.
            let with_unit = format!("{number} {}", kind.units()[0]);
            let example = match parse_in(&with_unit, kind, range) {
                Ok(_) => with_unit,
                Err(_) => kind.example().to_string(),
            };
            let message = format!("{key} is a bare number, {}", quote(number).trim_matches('"'));
            self.mistaken(node, message, format!("write the unit too, in quotes, such as {key} = \"{example}\""));
            return None;
        }
        let text = node.get_ref().as_str().unwrap_or_default();
        match parse_in(text, kind, range) {
            Ok(share) if kind == Kind::Fraction && share >= 1.0 => {
                let message = format!("{} is the whole value or more", quote(text));
                self.mistaken(node, message, format!("write {key} below 100 %, such as \"5 %\""));
                None
            }
            Ok(value) => Some(value),
            Err(error) => {
                self.mistaken(node, error.message, error.help);
                None
            }
        }
    }

    pub(super) fn string<'a>(&mut self, key: &str, node: &'a Node<'t>) -> Option<&'a str> {
        let text = node.get_ref().as_str();
        if text.is_none() {
            let help = match node.get_ref() {
                DeValue::Datetime(date) => format!("write it in quotes: {key} = \"{date}\""),
                _ => format!("write {key} = \"…\""),
            };
            let message = format!("{key} is {}, where words in quotes are wanted", type_name(node.get_ref()));
            self.mistaken(node, message, help);
        }
        text
    }

    fn words(&mut self, key: &str, node: &Node<'t>) -> Option<String> {
        let text = self.string(key, node)?;
        if text.trim().is_empty() {
            self.mistaken(node, format!("{key} is empty"), "write something or remove the key");
            return None;
        }
        if text.chars().count() > LONGEST_TEXT {
            let help = format!("write it in at most {LONGEST_TEXT}");
            self.mistaken(node, format!("{key} has more than {LONGEST_TEXT} characters"), help);
            return None;
        }
        // Only a reason may run over several lines; everything else stands in tables and headings.
        let lines = key == "reason";
        if text.chars().any(|c| hidden(c) && !(lines && matches!(c, '\n' | '\r' | '\t'))) {
            self.mistaken(
                node,
                format!("{key} has a line break or another hidden character"),
                "write plain text on one line",
            );
            return None;
        }
        Some(text.to_string())
    }

    fn word(&mut self, key: &str, known: &'static [&'static str], node: &Node<'t>) -> Option<&'static str> {
        let Some(text) = node.get_ref().as_str() else {
            let message = format!("{key} is {}, where a word in quotes is wanted", type_name(node.get_ref()));
            self.mistaken(node, message, format!("write {key} = {}", words::one_of(known)));
            return None;
        };
        let found = known.iter().copied().find(|word| *word == text);
        if found.is_none() {
            self.mistaken(node, format!("{key} cannot be {}", quote(text)), words::help(text, known));
        }
        found
    }

    fn colour(&mut self, key: &str, node: &Node<'t>) -> Option<String> {
        let text = self.string(key, node)?;
        let parts = text.split([' ', '-', '/']).filter(|word| !word.is_empty());
        let known = |word: &str| COLOURS.contains(&word) || COLOUR_JOINTS.contains(&word);
        let mut colours = 0;
        for part in parts {
            if !known(part) {
                let help = match words::nearest(part, COLOURS.iter().copied()) {
                    Some(word) => format!("did you mean \"{word}\"?"),
                    None => "write plain English colours, such as \"brown\" or \"green-yellow\"".to_string(),
                };
                self.mistaken(node, format!("{} is no colour", quote(part)), help);
                return None;
            }
            colours += usize::from(COLOURS.contains(&part));
        }
        if colours == 0 {
            self.mistaken(
                node,
                format!("{} is no colour", quote(text)),
                "write a colour, such as \"brown\" or \"green-yellow\"",
            );
            return None;
        }
        Some(text.to_string())
    }

    fn flag(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let flag = node.get_ref().as_bool();
        if flag.is_none() {
            let message = format!("{key} is {}, where true or false is wanted", type_name(node.get_ref()));
            self.mistaken(node, message, format!("write {key} = true or {key} = false, without quotes"));
        }
        flag.map(Value::Flag)
    }

    fn count(&mut self, key: &str, least: u32, most: u32, node: &Node<'t>) -> Option<Value> {
        let number = match node.get_ref() {
            DeValue::Integer(number) => i64::from_str_radix(&number.as_str().replace('_', ""), number.radix()).ok(),
            other => {
                let message = format!("{key} is {}, where a whole number is wanted", type_name(other));
                self.mistaken(node, message, format!("write {key} = 2, without quotes"));
                return None;
            }
        };
        let fitting = number.and_then(|n| u32::try_from(n).ok()).filter(|n| (least..=most).contains(n));
        if fitting.is_none() {
            self.mistaken(
                node,
                format!("{key} is out of range"),
                format!("write a whole number from {least} to {most}"),
            );
        }
        fitting.map(Value::Count)
    }

    fn share(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let number = match node.get_ref() {
            DeValue::Float(number) => number.as_str().replace('_', "").parse::<f64>().ok(),
            DeValue::Integer(number) => number.as_str().parse::<f64>().ok(),
            other => {
                let message = format!("{key} is {}, where a plain number is wanted", type_name(other));
                self.mistaken(node, message, format!("write {key} = 0.9, without quotes"));
                return None;
            }
        };
        let fitting = number.filter(|n| *n > 0.0 && *n <= 1.0);
        if fitting.is_none() {
            self.mistaken(node, format!("{key} is out of range"), "write a number above 0 and up to 1");
        }
        fitting.map(Value::Number)
    }
}

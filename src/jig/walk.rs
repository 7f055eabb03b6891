//! Walks the TOML by the description in `format`: every key known, every value of its type, every net named.
//! Must not know what a kind of part means.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::LONGEST_NAME;
use super::error::InputErrors;
use super::model::{NetId, Place};
use super::nets::NetNames;
use super::sections::MAINS;
use super::source::Index;
use super::words;
use crate::format::Row;
use crate::format::{Choice, Key, Section};
use crate::quantity::{hidden, quote};

/// What is carried along while a file is read.
pub(crate) struct Walk<'t, 'f> {
    pub(crate) index: &'f Index<'t>,
    pub(crate) errors: &'f mut InputErrors,
    pub(crate) nets: NetNames,
}

/// A table's keys in file order.
pub(crate) fn in_order<'a, 't>(table: &'a DeTable<'t>) -> Vec<(&'a str, usize, &'a Spanned<DeValue<'t>>)> {
    let mut keys: Vec<_> = table.iter().map(|(key, value)| (key.get_ref().as_ref(), key.span().start, value)).collect();
    keys.sort_by_key(|(_, at, _)| *at);
    keys
}

/// "a string", "an array" and so on, for messages.
pub(crate) fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a string",
        DeValue::Integer(_) => "a bare whole number",
        DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a bare date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

impl<'t> Walk<'t, '_> {
    pub(crate) fn place(&self, offset: usize) -> Place {
        self.index.place(offset)
    }

    /// The table in a value, or an error.
    pub(crate) fn table<'a>(&mut self, what: &str, value: &'a Spanned<DeValue<'t>>) -> Option<&'a DeTable<'t>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            let place = self.place(value.span().start);
            let message = format!("{what} is {}, where a table is wanted", type_name(value.get_ref()));
            self.errors.wrong(place, message, format!("write [{what}] and its keys below"));
        }
        table
    }

    /// Reads the keys of a section. `also` are keys known besides those of the section (`kind`).
    pub(crate) fn row(
        &mut self,
        what: &str,
        place: Place,
        table: &DeTable<'t>,
        section: &Section,
        also: &[&str],
    ) -> Row {
        let row = self.keys(what, place, table, section.keys, also);
        if let Some(choice) = section.choice {
            self.choose(what, &row, choice);
        }
        row
    }

    pub(crate) fn keys(
        &mut self,
        what: &str,
        place: Place,
        table: &DeTable<'t>,
        keys: &'static [Key],
        also: &[&str],
    ) -> Row {
        let mut row = Row { place, ..Row::default() };
        for (name, at, value) in in_order(table) {
            let key_place = self.place(at);
            let content = self.place(value.span().start);
            if let Some(key) = keys.iter().find(|key| key.name == name) {
                row.places.insert(name.to_string(), key_place);
                row.contents.insert(name.to_string(), content);
                if let Some(value) = self.value(key.name, key.holds, value) {
                    row.values.insert(key.name, value);
                }
            } else if also.contains(&name) {
                row.places.insert(name.to_string(), key_place);
                row.contents.insert(name.to_string(), content);
            } else {
                let known: Vec<&str> = also.iter().copied().chain(keys.iter().map(|key| key.name)).collect();
                let help = match words::nearest(name, known.iter().copied()) {
                    Some(word) => format!("did you mean \"{word}\"?"),
                    None => format!("{what} knows {}", known.join(", ")),
                };
                self.errors.wrong(key_place, format!("{what} has no key {}", quote(name)), help);
            }
        }
        for key in keys.iter().filter(|key| key.needed && !row.has(key.name)) {
            // `what` is "capacitor C1" or "[supply]": the section is its first word.
            let section = what.split(' ').next().unwrap_or(what).trim_matches(['[', ']']);
            let help = format!("add {}: {}", key.example(section), lower_first(key.doc));
            self.errors.missing(place, format!("{what} has no {}", key.name), help);
        }
        row
    }

    fn choose(&mut self, what: &str, row: &Row, choice: Choice) {
        let groups = choice.groups;
        let named = |group: &[&str]| match group.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => group.join(""),
        };
        let begun: Vec<_> = groups.iter().filter(|group| group.iter().any(|key| row.has(key))).collect();
        if choice.exclusive && begun.len() > 1 {
            let late = begun[1..].iter().flat_map(|group| group.iter()).filter_map(|key| row.places.get(*key)).min();
            let place = late.copied().unwrap_or(row.place);
            let present: Vec<&str> =
                begun.iter().filter_map(|group| group.iter().find(|key| row.has(key))).copied().collect();
            self.errors.wrong(place, format!("{what} has both {}", present.join(" and ")), "keep one of them");
            return;
        }
        if groups.iter().any(|group| group.iter().all(|key| row.has(key))) {
            return;
        }
        if let Some(group) = begun.first() {
            let lacking: Vec<&str> = group.iter().copied().filter(|key| !row.has(key)).collect();
            self.errors.missing(
                row.place,
                format!("{what} has no {}", named(&lacking)),
                format!("{} go together", named(group)),
            );
        } else {
            let all: Vec<String> = groups.iter().map(|group| named(group)).collect();
            self.errors.missing(row.place, format!("{what} has no {}", all.join(", nor ")), "add one of them");
        }
    }

    /// A name for a part, an outlet, something touchable: not empty, not overlong, no hidden characters.
    pub(crate) fn name(&mut self, what: &str, name: &str, place: Place) -> bool {
        let error = if name.trim().is_empty() {
            Some("is empty".to_string())
        } else if name.chars().count() > LONGEST_NAME {
            Some(format!("has more than {LONGEST_NAME} characters"))
        } else if name.chars().any(hidden) {
            Some("has a line break or another hidden character".to_string())
        } else if name.trim() != name {
            Some("begins or ends with a space".to_string())
        } else {
            None
        };
        let Some(error) = error else { return true };
        self.errors.wrong(place, format!("{what} {} {error}", quote(name)), format!("write {what} such as \"L1\""));
        false
    }

    /// A net named in the file.
    pub(crate) fn net(&mut self, value: &Spanned<DeValue<'t>>) -> Option<NetId> {
        let place = self.place(value.span().start);
        let Some(name) = value.get_ref().as_str() else {
            let message = format!("{} where the name of a net is wanted", type_name(value.get_ref()));
            self.errors.wrong(place, message, "write a name in quotes, such as \"L1\"");
            return None;
        };
        if name == MAINS {
            let help = "\"mains\" stands for the whole supply side in [[insulation]]; give the net another name";
            self.errors.wrong(place, "a net cannot be called \"mains\"", help);
            return None;
        }
        self.name("the net name", name, place).then(|| self.nets.id(name, place))
    }
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    // "D.C. volts" and "X2" keep their capitals.
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            format!("{}{}", first.to_lowercase(), letters.as_str()).trim_end_matches('.').to_string()
        }
        _ => text.trim_end_matches('.').to_string(),
    }
}

//! Reads the contents of one key by what the description says it holds. Must not know what a kind of part means.

use toml::Spanned;
use toml::de::DeValue;

use super::bounds::{LONGEST_TEXT, MOST_OF_A_PART, MOST_OUTLETS};
use super::model::{Ends, LoadKind, OutletLoad, Side};
use super::sections::MAINS;
use super::walk::{Walk, in_order, type_name};
use super::words;
use crate::format::{COLOUR_JOINTS, COLOURS, Holds};
use crate::format::{Row, Value};
use crate::quantity::{Kind, Range, hidden, parse, parse_in, quote};

type Node<'t> = Spanned<DeValue<'t>>;

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
                let table = self.inner(key, node)?;
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
                        let table = self.inner(key, one)?;
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
    fn few(&mut self, key: &str, list: &[&Node<'t>], most: usize) -> Option<()> {
        let Some(beyond) = list.get(most) else { return Some(()) };
        self.mistaken(beyond, format!("{key} has {} entries", list.len()), format!("it may have at most {most}"));
        None
    }

    fn mistaken(&mut self, node: &Node<'t>, message: impl Into<String>, help: impl Into<String>) {
        let place = self.place(node.span().start);
        self.errors.wrong(place, message, help);
    }

    fn inner<'a>(&mut self, key: &str, node: &'a Node<'t>) -> Option<&'a toml::de::DeTable<'t>> {
        let table = node.get_ref().as_table();
        if table.is_none() {
            let message = format!("{key} is {}, where a table is wanted", type_name(node.get_ref()));
            self.mistaken(node, message, format!("write {key} = {{ … }}"));
        }
        table
    }

    fn quantity(&mut self, key: &str, kind: Kind, range: Range, node: &Node<'t>) -> Option<f64> {
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

    fn string<'a>(&mut self, key: &str, node: &'a Node<'t>) -> Option<&'a str> {
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
        let text = self.string(key, node)?;
        let found = known.iter().copied().find(|word| *word == text);
        if found.is_none() {
            self.mistaken(node, format!("{} is no {key}", quote(text)), words::help(text, known));
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

    /// The list in a value, or an error that shows `example`.
    fn list<'a>(&mut self, key: &str, example: &str, node: &'a Node<'t>) -> Option<Vec<&'a Node<'t>>> {
        let list = node.get_ref().as_array();
        if list.is_none() {
            let message = format!("{key} is {}, where a list is wanted", type_name(node.get_ref()));
            self.mistaken(node, message, format!("write {key} = {example}"));
        }
        list.map(|list| list.iter().collect())
    }

    fn ends(&mut self, key: &str, node: &Node<'t>) -> Option<Ends> {
        let list = self.list(key, "[\"a\", \"b\"]", node)?;
        let [one, other] = list[..] else {
            let message = format!("{key} has {} nets, where two are wanted", list.len());
            self.mistaken(node, message, format!("write {key} = [\"a\", \"b\"]"));
            return None;
        };
        // Both are read before either may fail: all errors in one run.
        let (one, other) = (self.net(one), self.net(other));
        Some([one?, other?])
    }

    fn pairs(&mut self, key: &str, node: &Node<'t>, some: bool) -> Option<Vec<Ends>> {
        let example = "[[\"a\", \"b\"]]";
        let list = self.list(key, example, node)?;
        if list.is_empty() && some {
            self.mistaken(node, format!("{key} is empty"), format!("write {key} = {example}"));
            return None;
        }
        if let Some(first) = list.first().filter(|first| first.get_ref().is_str()) {
            self.mistaken(first, format!("{key} wants a list of pairs"), format!("write {key} = {example}"));
            return None;
        }
        self.few(key, &list, MOST_OF_A_PART)?;
        let pairs: Vec<Option<Ends>> = list.into_iter().map(|pair| self.ends(key, pair)).collect();
        pairs.into_iter().collect()
    }

    fn nets(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let list = self.list(key, "[\"a\", \"b\"]", node)?;
        if list.is_empty() {
            self.mistaken(node, format!("{key} is empty"), format!("write {key} = [\"a\", \"b\"]"));
            return None;
        }
        self.few(key, &list, MOST_OF_A_PART)?;
        let nets: Vec<_> = list.into_iter().map(|net| self.net(net)).collect();
        nets.into_iter().collect::<Option<Vec<_>>>().map(Value::Nets)
    }

    fn positions(&mut self, key: &'static str, node: &Node<'t>) -> Option<Value> {
        let table = self.inner(key, node)?;
        if table.is_empty() {
            self.mistaken(
                node,
                format!("{key} is empty"),
                format!("write {key} = {{ on = [[\"a\", \"b\"]], off = [] }}"),
            );
            return None;
        }
        self.few(key, &in_order(table).into_iter().map(|(_, _, value)| value).collect::<Vec<_>>(), MOST_OF_A_PART)?;
        let mut positions = Vec::new();
        let mut whole = true;
        for (name, at, value) in in_order(table) {
            let place = self.place(at);
            whole &= self.name("the position", name, place);
            match self.pairs(name, value, false) {
                Some(contacts) => positions.push((name.to_string(), contacts)),
                None => whole = false,
            }
        }
        whole.then_some(Value::Positions(positions))
    }

    fn date(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let text = self.string(key, node)?;
        if !is_day(text) {
            self.mistaken(
                node,
                format!("{} is no day of the calendar", quote(text)),
                "write year-month-day, such as \"2027-12-31\"",
            );
            return None;
        }
        Some(Value::Text(text.to_string()))
    }

    fn loads(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let list = self.list(key, "[\"open\", \"short\", \"100 W\"]", node)?;
        if list.is_empty() {
            self.mistaken(node, format!("{key} is empty"), format!("write {key} = [\"open\"] or remove the key"));
            return None;
        }
        self.few(key, &list, MOST_OUTLETS)?;
        let loads: Vec<_> = list.into_iter().map(|one| self.load(key, one)).collect();
        loads.into_iter().collect::<Option<Vec<_>>>().map(Value::Loads)
    }

    fn load(&mut self, key: &str, node: &Node<'t>) -> Option<OutletLoad> {
        let text = self.string(key, node)?;
        let label = text.trim().to_string();
        let charged = text.split_once("charged");
        let kind = match (label.as_str(), charged) {
            ("open", _) => LoadKind::Open,
            ("short", _) => LoadKind::Short,
            (_, Some((capacitance, volts))) => {
                let both = parse(capacitance, Kind::Capacitance)
                    .and_then(|farads| parse(volts, Kind::Voltage).map(|volts| LoadKind::Charged(farads, volts)));
                match both {
                    Ok(kind) => kind,
                    Err(error) => {
                        let help = format!("{}; a charged load is written \"100 uF charged 400 V\"", error.help);
                        self.mistaken(node, error.message, help);
                        return None;
                    }
                }
            }
            _ => match (parse(text, Kind::Power), parse(text, Kind::Resistance)) {
                (Ok(watts), _) => LoadKind::Power(watts),
                (_, Ok(ohms)) => LoadKind::Resistance(ohms),
                (Err(watts), Err(_)) => {
                    let help =
                        "write \"open\", \"short\", watts (\"100 W\"), ohms (\"10 kΩ\") or \"100 uF charged 400 V\"";
                    // A number went wrong in itself: say how; else the list of what may stand here helps more.
                    let about_number = watts.message.contains("comma")
                        || watts.message.contains("negative")
                        || watts.message.contains("zero");
                    match (about_number, words::nearest(&label, ["open", "short"])) {
                        (true, _) => self.mistaken(node, watts.message, watts.help),
                        (_, Some(word)) => self.mistaken(
                            node,
                            format!("{} is no load", quote(text)),
                            format!("did you mean \"{word}\"?"),
                        ),
                        _ => self.mistaken(node, format!("{} is no load", quote(text)), help),
                    }
                    return None;
                }
            },
        };
        Some(OutletLoad { label, kind })
    }

    fn sides(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let list = self.list(key, "[\"mains\", \"CASE\"]", node)?;
        let [one, other] = list[..] else {
            let message = format!("{key} has {} sides, where two are wanted", list.len());
            self.mistaken(node, message, format!("write {key} = [\"mains\", \"CASE\"]"));
            return None;
        };
        let (one_side, other_side) = (self.side(one), self.side(other));
        let sides = [one_side?, other_side?];
        if sides[0] == sides[1] {
            self.mistaken(other, format!("{key} names the same side twice"), "name what lies on the other side");
            return None;
        }
        Some(Value::Sides(sides))
    }

    fn side(&mut self, node: &Node<'t>) -> Option<Side> {
        if node.get_ref().as_str() == Some(MAINS) {
            return Some(Side::Mains);
        }
        let place = self.place(node.span().start);
        let net = self.net(node)?;
        self.nets.stated(net, place);
        Some(Side::Net(net))
    }

    fn size(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let example = "[\"160 mm\", \"30 mm\", \"30 mm\"]";
        let list = self.list(key, example, node)?;
        let [x, y, z] = list[..] else {
            let message = format!("{key} has {} lengths, where three are wanted", list.len());
            self.mistaken(node, message, format!("write {key} = {example}"));
            return None;
        };
        let [x, y, z] = [x, y, z].map(|one| self.quantity(key, Kind::Length, Range::Positive, one));
        Some(Value::Size([x?, y?, z?]))
    }
}

/// Whether a text is `YYYY-MM-DD` and such a day exists (Gregorian calendar, ISO 8601).
fn is_day(text: &str) -> bool {
    let bytes = text.as_bytes();
    let shape = bytes.len() == 10
        && bytes.iter().enumerate().all(|(i, b)| if i == 4 || i == 7 { *b == b'-' } else { b.is_ascii_digit() });
    if !shape {
        return false;
    }
    let number = |range: std::ops::Range<usize>| text[range].parse::<u32>().unwrap_or(0);
    let (year, month, day) = (number(0..4), number(5..7), number(8..10));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let last = match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        _ => return false,
    };
    (1..=last).contains(&day)
}

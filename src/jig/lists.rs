//! Reads keys that hold several things: nets, pairs, positions, loads, sides, sizes, days. Must not know what a kind of part
//! means.

use super::bounds::{MOST_OF_A_PART, MOST_OUTLETS};
use super::contents::Node;
use super::model::{Ends, LoadKind, OutletLoad, Side};
use super::sections::MAINS;
use super::walk::{Walk, in_order, type_name};
use super::words;
use crate::format::{Holds, Value};
use crate::quantity::{Kind, Range, parse, quote};

impl<'t> Walk<'t, '_> {
    /// The list in a value, or an error that shows `example`.
    pub(super) fn list<'a>(&mut self, key: &str, example: &str, node: &'a Node<'t>) -> Option<Vec<&'a Node<'t>>> {
        let list = node.get_ref().as_array();
        if list.is_none() {
            let message = format!("{key} is {}, where a list is wanted", type_name(node.get_ref()));
            self.mistaken(node, message, format!("write {key} = {example}"));
        }
        list.map(|list| list.iter().collect())
    }

    pub(super) fn ends(&mut self, key: &str, node: &Node<'t>) -> Option<Ends> {
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

    pub(super) fn pairs(&mut self, key: &str, node: &Node<'t>, some: bool) -> Option<Vec<Ends>> {
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

    pub(super) fn nets(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let list = self.list(key, "[\"a\", \"b\"]", node)?;
        if list.is_empty() {
            self.mistaken(node, format!("{key} is empty"), format!("write {key} = [\"a\", \"b\"]"));
            return None;
        }
        self.few(key, &list, MOST_OF_A_PART)?;
        let nets: Vec<_> = list.into_iter().map(|net| self.net(net)).collect();
        nets.into_iter().collect::<Option<Vec<_>>>().map(Value::Nets)
    }

    pub(super) fn positions(&mut self, key: &'static str, node: &Node<'t>) -> Option<Value> {
        let table = self.inner(key, Holds::Positions, node)?;
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

    pub(super) fn date(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
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

    pub(super) fn loads(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
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
                        _ if parse(text, Kind::Current).is_ok() => self.mistaken(node, format!("{} is a current, where a load is wanted", quote(text)), "write the watts it takes (volts × amperes: 1 A at 12 V is \"12 W\"), or its ohms (volts ÷ amperes: \"12 Ω\")"),
                        _ => self.mistaken(node, format!("{} is no load", quote(text)), help),
                    }
                    return None;
                }
            },
        };
        Some(OutletLoad { label, kind })
    }

    pub(super) fn sides(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
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

    pub(super) fn size(&mut self, key: &str, node: &Node<'t>) -> Option<Value> {
        let example = "[\"160 mm\", \"80 mm\", \"50 mm\"] (length, width, height)";
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

//! What a plugin hands to the host, looked at by hand: never compared, printed or asked through its own metatables.

use super::what_if::{SupplyWish, Wish};
use super::wiring::{ReachWish, Through};
use crate::standard::Level;
use crate::survey::condition::Polarity;
use crate::survey::emptying::Course;
use mlua::Value;

/// Longest text a host function takes, characters.
const MOST_TEXT: usize = 4096;
/// Most entries of a table a host function takes.
pub(super) const MOST_ENTRIES: usize = 64;
/// Most names a host function takes.
const MOST_NETS: usize = 4096;

pub(super) fn wrong(message: impl Into<String>) -> mlua::Error {
    mlua::Error::runtime(message.into())
}

/// A text that was handed in.
pub(super) fn text(value: &Value, what: &str) -> mlua::Result<String> {
    match value {
        Value::String(s) if s.as_bytes().len() <= MOST_TEXT => Ok(s.to_string_lossy()),
        Value::String(_) => Err(wrong(format!("{what} is longer than {MOST_TEXT} characters"))),
        other => Err(wrong(format!("{what} has to be a text, not {}", other.type_name()))),
    }
}

/// A finite number that was handed in.
pub(super) fn number(value: &Value, what: &str) -> mlua::Result<f64> {
    let n = match value {
        Value::Integer(n) => *n as f64,
        Value::Number(n) => *n,
        other => return Err(wrong(format!("{what} has to be a number, not {}", other.type_name()))),
    };
    if n.is_finite() { Ok(n) } else { Err(wrong(format!("{what} has to be a finite number"))) }
}

/// Entries of a table that was handed in, by name; no metatable is asked.
fn entries(value: &Value, what: &str) -> mlua::Result<Vec<(String, Value)>> {
    let table = match value {
        Value::Nil => return Ok(vec![]),
        Value::Table(t) => t,
        other => return Err(wrong(format!("{what} has to be a table, not {}", other.type_name()))),
    };
    let mut out = vec![];
    for pair in table.pairs::<Value, Value>() {
        let (key, value) = pair?;
        if out.len() >= MOST_ENTRIES {
            return Err(wrong(format!("{what} has more than {MOST_ENTRIES} entries")));
        }
        out.push((text(&key, &format!("a name in {what}"))?, value));
    }
    // The order of a table is nobody's business.
    out.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(out)
}

pub(super) fn named_texts(value: &Value, what: &str) -> mlua::Result<Vec<(String, String)>> {
    entries(value, what)?.into_iter().map(|(k, v)| Ok((k, text(&v, what)?))).collect()
}

/// A list of texts that was handed in.
pub(super) fn texts(value: &Value, what: &str) -> mlua::Result<Vec<String>> {
    let table = match value {
        Value::Nil => return Ok(vec![]),
        Value::Table(t) => t,
        other => return Err(wrong(format!("{what} has to be a list of texts, not {}", other.type_name()))),
    };
    let length = table.raw_len();
    if length > MOST_ENTRIES {
        return Err(wrong(format!("{what} has more than {MOST_ENTRIES} entries")));
    }
    (1..=length).map(|k| text(&table.raw_get(k)?, what)).collect()
}

/// Keys of a wish.
const WISH: &str = "supply, plug, faults, switches, loads, change, join, hold, cold, between, waves";

pub(super) fn wish_of(value: &Value) -> mlua::Result<Wish> {
    let mut wish = Wish::default();
    for (key, value) in entries(value, "solve")? {
        if !wished(&mut wish, &key, &value)? {
            return Err(wrong(format!("solve knows no {key:?}: {WISH}")));
        }
    }
    Ok(wish)
}

/// Puts one key into a wish; whether it is one.
fn wished(wish: &mut Wish, key: &str, value: &Value) -> mlua::Result<bool> {
    match key {
        "supply" => wish.supply = supply_of(value)?,
        "plug" => {
            wish.reversed = match text(value, "plug")?.as_str() {
                "as wired" => false,
                "reversed" => true,
                _ => return Err(wrong("plug is \"as wired\" or \"reversed\"")),
            };
        }
        "faults" => wish.faults = texts(value, "faults")?,
        "switches" => wish.switches = named_texts(value, "switches")?,
        "loads" => wish.loads = named_texts(value, "loads")?,
        "change" => {
            for (part, keys) in entries(value, "change")? {
                for (key, v) in entries(&keys, "change")? {
                    let v = number(&v, &format!("{part}.{key}"))?;
                    wish.change.push((part.clone(), key, v));
                }
            }
        }
        "join" => wish.join = pairs(value, "join")?,
        "between" => wish.between = pairs(value, "between")?,
        "hold" => wish.hold = names(value, "hold")?,
        "waves" => wish.waves = texts(value, "waves")?,
        "cold" => {
            let Value::Boolean(cold) = value else { return Err(wrong("cold is true or false")) };
            wish.cold = *cold;
        }
        _ => return Ok(false),
    }
    Ok(true)
}

/// Pairs of nets that were handed in.
fn pairs(value: &Value, what: &str) -> mlua::Result<Vec<[String; 2]>> {
    let Value::Table(table) = value else {
        return Err(wrong(format!("{what} has to be a list of pairs of nets, not {}", value.type_name())));
    };
    let length = table.raw_len();
    if length > MOST_ENTRIES {
        return Err(wrong(format!("{what} has more than {MOST_ENTRIES} entries")));
    }
    let pair = |k| {
        let names = texts(&table.raw_get(k)?, what)?;
        <[String; 2]>::try_from(names)
            .map_err(|_| wrong(format!("{what} is a list of pairs of nets: {{{{\"a\", \"b\"}}}}")))
    };
    (1..=length).map(pair).collect()
}

/// Longest discharge that is followed, seconds: nobody waits longer for a capacitor.
pub(super) const LONGEST: f64 = 60.0;

/// What is to be put on, and how long it is followed.
pub(super) fn course_of(value: &Value) -> mlua::Result<(Wish, Course)> {
    let mut wish = Wish::default();
    let mut course = Course { polarity: Polarity::Stated, volts: None, seconds: LONGEST, falls_below: None };
    for (key, value) in entries(value, "put_on")? {
        match key.as_str() {
            "turned" => {
                let Value::Boolean(turned) = value else { return Err(wrong("turned is true or false")) };
                course.polarity = if turned { Polarity::Reversed } else { Polarity::Stated };
            }
            "charged" => course.volts = Some(above_zero(&value, "charged")?),
            "falls_below" => course.falls_below = Some(above_zero(&value, "falls_below")?),
            "seconds" => {
                course.seconds = number(&value, "seconds")?;
                if !(0.0..=LONGEST).contains(&course.seconds) {
                    return Err(wrong(format!("the seconds have to be from 0 to {LONGEST}")));
                }
            }
            key => {
                if key == "waves" || !wished(&mut wish, key, &value)? {
                    let wish = WISH.strip_suffix(", waves").unwrap_or(WISH);
                    let known = format!("turned, charged, falls_below, seconds, {wish}");
                    return Err(wrong(format!("put_on knows no {key:?}: {known}")));
                }
            }
        }
    }
    Ok((wish, course))
}

/// What is asked of a ring.
#[derive(Debug, Default)]
pub(super) struct RingAsked {
    /// Bars; 0 where none are given.
    pub bars: f64,
    /// Turns a minute; 0 where none are given.
    pub rpm: f64,
    /// Flashes a second, where no lamp is solved.
    pub flashes: Option<f64>,
    /// Seconds of a flash, with those.
    pub lit: Option<f64>,
    /// Lamps to solve.
    pub lamps: Vec<String>,
    /// In which condition.
    pub wish: Wish,
}

/// A ring under stated flashes or under lamps that are solved.
pub(super) fn ring_of(value: &Value) -> mlua::Result<RingAsked> {
    let mut asked = RingAsked {
        wish: Wish { supply: SupplyWish::Level(Level::Nominal), ..Wish::default() },
        ..RingAsked::default()
    };
    let not_below = |value: &Value, what: &str| {
        let x = number(value, what)?;
        if x >= 0.0 { Ok(x) } else { Err(wrong(format!("{what} cannot be below zero"))) }
    };
    for (key, value) in entries(value, "ring")? {
        match key.as_str() {
            "bars" => asked.bars = not_below(&value, "bars")?,
            "rpm" => asked.rpm = not_below(&value, "rpm")?,
            "flashes" => asked.flashes = Some(above_zero(&value, "flashes")?),
            "lit" => asked.lit = Some(above_zero(&value, "lit")?),
            "lamps" => asked.lamps = texts(&value, "lamps")?,
            "supply" | "switches" | "loads" => {
                wished(&mut asked.wish, &key, &value)?;
            }
            other => {
                let known = "bars, rpm, flashes, lit, lamps, supply, switches, loads";
                return Err(wrong(format!("ring knows no {other:?}: {known}")));
            }
        }
    }
    if asked.lamps.is_empty() == asked.flashes.is_none() {
        return Err(wrong("ring needs either lamps, which are solved, or flashes a second"));
    }
    Ok(asked)
}

fn above_zero(value: &Value, what: &str) -> mlua::Result<f64> {
    let x = number(value, what)?;
    if x > 0.0 { Ok(x) } else { Err(wrong(format!("{what} has to be above zero"))) }
}

/// Names that were handed in: one, a list, or a table in which each is `true`.
fn names(value: &Value, what: &str) -> mlua::Result<Vec<String>> {
    let table = match value {
        Value::Table(t) => t,
        one => return Ok(vec![text(one, what)?]),
    };
    let mut out = vec![];
    for pair in table.pairs::<Value, Value>() {
        if out.len() >= MOST_NETS {
            return Err(wrong(format!("{what} has more than {MOST_NETS} names")));
        }
        out.push(match pair? {
            (Value::Integer(_) | Value::Number(_), name) => text(&name, what)?,
            (name, Value::Boolean(true)) => text(&name, what)?,
            (_, other) => {
                let words = "is a name, a list of names, or a table in which each name is true";
                return Err(wrong(format!("{what} {words}; it holds {}", other.type_name())));
            }
        });
    }
    out.sort();
    Ok(out)
}

fn through_of(value: &Value) -> mlua::Result<Through> {
    match value {
        Value::String(_) if text(value, "through")? == "anything" => Ok(Through::Anything),
        Value::Table(_) => Ok(Through::Kinds(texts(value, "through")?)),
        _ => Err(wrong("through is a list of kinds of part, or \"anything\"")),
    }
}

pub(super) fn reach_of(value: &Value) -> mlua::Result<ReachWish> {
    let (mut wish, mut starts) = (ReachWish::default(), false);
    for (key, value) in entries(value, "reach")? {
        match key.as_str() {
            "from" => (wish.from, starts) = (names(&value, "from")?, true),
            "through" => wish.through = through_of(&value)?,
            "stop_at" => wish.stop_at = names(&value, "stop_at")?,
            "switches" => wish.switches = Some(named_texts(&value, "switches")?),
            "except" => wish.except = names(&value, "except")?,
            other => return Err(wrong(format!("reach knows no {other:?}: from, through, stop_at, switches, except"))),
        }
    }
    if starts { Ok(wish) } else { Err(wrong("reach needs a from: the net or nets it starts from")) }
}

fn supply_of(value: &Value) -> mlua::Result<SupplyWish> {
    if let Value::String(_) = value {
        let level = Level::from_word(&text(value, "supply")?);
        let level = level.ok_or_else(|| wrong("supply is \"low\", \"nominal\", \"high\" or a number of volts"))?;
        return Ok(SupplyWish::Level(level));
    }
    Ok(SupplyWish::Volts(number(value, "supply")?))
}

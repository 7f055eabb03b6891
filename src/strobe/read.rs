//! Reading what is asked: speeds, flashes, bars, a drift. Must not work anything out.

use super::MINUTE;
use crate::finding::strobe::Way;
use crate::jig::InputError;
use crate::quantity::{self, Kind, Range, quote};

/// Speeds, as they are written.
const SPEED: &str = "write turns a minute, such as \"33 1/3\", 45 or 78.26";
/// Flashes, as they are written.
const FLASHES: &str = "write flashes a second, such as 100";
/// A drift, as it is written.
const DRIFT: &str = "write it such as \"12 bars in 60 s forward\": forward is with the turning, backward against it";

/// Something is wrong with an option.
pub(super) fn wrong(option: &str, message: impl Into<String>, help: impl Into<String>) -> InputError {
    InputError::of_file(option, message, help)
}

/// A number as it is written: "33.333", "33 1/3", "100/3", "33⅓".
fn number(text: &str) -> Option<f64> {
    let spaced = text.replace('⅓', " 1/3").replace('⅔', " 2/3").replace('½', " 1/2");
    let part = |word: &str| -> Option<f64> {
        let plain = |w: &str| {
            let digits = w.chars().all(|c| c.is_ascii_digit() || c == '.');
            if digits { w.parse::<f64>().ok().filter(|x| x.is_finite()) } else { None }
        };
        match word.split_once('/') {
            Some((over, under)) => Some(plain(over)? / plain(under).filter(|u| *u > 0.0)?),
            None => plain(word),
        }
    };
    let words: Vec<&str> = spaced.split_whitespace().collect();
    match words.as_slice() {
        [one] => part(one),
        [whole, fraction] if fraction.contains('/') && !whole.contains(['/', '.']) => {
            Some(part(whole)? + part(fraction).filter(|f| *f < 1.0)?)
        }
        _ => None,
    }
}

/// Turns a minute, with what it is called.
///
/// # Errors
/// What is wrong with it.
pub(super) fn speed(option: &str, text: &str) -> Result<(f64, String), InputError> {
    let shown = text.trim();
    let bare = ["r.p.m.", "rpm", "r/min", "min-1"].iter().find_map(|unit| shown.strip_suffix(unit)).unwrap_or(shown);
    let Some(rpm) = number(bare) else {
        return Err(wrong(option, format!("{} is no speed", quote(shown)), comma(shown).unwrap_or(SPEED.into())));
    };
    if rpm <= 0.0 {
        return Err(wrong(option, "what does not turn stands still under any light: no ring shows that", SPEED));
    }
    Ok((rpm, bare.split_whitespace().collect::<Vec<_>>().join(" ")))
}

/// Flashes a second.
///
/// # Errors
/// What is wrong with it.
pub(super) fn flashes(text: &str) -> Result<f64, InputError> {
    let shown = text.trim();
    let bare = shown.strip_suffix("Hz").unwrap_or(shown);
    match number(bare) {
        Some(x) if x > 0.0 => Ok(x),
        Some(_) => Err(wrong("--flashes", "a lamp that does not flash shows no ring", FLASHES)),
        None => {
            let help = comma(shown).unwrap_or(FLASHES.into());
            Err(wrong("--flashes", format!("{} is no number of flashes", quote(shown)), help))
        }
    }
}

/// Bars of a ring.
///
/// # Errors
/// What is wrong with it.
pub(super) fn bars(text: &str) -> Result<u32, InputError> {
    let shown = text.trim();
    let bare = shown.strip_suffix("bars").unwrap_or(shown).trim();
    let help = "write how many bars the whole ring has, such as 180";
    match bare.parse::<u32>() {
        Ok(0) => Err(wrong("--bars", "a ring without bars shows nothing", help)),
        Ok(n) => Ok(n),
        Err(_) => Err(wrong("--bars", format!("{} is no number of bars", quote(shown)), help)),
    }
}

fn comma(text: &str) -> Option<String> {
    let point = text.replace(',', ".");
    (text.contains(',') && number(&point).is_some()).then(|| format!("write {} with a point: \"{point}\"", quote(text)))
}

/// A count of bars that went by a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Counted {
    /// Bars.
    pub bars: f64,
    /// Seconds.
    pub seconds: f64,
    /// Which way.
    pub way: Way,
}

/// "12 bars in 60 s forward", "12 bars a minute backward", "still".
///
/// # Errors
/// What is wrong with it.
pub(super) fn counted(text: &str) -> Result<Counted, InputError> {
    let fail = |message: String| wrong("--drift", message, DRIFT);
    let lower = text.trim().to_lowercase();
    let mut words: Vec<&str> = lower.split_whitespace().filter(|w| !matches!(*w, "with" | "the" | "against")).collect();
    let against = lower.split_whitespace().any(|w| w == "against");
    let with = lower.split_whitespace().any(|w| w == "with");
    let mut ways: Vec<Way> = vec![];
    words.retain(|w| match *w {
        "forward" | "forwards" | "ahead" | "fast" => {
            ways.push(Way::Forward);
            false
        }
        "backward" | "backwards" | "back" | "slow" => {
            ways.push(Way::Backward);
            false
        }
        "turning" | "rotation" if with || against => {
            ways.push(if against { Way::Backward } else { Way::Forward });
            false
        }
        "still" => {
            ways.push(Way::Still);
            false
        }
        _ => true,
    });
    ways.dedup();
    if ways.len() > 1 {
        return Err(fail(format!("{} goes both ways", quote(text.trim()))));
    }
    let Some((count, rest)) = words.split_first() else {
        return Err(fail(format!("{} counts no bars", quote(text.trim()))));
    };
    let bars = number(count).ok_or_else(|| fail(format!("{} is no number of bars", quote(count))))?;
    let rest = match rest.split_first() {
        Some((&("bar" | "bars"), rest)) => rest,
        _ => return Err(fail(format!("{} does not say what was counted: bars", quote(text.trim())))),
    };
    let seconds = time(rest).map_err(fail)?;
    let way = match (ways.first(), bars == 0.0) {
        (_, true) => Way::Still,
        (Some(Way::Still), false) => return Err(fail("a ring that stands still lets no bar go by".into())),
        (Some(way), false) => *way,
        (None, false) => return Err(fail(format!("{} does not say which way the bars went", quote(text.trim())))),
    };
    Ok(Counted { bars, seconds, way })
}

/// "in 60 s", "in a minute", "a minute", "per minute", "in 2 minutes".
fn time(words: &[&str]) -> Result<f64, String> {
    let rest = match words.split_first() {
        Some((&("in" | "per" | "a" | "an" | "over" | "/"), rest)) => rest,
        _ => return Err("the time in which they went by is missing".into()),
    };
    let rest = match rest.split_first() {
        Some((&("a" | "an" | "one"), rest)) => rest,
        _ => rest,
    };
    let one = |unit: &str| match unit {
        "min" | "min." | "minute" | "minutes" => Some(MINUTE),
        "s" | "sec" | "second" | "seconds" => Some(1.0),
        _ => None,
    };
    let said = rest.join(" ");
    let seconds = match rest {
        [unit] if one(unit).is_some() => one(unit),
        [count, unit] if one(unit).is_some() => number(count).zip(one(unit)).map(|(n, unit)| n * unit),
        _ => quantity::parse_in(&said, Kind::Time, Range::NotNegative).ok(),
    };
    match seconds {
        Some(s) if s > 0.0 => Ok(s),
        Some(_) => Err("no bar goes by in no time".into()),
        None => Err(format!("{} is no time", quote(&said))),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn speeds_as_a_bench_writes_them() {
        let third = 100.0 / 3.0;
        for (text, rpm) in [
            ("33 1/3", third),
            ("33⅓", third),
            ("100/3", third),
            (" 45 ", 45.0),
            ("78.26 rpm", 78.26),
            ("16 2/3 r.p.m.", 50.0 / 3.0),
        ] {
            assert!((speed("--rpm", text).unwrap().0 - rpm).abs() < 1e-12, "{text}");
        }
        for text in ["", "0", "0.0", "-33", "33,3", "fast", "1e3", "33 1/0", "33 4/3", "1/2 1/2", "inf", "NaN"] {
            assert!(speed("--rpm", text).is_err(), "{text}");
        }
        assert!(speed("--rpm", "33,3").unwrap_err().help.contains("33.3"));
    }

    #[test]
    fn drifts_as_a_bench_says_them() {
        for (text, bars, seconds, way) in [
            ("12 bars in 60 s forward", 12.0, 60.0, Way::Forward),
            ("1 bar in 7.5 s backward", 1.0, 7.5, Way::Backward),
            ("12 bars a minute with the rotation", 12.0, 60.0, Way::Forward),
            ("12 bars per minute against the turning", 12.0, 60.0, Way::Backward),
            ("Forward 3 bars in 2 minutes", 3.0, 120.0, Way::Forward),
            ("0 bars in 60 s", 0.0, 60.0, Way::Still),
            ("2.5 bars in a minute slow", 2.5, 60.0, Way::Backward),
        ] {
            assert_eq!(counted(text).unwrap(), Counted { bars, seconds, way }, "{text}");
        }
        for text in [
            "",
            "forward",
            "12 bars forward",
            "12 bars in 60 s",
            "12 in 60 s forward",
            "12 bars in 0 s forward",
            "12 bars in 60 V forward",
            "-12 bars in 60 s forward",
            "12 bars in 60 s forward backward",
            "12 bars in 60 s still",
            "many bars in 60 s forward",
        ] {
            assert!(counted(text).is_err(), "{text}");
        }
    }
}

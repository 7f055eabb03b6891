//! Why a text is no quantity of the wanted kind, by the likeliest slip first, and what to write instead.

use super::error::{ReadError, quote};
use super::kind::Kind;
use super::number::{split_number, unit_power};
use super::print::format;

pub(super) fn not_a_number(text: &str, kind: Kind) -> ReadError {
    let help = format!("write {} as a number and a unit, such as \"{}\"", kind.name(), kind.example());
    let lower = text.trim_start_matches(['+', '-', '\u{2212}']).to_ascii_lowercase();
    if ["inf", "nan", "∞"].iter().any(|word| lower.starts_with(word)) {
        return ReadError::new(format!("{} is not a number that a real part can have", quote(text)), help);
    }
    if let Some(rest) = lower.strip_prefix(',')
        && rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return comma(text);
    }
    if lower.starts_with(|c: char| c.is_ascii_digit()) && lower.contains('/') {
        return ReadError::new(format!("{} divides by nothing", quote(text)), help);
    }
    if ["±", "~", "≈", "<", ">", "≤", "≥"].iter().any(|sign| text.starts_with(sign)) {
        return ReadError::new(format!("{} begins with a sign that is not read", quote(text)), help);
    }
    ReadError::new(format!("{} does not begin with a number", quote(text)), help)
}

fn comma(text: &str) -> ReadError {
    let whole: String = text.chars().take_while(|c| *c != ',').collect();
    let decimals = text.chars().skip_while(|c| *c != ',').skip(1).take_while(char::is_ascii_digit).count();
    let whole_digits = whole.trim_start_matches(['+', '-', '\u{2212}']);
    let point = text.replacen(',', if whole_digits.is_empty() { "0." } else { "." }, 1);
    if text.matches(',').count() > 1 || (text.contains('.') && text.find('.') > text.find(',')) {
        return ReadError::new(
            format!("{} has commas in its number", quote(text)),
            format!("write {}", quote(&text.replace(',', ""))),
        );
    }
    if decimals == 0 {
        return ReadError::new(
            format!("{} has a comma in it", quote(text)),
            format!("write {}", quote(&text.replacen(',', "", 1))),
        );
    }
    // "1,500 A" is fifteen hundred to some and one and a half to others: say so instead of choosing.
    if decimals == 3 && !whole_digits.is_empty() && whole_digits != "0" {
        return ReadError::new(
            format!("{} has a comma that can be read two ways", quote(text)),
            format!("write {} or {}", quote(&text.replacen(',', "", 1)), quote(&point)),
        );
    }
    ReadError::new(format!("{} uses a decimal comma", quote(text)), format!("write {}", quote(&point)))
}

/// Why what follows the number is no unit of this kind, by the likeliest slip first.
pub(super) fn wrong_unit(text: &str, number: &str, rest: &str, kind: Kind) -> ReadError {
    let such = format!("write {} such as \"{}\"", kind.name(), kind.example());
    let instead = |unit: &str| format!("write \"{number} {unit}\"");
    let error = |what: &str, help: String| ReadError::new(format!("{} {what}", quote(text)), help);
    if rest.is_empty() {
        return no_unit(text, number, kind);
    }
    if rest.starts_with(',') {
        return comma(text);
    }
    if rest.starts_with(['_', '\'']) && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        let joined: String = text.chars().filter(|c| !matches!(c, '_' | '\'')).collect();
        return error("has marks inside its number", format!("write {}", quote(&joined)));
    }
    if split_number(rest).is_some() {
        return match without_spaces(number, rest, kind) {
            Some(joined) => error("has a space inside its number", format!("write \"{joined}\"")),
            None => match mixed_length(number, rest, kind) {
                Some(metres) => error("is in feet or inches", format!("write \"{}\"", format(metres, Kind::Length))),
                None => error("has two numbers", such),
            },
        };
    }
    if let Some(error) = letter_inside(text, number, rest, kind) {
        return error;
    }
    if let Some(unit) = waveform(rest, kind) {
        let help = format!("{}: the key itself says whether it is r.m.s., peak or d.c.", instead(&unit));
        return error("says which kind of volts or amperes it means", help);
    }
    let ends = |c: char| c.is_whitespace() || c.is_ascii_digit() || matches!(c, ',' | ';' | '/');
    if rest.contains(ends) && !rest.ends_with(['2', '²']) {
        let unit = rest.split(ends).next().unwrap_or_default();
        if unit_power(unit, kind).is_some() {
            return error("has more behind its unit", format!("write one number and one unit: \"{number} {unit}\""));
        }
        let joined: String = rest.split_whitespace().collect();
        if unit_power(&joined, kind).is_some() {
            return error("has a space inside its unit", instead(&joined));
        }
    }
    if kind == Kind::Length
        && let Some(metres) = customary_length(rest)
        && let Ok(count) = number.parse::<f64>()
    {
        return error("is in feet or inches", format!("write \"{}\"", format(count * metres, Kind::Length)));
    }
    if let Some(unit) = old_spelling(rest, kind) {
        return error("has a unit that is not read here", instead(unit));
    }
    if let Some(units) = other_case(rest, kind) {
        let all: Vec<String> = units.iter().map(|unit| instead(unit)).collect();
        return error("has a unit in the wrong case", all.join(" or "));
    }
    if let Some(other) = Kind::ALL.into_iter().find(|other| *other != kind && unit_power(rest, *other).is_some()) {
        return error(&format!("is {}, where {} is wanted", other.name(), kind.name()), such);
    }
    if kind.prefixes().iter().any(|(prefix, _)| *prefix == rest) {
        return error("has a prefix but no unit", instead(&format!("{rest}{}", kind.units()[0])));
    }
    error(&format!("has a unit that is not known ({})", quote(rest)), such)
}

fn no_unit(text: &str, number: &str, kind: Kind) -> ReadError {
    let mut choices: Vec<String> = suggested_units(kind).iter().map(|unit| format!("\"{number} {unit}\"")).collect();
    // 0.05 is how a share is written elsewhere: five per cent is then as likely meant as a twentieth of one.
    if kind == Kind::Fraction
        && let Ok(share) = number.parse::<f64>()
        && share > 0.0
        && share < 1.0
    {
        choices.insert(0, format!("\"{}\"", format(share, Kind::Fraction)));
    }
    ReadError::new(format!("{} has no unit", quote(text)), format!("write {}", choices.join(" or ")))
}

/// `1 500 A`, `1 000 000 Ω`: the digits joined, when that gives a quantity.
fn without_spaces(number: &str, rest: &str, kind: Kind) -> Option<String> {
    let digits_end = rest.find(|c: char| !c.is_ascii_digit() && !c.is_whitespace())?;
    let (digits, unit) = rest.split_at(digits_end);
    let groups: Vec<&str> = digits.split_whitespace().collect();
    let thousands = groups.iter().all(|group| group.len() == 3) && number.bytes().all(|b| b.is_ascii_digit());
    (thousands && unit_power(unit.trim(), kind).is_some())
        .then(|| format!("{number}{} {}", groups.concat(), unit.trim()))
}

/// `5m` and `4m7` for ohms, `4n7` and `2u2` for farads: a letter where the decimal point or the unit should be.
fn letter_inside(text: &str, number: &str, rest: &str, kind: Kind) -> Option<ReadError> {
    let letter = rest.chars().next()?;
    let decimals = &rest[letter.len_utf8()..];
    if !decimals.bytes().all(|b| b.is_ascii_digit()) || (decimals.is_empty() && kind != Kind::Resistance) {
        return None;
    }
    let written = if decimals.is_empty() { number.to_string() } else { format!("{number}.{decimals}") };
    if kind == Kind::Resistance {
        let help = format!("write \"{written} mΩ\" (milliohms) or \"{written} MΩ\" (megohms)");
        return (letter == 'm').then(|| ReadError::new(format!("{} can be read two ways", quote(text)), help));
    }
    let known = kind.prefixes().iter().any(|(prefix, _)| prefix.starts_with(letter));
    known.then(|| {
        let help = format!("write \"{written} {letter}{}\"", kind.units()[0]);
        ReadError::new(format!("{} has a letter for its decimal point, which is read for ohms only", quote(text)), help)
    })
}

/// The unit of `VAC`, `V d.c.`, `mA rms`, `V~` and their like without what follows it.
fn waveform(rest: &str, kind: Kind) -> Option<String> {
    let unit = match kind {
        Kind::Voltage => "V",
        Kind::Current => "A",
        _ => return None,
    };
    let at = rest.find(|c: char| c.eq_ignore_ascii_case(&unit.chars().next().unwrap_or(' ')))?;
    let (prefix, behind) = (&rest[..at], &rest[at + 1..]);
    let behind: String = behind.chars().filter(|c| !matches!(c, ' ' | '.')).collect::<String>().to_ascii_lowercase();
    let known = ["ac", "dc", "rms", "eff", "pk", "p", "pp", "peak", "~", "=", "acrms"].contains(&behind.as_str());
    let prefixed = format!("{prefix}{unit}");
    (known && unit_power(&prefixed, kind).is_some()).then_some(prefixed)
}

fn suggested_units(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Resistance => &["Ω", "kΩ"],
        Kind::Capacitance => &["nF", "uF"],
        Kind::Inductance => &["mH", "H"],
        Kind::Current => &["mA", "A"],
        Kind::Length => &["mm", "m"],
        Kind::Area => &["mm2", "AWG"],
        Kind::Voltage => &["V"],
        Kind::Power => &["W"],
        Kind::ApparentPower => &["VA"],
        Kind::Energy => &["J"],
        Kind::Frequency => &["Hz"],
        Kind::Temperature => &["°C"],
        Kind::Fraction => &["%"],
        Kind::Time => &["s"],
    }
}

/// Metres in a foot and an inch (exact by the agreement of 1959).
/// Metres of `2 1/2 in`: a whole number, a fraction and a unit of feet or inches.
fn mixed_length(whole: &str, rest: &str, kind: Kind) -> Option<f64> {
    let (over, behind) = rest.split_once('/')?;
    let split = behind.find(|c: char| !c.is_ascii_digit())?;
    let (under, unit) = behind.split_at(split);
    let under: f64 = under.parse().ok().filter(|under| *under > 0.0)?;
    let count = whole.parse::<f64>().ok()? + over.trim().parse::<f64>().ok()? / under;
    let metres = customary_length(unit.trim().trim_start_matches('-'))?;
    (kind == Kind::Length).then_some(count * metres)
}

fn customary_length(unit: &str) -> Option<f64> {
    match unit.to_ascii_lowercase().as_str() {
        "ft" | "feet" | "foot" | "'" | "′" => Some(0.3048),
        "in" | "inch" | "inches" | "\"" | "″" => Some(0.0254),
        _ => None,
    }
}

/// Spellings found on old parts and in careless notes, with what they mean.
fn old_spelling(unit: &str, kind: Kind) -> Option<&'static str> {
    Some(match (kind, unit.to_ascii_lowercase().as_str()) {
        // Capitals: "MF" on old parts is microfarads; "mf" is left to the upper and lower case hint.
        (Kind::Capacitance, "mf") if unit == "MF" => "uF",
        (Kind::Capacitance, "mfd" | "microfarad" | "microfarads") => "uF",
        (Kind::Capacitance, "mmfd" | "mmf" | "picofarad" | "picofarads") => "pF",
        (Kind::Resistance, "meg" | "megohm" | "megohms" | "mohms") => "MΩ",
        (Kind::Resistance, "kilohm" | "kilohms" | "kiloohm") => "kΩ",
        (Kind::Area, "sqmm" | "sq mm" | "mm^2" | "mm" | "qmm") => "mm2",
        (Kind::Temperature, "c" | "ºc" | "deg c" | "deg" | "°" | "celsius" | "°c") => "°C",
        (Kind::Fraction, "percent" | "per cent" | "pct") => "%",
        (Kind::Time, "sec" | "secs" | "second" | "seconds") => "s",
        (Kind::Voltage, "volt" | "volts") => "V",
        (Kind::Current, "amp" | "amps" | "ampere" | "amperes") => "A",
        (Kind::Power, "watt" | "watts") => "W",
        (Kind::Frequency, "c/s" | "cps" | "cycles" | "hertz") => "Hz",
        _ => return None,
    })
}

/// Correct spellings that differ from the text only in upper and lower case.
fn other_case(unit: &str, kind: Kind) -> Option<Vec<String>> {
    let mut found = Vec::new();
    let prefixes = kind.prefixes();
    for base in kind.units() {
        for prefix in std::iter::once("").chain(prefixes.iter().map(|p| p.0)) {
            let right = format!("{prefix}{base}");
            if right.to_lowercase() == unit.to_lowercase() {
                found.push(right);
            }
        }
    }
    (!found.is_empty()).then_some(found)
}

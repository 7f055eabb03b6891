//! Nearest words: what was probably meant. Must not know the format.

/// What the trade calls things that the file calls otherwise; the first that is known in its place is meant.
const TRADE: &[(&str, &[&str])] = &[
    ("value", &["resistance", "capacitance", "inductance"]),
    ("ohms", &["resistance"]),
    ("resistor", &["resistance"]),
    ("farads", &["capacitance"]),
    ("watts", &["power"]),
    ("wattage", &["power"]),
    ("amps", &["current"]),
    ("rating", &["current", "power", "voltage"]),
    ("nets", &["across"]),
    ("between", &["across"]),
    ("pins", &["across"]),
    ("fast", &["F"]),
    ("quick", &["F"]),
    ("slow", &["T"]),
    ("slowblow", &["T"]),
    ("live", &["L"]),
    ("line", &["L"]),
    ("hot", &["L"]),
    ("phase", &["L"]),
    ("neutral", &["N"]),
    ("earth", &["PE"]),
    ("ground", &["PE"]),
    ("gnd", &["PE"]),
    ("plastic", &["insulating"]),
    ("abs", &["insulating"]),
    ("wood", &["insulating"]),
    ("steel", &["metal"]),
    ("aluminium", &["metal"]),
    ("aluminum", &["metal"]),
    ("gfci", &["rcd"]),
    ("rccb", &["rcd"]),
    ("elcb", &["rcd"]),
    ("electrolytic", &["capacitor"]),
    ("condenser", &["capacitor"]),
    ("choke", &["inductor"]),
    ("coil", &["inductor"]),
    ("neon", &["neon-lamp"]),
    ("ne2", &["neon-lamp"]),
    ("bulb", &["filament-lamp"]),
    ("lamp", &["filament-lamp", "neon-lamp"]),
    ("rectifier", &["bridge", "diode"]),
    ("mov", &["varistor"]),
    ("ntc", &["thermistor"]),
    ("handheld", &["hand-held"]),
    ("screws", &["tool"]),
    ("screwdriver", &["tool"]),
];

/// The known word that was meant: what the trade calls it, else the nearest, when it is near enough to be a slip.
pub(crate) fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let known: Vec<&str> = known.into_iter().collect();
    let plain_written = plain(written);
    let trade = TRADE.iter().find(|(said, _)| *said == plain_written).map_or(&[][..], |(_, meant)| *meant);
    if let Some(meant) = trade.iter().find_map(|meant| known.iter().find(|word| *word == meant)) {
        return Some(meant);
    }
    let mut best: Option<(usize, &str)> = None;
    for word in known {
        if word == written {
            continue;
        }
        let plain_word = plain(word);
        let distance = if plain_word == plain_written {
            0
        } else {
            strsim::damerau_levenshtein(&plain_written, &plain_word).max(1)
        };
        // A third of the longer word may be wrong; two words of two letters that share nothing are no slip.
        let longer = plain_written.chars().count().max(plain_word.chars().count());
        let allowed = if longer <= 3 { 1 } else { longer.div_ceil(3) };
        let shares = longer > 1 || distance == 0;
        if distance <= allowed && distance < longer.max(1) && shares && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Letters and digits only, in lower case: `L 1`, `l1` and `L-1` are one word to a reader. Cut short, so that a
/// megabyte of key cannot keep the comparison busy.
fn plain(text: &str) -> String {
    let letters: String = text.chars().take(100).filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    if letters.is_empty() { text.chars().take(100).collect() } else { letters }
}

/// "one of a, b or c".
pub(crate) fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// Help for an unknown word: the nearest, or the whole list when nothing is near.
pub(crate) fn help(written: &str, known: &[&str]) -> String {
    match nearest(written, known.iter().copied()) {
        Some(word) => format!("did you mean \"{word}\"?"),
        None => format!("write {}", one_of(known)),
    }
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn slips_are_mended_and_strangers_left_alone() {
        let cases: &[(&str, &[&str], Option<&str>)] = &[
            ("L 1", &["L", "N", "L1"], Some("L1")),
            ("l1", &["L", "L1"], Some("L1")),
            ("resistence", &["resistance", "power"], Some("resistance")),
            ("TUEB", &["TUBE", "L"], Some("TUBE")),
            ("a", &["b", "N"], None),
            ("n", &["L", "N"], Some("N")),
            ("x9", &["L1", "m"], None),
            ("", &["L"], None),
            ("--", &["L"], None),
            ("value", &["resistance", "power"], Some("resistance")),
            ("fast", &["FF", "F", "T"], Some("F")),
            ("earth", &["L", "N", "PE"], Some("PE")),
            ("Plastic", &["insulating", "metal", "open"], Some("insulating")),
            ("electrolytic", &["resistor", "capacitor"], Some("capacitor")),
            ("GFCI", &["breaker", "rcd"], Some("rcd")),
        ];
        for (written, known, wanted) in cases {
            assert_eq!(nearest(written, known.iter().copied()), *wanted, "{written}");
        }
    }
}

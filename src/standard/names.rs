//! Names of rows that are near a text. Knows no table.

/// "; near is …" for a name that is not there, or nothing where there are no names.
pub(crate) fn near<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> String {
    nearest_names(text, names, 1).first().map_or(String::new(), |n| format!("; near is {n}"))
}

/// What is no nearer than this to a name is not meant for it: a slip keeps most of its letters.
const NEAR: f64 = 0.8;

/// The names near to `text`, best first, at most `count`; none where nothing is near.
pub(crate) fn nearest_names<'a>(text: &str, names: impl Iterator<Item = &'a str>, count: usize) -> Vec<String> {
    let wanted = text.to_lowercase();
    let mut scored: Vec<(f64, &str)> = names.map(|n| (strsim::jaro_winkler(&wanted, &n.to_lowercase()), n)).collect();
    scored.retain(|(score, _)| *score >= NEAR);
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(count).map(|(_, n)| n.to_string()).collect()
}

#[cfg(test)]
mod tests {
    use super::nearest_names;

    #[test]
    fn only_what_is_near_is_named() {
        let near = |text: &str, name: &str| !nearest_names(text, std::iter::once(name), 1).is_empty();
        for (text, name) in
            [("230 V 60 Hz", "230 V 50 Hz"), ("plug", "plugs"), ("strobe", "strobe-lamp"), ("A1B", "A1A")]
        {
            assert!(near(text, name), "{text} {name}");
        }
        for (text, name) in [("europe", "us_120_range_a"), ("R1", "creepage"), ("", "A1A"), ("xyz", "eu_230")] {
            assert!(!near(text, name), "{text} {name}");
        }
    }
}

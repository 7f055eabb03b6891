//! Names of rows that are near a text. Knows no table.

/// "; near is …" for a name that is not there, or nothing where there are no names.
pub(crate) fn near<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> String {
    nearest_names(text, names, 1).first().map_or(String::new(), |n| format!("; near is {n}"))
}

/// The names nearest to `text`, best first, at most `count`.
pub(crate) fn nearest_names<'a>(text: &str, names: impl Iterator<Item = &'a str>, count: usize) -> Vec<String> {
    let wanted = text.to_lowercase();
    let mut scored: Vec<(f64, &str)> = names.map(|n| (strsim::jaro_winkler(&wanted, &n.to_lowercase()), n)).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(count).map(|(_, n)| n.to_string()).collect()
}

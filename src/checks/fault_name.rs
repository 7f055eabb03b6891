//! What a page calls a fault, as the short name that `--only` takes. Must not know which faults a jig has.

/// The short name of a fault that is called as the report calls it, so that what is copied from a page is understood:
/// "F1 bridged" and "F1-bridged" are F1-short.
pub(super) fn short_name(wanted: &str) -> String {
    const SAID: &[(&str, &str)] = &[
        ("welded shut", "welded"),
        ("broken down", ""),
        ("bridged", "short"),
        ("shorted", "short"),
        ("opened", "open"),
        ("broken", "open"),
        ("short", "short"),
        ("open", "open"),
    ];
    let plain = wanted.trim().replace("earth conductor", "PE").replace(" conductor", "").replace(' ', "-");
    for &(said, short) in SAID {
        if let Some(name) = plain.strip_suffix(&format!("-{}", said.replace(' ', "-"))) {
            return match name.strip_prefix("insulation-from-").and_then(|sides| sides.split_once("-to-")) {
                Some((one, other)) => format!("insulation-{one}-{other}"),
                None => format!("{name}-{short}"),
            };
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::short_name;

    #[test]
    fn what_a_page_calls_a_fault_is_its_name() {
        for (said, short) in [
            ("F1-bridged", "F1-short"),
            ("F1 bridged", "F1-short"),
            ("R1 shorted", "R1-short"),
            ("T1.secondary shorted", "T1.secondary-short"),
            ("SW1.1 welded shut", "SW1.1-welded"),
            ("L conductor open", "L-open"),
            ("earth conductor open", "PE-open"),
            ("insulation from a to CASE broken down", "insulation-a-CASE"),
            ("R1-open", "R1-open"),
            ("R1", "R1"),
        ] {
            assert_eq!(short_name(said), short, "{said}");
        }
    }
}

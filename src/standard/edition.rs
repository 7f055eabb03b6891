//! Which edition of the published tables is compiled in.

use crate::files::sha256;
use std::sync::LazyLock;

/// The texts of all table files.
const TEXTS: &[&str] = &[
    include_str!("bench.toml"),
    include_str!("capacitors.toml"),
    include_str!("cords.toml"),
    include_str!("discharge.toml"),
    include_str!("flash.toml"),
    include_str!("fuses.toml"),
    include_str!("insulation.toml"),
    include_str!("lamps.toml"),
    include_str!("meter.toml"),
    include_str!("parts.toml"),
    include_str!("plugs.toml"),
    include_str!("preferred.toml"),
    include_str!("resistors.toml"),
    include_str!("rules.toml"),
    include_str!("signal.toml"),
    include_str!("strobe.toml"),
    include_str!("supplies.toml"),
    include_str!("touch.toml"),
    include_str!("transformers.toml"),
];

/// How many digits of the hash name an edition.
const DIGITS: usize = 12;

/// First digits of the SHA-256 of all table files, in the order of their names.
pub(crate) fn edition() -> &'static str {
    static EDITION: LazyLock<String> = LazyLock::new(|| sha256(TEXTS.concat().as_bytes())[..DIGITS].to_string());
    &EDITION
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{DIGITS, TEXTS, edition};

    #[test]
    fn every_table_file_is_in_it() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/standard");
        let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let tables = files.filter(|file| file.extension().is_some_and(|end| end == "toml"));
        let texts: Vec<String> = tables.map(|file| std::fs::read_to_string(file).unwrap()).collect();
        assert_eq!(texts.len(), TEXTS.len());
        assert!(texts.iter().all(|text| TEXTS.contains(&text.as_str())));
        assert_eq!(edition().len(), DIGITS);
    }
}

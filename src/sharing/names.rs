//! Names that travel: of files in an archive, of plugins, of shops. One strict rule each, so that a name means the
//! same file on every machine. Must not know where the names stand.

/// Ending of an archive's name.
pub(crate) const ARCHIVE_ENDING: &str = ".tar.gz";
/// Ending of a record's name.
pub(crate) const RECORD_ENDING: &str = ".vet";
/// Ending of a key record's name.
pub(crate) const KEY_RECORD_ENDING: &str = ".keyrec";
/// Ending of a signature's name, behind the whole name of what it signs.
pub(crate) const SIGNATURE_ENDING: &str = ".minisig";

/// Names no file may have on some systems, whatever its extension.
const RESERVED: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "lpt1", "lpt2",
    "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Longest name of a file with its folders: what the oldest tar holds (POSIX.1-1988), with room for `ID-VERSION/`.
pub(super) const LONGEST_PATH: usize = 100;

/// What is wrong with a relative path of a file in a plugin, if anything. `depth` is how many folders deep it may lie.
pub(super) fn error_in_path(path: &str, depth: usize) -> Option<String> {
    if path.is_empty() {
        return Some("has no name".into());
    }
    if path.starts_with('/') || path.starts_with('\\') || path.as_bytes().get(1) == Some(&b':') {
        return Some("is an absolute name".into());
    }
    if path.split(['/', '\\']).any(|part| part == "..") {
        return Some("leads out of the plugin's folder".into());
    }
    if path.len() > LONGEST_PATH {
        return Some(format!("is longer than {LONGEST_PATH} characters"));
    }
    if path.matches('/').count() > depth {
        return Some(format!("lies more than {depth} folders deep"));
    }
    path.split('/').find_map(error_in_part)
}

fn error_in_part(part: &str) -> Option<String> {
    let allowed = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let stem = part.split('.').next().unwrap_or_default().to_ascii_lowercase();
    if part.is_empty() {
        Some("has a folder without a name".into())
    } else if !part.chars().all(allowed) {
        Some("has other characters than A-Z a-z 0-9 - _ .".into())
    } else if part.starts_with('.') {
        Some("is hidden: it begins with a full stop".into())
    } else if part.ends_with('.') {
        Some("ends with a full stop".into())
    } else if RESERVED.contains(&stem.as_str()) {
        Some("is a name that some systems keep for devices".into())
    } else {
        None
    }
}

/// What is wrong with the name of a shop, if anything.
pub(super) fn error_in_shop(name: &str) -> Option<&'static str> {
    if name.trim() != name || name.is_empty() {
        Some("is empty or has spaces at its ends")
    } else if name.chars().count() > 60 {
        Some("is longer than 60 characters")
    } else if name.chars().any(|c| crate::quantity::hidden(c) || crate::quantity::looks_blank(c)) {
        Some("has characters that do not print")
    } else {
        None
    }
}

/// What a name looks like: two names with one look are one name to a reader. Case, blanks and signs do not count, nor do accents
/// of the commonest letters; letters of other scripts, digits and pairs that look like another letter count as that.
pub(super) fn look(name: &str) -> String {
    let lower: String = name.to_lowercase().chars().filter(|c| c.is_alphanumeric()).map(looks_like).collect();
    lower.replace("rn", "m").replace("vv", "w").replace("cl", "d")
}

/// The letter of the Latin alphabet that a letter or digit is taken for (from memory, after the table of confusable
/// characters of Unicode's technical standard 39).
fn looks_like(c: char) -> char {
    match c {
        '0' | 'о' | 'ο' | 'օ' | 'ӧ' | 'ö' | 'ò' | 'ó' | 'ô' | 'õ' | 'ø' => 'o',
        '1' | 'i' | 'ı' | 'і' | 'ι' | 'ӏ' | 'ї' | 'í' | 'ì' | 'î' | 'ï' | 'ǀ' => 'l',
        'а' | 'α' | 'á' | 'à' | 'â' | 'ä' | 'ã' | 'å' | 'ɑ' => 'a',
        'е' | 'ё' | 'ε' | 'é' | 'è' | 'ê' | 'ë' => 'e',
        'р' | 'ρ' => 'p',
        'с' | 'ϲ' | 'ç' => 'c',
        'у' | 'γ' | 'ý' | 'ү' => 'y',
        'х' | 'χ' => 'x',
        'ѕ' | '5' => 's',
        'ј' => 'j',
        'к' | 'κ' => 'k',
        'м' => 'm',
        'т' | 'τ' => 't',
        'н' | 'һ' => 'h',
        'в' | 'β' | '8' => 'b',
        'υ' | 'ú' | 'ù' | 'û' | 'ü' | 'ս' => 'u',
        'ν' | 'ѵ' => 'v',
        'ԝ' | 'ω' => 'w',
        'п' | 'η' | 'ñ' => 'n',
        'ԁ' => 'd',
        'ԛ' => 'q',
        // Letters of full and half width.
        '\u{ff10}'..='\u{ff5a}' => char::from_u32(c as u32 - 0xfee0).map_or(c, looks_like),
        other => other,
    }
}

/// What is wrong with words that a person stands by, if anything.
pub(super) fn error_in_words(text: &str) -> Option<&'static str> {
    if text.trim().is_empty() {
        Some("is empty")
    } else if text.chars().count() > MOST_WORDS {
        Some("is longer than 1000 characters")
    } else if text.chars().any(crate::quantity::hidden) {
        Some("has characters that do not print")
    } else {
        None
    }
}

/// Longest reason, characters.
const MOST_WORDS: usize = 1000;

/// A shop's name as part of a file name: lower-case letters and digits, the rest hyphens.
pub(super) fn slug(shop: &str) -> String {
    let lower = shop.to_lowercase();
    let words = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty());
    let slug = words.collect::<Vec<_>>().join("-");
    if slug.is_empty() { "shop".into() } else { slug }
}

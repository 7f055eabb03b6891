//! Why a cell of the matrix names no check.

use std::sync::OnceLock;

use serde::Deserialize;

use super::At;

/// Why some keys of some kinds are not judged in some situations.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Reason {
    /// Kinds of parts; none: every kind.
    #[serde(default)]
    pub kinds: Vec<String>,
    /// Their keys.
    pub keys: Vec<String>,
    /// Situations, as they are printed; none: every one.
    #[serde(default)]
    pub at: Vec<String>,
    /// Why.
    pub why: String,
    /// Whether nothing looks at the key in any situation: where it is stated, the report says so.
    #[serde(default)]
    pub unjudged: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    reason: Vec<Reason>,
}

/// All reasons.
pub(crate) fn all() -> &'static [Reason] {
    static READ: OnceLock<Vec<Reason>> = OnceLock::new();
    READ.get_or_init(|| {
        let file: File = toml::from_str(include_str!("reasons.toml")).expect("reasons.toml: that it reads is tested");
        file.reason
    })
}

/// The reason of a cell; one that names the kind goes before one for every kind.
pub(super) fn of(kind: &str, key: &str, at: At) -> Option<&'static Reason> {
    let fits =
        |r: &&Reason| r.keys.iter().any(|k| k == key) && (r.at.is_empty() || r.at.iter().any(|word| word == at.word()));
    let named = |r: &&Reason| fits(r) && r.kinds.iter().any(|k| k == kind);
    all().iter().find(named).or_else(|| all().iter().filter(fits).find(|r| r.kinds.is_empty()))
}

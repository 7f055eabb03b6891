//! Keys that checks need of a part, and keys that nothing is solved with. Must not know the checks.

/// Where a check needs a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    /// Anywhere.
    Always,
    /// Where hazardous volts can stand on the part.
    Live,
    /// Where it lies straight across the mains.
    AcrossMains,
    /// Where hazardous volts can stand on it, or it carries the protective earth on.
    LiveOrEarth,
}

/// A key that checks need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// The key in the file.
    pub key: &'static str,
    /// Whether it is stated, or something that stands for it.
    pub stated: bool,
    /// Where it is needed.
    pub when: When,
}

/// A key that is needed in such a place.
pub(super) fn want(key: &'static str, stated: bool, when: When) -> Wanted {
    Wanted { key, stated, when }
}

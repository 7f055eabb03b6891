//! What a key says of exact bytes, all its records taken together. Their order is that of the numbers in them, never that of
//! the days: of two with one number (records of the first form have none) the graver holds. Must not know whether the
//! shop is trusted.

use super::evaluate::VerifiedRecord;
use super::vet::VetResult;

/// What one key says.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Standing<'r> {
    /// Its "known bad", until a later record of the key withdraws it.
    pub(super) bad: Option<&'r VerifiedRecord>,
    /// Its withdrawal.
    pub(super) withdrawn: Option<&'r VerifiedRecord>,
    /// Its "good"; a "known bad" cancels it for good, and a withdrawal until it is said anew.
    pub(super) good: Option<&'r VerifiedRecord>,
}

/// What a key says, from all its records about these bytes. `is_about` tells whether a record calls the bytes what they are:
/// one that does not can stop them, and do nothing else.
pub(super) fn standing<'r>(
    records: impl IntoIterator<Item = &'r VerifiedRecord>,
    is_about: impl Fn(&VerifiedRecord) -> bool,
) -> Standing<'r> {
    let mut sorted: Vec<&VerifiedRecord> = records.into_iter().collect();
    sorted.sort_by_key(|v| (v.record.number, v.record.result, v.record.date));
    let mut standing = Standing::default();
    for verified in sorted {
        let Standing { bad, withdrawn, good } = &mut standing;
        match verified.record.result {
            VetResult::KnownBad => (*bad, *withdrawn, *good) = (Some(verified), None, None),
            VetResult::Withdrawn if is_about(verified) => (*bad, *withdrawn, *good) = (None, Some(verified), None),
            VetResult::Good if bad.is_some() => {}
            // Records without a number have no order: a withdrawal among them holds against all of them.
            VetResult::Good if withdrawn.is_some_and(|w| w.record.number >= verified.record.number) => {}
            VetResult::Good => (*withdrawn, *good) = (None, Some(verified)),
            VetResult::Withdrawn => {}
        }
    }
    standing
}

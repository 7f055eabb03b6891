//! Why a finding is left when a jig has been mended.

use crate::finding::Finding;

/// Something was tried for it, and nothing kept.
pub(crate) fn tried_in_vain(f: &Finding) -> String {
    format!("what was tried did not cure it or brought another finding: {}", f.remedy)
}

/// Somebody has accepted it.
pub(crate) fn accepted() -> String {
    "accepted in the file".into()
}

/// It is not a matter of a number.
pub(crate) fn no_number(f: &Finding) -> String {
    format!("no number cures it, it needs hands: {}", f.remedy)
}

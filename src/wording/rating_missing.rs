//! Words of rating-missing.

use super::join::list;
use crate::finding::said::RatingMissing;

pub(super) fn words(s: &RatingMissing) -> (String, String) {
    let names = |keys: &[&str]| list(&keys.iter().map(|key| (*key).to_string()).collect::<Vec<_>>());
    match s {
        // A yes or no is asked, not a rating.
        RatingMissing::Part { part, keys } if keys == &["polarised"] => (
            format!("the file does not say whether {part} is an electrolytic, so it was not judged as one"),
            "write polarised = true for an electrolytic or tantalum capacitor, false for a film or ceramic one".into(),
        ),
        RatingMissing::Part { part, keys } => {
            let keys = names(keys);
            (
                format!("the file gives no {keys} for {part}, so it was not judged by that"),
                format!("read {keys} off the part or its data sheet and write it down"),
            )
        }
        RatingMissing::PlugFuse => (
            "the plug holds a fuse, but the file does not say of how many amperes, so it cannot be counted on".into(),
            "write plug-fuse = \"3 A\" (or what is in the plug)".into(),
        ),
        RatingMissing::Cord { keys } => {
            let keys = names(keys);
            (
                format!("the file gives no {keys} for the cord, so what it carries cannot be judged"),
                format!("write {keys} in cord = {{ … }} under [supply]"),
            )
        }
    }
}

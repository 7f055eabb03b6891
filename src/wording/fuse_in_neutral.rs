//! Words of fuse-in-neutral.

use super::join::list;
use crate::finding::said::FuseInNeutral;

pub(super) fn words(s: &FuseInNeutral) -> (String, String) {
    let FuseInNeutral { fuses, in_line, line } = s;
    let (many, names) = (fuses.len() > 1, list(fuses));
    let opens = if many { "open" } else { "opens" };
    let what = format!("{names} {opens} the neutral: when it blows, everything before it stays live");
    if in_line.is_empty() {
        return (what, format!("move {names} into the live conductor, one end on {line}"));
    }
    let ends = if many { "join the ends of each" } else { "join its ends" };
    (what, format!("take {names} out and {ends}; {} in the line protects alone", list(in_line)))
}

//! Words of rcd-type.

use super::Known;
use crate::finding::said::RcdUnseen;

pub(super) fn words(known: &Known, s: &RcdUnseen) -> (String, String) {
    let RcdUnseen { under, current, stated, sees } = s;
    let under = known.under(*under);
    let device = match stated {
        Some(kind) => format!("a residual-current device of type {kind} need not see it"),
        None => "the type of the residual-current device is not stated, and type AC need not see it".into(),
    };
    let message = format!("{under}, {current} flow to earth that are no sine: {device}, and nothing else ends it");
    let remedy = match stated {
        Some(_) => format!("use a residual-current device of type {sees}"),
        None => {
            format!("use one of type {sees}, and write rcd-type = \"{sees}\" in [supply] (it is printed on the device)")
        }
    };
    (message, remedy)
}

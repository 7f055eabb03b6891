//! Words of lamp-strike.

use crate::finding::said::LampStrike;

pub(super) fn words(s: &LampStrike) -> (String, String) {
    let LampStrike { part, margin, wanted } = s;
    let what = if *margin < 1.0 { "does not light" } else { "may not light in the dark or when it is old" };
    (
        format!(
            "On the lowest mains the crest across {part} is {margin:.2} times what its worst specimen strikes at ({wanted:.2} is \
             wanted): it {what}"
        ),
        "choose a lamp that strikes lower, or take away what lowers the volts across it while it is dark".into(),
    )
}

//! Words of lamp-life.

use crate::finding::said::{LampLife, LampLifeCure};

pub(super) fn words(s: &LampLife) -> (String, String) {
    let LampLife { part, left, hours, current, design, one_way, cure } = s;
    let life = match hours {
        Some([lasts, rated]) => format!("about {lasts:.0} h of its {rated:.0} h ({left})"),
        None => format!("{left} of its rated life"),
    };
    let wave = if *one_way { " on a.c., and d.c. wears one electrode" } else { "" };
    (
        format!("{part} lasts {life} at {current}; it is made for {design}{wave}"),
        match cure {
            LampLifeCure::Raise(by) => format!("raise its series resistance by {by}"),
            LampLifeCure::Alternate => "feed it with a.c. instead of behind a diode".into(),
        },
    )
}

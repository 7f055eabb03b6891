//! Words of cord-rating.

use crate::finding::said::{CordFault, CordRating};

pub(super) fn words(s: &CordRating) -> (String, String) {
    let message = match &s.what {
        CordFault::Overheats { current, area, carries } => {
            format!("The tool takes {current}, a cord of {area} carries {carries} at most: it overheats")
        }
        CordFault::Thin { area, asked, current } => format!(
            "A cord of {area} is thinner than the {asked} asked for {current} and this length: a short behind it heats it before \
             the branch breaker opens"
        ),
    };
    let remedy = match &s.cure {
        Some(area) => format!("use a cord of at least {area}"),
        None => "use a thicker cord".into(),
    };
    (message, remedy)
}

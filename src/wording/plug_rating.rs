//! Words of plug-rating.

use crate::finding::said::PlugRating;

pub(super) fn words(s: &PlugRating) -> (String, String) {
    match s {
        PlugRating::Current { current, limit } => (
            format!("The tool takes {current}, the plug is made for {limit}: it overheats in the socket"),
            "use a plug for this current, or limit the load".into(),
        ),
        PlugRating::Volts { supply, limit } => (
            format!(
                "The plug is made for {limit}, the supply is {supply}: a tool for one fits the socket of the other"
            ),
            "use the plug of the supply the tool is built for".into(),
        ),
    }
}

//! Words of loose-end.

use crate::finding::said::LooseEnd;

pub(super) fn words(s: &LooseEnd) -> (String, String) {
    let LooseEnd { net, part, near } = s;
    let whose = part.as_ref().map_or_else(String::new, |part| format!(" (an end of {part})"));
    let remedy = match near {
        Some(near) => format!("did you mean {near}? Else join the end to something or take it out"),
        None => "join the end to something, or take it out".into(),
    };
    (format!("{net} is named once{whose}: that end hangs in the air"), remedy)
}

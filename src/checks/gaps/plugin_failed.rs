//! Plugins that came to no end. Told by the host of plugins, which alone sees one fail.

use crate::checks::{About, Check};
use crate::finding::CheckId;

pub(super) const CHECK: Check = Check {
    id: CheckId::PluginFailed,
    judges: &[],
    about: About {
        looks_at: "Plugins for this kind of unit that came to no end, must not run, or are set in the file and not here; plugins that are set in the file and are for another kind of unit.",
        limit: "None: what a plugin looks for and could not look at is not passed.",
        rows: &["rules.rule.nothing_unsolved"],
        how: "Each plugin runs within bounds of time, memory and calls. One that fails is told with its file and line, changes nothing the others find, and makes the exit status 3.",
        mend: "Have the plugin mended, or ask whoever shared it; look at what it is for by hand until then.",
    },
    run: |_, _| {},
};

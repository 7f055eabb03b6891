//! `deadfront plugin stops`. Must not decide what is stopped.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::report::stops_text;
use crate::sharing::Home;
use crate::sharing::lift::{self, ListedStop};
use clap::Args;
use serde_json::{Value, json};

const HELP: &str = "\
A stop holds for exact bytes of a plugin. It outlives the trust in the shop that said \"known-bad\"; a later record of the \
same key withdraws it, or a person of this shop lifts it with `plugin lift`. No day lifts it.

Example:
  deadfront plugin stops";

/// List what is stopped, by whom and why
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct StopsArgs {}

pub(super) fn run(_: &StopsArgs) -> Result<Printed, Errors> {
    let stops = lift::stops(&Home::find()?)?;
    let json = json!({ "stops": stops.iter().map(facts).collect::<Vec<_>>() });
    printed(json, move |look| stops_text(&stops, look))
}

fn facts(listed: &ListedStop) -> Value {
    let ListedStop { stop, lift, withdrawn, installed } = listed;
    json!({
        "id": stop.plugin, "version": stop.version, "sha256": stop.sha256, "shop": stop.shop, "key": stop.key,
        "number": stop.number, "date": stop.date, "note": stop.note, "installed": installed, "withdrawn": withdrawn,
        "holds": lift.is_none() && withdrawn.is_none(),
        "lifted": lift.as_ref().map(|l| json!({ "by": l.by, "reason": l.reason, "date": l.date })),
    })
}

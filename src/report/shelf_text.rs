//! A shelf that was made or looked through, as text. Must not decide anything.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::plural;
use crate::sharing::carry::{Carried, Taken};
use crate::sharing::refresh::{News, PluginNews, Refreshed};
use crate::sharing::shelf::ShelfMade;
use std::path::Path;

/// A shelf that was made.
pub(crate) fn shelf_text(made: &ShelfMade, look: Look) -> String {
    let mut page = Page::new(look);
    let index = &made.index;
    page.paragraph(&format!(
        "Shelf {} of {}: number {}, {}",
        clean(&index.shelf),
        clean(&index.shop),
        index.serial,
        plural(index.files.len(), "file")
    ));
    page.note("Index", &clean(&made.place.display().to_string()));
    page.note("Until", &format!("{}; make it anew before that day", index.expires));
    made.put.iter().for_each(|p| page.bullet(&format!("put: {}", clean(p))));
    made.left_out.iter().for_each(|p| page.bullet(&format!("left out, no file of a shelf: {}", clean(p))));
    page.gap();
    page.paragraph("The index lists and does not vouch: each shop holds what is on the shelf against its own policy.");
    page.finish()
}

/// A shelf that was looked through.
pub(crate) fn refreshed_text(told: &Refreshed, dry: bool, look: Look) -> String {
    let mut page = Page::new(look);
    let until = told.expires.map_or_else(String::new, |d| format!(", until {d}"));
    let only = if dry { " (looked at only, nothing was changed)" } else { "" };
    page.paragraph(&format!("Shelf of {}, number {}{until}{only}", clean(&told.keeper), told.serial));
    told.amiss.iter().for_each(|a| page.bullet(&format!("Not in order: {}", clean(a))));
    told.stopped.iter().for_each(|s| page.bullet(&format!("Newly stopped: {}", clean(s))));
    told.keys.iter().for_each(|k| page.bullet(&clean(k)));
    for PluginNews { id, version, news, before, why } in &told.plugins {
        let instead = match (news, before) {
            (News::Changed, Some(before)) => format!(" (here {before})"),
            _ => String::new(),
        };
        page.bullet(&format!("{} {}{instead}: {}", clean(id), clean(version), news.word()));
        why.iter().for_each(|w| page.hang("    ", "    ", &clean(w)));
    }
    if told.plugins.is_empty() {
        page.bullet("No plugin is on it.");
    }
    told.remarks.iter().for_each(|r| page.bullet(&clean(r)));
    page.gap();
    page.paragraph("A vet says what a shop did, not that the plugin finds every hazard. Read SAFETY.md.");
    page.finish()
}

/// Trust that was written into a file.
pub(crate) fn carried_text(carried: &Carried, place: &Path, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&format!("Wrote what {} trusts into {}", clean(&carried.shop), clean(&place.display().to_string())));
    page.note("Holds", &plural(carried.files.len(), "file"));
    page.note(
        "Key",
        if carried.with_key { "with this shop's own key, encrypted" } else { "without this shop's own key" },
    );
    page.note("Compare", &carried.key.fingerprint());
    page.gap();
    page.paragraph(
        "On the new machine `deadfront plugin trust import` asks for these 12 groups. Plugins are added there anew.",
    );
    page.finish()
}

/// Trust that was taken from a file.
pub(crate) fn taken_text(taken: &Taken, look: Look) -> String {
    let mut page = Page::new(look);
    let how = if taken.merged { "Stops of" } else { "The trust of" };
    page.paragraph(&format!("{how} {} were taken in, as of {}", clean(&taken.shop), taken.date));
    taken.took.iter().for_each(|t| page.bullet(&clean(t)));
    taken.left.iter().for_each(|t| page.bullet(&format!("left as it is here: {}", clean(t))));
    page.finish()
}

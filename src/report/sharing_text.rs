//! What sharing did, as text. Must not decide anything.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::plural;
use super::table::{Column, put};
use crate::sharing::affected::{Affected, AffectedJigs};
use crate::sharing::archive::Package;
use crate::sharing::key_record::KeyWord;
use crate::sharing::lift::{Lift, ListedStop};
use crate::sharing::rotate::KeyWritten;
use crate::sharing::shops::{Shop, Shops};
use crate::sharing::sign::PublicKey;
use crate::sharing::stop::Stop;
use crate::sharing::vet::Record;
use crate::sharing::{Added, AddedPlugin, Day};
use std::collections::BTreeSet;
use std::path::Path;

/// What stands under every result from which somebody may take that a plugin can be relied upon.
const CAUTION: &str = "A vet says what a shop did, not that the plugin finds every hazard. Read SAFETY.md.";

fn page(look: Look) -> Page {
    Page::new(look)
}

/// A plugin that was packed.
pub(crate) fn packed_text(package: &Package, place: &Path, look: Look) -> String {
    let mut page = page(look);
    let all: usize = package.files.values().map(Vec::len).sum();
    page.paragraph(&format!("Packed {} into {}", package.identity.stem(), clean(&place.display().to_string())));
    page.note("Holds", &format!("{}, {all} bytes", plural(package.files.len(), "file")));
    page.line(&format!("  sha256    {}", package.sha256));
    page.finish()
}

/// An archive that was signed.
pub(crate) fn signed_text(package: &Package, shop: &str, key: &PublicKey, signature: &Path, look: Look) -> String {
    let mut page = page(look);
    page.paragraph(&format!("Signed {} as {}", package.identity.stem(), clean(shop)));
    page.note("In", &clean(&signature.display().to_string()));
    page.note("Key", &format!("{}, to compare {}", key.number(), key.fingerprint()));
    page.line(&format!("  sha256    {}", package.sha256));
    page.finish()
}

/// A record that was written.
pub(crate) fn vetted_text(record: &Record, place: &Path, look: Look) -> String {
    let mut page = page(look);
    let what = format!("{} {}: {}, says {}", record.plugin, record.version, record.result.word(), clean(&record.shop));
    page.paragraph(&what);
    let did: Vec<&str> = record.did.iter().map(|d| d.word()).collect();
    page.note("Did", &did.join(", "));
    if record.cases > 0 {
        page.note("Cases", &format!("{} as expected, by deadfront {}", record.cases, record.program));
    }
    page.note("In", &clean(&place.display().to_string()));
    page.line(&format!("  sha256    {}", record.sha256));
    page.gap();
    page.paragraph(CAUTION);
    page.finish()
}

/// A shop that was listed.
pub(crate) fn shop_text(shop: &Shop, own: Option<&Path>, look: Look) -> String {
    let mut page = page(look);
    let trusted: Vec<&str> = shop.trusted.iter().map(|f| f.word()).collect();
    page.paragraph(&format!("{} is trusted to {} until {}", clean(&shop.name), trusted.join(", "), shop.until));
    page.note("Only for", &shop.only.join(", "));
    page.line(&format!("  Key       {}", shop.key.text()));
    page.note("Compare", &shop.key.fingerprint());
    page.gap();
    match own {
        Some(place) => page.paragraph(&format!(
            "Give {} to other shops, and let them compare the 12 groups with you by voice. The secret key beside it never \
             leaves this machine but for your own copy of it.",
            clean(&place.display().to_string())
        )),
        None => page.paragraph("Compare the 12 groups with the shop by voice, all of them, before you rely on it."),
    }
    page.finish()
}

/// What was said about a key. `shop` is the row of the list that changed with it.
pub(crate) fn key_text(written: &KeyWritten, shop: Option<&Shop>, look: Look) -> String {
    let KeyWritten { record, place } = written;
    let mut page = page(look);
    let name = clean(&record.shop);
    page.paragraph(&match (record.says, record.since) {
        (KeyWord::Succession, _) => format!("{name} has a new key, which the old one names"),
        (KeyWord::Confirmation, _) => format!("The new key of {name} is confirmed"),
        (KeyWord::Revocation, since) => {
            format!("The key of {name} is called back since {}", since.map_or_else(String::new, |d| d.to_string()))
        }
    });
    page.note("Reason", &clean(&record.reason));
    page.note("Record", &clean(&place.display().to_string()));
    if let Some(new) = record.new_key() {
        page.line(&format!("  New key   {}", new.text()));
        page.note("Compare", &new.fingerprint());
    }
    page.gap();
    page.paragraph(match record.says {
        KeyWord::Succession => {
            "Send the record to the shops that list this one, and let each compare the 12 groups by voice: the old key's word \
             alone is what a thief of it has as well."
        }
        KeyWord::Confirmation => "Shops that list this one and that one take the new key with this record.",
        KeyWord::Revocation if shop.is_none() && record.signed_by == record.key => {
            "Send the record to every shop that lists this one. `deadfront plugin shops own` makes a new key, which they list \
             after comparing it by voice."
        }
        KeyWord::Revocation => {
            "It counts here. `deadfront plugin shops add` puts the shop's new key in its row, after comparing it by voice."
        }
    });
    page.finish()
}

/// The list of trusted shops as of a day.
pub(crate) fn shops_text(
    shops: &Shops,
    place: &Path,
    policy: &Path,
    remarks: &[String],
    today: Day,
    look: Look,
) -> String {
    let mut page = page(look);
    if shops.iter().next().is_none() {
        page.paragraph("No shop is trusted yet: no shared plugin can be added.");
    }
    let rows: Vec<Vec<String>> = shops
        .iter()
        .map(|shop| {
            let trusted: Vec<&str> = shop.trusted.iter().map(|f| f.word()).collect();
            let until = match shops.revoked_since(&shop.key) {
                Some(since) => format!("called back {since}"),
                None if shop.holds_on(today) => shop.until.to_string(),
                None => format!("{} (over)", shop.until),
            };
            vec![clean(&shop.name), trusted.join(", "), shop.only.join(", "), until, shop.key.number()]
        })
        .collect();
    let heads = ["shop", "trusted to", "only for", "until", "key"].map(Column::Words);
    put(&mut page, &heads, &rows);
    page.gap();
    for shop in shops.iter() {
        page.paragraph(&format!("Key of {}:", clean(&shop.name)));
        page.hang("  ", "  ", &shop.key.fingerprint());
        for old in &shop.earlier {
            let since = shops.revoked_since(&old.key).map_or_else(String::new, |d| format!(", called back since {d}"));
            page.hang("  ", "  ", &format!("earlier: {}{since}", old.key.number()));
        }
    }
    page.gap();
    page.note("Shops", &clean(&place.display().to_string()));
    page.note("Policy", &clean(&policy.display().to_string()));
    remarks.iter().for_each(|r| page.bullet(&clean(r)));
    page.finish()
}

/// What was added.
pub(crate) fn added_text(added: &Added, look: Look) -> String {
    let mut page = page(look);
    for AddedPlugin { id, version, sha256, before, signed_by, vetted_by } in &added.plugins {
        page.gap();
        page.paragraph(&match before {
            None => format!("Added {id} {version}"),
            Some(before) if before == version => format!("{id} {version} was here already; its vets were taken in"),
            Some(before) => format!("Added {id} {version} in place of {before}"),
        });
        page.note("Signed by", &clean(signed_by));
        page.note("Vetted by", &clean(&vetted_by.join(", ")));
        page.line(&format!("  sha256    {sha256}"));
    }
    page.gap();
    added.keys.iter().for_each(|k| page.bullet(&clean(k)));
    added.warnings.iter().for_each(|w| page.bullet(&format!("Kept: {}", clean(w))));
    added.remarks.iter().for_each(|r| page.bullet(&clean(r)));
    if added.plugins.is_empty() && added.warnings.is_empty() && added.keys.is_empty() {
        page.paragraph("Nothing was added.");
    }
    if !added.plugins.is_empty() {
        page.gap();
        page.paragraph(CAUTION);
    }
    page.finish()
}

/// What is stopped, by whom and why.
pub(crate) fn stops_text(stops: &[ListedStop], look: Look) -> String {
    let mut page = page(look);
    if stops.is_empty() {
        page.paragraph("Nothing was ever stopped here.");
    }
    for ListedStop { stop, lift, withdrawn, installed } in stops {
        page.gap();
        let state = match (lift, withdrawn) {
            (Some(_), _) => "lifted",
            (_, Some(_)) => "withdrawn",
            _ => "stopped",
        };
        let here = if *installed { ", installed here" } else { "" };
        page.paragraph(&format!("{} {}: {state}{here}", clean(&stop.plugin), clean(&stop.version)));
        page.note("By", &format!("{}, since {}", clean(&stop.shop), stop.date));
        page.note("Why", &clean(&stop.note));
        page.line(&format!("  sha256    {}", clean(&stop.sha256)));
        if let Some(day) = withdrawn {
            page.note("Taken back", &format!("by the shop itself on {day}"));
        }
        if let Some(lift) = lift {
            page.note("Lifted by", &format!("{} on {}: {}", clean(&lift.by), lift.date, clean(&lift.reason)));
        }
    }
    page.finish()
}

/// Locked jigs that rest on a plugin that is not what it was.
pub(crate) fn affected_text(found: &AffectedJigs, look: Look) -> String {
    let mut page = page(look);
    let jigs: BTreeSet<&str> = found.jigs.iter().map(|j| j.jig.as_str()).collect();
    page.paragraph(&format!("{} read, {} affected", plural(found.locks, "lock"), plural(jigs.len(), "jig")));
    for Affected { jig, id, version, state, .. } in &found.jigs {
        let what = format!("{}: {} {}: {}", clean(jig), clean(id), clean(version), state.word());
        page.bullet(&format!("{what}, {}", clean(&state.why())));
    }
    if !found.jigs.is_empty() {
        page.gap();
        page.paragraph(
            "`deadfront check` the jigs again: what a stopped plugin passed was not checked. `check --lock` pins what is here now.",
        );
    }
    page.finish()
}

/// A stop that was lifted.
pub(crate) fn lifted_text(lift: &Lift, stops: &[Stop], look: Look) -> String {
    let mut page = page(look);
    for stop in stops {
        let what = format!("{} {}", clean(&stop.plugin), clean(&stop.version));
        page.paragraph(&format!("Lifted what {} said of {what}", clean(&stop.shop)));
    }
    page.note("By", &format!("{} on {}", clean(&lift.by), lift.date));
    page.note("Reason", &clean(&lift.reason));
    page.line(&format!("  sha256    {}", lift.sha256));
    page.gap();
    page.paragraph("The vets of whoever called it bad stay cancelled: it runs only where those of others suffice.");
    page.paragraph(CAUTION);
    page.finish()
}

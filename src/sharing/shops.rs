//! The shops this shop trusts: name, key, for what, for which plugins, until when. Trust stands here and nowhere
//! else. Must not know what is signed.

use super::keys::{KeyRecords, own_keys};
use super::policy::Policy;
use super::seen::Seen;
use super::sign::PublicKey;
use super::{Day, Home, SharingError, names};
use crate::plugin::identity::is_kebab;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// What a shop is trusted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Purpose {
    /// Its signature says that a plugin is its own.
    Sign,
    /// Its vets count.
    Vet,
    /// Its "known bad" stops a plugin. That of a shop that is trusted with anything else does so as well: nobody is heard
    /// when he says "good" and not when he says "bad".
    Warn,
}

impl Purpose {
    /// All of them.
    pub(crate) const ALL: [Purpose; 3] = [Purpose::Sign, Purpose::Vet, Purpose::Warn];

    /// As it is written.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Purpose::Sign => "sign",
            Purpose::Vet => "vet",
            Purpose::Warn => "warn",
        }
    }
}

/// One trusted shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Shop {
    /// Name.
    pub name: String,
    /// Public key.
    pub key: PublicKey,
    /// What it is trusted for.
    pub trusted: Vec<Purpose>,
    /// Plugins for which it is trusted; empty means all.
    pub only: Vec<String>,
    /// Last day of the trust.
    pub until: Day,
    /// Keys it had before this one.
    pub earlier: Vec<EarlierKey>,
}

/// A key that a shop handed on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct EarlierKey {
    /// Public key.
    pub key: PublicKey,
    /// Number of its last record: what it signs beyond was not the shop any more.
    pub last_number: u64,
}

impl Shop {
    /// Whether this is its key, or was.
    pub(crate) fn has_key(&self, text: &str) -> bool {
        self.keys().any(|key| key.text() == text)
    }

    /// Its key, then the earlier ones.
    pub(crate) fn keys(&self) -> impl Iterator<Item = &PublicKey> {
        std::iter::once(&self.key).chain(self.earlier.iter().map(|e| &e.key))
    }

    /// Why a record of this number that this key signed is not the shop's word; nothing where it is.
    pub(super) fn beyond(&self, key: &PublicKey, number: u64) -> Option<String> {
        let earlier = self.earlier.iter().find(|e| e.key == *key)?;
        (number > earlier.last_number)
            .then(|| format!("its key was handed on with record {}, and this is record {number}", earlier.last_number))
    }

    /// Whether it is trusted with this plugin for that, whatever the day.
    pub(crate) fn covers(&self, plugin: &str, what: Purpose) -> bool {
        self.trusted.contains(&what) && (self.only.is_empty() || self.only.iter().any(|id| id == plugin))
    }

    /// Whether its word about this plugin counts for anything, so that its "known bad" stops it, whatever the day: what was
    /// found to be bad does not get better by waiting.
    pub(crate) fn counts_for(&self, plugin: &str) -> bool {
        Purpose::ALL.iter().any(|what| self.covers(plugin, *what))
    }

    /// Whether the trust still holds on that day.
    pub(crate) fn holds_on(&self, day: Day) -> bool {
        day <= self.until
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    #[serde(default)]
    shop: Vec<Row>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    key: String,
    #[serde(rename = "for")]
    trusted: Vec<Purpose>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    only: Vec<String>,
    until: Day,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    earlier: Vec<EarlierRow>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct EarlierRow {
    key: String,
    last_number: u64,
}

/// The list of trusted shops.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Shops {
    rows: Vec<Shop>,
    /// Keys that were called back, as text, and since when.
    revoked: Vec<(String, Day)>,
    /// What was here when; filled only where a key was called back.
    seen: Seen,
    /// Whether what was here before a key was called back stays.
    before_stays: bool,
}

const HEAD: &str = "\
# The shops this shop trusts. `deadfront plugin shops add` and `remove` write this file; it may be edited by hand.
# for: \"sign\" (its signature says a plugin is its own), \"vet\" (its vets count), \"warn\" (its \"known bad\" stops a
# plugin, even after the last day). only: ids of plugins; left out, it means all of them. until: last day. earlier: keys it
# had before, with the number of the last record of each.

";

impl Shops {
    /// The list of a home; empty where it has none.
    ///
    /// # Errors
    /// The file cannot be read or a row of it is wrong.
    pub(crate) fn load(home: &Home) -> Result<Shops, SharingError> {
        let place = home.shops();
        let mut shops = home.read_text(&place)?.map_or(Ok(Shops::default()), |text| Shops::read(&text, &place))?;
        let records = KeyRecords::load(home)?;
        if !records.0.is_empty() {
            shops.set_revoked(records.revoked(&own_keys(home)?));
        }
        if !shops.revoked.is_empty() {
            (shops.seen, shops.before_stays) = (Seen::load(home)?, Policy::load(home)?.before_revocation.stays());
        }
        Ok(shops)
    }

    pub(super) fn set_revoked(&mut self, revoked: Vec<(String, Day)>) {
        self.revoked = revoked;
    }

    /// First day on which a key is not to be relied on.
    pub(crate) fn revoked_since(&self, key: &PublicKey) -> Option<Day> {
        let text = key.text();
        self.revoked.iter().find(|(key, _)| *key == text).map(|(_, since)| *since)
    }

    /// Why what this key signed does not count, by the sha256 of its bytes: it was called back, and this was not here before,
    /// or the policy lets nothing of it stay.
    pub(super) fn void(&self, key: &PublicKey, sha256: &str) -> Option<String> {
        let since = self.revoked_since(key)?;
        if self.before_stays && self.seen.before(sha256, since) {
            return None;
        }
        Some(format!("its key {} was called back since {since}", key.number()))
    }

    /// A shop by its name.
    pub(crate) fn named(&self, name: &str) -> Option<&Shop> {
        self.rows.iter().find(|s| s.name == name)
    }

    pub(super) fn named_mut(&mut self, name: &str) -> Option<&mut Shop> {
        self.rows.iter_mut().find(|s| s.name == name)
    }

    /// Whether a shop of the list has this key, or had it.
    pub(super) fn any_has(&self, key: &PublicKey) -> bool {
        let text = key.text();
        self.rows.iter().any(|s| s.has_key(&text))
    }

    /// Reads the text of a list.
    ///
    /// # Errors
    /// A row is wrong, or two rows have one name or one key.
    pub(crate) fn read(text: &str, place: &Path) -> Result<Shops, SharingError> {
        let list: List = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, ""))?;
        let mut shops = Shops::default();
        for row in list.shop {
            let key = PublicKey::from_text(&row.key);
            let key = key.map_err(|m| SharingError::wrong(place, format!("the key of {} {m}", row.name), ""))?;
            let mut earlier = vec![];
            for EarlierRow { key, last_number } in row.earlier {
                let key = PublicKey::from_text(&key);
                let key = key.map_err(|m| SharingError::wrong(place, format!("a key of {} {m}", row.name), ""))?;
                earlier.push(EarlierKey { key, last_number });
            }
            let shop = Shop { name: row.name, key, trusted: row.trusted, only: row.only, until: row.until, earlier };
            shops.put(shop, place)?;
        }
        Ok(shops)
    }

    fn put(&mut self, shop: Shop, place: &Path) -> Result<(), SharingError> {
        if let Some(error) = names::error_in_shop(&shop.name) {
            return Err(SharingError::wrong(place, format!("the name \"{}\" {error}", shop.name.escape_debug()), ""));
        }
        if let Some(id) = shop.only.iter().find(|id| !is_kebab(id)) {
            return Err(SharingError::wrong(place, format!("\"{}\" can be no id of a plugin", id.escape_debug()), ""));
        }
        if shop.trusted.is_empty() {
            let help = "name at least one of sign, vet, warn";
            return Err(SharingError::wrong(place, format!("{} is trusted for nothing", shop.name), help));
        }
        // Names that differ only in what a reader does not see are one name.
        if let Some(other) = self.rows.iter().find(|s| names::look(&s.name) == names::look(&shop.name)) {
            let help =
                "a shop has one row: to change or prolong its trust, `plugin shops remove` it, then add it again";
            let same = other.name == shop.name;
            let message = match same {
                true => format!("{} is listed already", other.name),
                false => format!("{} looks like {}, which is listed already", shop.name, other.name),
            };
            return Err(SharingError::wrong(place, message, help));
        }
        if let Some(other) = self.rows.iter().find(|s| shop.keys().any(|key| s.has_key(&key.text()))) {
            let help = "one key under two names would count as two shops";
            return Err(SharingError::wrong(place, format!("{} has the same key as {}", shop.name, other.name), help));
        }
        self.rows.push(shop);
        Ok(())
    }

    /// Adds a shop.
    ///
    /// # Errors
    /// Name or key are listed already, the name does not print, or the trust would last longer than the policy lets it.
    pub(crate) fn add(&mut self, shop: Shop, policy: &Policy, today: Day, place: &Path) -> Result<(), SharingError> {
        let last = today.after(policy.trust_days);
        if shop.until > last {
            let message = format!("trust until {} is longer than policy.toml allows", shop.until);
            return Err(SharingError::wrong(place, message, format!("the last day can be {last} (trust-days)")));
        }
        if shop.until < today {
            return Err(SharingError::wrong(place, format!("trust until {} is over already", shop.until), ""));
        }
        // A shop whose key was called back gets its new one in its own row: what the old one said is still its word.
        let replaced = self.named(&shop.name).filter(|old| self.revoked_since(&old.key).is_some()).cloned();
        let Some(old) = replaced else { return self.put(shop, place) };
        let at = self.rows.iter().position(|s| s.name == old.name).unwrap_or(0);
        self.rows.remove(at);
        let mut earlier = old.earlier.clone();
        earlier.push(EarlierKey { key: old.key.clone(), last_number: u64::from(u32::MAX) });
        let put = self.put(Shop { earlier, ..shop }, place);
        if put.is_err() {
            self.rows.insert(at, old);
        }
        put
    }

    /// Takes a shop out; false when it is not listed.
    pub(crate) fn remove(&mut self, name: &str) -> bool {
        let before = self.rows.len();
        self.rows.retain(|s| s.name != name);
        self.rows.len() < before
    }

    /// The shops, in the order of the file.
    pub(crate) fn iter(&self) -> std::slice::Iter<'_, Shop> {
        self.rows.iter()
    }

    /// The text of the list.
    pub(crate) fn text(&self) -> String {
        let row = |s: &Shop| Row {
            name: s.name.clone(),
            key: s.key.text(),
            trusted: s.trusted.clone(),
            only: s.only.clone(),
            until: s.until,
            earlier: s.earlier.iter().map(|e| EarlierRow { key: e.key.text(), last_number: e.last_number }).collect(),
        };
        let list = List { shop: self.rows.iter().map(row).collect() };
        // Texts and lists of texts always become TOML.
        format!("{HEAD}{}", toml::to_string(&list).unwrap_or_default())
    }
}

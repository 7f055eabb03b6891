//! Shelves: what comes in from one, each plugin by itself, and what a shelf that is old, lapsed or not what its index says is worth.
//! Then what a new machine takes over.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::carry;
use crate::sharing::own::{self, OwnShop, TrustTerms};
use crate::sharing::refresh::{News, Refreshed, refresh};
use crate::sharing::shelf::ShelfWish;
use crate::sharing::shops::Purpose;
use crate::sharing::vet::{Record, VetResult};
use crate::sharing::{self, Day, Home, SharingError};
use std::path::{Path, PathBuf};

/// A bench and the shelf of a shop that it lists to warn, with 1.0.0 on it.
struct Shelf {
    bench: Bench,
    keeper: Home,
    folder: PathBuf,
}

impl Shelf {
    fn new() -> Shelf {
        let bench = Bench::with("1.0.0");
        let keeper = Home::at(bench.folder.path().join("keeper"));
        own::make(&keeper, "Wharf Street Library", PASSWORD, today()).unwrap();
        let terms = TrustTerms { trusted: vec![Purpose::Warn], only: vec![], until: None };
        own::trust(&bench.home, "Wharf Street Library", &keeper.public_key(), terms, today()).unwrap();
        let folder = bench.folder.path().join("Shelf");
        let shelf = Shelf { bench, keeper, folder };
        shelf.make();
        shelf
    }

    /// Puts what lies in the parcel on the shelf, and makes its index.
    fn make(&self) {
        self.make_on(today());
    }

    fn make_on(&self, today: Day) {
        let own = OwnShop::unlock(&self.keeper, PASSWORD).unwrap();
        let put = std::slice::from_ref(&self.bench.parcel);
        own.shelf(&self.keeper, &ShelfWish { folder: &self.folder, put, days: 90, today }).unwrap();
    }

    fn refresh(&self) -> Refreshed {
        refresh(&self.bench.home, &self.folder, false, false, today()).unwrap()
    }

    fn dry(&self) -> Refreshed {
        let before = contents(self.bench.home.root());
        let told = refresh(&self.bench.home, &self.folder, true, false, today()).unwrap();
        assert_eq!(contents(self.bench.home.root()), before, "a dry run changed the home");
        told
    }

    fn fail(&self) -> Vec<SharingError> {
        let before = contents(self.bench.home.root());
        let errors = refresh(&self.bench.home, &self.folder, false, false, today()).unwrap_err();
        assert_eq!(contents(self.bench.home.root()), before);
        errors
    }

    fn file(&self, ending: &str) -> PathBuf {
        let mut all = contents(&self.folder).into_keys().filter(|p| p.to_string_lossy().ends_with(ending));
        all.next().unwrap()
    }

    fn bad(&self, bytes: &[u8]) {
        let bad = Record { result: VetResult::KnownBad, note: "misses a lamp".into(), ..record(bytes, "1.0.0") };
        self.bench.put_record(&numbered(7, bad), &SALTMARSH);
    }
}

fn news(told: &Refreshed) -> Vec<(String, String, News)> {
    told.plugins.iter().map(|p| (p.id.clone(), p.version.clone(), p.news)).collect()
}

fn one(version: &str, news: News) -> Vec<(String, String, News)> {
    vec![("probe-bleeder".into(), version.into(), news)]
}

#[test]
fn new_changed_newly_vetted_and_newly_stopped_each_by_itself() {
    let shelf = Shelf::new();
    assert_eq!(news(&shelf.dry()), one("1.0.0", News::New));
    assert_eq!(shelf.bench.installed(), None);
    assert_eq!(news(&shelf.refresh()), one("1.0.0", News::New));
    assert_eq!(shelf.bench.installed(), Some(("1.0.0".into(), None)));
    assert_eq!(news(&shelf.refresh()), one("1.0.0", News::Same));
    // Another vet of the same bytes.
    let bytes = packed(&small_plugin("1.0.0"));
    shelf.bench.put_record(&numbered(3, record(&bytes, "1.0.0")), &SALTMARSH);
    shelf.make();
    assert_eq!(news(&shelf.dry()), one("1.0.0", News::Vetted));
    assert_eq!(news(&shelf.refresh()), one("1.0.0", News::Vetted));
    // A newer version that nobody vetted, then with its vet.
    let newer = packed(&small_plugin("1.1.0"));
    shelf.bench.put_archive("probe-bleeder-1.1.0.tar.gz", &newer);
    shelf.make();
    let told = shelf.refresh();
    assert_eq!(news(&told), one("1.1.0", News::Refused));
    assert!(told.plugins[0].why.iter().any(|w| w.contains("it needs vets by 1 shop")), "{told:?}");
    shelf.bench.put_record(&record(&newer, "1.1.0"), &SALTMARSH);
    shelf.make();
    let told = shelf.refresh();
    assert_eq!((news(&told), told.plugins[0].before.as_deref()), (one("1.1.0", News::Changed), Some("1.0.0")));
    // What is stopped is heard whatever version is on top.
    shelf.bad(&bytes);
    shelf.make();
    assert_eq!(shelf.dry().stopped.len(), 1);
    let told = shelf.refresh();
    assert!(told.stopped[0].contains("Saltmarsh Bench says since 2026-11-20 that these bytes are bad: misses a lamp"));
    assert!(shelf.refresh().stopped.is_empty());
    assert_eq!(shelf.bench.installed(), Some(("1.1.0".into(), None)));
}

#[test]
fn the_index_gives_no_trust_and_has_to_be_that_of_a_listed_shop() {
    let shelf = Shelf::new();
    let vets = contents(&shelf.folder).into_keys().filter(|p| p.to_string_lossy().contains("/vets/"));
    vets.for_each(|place| std::fs::remove_file(place).unwrap());
    shelf.bench.empty();
    shelf.make_without_parcel();
    assert_eq!(news(&shelf.refresh()), one("1.0.0", News::Refused));
    assert_eq!(shelf.bench.installed(), None);
    own::distrust(&shelf.bench.home, "Wharf Street Library").unwrap();
    assert!(told(&shelf.fail()).contains("which is not in shops.toml"));
}

impl Shelf {
    fn make_without_parcel(&self) {
        let own = OwnShop::unlock(&self.keeper, PASSWORD).unwrap();
        own.shelf(&self.keeper, &ShelfWish { folder: &self.folder, put: &[], days: 90, today: today() }).unwrap();
    }
}

#[test]
fn an_index_that_was_changed_renamed_or_is_missing_is_refused() {
    let shelf = Shelf::new();
    let index = shelf.folder.join("index.toml");
    let text = std::fs::read_to_string(&index).unwrap();
    for (from, to) in [
        ("serial = 1", "serial = 2"),
        ("probe-bleeder-1.0.0.tar.gz\"", "probe-bleeder-1.0.1.tar.gz\""),
        ("expires = \"2027-02-23\"", "expires = \"2099-02-23\""),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        std::fs::write(&index, changed).unwrap();
        assert!(told(&shelf.fail()).contains("is not what the key of Wharf Street Library"));
    }
    std::fs::write(&index, &text).unwrap();
    std::fs::remove_file(shelf.folder.join("index.toml.minisig")).unwrap();
    assert!(told(&shelf.fail()).contains("has no signature"));
    std::fs::remove_file(&index).unwrap();
    assert!(told(&shelf.fail()).contains("is not there"));
    // Signed, and yet with a path that leads out.
    let own = OwnShop::unlock(&shelf.keeper, PASSWORD).unwrap();
    for path in ["plugins/../../shops.toml", "/etc/motd", "vets/a.toml", "other/a.vet", "vets/../vets/a.vet"] {
        let sum = "0".repeat(64);
        let hostile =
            text.replacen("[[file]]", &format!("[[file]]\npath = \"{path}\"\nsha256 = \"{sum}\"\n\n[[file]]"), 1);
        std::fs::write(&index, &hostile).unwrap();
        let signature = own.signed(hostile.as_bytes(), "x", Path::new("x")).unwrap();
        std::fs::write(shelf.folder.join("index.toml.minisig"), signature).unwrap();
        assert!(told(&shelf.fail()).contains("which cannot lie on a shelf"), "{path}");
    }
}

/// What a shelf that is not in order lets in: nothing new, and every warning.
#[test]
fn where_the_shelf_is_not_in_order_the_stricter_holds() {
    type Attack = fn(&Shelf) -> Day;
    let attacks: [(&str, Attack, &str); 5] = [
        ("lapsed", |_| today().after(91), "the index lapsed on"),
        (
            "older",
            |shelf| {
                let old = contents(&shelf.folder);
                // A later index, on which the newer version is not any more.
                std::fs::remove_dir_all(shelf.folder.join("plugins/probe-bleeder/1.1.0")).unwrap();
                shelf.make_without_parcel();
                shelf.refresh();
                std::fs::remove_dir_all(&shelf.folder).unwrap();
                for (place, bytes) in old {
                    std::fs::create_dir_all(place.parent().unwrap()).unwrap();
                    std::fs::write(place, bytes).unwrap();
                }
                today()
            },
            "was seen before",
        ),
        (
            "of a day to come",
            |shelf| {
                shelf.make_on(today().after(1));
                today()
            },
            "which has not come yet",
        ),
        (
            "a file that is another",
            |shelf| {
                let archive = shelf.file("1.1.0.tar.gz");
                let other = packed(&small_plugin("1.2.0"));
                std::fs::write(archive, other).unwrap();
                today()
            },
            "",
        ),
        (
            "a file that is not listed",
            |shelf| {
                let bytes = packed(&small_plugin("1.3.0"));
                let folder = shelf.folder.join("plugins/probe-bleeder/1.3.0");
                std::fs::create_dir_all(&folder).unwrap();
                std::fs::write(folder.join("probe-bleeder-1.3.0.tar.gz"), bytes).unwrap();
                today()
            },
            "is not in the index",
        ),
    ];
    for (what, attack, amiss) in attacks {
        let shelf = Shelf::new();
        shelf.refresh();
        let bytes = packed(&small_plugin("1.0.0"));
        shelf.bad(&bytes);
        let newer = shelf.bench_newer();
        shelf.make();
        let day = attack(&shelf);
        let told = refresh(&shelf.bench.home, &shelf.folder, false, false, day).unwrap();
        assert!(told.amiss.iter().any(|a| a.contains(amiss)) || amiss.is_empty(), "{what}: {told:?}");
        assert_eq!(told.plugins[0].news, News::Refused, "{what}: {told:?}");
        let (version, why) = shelf.bench.installed().unwrap();
        assert_eq!(version, "1.0.0", "{what}");
        assert!(why.is_some_and(|w| w.contains("these bytes are bad")), "{what}: a warning was not heard");
        drop(newer);
    }
}

impl Shelf {
    /// 1.1.0 with its vet in the parcel.
    fn bench_newer(&self) -> Vec<u8> {
        let newer = packed(&small_plugin("1.1.0"));
        self.bench.put_archive("probe-bleeder-1.1.0.tar.gz", &newer);
        self.bench.put_record(&record(&newer, "1.1.0"), &SALTMARSH);
        newer
    }
}

#[test]
fn a_known_bad_that_vanishes_from_the_shelf_is_told_and_holds() {
    let shelf = Shelf::new();
    shelf.refresh();
    shelf.bad(&packed(&small_plugin("1.0.0")));
    shelf.make();
    shelf.refresh();
    std::fs::remove_file(shelf.file("known-bad.vet")).unwrap();
    std::fs::remove_file(shelf.file("known-bad.vet.minisig")).unwrap();
    shelf.bench.empty();
    shelf.make_without_parcel();
    let told = shelf.refresh();
    assert!(told.amiss[0].contains("is not on the shelf any more"), "{told:?}");
    assert!(shelf.bench.installed().unwrap().1.is_some());
    // Though the records of the home are swept away as well.
    std::fs::remove_dir_all(shelf.bench.home.root().join("vets")).unwrap();
    assert!(shelf.bench.installed().unwrap().1.is_some());
}

#[cfg(unix)]
#[test]
fn links_and_strange_files_do_not_lie_on_a_shelf() {
    let shelf = Shelf::new();
    std::os::unix::fs::symlink("/etc/passwd", shelf.folder.join("vets/a.vet")).unwrap();
    std::fs::write(shelf.folder.join("vets/notes.txt"), "x").unwrap();
    let told = shelf.refresh();
    assert_eq!(told.remarks.iter().filter(|r| r.contains("does not belong on a shelf")).count(), 2, "{told:?}");
    std::fs::remove_dir_all(shelf.folder.join("vets")).unwrap();
    std::os::unix::fs::symlink("/etc", shelf.folder.join("vets")).unwrap();
    assert!(shelf.fail()[0].message.contains("is a link"));
}

#[test]
fn a_new_machine_takes_over_what_was_trusted_and_what_was_stopped() {
    let shelf = Shelf::new();
    let bench = &shelf.bench;
    own::make(&bench.home, "Fenwick Repair Bench", PASSWORD, today()).unwrap();
    shelf.refresh();
    let bytes = packed(&small_plugin("1.0.0"));
    shelf.bad(&bytes);
    shelf.make();
    shelf.refresh();
    let own = OwnShop::unlock(&bench.home, PASSWORD).unwrap();
    let file = bench.folder.path().join("trust.toml");
    let carried = own.carry(&bench.home, &file, false, today()).unwrap();
    assert!(carried.files.iter().all(|f| !f.ends_with(".key") && f != "key/last-number"), "{carried:?}");
    let new = Home::at(bench.folder.path().join("new"));
    // Without the fingerprint anybody's file would do.
    assert!(carry::take(&new, &file, None).is_err());
    assert!(carry::take(&new, &file, Some(&STRANGER.key.fingerprint())).is_err());
    let taken = carry::take(&new, &file, Some(&own.key.fingerprint())).unwrap();
    assert!(!taken.merged && taken.took.contains(&"shops.toml".to_string()), "{taken:?}");
    assert_eq!(own::shops(&new).unwrap(), own::shops(&bench.home).unwrap());
    // The stop holds there, and an older version does not come in either.
    bench.fill("1.0.0");
    let add = |home: &Home| sharing::add(home, std::slice::from_ref(&bench.parcel), false, today());
    assert!(told(&add(&new).unwrap_err()).contains("these bytes are bad"));
    bench.fill("0.9.0");
    assert!(told(&add(&new).unwrap_err()).contains("is older than probe-bleeder 1.0.0"));
    // The shelf that was read is known: an older index is told.
    assert!(new.root().join("shelves/wharf-street-library.shelf.toml").is_file());
    // Into a home with a list of its own only what is stricter comes.
    let other = Bench::new();
    let list = std::fs::read(other.home.shops()).unwrap();
    let taken = carry::take(&other.home, &file, Some(&own.key.fingerprint())).unwrap();
    assert!(taken.merged && taken.left.contains(&"shops.toml".to_string()));
    assert_eq!(std::fs::read(other.home.shops()).unwrap(), list);
    assert!(
        told(&{
            let _ = other.fill("1.0.0");
            other.add().unwrap_err()
        })
        .contains("these bytes are bad")
    );
}

#[test]
fn a_file_of_trust_that_was_changed_or_holds_more_is_refused() {
    let bench = Bench::with("1.0.0");
    own::make(&bench.home, "Fenwick Repair Bench", PASSWORD, today()).unwrap();
    bench.add().unwrap();
    let own = OwnShop::unlock(&bench.home, PASSWORD).unwrap();
    let file = bench.folder.path().join("trust.toml");
    own.carry(&bench.home, &file, true, today()).unwrap();
    let text = std::fs::read_to_string(&file).unwrap();
    let new = || Home::at(tempfile::tempdir().unwrap().keep().join("new"));
    let take = |home: &Home| carry::take(home, &file, Some(&own.key.fingerprint()));
    // Changed after it was signed.
    std::fs::write(&file, text.replacen("vets-needed = 1", "vets-needed = 2", 1)).unwrap();
    assert!(take(&new()).unwrap_err().message.contains("is not what the key it names signed"));
    // Signed by the shop itself, and yet not to be believed in this.
    for (from, to, why) in [
        ("name = \"policy.toml\"", "name = \"../policy.toml\"", "which is no part of what a shop trusts"),
        ("name = \"policy.toml\"", "name = \"store/policy.toml\"", "which is no part of what a shop trusts"),
        ("installed = false", "installed = true", "says that probe-bleeder is installed"),
        ("vets-needed = 1", "vets-neded = 1", "holds what does not read"),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        std::fs::write(&file, &changed).unwrap();
        let signature = own.signed(changed.as_bytes(), "x", Path::new("x")).unwrap();
        std::fs::write(bench.folder.path().join("trust.toml.minisig"), signature).unwrap();
        let error = take(&new()).unwrap_err();
        assert!(error.message.contains(why), "{error}");
    }
    // With its key along, the new machine signs as the old one did.
    own.carry(&bench.home, &file, true, today()).unwrap();
    let home = new();
    take(&home).unwrap();
    assert_eq!(OwnShop::unlock(&home, PASSWORD).unwrap().key, own.key);
}

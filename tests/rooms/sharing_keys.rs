//! Keys that move on: handed to the next one, called back, lost. What a thief of a key can say, and what it is worth.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::key_record::{KeyRecord, KeyWord};
use crate::sharing::keys;
use crate::sharing::own::{self, OwnShop, TrustTerms};
use crate::sharing::policy::DEFAULT;
use crate::sharing::rotate::KeyStatement;
use crate::sharing::shops::Purpose;
use crate::sharing::vet::{Record, VetResult};
use crate::sharing::{self, Day, Home};
use std::path::Path;

/// Quillgate with a home of its own, whose key signs what the bench is sent.
fn quillgate(bench: &Bench) -> Home {
    let home = Home::at(bench.folder.path().join("quillgate"));
    own::make(&home, "Quillgate Repair Co-op", PASSWORD, today()).unwrap();
    trust(bench, "Quillgate Repair Co-op", &home, &[Purpose::Sign, Purpose::Vet]);
    home
}

/// Another shop of that name, in a home of its own, that the bench lists for vets.
fn witness(bench: &Bench, name: &str) -> Home {
    let home = Home::at(bench.folder.path().join("witness"));
    own::make(&home, name, PASSWORD, today()).unwrap();
    trust(bench, name, &home, &[Purpose::Vet]);
    home
}

fn trust(bench: &Bench, name: &str, home: &Home, trusted: &[Purpose]) {
    let _ = own::distrust(&bench.home, name);
    let terms = TrustTerms { trusted: trusted.to_vec(), only: vec![], until: None };
    own::trust(&bench.home, name, &home.public_key(), terms, today()).unwrap();
}

fn said(bench: &Bench, reason: &str, date: Day) -> KeyStatement {
    KeyStatement { reason: reason.into(), into: bench.parcel.clone(), date }
}

fn unlocked(home: &Home) -> OwnShop {
    OwnShop::unlock(home, PASSWORD).unwrap()
}

fn signed_by(bench: &Bench, own: &OwnShop, version: &str) -> Vec<u8> {
    let bytes = packed(&small_plugin(version));
    let place = bench.parcel.join(format!("probe-bleeder-{version}.tar.gz"));
    let _ = std::fs::remove_file(bench.parcel.join(format!("probe-bleeder-{version}.tar.gz.minisig")));
    std::fs::write(&place, &bytes).unwrap();
    own.sign(&bench.home, &place).unwrap();
    bench.put_record(&record(&bytes, version), &SALTMARSH);
    bytes
}

/// What `add` said of keys, and what it left open.
fn heard(bench: &Bench, date: Day) -> (Vec<String>, Vec<String>) {
    let added = sharing::add(&bench.home, std::slice::from_ref(&bench.parcel), false, date).unwrap();
    (added.keys, added.remarks)
}

#[test]
fn a_new_key_is_taken_when_somebody_compared_it_and_not_on_the_old_ones_word() {
    let bench = Bench::new();
    let home = quillgate(&bench);
    let old = unlocked(&home).key;
    let (shop, written) = unlocked(&home).rotate(&home, PASSWORD, &said(&bench, "a new machine", today())).unwrap();
    assert_ne!(shop.key, old);
    assert_eq!(unlocked(&home).key, shop.key);
    // By itself it changes nothing: what the new key signs is a stranger's.
    let (changed, remarks) = heard(&bench, today());
    assert!(changed.is_empty() && remarks[0].contains(&shop.key.fingerprint()), "{remarks:?}");
    bench.empty();
    signed_by(&bench, &unlocked(&home), "1.0.0");
    assert!(told(&bench.add().unwrap_err()).contains("which is not in shops.toml"));
    // A person compared it.
    let (row, record) = keys::confirm(&bench.home, "Quillgate Repair Co-op").unwrap();
    assert_eq!((row.key.clone(), record), (shop.key, written.record));
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    // What the old key signed is still the shop's, up to the record that handed it on.
    assert_eq!(row.earlier[0].key, old);
    bench.empty();
    let earlier = OwnShop::unlock_key(&home, Some(&old.number()), PASSWORD).unwrap();
    signed_by(&bench, &earlier, "1.1.0");
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.1.0".into(), None)));
    assert!(keys::confirm(&bench.home, "Quillgate Repair Co-op").is_err());
}

#[test]
fn the_word_of_another_listed_shop_takes_it_and_that_of_a_stranger_does_not() {
    for (listed, taken) in [(true, true), (false, false)] {
        let bench = Bench::new();
        let home = quillgate(&bench);
        let other = witness(&bench, "Tidewater Audio");
        if !listed {
            own::distrust(&bench.home, "Tidewater Audio").unwrap();
        }
        let (shop, written) = unlocked(&home).rotate(&home, PASSWORD, &said(&bench, "", today())).unwrap();
        unlocked(&other).confirmation(&other, &written.record, &said(&bench, "", today())).unwrap();
        let (changed, remarks) = heard(&bench, today());
        assert_eq!(changed.len(), usize::from(taken), "{changed:?} {remarks:?}");
        let row = sharing::shops::Shops::load(&bench.home).unwrap();
        assert_eq!(row.named("Quillgate Repair Co-op").unwrap().key == shop.key, taken);
    }
}

#[test]
fn two_successors_of_one_key_are_a_quarrel_that_a_person_ends() {
    let bench = Bench::new();
    let home = quillgate(&bench);
    let thief = Home::at(bench.folder.path().join("thief"));
    std::fs::create_dir_all(thief.root().join("key")).unwrap();
    for name in ["key/shop.key", "key/shop.pub", "shops.toml", "policy.toml"] {
        std::fs::copy(home.root().join(name), thief.root().join(name)).unwrap();
    }
    #[cfg(unix)]
    for place in [thief.root().to_path_buf(), thief.root().join("key")] {
        use std::os::unix::fs::PermissionsExt as _;
        std::fs::set_permissions(place, std::fs::Permissions::from_mode(0o700)).unwrap();
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        std::fs::set_permissions(thief.secret_key(), std::fs::Permissions::from_mode(0o600)).unwrap();
    }
    let own = unlocked(&home);
    own.rotate(&home, PASSWORD, &said(&bench, "", today())).unwrap();
    let elsewhere = bench.folder.path().join("elsewhere");
    std::fs::create_dir(&elsewhere).unwrap();
    let stolen = KeyStatement { into: elsewhere.clone(), ..said(&bench, "", today()) };
    let (false_shop, _) = unlocked(&thief).rotate(&thief, PASSWORD, &stolen).unwrap();
    let added = sharing::add(&bench.home, &[bench.parcel.clone(), elsewhere], false, today()).unwrap();
    assert!(added.keys.is_empty());
    assert!(added.remarks.iter().any(|r| r.contains("two successors")), "{:?}", added.remarks);
    assert!(keys::confirm(&bench.home, "Quillgate Repair Co-op").unwrap_err().message.contains("two successors"));
    // Its own revocation of the old key, by phone the new key: the row goes on with what was found out.
    let earlier = OwnShop::unlock_key(&home, Some(&own.key.number()), PASSWORD).unwrap();
    bench.empty();
    earlier.revoke(&home, None, day("2026-11-20"), &said(&bench, "the laptop was stolen", today())).unwrap();
    let (changed, _) = heard(&bench, today());
    assert!(changed[0].contains("calls its key back since 2026-11-20: the laptop was stolen"), "{changed:?}");
    let terms = TrustTerms { trusted: vec![Purpose::Sign], only: vec![], until: None };
    let row = own::trust(&bench.home, "Quillgate Repair Co-op", &home.public_key(), terms.clone(), today()).unwrap();
    assert_eq!(row.key, unlocked(&home).key);
    assert_ne!(row.key, false_shop.key);
    // A key that was called back is not listed again under another name.
    let again = own::trust(
        &bench.home,
        "Other",
        &thief.root().join("key").join(format!("earlier-{}.pub", own.key.number())),
        terms,
        today(),
    );
    assert!(again.is_err());
}

#[test]
fn what_a_revoked_key_signed_counts_only_where_it_was_here_before() {
    for (policy, first_seen, since, stays) in [
        ("stays", "2026-11-21", "2026-11-22", true),
        ("stays", "2026-11-22", "2026-11-22", false),
        ("stays", "2026-11-24", "2026-11-22", false),
        ("stops", "2026-11-21", "2026-11-22", false),
    ] {
        let bench = Bench::new();
        let text = DEFAULT.replace("before-revocation = \"stays\"", &format!("before-revocation = \"{policy}\""));
        std::fs::write(bench.home.policy(), text).unwrap();
        let home = quillgate(&bench);
        signed_by(&bench, &unlocked(&home), "1.0.0");
        sharing::add(&bench.home, std::slice::from_ref(&bench.parcel), false, day(first_seen)).unwrap();
        bench.empty();
        unlocked(&home).revoke(&home, None, day(since), &said(&bench, "lost on a train", today())).unwrap();
        heard(&bench, today());
        let (version, why) = bench.installed().unwrap();
        assert_eq!((version.as_str(), why.is_none()), ("1.0.0", stays), "{first_seen} {why:?}");
        // Whatever day a thief writes on it, what comes in from now on counts for nothing.
        bench.empty();
        let bytes = packed(&small_plugin("1.1.0"));
        let thief = OwnShop::unlock_key(&home, Some(&revoked_number(&home)), PASSWORD).unwrap();
        std::fs::write(bench.parcel.join("probe-bleeder-1.1.0.tar.gz"), &bytes).unwrap();
        thief.sign(&bench.home, &bench.parcel.join("probe-bleeder-1.1.0.tar.gz")).unwrap();
        bench.put_record(&record(&bytes, "1.1.0"), &SALTMARSH);
        assert!(told(&bench.add().unwrap_err()).contains("was called back since"));
        // The shop has no key then, and makes a new one under its old name.
        assert!(OwnShop::unlock(&home, PASSWORD).is_err());
        let fresh = own::make(&home, "Quillgate Repair Co-op", PASSWORD, today()).unwrap();
        assert_eq!((fresh.key, unlocked(&home).name), (unlocked(&home).key, "Quillgate Repair Co-op".to_string()));
    }
}

fn revoked_number(home: &Home) -> String {
    let names = std::fs::read_dir(home.root().join("key")).unwrap();
    let names = names.map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
    let name = names.filter(|n| n.starts_with("revoked-") && n.ends_with(".key")).last().unwrap();
    name.trim_start_matches("revoked-").trim_end_matches(".key").to_string()
}

#[test]
fn a_thief_of_a_revoked_key_neither_stops_nor_lifts_anything() {
    let bench = Bench::new();
    let home = quillgate(&bench);
    let bytes = signed_by(&bench, &unlocked(&home), "1.0.0");
    sharing::add(&bench.home, std::slice::from_ref(&bench.parcel), false, day("2026-11-20")).unwrap();
    bench.empty();
    let thief = unlocked(&home);
    thief.revoke(&home, None, day("2026-11-22"), &said(&bench, "stolen", today())).unwrap();
    heard(&bench, today());
    bench.empty();
    let bad = Record {
        shop: "Quillgate Repair Co-op".into(),
        result: VetResult::KnownBad,
        ..numbered(900, record(&bytes, "1.0.0"))
    };
    let name = bad.file_name();
    std::fs::write(bench.parcel.join(&name), bad.text()).unwrap();
    let signature = thief.signed(bad.text().as_bytes(), "x", Path::new("x")).unwrap();
    std::fs::write(bench.parcel.join(format!("{name}.minisig")), signature).unwrap();
    let (_, remarks) = heard(&bench, today());
    assert!(remarks[0].contains("it does not count: its key"), "{remarks:?}");
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
}

#[test]
fn a_lost_key_is_called_back_in_each_shop_and_the_new_one_takes_its_row() {
    let bench = Bench::new();
    own::make(&bench.home, "Fenwick Repair Bench", PASSWORD, today()).unwrap();
    let home = quillgate(&bench);
    signed_by(&bench, &unlocked(&home), "1.0.0");
    sharing::add(&bench.home, std::slice::from_ref(&bench.parcel), false, day("2026-11-20")).unwrap();
    bench.empty();
    // The disk is gone, and with it the key; Quillgate makes another one on a new machine and telephones.
    let new = Home::at(bench.folder.path().join("new-machine"));
    let fresh = own::make(&new, "Quillgate Repair Co-op", PASSWORD, today()).unwrap();
    let terms = || TrustTerms { trusted: vec![Purpose::Sign], only: vec![], until: None };
    let listed = own::trust(&bench.home, "Quillgate Repair Co-op", &new.public_key(), terms(), today());
    assert!(listed.unwrap_err().message.contains("is listed already"));
    let shops = own::shops(&bench.home).unwrap();
    let own = unlocked(&bench.home);
    let lost = shops.named("Quillgate Repair Co-op");
    own.revoke(&bench.home, lost, day("2026-11-25"), &said(&bench, "their disk died", today())).unwrap();
    let row = own::trust(&bench.home, "Quillgate Repair Co-op", &new.public_key(), terms(), today()).unwrap();
    assert_eq!((row.key, row.earlier.len()), (fresh.key, 1));
    // What it signed before is still its own.
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    // To a shop that lists this one the record is told, and does nothing by itself.
    let other = Bench::new();
    trust(&other, "Fenwick Repair Bench", &bench.home, &[Purpose::Vet]);
    trust(&other, "Quillgate Repair Co-op", &home, &[Purpose::Sign]);
    let added = sharing::add(&other.home, std::slice::from_ref(&bench.parcel), false, today()).unwrap();
    assert!(added.keys.is_empty() && added.remarks[0].contains("ask Quillgate Repair Co-op by voice"), "{added:?}");
}

#[test]
fn a_rotation_that_was_cut_short_is_ended_by_the_next_use_of_the_key() {
    let bench = Bench::new();
    let home = quillgate(&bench);
    let before = std::fs::read(home.shops()).unwrap();
    let (shop, _) = unlocked(&home).rotate(&home, PASSWORD, &said(&bench, "", today())).unwrap();
    // Killed before the list was written.
    std::fs::write(home.shops(), &before).unwrap();
    assert_eq!(unlocked(&home).key, shop.key);
    assert_eq!(own::shops(&home).unwrap().named("Quillgate Repair Co-op").unwrap().earlier.len(), 1);
    // Killed before the new key was in its place: the same new key is taken up again.
    let next = home.root().join("key/next.key");
    std::fs::rename(home.secret_key(), &next).unwrap();
    let old = contents(&home.root().join("key")).into_keys().find(|p| {
        let name = p.file_name().unwrap().to_string_lossy().into_owned();
        name.starts_with("earlier-") && name.ends_with(".key")
    });
    std::fs::copy(old.unwrap(), home.secret_key()).unwrap();
    std::fs::write(home.shops(), &before).unwrap();
    let (again, _) = unlocked(&home).rotate(&home, PASSWORD, &said(&bench, "", today())).unwrap();
    assert_eq!(again.key, shop.key);
    assert!(!next.exists());
}

#[test]
fn a_key_record_that_is_not_what_it_says_is_refused() {
    let bench = Bench::new();
    let home = quillgate(&bench);
    let (_, written) = unlocked(&home).rotate(&home, PASSWORD, &said(&bench, "a reason", today())).unwrap();
    assert_eq!(written.record.says, KeyWord::Succession);
    let text = std::fs::read_to_string(&written.place).unwrap();
    let earlier = OwnShop::unlock_key(&home, Some(&old_number(&written.record)), PASSWORD).unwrap();
    let stranger = &STRANGER.key.text();
    for (from, to) in [
        ("format = 1", "format = 2"),
        ("a reason", "another reason"),
        ("number = ", "caveat = 1\nnumber = "),
        (written.record.new_key.as_str(), stranger.as_str()),
        ("says = \"succession\"", "says = \"confirmation\""),
        ("says = \"succession\"", "says = \"revocation\""),
    ] {
        let changed = text.replace(from, to);
        assert_ne!(changed, text);
        // Even signed anew by the same key.
        let signature = earlier.signed(changed.as_bytes(), "x", Path::new("x")).unwrap();
        std::fs::write(&written.place, &changed).unwrap();
        let beside = written.place.with_file_name(written.record.signature_name());
        std::fs::write(&beside, signature).unwrap();
        let result = sharing::add(&bench.home, std::slice::from_ref(&bench.parcel), false, today());
        // A reason may be reworded by whoever holds the key: it is then another record of that key.
        assert_eq!(result.is_ok(), from == "a reason", "{to}");
    }
}

fn old_number(record: &KeyRecord) -> String {
    sharing::sign::PublicKey::from_text(&record.key).unwrap().number()
}

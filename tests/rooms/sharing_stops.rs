//! What was said to be bad stays stopped: order is that of numbers, not of days; trust that ends takes no stop with it; only
//! the same key, later, or a person of this shop takes it back.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::lift::{self, LiftReason};
use crate::sharing::own::{self, OwnShop};
use crate::sharing::policy::DEFAULT;
use crate::sharing::sign::{PublicKey, SecretKey};
use crate::sharing::vet::{Record, VetResult};
use crate::sharing::{self, Home};
use std::sync::LazyLock;

/// A bench on which Quillgate vets as well and one vet is enough.
fn bench() -> (Bench, Vec<u8>) {
    let bench = Bench::new();
    std::fs::write(bench.home.policy(), DEFAULT.replacen("author-counts = false", "author-counts = true", 1)).unwrap();
    let list = shops().text().replacen("for = [\"sign\"]", "for = [\"sign\", \"vet\"]", 1);
    std::fs::write(bench.home.shops(), list).unwrap();
    let bytes = bench.fill("1.0.0");
    bench.put_record(&Record { shop: "Quillgate Repair Co-op".into(), ..record(&bytes, "1.0.0") }, &QUILLGATE);
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    (bench, bytes)
}

/// Adds records of Saltmarsh alone.
fn say(bench: &Bench, records: &[Record]) {
    bench.empty();
    records.iter().for_each(|r| bench.put_record(r, &SALTMARSH));
    bench.add().unwrap();
}

fn says(bytes: &[u8], number: u64, result: VetResult) -> Record {
    numbered(number, Record { result, ..record(bytes, "1.0.0") })
}

fn is_stopped(bench: &Bench) -> bool {
    bench.installed().unwrap().1.is_some_and(|why| why.contains("these bytes are bad"))
}

#[test]
fn it_outlives_the_key_that_said_so() {
    let (bench, bytes) = bench();
    say(&bench, &[says(&bytes, 5, VetResult::KnownBad)]);
    assert!(is_stopped(&bench));
    own::distrust(&bench.home, "Saltmarsh Bench").unwrap();
    assert!(is_stopped(&bench));
    // The records may go as well: the stop is this home's own word.
    std::fs::remove_dir_all(bench.home.root().join("vets")).unwrap();
    let why = bench.installed().unwrap().1.unwrap();
    assert!(why.starts_with("Saltmarsh Bench says since 2026-11-20 that these bytes are bad"), "{why}");
    // The same parcel does not come in again, nor after everything about the plugin was forgotten.
    sharing::remove(&bench.home, "probe-bleeder", true).unwrap();
    bench.fill("1.0.0");
    bench.put_record(&Record { shop: "Quillgate Repair Co-op".into(), ..record(&bytes, "1.0.0") }, &QUILLGATE);
    assert!(told(&bench.add().unwrap_err()).contains("these bytes are bad"));
    // The twin: other bytes come in.
    let other = bench.fill("1.0.1");
    bench.put_record(&Record { shop: "Quillgate Repair Co-op".into(), ..record(&other, "1.0.1") }, &QUILLGATE);
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.1".into(), None)));
}

#[test]
fn a_home_that_an_older_program_filled_keeps_its_stops_when_the_shop_is_taken_out() {
    let (bench, bytes) = bench();
    say(&bench, &[Record { result: VetResult::KnownBad, ..record(&bytes, "1.0.0") }]);
    std::fs::remove_dir_all(bench.home.root().join("stops")).unwrap();
    assert!(is_stopped(&bench));
    own::distrust(&bench.home, "Saltmarsh Bench").unwrap();
    assert!(is_stopped(&bench));
}

#[test]
fn the_number_decides_and_the_day_does_not() {
    use VetResult::{Good, KnownBad, Withdrawn};
    // Numbers in the order in which they are heard, and whether the plugin is stopped, whether Saltmarsh's vet counts then.
    type Row<'a> = (&'a [(u64, VetResult)], bool, bool);
    let table: [Row; 9] = [
        (&[(3, KnownBad)], true, false),
        (&[(3, KnownBad), (4, Good)], true, false),
        (&[(4, Good), (3, KnownBad)], true, false),
        (&[(3, KnownBad), (4, Withdrawn)], false, false),
        (&[(4, Withdrawn), (3, KnownBad)], false, false),
        (&[(3, KnownBad), (2, Withdrawn)], true, false),
        (&[(3, KnownBad), (4, Withdrawn), (5, Good)], false, true),
        (&[(3, KnownBad), (3, Withdrawn), (3, Good)], true, false),
        (&[(4, Withdrawn), (5, KnownBad), (4, Good)], true, false),
    ];
    for (heard, stopped, counts) in table {
        let (bench, bytes) = bench();
        for (number, result) in heard {
            // The later the number, the earlier the day.
            let date = day(&format!("2026-11-{:02}", 20 - number));
            say(&bench, &[Record { date, ..says(&bytes, *number, *result) }]);
        }
        assert_eq!(is_stopped(&bench), stopped, "{heard:?}");
        let all = sharing::installed(&bench.home, today()).unwrap();
        assert_eq!(all[0].vetted_by.contains(&"Saltmarsh Bench".to_string()), counts, "{heard:?}");
    }
}

#[test]
fn records_without_a_number_have_no_order() {
    let (bench, bytes) = bench();
    let of = |result, date: &str| Record { result, date: day(date), ..record(&bytes, "1.0.0") };
    say(&bench, &[of(VetResult::KnownBad, "2026-11-21"), of(VetResult::Withdrawn, "2026-11-23")]);
    assert!(is_stopped(&bench));
    // One with a number is later than all of them.
    say(&bench, &[says(&bytes, 1, VetResult::Withdrawn)]);
    assert!(!is_stopped(&bench));
}

#[test]
fn a_withdrawal_by_a_key_that_is_not_trusted_any_more_lifts_nothing() {
    let (bench, bytes) = bench();
    say(&bench, &[says(&bytes, 5, VetResult::KnownBad)]);
    own::distrust(&bench.home, "Saltmarsh Bench").unwrap();
    say(&bench, &[says(&bytes, 6, VetResult::Withdrawn)]);
    assert!(is_stopped(&bench));
}

#[test]
fn a_stop_that_was_changed_is_told_and_stops() {
    let (bench, bytes) = bench();
    say(&bench, &[says(&bytes, 5, VetResult::KnownBad)]);
    own::distrust(&bench.home, "Saltmarsh Bench").unwrap();
    let place = contents(&bench.home.root().join("stops")).into_keys().next().unwrap();
    for text in ["", "format = 1\n", &std::fs::read_to_string(&place).unwrap().replace("sha256 = \"", "sha256 = \"0")] {
        std::fs::write(&place, text).unwrap();
        let why = bench.installed().unwrap().1.unwrap();
        assert!(why.contains("put it back from a copy of the home"), "{why}");
    }
}

/// A key that costs little to unlock: made by the library without a password, then put into the home as it would be.
static OWN: LazyLock<(PublicKey, String)> = LazyLock::new(|| SecretKey::generate(PASSWORD).unwrap());

fn own_shop(home: &Home) -> OwnShop {
    std::fs::create_dir_all(home.secret_key().parent().unwrap()).unwrap();
    std::fs::write(home.secret_key(), &OWN.1).unwrap();
    std::fs::write(home.public_key(), OWN.0.file_text("Tidewater Audio")).unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        std::fs::set_permissions(home.secret_key(), std::fs::Permissions::from_mode(0o600)).unwrap();
    }
    let list = std::fs::read_to_string(home.shops()).unwrap();
    let row = format!(
        "\n[[shop]]\nname = \"Tidewater Audio\"\nkey = \"{}\"\nfor = [\"vet\"]\nuntil = \"2027-06-30\"\n",
        OWN.0.text()
    );
    std::fs::write(home.shops(), list + &row).unwrap();
    OwnShop::unlock(home, PASSWORD).unwrap()
}

fn why(by: &str, reason: &str) -> LiftReason {
    LiftReason { by: by.into(), reason: reason.into(), of: String::new(), date: today() }
}

#[test]
fn a_person_lifts_it_by_name_and_reason_and_the_next_warning_stops_again() {
    let (bench, bytes) = bench();
    say(&bench, &[says(&bytes, 5, VetResult::KnownBad)]);
    own::distrust(&bench.home, "Saltmarsh Bench").unwrap();
    let own = own_shop(&bench.home);
    let home = &bench.home;
    for (by, reason, what) in [("", "measured", "--by is empty"), ("A. Person", " ", "--reason is empty")] {
        let error = own.lift(home, "probe-bleeder@1.0.0", why(by, reason)).unwrap_err();
        assert!(error.to_string().contains(what), "{error}");
    }
    for what in ["probe-bleeder@1.0.1", "probe-bleeder", &sharing::sha256(&bytes)[..11]] {
        assert!(own.lift(home, what, why("A. Person", "measured")).is_err(), "{what}");
    }
    assert!(is_stopped(&bench));
    own.lift(home, &sharing::sha256(&bytes)[..12], why("A. Person", "measured, bench book 12")).unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    let listed = lift::stops(home).unwrap();
    assert_eq!((listed.len(), listed[0].stop.shop.as_str(), listed[0].installed), (1, "Saltmarsh Bench", true));
    let kept = listed[0].lift.as_ref().unwrap();
    assert_eq!((kept.by.as_str(), kept.reason.as_str()), ("A. Person", "measured, bench book 12"));
    // Nothing is left to lift.
    assert!(own.lift(home, "probe-bleeder@1.0.0", why("A. Person", "again")).is_err());
    // A lift that was changed, or has lost its signature, lifts nothing and is told.
    let place = contents(&home.root().join("lifts")).into_keys().find(|p| p.extension().unwrap() == "lift").unwrap();
    let whole = std::fs::read_to_string(&place).unwrap();
    std::fs::write(&place, whole.replace("A. Person", "B. Person")).unwrap();
    assert!(bench.installed().unwrap().1.unwrap().contains("is not what this shop's key signed"));
    std::fs::write(&place, whole).unwrap();
    // The next record stops again, by whomever.
    bench.empty();
    let bad = Record { shop: "Quillgate Repair Co-op".into(), ..says(&bytes, 9, VetResult::KnownBad) };
    bench.put_record(&bad, &QUILLGATE);
    bench.add().unwrap();
    assert!(is_stopped(&bench));
}

#[test]
fn numbers_of_this_shops_records_only_rise() {
    let bench = Bench::new();
    let own = own_shop(&bench.home);
    bench.fill("1.0.0");
    let place = bench.parcel.join("probe-bleeder-1.0.0.tar.gz");
    let vet = |result| {
        let said = own::Statement { did: vec![], cases: 0, result, note: String::new(), date: today() };
        own.vet(&bench.home, &place, said).unwrap().0
    };
    let numbers = [vet(VetResult::KnownBad), vet(VetResult::Withdrawn), vet(VetResult::KnownBad)].map(|r| r.number);
    assert_eq!(numbers, [1, 2, 3]);
    // A number that cannot be read is told, and nothing begins anew.
    std::fs::write(bench.home.root().join("key/last-number"), "x").unwrap();
    let said =
        own::Statement { did: vec![], cases: 0, result: VetResult::KnownBad, note: String::new(), date: today() };
    assert!(own.vet(&bench.home, &place, said).unwrap_err().to_string().contains("is no number"));
}

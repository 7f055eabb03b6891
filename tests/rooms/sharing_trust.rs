//! Whom a shop trusts, how far, and what its policy asks for: each setting with a plugin it lets in and one it does not.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::policy::{DEFAULT, Policy};
use crate::sharing::shops::{Purpose, Shops};
use crate::sharing::vet::{Did, Record, VetResult};
use crate::sharing::{self, Day, SharingErrorKind};
use std::path::Path;

/// A bench whose policy and list are changed by literal replacement.
fn bench(policy: &[(&str, &str)], shops_changed: impl Fn(&mut String)) -> Bench {
    let bench = Bench::with("1.0.0");
    let mut text = DEFAULT.to_string();
    for (from, to) in policy {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    std::fs::write(bench.home.policy(), text).unwrap();
    let mut text = shops().text();
    shops_changed(&mut text);
    std::fs::write(bench.home.shops(), text).unwrap();
    bench
}

fn replaced(from: &str, to: &str) -> impl Fn(&mut String) {
    move |text| {
        assert!(text.contains(from), "{text}");
        *text = text.replacen(from, to, 1);
    }
}

fn refused(bench: &Bench, what: &str) {
    let before = contents(bench.home.root());
    let faults = bench.add().expect_err(what);
    assert!(told(&faults).contains(what), "{}", told(&faults));
    assert!(faults.iter().all(|f| f.kind == SharingErrorKind::Refused), "{faults:?}");
    assert_eq!(contents(bench.home.root()), before);
}

#[test]
fn a_parcel_in_order_comes_in_and_says_who_answers_for_it() {
    let bench = bench(&[], |_| {});
    let added = bench.add().unwrap();
    let plugin = &added.plugins[0];
    assert_eq!((plugin.signed_by.as_str(), &plugin.before), ("Quillgate Repair Co-op", &None));
    assert_eq!(plugin.vetted_by, ["Saltmarsh Bench"]);
    let all = sharing::installed(&bench.home, today()).unwrap();
    assert_eq!(all[0].vetted_by, ["Saltmarsh Bench"]);
    assert_eq!(all[0].units.as_deref().unwrap(), ["discharge-probe"]);
    assert_eq!(all[0].files.as_ref().unwrap(), &small_plugin("1.0.0"));
    // The same parcel once more changes nothing.
    let before = contents(bench.home.root());
    assert_eq!(bench.add().unwrap().plugins[0].before.as_deref(), Some("1.0.0"));
    assert_eq!(contents(bench.home.root()), before);
}

#[test]
fn every_setting_of_the_policy_bites() {
    let none = |_: &mut String| {};
    refused(
        &bench(&[("vets-needed = 1", "vets-needed = 2")], none),
        "it needs vets by 2 shops (vets-needed); those of 1",
    );
    let must = bench(&[("\"ran-its-cases\"]\n\n# Shops", "\"measured\"]\n\n# Shops")], none);
    refused(&must, "it leaves out measured (must-have)");
    let include = bench(&[("must-include = []", "must-include = [\"Tidewater Audio\"]")], none);
    refused(&include, "the vet of Tidewater Audio is missing (must-include)");
    // The record is of 2026-11-20, five days before.
    refused(&bench(&[("vet-days = 730", "vet-days = 4")], none), "older than 4 days (vet-days)");
    assert!(bench(&[("vet-days = 730", "vet-days = 5")], none).add().is_ok());
    let include = bench(&[("must-include = []", "must-include = [\"Saltmarsh Bench\"]")], none);
    assert!(include.add().is_ok());
    for (setting, to, what) in [
        ("files = 200", "files = 1", "more than 1 files"),
        ("file-bytes = 1048576", "file-bytes = 100", "larger than 100 bytes"),
        ("all-bytes = 8388608", "all-bytes = 200", "larger than 200 bytes together"),
    ] {
        let faults = bench(&[(setting, to)], none).add().unwrap_err();
        assert!(told(&faults).contains(what), "{}", told(&faults));
    }
    // Trust: 365 days from the day of the test is the last day that can be given.
    let policy = Policy::read(DEFAULT, Path::new("policy.toml")).unwrap();
    for (until, fits) in [("2027-11-25", true), ("2027-11-26", false), ("2026-11-25", true), ("2026-11-24", false)] {
        let mut shop = shop("Tidewater Audio", &STRANGER, &[Purpose::Vet]);
        shop.until = day(until);
        assert_eq!(shops().add(shop, &policy, today(), Path::new("shops.toml")).is_ok(), fits, "{until}");
    }
}

#[test]
fn the_author_counts_only_when_the_policy_says_so() {
    let both = replaced("for = [\"sign\"]", "for = [\"sign\", \"vet\"]");
    for (setting, counts) in [("author-counts = false", false), ("author-counts = true", true)] {
        let bench = bench(&[("author-counts = false", setting)], &both);
        bench.empty();
        let bytes = packed(&small_plugin("1.0.0"));
        bench.put_archive("probe-bleeder-1.0.0.tar.gz", &bytes);
        let own = Record { shop: "Quillgate Repair Co-op".into(), ..record(&bytes, "1.0.0") };
        bench.put_record(&own, &QUILLGATE);
        assert_eq!(bench.add().is_ok(), counts);
        if !counts {
            refused(&bench, "it signed the archive itself (author-counts)");
        }
    }
}

#[test]
fn a_policy_or_list_with_an_unknown_word_holds_nothing() {
    for broken in ["vets-neded = 1\n", "vets-needed = 0\n", "must-have = [\"licked\"]\n", "[archive\n"] {
        let bench = Bench::with("1.0.0");
        bench.add().unwrap();
        let text = DEFAULT.replacen("vets-needed = 1\n", broken, 1).replacen("must-have = [\"read", "x = [\"read", 1);
        std::fs::write(bench.home.policy(), text).unwrap();
        assert!(bench.add().is_err());
        let (_, stopped) = bench.installed().unwrap();
        assert!(stopped.unwrap().contains("policy.toml"), "{broken}");
    }
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    std::fs::write(bench.home.shops(), shops().text().replacen("until = ", "til = ", 1)).unwrap();
    assert!(bench.installed().unwrap().1.unwrap().contains("shops.toml"));
}

#[test]
fn the_default_policy_says_each_setting_in_a_comment_above() {
    // Every setting of the text stands below a comment, and nothing but settings, comments and heads is in it.
    let lines: Vec<&str> = DEFAULT.lines().collect();
    let settings = lines.iter().filter(|l| !l.starts_with('#') && l.contains(" = ")).count();
    assert_eq!(settings, 11);
    assert!(lines.iter().all(|l| l.is_empty() || l.starts_with(['#', '[']) || l.contains(" = ")));
    for start in ["vets-needed", "must-have", "must-include", "vet-days", "trust-days", "[archive]"] {
        let at = lines.iter().position(|l| l.starts_with(start)).unwrap();
        assert!(lines[at - 1].starts_with('#'), "{start}");
    }
}

#[test]
fn trust_has_bounds() {
    refused(&bench(&[], replaced("[\"sign\"]", "[\"vet\"]")), "is not trusted to sign");
    refused(&bench(&[], replaced("[\"vet\", \"warn\"]", "[\"warn\"]")), "it is not trusted to vet it");
    // The first row is Quillgate's, the second Saltmarsh's.
    let only = |ids: &'static str| move |text: &mut String| *text = format!("{text}only = [\"{ids}\"]\n");
    refused(&bench(&[], only("lamp-limiter")), "it is not trusted to vet it");
    assert!(bench(&[], only("probe-bleeder")).add().is_ok());
    let ended = replaced("until = \"2027-06-30\"", "until = \"2026-11-24\"");
    refused(&bench(&[], ended), "but the trust in its key ended on 2026-11-24");
    let last = replaced("until = \"2027-06-30\"", "until = \"2026-11-25\"");
    assert!(bench(&[], last).add().is_ok());
}

#[test]
fn trust_that_ends_later_stops_what_is_installed() {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    let on = |day: Day| sharing::installed(&bench.home, day).unwrap().pop().unwrap().stopped;
    assert_eq!(on(day("2027-06-30")), None);
    assert!(on(day("2027-07-01")).unwrap().contains("ended on 2027-06-30"));
    let mut list = shops();
    assert!(list.remove("Saltmarsh Bench"));
    std::fs::write(bench.home.shops(), list.text()).unwrap();
    assert!(on(today()).unwrap().contains("vets-needed"));
}

#[test]
fn trust_is_not_passed_on() {
    // Saltmarsh, which is trusted for everything, vouches for the stranger in its note and signs the stranger's key:
    // nothing of that lets the stranger's vet count.
    let bench = bench(&[("vets-needed = 1", "vets-needed = 2")], |_| {});
    let bytes = packed(&small_plugin("1.0.0"));
    bench.put_record(&Record { shop: "Tidewater Audio".into(), ..record(&bytes, "1.0.0") }, &STRANGER);
    let note = format!("we trust Tidewater Audio, key {}", STRANGER.key.text());
    bench.put_record(&Record { note, ..record(&bytes, "1.0.0") }, &SALTMARSH);
    bench.put_signed("tidewater.pub", STRANGER.key.file_text("Tidewater Audio").as_bytes(), &SALTMARSH);
    refused(&bench, "it needs vets by 2 shops (vets-needed); those of 1");
    // Two records of one shop are one vet.
    bench.put_record(&Record { date: day("2026-11-19"), ..record(&bytes, "1.0.0") }, &SALTMARSH);
    refused(&bench, "those of 1 count");
}

#[test]
fn known_bad_stops_what_is_installed_at_once() {
    let bench = Bench::new();
    let bytes = bench.fill("1.0.0");
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    // A record alone, by a shop trusted to warn; on the same day as its "good", so that the gravest has to hold.
    bench.empty();
    let bad = Record { result: VetResult::KnownBad, note: "misses an open bleeder".into(), ..record(&bytes, "1.0.0") };
    bench.put_record(&bad, &SALTMARSH);
    let added = bench.add().unwrap();
    assert_eq!((added.plugins.len(), added.warnings.len()), (0, 1));
    let (_, stopped) = bench.installed().unwrap();
    let stopped = stopped.unwrap();
    assert!(stopped.starts_with("Saltmarsh Bench says since 2026-11-20 that these bytes are bad: misses an open"));
    // It stays stopped when the trust lapses, and when the old "good" is played again.
    let later = sharing::installed(&bench.home, day("2028-01-01")).unwrap().pop().unwrap();
    assert!(later.stopped.unwrap().contains("these bytes are bad"));
    bench.fill("1.0.0");
    assert!(told(&bench.add().unwrap_err()).contains("these bytes are bad"));
    // A "good" of a later day lifts nothing: days are no order.
    bench.put_record(&Record { date: day("2026-11-24"), ..record(&bytes, "1.0.0") }, &SALTMARSH);
    assert!(told(&bench.add().unwrap_err()).contains("these bytes are bad"));
}

#[test]
fn known_bad_is_kept_before_the_plugin_comes_and_when_it_is_refused() {
    let bench = Bench::new();
    let bytes = bench.fill("1.0.0");
    bench.put_record(&Record { result: VetResult::KnownBad, ..record(&bytes, "1.0.0") }, &SALTMARSH);
    assert!(told(&bench.add().unwrap_err()).contains("these bytes are bad"));
    assert_eq!(bench.installed(), None);
    // The parcel without the warning: it was kept.
    bench.fill("1.0.0");
    assert!(told(&bench.add().unwrap_err()).contains("these bytes are bad"));
    // Other bytes are not touched by it.
    bench.fill("1.0.1");
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.1".into(), None)));
}

#[test]
fn known_bad_of_any_shop_of_the_list_stops_and_of_a_stranger_nothing() {
    let bad =
        |bytes: &[u8], shop: &str| Record { result: VetResult::KnownBad, shop: shop.into(), ..record(bytes, "1.0.0") };
    let bytes = packed(&small_plugin("1.0.0"));
    let stranger = bench(&[], |_| {});
    stranger.put_record(&bad(&bytes, "Tidewater Audio"), &STRANGER);
    stranger.add().unwrap();
    assert_eq!(stranger.installed(), Some(("1.0.0".into(), None)));
    // Whoever is heard when he says "good" is heard when he says "bad": trusted to vet, or only to sign.
    for (from, to) in [("[\"sign\"]", "[\"sign\", \"vet\"]"), ("[\"sign\"]", "[\"sign\"]")] {
        let author = bench(&[], replaced(from, to));
        author.put_record(&bad(&bytes, "Quillgate Repair Co-op"), &QUILLGATE);
        assert!(told(&author.add().unwrap_err()).contains("Quillgate Repair Co-op says since"));
        assert_eq!(author.installed(), None);
    }
    // One that is trusted with other plugins only says neither "good" nor "bad" of this one.
    let other = bench(&[], |text| {
        let only = format!("{text}only = [\"lamp-limiter\"]\n");
        *text = only.replacen("for = [\"sign\"]", "for = [\"sign\", \"vet\"]", 1);
    });
    std::fs::write(other.home.policy(), DEFAULT.replacen("author-counts = false", "author-counts = true", 1)).unwrap();
    let own = Record { shop: "Quillgate Repair Co-op".into(), ..record(&bytes, "1.0.0") };
    other.put_record(&Record { date: day("2026-11-21"), ..own }, &QUILLGATE);
    other.put_record(&bad(&bytes, "Saltmarsh Bench"), &SALTMARSH);
    other.add().unwrap();
    assert_eq!(other.installed(), Some(("1.0.0".into(), None)));
}

#[test]
fn a_withdrawn_vet_stops_the_plugin() {
    let bench = Bench::new();
    let bytes = bench.fill("1.0.0");
    bench.add().unwrap();
    bench.empty();
    bench.put_record(&Record { result: VetResult::Withdrawn, did: vec![], ..record(&bytes, "1.0.0") }, &SALTMARSH);
    bench.add().unwrap();
    let stopped = bench.installed().unwrap().1.unwrap();
    assert!(stopped.contains("Saltmarsh Bench withdrew its vet on 2026-11-20"), "{stopped}");
}

#[test]
fn what_is_changed_in_the_home_is_told_before_anything_runs() {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    let whole = contents(bench.home.root());
    let stored = |part: &str| whole.keys().filter(|p| p.to_string_lossy().contains(part)).collect::<Vec<_>>();
    let files: Vec<_> = stored("/store/").into_iter().chain(stored("/vets/")).collect();
    assert_eq!(files.len(), 4);
    for file in files {
        for change in ["one byte", "cut short", "gone"] {
            let mut bytes = whole[file].clone();
            let middle = bytes.len() / 2;
            match change {
                "one byte" => bytes[middle] ^= 1,
                "cut short" => bytes.truncate(middle),
                _ => {}
            }
            if change == "gone" {
                std::fs::remove_file(file).unwrap()
            } else {
                std::fs::write(file, bytes).unwrap()
            }
            let (version, stopped) = bench.installed().unwrap();
            assert_eq!(version, "1.0.0");
            assert!(stopped.is_some(), "{} {change}", file.display());
            std::fs::write(file, &whole[file]).unwrap();
        }
    }
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    // A state file that is torn is told as well.
    let state = bench.home.root().join("plugins/probe-bleeder.toml");
    std::fs::write(state, "format = 1\n").unwrap();
    assert!(bench.installed().unwrap().1.unwrap().contains("probe-bleeder.toml"));
}

#[test]
fn removed_is_gone_and_its_version_remembered_until_forgotten() {
    let bench = Bench::with("1.1.0");
    bench.add().unwrap();
    let removed = sharing::remove(&bench.home, "probe-bleeder", false).unwrap();
    assert_eq!((removed.version.as_str(), removed.forgotten), ("1.1.0", false));
    assert_eq!(bench.installed(), None);
    assert!(sharing::remove(&bench.home, "probe-bleeder", false).is_err());
    assert!(sharing::remove(&bench.home, "../shops", true).is_err());
    bench.fill("1.0.0");
    assert!(told(&bench.add().unwrap_err()).contains("is older than probe-bleeder 1.1.0"));
    sharing::remove(&bench.home, "probe-bleeder", true).unwrap();
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
}

#[test]
fn a_list_reads_back_and_takes_no_key_or_name_twice() {
    let list = shops();
    let place = Path::new("shops.toml");
    assert_eq!(Shops::read(&list.text(), place).unwrap(), list);
    let policy = Policy::read(DEFAULT, Path::new("policy.toml")).unwrap();
    for (name, keys) in [
        ("Saltmarsh Bench", &*STRANGER),
        ("SALTMARSH bench", &*STRANGER),
        ("Tidewater Audio", &*SALTMARSH),
        ("", &*STRANGER),
        ("Tide\u{202E}water", &*STRANGER),
    ] {
        assert!(shops().add(shop(name, keys, &Vec::from(Purpose::ALL)), &policy, today(), place).is_err(), "{name}");
    }
    assert_eq!(Did::ALL.len(), 4);
}

#[test]
fn a_good_vet_of_a_day_to_come_lifts_no_warning() {
    let bench = Bench::new();
    // The author counts as well, so that vets are not missing; Saltmarsh's clock once was a year ahead.
    let text = DEFAULT.replacen("author-counts = false", "author-counts = true", 1);
    std::fs::write(bench.home.policy(), text).unwrap();
    let list = shops().text().replacen("for = [\"sign\"]", "for = [\"sign\", \"vet\"]", 1);
    std::fs::write(bench.home.shops(), list).unwrap();
    let bytes = bench.fill("1.0.0");
    bench.put_record(&Record { shop: "Quillgate Repair Co-op".into(), ..record(&bytes, "1.0.0") }, &QUILLGATE);
    bench.put_record(&Record { date: day("2027-11-25"), ..record(&bytes, "1.0.0") }, &SALTMARSH);
    bench.add().unwrap();
    bench.empty();
    bench.put_record(&Record { result: VetResult::KnownBad, ..record(&bytes, "1.0.0") }, &SALTMARSH);
    bench.add().unwrap();
    assert!(bench.installed().unwrap().1.unwrap().contains("these bytes are bad"));
}

#[test]
fn a_shop_that_is_trusted_to_vet_alone_stops_too() {
    let bench = bench(&[], replaced("[\"vet\", \"warn\"]", "[\"vet\"]"));
    let bytes = packed(&small_plugin("1.0.0"));
    bench.add().unwrap();
    bench.empty();
    bench.put_record(&Record { result: VetResult::KnownBad, ..record(&bytes, "1.0.0") }, &SALTMARSH);
    let added = bench.add().unwrap();
    assert_eq!((added.warnings.len(), added.remarks.len()), (1, 0), "{added:?}");
    assert!(bench.installed().unwrap().1.unwrap().contains("these bytes are bad"));
}

#[test]
fn a_warning_about_another_plugin_than_the_trust_is_for_is_not_said_to_be_kept() {
    let bench = bench(&[], |text| *text = format!("{text}only = [\"probe-bleeder\"]\n"));
    bench.add().unwrap();
    bench.empty();
    let other = Record { plugin: "lamp-limiter".into(), sha256: "1".repeat(64), ..record(b"", "1.0.0") };
    bench.put_record(&Record { result: VetResult::KnownBad, ..other }, &SALTMARSH);
    let added = bench.add().unwrap();
    assert!(added.warnings.is_empty() && added.remarks[0].contains("other plugins only"), "{added:?}");
}

#[test]
fn a_torn_state_can_be_forgotten_and_the_plugin_added_again() {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    std::fs::write(bench.home.root().join("plugins/probe-bleeder.toml"), "format = 1\n").unwrap();
    assert!(told(&bench.add().unwrap_err()).contains("remove --forget probe-bleeder"));
    assert!(sharing::remove(&bench.home, "probe-bleeder", false).is_err());
    assert!(sharing::remove(&bench.home, "probe-bleeder", true).unwrap().forgotten);
    bench.add().unwrap();
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
}

#[test]
fn what_no_check_could_use_is_neither_packed_nor_added() {
    let bench = Bench::new();
    let mut files = small_plugin("1.0.0");
    files.remove("check.lua");
    let bytes = packed(&files);
    bench.put_archive("probe-bleeder-1.0.0.tar.gz", &bytes);
    bench.put_record(&record(&bytes, "1.0.0"), &SALTMARSH);
    assert!(told(&bench.add().unwrap_err()).contains("check.lua: error: is not there"));
    let folder = bench.folder.path().join("plugin");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("plugin.toml"), &files["plugin.toml"]).unwrap();
    assert!(
        told(&sharing::own::pack(&bench.home, &folder, &bench.parcel.join("out")).unwrap_err()).contains("check.lua")
    );
    assert!(!bench.parcel.join("out").exists());
}

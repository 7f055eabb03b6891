//! Who a shop and a plugin are: fingerprints of whole keys, names that look alike, places that are taken.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::SharingErrorKind;
use crate::sharing::policy::{DEFAULT, Policy};
use crate::sharing::shops::Purpose;
use crate::sharing::sign::PublicKey;
use crate::sharing::vet::Record;
use std::path::Path;

#[test]
fn a_fingerprint_is_of_every_bit_of_the_key() {
    // Worked out apart: Python's hashlib.sha256 of the 56 characters as one number, its bits by 21 from the left, modulo 100,000.
    let text = "RWQAAQIDBAUGBygpKissLS4vMDEyMzQ1Njc4OTo7PD0+P0BBQkNERUZH";
    let key = PublicKey::from_text(text).unwrap();
    assert_eq!(key.fingerprint(), "09399 33241 13125 43262 40582 53616 84406 66794 44893 18161 12195 71924");
    // A key of the same short number has another fingerprint.
    let (mine, other) = (&QUILLGATE.key, &STRANGER.key);
    let forged = format!("{}{}", &mine.text()[..14], &other.text()[14..]);
    let forged = PublicKey::from_text(&forged).unwrap();
    assert_eq!(forged.number(), mine.number());
    assert_ne!(forged.fingerprint(), mine.fingerprint());
}

#[test]
fn a_name_that_looks_like_one_of_the_list_is_not_taken() {
    let policy = Policy::read(DEFAULT, Path::new("policy.toml")).unwrap();
    let taken =
        |name: &str| shops().add(shop(name, &STRANGER, &[Purpose::Vet]), &policy, today(), Path::new("shops.toml"));
    for name in [
        "SALTMARSH BENCH",
        "Saltmarsh  Bench",
        "Saltmarsh-Bench",
        "SaltmarshBench",
        "S\u{430}ltmarsh Bench",
        "Saltm\u{e4}rsh Bench",
        "\u{405}altmarsh Bench",
        "Sa1tmarsh Bench",
        "Saitmarsh Bench",
        "Saltrnarsh Bench",
        "\u{ff33}altmarsh Bench",
        "Saltmarsh B\u{435}nch.",
    ] {
        let error = taken(name).unwrap_err();
        assert!(error.to_string().contains("looks like Saltmarsh Bench"), "{name}: {error}");
    }
    // Blanks that only look like blanks, and what is not seen, print differently everywhere.
    for name in
        ["Tidewater\u{a0}Audio", "Tidewater\u{2800}Audio", "Tide\u{200b}water", "Tide\u{ad}water", "Tide\u{e0061}water"]
    {
        assert!(taken(name).unwrap_err().to_string().contains("do not print"), "{name}");
    }
    for name in ["Saltmarsh Bench North", "Tidewater Audio", "Marsh Bench"] {
        taken(name).unwrap();
    }
}

/// The parcel of a plugin of this id, signed by Quillgate and vetted.
fn fill_with(bench: &Bench, id: &str, keys: &Keys) {
    bench.empty();
    let mut files = small_plugin("9.0.0");
    let manifest = String::from_utf8(files["plugin.toml"].clone()).unwrap().replace("probe-bleeder", id);
    files.insert("plugin.toml".into(), manifest.into_bytes());
    let bytes = packed(&files);
    bench.put_signed(&format!("{id}-9.0.0.tar.gz"), &bytes, keys);
    bench.put_record(&Record { plugin: id.into(), ..record(&bytes, "9.0.0") }, &SALTMARSH);
}

#[test]
fn the_id_of_a_shipped_plugin_is_taken_on_purpose_only() {
    let bench = Bench::new();
    fill_with(&bench, "strobe-lamp", &QUILLGATE);
    let before = contents(bench.home.root());
    let refused = bench.add().unwrap_err();
    assert!(told(&refused).contains("takes the place of the plugin strobe-lamp that ships"), "{}", told(&refused));
    assert!(refused.iter().all(|e| e.kind == SharingErrorKind::Refused));
    assert_eq!(contents(bench.home.root()), before);
    bench.add_in_its_place().unwrap();
    assert_eq!(bench.installed(), Some(("9.0.0".into(), None)));
    // The twin: an id that nobody has.
    let bench = Bench::new();
    fill_with(&bench, "lamp-strobe", &QUILLGATE);
    bench.add().unwrap();
}

#[test]
fn the_id_of_another_shops_plugin_is_taken_on_purpose_only() {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    let list = format!(
        "{}\n[[shop]]\nname = \"Tidewater Audio\"\nkey = \"{}\"\nfor = [\"sign\"]\nuntil = \"2027-06-30\"\n",
        shops().text(),
        STRANGER.key.text()
    );
    std::fs::write(bench.home.shops(), list).unwrap();
    fill_with(&bench, "probe-bleeder", &STRANGER);
    assert!(
        told(&bench.add().unwrap_err())
            .contains("takes the place of probe-bleeder 1.0.0, which Quillgate Repair Co-op signed")
    );
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)));
    bench.add_in_its_place().unwrap();
    assert_eq!(bench.installed(), Some(("9.0.0".into(), None)));
    // The twin: the same shop's next version.
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    fill_with(&bench, "probe-bleeder", &QUILLGATE);
    bench.add().unwrap();
}

//! Attacks with words: records that twist who said what of which bytes, when and in which order; key records that move a key on
//! which nobody handed over. They stand in the table of `sharing_hostile.rs` and are tried with it.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_hostile::Attack;
use super::sharing_support::*;
use super::tars;
use crate::sharing::key_record::ENDING;
use crate::sharing::sign::{PublicKey, SecretKey};
use crate::sharing::vet::{Did, Record, VetResult};

const NAME: &str = "probe-bleeder-1.1.0.tar.gz";

fn good() -> Vec<u8> {
    packed(&small_plugin("1.1.0"))
}

/// The honest archive with these records of Saltmarsh.
fn said(bench: &Bench, records: &[Record]) {
    bench.empty();
    bench.put_archive(NAME, &good());
    records.iter().for_each(|r| bench.put_record(r, &SALTMARSH));
}

fn of(number: u64, result: VetResult) -> Record {
    numbered(number, Record { result, ..record(&good(), "1.1.0") })
}

/// A record of form 2 with its text changed, signed as it then stands.
fn second_form(bench: &Bench, from: &str, to: &str) {
    let text = of(7, VetResult::Good).text();
    assert!(text.contains(from), "{from}");
    bench.empty();
    bench.put_archive(NAME, &good());
    bench.put_signed("a.vet", text.replacen(from, to, 1).as_bytes(), &SALTMARSH);
}

fn only(bench: &Bench, change: impl Fn(&mut Record)) {
    let mut record = record(&good(), "1.1.0");
    change(&mut record);
    said(bench, &[record]);
}

/// The honest archive with one file put in place of another.
fn with_file(bench: &Bench, name: &str, bytes: &[u8]) {
    let mut files = small_plugin("1.1.0");
    files.insert(name.into(), bytes.to_vec());
    let bytes = packed(&files);
    bench.empty();
    bench.put_archive(NAME, &bytes);
    bench.put_record(&record(&bytes, "1.1.0"), &SALTMARSH);
}

fn with_manifest(bench: &Bench, from: &str, to: &str) {
    let text = String::from_utf8(small_plugin("1.1.0")["plugin.toml"].clone()).unwrap();
    assert!(text.contains(from));
    with_file(bench, "plugin.toml", text.replacen(from, to, 1).as_bytes());
}

fn statement(key: &PublicKey, new: &PublicKey) -> String {
    format!("deadfront: the key {} follows the key {}\n", new.text(), key.text())
}

/// A succession of Quillgate's key to the stranger's, in which the stranger took part: what a thief of the key can write.
fn succession() -> String {
    let proof = STRANGER.secret.sign(statement(&QUILLGATE.key, &STRANGER.key).as_bytes(), "x").unwrap();
    let (old, new) = (QUILLGATE.key.text(), STRANGER.key.text());
    format!(
        "format = 1\nsays = \"succession\"\nnumber = 9\nshop = \"Quillgate Repair Co-op\"\nkey = \"{old}\"\n\
         signed-by = \"{old}\"\nnew-key = \"{new}\"\nproof = '''\n{proof}'''\ndate = \"2026-11-24\"\nreason = \"\"\n"
    )
}

/// That record reworded, signed by the key beside the honest parcel of 1.1.0.
fn key_record(bench: &Bench, signer: &SecretKey, change: impl Fn(String) -> String) {
    bench.fill("1.1.0");
    let text = change(succession());
    let place = bench.parcel.join(format!("a{ENDING}"));
    std::fs::write(&place, &text).unwrap();
    let signature = signer.sign(text.as_bytes(), "x").unwrap();
    std::fs::write(bench.parcel.join(format!("a{ENDING}.minisig")), signature).unwrap();
}

fn reworded(bench: &Bench, from: &str, to: &str) {
    key_record(bench, &QUILLGATE.secret, |text| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    });
}

fn without_proof(text: &str) -> String {
    let (from, to) = (text.find("proof = ").unwrap(), text.find("date = ").unwrap());
    format!("{}{}", &text[..from], &text[to..])
}

pub const WORDS: &[Attack] = &[
    ("a vet of a form to come", |b| second_form(b, "format = 2", "format = 3"), "this program knows formats 1 and 2"),
    ("a numbered vet without its number", |b| second_form(b, "number = 7\n", ""), "says neither its number"),
    ("a vet with a negative number", |b| second_form(b, "number = 7", "number = -7"), "invalid value"),
    ("cases that were run, and none was seen run", |b| second_form(b, "cases = 2", "cases = 0"), "saw none run"),
    (
        "a number in a vet of the first form",
        |b| tars::reworded(b, NAME, "format = 1", "format = 1\nnumber = 9"),
        "there is neither number",
    ),
    ("a vet of no day", |b| second_form(b, "2026-11-20", "2026-13-40"), "is no day"),
    ("a vet with its hash in capitals", |b| second_form(b, "sha256 = \"", "sha256 = \"ABCDEF"), "is not 64 lower-case"),
    ("a shop's name with a line end", |b| second_form(b, "shop = \"", "shop = \"a\\n::error::"), "do not print"),
    (
        "a vet of a build nobody can name",
        |b| second_form(b, "version = \"1.1.0\"", "version = \"1.1.0+evil\""),
        "can be no plugin",
    ),
    ("good without anything done", |b| only(b, |r| r.did.clear()), "does not say what was done"),
    ("a vet that leaves out what the policy asks", |b| only(b, |r| r.did = vec![Did::Measured]), "it leaves out"),
    ("a vet of years ago", |b| only(b, |r| r.date = day("2020-01-01")), "older than 730 days"),
    (
        "good after known bad, with a later number",
        |b| said(b, &[of(7, VetResult::KnownBad), of(8, VetResult::Good)]),
        "these bytes are bad",
    ),
    (
        "good of an earlier day and number after known bad",
        |b| said(b, &[of(8, VetResult::KnownBad), of(2, VetResult::Good)]),
        "these bytes are bad",
    ),
    (
        "a withdrawal with the number of the known bad",
        |b| said(b, &[of(7, VetResult::KnownBad), of(7, VetResult::Withdrawn)]),
        "these bytes are bad",
    ),
    (
        "a withdrawal replayed from before the known bad",
        |b| said(b, &[of(7, VetResult::KnownBad), of(6, VetResult::Withdrawn)]),
        "these bytes are bad",
    ),
    (
        "good replayed from before its withdrawal",
        |b| said(b, &[of(7, VetResult::Withdrawn), of(6, VetResult::Good)]),
        "withdrew its vet",
    ),
    (
        "good with the number of its withdrawal",
        |b| said(b, &[of(7, VetResult::Withdrawn), of(7, VetResult::Good)]),
        "withdrew its vet",
    ),
    (
        "the author's vet of his own archive",
        |b| {
            b.empty();
            b.put_archive(NAME, &good());
            b.put_record(&Record { shop: "Quillgate Repair Co-op".into(), ..record(&good(), "1.1.0") }, &QUILLGATE);
        },
        "it is not trusted to vet it",
    ),
    (
        "signed by a shop that is trusted to vet",
        |b| {
            b.fill("1.1.0");
            b.put_signed(NAME, &good(), &SALTMARSH);
        },
        "is not trusted to sign",
    ),
    (
        "the vet of one archive signed as that of another",
        |b| {
            b.fill("1.1.0");
            b.put_signed("a.vet", record(&good(), "1.1.0").text().as_bytes(), &STRANGER);
            std::fs::write(b.parcel.join("a.vet.minisig"), SALTMARSH.secret.sign(b"other", "x").unwrap()).unwrap();
        },
        "is not what the key of Saltmarsh",
    ),
    (
        "an empty vet",
        |b| {
            b.fill("1.1.0");
            b.put_signed("a.vet", b"", &SALTMARSH);
        },
        "missing field",
    ),
    (
        "a vet that is no text",
        |b| {
            b.fill("1.1.0");
            b.put_signed("a.vet", b"\xff\xfe", &SALTMARSH);
        },
        "is not UTF-8",
    ),
    (
        "a folder in place of a vet",
        |b| {
            b.fill("1.1.0");
            std::fs::create_dir(b.parcel.join("a.vet")).unwrap();
        },
        "is no regular file",
    ),
    (
        "an id in capitals",
        |b| {
            b.empty();
            b.put_archive(NAME, &tars::named("Probe-Bleeder"));
        },
        "can be no id of a plugin",
    ),
    (
        "a manifest with a word nobody knows",
        |b| with_manifest(b, "title = \"t\"\nabout", "titel = \"t\"\nabout"),
        "titel",
    ),
    ("the id of a plugin that ships", |b| tars::shipped_id(b), "takes the place of the plugin isolated-supply"),
    ("code that is no text", |b| with_file(b, "check.lua", b"\xff\xfe"), "is not UTF-8"),
    (
        "a successor without its proof",
        |b| key_record(b, &QUILLGATE.secret, |t| without_proof(&t)),
        "no proof that the new key was at hand",
    ),
    (
        "a successor that did not take part",
        |b| reworded(b, &STRANGER.key.text(), &SALTMARSH.key.text()),
        "no proof that the new key was at hand",
    ),
    (
        "a successor for the key of another shop",
        |b| {
            key_record(b, &SALTMARSH.secret, |t| {
                t.replacen(
                    &format!("signed-by = \"{}", QUILLGATE.key.text()),
                    &format!("signed-by = \"{}", SALTMARSH.key.text()),
                    1,
                )
            })
        },
        "names a successor for the key of another",
    ),
    (
        "a key that follows itself",
        |b| key_record(b, &QUILLGATE.secret, |t| t.replacen(&STRANGER.key.text(), &QUILLGATE.key.text(), 1)),
        "names the same key as its successor",
    ),
    (
        "a key record by a stranger in another's name",
        |b| key_record(b, &STRANGER.secret, |t| t),
        "is not what the key it names signed",
    ),
    (
        "a confirmation by the key itself",
        |b| key_record(b, &QUILLGATE.secret, |t| without_proof(&t).replacen("succession", "confirmation", 1)),
        "confirms itself",
    ),
    (
        "a revocation without its day",
        |b| key_record(b, &QUILLGATE.secret, |t| without_proof(&t).replacen("succession", "revocation", 1)),
        "says not since when",
    ),
    (
        "a succession with a revocation's day",
        |b| reworded(b, "date = ", "since = \"2026-01-01\"\ndate = "),
        "has a day that only a revocation has",
    ),
    ("a key record with a caveat", |b| reworded(b, "reason = ", "caveat = \"\"\nreason = "), "unknown field"),
    ("a key record of a form to come", |b| reworded(b, "format = 1", "format = 2"), "this program knows format 1"),
    ("a key record without a number", |b| reworded(b, "number = 9", "number = 0"), "has no number"),
    (
        "a key record without its signature",
        |b| {
            key_record(b, &QUILLGATE.secret, |t| t);
            std::fs::remove_file(b.parcel.join(format!("a{ENDING}.minisig"))).unwrap();
        },
        "has no signature",
    ),
    (
        "a key record of 1 MB",
        |b| reworded(b, "reason = \"\"", &format!("reason = \"{}\"", "x".repeat(1_000_000))),
        "is larger than",
    ),
];

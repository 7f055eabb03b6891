//! Attacks on a shop that adds a plugin, and what comes of each. Every hostile archive here is signed by a trusted shop
//! and vetted by another one, so that nothing but the guard under test stands in its way. `cargo test --test
//! sharing_hostile -- --nocapture table` prints the table; it stands in DEVELOPERS.md as well.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_hostile_words::WORDS;
use super::sharing_support::*;
use super::tars;
use super::tars::{Entry, gzip, tar};
use crate::sharing::vet::{Record, VetResult};
use crate::sharing::{self, SharingErrorKind};

/// An attack: its name, what it does to a bench on which 1.0.0 is installed and 1.1.0 lies in the parcel, and what
/// `add` has to say.
pub type Attack = (&'static str, fn(&Bench), &'static str);

const NAME: &str = "probe-bleeder-1.1.0.tar.gz";
const SIGNATURE: &str = "probe-bleeder-1.1.0.tar.gz.minisig";

/// Lays down an archive as the trusted shops would have passed it.
fn passed(bench: &Bench, bytes: &[u8]) {
    bench.empty();
    bench.put_archive(NAME, bytes);
    bench.put_record(&record(bytes, "1.1.0"), &SALTMARSH);
}

/// The honest archive of 1.1.0.
fn good() -> Vec<u8> {
    packed(&small_plugin("1.1.0"))
}

fn record_text() -> Vec<u8> {
    record(&good(), "1.1.0").text().into_bytes()
}

/// The files of 1.1.0 and one more.
fn with(bench: &Bench, extra: Entry) {
    let mut entries = tars::plain("1.1.0");
    entries.push(extra);
    passed(bench, &gzip(&tar(&entries)));
}

fn file_named(bench: &Bench, name: &str) {
    with(bench, Entry::file(name, b"text\n"));
}

fn kind(bench: &Bench, kind: u8, link: &str) {
    with(bench, Entry { kind, link: link.into(), ..Entry::file("probe-bleeder-1.1.0/a", b"") });
}

fn vetted(bench: &Bench, change: impl Fn(&mut Record)) {
    bench.empty();
    bench.put_archive(NAME, &good());
    let mut record = record(&good(), "1.1.0");
    change(&mut record);
    bench.put_record(&record, &SALTMARSH);
}

const ATTACKS: &[Attack] = &[
    ("a file ../../shops.toml", |b| file_named(b, "probe-bleeder-1.1.0/../../shops.toml"), "leads out of the plugin"),
    ("a file ..\\shops.toml", |b| file_named(b, "probe-bleeder-1.1.0/..\\shops.toml"), "leads out of the plugin"),
    ("a file /etc/motd", |b| file_named(b, "/etc/motd"), "is an absolute name"),
    ("a file C:/motd", |b| file_named(b, "C:/motd"), "is an absolute name"),
    ("a file beside the folder", |b| file_named(b, "shops.toml"), "outside of its folder"),
    ("a file in another folder", |b| file_named(b, "other/a.toml"), "outside of its folder"),
    ("a symbolic link", |b| kind(b, b'2', "/etc/passwd"), "holds a link"),
    ("a hard link", |b| kind(b, b'1', "../../shops.toml"), "holds a link"),
    ("a character device", |b| kind(b, b'3', ""), "holds a device"),
    ("a block device", |b| kind(b, b'4', ""), "holds a device"),
    ("a pipe", |b| kind(b, b'6', ""), "holds a device"),
    ("a folder entry", |b| kind(b, b'5', ""), "holds a folder as an entry of its own"),
    ("a long-name extension", |b| kind(b, b'L', ""), "holds an entry that is no file"),
    ("a pax extension", |b| kind(b, b'x', ""), "holds an entry that is no file"),
    ("a sparse file", |b| kind(b, b'S', ""), "holds an entry that is no file"),
    ("two files of one name", |b| file_named(b, "probe-bleeder-1.1.0/check.lua"), "holds check.lua twice"),
    ("Check.lua beside check.lua", |b| file_named(b, "probe-bleeder-1.1.0/Check.lua"), "are one name on machines"),
    ("a folder named as a file", |b| file_named(b, "probe-bleeder-1.1.0/check.lua/a"), "as both a file and a folder"),
    ("a hidden file", |b| file_named(b, "probe-bleeder-1.1.0/.git"), "is hidden"),
    ("a name of a device", |b| file_named(b, "probe-bleeder-1.1.0/aux.toml"), "some systems keep for devices"),
    ("a letter that looks like another", |b| file_named(b, "probe-bleeder-1.1.0/\u{441}heck"), "has other characters"),
    ("a name that commands a terminal", |b| file_named(b, "probe-bleeder-1.1.0/\u{1b}[2J"), "has other characters"),
    ("40 folders deep", |b| file_named(b, &format!("probe-bleeder-1.1.0{}", "/a".repeat(40))), "folders deep"),
    ("300 files", |b| passed(b, &tars::many(300)), "holds more than 200 files"),
    ("50,000 files", |b| passed(b, &tars::many(50_000)), "unpacks to more than"),
    ("a file of 2 MiB", |b| passed(b, &tars::of_size(2 << 20)), "is larger than 1048576 bytes"),
    ("1 GiB of zeros in 1 MB", |b| passed(b, &tars::bomb(1 << 30)), "unpacks to more than"),
    ("a file that says it holds 8 GiB", |b| passed(b, &tars::says_it_is_long()), "is larger than 1048576 bytes"),
    ("an archive of 20 MB", |b| passed(b, &vec![7; 20_000_000]), "is larger than"),
    ("an archive behind the archive", |b| passed(b, &[good(), good()].concat()), "something besides the files"),
    ("a byte behind the end", |b| passed(b, &[good(), vec![0]].concat()), "something besides the files"),
    ("packed otherwise", |b| passed(b, &gzip(&tar(&tars::plain("1.1.0")))), "something besides the files"),
    ("no files at all", |b| passed(b, &gzip(&tar(&[]))), "is empty"),
    ("no plugin.toml", |b| passed(b, &gzip(&tar(&tars::plain("1.1.0")[..1]))), "holds no plugin.toml"),
    ("the folder of another version", |b| passed(b, &tars::in_folder_9()), "its plugin.toml says"),
    ("an id that leads elsewhere", |b| passed(b, &tars::named("../../shops")), "can be no id of a plugin"),
    ("a plugin interface to come", |b| passed(b, &tars::with_api(99)), "asks for plugin interface 99"),
    ("a text instead of an archive", |b| passed(b, b"id = \"probe-bleeder\"\n"), "no gzip file"),
    ("an empty file", |b| passed(b, b""), "no gzip file"),
    ("renamed to another version", |b| tars::renamed(b, NAME, "probe-bleeder-9.0.0.tar.gz"), "was renamed"),
    ("a pipe in place of the archive", tars::pipe, "is no regular file"),
    ("a folder in place of the archive", tars::folder, "is no regular file"),
    ("no signature", |b| tars::without(b, ".tar.gz.minisig"), "has no signature"),
    ("signed with a stranger's key", |b| b.put_signed(NAME, &good(), &STRANGER), "which is not in shops.toml"),
    ("a stranger's key with a trusted number", |b| tars::false_number(b, NAME), "is not what the key of Quillgate"),
    ("the signature of another file", |b| tars::signature_of(b, NAME, b"other"), "is not what the key of Quillgate"),
    ("the signature of a record", |b| tars::signature_of(b, NAME, &record_text()), "is not what the key of Quillgate"),
    ("a line behind the signature", |b| tars::append(b, SIGNATURE, "x\n"), "is not written as a signature"),
    ("a first line of its own", |b| tars::first_line(b, SIGNATURE), "that the signature does not cover"),
    ("a signature of 1 MB", |b| tars::append(b, SIGNATURE, &"x".repeat(1_000_000)), "is larger than"),
    ("no vet", |b| tars::without(b, ".vet"), "it needs vets by 1 shop"),
    ("a vet of other bytes", |b| vetted(b, |r| r.sha256 = "0".repeat(64)), "it needs vets by 1 shop"),
    ("a vet of another version", |b| vetted(b, |r| r.version = "1.0.0".parse().unwrap()), "calls these bytes"),
    ("a vet of another plugin", |b| vetted(b, |r| r.plugin = "lamp".into()), "calls these bytes"),
    ("a vet that speaks for another shop", |b| vetted(b, |r| r.shop = "Tidewater".into()), "but the key is that of"),
    ("a vet by a stranger", |b| tars::vet_by_stranger(b, NAME), "it needs vets by 1 shop"),
    ("a vet with an unknown field", |b| tars::reworded(b, NAME, "note =", "only = \"100 V\"\nnote ="), "unknown field"),
    ("a vet without its result", |b| tars::reworded(b, NAME, "result = \"good\"\n", ""), "missing field"),
    ("a vet of a day to come", |b| vetted(b, |r| r.date = day("2026-11-26")), "which has not come yet"),
    ("a vet without its signature", |b| tars::without(b, ".vet.minisig"), "has no signature"),
    ("a vet of 1 MB", |b| vetted(b, |r| r.note = "x".repeat(1_000_000)), "is larger than"),
    ("an older version", |b| drop(b.fill("0.9.0")), "is older than probe-bleeder 1.0.0"),
    ("an older version (1.0.0-rc.1)", |b| drop(b.fill("1.0.0-rc.1")), "is older than probe-bleeder 1.0.0"),
    ("other bytes under the same version", tars::same_version, "has other bytes than the probe-bleeder 1.0.0"),
    ("known bad", |b| vetted(b, |r| r.result = VetResult::KnownBad), "these bytes are bad"),
];

/// Carries an attack out and returns what `add` said; the home must be as it was, and 1.0.0 still run.
fn outcome(attack: &Attack) -> String {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    let before = contents(bench.home.root());
    bench.fill("1.1.0");
    attack.1(&bench);
    let faults = bench.add().expect_err(attack.0);
    let mut after = contents(bench.home.root());
    if ["these bytes are bad", "withdrew its vet"].contains(&attack.2) {
        // The warning is kept; that is what it is for.
        after.retain(|place, _| before.contains_key(place));
    }
    assert_eq!(after, before, "{}", attack.0);
    assert_eq!(bench.installed(), Some(("1.0.0".into(), None)), "{}", attack.0);
    assert!(faults.iter().all(|f| f.kind != SharingErrorKind::Machine), "{}: {faults:?}", attack.0);
    told(&faults)
}

#[test]
fn table() {
    let mut table = String::from("| attack | outcome |\n|---|---|\n");
    for attack in ATTACKS.iter().chain(WORDS) {
        let told = outcome(attack);
        assert!(told.contains(attack.2), "{}: {told}", attack.0);
        table += &format!("| {} | refused: {} |\n", attack.0, attack.2);
    }
    println!("{table}");
    let manual = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/DEVELOPERS.md")).unwrap();
    assert!(manual.contains(&table), "DEVELOPERS.md does not hold this table:\n{table}");
}

#[test]
fn the_twin_without_an_attack_comes_in() {
    let bench = Bench::with("1.0.0");
    bench.add().unwrap();
    passed(&bench, &packed(&small_plugin("1.1.0")));
    assert_eq!(bench.add().unwrap().plugins[0].before.as_deref(), Some("1.0.0"));
    assert_eq!(bench.installed(), Some(("1.1.0".into(), None)));
    // The old archive is kept for jigs whose lock names it, and is the last to go.
    assert_eq!(std::fs::read_dir(bench.home.root().join("store")).unwrap().count(), 4);
    sharing::remove(&bench.home, "probe-bleeder", false).unwrap();
    assert_eq!(std::fs::read_dir(bench.home.root().join("store")).unwrap().count(), 0);
}

/// Adds with one file of the parcel replaced; must be refused, and leave the home as it was.
fn refused_with(bench: &Bench, name: &str, bytes: &[u8], what: &str) {
    std::fs::write(bench.parcel.join(name), bytes).unwrap();
    assert!(bench.add().is_err(), "{name}: {what}");
}

/// The four files of a parcel.
fn parcel_files(bench: &Bench) -> Vec<(String, Vec<u8>)> {
    let files = contents(&bench.parcel).into_iter();
    files.map(|(place, bytes)| (place.file_name().unwrap().to_string_lossy().into_owned(), bytes)).collect()
}

#[test]
fn truncation_at_every_byte_of_every_file_is_refused() {
    let bench = Bench::with("1.1.0");
    let before = contents(bench.home.root());
    let files = parcel_files(&bench);
    assert_eq!(files.len(), 4);
    for (name, bytes) in files {
        // Of an archive every header and its neighbours, and between them one length in seven: a tar is mostly filling.
        let every = |length: usize| ALL.is_some() || length < 1024 || length % 512 < 8 || length.is_multiple_of(7);
        for length in (0..bytes.len()).filter(|n| every(*n)) {
            refused_with(&bench, &name, &bytes[..length], &format!("cut to {length}"));
        }
        std::fs::write(bench.parcel.join(&name), &bytes).unwrap();
    }
    assert_eq!(contents(bench.home.root()), before);
    assert!(bench.add().is_ok());
}

/// Set: every bit and every length is tried, which takes minutes.
static ALL: std::sync::LazyLock<Option<std::ffi::OsString>> =
    std::sync::LazyLock::new(|| std::env::var_os("DEADFRONT_EVERY_BIT"));

#[test]
fn each_bit_of_every_file_flipped_is_refused() {
    let bench = Bench::with("1.1.0");
    let before = contents(bench.home.root());
    let mut flipped = 0;
    for (name, mut bytes) in parcel_files(&bench) {
        // Of every byte one bit, another one from byte to byte; with the variable all of them. Of a stretch of zeros, which
        // is what a tar is filled with, every eighth byte.
        let filling = |at: usize| bytes[at.saturating_sub(8)..(at + 8).min(bytes.len())].iter().all(|b| *b == 0);
        let one =
            |bit: &usize| bit % 8 == (bit / 8 * 5 + bit / 64) % 8 && ((bit / 8).is_multiple_of(8) || !filling(bit / 8));
        let bits: Vec<usize> = (0..bytes.len() * 8).filter(|bit| ALL.is_some() || one(bit)).collect();
        for bit in bits {
            bytes[bit / 8] ^= 1 << (bit % 8);
            refused_with(&bench, &name, &bytes, &format!("bit {bit}"));
            bytes[bit / 8] ^= 1 << (bit % 8);
            flipped += 1;
        }
        std::fs::write(bench.parcel.join(&name), &bytes).unwrap();
    }
    println!("{flipped} bits flipped, none let in");
    assert_eq!(contents(bench.home.root()), before);
    assert!(bench.add().is_ok());
}

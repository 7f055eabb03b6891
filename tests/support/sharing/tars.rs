//! Archives nobody should write, made by hand: headers byte for byte (POSIX.1-1988), not by the packer under test.
#![allow(dead_code)]

use super::sharing_support::*;
use crate::sharing::vet::Record;
use flate2::{Compression, write::GzEncoder};
use std::io::Write as _;

#[derive(Clone)]
pub struct Entry {
    pub name: String,
    pub kind: u8,
    pub link: String,
    pub bytes: Vec<u8>,
    /// Size in the header, where it is not that of the bytes.
    pub says: Option<u64>,
}

impl Entry {
    pub fn file(name: &str, bytes: &[u8]) -> Entry {
        Entry { name: name.into(), kind: b'0', link: String::new(), bytes: bytes.to_vec(), says: None }
    }
}

fn header(entry: &Entry) -> [u8; 512] {
    let mut h = [0u8; 512];
    let mut put = |at: usize, bytes: &[u8]| h[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, entry.name.as_bytes());
    put(100, b"0000644\0");
    put(108, b"0000000\0");
    put(116, b"0000000\0");
    put(124, format!("{:011o}\0", entry.says.unwrap_or(entry.bytes.len() as u64)).as_bytes());
    put(136, b"00000000000\0");
    put(148, b"        ");
    put(156, &[entry.kind]);
    put(157, entry.link.as_bytes());
    put(257, b"ustar\x0000");
    put(329, b"0000000\0");
    put(337, b"0000000\0");
    let sum: u32 = h.iter().map(|&b| u32::from(b)).sum();
    h[148..156].copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
    h
}

pub fn tar(entries: &[Entry]) -> Vec<u8> {
    let mut out = vec![];
    for entry in entries {
        out.extend(header(entry));
        out.extend(&entry.bytes);
        out.resize(out.len().next_multiple_of(512), 0);
    }
    out.resize(out.len() + 1024, 0);
    out
}

pub fn gzip(bytes: &[u8]) -> Vec<u8> {
    let mut out = GzEncoder::new(vec![], Compression::best());
    out.write_all(bytes).unwrap();
    out.finish().unwrap()
}

pub fn in_folder(version: &str, folder: &str) -> Vec<Entry> {
    small_plugin(version).iter().map(|(name, bytes)| Entry::file(&format!("{folder}/{name}"), bytes)).collect()
}

/// The entries of an honest archive.
pub fn plain(version: &str) -> Vec<Entry> {
    in_folder(version, &format!("probe-bleeder-{version}"))
}

pub fn many(count: usize) -> Vec<u8> {
    let mut entries = plain("1.1.0");
    entries.extend((0..count).map(|i| Entry::file(&format!("probe-bleeder-1.1.0/{i}"), b"")));
    gzip(&tar(&entries[..]))
}

/// So many zeros behind an honest header.
pub fn bomb(length: u64) -> Vec<u8> {
    let entry = Entry { says: Some(length), ..Entry::file("probe-bleeder-1.1.0/a", b"") };
    let mut out = GzEncoder::new(vec![], Compression::best());
    out.write_all(&header(&entry)).unwrap();
    std::io::copy(&mut std::io::Read::take(std::io::repeat(0), length), &mut out).unwrap();
    out.finish().unwrap()
}

pub fn says_it_is_long() -> Vec<u8> {
    let mut entries = plain("1.1.0");
    entries.push(Entry { says: Some((8 << 30) - 1), ..Entry::file("probe-bleeder-1.1.0/a", b"x") });
    gzip(&tar(&entries))
}

fn with_manifest(from: &str, to: &str) -> Vec<u8> {
    let mut entries = plain("1.1.0");
    let manifest = entries.iter_mut().find(|e| e.name.ends_with("plugin.toml")).unwrap();
    let text = String::from_utf8(manifest.bytes.clone()).unwrap();
    assert!(text.contains(from));
    manifest.bytes = text.replacen(from, to, 1).into_bytes();
    gzip(&tar(&entries))
}

pub fn named(id: &str) -> Vec<u8> {
    with_manifest("id = \"probe-bleeder\"", &format!("id = \"{id}\""))
}

/// Packed as it should be, with another level of the plugin interface.
pub fn with_api(api: u32) -> Vec<u8> {
    let mut files = small_plugin("1.1.0");
    let text = String::from_utf8(files["plugin.toml"].clone()).unwrap();
    files.insert("plugin.toml".into(), text.replacen("api = 1", &format!("api = {api}"), 1).into_bytes());
    packed(&files)
}

pub fn signature_of(bench: &Bench, name: &str, other: &[u8]) {
    let signature = QUILLGATE.secret.sign(other, "a comment").unwrap();
    std::fs::write(bench.parcel.join(format!("{name}.minisig")), signature).unwrap();
}

/// A stranger's signature with the number of a trusted key written over its own: numbers are not secret.
pub fn false_number(bench: &Bench, name: &str) {
    let bytes = std::fs::read(bench.parcel.join(name)).unwrap();
    let text = STRANGER.secret.sign(&bytes, "a comment").unwrap();
    let mut lines: Vec<String> = text.lines().map(str::to_string).collect();
    // Both begin with two letters for the method; the number is the eight bytes behind them.
    let mut signature = base64_decode(&lines[1]);
    let trusted = base64_decode(&QUILLGATE.key.text());
    signature[2..10].copy_from_slice(&trusted[2..10]);
    lines[1] = base64_encode(&signature);
    std::fs::write(bench.parcel.join(format!("{name}.minisig")), lines.join("\n") + "\n").unwrap();
}

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

fn base64_decode(text: &str) -> Vec<u8> {
    let (mut bits, mut count, mut out) = (0u32, 0, vec![]);
    for letter in text.bytes().filter(|&b| b != b'=') {
        bits = bits << 6 | LETTERS.iter().position(|&l| l == letter).unwrap() as u32;
        count += 6;
        if count >= 8 {
            count -= 8;
            out.push((bits >> count) as u8);
        }
    }
    out
}

fn base64_encode(bytes: &[u8]) -> String {
    let mut out = String::new();
    for chunk in bytes.chunks(3) {
        let word = chunk.iter().enumerate().fold(0u32, |w, (i, &b)| w | u32::from(b) << (16 - 8 * i));
        for i in 0..4 {
            let letter = LETTERS[(word >> (18 - 6 * i) & 63) as usize] as char;
            out.push(if i <= chunk.len() { letter } else { '=' });
        }
    }
    out
}

pub fn append(bench: &Bench, name: &str, text: &str) {
    let mut file = std::fs::OpenOptions::new().append(true).open(bench.parcel.join(name)).unwrap();
    file.write_all(text.as_bytes()).unwrap();
}

pub fn first_line(bench: &Bench, name: &str) {
    let place = bench.parcel.join(name);
    let text = std::fs::read_to_string(&place).unwrap();
    let changed = text.replacen("signature from minisign secret key", "vetted by everybody", 1);
    assert_ne!(changed, text);
    std::fs::write(place, changed).unwrap();
}

fn without_vets(bench: &Bench, name: &str) -> Vec<u8> {
    let bytes = std::fs::read(bench.parcel.join(name)).unwrap();
    bench.empty();
    bench.put_archive(name, &bytes);
    bytes
}

pub fn vet_by_stranger(bench: &Bench, name: &str) {
    let bytes = without_vets(bench, name);
    bench.put_record(&record(&bytes, "1.1.0"), &STRANGER);
}

/// The good record with its text changed, and signed as it then stands.
pub fn reworded(bench: &Bench, name: &str, from: &str, to: &str) {
    let bytes = without_vets(bench, name);
    let record: Record = record(&bytes, "1.1.0");
    let text = record.text();
    assert!(text.contains(from));
    bench.put_signed(&record.file_name(), text.replacen(from, to, 1).as_bytes(), &SALTMARSH);
}

/// A plugin with the id of one that ships with the program.
pub fn shipped_id(bench: &Bench) {
    let mut files = small_plugin("1.1.0");
    let text = String::from_utf8(files["plugin.toml"].clone()).unwrap();
    files.insert("plugin.toml".into(), text.replace("probe-bleeder", "isolated-supply").into_bytes());
    let bytes = packed(&files);
    bench.empty();
    bench.put_archive("isolated-supply-1.1.0.tar.gz", &bytes);
    bench.put_record(&Record { plugin: "isolated-supply".into(), ..record(&bytes, "1.1.0") }, &SALTMARSH);
}

/// Takes away the files of that ending.
pub fn without(bench: &Bench, ending: &str) {
    let files = contents(&bench.parcel).into_keys().filter(|p| p.to_string_lossy().ends_with(ending));
    let count = files.map(|p| std::fs::remove_file(p).unwrap()).count();
    assert_eq!(count, 1, "{ending}");
}

pub fn renamed(bench: &Bench, from: &str, to: &str) {
    for ending in ["", ".minisig"] {
        let place = |name: &str| bench.parcel.join(format!("{name}{ending}"));
        std::fs::rename(place(from), place(to)).unwrap();
    }
}

pub fn in_folder_9() -> Vec<u8> {
    gzip(&tar(&in_folder("1.1.0", "probe-bleeder-9.0.0")))
}

pub fn of_size(bytes: usize) -> Vec<u8> {
    let mut entries = plain("1.1.0");
    entries.push(Entry::file("probe-bleeder-1.1.0/a", &vec![0; bytes]));
    gzip(&tar(&entries))
}

pub fn same_version(bench: &Bench) {
    let mut files = small_plugin("1.0.0");
    files.insert("check.lua".into(), b"return { check = function() end }\n".to_vec());
    let bytes = packed(&files);
    bench.empty();
    bench.put_archive("probe-bleeder-1.0.0.tar.gz", &bytes);
    bench.put_record(&record(&bytes, "1.0.0"), &SALTMARSH);
}

pub fn pipe(bench: &Bench) {
    let place = bench.parcel.join("pipe-1.0.0.tar.gz");
    assert!(std::process::Command::new("mkfifo").arg(place).status().unwrap().success());
}

pub fn folder(bench: &Bench) {
    std::fs::create_dir(bench.parcel.join("folder-1.0.0.tar.gz")).unwrap();
}

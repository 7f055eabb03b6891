//! What the program is made of besides its own code: licences that let anybody pass it on, no crate of which an old version is
//! known to be broken, nothing fetched from anywhere but the registry. `.cargo/deny.toml` says the same to cargo-deny.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::root;
use std::process::Command;

/// A crate that is linked into the program, or runs to build it.
struct Crate {
    name: String,
    version: String,
    licence: String,
    /// Where it is from, when that is not the registry.
    from: Option<String>,
}

/// What cargo itself says is used on this machine, with the features that are switched on.
fn used() -> Vec<Crate> {
    let arguments =
        ["tree", "--locked", "--offline", "--edges", "normal,build", "--prefix", "none", "--format", "{p}|{l}"];
    let out = Command::new(env!("CARGO")).args(arguments).current_dir(root()).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let text = String::from_utf8(out.stdout).unwrap();
    let mut lines: Vec<&str> = text.lines().filter(|l| !l.trim().is_empty()).collect();
    lines.sort_unstable();
    lines.dedup();
    let of = |line: &str| {
        let (package, licence) = line.split_once('|').unwrap();
        let mut words = package.splitn(3, ' ');
        let mut word = || words.next().map(str::to_string);
        let (name, version) = (word().unwrap(), word().unwrap());
        let from = word().filter(|w| w != "(proc-macro)");
        Crate {
            name,
            version: version.trim_start_matches('v').into(),
            licence: licence.trim_end_matches(" (*)").into(),
            from,
        }
    };
    let all: Vec<Crate> = lines.into_iter().map(of).collect();
    assert!(all.len() > 50, "{}", all.len());
    all
}

const PLAIN: [&str; 8] = ["Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "ISC", "MIT", "Unicode-3.0", "Zlib"];

/// Whether a licence leaves a choice that needs no more than its text passed on.
fn plain(licence: &str) -> bool {
    let words = licence.replace('/', " OR ").replace(['(', ')'], "");
    // Every side of AND, any side of OR.
    words.split(" AND ").all(|all| all.split(" OR ").any(|one| PLAIN.contains(&one.trim())))
}

#[test]
fn every_licence_lets_the_program_be_passed_on() {
    for Crate { name, licence, .. } in used() {
        // A copyleft of files, and it is used as it is.
        let known = name == "option-ext" && licence == "MPL-2.0";
        assert!(known || plain(&licence), "{name}: {licence}");
    }
    assert!(!plain("GPL-3.0") && !plain("MIT AND GPL-2.0") && !plain("") && plain("(MIT OR GPL-2.0) AND Unicode-3.0"));
    let deny = std::fs::read_to_string(root().join(".cargo/deny.toml")).unwrap();
    for licence in PLAIN {
        assert!(deny.contains(&format!("\"{licence}\"")), "{licence}");
    }
}

#[test]
fn no_crate_is_older_than_what_mended_it_nor_from_elsewhere() {
    // The first version without a fault that was published, where one is known here.
    let mended = [("time", "0.3.47")];
    let numbers = |v: &str| v.split('.').map(|n| n.parse::<u32>().unwrap_or(0)).collect::<Vec<_>>();
    let all = used();
    for (of, least) in mended {
        let found: Vec<&Crate> = all.iter().filter(|c| c.name == of).collect();
        assert!(!found.is_empty(), "{of} is no longer used: take it out here");
        assert!(found.iter().all(|c| numbers(&c.version) >= numbers(least)), "{of} before {least}");
    }
    assert!(all.iter().all(|c| c.from.is_none() || c.name == "deadfront"));
}

/// A crate linked in two versions is twice the code to trust; these are, since the signatures still stand on the older hashes.
#[test]
fn what_is_used_in_two_versions_is_known() {
    let all = used();
    let mut twice: Vec<&str> = all
        .windows(2)
        .filter(|w| w[0].name == w[1].name && w[0].version != w[1].version)
        .map(|w| w[0].name.as_str())
        .collect();
    twice.dedup();
    assert_eq!(twice, ["block-buffer", "cpufeatures", "crypto-common", "digest", "sha2"]);
}

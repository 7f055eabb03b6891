//! Five shops, from the first line of a plugin to a new machine: one writes, two vet, one keeps the shelf in a git repository
//! whose line ends are turned, one uses what comes. Then an update with a loosened limit, a known-bad, a stolen key, a new one.
#![cfg(unix)]
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{self, printed, root, said};
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const PASSWORD: &str = "a password for tests";

fn sh(folder: &Path, script: &str) -> Output {
    program::shell(folder, script).env("DEADFRONT_KEY_PASSWORD", PASSWORD).output().unwrap()
}

/// Runs a script of which every line has to succeed; what it printed, with the line ends taken out.
fn good(folder: &Path, script: &str) -> String {
    let output = sh(folder, &format!("set -e\n{script}"));
    let told = format!("{}{}", printed(&output), said(&output));
    assert!(output.status.success(), "{script}\n{told}");
    flat(&told)
}

/// Runs a script that ends with this status.
fn ends(folder: &Path, script: &str, status: i32) -> String {
    let output = sh(folder, script);
    let told = format!("{}{}", printed(&output), said(&output));
    assert_eq!(output.status.code(), Some(status), "{script}\n{told}");
    flat(&told)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The 12 groups of this shop's own key.
fn fingerprint(folder: &Path, home: &str, shop: &str) -> String {
    let output = sh(folder, &format!("DEADFRONT_HOME={home} deadfront plugin shops --format json"));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let rows = json["shops"].as_array().unwrap();
    rows.iter().find(|r| r["name"] == shop).unwrap()["fingerprint"].as_str().unwrap().to_string()
}

const SHOPS: [(&str, &str); 5] = [
    ("quillgate", "Quillgate Repair Co-op"),
    ("saltmarsh", "Saltmarsh Bench"),
    ("tidewater", "Tidewater Audio"),
    ("wharf", "Wharf Street Library"),
    ("fenwick", "Fenwick Repair Bench"),
];

/// Five homes, each with its key; all but the author list who they need.
fn shops() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let demo = root().join("demo-data");
    assert!(Command::new("cp").arg("-r").arg(demo).arg(at).status().unwrap().success());
    for (home, name) in SHOPS {
        good(at, &format!("DEADFRONT_HOME={home} deadfront plugin shops own '{name}'; mkdir -p parcel"));
    }
    let list = |home: &str, of: &str, name: &str, words: &str| {
        format!("DEADFRONT_HOME={home} deadfront plugin shops add '{name}' {of}/key/shop.pub {words}\n")
    };
    let mut script = String::new();
    for home in ["saltmarsh", "tidewater", "wharf", "fenwick"] {
        script += &list(home, "quillgate", "Quillgate Repair Co-op", "--for sign");
    }
    script += &list("fenwick", "saltmarsh", "Saltmarsh Bench", "--for vet");
    script += &list("fenwick", "tidewater", "Tidewater Audio", "--for vet");
    script += &list("fenwick", "wharf", "Wharf Street Library", "--for warn");
    script += "sed -i 's/^vets-needed = 1/vets-needed = 2/' fenwick/policy.toml";
    good(at, &script);
    folder
}

/// Puts everything of the parcel on the shelf, through a git repository that turns line ends where it may.
const PUBLISH: &str = "
    DEADFRONT_HOME=wharf deadfront plugin shelf make shelf --put parcel >/dev/null
    cd shelf; git add -A; git -c user.name=W -c user.email=w@wharf.example commit -qm 'The shelf' ; git push -q origin HEAD; cd ..";

#[test]
fn from_writing_to_a_new_machine() {
    let folder = shops();
    let at = folder.path();
    // Quillgate writes and signs.
    good(
        at,
        "export DEADFRONT_HOME=quillgate
         cp -r demo-data/sharing/probe-bleeder work; sed -i 's/^version = .*/version = \"1.0.0\"/' work/plugin.toml
         deadfront plugin try work
         deadfront plugin pack work --into parcel; deadfront plugin sign parcel/probe-bleeder-1.0.0.tar.gz",
    );
    // Saltmarsh and Tidewater review, then vet; what was run is written down by the program.
    for home in ["saltmarsh", "tidewater"] {
        let review =
            good(at, &format!("DEADFRONT_HOME={home} deadfront plugin review parcel/probe-bleeder-1.0.0.tar.gz"));
        for told in [
            "Signed by Quillgate Repair Co-op",
            "probe-bleeder/probe-without-lamp",
            "check.lua, lines 1 to 17 of 17",
            "Its cases, run now: 2 of 2 cases as expected",
            "demo-data/wrong/discharge-probe-one-resistor.toml: without it stop",
            "Questions that a vet answers",
        ] {
            assert!(review.contains(told), "{told}\n{review}");
        }
        good(
            at,
            &format!(
                "DEADFRONT_HOME={home} deadfront plugin vet parcel/probe-bleeder-1.0.0.tar.gz --did read-the-source \
                 --did ran-its-cases --result good"
            ),
        );
    }
    // The library keeps the shelf in a repository; Fenwick's clone turns line ends where it may.
    good(
        at,
        &format!(
            "git init -q --bare exchange.git; git clone -q exchange.git shelf 2>/dev/null; git -C shelf config core.autocrlf true {PUBLISH}"
        ),
    );
    good(
        at,
        "git clone -q -c core.autocrlf=true exchange.git mine; export DEADFRONT_HOME=fenwick
              deadfront plugin refresh mine --dry-run | grep -q 'probe-bleeder 1.0.0: new'; test ! -e fenwick/plugins
              deadfront plugin refresh mine",
    );
    let lock = good(at, "DEADFRONT_HOME=fenwick deadfront check --lock demo-data/discharge-probe.toml");
    assert!(lock.contains("discharge-probe.lock: pins probe-bleeder 1.0.0"), "{lock}");
    an_update_with_a_loosened_limit(at);
    a_known_bad(at);
    a_stolen_key(at);
    a_new_machine(at);
}

fn an_update_with_a_loosened_limit(at: &Path) {
    // The update passes a probe without a lamp whose name says that it has one.
    good(
        at,
        "export DEADFRONT_HOME=quillgate
         sed -i 's/^version = .*/version = \"1.1.0\"/' work/plugin.toml
         sed -i 's/^local function check(jig)/&\\n    if jig.name == \"Probe without a lamp\" then return {} end/' work/check.lua
         deadfront plugin pack work --into parcel; deadfront plugin sign parcel/probe-bleeder-1.1.0.tar.gz",
    );
    let name = std::fs::read_to_string(at.join("work/cases/without-lamp.toml")).unwrap();
    let name = name.lines().find_map(|l| l.strip_prefix("name = ")).unwrap().trim_matches('"').to_string();
    good(at, &format!("sed -i 's/Probe without a lamp/{name}/' work/check.lua; rm parcel/probe-bleeder-1.1.0*
        DEADFRONT_HOME=quillgate deadfront plugin pack work --into parcel; DEADFRONT_HOME=quillgate deadfront plugin sign parcel/probe-bleeder-1.1.0.tar.gz"));
    let review = ends(at, "DEADFRONT_HOME=saltmarsh deadfront plugin review parcel/probe-bleeder-1.1.0.tar.gz", 1);
    assert!(review.contains("what depends on the name of a jig or a part: 4 if jig.name"), "{review}");
    let diff = good(
        at,
        "DEADFRONT_HOME=saltmarsh deadfront plugin diff parcel/probe-bleeder-1.0.0.tar.gz parcel/probe-bleeder-1.1.0.tar.gz",
    );
    assert!(diff.contains("expected probe-without-lamp, the new version finds nothing"), "{diff}");
    // Nobody can say that its cases were run: they were not as expected.
    let vet = "DEADFRONT_HOME=saltmarsh deadfront plugin vet parcel/probe-bleeder-1.1.0.tar.gz --did ran-its-cases --result good";
    ends(at, vet, 2);
    good(at, PUBLISH);
    let told = ends(at, "git -C mine pull -q; DEADFRONT_HOME=fenwick deadfront plugin refresh mine", 1);
    assert!(told.contains("probe-bleeder 1.1.0: refused it needs vets by 2 shops"), "{told}");
    good(at, "DEADFRONT_HOME=fenwick deadfront plugin show probe-bleeder | grep -q '^probe-bleeder@1.0.0'");
    // A sound 1.2.0 comes in; the locked jig goes on with the version that checked it.
    good(
        at,
        "sed -i '/if jig.name/d' work/check.lua; sed -i 's/^version = .*/version = \"1.2.0\"/' work/plugin.toml
         deadfront() { command deadfront \"$@\"; }
         DEADFRONT_HOME=quillgate deadfront plugin pack work --into parcel
         DEADFRONT_HOME=quillgate deadfront plugin sign parcel/probe-bleeder-1.2.0.tar.gz
         for home in saltmarsh tidewater; do DEADFRONT_HOME=$home deadfront plugin vet parcel/probe-bleeder-1.2.0.tar.gz \
             --did read-the-source --did ran-its-cases --result good; done",
    );
    good(at, PUBLISH);
    good(at, "git -C mine pull -q; DEADFRONT_HOME=fenwick deadfront plugin refresh mine");
    let json = check(at);
    assert_eq!((json["version"].as_str(), json["outcome"].as_str()), (Some("1.0.0"), Some("ran")), "{json}");
    assert!(json["why"].as_str().unwrap().contains("in place of the added 1.2.0, as the lock says"), "{json}");
    let affected = good(at, "DEADFRONT_HOME=fenwick deadfront plugin affected demo-data");
    assert!(affected.contains("probe-bleeder 1.0.0: superseded, 1.2.0 is here"), "{affected}");
}

/// The row of the plugin in a check of the locked jig.
fn check(at: &Path) -> serde_json::Value {
    let output = sh(at, "DEADFRONT_HOME=fenwick deadfront check --format json demo-data/discharge-probe.toml");
    let json: serde_json::Value =
        serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", said(&output)));
    let rows = json["plugins"].as_array().unwrap();
    rows.iter().find(|p| p["id"] == "probe-bleeder").unwrap().clone()
}

fn a_known_bad(at: &Path) {
    good(
        at,
        "DEADFRONT_HOME=saltmarsh deadfront plugin vet parcel/probe-bleeder-1.0.0.tar.gz --result known-bad --note 'misses a dark lamp'",
    );
    good(at, PUBLISH);
    let told = ends(at, "git -C mine pull -q; DEADFRONT_HOME=fenwick deadfront plugin refresh mine", 1);
    assert!(told.contains("Newly stopped: probe-bleeder 1.0.0: Saltmarsh Bench says"), "{told}");
    let affected = ends(at, "DEADFRONT_HOME=fenwick deadfront plugin affected demo-data", 1);
    assert!(affected.contains("probe-bleeder 1.0.0: stopped"), "{affected}");
    // The lock names what is stopped: the check is not complete until it is made anew with 1.2.0.
    assert_eq!(check(at)["outcome"], "failed");
    let lock = good(at, "DEADFRONT_HOME=fenwick deadfront check --lock demo-data/discharge-probe.toml");
    assert!(lock.contains("pins probe-bleeder 1.2.0 instead of 1.0.0"), "{lock}");
    assert_eq!(check(at)["outcome"], "ran");
    // The library cannot make it vanish: the record gone from the shelf is told, and the stop holds.
    good(at, &format!("rm parcel/*known-bad* shelf/vets/*known-bad* {PUBLISH}"));
    let told = ends(at, "git -C mine pull -q; DEADFRONT_HOME=fenwick deadfront plugin refresh mine", 1);
    assert!(told.contains("is not on the shelf any more"), "{told}");
    good(at, "DEADFRONT_HOME=fenwick deadfront plugin stops | grep -q 'probe-bleeder 1.0.0: stopped'");
}

fn a_stolen_key(at: &Path) {
    // The thief has Quillgate's key and hands it on to one of his own; nobody has compared it.
    good(at, "cp -r quillgate thief; mkdir stolen; DEADFRONT_HOME=thief deadfront plugin shops rotate --into stolen");
    let told = good(at, "DEADFRONT_HOME=fenwick deadfront plugin add stolen/*.keyrec");
    assert!(told.contains("compare it with the shop by voice"), "{told}");
    // Quillgate calls the key back; what was here before stays, by the policy.
    good(
        at,
        "DEADFRONT_HOME=quillgate deadfront plugin shops revoke --since 2999-01-01 --reason 'the laptop was stolen' --into parcel",
    );
    good(at, PUBLISH);
    // The known bad that is not on the shelf any more is not in order.
    let told = ends(at, "git -C mine pull -q; DEADFRONT_HOME=fenwick deadfront plugin refresh mine", 1);
    assert!(
        told.contains("Quillgate Repair Co-op calls its key back since 2999-01-01: the laptop was stolen"),
        "{told}"
    );
    assert_eq!(check(at)["outcome"], "ran");
    // What the thief signs now is refused, and so is his successor.
    good(
        at,
        "sed -i 's/^version = .*/version = \"6.6.6\"/' work/plugin.toml
         DEADFRONT_HOME=saltmarsh deadfront plugin pack work --into stolen; cp thief/key/earlier-*.key thief/key/shop.key
         cp thief/key/earlier-*.pub thief/key/shop.pub; cp quillgate/shops.toml thief/shops.toml; rm -r thief/key-records
         DEADFRONT_HOME=thief deadfront plugin sign stolen/probe-bleeder-6.6.6.tar.gz",
    );
    let told = ends(at, "DEADFRONT_HOME=fenwick deadfront plugin add stolen/probe-bleeder-6.6.6.tar.gz", 1);
    assert!(told.contains("was called back since 2999-01-01"), "{told}");
    // The shop's own new key takes its row, compared by voice.
    good(at, "DEADFRONT_HOME=quillgate deadfront plugin shops own 'Quillgate Repair Co-op'
              DEADFRONT_HOME=fenwick deadfront plugin shops add 'Quillgate Repair Co-op' quillgate/key/shop.pub --for sign");
    let (ours, theirs) = (fingerprint(at, "fenwick", SHOPS[0].1), fingerprint(at, "quillgate", SHOPS[0].1));
    assert_eq!(ours, theirs);
}

fn a_new_machine(at: &Path) {
    let groups = fingerprint(at, "fenwick", SHOPS[4].1);
    good(at, "DEADFRONT_HOME=fenwick deadfront plugin trust export trust.toml");
    ends(at, "DEADFRONT_HOME=new deadfront plugin trust import trust.toml", 1);
    good(at, &format!("DEADFRONT_HOME=new deadfront plugin trust import trust.toml --fingerprint '{groups}'"));
    // What was stopped and called back is so there as well, and what is on the shelf comes in as it did.
    good(at, "DEADFRONT_HOME=new deadfront plugin stops | grep -q 'probe-bleeder 1.0.0: stopped'");
    let told = ends(at, "DEADFRONT_HOME=new deadfront plugin add stolen/probe-bleeder-6.6.6.tar.gz", 1);
    assert!(told.contains("was called back since 2999-01-01"), "{told}");
}

/// Line ends that git turns: with the attributes the shelf reads as it was made, without them it does not.
#[test]
fn a_shelf_through_git_that_turns_line_ends() {
    let folder = shops();
    let at = folder.path();
    good(
        at,
        "DEADFRONT_HOME=quillgate deadfront plugin pack demo-data/sharing/probe-bleeder --into parcel
         DEADFRONT_HOME=quillgate deadfront plugin sign parcel/probe-bleeder-1.0.0.tar.gz
         for home in saltmarsh tidewater; do DEADFRONT_HOME=$home deadfront plugin vet parcel/probe-bleeder-1.0.0.tar.gz \
             --did read-the-source --did ran-its-cases --result good; done
         git init -q --bare exchange.git; git clone -q exchange.git shelf 2>/dev/null",
    );
    good(at, PUBLISH);
    good(
        at,
        "git clone -q -c core.autocrlf=true exchange.git mine; DEADFRONT_HOME=fenwick deadfront plugin refresh mine --dry-run",
    );
    good(
        at,
        "cd shelf; git rm -q .gitattributes; git -c user.name=W -c user.email=w@wharf.example commit -qm 'Without'; git push -q origin HEAD
         cd ..; git clone -q -c core.autocrlf=true exchange.git turned; grep -q $(printf '\\r') turned/index.toml",
    );
    let told = ends(at, "DEADFRONT_HOME=fenwick deadfront plugin refresh turned --dry-run", 2);
    assert!(told.contains("is not"), "{told}");
}

/// Two readers of tar that are not ours: what they take out of an archive is the folder it was packed from.
#[test]
fn other_programs_unpack_the_same_files() {
    let folder = shops();
    let at = folder.path();
    good(at, "DEADFRONT_HOME=quillgate deadfront plugin pack demo-data/sharing/probe-bleeder --into parcel");
    let archive = "parcel/probe-bleeder-1.0.0.tar.gz";
    let readers = [
        ("tar", format!("mkdir out-tar; tar -xzf {archive} -C out-tar")),
        ("python3", format!("python3 -c \"import tarfile; tarfile.open('{archive}').extractall('out-python3')\"")),
        ("busybox", format!("mkdir out-busybox; busybox tar -xzf {archive} -C out-busybox")),
        ("bsdtar", format!("mkdir out-bsdtar; bsdtar -xzf {archive} -C out-bsdtar")),
    ];
    let mut read = 0;
    for (name, script) in readers {
        let here = sh(at, &format!("command -v {name} >/dev/null && {name} --help >/dev/null 2>&1")).status.success();
        if !here {
            println!("SKIPPED: {name} is not on this machine");
            continue;
        }
        good(at, &format!("{script}; diff -r out-{name}/probe-bleeder-1.0.0 demo-data/sharing/probe-bleeder"));
        read += 1;
    }
    assert!(read >= 1, "no other reader of tar is on this machine");
}

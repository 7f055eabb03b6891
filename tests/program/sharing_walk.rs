//! From one shop to another: the commands of the guide as they stand there, then the same way through a bare git
//! repository, with the minisign program on either side, and with the tar and gzip of the system.
#![cfg(unix)]
#![allow(missing_docs, clippy::unwrap_used)]

use super::program;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const PASSWORD: &str = "a password for tests";
const ARCHIVE: &str = "probe-bleeder-1.0.0.tar.gz";

/// A folder with the demo data in it, in which shops work.
fn place() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    assert!(Command::new("cp").arg("-r").arg(demo).arg(folder.path()).status().unwrap().success());
    std::fs::create_dir(folder.path().join("parcel")).unwrap();
    folder
}

fn sh(folder: &Path, script: &str) -> Output {
    program::shell(folder, script).env("DEADFRONT_KEY_PASSWORD", PASSWORD).output().unwrap()
}

/// Runs a script of which every line has to succeed; what it printed.
fn good(folder: &Path, script: &str) -> String {
    let output = sh(folder, &format!("set -e\n{script}"));
    let printed = [output.stdout, output.stderr].concat();
    let printed = String::from_utf8(printed).unwrap();
    assert!(output.status.success(), "{script}\n{printed}");
    printed
}

#[test]
fn the_walk_of_the_guide_runs_as_written() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/plugins/README.md")).unwrap();
    let folder = place();
    let mut exports = String::new();
    let (mut inside, mut run, mut refused) = (false, 0, 0);
    for line in readme.lines() {
        if line.starts_with("```") {
            inside = line == "```sh";
        } else if inside && line.starts_with("export ") {
            exports = format!("{line}\n");
        } else if inside {
            let expected = line.split_once("# exit ").map_or(0, |(_, rest)| rest[..1].parse().unwrap());
            let output = sh(folder.path(), &format!("{exports}{line}"));
            // What is refused is told on standard error, a stopped plugin in the report.
            let said = [output.stderr, output.stdout].concat();
            let said = String::from_utf8_lossy(&said).split_whitespace().collect::<Vec<_>>().join(" ");
            if line.ends_with("check demo-data/discharge-probe.toml --all") {
                assert!(said.contains("probe-bleeder 1.0.0 ran Saltmarsh Bench"), "{said}");
            }
            assert_eq!(output.status.code(), Some(expected), "{line}\n{said}");
            run += 1;
            if expected != 0 {
                refused += 1;
                let why = line.rsplit(": ").next().unwrap();
                let words = match why {
                    "the key is not listed" => "which is not in shops.toml",
                    "nobody but its author has vetted it" => "it needs vets by 1 shop (vets-needed); those of 0 count",
                    "it is stopped here" => "probe-bleeder 1.0.0: refused",
                    "a locked jig was checked by it" => "probe-bleeder 1.0.0: stopped",
                    "the plugin is stopped" => "these bytes are bad: passes a lamp that is not in circuit",
                    other => panic!("{other}"),
                };
                assert!(said.contains(words), "{line}\n{said}");
            }
        }
    }
    assert_eq!((run, refused), (29, 5));
    // What was unpacked to be read is the demo's folder, file by file.
    good(folder.path(), "diff -r probe-bleeder-1.0.0 demo-data/sharing/probe-bleeder");
}

/// Two shops with keys; the parcel is packed and signed, and vetted by the second one.
fn two_shops(folder: &Path) {
    good(
        folder,
        "export DEADFRONT_HOME=quillgate
         deadfront plugin shops own 'Quillgate Repair Co-op'
         deadfront plugin pack demo-data/sharing/probe-bleeder --into parcel
         deadfront plugin sign parcel/probe-bleeder-1.0.0.tar.gz
         export DEADFRONT_HOME=saltmarsh
         deadfront plugin shops own 'Saltmarsh Bench'
         deadfront plugin shops add 'Quillgate Repair Co-op' quillgate/key/shop.pub --for sign --for vet --for warn
         deadfront plugin vet parcel/probe-bleeder-1.0.0.tar.gz --did read-the-source --did ran-its-cases --result good",
    );
}

#[test]
fn known_bad_stops_the_next_check_with_status_3_and_says_why() {
    let folder = place();
    two_shops(folder.path());
    good(folder.path(), "DEADFRONT_HOME=saltmarsh deadfront plugin add parcel");
    good(
        folder.path(),
        "export DEADFRONT_HOME=quillgate
         deadfront plugin vet parcel/probe-bleeder-1.0.0.tar.gz --result known-bad --note 'misses a dark lamp'
         DEADFRONT_HOME=saltmarsh deadfront plugin add parcel/*.known-bad.vet",
    );
    let check = "DEADFRONT_HOME=saltmarsh deadfront check --format json demo-data/";
    let output = sh(folder.path(), &format!("{check}discharge-probe.toml"));
    assert_eq!(output.status.code(), Some(3));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let plugins = json["plugins"].as_array().unwrap();
    let plugin = plugins.iter().find(|p| p["id"] == "probe-bleeder").unwrap();
    assert_eq!((&plugin["id"], &plugin["outcome"]), (&"probe-bleeder".into(), &"failed".into()));
    assert!(plugin["why"].as_str().unwrap().contains("these bytes are bad: misses a dark lamp"), "{plugin}");
    // A tool of another kind is checked as before.
    let output = sh(folder.path(), &format!("{check}neon-wand-230v.toml"));
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    // A lock is not written over a plugin that did not run.
    let lock = sh(folder.path(), "DEADFRONT_HOME=saltmarsh deadfront check --lock demo-data/discharge-probe.toml");
    assert_eq!(lock.status.code(), Some(2));
    assert!(!folder.path().join("demo-data/discharge-probe.lock").exists());
    // The report is not lost for that.
    assert!(String::from_utf8_lossy(&lock.stdout).contains("Before you touch it"));
    let list = sh(folder.path(), "DEADFRONT_HOME=saltmarsh deadfront plugin list --format json");
    assert_eq!(list.status.code(), Some(3));
    let json: serde_json::Value = serde_json::from_slice(&list.stdout).unwrap();
    let listed = json["plugins"].as_array().unwrap().iter().find(|p| p["id"] == "probe-bleeder").unwrap();
    assert!(listed["stopped"].as_str().unwrap().contains("these bytes are bad"), "{listed}");
}

/// The report of a check in JSON, and its exit status.
fn check(folder: &Path, arguments: &str) -> (i32, serde_json::Value) {
    let output = sh(folder, &format!("DEADFRONT_HOME=saltmarsh deadfront check --format json {arguments}"));
    let json = serde_json::from_slice(&output.stdout);
    (output.status.code().unwrap(), json.unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr))))
}

fn run_of<'j>(json: &'j serde_json::Value, id: &str, outcome: &str) -> Option<&'j serde_json::Value> {
    json["plugins"].as_array().unwrap().iter().find(|p| p["id"] == id && p["outcome"] == outcome)
}

#[test]
fn the_lock_holds_the_programs_own_plugins_and_named_ones() {
    let folder = place();
    let wand = "demo-data/neon-wand-230v.toml";
    good(folder.path(), &format!("DEADFRONT_HOME=saltmarsh deadfront check --lock {wand}"));
    let lock = folder.path().join("demo-data/neon-wand-230v.lock");
    let text = std::fs::read_to_string(&lock).unwrap();
    assert!(text.contains("id = \"strobe-lamp\""), "{text}");
    assert_eq!(check(folder.path(), wand).0, 0);
    // As after an update that changed the plugin: one digit of its hash is another.
    let at = text.find("sha256 = \"").unwrap() + 10;
    let digit = if &text[at..=at] == "0" { "1" } else { "0" };
    std::fs::write(&lock, format!("{}{digit}{}", &text[..at], &text[at + 1..])).unwrap();
    let (status, json) = check(folder.path(), wand);
    let why = run_of(&json, "strobe-lamp", "failed").unwrap()["why"].as_str().unwrap();
    assert!(status == 3 && why.contains("not those which checked this jig") && why.contains("part of this program"));
    // A folder that takes the name of a pinned plugin does not get round the lock.
    std::fs::write(&lock, &text).unwrap();
    good(folder.path(), "mkdir mine; cd mine; deadfront plugin new strobe-lamp");
    let (status, json) = check(folder.path(), &format!("{wand} --plugins mine/strobe-lamp"));
    assert_eq!(status, 3, "{json}");
    // One that is gone is told.
    std::fs::write(&lock, text.replace("strobe-lamp", "strobe-lamb")).unwrap();
    let (status, json) = check(folder.path(), wand);
    assert!(
        status == 3
            && run_of(&json, "strobe-lamb", "failed").is_some()
            && run_of(&json, "strobe-lamp", "ran").is_some()
    );
}

#[test]
fn what_takes_the_name_of_a_shipped_plugin_is_told_on_each_check() {
    let folder = place();
    let script = |unit: &str| {
        format!(
            "rm -rf mine; mkdir mine; cd mine; deadfront plugin new strobe-lamp
             sed -i 's/^units = .*/units = [\"{unit}\"]/' strobe-lamp/plugin.toml; grep -q '{unit}' strobe-lamp/plugin.toml"
        )
    };
    let wand = "demo-data/neon-wand-230v.toml --plugins mine";
    good(folder.path(), &script("strobe-lamp"));
    let (_, json) = check(folder.path(), wand);
    let why = run_of(&json, "strobe-lamp", "ran").unwrap()["why"].as_str().unwrap();
    assert!(why.contains("in place of the shipped"), "{why}");
    let told = |json: &serde_json::Value| {
        json["not_checked"].to_string().contains("what the shipped 1.0.0 plugin strobe-lamp")
    };
    assert!(told(&json), "{}", json["not_checked"]);
    // One for another unit keeps nothing away.
    good(folder.path(), &script("another-unit"));
    let (_, json) = check(folder.path(), wand);
    assert!(run_of(&json, "strobe-lamp", "ran").is_some() && run_of(&json, "strobe-lamp", "skipped").is_some());
    assert!(!told(&json));
}

#[test]
fn through_a_bare_git_repository() {
    let folder = place();
    two_shops(folder.path());
    good(
        folder.path(),
        "git init -q --bare exchange.git
         git clone -q exchange.git at-quillgate 2>/dev/null
         cp parcel/* at-quillgate/
         cd at-quillgate
         git add -A
         git -c user.name=Q -c user.email=q@quillgate.example commit -qm 'Probe bleeder 1.0.0'
         git push -q origin HEAD
         cd ..
         git clone -q exchange.git at-saltmarsh
         rm -r parcel
         DEADFRONT_HOME=saltmarsh deadfront plugin add at-saltmarsh",
    );
    // As a plain folder, by the archive's name alone: signature and records beside it come with it.
    let again = format!("DEADFRONT_HOME=saltmarsh deadfront plugin add at-saltmarsh/{ARCHIVE}");
    assert!(good(folder.path(), &again).contains("was here already"));
}

#[test]
fn the_same_folder_gives_the_same_bytes_and_the_systems_tools_read_them() {
    let folder = place();
    let pack = "DEADFRONT_HOME=nobody deadfront plugin pack";
    good(folder.path(), &format!("{pack} demo-data/sharing/probe-bleeder --into one"));
    // Copied in another order, at another time, under another name, with other rights, and from within.
    good(
        folder.path(),
        &format!(
            "mkdir -p copy/cases
             for f in plugin.toml cases/without-lamp.toml check.lua cases/with-lamp.toml; do
                 cat demo-data/sharing/probe-bleeder/$f > copy/$f; done
             touch -d '1999-12-31' copy/check.lua; chmod 700 copy/check.lua; touch copy/.hidden
             cd copy; umask 077; TZ=Asia/Kathmandu LC_ALL=C {pack} . --into ../two"
        ),
    );
    good(folder.path(), &format!("cmp one/{ARCHIVE} two/{ARCHIVE}"));
    let listed = good(folder.path(), &format!("gzip -t one/{ARCHIVE} && tar -tzf one/{ARCHIVE}"));
    let names = ["cases/with-lamp.toml", "cases/without-lamp.toml", "check.lua", "plugin.toml"];
    let expected: String = names.map(|n| format!("probe-bleeder-1.0.0/{n}\n")).concat();
    assert_eq!(listed, expected);
    // The system's sha256 says the same as the program.
    let told = good(folder.path(), &format!("{pack} demo-data/sharing/probe-bleeder --into one"));
    let sum = good(folder.path(), &format!("sha256sum one/{ARCHIVE}"));
    assert!(told.contains(&sum[..64]), "{told} {sum}");
}

#[test]
fn what_cannot_travel_is_told_all_at_once_and_nothing_is_written() {
    let folder = place();
    let output = sh(
        folder.path(),
        "cd demo-data/sharing/probe-bleeder; ln -s /etc/passwd link; touch 'a b'; mkfifo pipe; touch Check.lua
         DEADFRONT_HOME=nobody deadfront plugin pack . --into ../out",
    );
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    for what in ["link: error: is a link", "a b: error: has other characters", "pipe: error: is a link or a device"] {
        assert!(said.contains(what), "{said}");
    }
    assert!(said.contains("are one name on machines"), "{said}");
    assert!(!folder.path().join("demo-data/sharing/out").exists());
}

/// The independent program; told plainly where it is not there. What runs before a change goes in installs it.
fn minisign_is_here() -> bool {
    let here = Command::new("minisign").arg("-v").output().is_ok();
    if !here {
        println!("SKIPPED: the minisign program is not on this machine; install it (apt-get install minisign)");
        assert!(std::env::var_os("CI_HAS_MINISIGN").is_none(), "minisign has to be here");
    }
    here
}

#[test]
fn the_minisign_program_verifies_what_is_signed_here() {
    if !minisign_is_here() {
        return;
    }
    let folder = place();
    two_shops(folder.path());
    let verified = good(
        folder.path(),
        "minisign -V -p quillgate/key/shop.pub -m parcel/probe-bleeder-1.0.0.tar.gz
         minisign -V -p saltmarsh/key/shop.pub -m parcel/*.good.vet",
    );
    assert_eq!(verified.matches("Signature and comment signature verified").count(), 2, "{verified}");
    assert!(verified.contains("Trusted comment: deadfront plugin probe-bleeder 1.0.0"));
    // The wrong key, and a changed record.
    assert!(!sh(folder.path(), &format!("minisign -V -p saltmarsh/key/shop.pub -m parcel/{ARCHIVE}")).status.success());
    let changed = "sed -i 's/ran-its-cases/measured/' parcel/*.good.vet; minisign -V -p saltmarsh/key/shop.pub -m parcel/*.good.vet";
    assert!(!sh(folder.path(), changed).status.success());
}

#[test]
fn what_the_minisign_program_signs_is_taken_here() {
    if !minisign_is_here() {
        return;
    }
    let folder = place();
    two_shops(folder.path());
    let feed = |script: &str, input: &str| {
        let mut shell = Command::new("sh");
        shell.args(["-c", script]).current_dir(folder.path()).stdin(Stdio::piped()).stdout(Stdio::null());
        let mut child = shell.spawn().unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        assert!(child.wait().unwrap().success(), "{script}");
    };
    // With the key that was made here: it is encrypted, and the program asks for the same password.
    let locked = std::fs::read_to_string(folder.path().join("quillgate/key/shop.key")).unwrap();
    assert!(locked.starts_with("untrusted comment: minisign encrypted secret key\n"));
    feed(
        &format!("rm parcel/{ARCHIVE}.minisig; minisign -S -s quillgate/key/shop.key -m parcel/{ARCHIVE}"),
        &format!("{PASSWORD}\n"),
    );
    good(folder.path(), "DEADFRONT_HOME=saltmarsh deadfront plugin add parcel");
    // And with a key the program made itself.
    feed("minisign -G -W -p tidewater.pub -s tidewater.key", "");
    good(
        folder.path(),
        "export DEADFRONT_HOME=saltmarsh
         deadfront plugin remove probe-bleeder
         deadfront plugin shops remove 'Quillgate Repair Co-op'
         deadfront plugin shops add 'Tidewater Audio' tidewater.pub --for sign
         rm parcel/probe-bleeder-1.0.0.tar.gz.minisig
         minisign -S -s tidewater.key -m parcel/probe-bleeder-1.0.0.tar.gz
         deadfront plugin add parcel",
    );
}

#[test]
fn a_key_is_kept_encrypted_and_its_password_asked_for() {
    let folder = place();
    two_shops(folder.path());
    let sign = "rm -f parcel/*.minisig; DEADFRONT_HOME=quillgate";
    for (script, status) in [
        (format!("{sign} DEADFRONT_KEY_PASSWORD=wrong deadfront plugin sign parcel/{ARCHIVE}"), 2),
        (format!("{sign} DEADFRONT_KEY_PASSWORD= deadfront plugin shops own Other"), 2),
        (
            format!(
                "echo '{PASSWORD}' > pw; unset DEADFRONT_KEY_PASSWORD; {sign} deadfront plugin sign --password-file pw parcel/{ARCHIVE}"
            ),
            0,
        ),
        // Neither a terminal nor a password.
        (format!("unset DEADFRONT_KEY_PASSWORD; {sign} setsid deadfront plugin sign parcel/{ARCHIVE} </dev/null"), 2),
    ] {
        let output = sh(folder.path(), &script);
        assert_eq!(output.status.code(), Some(status), "{script}\n{}", String::from_utf8_lossy(&output.stderr));
    }
    use std::os::unix::fs::PermissionsExt as _;
    let key = std::fs::metadata(folder.path().join("quillgate/key/shop.key")).unwrap();
    assert_eq!(key.permissions().mode() & 0o077, 0);
}

/// What can fail is told before anybody is asked for the password of a key: without one at hand, and without a terminal to ask
/// on, each of these fails by what is wrong with it.
#[test]
fn a_password_is_asked_for_last() {
    let folder = place();
    let without = |line: &str| {
        let mut asked = program::shell(folder.path(), &format!("DEADFRONT_HOME=home {line}"));
        let out = asked.env_remove("DEADFRONT_KEY_PASSWORD").output().unwrap();
        assert_eq!(out.status.code(), Some(2), "{line}");
        let said = String::from_utf8([out.stdout, out.stderr].concat()).unwrap();
        // A line may end within what is looked for: that depends on how long the folder is called.
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(!said.contains("password") && !said.contains("os error"), "{line}: {said}");
        said
    };
    for line in ["sign none.tar.gz", "vet none.tar.gz --result good", "lift a@1.0.0 --by Ines --reason tried"] {
        assert!(without(&format!("deadfront plugin {line}")).contains("this shop has no key"), "{line}");
    }
    good(folder.path(), "DEADFRONT_HOME=home deadfront plugin shops own Quillgate");
    assert!(without("deadfront plugin sign none.tar.gz").contains("is not there"));
    assert!(without("deadfront plugin vet none.tar.gz --result good").contains("is not there"));
    assert!(without("deadfront plugin lift a@1.0.0 --by Ines --reason tried").contains("is stopped"));
    assert!(without("deadfront plugin shops own Quillgate").contains("has a key already"));
}

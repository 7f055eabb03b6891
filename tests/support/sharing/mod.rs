//! Two shops with keys, a third whose home they write to, and a parcel that is in order. Tests break one thing of it.
#![allow(dead_code, clippy::unwrap_used)]

use crate::sharing::archive::{self, ENDING, Files};
use crate::sharing::policy::Policy;
use crate::sharing::shops::{Purpose, Shop, Shops};
use crate::sharing::sign::{PublicKey, SecretKey};
use crate::sharing::vet::{Did, Record, VetResult};
use crate::sharing::{self, Added, Day, Home, SharingError};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use tempfile::TempDir;

pub const TODAY: &str = "2026-11-25";
pub const PASSWORD: &str = "a password for tests";

pub struct Keys {
    pub key: PublicKey,
    pub secret: SecretKey,
    pub locked: String,
}

fn keys() -> Keys {
    let (key, locked) = SecretKey::generate(PASSWORD).unwrap();
    Keys { key, secret: SecretKey::unlock(&locked, PASSWORD).unwrap(), locked }
}

/// Signs the archive.
pub static QUILLGATE: LazyLock<Keys> = LazyLock::new(keys);
/// Vets it, and warns.
pub static SALTMARSH: LazyLock<Keys> = LazyLock::new(keys);
/// Is in nobody's list.
pub static STRANGER: LazyLock<Keys> = LazyLock::new(keys);

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

pub fn today() -> Day {
    day(TODAY)
}

pub fn shop(name: &str, keys: &Keys, trusted: &[Purpose]) -> Shop {
    let until = day("2027-06-30");
    Shop { name: name.into(), key: keys.key.clone(), trusted: trusted.to_vec(), only: vec![], until, earlier: vec![] }
}

/// The list of the adding shop.
pub fn shops() -> Shops {
    let policy = Policy::read(crate::sharing::policy::DEFAULT, Path::new("policy.toml")).unwrap();
    let mut shops = Shops::default();
    for shop in [
        shop("Quillgate Repair Co-op", &QUILLGATE, &[Purpose::Sign]),
        shop("Saltmarsh Bench", &SALTMARSH, &[Purpose::Vet, Purpose::Warn]),
    ] {
        shops.add(shop, &policy, today(), Path::new("shops.toml")).unwrap();
    }
    shops
}

pub fn small_plugin(version: &str) -> Files {
    let manifest = format!(
        "id = \"probe-bleeder\"\nversion = \"{version}\"\napi = 1\ntitle = \"t\"\nabout = \"a\"\nunits = [\"discharge-probe\"]\n\
         author = \"Quillgate Repair Co-op\"\nlicence = \"MIT\"\nsources = [\"common practice\"]\n\
         [checks.no-lamp]\ntitle = \"t\"\nsource = \"common practice\"\nwhy = \"w\"\n"
    );
    let check = "return { check = function() return {} end }\n";
    Files::from([("plugin.toml".into(), manifest.into_bytes()), ("check.lua".into(), check.into())])
}

/// The bytes of the one archive of these files.
pub fn packed(files: &Files) -> Vec<u8> {
    archive::pack(files, Path::new("folder")).unwrap().1
}

/// A record in which nothing is missing.
pub fn record(archive: &[u8], version: &str) -> Record {
    Record {
        format: 1,
        number: 0,
        program: String::new(),
        cases: 0,
        plugin: "probe-bleeder".into(),
        version: version.parse().unwrap(),
        sha256: sharing::sha256(archive),
        shop: "Saltmarsh Bench".into(),
        date: day("2026-11-20"),
        did: vec![Did::ReadTheSource, Did::RanItsCases],
        result: VetResult::Good,
        note: String::new(),
    }
}

/// The same record with its number, as it is written today.
pub fn numbered(number: u64, record: Record) -> Record {
    Record { format: 2, number, program: "0.1.0".into(), cases: 2, ..record }
}

/// A home and a folder in which a parcel lies.
pub struct Bench {
    pub folder: TempDir,
    pub home: Home,
    pub parcel: PathBuf,
}

impl Bench {
    pub fn new() -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let (root, parcel) = (folder.path().join("home"), folder.path().join("parcel"));
        std::fs::create_dir(&root).unwrap();
        std::fs::create_dir(&parcel).unwrap();
        let home = Home::at(root);
        std::fs::write(home.shops(), shops().text()).unwrap();
        std::fs::write(home.policy(), crate::sharing::policy::DEFAULT).unwrap();
        Bench { folder, home, parcel }
    }

    /// A bench with a whole parcel of this version.
    pub fn with(version: &str) -> Bench {
        let bench = Bench::new();
        bench.fill(version);
        bench
    }

    /// Puts a whole parcel of this version in place of what lies there.
    pub fn fill(&self, version: &str) -> Vec<u8> {
        self.empty();
        let bytes = packed(&small_plugin(version));
        self.put_archive(&format!("probe-bleeder-{version}{ENDING}"), &bytes);
        self.put_record(&record(&bytes, version), &SALTMARSH);
        bytes
    }

    pub fn empty(&self) {
        for entry in std::fs::read_dir(&self.parcel).unwrap() {
            std::fs::remove_file(entry.unwrap().path()).unwrap();
        }
    }

    /// Puts an archive there, signed as Quillgate whatever it holds.
    pub fn put_archive(&self, name: &str, bytes: &[u8]) {
        self.put_signed(name, bytes, &QUILLGATE);
    }

    pub fn put_signed(&self, name: &str, bytes: &[u8], keys: &Keys) {
        std::fs::write(self.parcel.join(name), bytes).unwrap();
        let signature = keys.secret.sign(bytes, "a comment").unwrap();
        std::fs::write(self.parcel.join(format!("{name}.minisig")), signature).unwrap();
    }

    pub fn put_record(&self, record: &Record, keys: &Keys) {
        self.put_signed(&record.file_name(), record.text().as_bytes(), keys);
    }

    pub fn add(&self) -> Result<Added, Vec<SharingError>> {
        sharing::add(&self.home, std::slice::from_ref(&self.parcel), false, today())
    }

    pub fn add_in_its_place(&self) -> Result<Added, Vec<SharingError>> {
        sharing::add(&self.home, std::slice::from_ref(&self.parcel), true, today())
    }

    /// The only installed plugin: version, and why it is stopped.
    pub fn installed(&self) -> Option<(String, Option<String>)> {
        let mut all = sharing::installed(&self.home, today()).unwrap();
        assert!(all.len() <= 1, "{all:?}");
        all.pop().map(|p| {
            assert_eq!(p.files.is_some(), p.stopped.is_none());
            (p.version, p.stopped)
        })
    }
}

/// Every file below a folder with its bytes.
pub fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        if entry.file_type().unwrap().is_dir() {
            found.extend(contents(&entry.path()));
        } else {
            found.insert(entry.path(), std::fs::read(entry.path()).unwrap_or_default());
        }
    }
    found
}

/// All faults in one text.
pub fn told(faults: &[SharingError]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

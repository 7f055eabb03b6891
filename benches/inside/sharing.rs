//! Sharing: adding a plugin of fifty files, and verifying eight installed ones as each check does.

#[path = "../../tests/support/sharing/mod.rs"]
mod sharing_support;

use crate::sharing::archive::Files;
use crate::sharing::vet::Record;
use crate::sharing::{self, Home};
use sharing_support::*;
use tempfile::TempDir;

/// A plugin of so many files of about 1.5 KB each.
fn plugin(id: &str, files: usize) -> Files {
    let mut all = small_plugin("1.0.0");
    let manifest = String::from_utf8(all["plugin.toml"].clone()).unwrap().replacen("probe-bleeder", id, 1);
    all.insert("plugin.toml".into(), manifest.into_bytes());
    for i in all.len()..files {
        all.insert(format!("cases/case-{i}.toml"), format!("# {i}\n{}", "across = [\"a\", \"b\"]\n".repeat(75)).into());
    }
    all
}

/// Lays a whole parcel of a plugin on the bench.
fn lay(bench: &Bench, id: &str, files: usize) {
    let bytes = packed(&plugin(id, files));
    bench.put_archive(&format!("{id}-1.0.0.tar.gz"), &bytes);
    bench.put_record(&Record { plugin: id.into(), ..record(&bytes, "1.0.0") }, &SALTMARSH);
}

/// A parcel with a plugin of fifty files: a home that trusts its shops, and adding it there.
pub fn add_fifty_files() -> (impl Fn() -> TempDir, impl Fn(&TempDir)) {
    let bench = Bench::new();
    lay(&bench, "lamp", 50);
    let lists = contents(bench.home.root());
    let home = move || {
        let home = tempfile::tempdir().unwrap();
        for (place, bytes) in &lists {
            std::fs::write(home.path().join(place.file_name().unwrap()), bytes).unwrap();
        }
        home
    };
    let add = move |home: &TempDir| {
        let added = sharing::add(&Home::at(home.path()), std::slice::from_ref(&bench.parcel), false, today()).unwrap();
        assert_eq!(added.plugins.len(), 1);
    };
    (home, add)
}

/// Eight installed plugins of so many files each, verified.
pub fn verify_eight(files: usize) -> impl Fn() {
    let bench = Bench::new();
    for i in 0..8 {
        lay(&bench, &format!("lamp-{i}"), files);
    }
    assert_eq!(bench.add().unwrap().plugins.len(), 8);
    move || {
        let all = sharing::installed(&bench.home, today()).unwrap();
        assert!(all.len() == 8 && all.iter().all(|p| p.stopped.is_none()));
    }
}

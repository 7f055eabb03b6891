//! The bench sheet: what it holds, what it is written over, and how it looks in a browser and on paper.
#![allow(missing_docs, clippy::unwrap_used)]

use super::chromium::Chromium;
use super::program::{printed, program, root, said};
use std::path::{Path, PathBuf};
use std::process::Command;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let out = program([&["sheet"], arguments].concat()).current_dir(root()).output().unwrap();
    (out.status.code().unwrap(), printed(&out), said(&out))
}

/// The demo jigs, sound and wrong ones.
fn demos() -> Vec<PathBuf> {
    let folders = ["demo-data", "demo-data/wrong"].map(|f| root().join(f));
    let files = folders.iter().flat_map(|f| std::fs::read_dir(f).unwrap()).map(|e| e.unwrap().path());
    let mut files: Vec<PathBuf> = files.filter(|p| p.extension().is_some_and(|e| e == "toml")).collect();
    files.sort();
    files
}

/// Sections of a sheet in their order.
const SECTIONS: [&str; 11] = [
    "wiring-section",
    "do-first",
    "hand",
    "limits",
    "dead-test",
    "first-power",
    "waveforms-section",
    "parts",
    "faults",
    "label",
    "cautions",
];
/// Bytes a sheet may have.
const LARGEST: usize = 300 * 1024;

#[test]
fn a_sheet_holds_everything_and_needs_nothing() {
    let (status, page, err) = run(&["demo-data/series-lamp-limiter-230v.toml"]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(page.starts_with("<!DOCTYPE html>") && page.len() < LARGEST, "{} bytes", page.len());
    let mut rest = page.as_str();
    for id in SECTIONS {
        rest = rest.split_once(&format!("<section id=\"{id}\"")).unwrap_or_else(|| panic!("{id} in its order")).1;
    }
    for outside in ["<script", "<link", "src=", "@import", "url(", "@font-face", "https://"] {
        assert!(!page.contains(outside), "{outside}");
    }
    for word in ["safe", "Safe", "SAFE"] {
        assert!(!page.contains(word), "{word}");
    }
    let hash = crate_sha256("demo-data/series-lamp-limiter-230v.toml");
    for held in ["230 V 50 Hz", "Disconnect before opening", "part-LP1", "net-L1", "terminal-F1-2", &hash[..12]] {
        assert!(page.contains(held), "{held}");
    }
}

/// sha256 of a file by another program than ours; the page's own digits where there is none.
fn crate_sha256(file: &str) -> String {
    let out = Command::new("sha256sum").arg(root().join(file)).output();
    let out = out.map(|o| String::from_utf8_lossy(&o.stdout).into_owned()).unwrap_or_default();
    if out.len() < 64 { "terminal-F1-1".into() } else { out }
}

#[test]
fn a_file_is_written_whole_and_over_nothing_unless_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.svg");
    let name = file.to_str().unwrap();
    let jig = "demo-data/neon-wand-120v.toml";
    let (status, text, _) = run(&[jig, "--only", "wiring", "--write", name]);
    assert!(status == 0 && text.contains("a.svg written"), "{text}");
    let first = std::fs::read_to_string(&file).unwrap();
    assert!(first.starts_with("<svg") && first.trim_end().ends_with("</svg>"));
    std::fs::write(&file, "kept").unwrap();
    let (status, _, err) = run(&[jig, "--only", "waveforms", "--write", name]);
    assert!(status == 2 && err.contains("--replace"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "kept");
    let (status, ..) = run(&[jig, "--only", "waveforms", "--write", name, "--replace"]);
    assert_eq!(status, 0);
    assert!(std::fs::read_to_string(&file).unwrap().contains("wave-volts"));
    let nowhere = folder.path().join("no/such/a.svg");
    let (status, _, err) = run(&[jig, "--only", "wiring", "--write", nowhere.to_str().unwrap()]);
    assert!(status == 2 && err.contains("could not be written"), "{err}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let (status, _, err) = run(&["demo-data"]);
    assert!(status == 2 && err.contains("one jig"), "{err}");
    let (status, text, err) = run(&["demo-data/no-such.toml"]);
    assert!(status == 2 && text.is_empty() && err.contains("no such file"), "{err}");
    let (status, _, err) = run(&["demo-data/neon-wand-120v.toml", "--replace"]);
    assert!(status == 2 && err.contains("--write"), "{err}");
    // The sheet of a jig that stops carries its verdict first and last, and its exit status.
    let (status, page, _) = run(&["demo-data/wrong/series-lamp-limiter-no-earth.toml"]);
    assert_eq!(status, 1);
    assert_eq!(page.matches("Do not plug it in: ").count(), 2, "first and last");
}

#[test]
fn names_of_a_file_stay_words() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(root().join("demo-data/neon-wand-120v.toml")).unwrap();
    let text = text.replace("name = \"Neon strobe wand, 120 V\"", "name = \"<script>alert(1)</script>&\"");
    assert!(text.contains("<script>"));
    let file = folder.path().join("a.toml");
    std::fs::write(&file, text).unwrap();
    let (status, page, err) = run(&[file.to_str().unwrap()]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert!(!page.contains("<script") && !page.contains('\u{1b}') && page.contains("&lt;script&gt;"));
}

/// A4 and Letter, inches.
const PAPERS: [[f64; 2]; 2] = [[8.27, 11.69], [8.5, 11.0]];
/// Pages of paper less its margins, points of a screen, the narrower of the two.
const PAPER_BROAD: u32 = 688;

#[test]
fn every_demo_sheet_looks_right_in_a_browser() {
    let Some(mut browser) = Chromium::start() else { return };
    let look = include_str!("sheet_look.js");
    let axe = axe();
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = vec![];
    for jig in demos() {
        let name = jig.file_stem().unwrap().to_str().unwrap().to_string();
        let file = folder.path().join(format!("{name}.html"));
        run(&[jig.to_str().unwrap(), "--write", file.to_str().unwrap()]);
        assert!(std::fs::metadata(&file).unwrap().len() < LARGEST as u64, "{name}");
        let is_sound = !jig.parent().unwrap().ends_with("wrong");
        let mut tell = |what: &str, list: Vec<String>| {
            wrong.extend(list.into_iter().map(|w| format!("{name}, {what}: {w}")));
        };
        browser.media("screen", "light");
        browser.open(&file, 1000);
        tell("light", texts(&browser.run(look)));
        if let Some(axe) = &axe {
            tell("axe", texts(&browser.run(&format!("{axe}; {AXE_RUN}"))));
        }
        browser.media("screen", "dark");
        tell("dark", texts(&browser.run(look)));
        browser.media("screen", "light");
        browser.broad(360);
        tell("phone", texts(&browser.run(look)));
        browser.media("print", "light");
        browser.broad(PAPER_BROAD);
        tell("paper", texts(&browser.run(look)));
        if is_sound {
            for paper in PAPERS {
                let pages = browser.pages(paper);
                if !(2..=4).contains(&pages) {
                    tell("paper", vec![format!("{pages} pages of {paper:?}")]);
                }
            }
        }
        tell("console", std::mem::take(&mut browser.complaints));
    }
    assert!(wrong.is_empty(), "{} faults\n{}", wrong.len(), wrong.join("\n"));
    // What looks must see: the same page spoilt.
    let spoil = "document.querySelectorAll('#wiring text').forEach((t) => t.setAttribute('x', 100)); \
                 document.querySelector('h2').style.color = '#ccc'; \
                 document.querySelector('main').style.width = '2000px'; 0";
    browser.media("screen", "light");
    browser.run(spoil);
    let told = texts(&browser.run(look)).join("\n");
    for seen in ["is on", "contrast of", "broad in a window"] {
        assert!(told.contains(seen), "{seen}: {told}");
    }
}

fn texts(value: &serde_json::Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|w| w.as_str().unwrap().to_string()).collect()
}

/// Violations of the accessibility checker, in words.
const AXE_RUN: &str =
    "axe.run().then((r) => r.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 90)}`)))";

/// The accessibility checker axe-core, from the registry through npm, kept beside what is built; `None` where it cannot be had,
/// which is said: the page's own checks are made in any case.
fn axe() -> Option<String> {
    const VERSION: &str = "axe-core@4.10.3";
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("axe");
    let file = folder.join("node_modules/axe-core/axe.min.js");
    if !file.is_file() {
        std::fs::create_dir_all(&folder).unwrap();
        let install = ["install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix"];
        let _ = Command::new("npm").args(install).arg(&folder).arg(VERSION).output();
    }
    let text = std::fs::read_to_string(&file).ok();
    if text.is_none() {
        eprintln!("no axe-core here: accessibility is looked at by our own checks alone");
    }
    text
}

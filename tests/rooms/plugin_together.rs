//! Plugins beside each other and beside the core: none vanishes, all of them have bounds together, one word accepts one thing, and
//! what one finds never hangs on an address.
#![allow(missing_docs, clippy::unwrap_used)]

use super::plugins;
use super::plugins::TODAY;
use crate::finding::Judgement;
use crate::jig;
use crate::plugin::find::named;
use crate::plugin::results::tidy;
use crate::plugin::vm::{Bounds, Failure};
use crate::plugin::worker::RunResult;
use crate::plugin::{Loaded, Plugin, run, skeleton};
use std::path::Path;
use std::time::{Duration, Instant};

fn wand() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/neon-wand-230v.toml")).unwrap()
}

fn plugin(id: &str, check: &str, body: &str) -> Plugin {
    let manifest = format!(
        "id = \"{id}\"\nversion = \"1.0.0\"\napi = 1\ntitle = \"t\"\nabout = \"a\"\nunits = [\"strobe-lamp\"]\nauthor = \"a\"\n\
         licence = \"MIT\"\nsources = []\n[checks.{check}]\ntitle = \"t\"\nsource = \"common practice\"\nwhy = \"w\"\n"
    );
    plugins::plugin(&manifest, &format!("return {{ check = function(jig)\n{body}\nend }}"))
}

fn judged(text: &str, found: &[Loaded]) -> Judgement {
    let (subject, mut judgement) = plugins::judged(jig::parse("wand.toml", text.as_bytes()).unwrap());
    run::all(found, &subject, &mut judgement, Bounds::default(), TODAY);
    judgement
}

fn on(body: &str) -> RunResult {
    let (subject, _) = plugins::judged(jig::parse("wand.toml", wand().as_bytes()).unwrap());
    plugins::run(&plugin("a", "b", body), &subject, Bounds::default())
}

#[test]
fn no_loop_walks_over_keys_in_the_order_of_their_addresses() {
    let keyed = "local t = { x = 1 } for k = 1, 20 do t[{}] = k end\n";
    for walk in [
        "for k, v in t do end",
        "for k, v in pairs(t) do end",
        "for k, v in next, t do end",
        "local k = next(t)",
        "table.foreach(t, function() end)",
        "local s = `{(function() for k in t do end return 1 end)()}`",
    ] {
        let failed = on(&format!("{keyed}{walk}")).unwrap_err();
        assert!(failed.failure == Failure::Error && failed.message.contains("have no order"), "{walk}: {failed:?}");
        assert_eq!(failed.line, Some(3), "{walk}");
    }
    let functions = on("local t = { [print or tostring] = 1 }\nfor k in t do end").unwrap_err();
    assert!(functions.message.contains("keys that are a function"), "{functions:?}");
    // Such tables may be kept and asked; names, numbers, lists, and what the jig gives are walked over as ever.
    for fine in [
        "local t = {} local key = {} t[key] = 5 return t[key] == 5 and {} or nil",
        "for k, v in { a = 1, [2] = 3, [true] = 4 } do end",
        "for _, p in jig:parts() do for k, v in p do end end",
        "for k, v in ipairs({ {}, {} }) do end for word in string.gmatch('a b', '%a') do end",
    ] {
        assert_eq!(on(fine).unwrap(), vec![], "{fine}");
    }
}

/// A folder of folders with one whole plugin in it.
fn shelf() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    skeleton::write(folder.path(), "probe-bleeder").unwrap();
    folder
}

fn stopped(folder: &Path) -> Vec<String> {
    let all = named(folder).unwrap();
    assert!(all.iter().any(|l| matches!(l, Loaded::Ready(p) if p.manifest.id == "probe-bleeder")));
    all.into_iter()
        .filter_map(|l| if let Loaded::Stopped(s) = l { Some(format!("{}: {}", s.id, s.why)) } else { None })
        .collect()
}

#[cfg(unix)]
#[test]
fn what_looks_like_a_plugin_and_cannot_be_read_is_a_failed_plugin() {
    use std::os::unix::fs::symlink;
    let folder = shelf();
    let make = |name: &str| {
        std::fs::create_dir(folder.path().join(name)).unwrap();
        folder.path().join(name)
    };
    symlink("/nonexistent", make("dangling").join("plugin.toml")).unwrap();
    assert!(std::process::Command::new("mkfifo").arg(make("pipe").join("plugin.toml")).status().unwrap().success());
    std::fs::write(make("capital").join("Plugin.toml"), "id = \"x\"\n").unwrap();
    std::fs::write(make("code").join("check.lua"), "return {}\n").unwrap();
    std::fs::write(make("torn").join("plugin.toml"), "id = \n").unwrap();
    symlink("/nonexistent", make("a\n::error::b").join("plugin.toml")).unwrap();
    symlink("/nonexistent", folder.path().join("gone")).unwrap();
    // What does not look like one: notes beside them, an empty folder.
    make("empty");
    std::fs::write(folder.path().join("README.md"), "").unwrap();
    std::fs::write(make("notes").join("a.txt"), "").unwrap();
    let told = stopped(folder.path());
    let begins: Vec<&str> = told.iter().map(|t| t.split(':').next().unwrap()).collect();
    assert_eq!(begins, ["a\\n", "capital", "code", "dangling", "gone", "pipe", "torn"], "{told:?}");
    assert!(told[1].contains("it is called Plugin.toml"), "{told:?}");
    assert!(told.iter().all(|t| !t.contains('\n')), "{told:?}");
    // Each of them leaves the check incomplete.
    let j = judged(&wand(), &named(folder.path()).unwrap());
    assert_eq!((j.plugins.iter().filter(|p| p.outcome == "failed").count(), j.exit_status()), (7, 3));
}

#[test]
fn the_bytes_of_a_folder_of_plugins_have_a_bound_together() {
    let folder = shelf();
    for k in 0..9 {
        let below = folder.path().join(format!("z{k}"));
        std::fs::create_dir(&below).unwrap();
        std::fs::copy(folder.path().join("probe-bleeder/check.lua"), below.join("check.lua")).unwrap();
        let manifest = std::fs::read_to_string(folder.path().join("probe-bleeder/plugin.toml")).unwrap();
        std::fs::write(below.join("plugin.toml"), manifest.replace("probe-bleeder", &format!("z{k}"))).unwrap();
        // 7.5 MiB and some: nine of them are more than 64 MiB, eight are not.
        (0..8).for_each(|n| std::fs::write(below.join(format!("{n}.txt")), vec![b'x'; 983_040]).unwrap());
    }
    assert_eq!(stopped(folder.path()), Vec::<String>::new());
    std::fs::create_dir(folder.path().join("zz")).unwrap();
    (0..9).for_each(|n| std::fs::write(folder.path().join(format!("zz/{n}.txt")), vec![b'x'; 983_040]).unwrap());
    std::fs::write(folder.path().join("zz/plugin.toml"), "").unwrap();
    let told = stopped(folder.path());
    assert!(told.len() == 1 && told[0].starts_with("zz: "), "{told:?}");
}

#[test]
fn many_that_hang_end_within_a_bound_of_all_together() {
    let hang: Vec<Loaded> = (0..60).map(|k| plugin(&format!("p{k}"), "b", "while true do end").into()).collect();
    let (subject, mut judgement) = plugins::judged(jig::parse("wand.toml", wand().as_bytes()).unwrap());
    let begun = Instant::now();
    let bounds = Bounds { milliseconds: 100, grace: 250, steps: u64::MAX, ..Bounds::default() };
    run::all(&hang, &subject, &mut judgement, bounds, TODAY);
    // Four at once for a tenth of a second each, and no new ones after sixteen such times.
    assert!(begun.elapsed() < Duration::from_secs(8), "{:?}", begun.elapsed());
    let failed: Vec<_> = judgement.plugins.iter().filter(|p| p.outcome == "failed").collect();
    assert_eq!((failed.len(), judgement.exit_status()), (60, 3));
}

#[test]
fn a_text_cannot_be_pushed_to_where_it_looks_like_a_line_of_the_report() {
    let forged = format!("fine{}Limit     5 W, margin 9{}x", " ".repeat(70), "\u{2003}".repeat(9));
    assert_eq!(tidy(&forged), "fine Limit 5 W, margin 9 x");
    assert_eq!(tidy("\u{2800}\u{a0} a\n\n::error::b\u{202e}\t"), "a ::error::b\u{fffd}");
}

fn accepting(check: &str) -> String {
    format!("{}\n[[accept]]\ncheck = \"{check}\"\nreason = \"r\"\nby = \"b\"\nuntil = \"2027-12-31\"\n", wand())
}

#[test]
fn one_word_accepts_the_check_of_the_core_or_of_one_plugin() {
    let say = |id: &str, check: &str| -> Loaded {
        plugin(id, check, &format!("return {{ caution{{ check = '{check}', message = 'm', remedy = 'r' }} }}")).into()
    };
    let accepted = |j: &Judgement, id: &str| {
        j.findings.iter().find(|f| f.source_of_check.starts_with(id)).unwrap().accepted.is_some()
    };
    // A plugin that calls its check like one of the core is not covered by what was accepted of the core.
    let like_core = [say("pa", "flash-rate")];
    assert!(!accepted(&judged(&accepting("flash-rate"), &like_core), "pa@"));
    assert!(accepted(&judged(&accepting("pa/flash-rate"), &like_core), "pa@"));
    // Nor the core by what was accepted of the plugin.
    let core = judged(&accepting("pa/flash-rate"), &like_core);
    assert!(core.findings.iter().any(|f| f.check == crate::finding::CheckId::FlashRate && f.accepted.is_none()));
    // Of two plugins with one name for a check the plugin has to be named.
    let two = [say("pa", "dim"), say("pb", "dim")];
    let j = judged(&accepting("dim"), &two);
    assert!(!accepted(&j, "pa@") && !accepted(&j, "pb@"));
    let j = judged(&accepting("pb/dim"), &two);
    assert!(!accepted(&j, "pa@") && accepted(&j, "pb@"));
    assert!(accepted(&judged(&accepting("dim"), &two[..1]), "pa@"));
}

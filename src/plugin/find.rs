//! Where plugins are found: in the binary, among the user's own, in folders that were named. Never in the folder one happens
//! to be in. Must not run them.

use super::folder::Folder;
use super::loaded::{Loaded, Stopped};
use super::results::tidy;
use crate::files;
use crate::finding::{Judgement, PluginCheck, PluginRun};
use crate::jig::InputError;
use crate::quantity::{format_unit, one_line};
use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/plugins");

/// Where a plugin comes from. Of two with one id the later of these is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Origin {
    /// In the binary.
    Shipped,
    /// Added by the user.
    Added,
    /// Its folder was named.
    Named,
}

impl Origin {
    /// In one word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Origin::Shipped => "shipped",
            Origin::Added => "added",
            Origin::Named => "named",
        }
    }
}

/// A plugin with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KnownPlugin {
    /// Itself, or why it must not run.
    pub plugin: Loaded,
    /// Where it comes from.
    pub origin: Origin,
    /// What it stands in for; empty where it is the only one of its id.
    pub replaces: String,
    /// What it stands in for, the nearest first.
    pub shadowed: Vec<(Loaded, Origin)>,
}

/// `the shipped 1.0.0`; a plugin that is stopped is said to be.
fn described(found: &Loaded, origin: Origin) -> String {
    match found {
        Loaded::Ready(p) => format!("the {} {}", origin.word(), p.manifest.version),
        Loaded::Stopped(Stopped { version, why, .. }) => {
            format!("the {} {version}, which is stopped ({why})", origin.word())
        }
    }
}

/// The folders that ship in the binary.
pub(crate) fn shipped() -> Vec<Folder> {
    fn gather(dir: &Dir<'_>, root: &Path, files: &mut BTreeMap<String, Vec<u8>>) {
        for file in dir.files() {
            // Paths in the binary are UTF-8 and joined with `/`, since the build read them so.
            let name = file.path().strip_prefix(root).unwrap_or(file.path()).display().to_string();
            let hidden = name.split('/').any(|part| part.starts_with('.'));
            if !hidden {
                files.insert(name, file.contents().to_vec());
            }
        }
        dir.dirs().for_each(|d| gather(d, root, files));
    }
    let is = |d: &&Dir<'_>| d.get_file(d.path().join("plugin.toml")).is_some();
    let folder = |d: &Dir<'_>| {
        let mut files = BTreeMap::new();
        gather(d, d.path(), &mut files);
        Folder { origin: Path::new("plugins").join(d.path()), files }
    };
    SHIPPED.dirs().filter(is).map(folder).collect()
}

/// The plugins of a folder that was named: the folder itself, or each folder in it that looks like one. One of several that
/// cannot be read is stopped, and the others run: it must not vanish, nor take them with it.
///
/// # Errors
/// There is none, or the folder itself is one and could not be read.
pub(crate) fn named(at: &Path) -> Result<Vec<Loaded>, Vec<InputError>> {
    let wrong = |message: String, help: &str| vec![InputError::of_file(at.display().to_string(), message, help)];
    let help = "name the folder of a plugin, or a folder of such folders";
    if looks_like_one(at) {
        return Ok(vec![Folder::read(at).and_then(|f| f.plugin())?.into()]);
    }
    let unread = |e: std::io::Error| wrong(format!("could not be read: {}", files::reason(&e)), help);
    let entries = std::fs::read_dir(at).and_then(Iterator::collect::<Result<Vec<_>, _>>).map_err(unread)?;
    let mut folders: Vec<PathBuf> = entries.iter().map(std::fs::DirEntry::path).filter(|p| looks_like_one(p)).collect();
    folders.sort();
    if folders.is_empty() {
        return Err(wrong("holds no plugin.toml, nor does a folder in it".to_string(), help));
    }
    let mut all = 0;
    let one = |folder: &PathBuf| {
        if all > MOST_TOGETHER {
            let help = "name fewer plugins at a time";
            let message = format!("all plugins of {} are more than {MOST_TOGETHER} bytes", at.display());
            return stopped(folder, &[InputError::of_file(folder.display().to_string(), message, help)]);
        }
        match Folder::read(folder) {
            Ok(read) => {
                all += read.bytes();
                read.plugin().map_or_else(|errors| stopped(folder, &errors), Loaded::from)
            }
            Err(errors) => stopped(folder, &errors),
        }
    };
    Ok(folders.iter().map(one).collect())
}

/// Most bytes of all plugins of a folder of folders, in all their files.
const MOST_TOGETHER: usize = 64 << 20;

/// A plugin that cannot be read.
fn stopped(folder: &Path, errors: &[InputError]) -> Loaded {
    let id = folder.file_name().map_or_else(String::new, |n| one_line(&n.to_string_lossy()));
    let why = errors.first().map_or_else(String::new, ToString::to_string);
    Loaded::Stopped(Stopped { id, version: String::new(), sha256: String::new(), why })
}

/// Whether a folder looks like that of a plugin: something in it is called plugin.toml or check.lua, however it is written and
/// whatever it is. One that cannot be looked into may be one.
fn looks_like_one(folder: &Path) -> bool {
    let is = |name: &std::ffi::OsStr| {
        ["plugin.toml", "check.lua"].iter().any(|n| name.to_str().is_some_and(|own| own.eq_ignore_ascii_case(n)))
    };
    match std::fs::read_dir(folder) {
        Ok(entries) => entries.flatten().any(|e| is(&e.file_name())),
        Err(error) => match folder.symlink_metadata() {
            // A file beside the folders is none; a link that leads nowhere may have been one.
            Ok(found) => found.is_dir() || (found.is_symlink() && error.kind() != ErrorKind::NotADirectory),
            Err(_) => false,
        },
    }
}

/// Every plugin there is, one of each id, sorted by id: `folders` were named, `added` are the user's, already verified by
/// whoever looks after them.
///
/// # Errors
/// A folder that was named could not be read, or two of them have one id.
pub(crate) fn all(folders: &[PathBuf], added: Vec<Loaded>) -> Result<Vec<KnownPlugin>, Vec<InputError>> {
    let mut known: BTreeMap<String, KnownPlugin> = BTreeMap::new();
    let mut put = |found: Loaded, origin: Origin| {
        let mut new = KnownPlugin { plugin: found, origin, replaces: String::new(), shadowed: vec![] };
        let id = new.plugin.id().to_string();
        let old = known.remove(&id);
        let before = old.as_ref().map(|old| old.origin);
        if let Some(KnownPlugin { plugin, origin, shadowed, .. }) = old {
            new.replaces = format!("in place of {}", described(&plugin, origin));
            new.shadowed = [vec![(plugin, origin)], shadowed].concat();
        }
        known.insert(id, new);
        before
    };
    for folder in shipped() {
        put(ready(&folder), Origin::Shipped);
    }
    for found in added {
        put(found, Origin::Added);
    }
    for at in folders {
        for plugin in named(at)? {
            let id = plugin.id().to_string();
            if put(plugin, Origin::Named) == Some(Origin::Named) {
                let help = "name one of the folders only, or give one of the plugins another id";
                let message = format!("a second plugin with the id {id}");
                return Err(vec![InputError::of_file(at.display().to_string(), message, help)]);
            }
        }
    }
    Ok(known.into_values().collect())
}

/// The plugins for one jig. A name alone must not keep a check away: where a plugin that stands in for another is not for
/// this unit and the other is, the other looks at the jig as well.
pub(crate) fn for_unit(known: Vec<KnownPlugin>, unit: &str) -> Vec<KnownPlugin> {
    let mut out = vec![];
    for k in known {
        let runs = k.plugin.looks_at(unit) || matches!(k.plugin, Loaded::Stopped(_));
        let hidden = k.shadowed.iter().find(|(found, _)| !runs && found.looks_at(unit)).cloned();
        out.push(k);
        out.extend(hidden.map(|(found, origin)| KnownPlugin {
            plugin: found,
            origin,
            replaces: String::new(),
            shadowed: vec![],
        }));
    }
    out
}

/// What a plugin says of one of its checks; nothing where it has none of that name or must not run.
pub(crate) fn check_page(known: &KnownPlugin, check: &str) -> Option<PluginCheck> {
    let Loaded::Ready(plugin) = &known.plugin else { return None };
    let manifest = &plugin.manifest;
    let info = manifest.checks.get(check)?;
    Some(PluginCheck {
        check: check.to_string(),
        plugin: manifest.stamp(),
        units: manifest.units.clone(),
        title: tidy(&info.title),
        limit: info.limit.as_ref().map(|(value, unit)| format_unit(*value, unit)),
        source: tidy(&info.source),
        why: tidy(&info.why),
    })
}

/// A shipped plugin that cannot be read is a fault of the program: it is stopped, never left out.
fn ready(folder: &Folder) -> Loaded {
    match folder.plugin() {
        Ok(plugin) => plugin.into(),
        Err(errors) => {
            let id = folder.origin.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            let why = errors.first().map_or_else(String::new, ToString::to_string);
            Loaded::Stopped(Stopped { id, version: String::new(), sha256: folder.sha256(), why })
        }
    }
}

/// Says in a judgement what stood in for what, and which plugin that was named did not look at this jig. What a plugin of
/// this unit would have looked for, had not another taken its name, was not looked for.
pub(crate) fn report_replaced(known: &[KnownPlugin], unit: &str, judgement: &mut Judgement) {
    for k in known {
        let own = |r: &&mut PluginRun| r.id == k.plugin.id() && r.sha256 == k.plugin.sha256();
        let Some(run) = judgement.plugins.iter_mut().find(own) else { continue };
        if !k.replaces.is_empty() {
            for (found, origin) in
                k.shadowed.iter().filter(|(found, _)| k.plugin.looks_at(unit) && found.looks_at(unit))
            {
                let other = described(found, *origin);
                judgement.not_checked.push(format!(
                    "what {other} plugin {} looks for: the {} {} has its name and ran in its place",
                    run.id,
                    k.origin.word(),
                    run.version
                ));
            }
            run.why = if run.why.is_empty() { k.replaces.clone() } else { format!("{}; {}", k.replaces, run.why) };
        }
        if k.origin == Origin::Named && run.outcome == "skipped" {
            let unit = if unit.is_empty() { "names no unit".to_string() } else { format!("is a {unit}") };
            judgement
                .not_checked
                .push(format!("what the plugin {} looks for: it is {}, and this jig {unit}", run.id, run.why));
        }
    }
}

//! Where plugins are found: in the binary, among the user's own, in folders that were named. Never in the folder one happens
//! to be in. Must not run them.

use super::folder::{Folder, Plugin};
use super::run::Found;
use crate::jig::Fault;
use crate::judgement::Judgement;
use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/plugins");

/// Where a plugin comes from. Of two with one id the later of these is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// In the binary.
    Shipped,
    /// Added by the user.
    Added,
    /// Its folder was named.
    Named,
}

impl Origin {
    /// In one word.
    pub fn word(self) -> &'static str {
        match self {
            Origin::Shipped => "shipped",
            Origin::Added => "added",
            Origin::Named => "named",
        }
    }
}

/// A plugin with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Itself, or why it must not run.
    pub found: Found,
    /// Where it comes from.
    pub origin: Origin,
    /// What it stands in for; empty where it is the only one of its id.
    pub instead: String,
}

impl Known {
    /// Its id.
    pub fn id(&self) -> &str {
        match &self.found {
            Found::Ready(p) => &p.manifest.id,
            Found::Stopped { id, .. } => id,
        }
    }

    fn version(&self) -> String {
        match &self.found {
            Found::Ready(p) => p.manifest.version.to_string(),
            Found::Stopped { version, .. } => version.clone(),
        }
    }
}

/// The folders that ship in the binary.
pub fn shipped() -> Vec<Folder> {
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

/// The plugins of a folder that was named: the folder itself, or each folder in it that holds a plugin.toml.
///
/// # Errors
/// There is none, or one of them could not be read.
pub fn named(at: &Path) -> Result<Vec<Plugin>, Vec<Fault>> {
    let wrong = |message: String, help: &str| {
        vec![Fault { file: at.display().to_string(), line: 0, column: 0, message, help: help.to_string() }]
    };
    let help = "name the folder of a plugin, or a folder of such folders";
    let is = |folder: &Path| folder.join("plugin.toml").is_file();
    let folders = if is(at) {
        vec![at.to_path_buf()]
    } else {
        let entries = std::fs::read_dir(at).map_err(|e| wrong(format!("could not be read: {e}"), help))?;
        let mut folders: Vec<PathBuf> = entries.filter_map(|e| e.ok().map(|e| e.path())).filter(|p| is(p)).collect();
        folders.sort();
        folders
    };
    if folders.is_empty() {
        return Err(wrong("holds no plugin.toml, nor does a folder in it".to_string(), help));
    }
    let (mut plugins, mut faults) = (vec![], vec![]);
    for folder in folders {
        match Folder::read(&folder).and_then(|f| f.plugin()) {
            Ok(plugin) => plugins.push(plugin),
            Err(more) => faults.extend(more),
        }
    }
    if faults.is_empty() { Ok(plugins) } else { Err(faults) }
}

/// Every plugin there is, one of each id, sorted by id: `folders` were named, `added` are the user's, already verified by
/// whoever looks after them.
///
/// # Errors
/// A folder that was named could not be read, or two of them have one id.
pub fn all(folders: &[PathBuf], added: Vec<Found>) -> Result<Vec<Known>, Vec<Fault>> {
    let mut known: BTreeMap<String, Known> = BTreeMap::new();
    let mut put = |found: Found, origin: Origin| {
        let mut new = Known { found, origin, instead: String::new() };
        let id = new.id().to_string();
        let before = known.get(&id).map(|old| (old.origin, old.version()));
        if let Some((old, version)) = &before {
            new.instead = format!("in place of the {} {version}", old.word());
        }
        known.insert(id, new);
        before.map(|(origin, _)| origin)
    };
    for folder in shipped() {
        put(ready(&folder), Origin::Shipped);
    }
    for found in added {
        put(found, Origin::Added);
    }
    for at in folders {
        for plugin in named(at)? {
            let id = plugin.manifest.id.clone();
            if put(Found::Ready(plugin), Origin::Named) == Some(Origin::Named) {
                let help = "name one of the folders only, or give one of the plugins another id".to_string();
                let message = format!("a second plugin with the id {id}");
                return Err(vec![Fault { file: at.display().to_string(), line: 0, column: 0, message, help }]);
            }
        }
    }
    Ok(known.into_values().collect())
}

/// A shipped plugin that cannot be read is a fault of the program: it is stopped, never left out.
fn ready(folder: &Folder) -> Found {
    match folder.plugin() {
        Ok(plugin) => Found::Ready(plugin),
        Err(faults) => {
            let id = folder.origin.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            let why = faults.first().map_or_else(String::new, ToString::to_string);
            Found::Stopped { id, version: String::new(), sha256: folder.sha256(), why }
        }
    }
}

/// Says in a judgement what stood in for what, and which plugin that was named did not look at this jig.
pub fn annotate(known: &[Known], unit: &str, judgement: &mut Judgement) {
    for k in known {
        let Some(run) = judgement.plugins.iter_mut().find(|r| r.id == k.id()) else { continue };
        if !k.instead.is_empty() {
            run.why = if run.why.is_empty() { k.instead.clone() } else { format!("{}; {}", k.instead, run.why) };
        }
        if k.origin == Origin::Named && run.outcome == "skipped" {
            let unit = if unit.is_empty() { "names no unit".to_string() } else { format!("is a {unit}") };
            judgement
                .not_checked
                .push(format!("what the plugin {} looks for: it is {}, and this jig {unit}", run.id, run.why));
        }
    }
}

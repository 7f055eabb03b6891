//! One plugin, as text and as JSON. Must not look for it.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::review_text::{Review, checks, dossier, dossier_json};
use crate::plugin::Plugin;
use crate::quantity::one_line;
use crate::sharing::dossier::Dossier;
use serde_json::{Value, json};

/// One plugin that is here.
pub(crate) struct Shown {
    /// Id.
    pub id: String,
    /// `shipped`, `added` or `named`.
    pub from: &'static str,
    /// Hash of its bytes.
    pub sha256: String,
    /// What it stands in for.
    pub instead: String,
    /// Itself, where it could be read.
    pub plugin: Option<Plugin>,
    /// Why it must not run.
    pub stopped: Option<String>,
    /// What is known of its bytes, where it was added.
    pub dossier: Option<Dossier>,
    /// Earlier versions that are kept: version and sha256.
    pub kept: Vec<(String, String)>,
}

/// As text.
pub(crate) fn show_text(s: &Shown, look: Look) -> String {
    let mut page = Page::new(look);
    match &s.plugin {
        Some(p) => {
            page.paragraph(&format!("{} ({}): {}", one_line(&p.manifest.stamp()), s.from, one_line(&p.manifest.title)))
        }
        None => page.paragraph(&format!("{} ({})", one_line(&s.id), s.from)),
    }
    page.note("Stopped", &clean(s.stopped.as_deref().unwrap_or_default()));
    page.note("Instead", &clean(&s.instead));
    if let Some(p) = &s.plugin {
        page.note("About", &one_line(&p.manifest.about));
        page.note("Units", &one_line(&p.manifest.units.join(", ")));
        page.note("Author", &one_line(&p.manifest.author));
        page.note("Licence", &one_line(&p.manifest.licence));
    }
    match &s.dossier {
        Some(d) => dossier(&mut page, d),
        None => page.line(&format!("  sha256    {}", clean(&s.sha256))),
    }
    let kept: Vec<String> = s.kept.iter().map(|(version, _)| clean(version)).collect();
    page.note(
        "Kept too",
        &if kept.is_empty() { String::new() } else { format!("{}, for jigs whose lock names it", kept.join(", ")) },
    );
    if let Some(p) = &s.plugin {
        checks(&mut page, p);
    }
    page.finish()
}

/// For programs.
pub(crate) fn show_json(s: &Shown) -> Value {
    let review = s.plugin.clone().map(|plugin| Review {
        archive: String::new(),
        plugin,
        dossier: s.dossier.clone(),
        files: vec![],
        places: vec![],
        cases: vec![],
        notes: vec![],
        jigs: vec![],
    });
    let kept: Vec<Value> =
        s.kept.iter().map(|(version, sha256)| json!({ "version": version, "sha256": sha256 })).collect();
    json!({
        "id": s.id, "from": s.from, "sha256": s.sha256, "instead": s.instead, "stopped": s.stopped, "kept": kept,
        "plugin": review.as_ref().map(dossier_json),
    })
}

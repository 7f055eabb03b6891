//! A plugin as somebody reads it who is to vet it. Must not say what the vet should say.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::plural;
use super::table::{Column, put};
use crate::plugin::Plugin;
use crate::plugin::demo::OnJig;
use crate::plugin::manifest::SettingValue;
use crate::plugin::read_through::{Place, Places};
use crate::quantity::{format_unit, one_line};
use crate::sharing::dossier::{Dossier, Heard};
use serde_json::{Value, json};

/// Where a page of a review ends.
pub(crate) const PAGE_END: char = '\u{c}';
/// Lines of source on a page.
const LINES: usize = 36;

/// What a review shows.
pub(crate) struct Review {
    /// As it was named.
    pub archive: String,
    /// The plugin.
    pub plugin: Plugin,
    /// What is known of its bytes; None for what ships and for folders.
    pub dossier: Option<Dossier>,
    /// Its files and their bytes.
    pub files: Vec<(String, usize)>,
    /// Where to look twice.
    pub places: Vec<Places>,
    /// Its cases, run.
    pub cases: Vec<ReviewedCase>,
    /// What they leave open.
    pub notes: Vec<String>,
    /// What it does on jigs.
    pub jigs: Vec<OnJig>,
}

/// One case, run.
pub(crate) struct ReviewedCase {
    /// Name of its file.
    pub file: String,
    /// Names of checks.
    pub expected: Vec<String>,
    /// Names of checks.
    pub found: Vec<String>,
    /// Whether it came out so.
    pub as_expected: bool,
    /// Why the plugin came to no end.
    pub failed: Option<String>,
}

/// Everything on its pages.
pub(crate) fn review_text(r: &Review, look: Look) -> String {
    let mut page = Page::new(look);
    let m = &r.plugin.manifest;
    page.paragraph(&format!("Review of {}: {}", one_line(&m.stamp()), one_line(&m.title)));
    facts(&mut page, r);
    end(&mut page);
    checks(&mut page, &r.plugin);
    end(&mut page);
    source(&mut page, &r.plugin.source, look);
    look_twice(&mut page, &r.places);
    end(&mut page);
    cases(&mut page, r);
    jigs(&mut page, &r.jigs);
    end(&mut page);
    questions(&mut page, r);
    page.finish()
}

fn end(page: &mut Page) {
    page.line(&PAGE_END.to_string());
}

fn facts(page: &mut Page, r: &Review) {
    let m = &r.plugin.manifest;
    page.note("About", &one_line(&m.about));
    page.note("Units", &one_line(&m.units.join(", ")));
    page.note("Author", &one_line(&m.author));
    page.note("Licence", &one_line(&m.licence));
    page.note("Holds", &r.files.iter().map(|(n, b)| format!("{} {b} B", one_line(n))).collect::<Vec<_>>().join(", "));
    match &r.dossier {
        None => page.note("Signed by", "nobody: a folder, or part of the program"),
        Some(d) => dossier(page, d),
    }
}

/// What is known of the bytes of an archive.
pub(super) fn dossier(page: &mut Page, d: &Dossier) {
    page.line(&format!("  sha256    {}", d.sha256));
    match &d.signer {
        Some(shop) => {
            page.note("Signed by", &clean(&shop.name));
            page.note("Its key", &shop.key.fingerprint());
        }
        None => page.note("Signed by", "no shop of your list"),
    }
    let heard: Vec<String> = d.heard.iter().map(said).collect();
    page.note("Heard", if heard.is_empty() { "nothing, by any shop of your list" } else { "" });
    heard.iter().for_each(|h| page.bullet(h));
    page.note("Counts", &clean(&d.vetted_by.join(", ")));
    let lists = [("Bad", &d.bad), ("Missing", &d.missing), ("Wrong", &d.wrong)];
    lists.iter().for_each(|(label, list)| list.iter().for_each(|one| page.note(label, &clean(one))));
}

fn said(Heard { shop, record, void }: &Heard) -> String {
    let did: Vec<&str> = record.did.iter().map(|d| d.word()).collect();
    let with = if record.cases > 0 {
        format!(", {} run by deadfront {}", plural(record.cases, "case"), record.program)
    } else {
        String::new()
    };
    let note = if record.note.is_empty() { String::new() } else { format!(": {}", record.note) };
    let void = void.as_ref().map_or_else(String::new, |why| format!(" (does not count: {why})"));
    let what = if did.is_empty() { String::new() } else { format!(" ({}{with})", did.join(", ")) };
    clean(&format!("{shop}, {}, {}{what}{note}{void}", record.date, record.result.word()))
}

/// Checks, numbers and settings of a plugin with limits and sources.
pub(super) fn checks(page: &mut Page, plugin: &Plugin) {
    let m = &plugin.manifest;
    page.heading(&format!("What it checks: {}", plural(m.checks.len(), "check")));
    for (name, info) in &m.checks {
        let limit = info.limit.as_ref().map_or_else(|| "no number".into(), |(v, unit)| format_unit(*v, unit));
        page.bullet(&one_line(&format!("{}/{name}: {}", m.id, info.title)));
        page.note("Limit", &format!("{limit}; source: {}", one_line(&info.source)));
        page.note("Why", &one_line(&info.why));
        let cores: Vec<&str> = info.told_by.iter().map(|id| id.name()).collect();
        page.note(
            "Told by",
            &if cores.is_empty() { String::new() } else { format!("{}, where they say the same", cores.join(", ")) },
        );
    }
    if !m.numbers.is_empty() {
        page.heading("Numbers that are the limit of no check");
    }
    for (name, n) in &m.numbers {
        let value = format_unit(n.value.0, &n.value.1);
        page.bullet(&format!("{name}: {value}; source: {}", one_line(&n.source)));
    }
    if !m.settings.is_empty() {
        page.heading("What a jig may set");
    }
    for (name, s) in &m.settings {
        page.bullet(&format!("{name} = {}: {}", set_to(&s.default), one_line(&s.about)));
    }
    page.heading("Sources it names");
    m.sources.iter().for_each(|s| page.bullet(&one_line(s)));
}

fn set_to(value: &SettingValue) -> String {
    match value {
        SettingValue::Number(n) => n.to_string(),
        SettingValue::Quantity(value, unit) => format_unit(*value, unit),
        SettingValue::Text(text) => format!("\"{}\"", one_line(text)),
        SettingValue::Flag(flag) => flag.to_string(),
    }
}

fn source(page: &mut Page, source: &str, look: Look) {
    let lines: Vec<&str> = source.lines().collect();
    for (k, part) in lines.chunks(LINES).enumerate() {
        let first = k * LINES + 1;
        page.heading(&format!("check.lua, lines {first} to {} of {}", first + part.len() - 1, lines.len()));
        for (at, line) in part.iter().enumerate() {
            let shown: Vec<char> = one_line(&line.replace('\t', "    ")).chars().collect();
            let room = look.width.saturating_sub(6).max(20);
            let mut pieces = shown.chunks(room).map(|piece| piece.iter().collect::<String>());
            page.line(&format!("{:>4}  {}", first + at, pieces.next().unwrap_or_default()));
            pieces.for_each(|piece| page.line(&format!("    ↳ {piece}")));
        }
        end(page);
    }
}

fn look_twice(page: &mut Page, places: &[Places]) {
    page.heading("Lines to look at twice");
    for Places { what, lines } in places {
        page.bullet(&format!("{what}: {}", if lines.is_empty() { "none" } else { "" }));
        lines.iter().for_each(|Place { line, text }| {
            let shown: String = one_line(text).chars().take(60).collect();
            page.line(&format!("  {line:>4}  {shown}"));
        });
    }
}

fn cases(page: &mut Page, r: &Review) {
    let good = r.cases.iter().filter(|c| c.as_expected).count();
    page.heading(&format!("Its cases, run now: {good} of {} as expected", plural(r.cases.len(), "case")));
    let names = |list: &[String]| if list.is_empty() { "none".to_string() } else { one_line(&list.join(", ")) };
    let row = |c: &ReviewedCase| {
        let found = c.failed.as_ref().map_or_else(|| names(&c.found), |why| format!("failed: {}", one_line(why)));
        let came = if c.as_expected { "as expected" } else { "DIFFERS" };
        vec![one_line(&c.file), names(&c.expected), found, came.to_string()]
    };
    let columns = ["case", "expected", "found", "came out"].map(Column::Words);
    put(page, &columns, &r.cases.iter().map(row).collect::<Vec<_>>());
    r.notes.iter().for_each(|n| page.bullet(&one_line(n)));
}

fn jigs(page: &mut Page, jigs: &[OnJig]) {
    page.heading("Demo jigs with and without it");
    let (mut other, mut looked) = (vec![], 0);
    for OnJig { file, without: (verdict, findings), adds, .. } in jigs {
        let Some(adds) = adds else {
            other.push(one_line(file));
            continue;
        };
        looked += 1;
        let with = if adds.is_empty() {
            "with it nothing more".into()
        } else {
            format!("with it {} more", plural(adds.len(), "finding"))
        };
        page.bullet(&format!("{}: without it {verdict}, {}; {with}", one_line(file), plural(*findings, "finding")));
        adds.iter().for_each(|line| page.hang("    + ", "      ", &one_line(line)));
    }
    if looked == 0 {
        page.bullet("None is of its unit: what it does on a sound tool is shown by its cases alone.");
    }
    page.note("Others", &other.join(", "));
}

fn questions(page: &mut Page, r: &Review) {
    page.heading("Questions that a vet answers");
    let typed = r.places.first().map_or(0, |p| p.lines.len());
    let mut all = vec![
        "Is each limit the one that its source prints, at the clause it names?".to_string(),
        "Does the code hold each value against limit(\"…\"), the right way round, for every part it speaks of?".into(),
        "Can a part be named, wired or left out so that the code passes over it in silence?".into(),
        "Has each check a case close on either side of its limit?".into(),
        "Is what it adds to the demo jigs true, and would a reader at a bench know what to change?".into(),
        "Did you compare the signer's key by voice, and do you know why it says what it says?".into(),
    ];
    if typed > 0 {
        all.insert(2, format!("What are the numbers typed into the code ({})?", plural(typed, "line")));
    }
    if r.jigs.iter().all(|j| j.adds.is_none()) {
        all.push("No demo jig is of its unit: on which tool of your own did you try it?".into());
    }
    all.iter().for_each(|q| page.bullet(q));
    page.gap();
    if r.dossier.is_some() && r.archive.ends_with(".tar.gz") {
        page.paragraph("When you can answer them, say what you did and no more:");
        page.line(&format!("  deadfront plugin vet {} \\", clean(&r.archive)));
        page.line("    --did read-the-source --did ran-its-cases --result good");
        page.paragraph("or --result known-bad, with --note and what is wrong with it.");
    }
    page.paragraph("A review shows what there is, not what is missing. Read SAFETY.md.");
}

/// The same facts for programs.
pub(crate) fn dossier_json(r: &Review) -> Value {
    let m = &r.plugin.manifest;
    let d = r.dossier.as_ref();
    let checks: Vec<Value> = m
        .checks
        .iter()
        .map(|(name, info)| {
            let (value, unit) = info.limit.clone().map_or((None, String::new()), |(v, unit)| (Some(v), unit));
            json!({ "check": name, "title": info.title, "limit": value, "unit": unit, "source": info.source })
        })
        .collect();
    json!({
        "id": m.id, "version": m.version.to_string(), "units": m.units, "checks": checks,
        "sha256": d.map_or(&r.plugin.sha256, |d| &d.sha256),
        "signed_by": d.and_then(|d| d.signer.as_ref()).map(|s| json!({
            "shop": s.name, "key": s.key.text(), "fingerprint": s.key.fingerprint(),
        })),
        "heard": d.map(|d| d.heard.iter().map(|h| json!({
            "shop": h.shop, "result": h.record.result, "did": h.record.did, "date": h.record.date,
            "number": h.record.number, "cases": h.record.cases, "program": h.record.program, "note": h.record.note,
            "void": h.void,
        })).collect::<Vec<_>>()),
        "vetted_by": d.map(|d| &d.vetted_by), "bad": d.map(|d| &d.bad), "missing": d.map(|d| &d.missing),
        "wrong": d.map(|d| &d.wrong),
    })
}

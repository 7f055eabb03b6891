//! A label to cut out and stick on the tool.

use super::html::Html;
use super::page::DIGITS;
use super::svg::escaped;
use super::{SheetFacts, svg::short};
use crate::finding::Judgement;
use crate::jig::{Class, PartKind};
use crate::quantity::{Kind, format};

/// The section.
pub(super) fn section(html: &mut Html, facts: &SheetFacts, j: &Judgement) {
    html.section("label", "Label");
    html.raw("<div class=\"label\">\n");
    html.raw(&format!("<p class=\"unit\">{}</p>\n", escaped(&j.jig_name)));
    html.raw(&format!("<p>{} {}</p>\n", escaped(&rated(facts)), class(facts.jig.enclosure.class)));
    html.raw("<p><b>Disconnect before opening.</b> Prove it dead with a meter that was tried on a known live source just before and just after.</p>\n");
    let plugins: Vec<String> =
        j.plugins.iter().filter(|p| p.outcome == "ran").map(|p| format!("{} {}", p.id, p.version)).collect();
    let versions = std::iter::once(format!("deadfront {}", env!("CARGO_PKG_VERSION"))).chain(plugins);
    let digits: String = j.jig_sha256.chars().take(DIGITS).collect();
    html.raw(&format!(
        "<p class=\"small\">Checked on paper only: {}. File {digits}, {}.</p>\n",
        escaped(&versions.collect::<Vec<_>>().join(", ")),
        escaped(&facts.today)
    ));
    html.raw("</div>\n");
    html.end();
}

/// Volts, hertz, and watts where they are known, else the fuses.
fn rated(facts: &SheetFacts) -> String {
    let jig = facts.jig;
    let mut words = vec![
        jig.supply
            .mains
            .as_ref()
            .map_or("no mains".to_string(), |m| format!("{} {} Hz", format(m.nominal, Kind::Voltage), short(m.hertz))),
    ];
    let watts: Option<f64> = facts.watts.filter(|w| *w > 0.0);
    words.extend(watts.map(|w| format(w, Kind::Power)));
    let fuses = jig.parts.iter().filter_map(|p| match &p.kind {
        PartKind::Fuse(f) => {
            let speed = f.speed.as_ref().map_or_else(String::new, |s| format!("{s} "));
            Some(format!("{} {speed}{}", p.name, format(f.current, Kind::Current)))
        }
        _ => None,
    });
    let fuses: Vec<String> = fuses.collect();
    if !fuses.is_empty() {
        words.push(format!("fuses {}", fuses.join(", ")));
    }
    words.join(" · ")
}

/// The symbol of the class, with its name for who does not see it.
fn class(class: Option<Class>) -> String {
    let (name, drawing) = match class {
        Some(Class::I) => ("class I", "<path d=\"M12 3V11M4 11H20M7 15H17M10 19H14\"/>"),
        Some(Class::II) => ("class II", "<path d=\"M3 3H21V21H3ZM7 7H17V17H7Z\"/>"),
        Some(Class::III) => ("class III", "<path d=\"M12 2L22 12L12 22L2 12ZM9 8V16M12 8V16M15 8V16\"/>"),
        None => return String::new(),
    };
    format!(
        "<svg class=\"class\" viewBox=\"0 0 24 24\" width=\"22\" height=\"22\" role=\"img\" aria-label=\"{name}\">{drawing}</svg>"
    )
}

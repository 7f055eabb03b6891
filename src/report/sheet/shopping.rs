//! What to buy: like parts together, with their values, the ratings they need and their colour bands.

use super::html::Html;
use super::instead;
use super::svg::{escaped, short};
use crate::jig::{Jig, PartKind};
use crate::quantity::{Kind, format, format_rated_watts};
use crate::standard::colour_code::{Colour, bands};

/// The section.
pub(super) fn section(html: &mut Html, jig: &Jig) {
    html.section("parts", "Parts to buy");
    let mut rows: Vec<(Vec<String>, Bought)> = vec![];
    for part in &jig.parts {
        let bought = Bought::of(&part.kind);
        match rows.iter_mut().find(|(_, known)| *known == bought) {
            Some((names, _)) => names.push(part.name.clone()),
            None => rows.push((vec![part.name.clone()], bought)),
        }
    }
    html.raw("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"List of parts\">\n<table>\n");
    html.raw("<caption>Every part of the file; like ones together</caption>\n<thead><tr>");
    for head in ["count", "part", "what", "at least", "bands"] {
        html.raw(&format!("<th scope=\"col\">{head}</th>"));
    }
    html.raw("</tr></thead>\n<tbody>\n");
    for (names, bought) in &rows {
        html.raw(&format!(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            names.len(),
            escaped(&names.join(", ")),
            escaped(&bought.what),
            escaped(&bought.needs.join(", ")),
            drawn(&bought.bands)
        ));
    }
    html.raw("</tbody></table></div>\n");
    instead::list(html, jig);
    html.end();
}

/// What one part has to be.
#[derive(Debug, Clone, PartialEq)]
struct Bought {
    /// Kind and value.
    what: String,
    /// Ratings that more of does no harm.
    needs: Vec<String>,
    /// Bands, where it has any.
    bands: Vec<Colour>,
}

impl Bought {
    fn of(kind: &PartKind) -> Bought {
        let (what, needs) = described(kind);
        let bands = match kind {
            PartKind::Resistor(r) => r.tolerance.and_then(|t| bands(r.resistance, t)).unwrap_or_default(),
            _ => vec![],
        };
        Bought { what, needs: needs.into_iter().flatten().collect(), bands }
    }
}

/// Kind with value, and ratings.
fn described(kind: &PartKind) -> (String, Vec<Option<String>>) {
    let volts = |v: f64| format(v, Kind::Voltage);
    let amperes = |a: f64| format(a, Kind::Current);
    let ohms = |r: f64| format(r, Kind::Resistance);
    let share = |t: f64| format!("{} %", short(t * 100.0));
    let some = |v: Option<f64>, of: &dyn Fn(f64) -> String| v.map(of);
    let words = |list: Vec<Option<String>>| list.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let flag = |is: bool, word: &str| is.then(|| word.to_string());
    match kind {
        PartKind::Resistor(p) => (
            words(vec![
                Some(format!("resistor {}", ohms(p.resistance))),
                some(p.tolerance, &share),
                flag(p.flameproof, "flameproof"),
                flag(p.fusible, "fusible"),
            ]),
            vec![p.power.map(format_rated_watts), some(p.voltage, &volts)],
        ),
        PartKind::Capacitor(p) => (
            words(vec![
                Some(format!("capacitor {}", format(p.capacitance, Kind::Capacitance))),
                some(p.tolerance, &share),
                p.class.map(|c| format!("class {}", c.word())),
                flag(p.polarised == Some(true), "polarised"),
            ]),
            vec![
                p.voltage.map(|v| format!("{} a.c.", volts(v))),
                p.dc_voltage.map(|v| format!("{} d.c.", volts(v))),
                p.ripple.map(|a| format!("{} ripple", amperes(a))),
            ],
        ),
        PartKind::Inductor(p) => (
            format!("choke {}, {}", format(p.inductance, Kind::Inductance), ohms(p.resistance)),
            vec![some(p.current, &amperes)],
        ),
        PartKind::Winding(p) => (format!("winding or motor, {}", ohms(p.resistance)), vec![some(p.current, &amperes)]),
        PartKind::Diode(p) => ("diode".into(), vec![some(p.voltage, &volts), some(p.current, &amperes)]),
        PartKind::Led(p) => (
            words(vec![
                (p.series > 1).then(|| format!("{} in series:", p.series)),
                Some(format!("LED {} forward", volts(p.forward))),
            ]),
            vec![some(p.current, &amperes), p.peak_current.map(|a| format!("{} peak", amperes(a)))],
        ),
        PartKind::Suppressor(p) => {
            let ways = if p.bidirectional { "both ways" } else { "one way" };
            (format!("suppressor {}, {ways}", volts(p.breakdown)), vec![p.power.map(format_rated_watts)])
        }
        PartKind::Bridge(p) => ("bridge rectifier".into(), vec![some(p.voltage, &volts), some(p.current, &amperes)]),
        PartKind::Neon(p) => (
            p.lamp_type.as_ref().map_or_else(
                || format!("neon lamp that strikes at {}, no resistor in it", volts(p.strike)),
                |t| format!("neon lamp {t}, no resistor in it"),
            ),
            vec![some(p.current, &amperes)],
        ),
        PartKind::Filament(p) => (format!("filament lamp {} {}", volts(p.volts), format_rated_watts(p.power)), vec![]),
        PartKind::Fuse(p) => (
            words(vec![Some(format!("fuse-link {}", amperes(p.current))), p.speed.clone()]),
            vec![some(p.voltage, &volts), p.breaking.map(|a| format!("breaks {}", amperes(a)))],
        ),
        PartKind::ThermalFuse(p) => (
            format!("thermal fuse {}", format(p.temperature, Kind::Temperature)),
            vec![some(p.voltage, &volts), some(p.current, &amperes)],
        ),
        PartKind::Switch(p) => {
            let poles = p.contacts.each().len();
            let what = if poles == 1 { "switch, 1 contact".into() } else { format!("switch, {poles} contacts") };
            (what, vec![some(p.voltage, &volts), some(p.current, &amperes)])
        }
        PartKind::Varistor(p) => (format!("varistor {} a.c.", volts(p.voltage)), vec![]),
        PartKind::Thermistor(p) => (format!("inrush limiter {} cold", ohms(p.cold)), vec![some(p.current, &amperes)]),
        PartKind::Transformer(t) => {
            let outs = t.secondaries.iter().map(|w| volts(w.volts)).collect::<Vec<_>>().join(" + ");
            let grade = t.insulation.map(|g| format!(", {} insulation", g.word())).unwrap_or_default();
            (
                format!("transformer {} to {outs}{grade}", volts(t.primary.volts)),
                vec![t.power.map(|p| format(p, Kind::ApparentPower))],
            )
        }
        PartKind::Psu(p) => (
            words(vec![Some("module".into()), some(p.volts, &volts), flag(p.selv, "SELV")]),
            vec![some(p.current, &amperes)],
        ),
        PartKind::Load(p) => {
            (words(vec![Some("load".into()), p.power.map(format_rated_watts), some(p.resistance, &ohms)]), vec![])
        }
        PartKind::Wire(p) => (
            words(vec![
                Some("wire".into()),
                p.colour.clone(),
                p.area.map(|a| format(a, Kind::Area)),
                p.length.map(|l| format(l, Kind::Length)),
            ]),
            vec![some(p.voltage, &volts)],
        ),
        PartKind::Socket(p) => (p.socket_type.clone().unwrap_or_else(|| "connector".into()), vec![]),
    }
}

/// Bands drawn and named; a dash where there are none.
fn drawn(bands: &[Colour]) -> String {
    if bands.is_empty() {
        return "–".into();
    }
    let words = bands.iter().map(|c| c.word()).collect::<Vec<_>>().join(", ");
    let wide = 12 + 8 * bands.len();
    let mut svg = format!(
        "<svg class=\"bands\" viewBox=\"0 0 {wide} 14\" width=\"{wide}\" height=\"14\" aria-hidden=\"true\">\
         <rect class=\"resistor\" x=\"0.5\" y=\"0.5\" width=\"{}\" height=\"13\" rx=\"4\"/>",
        wide - 1
    );
    for (k, colour) in bands.iter().enumerate() {
        let apart = if k + 1 == bands.len() && bands.len() > 3 { 3 } else { 0 };
        let x = 5 + 8 * k + apart;
        svg.push_str(&format!("<rect class=\"band {}\" x=\"{x}\" y=\"1\" width=\"4\" height=\"12\"/>", colour.word()));
    }
    format!("{svg}</svg> {words}")
}

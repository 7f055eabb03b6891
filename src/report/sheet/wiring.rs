//! The wiring picture: symbols, wires and words of a [`Picture`] as a scalable picture. Every part, net and terminal has an id.

use super::glyph::{at, draw};
use super::svg::{At, Svg, escaped, id, short};
use crate::jig::Jig;
use crate::nets::Nets;
use crate::picture::{Anchor, Area, Barrier, Line, Owner, Picture, Symbol, Wire, is_contact};
use crate::standard::Grade;

/// What colours and lines mean; a page may set the colours, alone it brings its own.
pub(super) const STYLE: &str = include_str!("picture.css");

/// The picture alone.
pub(super) fn wiring_svg(jig: &Jig, nets: &Nets, picture: &Picture, alone: bool) -> String {
    let mut svg = Svg::default();
    let [wide, high] = picture.size.map(short);
    let name = format!("Wiring of {}", jig.name);
    svg.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"wiring\" class=\"picture\" viewBox=\"0 0 {wide} {high}\" \
         width=\"{wide}\" height=\"{high}\" role=\"img\" aria-labelledby=\"wiring-title wiring-words\">\
         <title id=\"wiring-title\">{}</title><desc id=\"wiring-words\">{}</desc>\n",
        escaped(&name),
        escaped(&in_words(jig))
    ));
    if alone {
        svg.raw(&format!("<style>{STYLE}</style>\n"));
        svg.rectangle("paper", (0.0, 0.0), (picture.size[0], picture.size[1]));
    }
    let Area { left, top, right, bottom } = picture.outline;
    svg.open("box", "outline");
    svg.rectangle("box", (left, top), (right, bottom));
    svg.close();
    for (wire, name) in picture.wires.iter().zip(&picture.names) {
        net(&mut svg, jig, nets, wire, name.as_ref());
    }
    parts(&mut svg, jig, picture);
    picture.barriers.iter().for_each(|b| barrier(&mut svg, b));
    svg.open("", "notes");
    picture.notes.iter().for_each(|line| words(&mut svg, "note", line));
    svg.close();
    svg.raw("</svg>\n");
    svg.into_text()
}

/// What the picture shows, for who does not see it: every part and the nets it joins.
fn in_words(jig: &Jig) -> String {
    let name = |net: &usize| jig.nets[*net].name.as_str();
    let one = |owner: &str, nets: Vec<usize>| {
        format!("{owner} joins {}", nets.iter().map(name).collect::<Vec<_>>().join(", "))
    };
    let parts = jig.parts.iter().map(|p| one(&p.name, p.kind.terminals()));
    let outlets = jig.outlets.iter().map(|o| one(&o.name, o.across.iter().copied().chain(o.earth).collect()));
    let touched = jig.touchables.iter().map(|t| format!("{} is on {}", t.name, name(&t.net)));
    parts.chain(outlets).chain(touched).collect::<Vec<_>>().join("; ")
}

/// A line of words.
fn words(svg: &mut Svg, class: &str, line: &Line) {
    let anchor = match line.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    svg.text(class, (line.x, line.y), anchor, &line.text);
}

/// The wire of a net, its joints and its name.
fn net(svg: &mut Svg, jig: &Jig, nets: &Nets, wire: &Wire, name: Option<&Line>) {
    let role = if nets.earth().has(wire.net) {
        "net earth"
    } else if nets.on_mains().has(wire.net) {
        "net mains"
    } else {
        "net"
    };
    svg.open(&id("net", &jig.nets[wire.net].name), role);
    svg.title(&format!("net {}", jig.nets[wire.net].name));
    for piece in &wire.pieces {
        svg.line("wire", &[at(piece.from), at(piece.to)]);
    }
    wire.joints.iter().for_each(|joint| svg.circle("", "joint", at(*joint), 3.2));
    name.iter().for_each(|line| words(svg, "net-name", line));
    svg.close();
}

/// Parts, outlets and what fingers reach; all symbols of one stand in one group.
fn parts(svg: &mut Svg, jig: &Jig, picture: &Picture) {
    let mut owners: Vec<Owner> = vec![];
    for symbol in &picture.symbols {
        if !owners.contains(&symbol.element.owner) {
            owners.push(symbol.element.owner);
        }
    }
    for owner in owners {
        let mine: Vec<&Symbol> = picture.symbols.iter().filter(|s| s.element.owner == owner).collect();
        let (kind, name) = named(jig, owner);
        let (group, terminal) = match kind {
            "part" => (id("part", name), id("terminal", name)),
            "plug" => ("plug".to_string(), "terminal-plug".to_string()),
            other => (id(other, name), id(&format!("terminal-{other}"), name)),
        };
        svg.open(&group, kind);
        svg.title(name);
        links(svg, &mine);
        for symbol in mine {
            svg.open("", "symbol");
            draw(svg, symbol);
            for (pin, end) in symbol.pins.iter().zip(&symbol.element.ends) {
                let number = if kind == "plug" { end.mark.clone() } else { pin.number.to_string() };
                svg.circle(&format!("{terminal}-{number}"), "terminal", at(pin.at), 2.2);
            }
            for line in &symbol.lines {
                words(svg, if line.bold { "name" } else { "value" }, line);
            }
            svg.close();
        }
        svg.close();
    }
}

fn named(jig: &Jig, owner: Owner) -> (&'static str, &str) {
    match owner {
        Owner::Part(k) => ("part", &jig.parts[k].name),
        Owner::Outlet(k) => ("outlet", &jig.outlets[k].name),
        Owner::Touchable(k) => ("touchable", &jig.touchables[k].name),
        Owner::Plug => ("plug", "plug"),
    }
}

/// The link between contacts of one switch that stand above each other.
fn links(svg: &mut Svg, symbols: &[&Symbol]) {
    let contacts: Vec<&&Symbol> = symbols.iter().filter(|s| is_contact(s)).collect();
    for pair in contacts.windows(2) {
        if pair[0].centre.x == pair[1].centre.x && pair[0].stand == pair[1].stand {
            let (upper, lower) =
                if pair[0].centre.y < pair[1].centre.y { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
            let (x, y) = at(upper.centre);
            svg.line("link", &[(x, y + 6.0), (x, at(lower.centre).1 - 8.0)]);
        }
    }
}

/// The sign of an insulation: one bar for a single one, two for double or reinforced, a broken one for functional.
fn barrier(svg: &mut Svg, b: &Barrier) {
    let name = format!("insulation-{}", b.of.first().map_or(0, |k| k + 1));
    svg.open(&name, "insulation");
    let Area { left, top, right, bottom } = b.area;
    let middle = (left + right) / 2.0;
    let bars: &[f64] = match b.grade {
        Grade::Double | Grade::Reinforced => &[-3.5, 3.5],
        Grade::Functional | Grade::Basic | Grade::Supplementary => &[0.0],
    };
    let class = if b.grade == Grade::Functional { "barrier weak" } else { "barrier" };
    for x in bars {
        let line: [At; 2] = [(middle + x, top + 2.0), (middle + x, bottom - 2.0)];
        svg.line(class, &line);
    }
    b.lines.iter().for_each(|line| words(svg, "note", line));
    svg.close();
}

/// What is to be said of the picture.
pub(super) fn caption(jig: &Jig, nets: &Nets, picture: &Picture) -> String {
    let mut told: Vec<String> = vec![];
    if nets.has_mains() {
        told.push("Brown: joined to the mains. Green: protective earth.".into());
    }
    let switches: Vec<String> = jig.parts.iter().filter_map(drawn_position).collect();
    if !switches.is_empty() {
        told.push(format!("Switches are drawn as they stand here: {}.", switches.join(", ")));
    }
    if picture.barriers.iter().any(|b| matches!(b.grade, Grade::Double | Grade::Reinforced)) {
        told.push("Two bars: double or reinforced insulation.".into());
    }
    let unnamed: Vec<&str> = picture
        .wires
        .iter()
        .zip(&picture.names)
        .filter(|(_, name)| name.is_none())
        .map(|(w, _)| jig.nets[w.net].name.as_str())
        .collect();
    if !unnamed.is_empty() {
        told.push(format!("No room for the names of {}.", unnamed.join(", ")));
    }
    if picture.wires.is_empty() {
        told.push("The wires could not be laid out: the list of parts says what is joined.".into());
    }
    told.push("What lies where in the box is not shown.".into());
    told.join(" ")
}

/// A switch and the position it is drawn in.
fn drawn_position(part: &crate::jig::Part) -> Option<String> {
    let crate::jig::PartKind::Switch(switch) = &part.kind else { return None };
    let names = switch.contacts.positions();
    let position = match &switch.contacts {
        crate::jig::SwitchContacts::Poles(_) => "off",
        crate::jig::SwitchContacts::Positions(_) => names.first()?,
    };
    Some(format!("{} {position}", part.name))
}

//! What is drawn for each part: a symbol with its ends, and the words beside it. A switch of several poles is several elements.

use super::text::width;
use crate::format::{LoadKind, NetId};
use crate::jig::{Jig, Part, PartKind, SwitchContacts};
use crate::part::{Switch, Transformer};
use crate::quantity::{Kind, format, format_rated_watts};

/// Whose symbol it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Owner {
    /// A part, by its place in [`Jig::parts`].
    Part(usize),
    /// An outlet, by its place in [`Jig::outlets`].
    Outlet(usize),
    /// A touchable, by its place in [`Jig::touchables`].
    Touchable(usize),
    /// The plug, or what stands for it.
    Plug,
}

/// What a symbol shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub(crate) enum Glyph {
    Resistor,
    Capacitor { polarised: bool },
    Inductor,
    Winding,
    Diode,
    Led,
    Suppressor { both_ways: bool },
    Neon,
    Filament,
    Fuse,
    ThermalFuse,
    Varistor,
    Thermistor,
    Load,
    Wire,
    Contact,
    Outlet,
}

/// How a symbol stands: how many ends it has, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Shape {
    /// Two ends on one axis; an outlet may have an earth contact beside it.
    Pair(Glyph),
    /// A changeover contact: what is common, then a throw for each other end.
    Changeover,
    /// A switch of which a list says what joins what.
    Matrix,
    /// A bridge: two a.c. ends, plus, minus.
    Bridge,
    /// A transformer with so many secondaries; a screen is its last end.
    Transformer { secondaries: usize, screen: bool },
    /// A module: two ends in, two out.
    Module,
    /// A row of contacts.
    Connector,
    /// The plug: a row of pins.
    Plug,
    /// A plate that fingers reach.
    Plate,
}

/// One end of an element.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct End {
    /// Its net.
    pub net: NetId,
    /// Its number among the terminals of its owner, from 1.
    pub number: usize,
    /// What stands at it.
    pub mark: String,
}

/// One symbol to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Element {
    /// Whose it is.
    pub owner: Owner,
    /// Which pole of a switch, from 1, where it has several.
    pub pole: Option<usize>,
    /// How it stands.
    pub shape: Shape,
    /// Its ends.
    pub ends: Vec<End>,
    /// Name, then what stands under it.
    pub words: Vec<String>,
    /// How much of the tool it is there for: what is fed comes before what feeds it.
    pub rank: u8,
    /// Whether it is where the mains comes in.
    pub is_inlet: bool,
}

impl Element {
    /// Whether it hands a pair of nets on to another: its first two ends go in, the next two come out.
    pub(crate) fn hands_on(&self) -> bool {
        matches!(self.shape, Shape::Bridge | Shape::Transformer { .. } | Shape::Module)
    }

    /// Whether a current goes through it.
    pub(crate) fn conducts(&self) -> bool {
        !matches!(self.shape, Shape::Connector | Shape::Plug | Shape::Plate)
    }
}

/// The broadest line of loads beside an outlet, points, and how many lines there are with its name.
const LOADS_BROADEST: f64 = 120.0;
const MOST_LOADS: usize = 4;

/// The elements of every part, then those of the outlets.
pub(crate) fn elements(jig: &Jig) -> Vec<Element> {
    let mut out = vec![];
    for (k, part) in jig.parts.iter().enumerate() {
        of_part(jig, k, part, &mut out);
    }
    for (k, outlet) in jig.outlets.iter().enumerate() {
        let nets = outlet.across.iter().copied().chain(outlet.earth);
        let loads: Vec<&str> =
            outlet.loads.iter().filter(|l| l.kind != LoadKind::Open).map(|l| l.label.as_str()).collect();
        let mut words = vec![outlet.name.clone()];
        for load in loads {
            match words.last_mut() {
                Some(line) if *line != outlet.name && width(&format!("{line}, {load}"), false) < LOADS_BROADEST => {
                    *line = format!("{line}, {load}");
                }
                _ => words.push(load.to_string()),
            }
        }
        words.truncate(MOST_LOADS);
        out.push(Element {
            owner: Owner::Outlet(k),
            pole: None,
            shape: Shape::Pair(Glyph::Outlet),
            ends: ends(nets),
            words,
            rank: 10,
            is_inlet: false,
        });
    }
    out
}

fn ends(nets: impl Iterator<Item = NetId>) -> Vec<End> {
    nets.enumerate().map(|(k, net)| End { net, number: k + 1, mark: String::new() }).collect()
}

fn of_part(jig: &Jig, k: usize, part: &Part, out: &mut Vec<Element>) {
    let owner = Owner::Part(k);
    let mut words = vec![part.name.clone()];
    words.extend(values(&part.kind));
    let (shape, rank) = match &part.kind {
        PartKind::Switch(switch) => return poles(jig, owner, part, switch, out),
        PartKind::Resistor(_) => (Shape::Pair(Glyph::Resistor), 2),
        PartKind::Capacitor(c) => (Shape::Pair(Glyph::Capacitor { polarised: c.polarised == Some(true) }), 2),
        PartKind::Inductor(_) => (Shape::Pair(Glyph::Inductor), 3),
        PartKind::Winding(_) => (Shape::Pair(Glyph::Winding), 7),
        PartKind::Diode(_) => (Shape::Pair(Glyph::Diode), 3),
        PartKind::Led(_) => (Shape::Pair(Glyph::Led), 6),
        PartKind::Suppressor(s) => (Shape::Pair(Glyph::Suppressor { both_ways: s.bidirectional }), 3),
        PartKind::Neon(_) => (Shape::Pair(Glyph::Neon), 6),
        PartKind::Filament(_) => (Shape::Pair(Glyph::Filament), 6),
        PartKind::Fuse(_) => (Shape::Pair(Glyph::Fuse), 0),
        PartKind::ThermalFuse(_) => (Shape::Pair(Glyph::ThermalFuse), 0),
        PartKind::Varistor(_) => (Shape::Pair(Glyph::Varistor), 2),
        PartKind::Thermistor(_) => (Shape::Pair(Glyph::Thermistor), 1),
        PartKind::Load(_) => (Shape::Pair(Glyph::Load), 7),
        PartKind::Wire(_) => (Shape::Pair(Glyph::Wire), 0),
        PartKind::Bridge(_) => (Shape::Bridge, 8),
        PartKind::Psu(_) => (Shape::Module, 8),
        PartKind::Socket(_) => (Shape::Connector, 9),
        PartKind::Transformer(t) => {
            (Shape::Transformer { secondaries: t.secondaries.len(), screen: t.screen.is_some() }, 9)
        }
    };
    let mut ends = ends(part.kind.terminals().into_iter());
    let marks: &[&str] = match &part.kind {
        PartKind::Bridge(_) => &["~", "~", "+", "−"],
        PartKind::Psu(_) => &["~", "~", "+", "−"],
        _ => &[],
    };
    ends.iter_mut().zip(marks).for_each(|(end, mark)| end.mark = mark.to_string());
    let is_inlet = matches!(&part.kind, PartKind::Socket(s) if s.is_inlet());
    out.push(Element { owner, pole: None, shape, ends, words, rank, is_inlet });
}

/// A switch: a contact for each pole that opens and closes, a changeover contact for each that has a common end, else a box
/// with the list of what is joined in which position.
fn poles(jig: &Jig, owner: Owner, part: &Part, switch: &Switch, out: &mut Vec<Element>) {
    let terminals = part.kind.terminals();
    // The list of a box stands in it, its coil behind its name.
    let coil: Vec<String> = switch.coil.iter().map(|coil| format!("worked by {coil}")).collect();
    let named = |pole: usize, of: usize| {
        if of > 1 { format!("{}.{pole}", part.name) } else { part.name.clone() }
    };
    let push = |out: &mut Vec<Element>, (pole, of): (usize, usize), shape, ends, more: Vec<String>| {
        let words = [vec![named(pole, of)], coil.clone(), more].concat();
        out.push(Element { owner, pole: (of > 1).then_some(pole), shape, ends, words, rank: 1, is_inlet: false });
    };
    let positions = match &switch.contacts {
        SwitchContacts::Poles(list) => {
            for (k, pole) in list.iter().enumerate() {
                let end = |side: usize| End { net: pole[side], number: 2 * k + side + 1, mark: String::new() };
                push(out, (k + 1, list.len()), Shape::Pair(Glyph::Contact), vec![end(0), end(1)], vec![]);
            }
            return;
        }
        SwitchContacts::Positions(positions) => positions,
    };
    let end = |net: NetId, mark: String| {
        let number = terminals.iter().position(|t| *t == net).map_or(0, |at| at + 1);
        End { net, number, mark }
    };
    let groups = groups(&switch.contacts);
    let poles: Option<Vec<Pole>> = groups.iter().map(|nets| Pole::of(nets, positions)).collect();
    match poles {
        Some(poles) if !poles.is_empty() => {
            let of = poles.len();
            for (k, pole) in poles.into_iter().enumerate() {
                let shape = if pole.throws.len() == 1 { Shape::Pair(Glyph::Contact) } else { Shape::Changeover };
                let words = if pole.throws.len() == 1 { vec![pole.throws[0].1.clone()] } else { vec![] };
                let throws = pole.throws.into_iter().map(|(net, mark)| end(net, mark));
                let ends = std::iter::once(end(pole.common, String::new())).chain(throws).collect();
                push(out, (k + 1, of), shape, ends, words);
            }
        }
        _ => {
            let ends = terminals.iter().map(|net| end(*net, String::new())).collect();
            let name = |net: NetId| jig.nets[net].name.as_str();
            let joined = |(position, contacts): &(String, Vec<[NetId; 2]>)| {
                let list: Vec<String> = contacts.iter().map(|[a, b]| format!("{}–{}", name(*a), name(*b))).collect();
                format!("{position}: {}", if list.is_empty() { "nothing".into() } else { list.join(", ") })
            };
            push(out, (1, 1), Shape::Matrix, ends, positions.iter().map(joined).collect());
        }
    }
}

/// Nets of a switch that are joined to one another in some position.
fn groups(contacts: &SwitchContacts) -> Vec<Vec<NetId>> {
    let mut groups: Vec<Vec<NetId>> = vec![];
    for ([a, b], _) in contacts.each() {
        let (mut mine, others): (Vec<_>, Vec<_>) = groups.into_iter().partition(|g| g.contains(&a) || g.contains(&b));
        mine.push(vec![a, b]);
        let mut joined: Vec<NetId> = mine.concat();
        joined.sort_unstable();
        joined.dedup();
        groups = others;
        groups.push(joined);
    }
    groups.sort();
    groups
}

/// A pole with one end that every position joins to at most one other.
struct Pole {
    common: NetId,
    /// Each other end and the positions that close it.
    throws: Vec<(NetId, String)>,
}

impl Pole {
    fn of(nets: &[NetId], positions: &[(String, Vec<[NetId; 2]>)]) -> Option<Pole> {
        let mine = |contacts: &Vec<[NetId; 2]>| {
            contacts.iter().filter(|c| c.iter().all(|n| nets.contains(n)) && c[0] != c[1]).copied().collect::<Vec<_>>()
        };
        let common = *nets.iter().find(|net| {
            positions.iter().all(|(_, contacts)| {
                let mine = mine(contacts);
                mine.len() <= 1 && mine.iter().all(|c| c.contains(net))
            })
        })?;
        let throw = |net: &NetId| {
            let closes = positions.iter().filter(|(_, contacts)| mine(contacts).iter().any(|c| c.contains(net)));
            (*net, closes.map(|(name, _)| name.as_str()).collect::<Vec<_>>().join(", "))
        };
        Some(Pole { common, throws: nets.iter().filter(|n| **n != common).map(throw).collect() })
    }
}

/// What stands under the name: the value, and of what cannot be seen by it the kind.
fn values(kind: &PartKind) -> Vec<String> {
    let volts = |v: f64| format(v, Kind::Voltage);
    let amperes = |a: f64| format(a, Kind::Current);
    let ohms = |r: f64| format(r, Kind::Resistance);
    let joined = |list: Vec<Option<String>>| {
        let text = list.into_iter().flatten().collect::<Vec<_>>().join(" ");
        if text.is_empty() { vec![] } else { vec![text] }
    };
    match kind {
        PartKind::Resistor(p) => joined(vec![Some(ohms(p.resistance)), p.power.map(format_rated_watts)]),
        PartKind::Capacitor(p) => {
            let class = p.class.map(|c| c.word().to_string()).or(p.voltage.map(volts));
            joined(vec![Some(format(p.capacitance, Kind::Capacitance)), class])
        }
        PartKind::Inductor(p) => vec![format(p.inductance, Kind::Inductance)],
        PartKind::Winding(p) => vec![ohms(p.resistance)],
        PartKind::Diode(p) => joined(vec![p.current.map(amperes), p.voltage.map(volts)]),
        PartKind::Led(p) => match p.series {
            1 => vec![volts(p.forward)],
            n => vec![format!("{n} × {}", volts(p.forward))],
        },
        PartKind::Suppressor(p) => vec![volts(p.breakdown)],
        PartKind::Bridge(p) => joined(vec![p.current.map(amperes), p.voltage.map(volts)]),
        PartKind::Neon(p) => vec![p.lamp_type.clone().unwrap_or_else(|| format!("strikes {}", volts(p.strike)))],
        PartKind::Filament(p) => vec![format!("{} {}", volts(p.volts), format_rated_watts(p.power))],
        PartKind::Fuse(p) => joined(vec![p.speed.clone(), Some(amperes(p.current))]),
        PartKind::ThermalFuse(p) => {
            let on = p.on.as_ref().map(|on| format!("on {on}"));
            joined(vec![Some(format(p.temperature, Kind::Temperature)), on])
        }
        PartKind::Switch(_) => vec![],
        PartKind::Varistor(p) => vec![volts(p.voltage)],
        PartKind::Thermistor(p) => vec![format!("{} cold", ohms(p.cold))],
        PartKind::Transformer(t) => of_transformer(t),
        PartKind::Psu(p) => joined(vec![p.volts.map(volts), p.current.map(amperes)]),
        PartKind::Load(p) => joined(vec![p.power.map(format_rated_watts), p.resistance.map(ohms)]),
        PartKind::Wire(p) => p.area.map(|a| format(a, Kind::Area)).into_iter().chain(p.colour.clone()).collect(),
        PartKind::Socket(p) => p.socket_type.iter().cloned().collect(),
    }
}

fn of_transformer(t: &Transformer) -> Vec<String> {
    let volts = |v: f64| format(v, Kind::Voltage);
    let secondaries = t.secondaries.iter().map(|w| volts(w.volts)).collect::<Vec<_>>().join(", ");
    let mut words = vec![format!("{} to {secondaries}", volts(t.primary.volts))];
    words.extend(t.power.map(|p| format(p, Kind::ApparentPower)));
    words.extend(t.insulation.map(|grade| grade.word().to_string()));
    words
}

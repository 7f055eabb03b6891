//! What `check.lua` sees: `jig`, `limit`, `quantity`, `format`, and the makers of findings. Every function bounds itself and is
//! counted; what it is handed is looked at by hand, never through a plugin's own metatables. Rows are frozen, made on demand
//! and kept. The shapes are documented in `plugins/api.lua`.

use super::facts::{self, Fact, Row};
use super::manifest::{Manifest, SettingValue};
use super::results::{Made, maker};
use super::rows::Rows;
use super::vm::{Makers, Meter, SOLVE_COST, frozen};
use super::what_if::{self, Subject, SupplyWish, Wish};
use crate::judgement::Kind;
use crate::survey::condition::Level;
use crate::survey::replay::State;
use crate::{quantity, standard};
use mlua::{Function, IntoLua, Lua, MetaMethod, MultiValue, Table, UserData, UserDataFields, UserDataMethods, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// Longest text a host function takes, characters.
const MOST_TEXT: usize = 4096;
/// Most entries of a table a host function takes.
const MOST_ENTRIES: usize = 64;

/// The host's names in a plugin's globals, the makers of findings among them.
pub const GLOBALS: &[&str] = &["limit", "quantity", "format", "danger", "warning", "caution", "notice"];
/// Fields of `jig`.
pub const FIELDS: &[&str] = &["name", "unit", "use", "supply", "enclosure", "settings"];
/// Methods of `jig`.
pub const METHODS: &[&str] = &[
    "parts",
    "part",
    "nets",
    "joined",
    "outlets",
    "touchables",
    "insulation",
    "stress",
    "touch",
    "discharge",
    "lamp",
    "faults",
    "solve",
];

/// Positions of switches.
type Positions = Vec<(String, String)>;
type Kept = Rc<RefCell<BTreeMap<String, Value>>>;

/// `jig`.
struct View {
    subject: Arc<Subject>,
    settings: Rc<BTreeMap<String, SettingValue>>,
    meter: Meter,
    rows: Rows,
    kept: Kept,
    /// Groups of joined nets by the positions of the switches.
    groups: RefCell<BTreeMap<Positions, Vec<usize>>>,
}

fn wrong(message: impl Into<String>) -> mlua::Error {
    mlua::Error::runtime(message.into())
}

/// A text that was handed in.
pub(super) fn text(value: &Value, what: &str) -> mlua::Result<String> {
    match value {
        Value::String(s) if s.as_bytes().len() <= MOST_TEXT => Ok(s.to_string_lossy()),
        Value::String(_) => Err(wrong(format!("{what} is longer than {MOST_TEXT} characters"))),
        other => Err(wrong(format!("{what} has to be a text, not {}", other.type_name()))),
    }
}

/// A finite number that was handed in.
pub(super) fn number(value: &Value, what: &str) -> mlua::Result<f64> {
    let n = match value {
        Value::Integer(n) => *n as f64,
        Value::Number(n) => *n,
        other => return Err(wrong(format!("{what} has to be a number, not {}", other.type_name()))),
    };
    if n.is_finite() { Ok(n) } else { Err(wrong(format!("{what} has to be a finite number"))) }
}

fn n(key: &str, value: f64) -> (String, Fact) {
    (key.to_string(), Fact::Number(value))
}

fn t(key: &str, value: impl Into<String>) -> (String, Fact) {
    (key.to_string(), Fact::Text(value.into()))
}

fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Normal => "normal",
        Kind::SingleFault => "single-fault",
        Kind::Transient => "transient",
    }
}

/// Which kinds of condition are asked for: what lasts, where nothing is said.
fn kinds(value: &Value) -> mlua::Result<Vec<Kind>> {
    match value {
        Value::Nil => Ok(vec![Kind::Normal, Kind::SingleFault]),
        other => match text(other, "the kind of condition")?.as_str() {
            "normal" => Ok(vec![Kind::Normal]),
            "single-fault" => Ok(vec![Kind::SingleFault]),
            "transient" => Ok(vec![Kind::Transient]),
            word => Err(wrong(format!("{word:?} is no kind of condition: normal, single-fault or transient"))),
        },
    }
}

impl View {
    /// A row that is made once.
    fn kept(&self, key: String, make: impl FnOnce() -> mlua::Result<Value>) -> mlua::Result<Value> {
        if let Some(value) = self.kept.borrow().get(&key) {
            return Ok(value.clone());
        }
        let value = make()?;
        self.kept.borrow_mut().insert(key, value.clone());
        Ok(value)
    }

    fn row(&self, lua: &Lua, class: &'static str, key: &str, make: impl FnOnce() -> Row) -> mlua::Result<Value> {
        self.kept(key.to_string(), || self.rows.strict(lua, class, &make()))
    }

    fn list(&self, lua: &Lua, class: &'static str, key: &str, make: impl FnOnce() -> Vec<Row>) -> mlua::Result<Value> {
        self.kept(key.to_string(), || {
            let all = make().into_iter().map(|row| self.rows.strict(lua, class, &row));
            self.rows.list(all.collect::<mlua::Result<MultiValue>>()?)
        })
    }

    fn net(&self, value: &Value) -> mlua::Result<usize> {
        let name = text(value, "the net")?;
        self.subject.net(&name).ok_or_else(|| wrong(format!("this jig has no net {name:?}")))
    }

    fn part(&self, lua: &Lua, k: usize) -> mlua::Result<Value> {
        let make = || facts::part(&self.subject.jig, &self.subject.jig.parts[k]);
        self.row(lua, "part", &format!("part {k}"), make)
    }

    fn parts(&self, lua: &Lua, kind: &Value) -> mlua::Result<Value> {
        let kind = if kind.is_nil() { String::new() } else { text(kind, "the kind of part")? };
        // An unknown kind would read as "there is none", and what is meant would go unchecked.
        if !kind.is_empty() && !crate::jig::kinds().any(|known| known == kind) {
            let known: Vec<&str> = crate::jig::kinds().collect();
            return Err(wrong(format!("{} is no kind of part: {}", quantity::quote(&kind), known.join(", "))));
        }
        self.kept(format!("parts {kind}"), || {
            let parts = self.subject.jig.parts.iter().enumerate();
            let all = parts.filter(|(_, p)| kind.is_empty() || p.kind.word() == kind).map(|(k, _)| self.part(lua, k));
            self.rows.list(all.collect::<mlua::Result<MultiValue>>()?)
        })
    }

    fn nets(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "net", "nets", || {
            let jig = &self.subject.jig;
            let mains = crate::survey::faults::mains_nets(jig);
            let net = |(k, net): (usize, &crate::jig::Net)| {
                let touched = jig.touchables.iter().any(|t| t.net == k);
                let flag = |key: &str, b: bool| (key.to_string(), Fact::Flag(b));
                vec![
                    t("name", &net.name),
                    n("ends", net.ends as f64),
                    flag("mains", mains.contains(&k)),
                    flag("touchable", touched),
                ]
            };
            jig.nets.iter().enumerate().map(net).collect()
        })
    }

    fn joined(&self, a: &Value, b: &Value, switches: &Value) -> mlua::Result<bool> {
        let (a, b, positions) = (self.net(a)?, self.net(b)?, named_texts(switches, "switches")?);
        let mut kept = self.groups.borrow_mut();
        if let Some(group) = kept.get(&positions) {
            return Ok(group[a] == group[b]);
        }
        let group = what_if::joined(&self.subject.jig, &positions).map_err(wrong)?;
        let joined = group[a] == group[b];
        // A plugin may ask for every combination of many switches: what is kept is bounded.
        if kept.len() < MOST_ENTRIES {
            kept.insert(positions, group);
        }
        Ok(joined)
    }

    fn outlets(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "outlet", "outlets", || {
            let s = &self.subject;
            let row = |(k, o): (usize, &crate::jig::Outlet)| {
                let loads = o.loads.iter().map(|l| Fact::Text(l.label.clone())).collect();
                let across = o.across.iter().map(|n| Fact::Text(s.jig.nets[*n].name.clone())).collect();
                vec![
                    t("name", &o.name),
                    ("across".to_string(), Fact::List(across)),
                    ("loads".to_string(), Fact::List(loads)),
                    ("values".to_string(), Fact::List(o.loads.iter().map(facts::load).collect())),
                    ("isolated".to_string(), Fact::Flag(s.survey.model.outlet_probes[k].is_some())),
                    n("line", f64::from(o.place.line)),
                ]
            };
            s.jig.outlets.iter().enumerate().map(row).collect()
        })
    }

    fn touchables(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "touchable", "touchables", || {
            let jig = &self.subject.jig;
            jig.touchables
                .iter()
                .map(|x| vec![t("name", &x.name), t("net", &jig.nets[x.net].name), n("line", f64::from(x.place.line))])
                .collect()
        })
    }

    fn insulation(&self, lua: &Lua, a: &Value, b: &Value) -> mlua::Result<Value> {
        let (a, b) = (text(a, "the first net")?, text(b, "the second net")?);
        for name in [&a, &b] {
            if name != "mains" && self.subject.net(name).is_none() {
                return Err(wrong(format!("this jig has no net {name:?}")));
            }
        }
        let jig = &self.subject.jig;
        let mains = crate::survey::faults::mains_nets(jig);
        // A net on the mains is covered by what is stated for "mains".
        let is = |side: crate::jig::Side, name: &str| match side {
            crate::jig::Side::Mains => name == "mains" || self.subject.net(name).is_some_and(|n| mains.contains(&n)),
            crate::jig::Side::Net(n) => jig.nets[n].name == name,
        };
        let found = jig.insulations.iter().find(|i| {
            let [x, y] = i.between;
            is(x, &a) && is(y, &b) || is(x, &b) && is(y, &a)
        });
        let Some(i) = found else { return Ok(Value::Nil) };
        self.row(lua, "insulation", &format!("insulation {}", i.place.line), || {
            let mut row = vec![t("grade", facts::grade(i.grade)), n("line", f64::from(i.place.line))];
            row.extend(i.clearance.map(|c| n("clearance", c)));
            row.extend(i.creepage.map(|c| n("creepage", c)));
            row
        })
    }

    fn stress(&self, lua: &Lua, part: &Value, what: &Value, kind: &Value) -> mlua::Result<Value> {
        let (part, what, kinds) = (text(part, "the part")?, text(what, "the quantity")?, kinds(kind)?);
        if !crate::survey::ledger::QUANTITIES.contains(&what.as_str()) {
            let known = crate::survey::ledger::QUANTITIES.join(", ");
            return Err(wrong(format!("{what:?} is no quantity: {known}")));
        }
        if self.subject.stresses_of(&part).is_none() && self.subject.part(&part).is_none() {
            return Err(wrong(format!("this jig has no part {part:?}")));
        }
        let mine = self.subject.stresses_of(&part).into_iter().flatten();
        let mine = mine.filter(|s| s.quantity == what && kinds.contains(&s.kind));
        let Some(s) = mine.max_by(|a, b| a.value.total_cmp(&b.value)) else { return Ok(Value::Nil) };
        self.row(lua, "stress", &format!("stress {part} {what} {}", kind_word(s.kind)), || {
            let mut row = vec![
                n("value", s.value),
                t("unit", s.unit),
                t("condition", &s.condition),
                t("kind", kind_word(s.kind)),
            ];
            row.extend(s.nominal.map(|x| n("nominal", x)));
            row.extend(s.rating.map(|x| n("rating", x)));
            row.extend(s.margin.map(|x| n("margin", x)));
            row
        })
    }

    fn touch(&self, lua: &Lua, name: &Value, kind: &Value) -> mlua::Result<Value> {
        let (name, kinds) = (text(name, "the touchable")?, kinds(kind)?);
        let mine = self.subject.touch.iter().filter(|x| x.touchable == name && kinds.contains(&x.kind));
        let Some(x) = mine.max_by(|a, b| a.current_peak.total_cmp(&b.current_peak)) else {
            let known = self.subject.jig.touchables.iter().any(|x| x.name == name);
            return if known { Ok(Value::Nil) } else { Err(wrong(format!("this jig has no touchable {name:?}"))) };
        };
        self.row(lua, "touch", &format!("touch {name} {}", kind_word(x.kind)), || {
            vec![
                n("voltage_rms", x.voltage_rms),
                n("voltage_peak", x.voltage_peak),
                n("voltage_dc", x.voltage_dc),
                n("current_rms", x.current_rms),
                n("current_peak", x.current_peak),
                t("condition", &x.condition),
                t("kind", kind_word(x.kind)),
            ]
        })
    }

    fn lamp(&self, lua: &Lua, part: &Value) -> mlua::Result<Value> {
        let name = text(part, "the lamp")?;
        let s = &self.subject.survey;
        let lamp = s.ledger.lamps.iter().find(|l| s.model.items[l.item].name == name);
        let Some(l) = lamp else {
            // A switch or wire is no item of its own name, and a part all the same.
            let known = s.model.items.iter().any(|i| i.name == name) || self.subject.part(&name).is_some();
            return if known { Ok(Value::Nil) } else { Err(wrong(format!("this jig has no part {name:?}"))) };
        };
        self.row(lua, "lamp", &format!("lamp {name}"), || {
            let degrees = |list: &[f64]| Fact::List(list.iter().map(|d| Fact::Number(*d)).collect());
            let mut row = vec![
                n("flashes_per_second", l.flashes_per_second),
                n("lit_fraction", l.lit_fraction),
                ("on_deg".to_string(), degrees(&l.on_deg)),
                ("off_deg".to_string(), degrees(&l.off_deg)),
            ];
            row.extend(l.strike_margin.map(|m| n("strike_margin", m.value)));
            row
        })
    }

    fn faults(&self, lua: &Lua) -> mlua::Result<Value> {
        self.kept("faults".into(), || {
            let s = &self.subject;
            let list = crate::survey::faults::list(&s.jig, &s.survey.model).0;
            let id = |f| Fact::Text(crate::survey::condition::fault_id(&s.jig, &s.survey.model.items, f));
            self.rows.fact(lua, &Fact::List(list.iter().map(id).collect()))
        })
    }

    fn discharge(&self, a: &Value, b: &Value, seconds: &Value) -> mlua::Result<f64> {
        let nets = [self.net(a)?, self.net(b)?];
        let seconds = number(seconds, "the seconds")?;
        // A minute is longer than anyone waits for a capacitor.
        if !(0.0..=60.0).contains(&seconds) {
            return Err(wrong("the seconds have to be from 0 to 60"));
        }
        self.meter.spend(SOLVE_COST)?;
        // Many settings make many solutions: the time is looked at between them.
        let go_on = || self.meter.spend(0).map_err(|e| e.to_string());
        what_if::left(&self.subject, nets, seconds, &go_on).map_err(wrong)
    }

    fn solve(&self, lua: &Lua, wish: &Value) -> mlua::Result<Value> {
        let wish = wish_of(wish)?;
        self.meter.spend(SOLVE_COST)?;
        let answer = what_if::solve(&self.subject, &wish).map_err(wrong)?;
        let (Some(first), Some(last)) = (answer.steps.first(), answer.steps.last()) else { return Ok(Value::Nil) };
        let opens = first.opens.iter().map(|o| {
            Fact::Row(vec![t("device", &answer.devices[o.protector]), n("within", o.within), n("amperes", o.amperes)])
        });
        let mut solution = self.state(lua, &answer.items, &first.state)?;
        solution.push(("opens", self.rows.fact(lua, &Fact::List(opens.collect()))?));
        if answer.steps.len() > 1 {
            let after = self.state(lua, &answer.items, &last.state)?;
            solution.push(("after", Value::Table(named(lua, after)?)));
        }
        Ok(Value::Table(named(lua, solution)?))
    }

    fn state(&self, lua: &Lua, items: &[String], s: &State) -> mlua::Result<Vec<(&'static str, Value)>> {
        let jig = &self.subject.jig;
        let parts = items.iter().zip(&s.items).map(|(name, six)| {
            let row = crate::survey::ledger::QUANTITIES.iter().zip(six).map(|(q, v)| n(q, *v)).collect();
            (name.clone(), Fact::Row(row))
        });
        let nets = jig.nets.iter().zip(&s.nets).map(|(net, q)| {
            let row = vec![n("voltage_rms", q.v_rms), n("voltage_peak", q.v_peak()), n("voltage_mean", q.v_mean)];
            (net.name.clone(), Fact::Row(row))
        });
        let touch = jig.touchables.iter().zip(&s.touch).map(|(x, q)| {
            let row = vec![
                n("voltage_rms", q.voltage_rms),
                n("voltage_peak", q.voltage_peak),
                n("voltage_dc", q.voltage_dc),
                n("current_rms", q.current_rms),
                n("current_peak", q.current_peak),
            ];
            (x.name.clone(), Fact::Row(row))
        });
        Ok(vec![
            ("parts", self.rows.plain(lua, &parts.collect())?),
            ("nets", self.rows.plain(lua, &nets.collect())?),
            ("touch", self.rows.plain(lua, &touch.collect())?),
        ])
    }
}

fn named(lua: &Lua, fields: Vec<(&str, Value)>) -> mlua::Result<Table> {
    frozen(lua.create_table_from(fields)?)
}

/// Entries of a table that was handed in, by name; no metatable is asked.
fn entries(value: &Value, what: &str) -> mlua::Result<Vec<(String, Value)>> {
    let table = match value {
        Value::Nil => return Ok(vec![]),
        Value::Table(t) => t,
        other => return Err(wrong(format!("{what} has to be a table, not {}", other.type_name()))),
    };
    let mut out = vec![];
    for pair in table.pairs::<Value, Value>() {
        let (key, value) = pair?;
        if out.len() >= MOST_ENTRIES {
            return Err(wrong(format!("{what} has more than {MOST_ENTRIES} entries")));
        }
        out.push((text(&key, &format!("a name in {what}"))?, value));
    }
    // The order of a table is nobody's business.
    out.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(out)
}

fn named_texts(value: &Value, what: &str) -> mlua::Result<Vec<(String, String)>> {
    entries(value, what)?.into_iter().map(|(k, v)| Ok((k, text(&v, what)?))).collect()
}

/// A list of texts that was handed in.
pub(super) fn texts(value: &Value, what: &str) -> mlua::Result<Vec<String>> {
    let table = match value {
        Value::Nil => return Ok(vec![]),
        Value::Table(t) => t,
        other => return Err(wrong(format!("{what} has to be a list of texts, not {}", other.type_name()))),
    };
    let length = table.raw_len();
    if length > MOST_ENTRIES {
        return Err(wrong(format!("{what} has more than {MOST_ENTRIES} entries")));
    }
    (1..=length).map(|k| text(&table.raw_get(k)?, what)).collect()
}

fn wish_of(value: &Value) -> mlua::Result<Wish> {
    let mut wish = Wish {
        supply: SupplyWish::Level(Level::High),
        reversed: false,
        faults: vec![],
        switches: vec![],
        loads: vec![],
        change: vec![],
    };
    for (key, value) in entries(value, "solve")? {
        match key.as_str() {
            "supply" => wish.supply = supply_of(&value)?,
            "plug" => {
                wish.reversed = match text(&value, "plug")?.as_str() {
                    "as wired" => false,
                    "reversed" => true,
                    _ => return Err(wrong("plug is \"as wired\" or \"reversed\"")),
                };
            }
            "faults" => wish.faults = texts(&value, "faults")?,
            "switches" => wish.switches = named_texts(&value, "switches")?,
            "loads" => wish.loads = named_texts(&value, "loads")?,
            "change" => {
                for (part, keys) in entries(&value, "change")? {
                    for (key, v) in entries(&keys, "change")? {
                        let v = number(&v, &format!("{part}.{key}"))?;
                        wish.change.push((part.clone(), key, v));
                    }
                }
            }
            other => {
                return Err(wrong(format!("solve knows no {other:?}: supply, plug, faults, switches, loads, change")));
            }
        }
    }
    Ok(wish)
}

fn supply_of(value: &Value) -> mlua::Result<SupplyWish> {
    if let Value::String(_) = value {
        return Ok(SupplyWish::Level(match text(value, "supply")?.as_str() {
            "low" => Level::Low,
            "nominal" => Level::Nominal,
            "high" => Level::High,
            _ => return Err(wrong("supply is \"low\", \"nominal\", \"high\" or a number of volts")),
        }));
    }
    Ok(SupplyWish::Volts(number(value, "supply")?))
}

impl UserData for View {
    fn add_fields<F: UserDataFields<Self>>(fields: &mut F) {
        fields.add_field_method_get("name", |_, v| Ok(v.subject.jig.name.clone()));
        fields.add_field_method_get("unit", |_, v| Ok(v.subject.jig.unit.clone()));
        fields.add_field_method_get("use", |_, v| Ok(facts::usage(&v.subject.jig)));
        fields
            .add_field_method_get("supply", |lua, v| v.row(lua, "supply", "supply", || facts::supply(&v.subject.jig)));
        fields.add_field_method_get("enclosure", |lua, v| {
            v.row(lua, "enclosure", "enclosure", || facts::enclosure(&v.subject.jig))
        });
        fields.add_field_method_get("settings", |lua, v| v.row(lua, "settings", "settings", || settings(&v.settings)));
    }

    fn add_methods<M: UserDataMethods<Self>>(methods: &mut M) {
        type One = Value;
        type Two = (Value, Value);
        type Three = (Value, Value, Value);
        methods.add_method("parts", |lua, v, kind: One| v.meter.spend(1).and_then(|()| v.parts(lua, &kind)));
        methods.add_method("part", |lua, v, name: One| {
            v.meter.spend(1)?;
            let name = text(&name, "the part")?;
            let found = v.subject.part(&name);
            found.map_or(Ok(Value::Nil), |k| v.part(lua, k))
        });
        methods.add_method("nets", |lua, v, ()| v.meter.spend(1).and_then(|()| v.nets(lua)));
        methods.add_method("joined", |_, v, (a, b, switches): Three| {
            v.meter.spend(1).and_then(|()| v.joined(&a, &b, &switches))
        });
        methods.add_method("outlets", |lua, v, ()| v.meter.spend(1).and_then(|()| v.outlets(lua)));
        methods.add_method("touchables", |lua, v, ()| v.meter.spend(1).and_then(|()| v.touchables(lua)));
        methods
            .add_method("insulation", |lua, v, (a, b): Two| v.meter.spend(1).and_then(|()| v.insulation(lua, &a, &b)));
        methods.add_method("stress", |lua, v, (part, what, kind): Three| {
            v.meter.spend(1).and_then(|()| v.stress(lua, &part, &what, &kind))
        });
        methods.add_method("touch", |lua, v, (name, kind): Two| {
            v.meter.spend(1).and_then(|()| v.touch(lua, &name, &kind))
        });
        methods.add_method("discharge", |_, v, (a, b, seconds): Three| v.discharge(&a, &b, &seconds));
        methods.add_method("lamp", |lua, v, part: One| v.meter.spend(1).and_then(|()| v.lamp(lua, &part)));
        methods.add_method("faults", |lua, v, ()| v.meter.spend(1).and_then(|()| v.faults(lua)));
        methods.add_method("solve", |lua, v, wish: One| v.solve(lua, &wish));
        methods.add_meta_method(MetaMethod::Index, |_, _, key: Value| -> mlua::Result<Value> {
            let known = FIELDS.iter().chain(METHODS).copied().collect::<Vec<_>>().join(", ");
            Err(wrong(format!("jig has no {:?}; it has {known}", text(&key, "the name").unwrap_or_default())))
        });
        methods.add_meta_method(MetaMethod::NewIndex, |_, _, (_, _): Two| -> mlua::Result<()> {
            Err(wrong("jig is for reading only"))
        });
    }
}

fn settings(values: &BTreeMap<String, SettingValue>) -> Row {
    let fact = |v: &SettingValue| match v {
        SettingValue::Number(x) | SettingValue::Quantity(x, _) => Fact::Number(*x),
        SettingValue::Text(x) => Fact::Text(x.clone()),
        SettingValue::Flag(x) => Fact::Flag(*x),
    };
    values.iter().map(|(k, v)| (k.clone(), fact(v))).collect()
}

/// Gives a machine the host's functions. Returns `jig`.
///
/// # Errors
/// The machine is out of memory.
pub(super) fn furnish(
    lua: &Lua,
    meter: &Meter,
    makers: Makers,
    subject: &Arc<Subject>,
    manifest: &Rc<Manifest>,
    settings: BTreeMap<String, SettingValue>,
    made: &Made,
) -> mlua::Result<Value> {
    let globals = lua.globals();
    let (counted, checks) = (meter.clone(), Rc::clone(manifest));
    let limit: Function = lua.create_function(move |_, name: Value| {
        counted.spend(1)?;
        let name = text(&name, "the limit")?;
        if let Some(check) = checks.checks.get(&name) {
            let found = check.limit.as_ref().map(|(v, unit)| (*v, unit.clone(), check.source.clone()));
            return found.ok_or_else(|| wrong(format!("the check {name} has no limit in plugin.toml")));
        }
        let found = standard::value(&name).map(|l| (l.value, l.unit.to_string(), l.source));
        found.ok_or_else(|| wrong(format!("no limit is called {name:?}")))
    })?;
    globals.raw_set("limit", limit)?;
    let counted = meter.clone();
    let read = lua.create_function(move |_, value: Value| {
        counted.spend(1)?;
        let read = quantity::parse_any(&text(&value, "the quantity")?);
        read.map(|(value, _)| value).map_err(|e| wrong(format!("{}; {}", e.message, e.help)))
    })?;
    globals.raw_set("quantity", read)?;
    let counted = meter.clone();
    let print = lua.create_function(move |_, (value, unit): (Value, Value)| {
        counted.spend(1)?;
        Ok(quantity::format_unit(number(&value, "the value")?, &text(&unit, "the unit")?))
    })?;
    globals.raw_set("format", print)?;
    maker(lua, meter, subject, manifest, made)?;
    let (subject, settings) = (Arc::clone(subject), Rc::new(settings));
    View {
        subject,
        settings,
        meter: meter.clone(),
        rows: Rows::new(makers),
        kept: Kept::default(),
        groups: RefCell::default(),
    }
    .into_lua(lua)
}

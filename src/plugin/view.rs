//! What `check.lua` sees: `jig`, `limit`, `quantity`, `format`, and the makers of findings. Every function bounds itself and is
//! counted; what it is handed is looked at by hand, never through a plugin's own metatables. Rows are frozen, made on demand
//! and kept. The shapes are documented in `plugins/api.lua`.

mod wiring;

use super::arguments::{number, text, wish_of, wrong};
use super::facts::{self, Fact, Row};
use super::manifest::{Manifest, SettingValue};
use super::results::{Made, put_makers};
use super::rows::{self, Rows, list_of, n, t};
use super::solution::{iterator, solution};
use super::vm::{Meter, SOLVE_COST, frozen, put};
use super::what_if::{self, Subject};
use crate::finding::{Kind, Quantity};
use crate::nets::Groups;
use crate::{quantity, standard};
use mlua::{Function, IntoLua, Lua, Table, Value};
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;
use std::sync::Arc;

/// The host's names in a plugin's globals, the makers of findings among them.
#[cfg(test)]
pub(crate) const GLOBALS: &[&str] = &["limit", "quantity", "format", "danger", "warning", "caution", "notice"];
/// Fields of `jig`.
pub(crate) const FIELDS: &[&str] = &["name", "unit", "use", "supply", "enclosure", "settings"];
/// Methods of `jig`.
pub(crate) const METHODS: &[&str] = &[
    "parts",
    "part",
    "nets",
    "joined",
    "reach",
    "divider",
    "outlets",
    "touchables",
    "insulation",
    "stress",
    "touch",
    "discharge",
    "lamp",
    "faults",
    "solve",
    "ring",
];

/// Positions of switches.
type Positions = Vec<(String, String)>;

/// What is made once and kept.
#[derive(PartialEq, Eq, Hash)]
enum CacheKey {
    /// There is one of it.
    One(&'static str),
    /// A part by its place.
    Part(usize),
    /// All parts of a kind.
    Parts(String),
    /// Rows by their place among the survey's or the jig's.
    Stress(usize),
    Touch(usize),
    Lamp(usize),
    Insulation(usize),
}

/// What is behind `jig`.
struct View {
    subject: Arc<Subject>,
    settings: Rc<BTreeMap<String, SettingValue>>,
    meter: Meter,
    rows: Rows,
    /// What loops over solutions.
    iterator: Function,
    kept: RefCell<HashMap<CacheKey, Value>>,
    /// Groups of joined nets by the positions of the switches.
    groups: RefCell<BTreeMap<Positions, Groups>>,
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
    /// A value that is made once.
    fn kept(&self, key: CacheKey, make: impl FnOnce() -> mlua::Result<Value>) -> mlua::Result<Value> {
        if let Some(value) = self.kept.borrow().get(&key) {
            return Ok(value.clone());
        }
        let value = make()?;
        self.kept.borrow_mut().insert(key, value.clone());
        Ok(value)
    }

    fn row<'a>(
        &self,
        lua: &Lua,
        class: &'static str,
        key: CacheKey,
        make: impl FnOnce() -> Row<'a>,
    ) -> mlua::Result<Value> {
        self.kept(key, || self.rows.strict(lua, class, &make()))
    }

    fn list<'a>(&self, lua: &Lua, class: &'static str, make: impl FnOnce() -> Vec<Row<'a>>) -> mlua::Result<Value> {
        self.kept(CacheKey::One(class), || {
            rows::list(lua, make().into_iter().map(|row| self.rows.strict(lua, class, &row)))
        })
    }

    fn part(&self, lua: &Lua, k: usize) -> mlua::Result<Value> {
        let make = || facts::part(&self.subject.jig, &self.subject.jig.parts[k]);
        self.row(lua, "part", CacheKey::Part(k), make)
    }

    fn parts(&self, lua: &Lua, kind: &Value) -> mlua::Result<Value> {
        let kind = if kind.is_nil() { String::new() } else { text(kind, "the kind of part")? };
        // An unknown kind would read as "there is none", and what is meant would go unchecked.
        if !kind.is_empty() && !crate::jig::kinds().any(|known| known == kind) {
            let known: Vec<&str> = crate::jig::kinds().collect();
            return Err(wrong(format!("{} is no kind of part: {}", quantity::quote(&kind), known.join(", "))));
        }
        let of_kind = |p: &crate::jig::Part| kind.is_empty() || p.kind.word() == kind;
        self.kept(CacheKey::Parts(kind.clone()), || {
            let parts = self.subject.jig.parts.iter().enumerate();
            rows::list(lua, parts.filter(|(_, p)| of_kind(p)).map(|(k, _)| self.part(lua, k)))
        })
    }

    fn nets(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "net", || {
            let jig = &self.subject.jig;
            let mains = self.subject.survey.model.nets.on_mains();
            let rows = jig.nets.iter().enumerate().map(|(k, net)| {
                let touched = jig.touchables.iter().any(|t| t.net == k);
                vec![
                    t("name", &net.name),
                    n("ends", net.ends as f64),
                    ("mains".into(), Fact::Flag(mains.has(k))),
                    ("touchable".into(), Fact::Flag(touched)),
                ]
            });
            rows.collect()
        })
    }

    fn outlets(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "outlet", || {
            let s = &self.subject;
            let rows = s.jig.outlets.iter().enumerate().map(|(k, o)| {
                let loads = o.loads.iter().map(|l| Fact::Text(l.label.as_str().into())).collect();
                let across = o.across.iter().map(|n| Fact::Text(s.jig.nets[*n].name.as_str().into())).collect();
                vec![
                    t("name", &o.name),
                    list_of("across", across),
                    list_of("loads", loads),
                    list_of("values", o.loads.iter().map(facts::load).collect()),
                    ("isolated".into(), Fact::Flag(s.survey.model.outlet_probes[k].is_some())),
                    n("line", f64::from(o.place.line)),
                ]
            });
            rows.collect()
        })
    }

    fn touchables(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "touchable", || {
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
            if name != "mains" {
                super::wiring::net(&self.subject, name).map_err(wrong)?;
            }
        }
        let jig = &self.subject.jig;
        let mains = self.subject.survey.model.nets.on_mains();
        // A net on the mains is covered by what is stated for "mains".
        let is = |side: crate::jig::Side, name: &str| match side {
            crate::jig::Side::Mains => name == "mains" || self.subject.net(name).is_some_and(|n| mains.has(n)),
            crate::jig::Side::Net(n) => jig.nets[n].name == name,
        };
        let found = jig.insulations.iter().enumerate().find(|(_, i)| {
            let [x, y] = i.between;
            is(x, &a) && is(y, &b) || is(x, &b) && is(y, &a)
        });
        let Some((k, i)) = found else { return Ok(Value::Nil) };
        self.row(lua, "insulation", CacheKey::Insulation(k), || {
            let mut row = vec![t("grade", i.grade.word()), n("line", f64::from(i.place.line))];
            row.extend(i.clearance.map(|c| n("clearance", c)));
            row.extend(i.creepage.map(|c| n("creepage", c)));
            row
        })
    }

    fn stress(&self, lua: &Lua, part: &Value, what: &Value, kind: &Value) -> mlua::Result<Value> {
        let (part, what, kinds) = (text(part, "the part")?, text(what, "the quantity")?, kinds(kind)?);
        let Some(quantity) = Quantity::named(&what) else {
            let known = Quantity::ALL.map(Quantity::name).join(", ");
            return Err(wrong(format!("{what:?} is no quantity: {known}")));
        };
        if self.subject.stresses_of(&part).is_none() && self.subject.part(&part).is_none() {
            return Err(wrong(format!("this jig has no part {part:?}")));
        }
        let mine = self.subject.stresses_of(&part).into_iter().flatten();
        let mine = mine.filter(|(_, s)| s.quantity == quantity && kinds.contains(&s.kind));
        let Some((k, s)) = mine.max_by(|(_, a), (_, b)| a.value.total_cmp(&b.value)) else { return Ok(Value::Nil) };
        self.row(lua, "stress", CacheKey::Stress(k), || {
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
        let mine = self.subject.touch.iter().enumerate();
        let mine = mine.filter(|(_, x)| x.touchable == name && kinds.contains(&x.kind));
        let Some((k, x)) = mine.max_by(|(_, a), (_, b)| a.current_peak.total_cmp(&b.current_peak)) else {
            let known = self.subject.jig.touchables.iter().any(|x| x.name == name);
            return if known { Ok(Value::Nil) } else { Err(wrong(format!("this jig has no touchable {name:?}"))) };
        };
        self.row(lua, "touch", CacheKey::Touch(k), || {
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
        let lamp = s.ledger.lamps().enumerate().find(|(_, l)| s.model.items[l.item].name == name);
        let Some((k, l)) = lamp else {
            // A switch or wire is no item of its own name, and a part all the same.
            let known = s.model.items.iter().any(|i| i.name == name) || self.subject.part(&name).is_some();
            return if known { Ok(Value::Nil) } else { Err(wrong(format!("this jig has no part {name:?}"))) };
        };
        self.row(lua, "lamp", CacheKey::Lamp(k), || {
            let degrees = |list: &[f64]| Fact::List(list.iter().map(|d| Fact::Number(*d)).collect());
            let light = l.light.clone().unwrap_or_default();
            let mut row = vec![
                n("flashes_per_second", light.flashes_per_second),
                n("lit_fraction", light.lit_fraction),
                ("on_deg".into(), degrees(&light.on_deg)),
                ("off_deg".into(), degrees(&light.off_deg)),
            ];
            row.extend(l.strike_margin().map(|m| n("strike_margin", m.value)));
            row
        })
    }

    fn faults(&self, lua: &Lua) -> mlua::Result<Value> {
        self.kept(CacheKey::One("faults"), || {
            let s = &self.subject;
            let list = crate::survey::faults::list(&s.jig, &s.survey.model).0;
            let id = |f| Fact::Text(crate::survey::condition::fault_id(&s.jig, &s.survey.model.items, f).into());
            rows::facts(lua, &list.iter().map(id).collect::<Vec<_>>())
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
        solution(lua, &self.subject, answer, &self.iterator)
    }
}

impl View {
    /// A call of one of the [`METHODS`].
    fn call(&self, lua: &Lua, method: &str, [a, b, c]: [&Value; 3]) -> mlua::Result<Value> {
        match method {
            "discharge" => return self.discharge(a, b, c).map(Value::Number),
            "solve" => return self.solve(lua, a),
            _ => self.meter.spend(1)?,
        }
        match method {
            "parts" => self.parts(lua, a),
            "part" => {
                let found = self.subject.part(&text(a, "the part")?);
                found.map_or(Ok(Value::Nil), |k| self.part(lua, k))
            }
            "nets" => self.nets(lua),
            "joined" => self.joined(a, b, c).map(Value::Boolean),
            "reach" => self.reach(lua, a),
            "divider" => self.divider(lua, a, b, c),
            "ring" => self.ring(lua, a, b, c),
            "outlets" => self.outlets(lua),
            "touchables" => self.touchables(lua),
            "insulation" => self.insulation(lua, a, b),
            "stress" => self.stress(lua, a, b, c),
            "touch" => self.touch(lua, a, b),
            "lamp" => self.lamp(lua, a),
            "faults" => self.faults(lua),
            other => Err(wrong(format!("jig has no {other}"))),
        }
    }

    /// One of the [`FIELDS`].
    fn field(&self, lua: &Lua, name: &str) -> mlua::Result<Value> {
        let jig = &self.subject.jig;
        match name {
            "name" => jig.name.as_str().into_lua(lua),
            "unit" => jig.unit.as_str().into_lua(lua),
            "use" => facts::usage(jig).into_lua(lua),
            "supply" => self.rows.strict(lua, "supply", &facts::supply(jig)),
            "enclosure" => self.rows.strict(lua, "enclosure", &facts::enclosure(jig)),
            "settings" => self.rows.strict(lua, "settings", &settings(&self.settings)),
            other => Err(wrong(format!("jig has no {other}"))),
        }
    }
}

/// `jig`: a frozen table whose fields and methods are put there when they are first asked for. Most plugins ask for few, and
/// what is there is found without the host.
fn jig(lua: &Lua, view: View) -> mlua::Result<Value> {
    let (jig, meta, view) = (lua.create_table()?, lua.create_table()?, Rc::new(view));
    let itself = jig.to_pointer();
    let index = lua.create_function(move |lua, (jig, key): (Table, Value)| -> mlua::Result<Value> {
        let name = text(&key, "the name").unwrap_or_default();
        let value = if FIELDS.contains(&name.as_str()) {
            view.field(lua, &name)?
        } else if let Some(method) = METHODS.iter().find(|m| **m == name) {
            let view = Rc::clone(&view);
            let call = move |lua: &Lua, (me, a, b, c): (Value, Value, Value, Value)| {
                if me.to_pointer() != itself {
                    let words = "functions of jig are called with a colon";
                    return Err(wrong(format!("{words}: jig:{method}(…)")));
                }
                view.call(lua, method, [&a, &b, &c])
            };
            Value::Function(lua.create_function(call)?)
        } else {
            let known = FIELDS.iter().chain(METHODS).copied().collect::<Vec<_>>().join(", ");
            return Err(wrong(format!("jig has no {name:?}; it has {known}")));
        };
        if jig.to_pointer() == itself {
            put(lua, &jig, key, &value)?;
        }
        Ok(value)
    })?;
    meta.raw_set("__index", index)?;
    let write = |_: &Lua, (): ()| -> mlua::Result<()> { Err(wrong("jig is for reading only")) };
    meta.raw_set("__newindex", lua.create_function(write)?)?;
    meta.raw_set("__metatable", "the jig")?;
    jig.set_metatable(Some(frozen(meta)?))?;
    frozen(jig).map(Value::Table)
}

fn settings(values: &BTreeMap<String, SettingValue>) -> Row<'_> {
    let facts = values.iter().map(|(key, value)| {
        let fact = match value {
            SettingValue::Number(x) | SettingValue::Quantity(x, _) => Fact::Number(*x),
            SettingValue::Text(x) => Fact::Text(x.as_str().into()),
            SettingValue::Flag(x) => Fact::Flag(*x),
        };
        (key.as_str().into(), fact)
    });
    facts.collect()
}

/// Gives a machine the host's functions. Returns `jig`.
///
/// # Errors
/// The machine is out of memory.
pub(super) fn provide(
    lua: &Lua,
    meter: &Meter,
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
        let near = || standard::near(&name, checks.checks.keys().map(String::as_str));
        found.ok_or_else(|| wrong(format!("no limit is called {name:?}{}", near())))
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
    put_makers(lua, meter, subject, manifest, made)?;
    let (subject, settings) = (Arc::clone(subject), Rc::new(settings));
    let (rows, iterator) = (Rows::default(), iterator(lua)?);
    let (kept, groups) = Default::default();
    jig(lua, View { subject, settings, meter: meter.clone(), rows, iterator, kept, groups })
}

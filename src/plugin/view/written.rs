//! What the jig file says, as `check.lua` asks for it: parts, nets, outlets, touchables, insulation.

use super::super::arguments::{text, wrong};
use super::super::facts::{self, Fact};
use super::super::rows::{self, list_of, n, t};
use super::super::wiring;
use super::state::{CacheKey, View};
use crate::jig::{self, Part, Side};
use crate::quantity;
use mlua::{Lua, Value};

impl View {
    pub(super) fn part(&self, lua: &Lua, k: usize) -> mlua::Result<Value> {
        let make = || {
            let s = &self.subject;
            let mut row = facts::part(&s.jig, &s.jig.parts[k]);
            let items = s.survey.model.items.iter().filter(|i| i.part == k);
            row.push(list_of("items", items.map(|i| Fact::Text(i.name.as_str().into())).collect()));
            row
        };
        self.row(lua, "part", CacheKey::Part(k), make)
    }

    pub(super) fn parts(&self, lua: &Lua, kind: &Value) -> mlua::Result<Value> {
        let kind = if kind.is_nil() { String::new() } else { text(kind, "the kind of part")? };
        // An unknown kind would read as "there is none", and what is meant would go unchecked.
        if !kind.is_empty() && !jig::kinds().any(|known| known == kind) {
            let known: Vec<&str> = jig::kinds().collect();
            return Err(wrong(format!("{} is no kind of part: {}", quantity::quote(&kind), known.join(", "))));
        }
        let of_kind = |p: &Part| kind.is_empty() || p.kind.word() == kind;
        self.kept(CacheKey::Parts(kind.clone()), || {
            let parts = self.subject.jig.parts.iter().enumerate();
            rows::list(lua, parts.filter(|(_, p)| of_kind(p)).map(|(k, _)| self.part(lua, k)))
        })
    }

    pub(super) fn nets(&self, lua: &Lua) -> mlua::Result<Value> {
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

    pub(super) fn outlets(&self, lua: &Lua) -> mlua::Result<Value> {
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

    pub(super) fn touchables(&self, lua: &Lua) -> mlua::Result<Value> {
        self.list(lua, "touchable", || {
            let jig = &self.subject.jig;
            jig.touchables
                .iter()
                .map(|x| vec![t("name", &x.name), t("net", &jig.nets[x.net].name), n("line", f64::from(x.place.line))])
                .collect()
        })
    }

    pub(super) fn insulation(&self, lua: &Lua, a: &Value, b: &Value) -> mlua::Result<Value> {
        let (a, b) = (text(a, "the first net")?, text(b, "the second net")?);
        for name in [&a, &b] {
            if name != "mains" {
                wiring::net(&self.subject, name).map_err(wrong)?;
            }
        }
        let jig = &self.subject.jig;
        let mains = self.subject.survey.model.nets.on_mains();
        // A net on the mains is covered by what is stated for "mains".
        let is = |side: Side, name: &str| match side {
            Side::Mains => name == "mains" || self.subject.net(name).is_some_and(|n| mains.has(n)),
            Side::Net(n) => jig.nets[n].name == name,
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
}

//! What the core found and can solve, as `check.lua` asks for it: worst values, lamps, faults, what-ifs.

use super::super::arguments::{LONGEST, course_of, number, text, wish_of, wrong};
use super::super::facts::Fact;
use super::super::rows::{self, n, t};
use super::super::solution::solution;
use super::super::vm::SOLVE_COST;
use super::super::what_if;
use super::state::{CacheKey, View};
use crate::finding::{Quantity, Situation};
use crate::survey::condition::fault_id;
use crate::survey::faults;
use mlua::{Lua, Value};

fn kind_word(kind: Situation) -> &'static str {
    match kind {
        Situation::Normal => "normal",
        Situation::SingleFault => "single-fault",
        Situation::Transient => "transient",
    }
}

/// Which kinds of condition are asked for: what lasts, where nothing is said.
fn kinds(value: &Value) -> mlua::Result<Vec<Situation>> {
    match value {
        Value::Nil => Ok(vec![Situation::Normal, Situation::SingleFault]),
        other => match text(other, "the kind of condition")?.as_str() {
            "normal" => Ok(vec![Situation::Normal]),
            "single-fault" => Ok(vec![Situation::SingleFault]),
            "transient" => Ok(vec![Situation::Transient]),
            word => Err(wrong(format!("{word:?} is no kind of condition: normal, single-fault or transient"))),
        },
    }
}

impl View {
    pub(super) fn stress(&self, lua: &Lua, part: &Value, what: &Value, kind: &Value) -> mlua::Result<Value> {
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

    pub(super) fn touch(&self, lua: &Lua, name: &Value, kind: &Value) -> mlua::Result<Value> {
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

    pub(super) fn lamp(&self, lua: &Lua, part: &Value) -> mlua::Result<Value> {
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

    pub(super) fn faults(&self, lua: &Lua) -> mlua::Result<Value> {
        self.kept(CacheKey::One("faults"), || {
            let s = &self.subject;
            let list = faults::list(&s.jig, &s.survey.model).0;
            let id = |f| Fact::Text(fault_id(&s.jig, &s.survey.model.items, f).into());
            rows::facts(lua, &list.iter().map(id).collect::<Vec<_>>())
        })
    }

    pub(super) fn discharge(&self, [a, b]: [&Value; 2], seconds: &Value, wish: &Value) -> mlua::Result<f64> {
        let nets = [self.net(a)?, self.net(b)?];
        let seconds = number(seconds, "the seconds")?;
        // A minute is longer than anyone waits for a capacitor.
        if !(0.0..=LONGEST).contains(&seconds) {
            return Err(wrong(format!("the seconds have to be from 0 to {LONGEST}")));
        }
        let wish = if wish.is_nil() { None } else { Some(wish_of(wish)?) };
        self.meter.spend(SOLVE_COST)?;
        // Many settings make many solutions: the time is looked at between them.
        let go_on = || self.meter.spend(0).map_err(|e| e.to_string());
        what_if::left(&self.subject, nets, seconds, wish.as_ref(), &go_on).map_err(wrong)
    }

    /// A discharge that is followed, as one row.
    pub(super) fn put_on(&self, lua: &Lua, wish: &Value) -> mlua::Result<Value> {
        let (wish, course) = course_of(wish)?;
        self.meter.spend(SOLVE_COST)?;
        let what_if::Discharge { items, run } = what_if::put_on(&self.subject, &wish, course).map_err(wrong)?;
        let parts = items.iter().zip(&run.items).map(|(name, t)| {
            let row = vec![
                n("energy", t.energy),
                n("voltage_peak", t.voltage_peak),
                n("current_peak", t.current_peak),
                n("current_forward", t.current_forward),
                n("power_peak", t.power_peak),
                n("i2t", t.i2t),
            ];
            (name.as_str().into(), Fact::Row(row))
        });
        let between = run.between.iter().map(|v| Fact::Number(*v)).collect();
        let row = vec![
            n("seconds", run.seconds),
            n("left", run.left),
            n("current_peak", run.current_peak),
            ("parts".into(), Fact::Row(parts.collect())),
            ("between".into(), Fact::List(between)),
        ];
        self.rows.strict(lua, "discharge", &row)
    }

    pub(super) fn solve(&self, lua: &Lua, wish: &Value) -> mlua::Result<Value> {
        let wish = wish_of(wish)?;
        self.meter.spend(SOLVE_COST)?;
        let answer = what_if::solve(&self.subject, &wish).map_err(wrong)?;
        solution(lua, &self.subject, answer, &self.iterator)
    }
}

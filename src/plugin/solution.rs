//! A solved what-if as a plugin sees it. Parts, nets and touchables are put into tables when they are first asked for: most
//! what-ifs are asked for one of them, and the tables cost more than the solution.

use super::arguments::text;
use super::facts::Fact;
use super::rows::{self, n, t};
use super::vm::{frozen, put, unlimited};
use super::what_if::{Answer, Subject};
use crate::circuit::Quantities;
use crate::finding::PerQuantity;
use crate::standard;
use crate::survey::records::TouchWorst;
use mlua::{Function, Lua, Table, Value};
use std::rc::Rc;
use std::sync::Arc;

/// What is made on demand.
const MADE: [&str; 8] = ["parts", "nets", "touch", "outlets", "between", "waves", "held", "period"];

/// An answer with the jig it is about.
struct SolutionView {
    subject: Arc<Subject>,
    answer: Answer,
}

/// The solution as a table; `iterator` is what [`iterator`] made for this machine. Nil where nothing was solved.
pub(super) fn solution(lua: &Lua, subject: &Arc<Subject>, answer: Answer, iterator: &Function) -> mlua::Result<Value> {
    let Some(first) = answer.steps.first() else { return Ok(Value::Nil) };
    let opens = first.opens.iter().map(|o| {
        Fact::Row(vec![t("device", &answer.devices[o.protector]), n("within", o.within), n("amperes", o.amperes)])
    });
    let mut fields = vec![("opens", rows::facts(lua, &opens.collect::<Vec<_>>())?)];
    let last = answer.steps.len() - 1;
    let view = Rc::new(SolutionView { subject: Arc::clone(subject), answer });
    if last > 0 {
        fields.push(("after", state(lua, &view, last, vec![], iterator)?));
    }
    state(lua, &view, 0, fields, iterator)
}

/// What such a table answers a loop over it with: all that it has. Made before a plugin could put its own `next` in place.
pub(super) fn iterator(lua: &Lua) -> mlua::Result<Function> {
    let next: Function = lua.globals().raw_get("next")?;
    lua.create_function(move |_, table: Table| {
        for key in MADE {
            table.get::<Value>(key)?;
        }
        Ok((next.clone(), table))
    })
}

fn state(
    lua: &Lua,
    view: &Rc<SolutionView>,
    step: usize,
    fields: Vec<(&str, Value)>,
    iterator: &Function,
) -> mlua::Result<Value> {
    let view = Rc::clone(view);
    let index = lua.create_function(move |lua, (table, key): (Table, Value)| -> mlua::Result<Value> {
        let name = text(&key, "the key of a solution")?;
        let Some(made) = view.made(lua, step, &name)? else {
            if name == "after" {
                return Ok(Value::Nil);
            }
            let known = MADE.into_iter().chain(["opens", "after"]);
            let near = standard::near(&name, known);
            return Err(mlua::Error::runtime(format!("a solution has no {name:?}{near}")));
        };
        put(lua, &table, key, &made)?;
        Ok(made)
    })?;
    unlimited(lua, || {
        let table = lua.create_table_from(fields)?;
        let meta = lua.create_table_from([("__index", index), ("__iter", iterator.clone())])?;
        meta.raw_set("__metatable", "a solution")?;
        table.set_metatable(Some(frozen(meta)?))?;
        frozen(table).map(Value::Table)
    })
}

impl SolutionView {
    /// What is made under this name.
    fn made(&self, lua: &Lua, step: usize, name: &str) -> mlua::Result<Option<Value>> {
        let (jig, answer) = (&self.subject.jig, &self.answer);
        let readings = &answer.steps[step].readings;
        unlimited(lua, || {
            let table = match name {
                "parts" => {
                    let parts = answer.items.iter().zip(&readings.items);
                    let row = |values: &PerQuantity<f64>| row(lua, values.iter().map(|(q, v)| (q.name(), *v)));
                    named_rows(lua, parts.map(|(name, values)| (name.as_str(), row(values))))
                }
                "nets" => {
                    named_rows(lua, jig.nets.iter().zip(&readings.nets).map(|(n, q)| (n.name.as_str(), net(lua, q))))
                }
                "touch" => named_rows(
                    lua,
                    jig.touchables.iter().zip(&readings.touch).map(|(x, q)| (x.name.as_str(), felt(lua, q))),
                ),
                "outlets" => named_rows(
                    lua,
                    jig.outlets.iter().zip(&readings.outlets).map(|(o, q)| (o.name.as_str(), outlet(lua, q))),
                ),
                "between" => frozen(lua.create_sequence_from(
                    readings.between.iter().map(|q| between(lua, q)).collect::<mlua::Result<Vec<_>>>()?,
                )?),
                "waves" => {
                    let wave = |wave: &Vec<f64>| frozen(lua.create_sequence_from(wave.iter().copied())?);
                    named_rows(lua, answer.waves.iter().zip(&readings.waves).map(|(name, w)| (name.as_str(), wave(w))))
                }
                "held" => {
                    let held = readings.held.as_ref().map(|q| body(lua, q)).transpose()?;
                    return Ok(Some(held.map_or(Value::Nil, Value::Table)));
                }
                "period" => {
                    let period = if answer.hertz > 0.0 { f64::from(readings.cycles) / answer.hertz } else { 0.0 };
                    return Ok(Some(Value::Number(period)));
                }
                _ => return Ok(None),
            };
            table.map(|t| Some(Value::Table(t)))
        })
    }
}

/// A net against earth.
fn net(lua: &Lua, q: &Quantities) -> mlua::Result<Table> {
    row(lua, [("voltage_rms", q.v_rms), ("voltage_peak", q.v_peak()), ("voltage_mean", q.v_mean)])
}

/// The first net of a pair against the second.
fn between(lua: &Lua, q: &Quantities) -> mlua::Result<Table> {
    let range = [("voltage_max", q.v_max), ("voltage_min", q.v_min)];
    row(
        lua,
        [("voltage_rms", q.v_rms), ("voltage_peak", q.v_peak()), ("voltage_mean", q.v_mean)].into_iter().chain(range),
    )
}

/// A body.
fn body(lua: &Lua, q: &Quantities) -> mlua::Result<Table> {
    row(lua, [("current_rms", q.i_rms), ("current_peak", q.i_peak()), ("current_mean", q.i_mean)])
}

/// What is plugged into an outlet.
fn outlet(lua: &Lua, q: &Quantities) -> mlua::Result<Table> {
    let volts = [("voltage_rms", q.v_rms), ("voltage_peak", q.v_peak()), ("voltage_mean", q.v_mean)];
    let amperes = [("current_rms", q.i_rms), ("current_peak", q.i_peak()), ("current_mean", q.i_mean)];
    row(lua, volts.into_iter().chain(amperes).chain([("power", q.power)]))
}

fn felt(lua: &Lua, q: &TouchWorst) -> mlua::Result<Table> {
    let volts = [("voltage_rms", q.voltage_rms), ("voltage_peak", q.voltage_peak), ("voltage_dc", q.voltage_dc)];
    row(lua, volts.into_iter().chain([("current_rms", q.current_rms), ("current_peak", q.current_peak)]))
}

fn row<'a>(lua: &Lua, values: impl IntoIterator<Item = (&'a str, f64)>) -> mlua::Result<Table> {
    frozen(lua.create_table_from(values)?)
}

fn named_rows<'a>(lua: &Lua, rows: impl Iterator<Item = (&'a str, mlua::Result<Table>)>) -> mlua::Result<Table> {
    let rows = rows.map(|(name, row)| Ok((name, row?))).collect::<mlua::Result<Vec<_>>>()?;
    frozen(lua.create_table_from(rows)?)
}

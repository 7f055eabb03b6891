//! The wiring as `check.lua` asks for it: what is joined, what a walk reaches, how volts divide; and the ring of a strobe.

use super::super::arguments::{MOST_ENTRIES, named_texts, number, reach_of, text, wrong};
use super::super::facts::Fact;
use super::super::rows::n;
use super::super::vm::{SOLVE_COST, frozen, unlimited};
use super::super::wiring;
use super::state::View;
use crate::strobe;
use mlua::{Lua, Value};

/// Edges that are looked at in the time of one look-up.
const EDGES_A_CALL: usize = 64;

impl View {
    pub(super) fn net(&self, value: &Value) -> mlua::Result<usize> {
        wiring::net(&self.subject, &text(value, "the net")?).map_err(wrong)
    }

    pub(super) fn joined(&self, a: &Value, b: &Value, switches: &Value) -> mlua::Result<bool> {
        let (a, b, switches) = (self.net(a)?, self.net(b)?, named_texts(switches, "switches")?);
        let mut kept = self.groups.borrow_mut();
        if let Some(groups) = kept.get(&switches) {
            return Ok(groups.same(a, b));
        }
        let groups = wiring::joined(&self.subject, &switches).map_err(wrong)?;
        let joined = groups.same(a, b);
        // A plugin may ask for every combination of many switches: what is kept is bounded.
        if kept.len() < MOST_ENTRIES {
            kept.insert(switches, groups);
        }
        Ok(joined)
    }

    /// A frozen table: each net that is reached is `true` in it.
    pub(super) fn reach(&self, lua: &Lua, wish: &Value) -> mlua::Result<Value> {
        let wish = reach_of(wish)?;
        let nets = &self.subject.survey.model.nets;
        self.meter.spend((nets.edges().len() / EDGES_A_CALL) as u64)?;
        let reached = wiring::reach(&self.subject, &wish).map_err(wrong)?;
        let names = reached.iter().map(|net| (self.subject.jig.nets[net].name.as_str(), true));
        unlimited(lua, || frozen(lua.create_table_from(names)?)).map(Value::Table)
    }

    pub(super) fn divider(&self, lua: &Lua, a: &Value, b: &Value, switches: &Value) -> mlua::Result<Value> {
        let (ends, switches) = ([self.net(a)?, self.net(b)?], named_texts(switches, "switches")?);
        let found = wiring::divider(&self.subject, ends, &switches).map_err(wrong)?;
        let volts: Vec<_> =
            found.volts.iter().zip(&self.subject.jig.nets).filter_map(|(v, net)| Some(((*v)?, net))).collect();
        // As dear as a solution where many nets hang together, next to nothing where few do.
        self.meter.spend((volts.len() as u64).pow(3) / SOLVE_COST)?;
        let volts = volts.into_iter().map(|(v, net)| (net.name.as_str().into(), Fact::Number(v))).collect();
        self.rows.strict(lua, "divider", &vec![n("siemens", found.siemens), ("volts".into(), Fact::Row(volts))])
    }

    pub(super) fn ring(&self, lua: &Lua, bars: &Value, rpm: &Value, flashes: &Value) -> mlua::Result<Value> {
        let above_zero = |value: &Value, what: &str| {
            let x = number(value, what)?;
            if x > 0.0 { Ok(x) } else { Err(wrong(format!("{what} have to be above zero"))) }
        };
        let bars = above_zero(bars, "the bars of the ring")?;
        let rpm = above_zero(rpm, "the turns a minute")?;
        let flashes = above_zero(flashes, "the flashes a second")?;
        let found = strobe::ring(bars, rpm, flashes);
        let row = vec![
            n("advance", found.advance),
            n("whole", found.whole),
            n("still", found.still),
            n("off", found.off),
            n("best", found.best),
        ];
        self.rows.strict(lua, "ring", &row)
    }
}

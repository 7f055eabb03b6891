//! The wiring as `check.lua` asks for it: what is joined, what a walk reaches, how volts divide; and the ring of a strobe.

use super::super::arguments::{MOST_ENTRIES, RingAsked, named_texts, number, reach_of, ring_of, text, wrong};
use super::super::facts::Fact;
use super::super::rows::n;
use super::super::vm::{SOLVE_COST, frozen, unlimited};
use super::super::{what_if, wiring};
use super::state::View;
use crate::strobe;
use mlua::{Lua, Value};
use std::borrow::Cow;

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

    /// `ring(bars, rpm, flashes)`, or `ring{ … }`: the latter may have lamps solved.
    pub(super) fn ring(&self, lua: &Lua, bars: &Value, rpm: &Value, flashes: &Value) -> mlua::Result<Value> {
        if let Value::Table(_) = bars {
            return self.ring_of(lua, bars);
        }
        let above_zero = |value: &Value, what: &str| {
            let x = number(value, what)?;
            if x > 0.0 { Ok(x) } else { Err(wrong(format!("{what} have to be above zero"))) }
        };
        let bars = above_zero(bars, "the bars of the ring")?;
        let rpm = above_zero(rpm, "the turns a minute")?;
        let flashes = above_zero(flashes, "the flashes a second")?;
        let mut row = vec![n("flashes", flashes)];
        row.extend(turning(bars, rpm, flashes, None));
        self.rows.strict(lua, "ring", &row)
    }

    fn ring_of(&self, lua: &Lua, wish: &Value) -> mlua::Result<Value> {
        let RingAsked { bars, rpm, flashes, lit, lamps, wish } = ring_of(wish)?;
        let light = match flashes {
            Some(_) => None,
            None => {
                self.meter.spend(SOLVE_COST)?;
                Some(what_if::light(&self.subject, &wish, &lamps).map_err(wrong)?)
            }
        };
        let flashes = flashes.or(light.as_ref().map(|l| l.flashes)).unwrap_or_default();
        let lit = light.as_ref().map_or(lit, |l| l.lit);
        let mut row = vec![n("flashes", flashes)];
        if bars > 0.0 && rpm > 0.0 && flashes > 0.0 {
            row.extend(turning(bars, rpm, flashes, lit));
            let found = strobe::ring(bars, rpm, flashes);
            let contrast = light.as_ref().and_then(|l| l.contrast(found.whole as usize, 1));
            row.extend(contrast.map(|c| n("contrast", c)));
        }
        row.extend(lit.map(|s| n("lit", s)));
        if let Some(light) = &light {
            row.extend(light.bright.map(|s| n("bright", s)));
            row.extend([n("filled", light.filled), n("mean", light.mean), n("crest", light.crest)]);
        }
        self.rows.strict(lua, "ring", &row)
    }
}

/// What a ring shows that turns at the speed it is for.
fn turning(bars: f64, rpm: f64, flashes: f64, lit: Option<f64>) -> Vec<(Cow<'static, str>, Fact<'static>)> {
    let found = strobe::ring(bars, rpm, flashes);
    let mut row = vec![
        n("advance", found.advance),
        n("whole", found.whole),
        n("still", found.still),
        n("off", found.off),
        n("best", found.best),
    ];
    row.extend(lit.map(|lit| n("smear", strobe::smear(bars, rpm, lit))));
    row
}

//! Neon glow lamps.

use super::assembly::Assembly;
use super::dead::{self, Dead, DeadBranch};
use super::declare::part;
use super::item::{Item, Role};
use super::joint::{self, Joint, Link};
use super::kind::{Behaviour, Failures, OnceFailed, Protection, open_or_short};
use super::rating::{Rating, rated};
use super::reading::Reading;
use super::wanted::{Wanted, When, want};
use crate::circuit::Device;
use crate::finding::{CheckId, Quantity};
use crate::format::{Choice, Ends, Holds, NetId, Row, above_zero};
use crate::quantity::{Kind as Unit, format, quote};
use crate::standard::{self, LampRow};

part! {
    "A neon glow lamp without a resistor of its own.", Neon = "neon-lamp",
    choice Choice { groups: &[&["type"], &["strike", "maintain"]], exclusive: false };
    needs "across" [across: Ends] = Holds::Ends, "The two nets it joins.";
    may "type" [lamp_type as "type": Option<String>] = Holds::Text,
        "A row of the lamps table, which gives the other keys; each may be overridden.";
    may "strike" [strike: f64] = above_zero(Unit::Voltage), "Strike volts, peak or d.c.";
    may "strike-max" [strike_max: Option<f64>] = above_zero(Unit::Voltage),
        "Strike volts of the worst lamp of the type, peak or d.c.";
    may "maintain" [maintain: f64] = above_zero(Unit::Voltage), "Volts across the lit lamp, peak or d.c.";
    may "extinguish" [extinguish: Option<f64>] = above_zero(Unit::Voltage), "Volts, peak or d.c., at which the lit lamp goes out.";
    may "extinguish-current" [extinguish_current: Option<f64>] = above_zero(Unit::Current),
        "Amperes, d.c., below which the lit lamp goes out.";
    may "slope" [slope: Option<f64>] = above_zero(Unit::Resistance), "Slope resistance of the lit lamp.";
    may "current" [current: Option<f64>] = above_zero(Unit::Current), "Design amperes r.m.s.";
    may "max-current" [max_current: Option<f64>] = above_zero(Unit::Current), "Highest amperes r.m.s.";
}

/// The row of the lamps table that `type` names: nothing where it names none, `Err` where there is no such row.
fn row_of_type(row: &Row, reading: &mut Reading) -> Result<Option<LampRow>, ()> {
    let Some(name) = row.text("type") else { return Ok(None) };
    reading.tables.lamp(&name).map(Some).map_err(|near| {
        let own = "rite strike and maintain from its data sheet";
        let help = match near.first() {
            Some(nearest) => format!("did you mean \"{nearest}\"? Else w{own}"),
            None => format!("w{own}"),
        };
        (reading.wrong)(row.place_of("type"), format!("the lamps table has no {}", quote(&name)), help);
    })
}

impl Neon {
    /// Whether its volts can be those of one lamp; tells what cannot.
    fn consistent(&self, row: &Row, reading: &mut Reading) -> bool {
        let volts = |v| format(v, Unit::Voltage);
        if self.maintain >= self.strike {
            let key = if row.has("maintain") { "maintain" } else { "strike" };
            let message =
                format!("the lamp would maintain at {} and strike at {}", volts(self.maintain), volts(self.strike));
            let help = "a glow lamp strikes above the volts it maintains at: look again at the data sheet";
            (reading.wrong)(row.place_of(key), message, help.into());
            return false;
        }
        if let Some(worst) = self.strike_max.filter(|worst| *worst < self.strike) {
            let message = format!("strike-max {} is below strike {}", volts(worst), volts(self.strike));
            let help = "strike-max is the worst lamp of the type: the same or higher";
            (reading.wrong)(row.place_of("strike-max"), message, help.into());
            return false;
        }
        true
    }
}

impl Behaviour for Neon {
    fn read(row: &Row, reading: &mut Reading) -> Option<Self> {
        let typed = row_of_type(row, reading).ok()?;
        let of_type = typed.as_ref();
        // A key that is written but wrong must not fall back to the table: its fault is told, the part is left out.
        let own = |key: &str| {
            if row.has(key) { row.number(key).map(Some) } else { Some(None) }
        };
        let strike = own("strike")?.or(of_type.map(|lamp| lamp.strike))?;
        let lamp = Neon {
            across: row.ends("across")?,
            lamp_type: row.text("type"),
            strike,
            // A strike written above the table's worst lamp is then itself the worst.
            strike_max: own("strike-max")?.or(of_type.map(|lamp| lamp.strike_max.max(strike))),
            maintain: own("maintain")?.or(of_type.map(|lamp| lamp.maintain))?,
            extinguish: own("extinguish")?,
            extinguish_current: own("extinguish-current")?,
            slope: own("slope")?.or(of_type.and_then(|lamp| lamp.slope)),
            current: own("current")?.or(of_type.map(|lamp| lamp.current)),
            max_current: own("max-current")?.or(of_type.and_then(|lamp| lamp.max_current)),
        };
        lamp.consistent(row, reading).then_some(lamp)
    }

    fn terminals(&self) -> Vec<NetId> {
        self.across.to_vec()
    }

    fn joints(&self) -> Vec<Joint> {
        joint::one(self.across, Link::Threshold)
    }

    fn assemble(&self, circuit: &mut Assembly) {
        let lit_ohms = self.slope.unwrap_or_else(|| standard::bench::neon_slope().value);
        let extinction = self.extinguish_current.unwrap_or_else(|| standard::bench::neon_extinction().value);
        // Its line goes through the volts at which it goes out, where they are stated.
        let out = self.extinguish.map(|volts| volts - lit_ohms * extinction).filter(|volts| *volts > 0.0);
        let device = Device::Neon {
            strike: self.strike,
            maintain: out.map_or(self.maintain, |volts| volts.min(self.maintain)),
            lit_ohms,
            off_ohms: standard::bench::neon_dark().value,
            extinction,
        };
        circuit.simple(self.across, device);
    }

    fn dead(&self) -> Vec<DeadBranch> {
        dead::one(self.across, Dead::Dark)
    }

    fn failures(&self, _: &[Item], _: usize) -> Failures {
        open_or_short()
    }

    fn overheats_by(&self, _: Role) -> Option<Quantity> {
        None
    }

    fn once_failed(&self) -> OnceFailed {
        OnceFailed::ItemIsBroken
    }

    fn protection(&self) -> Protection {
        Protection::None
    }

    fn ratings(&self, _: Role) -> Vec<Rating> {
        let usual = || self.current.map(|i| i * standard::bench::neon_max_current_multiple().value);
        vec![rated(Quantity::CurrentRms, self.max_current.or_else(usual), CheckId::LampCurrent)]
    }

    fn wanted(&self) -> Vec<Wanted> {
        vec![want("current", self.current.is_some() || self.max_current.is_some(), When::Always)]
    }

    fn only_compared(&self) -> &'static [&'static str] {
        &[]
    }

    fn value_mut(&mut self, key: &str) -> Option<&mut f64> {
        match key {
            "strike" => Some(&mut self.strike),
            "maintain" => Some(&mut self.maintain),
            _ => None,
        }
    }
}

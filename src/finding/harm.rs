//! What a check warns of, by what happens to people and things: the order in which findings are told.

use super::{CheckId, CheckName, Finding, Signal, Situation};

/// What happens where a finding is not seen to. Sorted by what is told first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Harm {
    /// Somebody is hurt, with nothing having failed.
    AtOnce,
    /// Somebody is hurt once something has failed.
    AfterAFault,
    /// Something burns, bursts or smoulders.
    Burns,
    /// A part wears out or dies.
    Wears,
    /// Nothing: a thing to know.
    ToKnow,
}

impl Finding {
    /// What it warns of.
    pub fn harm(&self) -> Harm {
        let harm = match &self.check {
            CheckName::Core(id) => id.harm(),
            CheckName::Plugin(_) if self.signal == Signal::Notice => Harm::Wears,
            CheckName::Plugin(_) => Harm::AfterAFault,
        };
        match (harm, &self.situation) {
            (Harm::AtOnce, Some(s)) if s.kind == Situation::SingleFault => Harm::AfterAFault,
            (other, _) => other,
        }
    }

    /// How many times its limit it is, or of a limit that must be reached how far it falls short: above 1 where the limit is
    /// broken. Nothing where that says nothing.
    pub fn times(&self) -> Option<f64> {
        let (value, limit) = (self.value?, self.limit?);
        let times = if self.quantity.is_at_least() { limit / value } else { value / limit };
        (times.is_finite() && times > 1.0).then_some(times)
    }
}

impl CheckId {
    /// What the check warns of where nothing has to fail for it.
    pub fn harm(self) -> Harm {
        use CheckId::*;
        match self {
            LivePins | OutletShock | TouchCurrent | TouchVoltage | StoredCharge | FlashRate => Harm::AtOnce,
            Bypassed | CapacitorClass | ClassConflict | Clearance | CordCores | CordRelief | Creepage
            | EarthBrokenByPart | EarthNotBonded | EarthOpen | EarthReturn | HotSurface | InsulationMissing
            | InsulationTooWeak | LampInNeutral | LooseEnd | OffNotDead | OpensByHand | PluginFailed
            | RcdStandingLeakage | RcdType | SinglePoleSwitch | SwitchInNeutral | UnsolvedCondition | WireColour => {
                Harm::AfterAFault
            }
            BoxTemperature
            | CapacitorVoltage
            | CordRating
            | DeadShort
            | FuseAfterSwitchOrPart
            | FuseBreaking
            | FuseInNeutral
            | FuseRating
            | FuseVoltage
            | NoFuse
            | NoLimiting
            | OpensInUse
            | PartTemperature
            | PlugFuse
            | PlugRating
            | PsuRating
            | RatingMissing
            | ResistorPower
            | ResistorVoltage
            | SinglePoleFuse
            | Smoulder
            | SwitchRating
            | TransformerRating
            | VaristorRating
            | WindingRating
            | WireProtection
            | WireRating => Harm::Burns,
            DiodeCurrent | DiodeReverse | DiodeSurge | FuseInrush | LampCurrent | LampLife | LampStrike
            | LampVoltage | LedCurrent | LedReverse => Harm::Wears,
            Acceptance | UnusedPart => Harm::ToKnow,
        }
    }
}

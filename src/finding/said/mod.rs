//! What a check states, as facts: values with units, names, choices. `wording` makes the sentences, so nothing here is one.

mod amount;
mod capacitor;
mod contact;
mod earth;
mod fuse;
mod heat;
mod insulation;
mod itself;
mod lamp;
mod net_list;
mod off_not_dead;
mod opens_in_use;
mod outlet_shock;
mod overload;
mod poles;
mod rcd_standing_leakage;
mod rcd_type;
mod rectifier;
mod resistor_power;
mod resistor_voltage;
mod stated;
mod stored_charge;
mod touch_current;
mod touch_voltage;
mod touching;

pub use amount::{Amount, Percent};
pub use capacitor::{CapacitorClass, CapacitorCure, CapacitorPlace, CapacitorVoltage};
pub use contact::{Contact, ContactCure, CordFault, CordRating, PlugRating, WireProtection};
pub use earth::{ClassConflict, CordCores, EarthBrokenByPart, EarthNotBonded, EarthOpen, EarthReturn};
pub use fuse::{FuseBreaking, FuseInrush, FuseRating, FuseVoltage};
pub use heat::{BoxTemperature, Burn, HeatAsks, HotSurface, PartTemperature, TooWarm};
pub use insulation::{
    Distance, DistanceFault, HazardSource, InsulationMissing, InsulationTooWeak, LivePins, Wanted, WeakBarrier,
};
pub use itself::{Acceptance, Bound, UnsolvedCondition};
pub use lamp::{
    Backwards, LampCurrent, LampLife, LampLifeCure, LampStrike, LampVoltage, LedCurrent, LedReverse, NoLimiting,
    Unlimited,
};
pub use net_list::{Bypassed, DeadShort, LooseEnd, UnusedPart};
pub use off_not_dead::{LivePast, OffNotDead};
pub use opens_in_use::OpensInUse;
pub use outlet_shock::OutletShock;
pub use overload::{Overcurrent, PsuRating, Smoulder, SmoulderCure, Smouldering, TransformerRating, VaristorRating};
pub use poles::{FuseAfter, FuseInNeutral, KeptLive, LampInNeutral, NoFuse, OnePoleFuse};
pub use rcd_standing_leakage::{LeakageLimit, RcdStandingLeakage};
pub use rcd_type::RcdUnseen;
pub use rectifier::{Backward, DiodeCurrent, DiodeReverse, DiodeSurge, SurgeWhen};
pub use resistor_power::{
    Ending, ResistorCure, ResistorFate, ResistorLoad, ResistorPower, ResistorSize, ResistorSizes,
};
pub use resistor_voltage::{ElementCure, ResistorVoltage};
pub use stated::{CordRelief, FlashRate, PlugFuse, RatingMissing, WireColour};
pub use stored_charge::{BleederCure, StoredCharge};
pub use touch_current::{TouchCurrent, TouchCurrentCure};
pub use touch_voltage::TouchVoltage;
pub use touching::{TouchFault, Touching};

/// What a finding states: one variant a check.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum Said {
    Acceptance(Acceptance),
    BoxTemperature(BoxTemperature),
    Bypassed(Bypassed),
    CapacitorClass(CapacitorClass),
    CapacitorVoltage(CapacitorVoltage),
    ClassConflict(ClassConflict),
    Clearance(Distance),
    CordCores(CordCores),
    CordRating(CordRating),
    CordRelief(CordRelief),
    Creepage(Distance),
    DeadShort(DeadShort),
    DiodeCurrent(DiodeCurrent),
    DiodeReverse(DiodeReverse),
    DiodeSurge(DiodeSurge),
    EarthBrokenByPart(EarthBrokenByPart),
    EarthNotBonded(EarthNotBonded),
    EarthOpen(EarthOpen),
    EarthReturn(EarthReturn),
    FlashRate(FlashRate),
    FuseAfterSwitchOrPart(FuseAfter),
    FuseBreaking(FuseBreaking),
    FuseInNeutral(FuseInNeutral),
    FuseInrush(FuseInrush),
    FuseRating(FuseRating),
    FuseVoltage(FuseVoltage),
    HotSurface(HotSurface),
    InsulationMissing(InsulationMissing),
    InsulationTooWeak(InsulationTooWeak),
    LampCurrent(LampCurrent),
    LampInNeutral(LampInNeutral),
    LampLife(LampLife),
    LampStrike(LampStrike),
    LampVoltage(LampVoltage),
    LedCurrent(LedCurrent),
    LedReverse(LedReverse),
    LivePins(LivePins),
    LooseEnd(LooseEnd),
    NoFuse(NoFuse),
    NoLimiting(NoLimiting),
    OffNotDead(OffNotDead),
    OpensByHand,
    OpensInUse(OpensInUse),
    OutletShock(OutletShock),
    PartTemperature(PartTemperature),
    PlugFuse(PlugFuse),
    PlugRating(PlugRating),
    PsuRating(PsuRating),
    RatingMissing(RatingMissing),
    RcdStandingLeakage(RcdStandingLeakage),
    RcdType(RcdUnseen),
    ResistorPower(ResistorPower),
    ResistorVoltage(ResistorVoltage),
    SinglePoleFuse(OnePoleFuse),
    SinglePoleSwitch(KeptLive),
    Smoulder(Smoulder),
    StoredCharge(StoredCharge),
    SwitchInNeutral(KeptLive),
    SwitchRating(Contact),
    TouchCurrent(TouchCurrent),
    TouchVoltage(TouchVoltage),
    TransformerRating(TransformerRating),
    UnsolvedCondition(UnsolvedCondition),
    UnusedPart(UnusedPart),
    VaristorRating(VaristorRating),
    WindingRating(Overcurrent),
    WireColour(WireColour),
    WireProtection(WireProtection),
    WireRating(Contact),
    /// In the words of whoever made the check: a plugin.
    Written {
        message: String,
        remedy: String,
    },
}

impl Default for Said {
    fn default() -> Said {
        Said::Written { message: String::new(), remedy: String::new() }
    }
}

impl Said {
    /// Whether two findings of one check ask for the same: then a change of two parts is told as one. What a check asks
    /// for may name the part; then no two findings of it ask for the same.
    pub fn same_cure(&self, other: &Said) -> bool {
        use Said::*;
        match (self, other) {
            (CapacitorVoltage(a), CapacitorVoltage(b)) => a.same_cure(b),
            (DiodeCurrent(a), DiodeCurrent(b)) => a.current == b.current,
            (DiodeReverse(a), DiodeReverse(b)) => a.cure == b.cure,
            (DiodeSurge(a), DiodeSurge(b)) => a.cure == b.cure,
            (FuseBreaking(a), FuseBreaking(b)) => a.short == b.short,
            (FuseInrush(a), FuseInrush(b)) => a.cure == b.cure,
            (FuseRating(a), FuseRating(b)) => a.same_cure(b),
            (FuseVoltage(a), FuseVoltage(b)) => a.same_cure(b),
            (LampCurrent(a), LampCurrent(b)) => a.cure == b.cure,
            (LampLife(a), LampLife(b)) => a.cure == b.cure,
            (LampVoltage(a), LampVoltage(b)) => a.volts == b.volts,
            (LedCurrent(a), LedCurrent(b)) => a.cure == b.cure,
            (NoLimiting(a), NoLimiting(b)) => a.same_cure(b),
            (ResistorPower(a), ResistorPower(b)) => a.cure == b.cure,
            (ResistorVoltage(a), ResistorVoltage(b)) => a.cure == b.cure,
            (Smoulder(a), Smoulder(b)) => a.cure == b.cure,
            (PsuRating(a), PsuRating(b)) => a.same_cure(b),
            (SwitchRating(a), SwitchRating(b)) | (WireRating(a), WireRating(b)) => a.same_cure(b),
            (TransformerRating(a), TransformerRating(b)) => a.same_cure(b),
            (VaristorRating(a), VaristorRating(b)) => a.same_cure(b),
            (WireProtection(a), WireProtection(b)) => a.same_cure(b),
            // These ask for one thing whatever they find.
            (FlashRate(_), FlashRate(_)) | (LampStrike(_), LampStrike(_)) | (WindingRating(_), WindingRating(_)) => {
                true
            }
            (Written { remedy: a, .. }, Written { remedy: b, .. }) => a == b,
            _ => self == other,
        }
    }
}

//! The volts across open fuses.

use super::contacts::{self, Contact};
use super::propose;
use super::words::{lasting, nominal_volts, show, to_nominal};
use crate::checks::{About, Case, Check, Draft, OWN_RATING};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};
use crate::jig::{Ends, Part, PartKind};
use crate::part::{Fuse, ThermalFuse};

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseVoltage,
    about: About {
        looks_at: "the volts that stand across an open fuse",
        limit: "its rated volts, compared with the nominal supply (its standard allows for the supply's tolerance)",
        rows: &["jig"],
        how: "on the mains the nominal supply; elsewhere the volts solved with the fuse open, brought to nominal supply",
        mend: "use a fuse rated for the supply: 250 V on 230 V mains",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Fuse(Fuse { across, voltage, .. }) = &part.kind else { continue };
        out.extend(volts(case, k, part, *across, *voltage));
    }
    let thermal = |kind: &PartKind| match kind {
        PartKind::ThermalFuse(ThermalFuse { voltage, .. }) => Some(Contact { volts: *voltage, amperes: None }),
        _ => None,
    };
    contacts::judge(case, CheckId::FuseVoltage, thermal, out);
}

fn volts(case: &Case, k: usize, part: &Part, across: Ends, voltage: Option<f64>) -> Option<Draft> {
    let stated = voltage?;
    let mains = across.iter().all(|n| case.is_mains(*n));
    let (value, found_in) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), None)
    } else {
        let s = lasting(case, k, Quantity::VoltageRms, Kind::SingleFault)?;
        (s.value * to_nominal(case), Some(s.at))
    };
    (value > stated * (1.0 + 1e-3)).then(|| {
        let d = case.about_part(CheckId::FuseVoltage, Signal::Warning, part, "voltage");
        let d = d.value("volts across the open fuse", value, "V").limit(stated, OWN_RATING);
        let d = match found_in {
            Some(at) => d.found_in(at),
            None => d.condition("mains nominal, the fuse open"),
        };
        d.says(
            format!(
                "{} stand across {} when it has blown, it is made for {}: the arc does not go out",
                show(value, "V"),
                part.name,
                show(stated, "V")
            ),
            "use a fuse rated for at least the nominal supply (250 V types serve 230 V)",
        )
        .proposes(propose::contact_volts(part, value))
    })
}

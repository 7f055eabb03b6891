//! How long glow lamps last at the current of the nominal supply: that is what they burn on for most of their hours.

use super::limiting;
use super::lookup::{lasting, reverse};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LampLife, LampLifeCure, Percent};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation, When};
use crate::jig::{Part, PartKind};
use crate::part::Neon;
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampLife,
    judges: &[of("neon-lamp", &["current"], &[At::Use])],
    about: About {
        looks_at: "how long a glow lamp lasts at its current",
        limit: "told when less than {bench.rule.lamp_life_told.multiple} of the printed life is left at the current of the nominal supply",
        rows: &["lamps.neon_lamp"],
        how: "life = rated life · (I / I design)^n with n = {lamps.neon_fact.life_vs_current_rounded.life_exponent}; on d.c. or behind a diode {lamps.neon_fact.life_on_dc.life_factor_dc_vs_ac_max} of that",
        mend: "raise the series resistance",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Neon(Neon { current: Some(design), lamp_type, .. }) = &part.kind
            && !limiting::is_bare(case, k)
            && lasting(case, k, Quantity::CurrentRms, Situation::Normal).is_some()
        {
            out.extend(life(case, k, part, *design, lamp_type.as_deref()));
        }
    }
}

fn life(case: &Case, k: usize, part: &Part, design: f64, lamp_type: Option<&str>) -> Option<Draft> {
    let now = case.nominal(k, Quantity::CurrentRms)?;
    let factor = (now / design).powf(standard::lamp::life_exponent().value);
    let one_way = reverse(case, k, Situation::Normal).zip(case.nominal(k, Quantity::VoltagePeak));
    let rectified = case.nominal(k, Quantity::CurrentMean).is_some_and(|m| m > 0.0)
        && one_way.is_some_and(|(r, v)| r.value < 0.5 * v);
    let dc = standard::lamp::life_share_on_dc();
    let factor = if rectified { factor * dc.value } else { factor };
    let least = standard::bench::lamp_life_told().value;
    (factor < least).then(|| {
        let rule = standard::lamp::life_exponent();
        let hours = lamp_type.and_then(standard::lamp::rated_life).map(|l| l.value / 3600.0);
        let said = LampLife {
            part: part.name.clone(),
            left: Percent::of(factor),
            hours: hours.map(|h| [h * factor, h]),
            current: Amount::new(now, "A"),
            design: Amount::new(design, "A"),
            one_way: rectified,
            cure: if now > design {
                LampLifeCure::Raise(Percent::of(now / design - 1.0))
            } else {
                LampLifeCure::Alternate
            },
        };
        case.about_part(CheckId::LampLife, Signal::Notice, part, "current")
            .value(Compared::CurrentRms, now, "A")
            .limit(design, &rule.source)
            .when(When::NominalSupply)
            .states(Said::LampLife(said))
            .proposes(propose::less_current(case, k, (factor / least).powf(1.0 / rule.value)))
    })
}

//! Insulation co-ordination: clearance, creepage, test voltages, bonding.

use super::row::{Limit, Row};
use super::unit::decimal;

table_file! { "insulation.toml" [category, bonding, solid, insulation_resistance]
    /// Rated impulse voltage.
    RatedImpulse in rated_impulse {
        line_to_neutral_to_v: f64, category_1_v: f64, category_2_v: f64, category_3_v: f64, category_4_v: f64,
    }
    /// Smallest clearance.
    Clearance in clearance_rows { impulse_kv: f64, pd1_mm: f64, pd2_mm: f64, pd3_mm: f64 }
    /// Rule for reinforced clearance.
    ClearanceRule in clearance_rule { impulse_factor: f64 }
    /// Clearance above 2000 m.
    AltitudeFactor in altitude_factor { altitude_m: f64, clearance_factor: f64 }
    /// Smallest creepage distance.
    Creepage in creepage_rows {
        working_rms_v: f64, board_pd1_mm: f64, board_pd2_mm: f64, pd1_mm: f64, pd2_mg1_mm: f64, pd2_mg2_mm: f64,
        pd2_mg3_mm: f64, pd3_mg1_mm: f64, pd3_mg2_mm: f64, pd3_mg3_mm: f64,
    }
    /// Rule for reinforced creepage.
    CreepageRule in creepage_rule { factor: f64 }
    /// Material group.
    MaterialGroup in material_group { group: String, cti_min_v: f64, cti_max_v: Option<f64> }
    /// Pollution degree.
    PollutionDegree in pollution_degree { degree: u32, meaning: String }
    /// The same distances in an equipment standard.
    Crosscheck in crosscheck {
        insulation: String, impulse_v: Option<f64>, clearance_mm: Option<f64>, working_rms_v: Option<f64>,
        creepage_mm: Option<f64>, line_to_neutral_to_v: Option<f64>, creepage_pd2_mm: Option<Vec<f64>>,
    }
    /// Electric-strength test.
    TestVoltage in test_voltage {
        rated_over_v: Option<f64>, rated_to_v: Option<f64>, working_peak_over_v: Option<f64>,
        working_peak_to_v: Option<f64>, impulse_v: Option<f64>, line_to_neutral_to_v: Option<f64>, basic_v: Option<f64>,
        supplementary_v: Option<f64>, reinforced_v: Option<f64>, reinforced_dc_v: Option<f64>,
        reinforced_peak_v: Option<f64>, basic_peak_v: Option<f64>, dc_over_ac_rms: Option<f64>,
        duration_s: Option<f64>,
    }
}

/// Grade of insulation (IEC 60664-1 and IEC 61140).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// For the working of the tool alone; protects nobody.
    Functional,
    /// Protects against electric shock while nothing is broken.
    Basic,
    /// Beside basic insulation, for when that fails.
    Supplementary,
    /// Basic and supplementary together.
    Double,
    /// One layer as good as double insulation.
    Reinforced,
}

impl Grade {
    /// Every grade, rising.
    pub(crate) const ALL: [Grade; 5] =
        [Grade::Functional, Grade::Basic, Grade::Supplementary, Grade::Double, Grade::Reinforced];

    /// The word of each, in the same order.
    pub(crate) const WORDS: [&'static str; 5] = {
        let (mut words, mut k) = ([""; 5], 0);
        while k < words.len() {
            words[k] = Grade::ALL[k].word();
            k += 1;
        }
        words
    };

    /// Its name in lower case, `basic`.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Grade::Functional => "functional",
            Grade::Basic => "basic",
            Grade::Supplementary => "supplementary",
            Grade::Double => "double",
            Grade::Reinforced => "reinforced",
        }
    }

    /// The grade of a name; `None` for any other word.
    pub(crate) fn from_word(word: &str) -> Option<Grade> {
        Grade::ALL.into_iter().find(|grade| grade.word() == word)
    }
}

/// Overvoltage category (IEC 60664-1). A tool with a plug is category II.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
// Equipment on a socket is of II; the rows for all four stand in the table.
#[allow(dead_code)]
pub(crate) enum Category {
    /// Behind something that limits overvoltages.
    I,
    /// Fed from the fixed installation: a tool with a plug.
    II,
    /// Part of the fixed installation.
    III,
    /// At the origin of the installation.
    IV,
}

/// Volts by which a step of the table, given in kilovolts, may miss the same step in volts: it is the rounding of the
/// multiplication, far below the volt to which any impulse voltage is stated.
const ROUNDING_V: f64 = 1e-6;

/// Rated impulse volts of mains of `volts` to earth; `None` above the table.
pub(crate) fn impulse(volts: f64, category: Category) -> Option<Limit> {
    let row = rated_impulse().iter().find(|r| volts <= r.line_to_neutral_to_v)?;
    let value = match category {
        Category::I => row.category_1_v,
        Category::II => row.category_2_v,
        Category::III => row.category_3_v,
        Category::IV => row.category_4_v,
    };
    Some(row.value(value, "V"))
}

/// Smallest clearance in metres for that impulse voltage at pollution degree 2, up to 2000 m; `None` above the table.
///
/// Reinforced and double insulation: the next step of the preferred impulse series, or 160 % of a voltage that is not
/// in the series. Between rows of the table the next higher row is taken, which is never too small.
pub(crate) fn clearance(impulse_volts: f64, grade: Grade) -> Option<Limit> {
    let volts = match grade {
        Grade::Reinforced | Grade::Double => next_impulse(impulse_volts),
        Grade::Functional | Grade::Basic | Grade::Supplementary => impulse_volts,
    };
    let row = clearance_rows().iter().find(|r| r.impulse_kv * 1e3 >= volts - ROUNDING_V)?;
    let mut limit = row.value(decimal(row.pd2_mm, -3), "m");
    if volts > impulse_volts {
        limit.source = format!("{}; {} for {} insulation", limit.source, clearance_rule()[0].cite(), grade.word());
    }
    Some(limit)
}

fn next_impulse(volts: f64) -> f64 {
    // The preferred series is the impulse voltages of the rated-impulse table, in order.
    let mut series: Vec<f64> =
        rated_impulse().iter().flat_map(|r| [r.category_1_v, r.category_2_v, r.category_3_v, r.category_4_v]).collect();
    series.sort_by(f64::total_cmp);
    let after = |v: f64| series.iter().copied().find(|s| *s > v);
    let raised = volts * clearance_rule()[0].impulse_factor;
    match series.iter().copied().find(|s| *s >= volts) {
        Some(step) if step == volts => after(step).unwrap_or(raised),
        // What is enough for a higher step of the series is enough below it.
        Some(step) => after(step).map_or(raised, |next| next.min(raised)),
        None => raised,
    }
}

/// Smallest creepage distance in metres for that working voltage (r.m.s.) at pollution degree 2 with material group
/// III (any plastic or board that is not known to be better); `None` above the table.
///
/// Between two rows linearly, as the table allows; reinforced and double insulation twice the basic value.
pub(crate) fn creepage(working_rms: f64, grade: Grade) -> Option<Limit> {
    let rows = creepage_rows();
    let above = rows.iter().position(|r| r.working_rms_v >= working_rms)?;
    let (high, low) = (&rows[above], &rows[above.saturating_sub(1)]);
    let span = high.working_rms_v - low.working_rms_v;
    let share = if span > 0.0 { (working_rms - low.working_rms_v) / span } else { 1.0 };
    let basic = low.pd2_mg3_mm + share * (high.pd2_mg3_mm - low.pd2_mg3_mm);
    let factor = match grade {
        Grade::Reinforced | Grade::Double => creepage_rule()[0].factor,
        Grade::Functional | Grade::Basic | Grade::Supplementary => 1.0,
    };
    let mut limit = high.value(decimal(basic * factor, -3), "m");
    if factor > 1.0 {
        limit.source = format!("{}; {} for {} insulation", limit.source, creepage_rule()[0].cite(), grade.word());
    }
    Some(limit)
}

/// Clearance and creepage in metres that IEC 61010-1 asks of mains circuits of `volts` line to neutral (category II,
/// pollution degree 2, material group III); reinforced and double insulation twice. `None` above 300 V.
pub(crate) fn mains_distances(volts: f64, grade: Grade) -> Option<(Limit, Limit)> {
    let rows = crosscheck().iter().filter(|r| r.creepage_pd2_mm.is_some());
    let row = rows.into_iter().find(|r| r.line_to_neutral_to_v.is_some_and(|to| volts <= to))?;
    let factor = if matches!(grade, Grade::Reinforced | Grade::Double) { creepage_rule()[0].factor } else { 1.0 };
    let creep = *row.creepage_pd2_mm.as_ref()?.last()?;
    Some((row.value(decimal(row.clearance_mm? * factor, -3), "m"), row.value(decimal(creep * factor, -3), "m")))
}

//! Small mains transformers: what the size of one says about its copper and its iron.

use super::row::{Limit, Row, find};

table_file! { "transformers.toml" [rule]
    /// A transformer of one size.
    Size in size {
        core: String, rated_va: f64, regulation_percent: [f64; 2], no_load_current_percent: [f64; 2],
        iron_loss_w: [f64; 2],
    }
    /// What the iron of one build does.
    Iron in iron {
        core: String, up_to_va: Option<f64>, knee_over_rated_peak: [f64; 2], remanence_over_peak: [f64; 2],
        saturated_reactance_over_copper: f64,
    }
}

/// How the iron of a transformer is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CoreBuild {
    /// Stacked laminations.
    Laminated,
    /// A wound ring.
    Toroid,
}

impl CoreBuild {
    /// The words of the file format.
    pub(crate) const WORDS: [&'static str; 2] = ["laminated", "toroid"];

    /// The build of that word.
    pub(crate) fn of_word(word: &str) -> Option<CoreBuild> {
        [CoreBuild::Laminated, CoreBuild::Toroid].into_iter().find(|b| b.word() == word)
    }

    /// Its word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            CoreBuild::Laminated => Self::WORDS[0],
            CoreBuild::Toroid => Self::WORDS[1],
        }
    }
}

/// What is usual for a transformer of one size. Plain numbers are fractions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Usual {
    /// Rise of the volts from full load to none, over those at full load.
    pub regulation: Limit,
    /// The least of the range that it is the middle of.
    pub least_regulation: Limit,
    /// Primary current without load over the rated one.
    pub no_load_current: Limit,
    /// Watts that the iron turns to heat at rated volts.
    pub iron_loss: Limit,
    /// Flux at which the iron saturates over its crest at rated volts.
    pub knee: Limit,
    /// Flux that may stay behind over that crest: the most.
    pub remanence: Limit,
    /// Reactance of the primary beyond the knee over its resistance.
    pub saturated: Limit,
}

/// What is usual for so many volt-amperes: the middle of each range, between two sizes by the logarithm of the volt-amperes,
/// outside the table as at its end.
pub(crate) fn usual(core: CoreBuild, volt_amperes: f64) -> Usual {
    let mut sizes: Vec<&Size> = size().iter().filter(|s| s.core == core.word()).collect();
    sizes.sort_by(|a, b| a.rated_va.total_cmp(&b.rated_va));
    let tested = "transformers.toml: every build has its rows, which is tested";
    let (last, first) = (*sizes.last().expect(tested), sizes[0]);
    let above = sizes.iter().position(|s| s.rated_va >= volt_amperes);
    let (low, high) = match above {
        Some(0) => (first, first),
        Some(k) => (sizes[k - 1], sizes[k]),
        None => (last, last),
    };
    let span = (high.rated_va / low.rated_va).ln();
    let part = if span > 0.0 { (volt_amperes / low.rated_va).ln() / span } else { 0.0 };
    let middle = |range: [f64; 2]| 0.5 * (range[0] + range[1]);
    let between = |of: &dyn Fn(&Size) -> f64, unit| low.value((1.0 - part) * of(low) + part * of(high), unit);
    let percent = |x: f64| x / 100.0;
    let mut loss = between(&|s| middle(s.iron_loss_w) / s.rated_va, "W");
    loss.value *= volt_amperes;
    let iron = iron().iter().find(|i| i.core == core.word() && i.up_to_va.is_none_or(|va| volt_amperes <= va));
    let iron = iron.expect(tested);
    Usual {
        regulation: between(&|s| percent(middle(s.regulation_percent)), ""),
        least_regulation: between(&|s| percent(s.regulation_percent[0]), ""),
        no_load_current: between(&|s| percent(middle(s.no_load_current_percent)), ""),
        iron_loss: loss,
        knee: iron.value(middle(iron.knee_over_rated_peak), ""),
        remanence: iron.value(iron.remanence_over_peak[1], ""),
        saturated: iron.value(iron.saturated_reactance_over_copper, ""),
    }
}

/// Volts that a transformer is to bear for ever, over its rated ones.
pub(crate) fn bears() -> Limit {
    let tested = "transformers.toml: bears_highest_mains is tested";
    let row = find(rule(), "bears_highest_mains").expect(tested);
    row.value(row.number("volts_ratio").expect(tested), "")
}

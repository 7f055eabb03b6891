//! Words of resistor-power.

use super::Known;
use super::finding::NONE_NEEDED;
use crate::finding::said::{
    Ending, ResistorCure, ResistorFate, ResistorLoad, ResistorPower, ResistorSize, ResistorSizes,
};

pub(super) fn words(known: &Known, s: &ResistorPower) -> (String, String) {
    (message(known, &s.part, &s.load), remedy(&s.cure))
}

fn message(known: &Known, part: &str, load: &ResistorLoad) -> String {
    match load {
        ResistorLoad::Over { under, watts, ends, allowed, fate } => {
            let long = match ends {
                Ending::Never => " without end".into(),
                Ending::Itself(within) => format!(" for up to {within} until it opens"),
                Ending::Device(by, within) => format!(" for up to {within} until {} opens", known.device(*by)),
            };
            let allowed = match allowed {
                None => "and the box gets so hot that it may take nothing".into(),
                Some((limit, times)) => format!("{times:.1} times the {limit} it may take in this box"),
            };
            let fate = match fate {
                ResistorFate::OpensAsMade => "it opens, as a fusible part does",
                ResistorFate::Glows => "it glows and can light what is near it",
                ResistorFate::FailsCold => "it is built to fail without flame, but it fails",
                ResistorFate::StaysHot => "it does not burn, but it does not open either, and chars what lies near it",
                ResistorFate::Chars => "it chars and in time fails",
            };
            format!("{} {part} takes {watts}{long}, {allowed}: {fate}", known.under(*under))
        }
        ResistorLoad::Pulse { energy, rated, allowed } => {
            format!("One pulse puts {energy} into {part}; a part of {rated} stands {allowed} for a short time")
        }
        ResistorLoad::OverHalf { watts, allowed } => format!(
            "{part} takes {watts} in normal use, more than half of the {allowed} it may take in this box: inside its rating, past \
             common practice, and hot"
        ),
    }
}

fn remedy(cure: &ResistorCure) -> String {
    match cure {
        ResistorCure::NoneNeeded => NONE_NEEDED.into(),
        ResistorCure::CoolerBox => {
            "bring less heat into the box, or use a larger or ventilated one; then look at this again".into()
        }
        ResistorCure::ForPulses(watts) => {
            format!("use at least {watts}, a wire-wound type that stands pulses, or share it between more in series")
        }
        ResistorCure::Sizes(sizes) => of_sizes(sizes),
    }
}

fn of_sizes(ResistorSizes { one, series, flameproof }: &ResistorSizes) -> String {
    let size = |ResistorSize { watts, volts }: &ResistorSize| match volts {
        Some(volts) => format!("{watts} {volts}"),
        None => watts.to_string(),
    };
    let one = one.as_ref().map(|s| format!("use a part of {}", size(s)));
    let series =
        series.as_ref().map(|(n, each, s)| format!("{} of {each} {} in series", super::finding::count(*n), size(s)));
    let ways: Vec<String> = one.into_iter().chain(series).collect();
    match (ways.is_empty(), flameproof) {
        (true, _) => "use a wire-wound power resistor of several times these watts, or lower the current".into(),
        (false, true) => format!("{}, or a flame-proof fusible type", ways.join(", or ")),
        (false, false) => ways.join(", or "),
    }
}

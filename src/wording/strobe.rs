//! What to mind when a lamp is used as a strobe, in sentences.

/// A thing to mind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Minded {
    /// Flashes at a rate at which some people have seizures: hertz, and the band.
    InBand { rate: f64, band: [f64; 2] },
    /// Flashes outside of the band.
    AboveBand { rate: f64, band: [f64; 2] },
    /// Moving parts seem to stand still.
    SeemsStill,
    /// The mains wanders by such a share on a generator.
    Wanders { share: f64 },
    /// A lamp that is smoothed does not flash.
    Smoothed,
    /// The lamp does not follow the mains.
    OwnPace,
    /// Every other flash is weaker, by such a share.
    Uneven { share: f64 },
    /// It does not flash so on the lowest mains.
    NotOnLow,
    /// Only so much is left of the contrast of the bars.
    Blurred { left: f64 },
}

/// In words.
pub(crate) fn minded(what: &Minded) -> String {
    match what {
        Minded::InBand { rate, band: [from, to] } => format!(
            "{} flashes a second lie where flashing light can bring on a seizure ({from} to {to} a second): ask everybody in the room \
             before it is switched on, and light the ring on both half-waves of the mains",
            number(*rate)
        ),
        Minded::AboveBand { rate, band: [from, to] } => format!(
            "{} flashes a second lie outside of what is known to bring on seizures ({from} to {to} a second). A lamp that fails or a \
             loose contact flickers slowly: switch it off then",
            number(*rate)
        ),
        Minded::SeemsStill => "Under this light whatever turns or runs can seem to stand still. Keep ordinary light on as well, \
                               and never reach for a part because it seems to stand"
            .into(),
        Minded::Wanders { share } => format!(
            "The ring is as true as the frequency of the mains. On a generator or an inverter it lies by {:.0} % and more: read \
             nothing from it there",
            share / 1e-2
        ),
        Minded::Smoothed => {
            "An LED lamp with a switching supply, or with a capacitor across its LEDs, hardly flashes: under it no ring stands \
             still. A glow lamp, or LEDs fed straight from a rectifier, flash"
                .into()
        }
        Minded::OwnPace => "This lamp flashes at a pace of its own, that of its parts and of the volts, and not of the mains: \
                            its ring tells nothing of a speed"
            .into(),
        Minded::Uneven { share } => format!(
            "Every other flash is {:.0} % weaker: a ring of half the bars seems to stand still as well, faintly",
            share / 1e-2
        ),
        Minded::NotOnLow => "On the lowest mains it does not light as it does on nominal mains: there the ring is not seen, or \
                             shows another speed"
            .into(),
        Minded::Blurred { left } => format!(
            "The flashes are long: {:.0} % of the contrast of the bars is left. Hold the lamp close and the room dim; more LEDs or a \
             zener diode in series, or a glow lamp that strikes at more volts, make shorter flashes",
            left / 1e-2
        ),
    }
}

/// Three figures, without noughts behind them.
fn number(x: f64) -> String {
    crate::quantity::format_unit(x, "")
}

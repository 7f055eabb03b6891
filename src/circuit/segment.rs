//! The straight segments of which the characteristics of switching devices are made, and the ways from one to another.

use std::hash::{Hash, Hasher};

use super::netlist::Device;

/// The segment of its characteristic on which a switching device works.
#[repr(u8)]
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Segment {
    /// Below every knee; a lamp is dark.
    Off,
    /// Beyond the knee for `v > 0`; a lamp is lit that way.
    Up,
    /// Beyond the knee for `v < 0`: breakdown of a diode; a lamp is lit that way.
    Down,
    /// A lamp kept lit below its extinction current, `v > 0`.
    HeldUp,
    /// The same for `v < 0`.
    HeldDown,
}

/// Segments that go into a hash at once: more than most circuits have devices.
const AT_ONCE: usize = 64;

impl Hash for Segment {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        hasher.write_u8(*self as u8);
    }
    /// As bytes, many at once: a hash takes them much faster than one by one.
    fn hash_slice<H: Hasher>(data: &[Segment], hasher: &mut H) {
        let mut bytes = [0; AT_ONCE];
        for part in data.chunks(AT_ONCE) {
            bytes.iter_mut().zip(part).for_each(|(byte, s)| *byte = *s as u8);
            hasher.write(&bytes[..part.len()]);
        }
    }
}

impl Segment {
    /// Direction of the current: 1 up, -1 down, 0 when off.
    pub(super) fn sign(self) -> f64 {
        match self {
            Segment::Off => 0.0,
            Segment::Up | Segment::HeldUp => 1.0,
            Segment::Down | Segment::HeldDown => -1.0,
        }
    }

    /// Whether a lamp on it is kept lit below its extinction current.
    pub(super) fn is_held(self) -> bool {
        matches!(self, Segment::HeldUp | Segment::HeldDown)
    }

    /// The same way round, held.
    pub(super) fn held(self) -> Segment {
        match self {
            Segment::Off => Segment::Off,
            Segment::Up | Segment::HeldUp => Segment::HeldUp,
            Segment::Down | Segment::HeldDown => Segment::HeldDown,
        }
    }

    /// The same way round, not held.
    fn released(self) -> Segment {
        match self {
            Segment::Off => Segment::Off,
            Segment::Up | Segment::HeldUp => Segment::Up,
            Segment::Down | Segment::HeldDown => Segment::Down,
        }
    }

    /// The characteristic on this segment as `i = g v + j`: siemens and amperes. Zero for what does not switch.
    pub(super) fn line(self, device: &Device) -> (f64, f64) {
        match *device {
            Device::Diode { forward, on_ohms, off_ohms, breakdown } => match self {
                Segment::Off => leak(off_ohms),
                Segment::Up | Segment::HeldUp => beyond(forward, on_ohms, off_ohms),
                Segment::Down | Segment::HeldDown => beyond(-breakdown.unwrap_or(f64::INFINITY), on_ohms, off_ohms),
            },
            Device::Clamp { up, down, on_ohms, off_ohms } => match self {
                Segment::Off => leak(off_ohms),
                Segment::Up | Segment::HeldUp => beyond(up, on_ohms, off_ohms),
                Segment::Down | Segment::HeldDown => beyond(-down, on_ohms, off_ohms),
            },
            Device::Neon { maintain, lit_ohms, off_ohms, .. } => match self {
                Segment::Off => leak(off_ohms),
                Segment::Up | Segment::Down | Segment::HeldUp | Segment::HeldDown => {
                    (1.0 / lit_ohms, -self.sign() * maintain / lit_ohms)
                }
            },
            Device::Source { .. }
            | Device::Resistor { .. }
            | Device::Meter
            | Device::Filament { .. }
            | Device::Capacitor { .. }
            | Device::Inductor { .. } => (0.0, 0.0),
        }
    }

    /// Hands the ways in which a device leaves this segment to `put`: two at most, none for what does not switch.
    #[inline]
    pub(super) fn exits(self, device: &Device, mut put: impl FnMut(Exit)) {
        match *device {
            Device::Diode { forward, on_ohms, off_ohms, breakdown } => match self {
                Segment::Off => {
                    put(Exit::volts(Segment::Up, -1.0, forward));
                    if let Some(knee) = breakdown {
                        put(Exit::volts(Segment::Down, 1.0, knee));
                    }
                }
                // On until the current ends, a few nanovolts of hysteresis below the knee: a lamp in series with the
                // diode then goes out with it, not later on the diode's leakage.
                Segment::Up | Segment::HeldUp => put(Exit::amperes(Segment::Off, on_ohms, 0.0)),
                Segment::Down | Segment::HeldDown => {
                    let knee = breakdown.unwrap_or(0.0);
                    put(Exit::amperes(Segment::Off, -on_ohms, -on_ohms * kept(knee, off_ohms)));
                }
            },
            Device::Clamp { up, down, on_ohms, off_ohms } => match self {
                Segment::Off => {
                    put(Exit::volts(Segment::Up, -1.0, up));
                    put(Exit::volts(Segment::Down, 1.0, down));
                }
                Segment::Up | Segment::HeldUp => {
                    put(Exit::amperes(Segment::Off, on_ohms, -on_ohms * kept(up, off_ohms)));
                }
                Segment::Down | Segment::HeldDown => {
                    put(Exit::amperes(Segment::Off, -on_ohms, -on_ohms * kept(down, off_ohms)));
                }
            },
            Device::Neon { strike, lit_ohms, extinction, .. } => {
                let (along, out) = (self.sign() * lit_ohms, lit_ohms * extinction);
                match self {
                    Segment::Off => {
                        put(Exit::volts(Segment::Up, -1.0, strike));
                        put(Exit::volts(Segment::Down, 1.0, strike));
                    }
                    Segment::Up | Segment::Down => put(Exit::amperes(Segment::Off, along, -out)),
                    // Out where the current ends, an ordinary lit lamp above the extinction current.
                    Segment::HeldUp | Segment::HeldDown => {
                        put(Exit::amperes(Segment::Off, along, 0.0));
                        put(Exit::amperes(self.released(), -along, out));
                    }
                }
            }
            Device::Source { .. }
            | Device::Resistor { .. }
            | Device::Meter
            | Device::Filament { .. }
            | Device::Capacitor { .. }
            | Device::Inductor { .. } => {}
        }
    }
}

/// Hands the ways in which a core leaves a segment to `put`: out of saturation, or into it at a magnetising current of
/// `knee` amperes either way. They watch that current; `reactance` (ohms) makes volts of it.
pub(super) fn core_exits(segment: Segment, knee: f64, reactance: f64, mut put: impl FnMut(Exit)) {
    match segment {
        Segment::Off => {
            put(Exit::amperes(Segment::Up, -reactance, reactance * knee));
            put(Exit::amperes(Segment::Down, reactance, reactance * knee));
        }
        Segment::Up | Segment::HeldUp => put(Exit::amperes(Segment::Off, reactance, -reactance * knee)),
        Segment::Down | Segment::HeldDown => put(Exit::amperes(Segment::Off, -reactance, -reactance * knee)),
    }
}

/// Amperes down to which a device stays beyond a knee: half of what it leaks there, nanovolts below it. Where a coil drives
/// the current, what is left of it then stands below the knee whatever the rounding, and the device stays off.
fn kept(knee: f64, off_ohms: f64) -> f64 {
    0.5 * knee / off_ohms
}

/// The line below a knee.
fn leak(off_ohms: f64) -> (f64, f64) {
    (1.0 / off_ohms, 0.0)
}

/// The line beyond a knee at so many volts, which it leaves continuously.
fn beyond(knee: f64, on_ohms: f64, off_ohms: f64) -> (f64, f64) {
    (1.0 / on_ohms, knee / off_ohms - knee / on_ohms)
}

/// One way to leave a segment: `factor * watched + offset`, in volts, is not negative while the device stays on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exit {
    /// Where it leads.
    pub to: Segment,
    pub watched: Watched,
    pub factor: f64,
    pub offset: f64,
}

/// What an exit looks at.
#[derive(Debug, Clone, Copy)]
pub(super) enum Watched {
    Volts,
    Amperes,
}

impl Exit {
    fn volts(to: Segment, factor: f64, offset: f64) -> Exit {
        Exit { to, watched: Watched::Volts, factor, offset }
    }
    fn amperes(to: Segment, factor: f64, offset: f64) -> Exit {
        Exit { to, watched: Watched::Amperes, factor, offset }
    }
}

//! What a strobe lamp shows, as facts. Keys follow the JSON of `strobe`: turns a minute, seconds, per cent.

use super::{Signal, Verdict};
use serde::Serialize;

/// A strobe lamp in use.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Strobe {
    /// What is said to be used.
    pub lamp: StrobeLamp,
    /// Flashes a second as solved; none where the lamp does not flash.
    pub flashes_per_second: Option<f64>,
    /// How long a flash lasts, from where it comes on to where it goes out; none where nothing is known of the lamp.
    pub lit_seconds: Option<f64>,
    /// Why it does not flash.
    pub dark: Option<NoFlash>,
    /// The light, where a lamp was solved.
    pub light: Option<StrobeLight>,
    /// A ring for every speed.
    pub rings: Vec<StrobeRing>,
    /// What a drifting ring means.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drift: Option<Drift>,
    /// What one should see at a wanted speed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seen: Option<SeenAt>,
    /// Speeds at which a ring seems to stand as well, against its own.
    pub ghosts: Vec<Ghost>,
    /// How far the frequency of the mains wanders, narrow bands first.
    pub mains_frequency: Vec<FrequencyBand>,
    /// The ring that was drawn, where one was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drawing: Option<Drawn>,
    /// How far a speed may be off.
    pub tolerances: Vec<SpeedTolerance>,
    /// What to mind.
    pub warnings: Vec<StrobeWarning>,
    /// What the check of the jig says, where there is a jig.
    pub check: Option<CheckOfStrobe>,
}

/// The lamp.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrobeLamp {
    /// Name of the jig; none where there is no jig.
    pub name: Option<String>,
    /// Its file.
    pub file: Option<String>,
    /// The mains, in words; none where only flashes are stated.
    pub supply: Option<String>,
    /// Its hertz.
    pub frequency_hz: Option<f64>,
    /// Parts that give the light.
    pub parts: Vec<String>,
    /// Lamps that only tell that the tool is on.
    pub pilots: Vec<String>,
}

/// Why a lamp does not flash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "why")]
pub enum NoFlash {
    /// It never lights.
    Dark,
    /// Its light is steady: it is smoothed.
    Steady {
        /// Mean over crest of the light, per cent.
        filled_percent: u32,
    },
    /// The condition could not be solved.
    Unsolved {
        /// Why, in words.
        reason: String,
    },
}

/// The light of a lamp on nominal mains.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrobeLight {
    /// What sets the pace.
    pub pace: Pace,
    /// Flashes in a cycle of the mains.
    pub flashes_per_cycle: f64,
    /// How long a flash is above half its brightest, seconds.
    pub bright_seconds: Option<f64>,
    /// Flashes a second at the lowest and the highest volts of the mains; none where it does not flash then.
    pub flashes_at_low_and_high: [Option<f64>; 2],
    /// Seconds lit at the lowest and the highest volts.
    pub lit_at_low_and_high: [Option<f64>; 2],
    /// What is left of the contrast of black bars on white, as wide as their gaps, moving one bar a flash: 1 is all of it.
    pub contrast: Option<f64>,
    /// How much weaker every other flash is: 0 where they are alike.
    pub uneven: f64,
}

/// What sets the pace of the flashes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pace {
    /// The mains.
    Mains,
    /// The lamp's own parts.
    Own,
}

/// A ring for a speed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrobeRing {
    /// The speed it is for, turns a minute.
    pub rpm: f64,
    /// Its name, such as "33 1/3".
    pub label: String,
    /// Bars.
    pub bars: u32,
    /// Speed at which it stands still.
    pub still_at_rpm: f64,
    /// How far that is off the speed it is for, per cent of it.
    pub off_percent: f64,
    /// Rings of a few bars fewer and more.
    pub neighbours: Vec<Neighbour>,
    /// How far a bar moves while the lamp is lit, in widths of a bar; none where nothing is known of the lamp.
    pub smear_of_bar: Option<f64>,
    /// Whether its bars can be seen by this light; none where nothing is known of the lamp.
    pub seen: Option<bool>,
    /// What is left of the contrast of its bars; 1 is all of it.
    pub contrast: Option<f64>,
    /// Bars that go by from flash to flash.
    pub bars_per_flash: u32,
    /// The ghost of most bars that could be taken for it.
    pub ghost: Option<GhostOfRing>,
    /// Whether it is the ring that was stated, and not worked out.
    pub stated: bool,
}

/// A ring beside it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Neighbour {
    /// Bars.
    pub bars: u32,
    /// How far the speed at which it stands still is off the speed the ring is for, per cent of it.
    pub percent: f64,
    /// That speed, turns a minute.
    pub still_at_rpm: f64,
}

/// A speed at which a ring seems to stand still as well.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ghost {
    /// How many times the bars it seems to have.
    pub order: u32,
    /// Speed against that of the ring.
    pub of_speed: f64,
    /// The same as a fraction: so many over `order`.
    pub turns: u32,
    /// Its contrast, as that of the ring itself is told.
    pub contrast: f64,
}

/// A ghost of a ring: many times its bars, standing still at that part of its speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GhostOfRing {
    /// How many times the bars it seems to have.
    pub order: u32,
    /// Bars it seems to have.
    pub bars: u32,
    /// Speed, turns a minute.
    pub at_rpm: f64,
    /// Its contrast.
    pub contrast: f64,
}

/// Which way bars go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Way {
    /// With the turning: fast.
    Forward,
    /// Against it: slow.
    Backward,
    /// Not at all.
    Still,
}

/// A ring that drifts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drift {
    /// Bars that were counted.
    pub bars: f64,
    /// In so many seconds.
    pub seconds: f64,
    /// Which way.
    pub direction: Way,
    /// The same in bars a minute, forward above zero.
    pub bars_per_minute: f64,
    /// How far the speed is off that at which the ring stands still, per cent of it.
    pub percent: f64,
    /// How well that is known from the count and the watch, per cent, either way.
    pub uncertainty_percent: f64,
    /// What the frequency of the mains adds as a rule, per cent, either way; none where no band is published.
    pub mains_percent: Option<f64>,
    /// What it means on every ring.
    pub speeds: Vec<DriftOn>,
}

/// What a drift means on a ring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DriftOn {
    /// The speed the ring is for.
    pub rpm: f64,
    /// Its name.
    pub label: String,
    /// Bars of the ring.
    pub bars: u32,
    /// How fast it turns.
    pub turns_at_rpm: f64,
    /// How well that is known from the count and the watch, turns a minute, either way.
    pub uncertainty_rpm: f64,
    /// How far that is off the speed the ring is for, per cent of it.
    pub off_percent: f64,
}

/// What one should see at a wanted speed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeenAt {
    /// The wanted speed.
    pub rpm: f64,
    /// The ring on which it is seen best: its speed, name and bars.
    pub ring_rpm: f64,
    /// Its name.
    pub label: String,
    /// Its bars.
    pub bars: u32,
    /// How far the wanted speed is off that at which the ring stands still, per cent of it.
    pub percent: f64,
    /// Bars a minute that go by.
    pub bars_per_minute: f64,
    /// Which way.
    pub direction: Way,
    /// The ring that stands still nearest to the wanted speed.
    pub still: Neighbour,
}

/// How far the frequency of a mains wanders.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FrequencyBand {
    /// Where, and how much of the time.
    pub place: String,
    /// Per cent either way: as far as the speed is off that a ring shows.
    pub percent: f64,
    /// Whether it is what counts as a rule.
    pub usual: bool,
    /// Where it is published.
    pub source: String,
}

/// A ring that was drawn to print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drawn {
    /// The file, once it is written.
    pub file: Option<String>,
    /// The sheet of paper.
    pub paper: String,
    /// Whether it is a band for a rim, and not a disc.
    pub band: bool,
    /// Diameter of the disc or the rim, millimetres.
    pub outer_mm: f64,
    /// Diameter of the hole of a disc, millimetres.
    pub hole_mm: Option<f64>,
    /// Its rings from the rim inwards, of a band from its upper edge.
    pub rings: Vec<DrawnRing>,
}

/// One ring of bars of a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawnRing {
    /// The speed it belongs to, by name.
    pub label: String,
    /// Bars.
    pub bars: u32,
    /// Speed at which it stands still.
    pub still_at_rpm: f64,
    /// How far that is off the speed it belongs to, per cent.
    pub percent: f64,
    /// Whether it is the ring of that speed, and not one beside it.
    pub own: bool,
    /// Where it begins, from the centre or from the upper edge, millimetres.
    pub from_mm: f64,
    /// Where it ends.
    pub to_mm: f64,
}

/// How far a speed may be off.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpeedTolerance {
    /// Of what.
    pub of: String,
    /// Per cent fast.
    pub plus_percent: f64,
    /// Per cent slow.
    pub minus_percent: f64,
    /// Bars a minute that go by then, forward and backward.
    pub bars_per_minute: [f64; 2],
    /// Where it is published.
    pub source: String,
}

/// What to mind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrobeWarning {
    /// Signal word.
    pub signal: Signal,
    /// In words.
    pub text: String,
    /// Where it is published.
    pub source: String,
}

/// What the check of the jig says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CheckOfStrobe {
    /// Its verdict.
    pub verdict: Verdict,
    /// Whether it was finished.
    pub complete: bool,
    /// Findings of each signal word, gravest first; of those there are.
    pub findings: Vec<SignalCount>,
}

/// How many findings of a signal word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct SignalCount {
    /// The word.
    pub signal: Signal,
    /// How many.
    pub count: usize,
}

impl Strobe {
    /// Exit status of the program: 3 where the lamp or its check was not solved, else 1 where the lamp is not to be plugged in,
    /// does not flash or flashes where it harms, else 0.
    pub fn exit_status(&self) -> u8 {
        let unsolved = matches!(self.dark, Some(NoFlash::Unsolved { .. }));
        let check = self.check.as_ref();
        if unsolved || check.is_some_and(|c| !c.complete) {
            return 3;
        }
        let stop = check.is_some_and(|c| c.verdict == Verdict::Stop);
        let harms = self.warnings.iter().any(|w| w.signal <= Signal::Warning);
        u8::from(stop || self.dark.is_some() || harms)
    }
}

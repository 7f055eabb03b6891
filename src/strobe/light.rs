//! The light of all lamps together over a period: how often it flashes, how long, how sharp the bars are that are seen by it.

use crate::finding::strobe::Pace;
use crate::standard::strobe::seen;
use crate::survey::records;
use std::f64::consts::{FRAC_2_PI, TAU};

/// Harmonics of the flashes that are kept: what is finer adds a thousandth to a picture.
const HARMONICS: usize = 64;
/// Points of a pitch at which a picture is looked at.
const PICTURE: usize = 128;

/// Light that repeats.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Light {
    /// What sets the pace.
    pub pace: Pace,
    /// Flashes a second; 0 where it is dark or steady.
    pub flashes: f64,
    /// Seconds a flash is lit.
    pub lit: Option<f64>,
    /// Seconds a flash is above half its brightest; `None` where the light is not known instant by instant.
    pub bright: Option<f64>,
    /// Mean amperes of a lamp.
    pub mean: f64,
    /// Crest of them; 0 where the light is not known instant by instant.
    pub crest: f64,
    /// Mean over crest.
    pub filled: f64,
    /// How much weaker the weakest flash is than the strongest, as a share.
    pub uneven: f64,
    /// Cosine and sine parts at each multiple of the flash rate from 1, against the mean.
    spectrum: Vec<[f64; 2]>,
}

impl Light {
    /// Of the sum of waves over a period of so many seconds; `lit` is the part of the period that anything is lit.
    pub(super) fn of_wave(wave: &[f64], period: f64, lit: f64) -> Light {
        let n = wave.len().max(1) as f64;
        let mean = wave.iter().sum::<f64>() / n;
        let crest = wave.iter().copied().fold(0.0, f64::max);
        let least = wave.iter().copied().fold(crest, f64::min);
        let rises = rises(wave, least + seen("flash", "swing_fraction").value * (crest - least));
        let flashes = if crest > 0.0 { rises.len() } else { 0 };
        let seconds = |share: f64| (flashes > 0).then(|| share * period / flashes as f64);
        Light {
            pace: Pace::Mains,
            flashes: flashes as f64 / period,
            lit: seconds(lit),
            bright: seconds(above_half(wave, crest / 2.0)),
            mean,
            crest,
            filled: if crest > 0.0 { mean / crest } else { 0.0 },
            uneven: uneven(wave, &rises),
            spectrum: spectrum(wave, flashes, mean),
        }
    }

    /// Of a lamp that flashes at a pace of its own.
    pub(super) fn of_own_pace(light: &records::Light, mean: f64) -> Light {
        let flashes = light.flashes_per_second;
        let lit = (flashes > 0.0).then(|| light.lit_fraction / flashes);
        let (pace, spectrum) = (Pace::Own, vec![]);
        Light { pace, flashes, lit, bright: None, mean, crest: 0.0, filled: 0.0, uneven: 0.0, spectrum }
    }

    /// What is left of the contrast of black bars, as wide as their gaps, at `turns / order` of the speed at which they move on
    /// by one a flash: (light - dark) / (light + dark) of the picture, that then has `order` times the bars. `None` where the
    /// light is not known instant by instant.
    pub(crate) fn contrast(&self, turns: usize, order: usize) -> Option<f64> {
        if self.spectrum.is_empty() {
            return None;
        }
        // Bars as wide as their gaps have no even harmonics.
        if order.is_multiple_of(2) {
            return Some(0.0);
        }
        let parts: Vec<(f64, f64, [f64; 2])> = (1..)
            .step_by(2)
            .take_while(|q| q * turns <= self.spectrum.len())
            .map(|q| {
                let bar = (q * order) as f64;
                let sign = if (q * order / 2).is_multiple_of(2) { 1.0 } else { -1.0 };
                (q as f64, sign * FRAC_2_PI / bar, self.spectrum[q * turns - 1])
            })
            .collect();
        let picture = (0..PICTURE).map(|k| {
            let x = TAU * k as f64 / PICTURE as f64;
            let part = |(q, weight, [cosine, sine]): &(f64, f64, [f64; 2])| {
                let (s, c) = (q * x).sin_cos();
                weight * (cosine * c + sine * s)
            };
            0.5 + parts.iter().map(part).sum::<f64>()
        });
        let (low, high) = picture.fold((f64::INFINITY, 0.0_f64), |(l, h), y| (l.min(y), h.max(y)));
        Some(((high - low.max(0.0)) / (high + low.max(0.0))).clamp(0.0, 1.0))
    }
}

/// Places at which a wave that repeats rises past a level.
fn rises(wave: &[f64], level: f64) -> Vec<usize> {
    let before = |k: usize| wave[if k == 0 { wave.len() - 1 } else { k - 1 }];
    (0..wave.len()).filter(|k| wave[*k] > level && before(*k) <= level).collect()
}

/// Part of the period a wave is above a level, straight between its points.
fn above_half(wave: &[f64], level: f64) -> f64 {
    let step = |k: usize| {
        let (a, b) = (wave[k], wave[(k + 1) % wave.len()]);
        let (low, high) = (a.min(b), a.max(b));
        if low >= level {
            1.0
        } else if high > level {
            (high - level) / (high - low)
        } else {
            0.0
        }
    };
    (0..wave.len()).map(step).sum::<f64>() / wave.len() as f64
}

/// How much weaker the weakest flash is, as a share of the strongest.
fn uneven(wave: &[f64], rises: &[usize]) -> f64 {
    let n = wave.len();
    let crest = |k: usize| {
        let (from, to) = (rises[k], rises[(k + 1) % rises.len()]);
        let length = (to + n - from - 1) % n + 1;
        (0..length).map(|j| wave[(from + j) % n]).fold(0.0, f64::max)
    };
    let crests: Vec<f64> = (0..rises.len()).map(crest).collect();
    let most = crests.iter().copied().fold(0.0, f64::max);
    let least = crests.iter().copied().fold(f64::INFINITY, f64::min);
    if most > 0.0 { 1.0 - least / most } else { 0.0 }
}

/// Cosine and sine parts of a wave at multiples of its flashes, against the mean.
fn spectrum(wave: &[f64], flashes: usize, mean: f64) -> Vec<[f64; 2]> {
    if flashes == 0 || mean <= 0.0 {
        return vec![];
    }
    let n = wave.len();
    let table: Vec<(f64, f64)> = (0..n).map(|k| (TAU * k as f64 / n as f64).sin_cos()).collect();
    let part = |harmonic: usize| {
        let turn = harmonic * flashes;
        let (mut cosine, mut sine) = (0.0, 0.0);
        for (k, y) in wave.iter().enumerate() {
            let (s, c) = table[k * turn % n];
            cosine += y * c;
            sine += y * s;
        }
        [cosine / (n as f64 * mean), sine / (n as f64 * mean)]
    };
    let most = HARMONICS.min(n / (2 * flashes));
    (1..=most).map(part).collect()
}

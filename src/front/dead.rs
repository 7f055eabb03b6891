//! The dead test of a jig, what readings say of it, and the first power-up where that was asked for.

use super::Options;
use crate::deadtest::{self, DeadTest, Diagnosis, FirstPower, Measurement, NotOffered, Place, Range, Wish};
use crate::finding::{Judgement, MeasureFirst, Verdict};
use crate::jig::bounds::MOST_IN_A_DEAD_TEST;
use crate::jig::{self, InputError};
use crate::wording::deadtest as words;

/// What is asked of a dead test.
#[derive(Debug, Clone, Default)]
pub(crate) struct DeadWish {
    /// Readings that were taken.
    pub readings: Wish,
    /// Whether the steps of the first power-up are wanted, for which the jig is checked.
    pub first_power: bool,
}

/// What there is to say.
#[derive(Debug, Clone)]
pub(crate) struct Tested {
    /// What to measure.
    pub test: DeadTest,
    /// What the readings say, where some were given.
    pub diagnosis: Option<Diagnosis>,
    /// The first power-up, where it was asked for.
    pub first_power: Option<Result<FirstPower, NotOffered>>,
}

impl Tested {
    /// Exit status of the program: 1 where a reading differs, 3 where not all was tried, else 0.
    pub(crate) fn exit_status(&self) -> u8 {
        const INCOMPLETE: u8 = 3;
        if self.diagnosis.as_ref().is_some_and(Diagnosis::differs) {
            1
        } else if self.test.complete {
            0
        } else {
            INCOMPLETE
        }
    }
}

/// The dead test of a jig.
///
/// # Errors
/// Everything that is wrong with the jig or with the readings; nothing is diagnosed from half of them.
pub(crate) fn dead_test(bytes: &[u8], options: &Options, wish: &DeadWish) -> Result<Tested, Vec<InputError>> {
    let jig = jig::parse(&options.file, bytes)?;
    if jig.parts.len() > MOST_IN_A_DEAD_TEST {
        let message = format!("the jig has {} parts", jig.parts.len());
        let help =
            format!("a dead test is worked out of at most {MOST_IN_A_DEAD_TEST}: write the tool in several files");
        return Err(vec![InputError::at(&options.file, jig.parts[MOST_IN_A_DEAD_TEST].place, message, help)]);
    }
    let test = deadtest::dead_test(&jig);
    let given = deadtest::given(&test, &wish.readings)?;
    let asked = !wish.readings.readings.is_empty() || wish.readings.file.is_some();
    let diagnosis = asked.then(|| test.diagnose(&given));
    let first_power = match wish.first_power {
        false => None,
        true => Some(power(bytes, options, &jig, diagnosis.as_ref())?),
    };
    Ok(Tested { test, diagnosis, first_power })
}

/// Most parts of a jig whose measurements a check works out beside all else.
const MOST_PARTS: usize = 40;
/// How many measurements a check tells.
const TOLD: usize = 3;

/// What a check tells to measure first: what tells most, from the first setting. Nothing for a jig of many parts, whose dead
/// test takes its time.
pub(crate) fn measure_first(jig: &jig::Jig) -> Option<MeasureFirst> {
    if jig.parts.len() > MOST_PARTS {
        return None;
    }
    let test = deadtest::dead_test(jig);
    let mut left: Vec<&Measurement> = test.measurements.iter().collect();
    // The protective earth comes before all else.
    let earth = |m: &Measurement| m.range == Range::Continuity && m.between.iter().any(|p| p.place == Place::Touchable);
    let mut told: Vec<&String> = vec![];
    let mut first = vec![];
    while first.len() < TOLD && !left.is_empty() {
        let gain = |m: &Measurement| m.tells.iter().filter(|t| !told.contains(t)).count();
        left.sort_by_key(|m| (!earth(m), std::cmp::Reverse(gain(m))));
        let m = left.remove(0);
        told.extend(&m.tells);
        first.push((words::leads_when(m), words::reads(m)));
    }
    (!first.is_empty()).then_some(MeasureFirst { all: test.measurements.len(), first })
}

fn power(
    bytes: &[u8],
    options: &Options,
    jig: &jig::Jig,
    diagnosis: Option<&Diagnosis>,
) -> Result<Result<FirstPower, NotOffered>, Vec<InputError>> {
    if diagnosis.is_some_and(Diagnosis::differs) {
        return Ok(Err(NotOffered::Differs));
    }
    if jig.supply.mains.is_none() {
        return Ok(Err(NotOffered::NoMains));
    }
    Ok(power_after(jig, &crate::check(bytes, options)?.judgement))
}

/// The first power-up of a jig that was checked with this outcome.
pub(crate) fn power_after(jig: &jig::Jig, judgement: &Judgement) -> Result<FirstPower, NotOffered> {
    if jig.supply.mains.is_none() {
        return Err(NotOffered::NoMains);
    }
    match (judgement.verdict(), judgement.complete()) {
        (Verdict::Stop, _) => Err(NotOffered::Stops),
        (Verdict::Caution | Verdict::NoFinding, false) => Err(NotOffered::Incomplete),
        (Verdict::Caution | Verdict::NoFinding, true) => deadtest::first_power(jig),
    }
}

/// What to measure on a jig; nothing for one of many parts, whose dead test takes its time.
pub(crate) fn dead_test_of(jig: &jig::Jig) -> Option<DeadTest> {
    (jig.parts.len() <= MOST_PARTS).then(|| deadtest::dead_test(jig))
}

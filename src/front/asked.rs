//! What was asked for besides the check itself.

use super::Report;
use super::options::{Faults, Options};
use crate::checks::{conditions, pairs};
use crate::finding::{DoubleFaults, Judgement, Replay, Tried};
use crate::jig::{InputError, Jig};
use crate::survey::{self, Survey};

/// The list of conditions, one of them in full, and pairs of faults; each where it was asked for.
pub(crate) struct Asked {
    tried: Option<Vec<Tried>>,
    replay: Option<Replay>,
    double_faults: Option<DoubleFaults>,
}

impl Asked {
    /// A report of nothing but the condition of that name.
    ///
    /// # Errors
    /// There is none of that name.
    pub(crate) fn only(jig: &Jig, name: &str, today: &str, options: &Options) -> Result<Report, Vec<InputError>> {
        let model = survey::build::build(jig);
        let faults = conditions::named(jig, &model, name).map_err(|e| not_tried(jig, e))?;
        let survey = survey::only(jig, model, &faults, options.survey().budget);
        let mut judgement = crate::checks::judge(jig, &survey, today);
        (judgement.only, judgement.replay) = (true, conditions::only(jig, &survey, &judgement.findings));
        crate::checks::tell_under(jig, &survey, &mut judgement);
        Ok(Report { judgement, mending: None, mended_text: None })
    }

    /// Works it out.
    ///
    /// # Errors
    /// The one condition asked for was not tried.
    pub(crate) fn of(
        options: &Options,
        jig: &Jig,
        survey: &Survey,
        judgement: &Judgement,
        asked: &survey::Options,
    ) -> Result<Asked, Vec<InputError>> {
        let findings = &judgement.findings;
        let one = |wanted: &String| conditions::replayed(jig, survey, findings, wanted);
        Ok(Asked {
            tried: options.conditions.then(|| conditions::tried(jig, survey)),
            replay: options.only.as_ref().map(one).transpose().map_err(|e| not_tried(jig, e))?,
            double_faults: match options.faults {
                Faults::Single => None,
                Faults::Pairs => Some(pairs::double_faults(jig, findings, asked, &options.watch)),
            },
        })
    }

    /// Puts it into a judgement.
    pub(crate) fn put_into(self, judgement: &mut Judgement) {
        let Asked { tried, replay, double_faults } = self;
        (judgement.tried, judgement.replay, judgement.double_faults) = (tried, replay, double_faults);
    }
}

fn not_tried(jig: &Jig, e: conditions::NotTried) -> Vec<InputError> {
    vec![InputError::of_file(jig.file.as_str(), format!("--only: {}", e.message), e.help)]
}

//! What stands behind the commands: the rooms, called in order. Must not judge, word or print.

use super::{CheckArgs, Engine, LedArgs, NeonArgs};
use crate::jig::Fault;
use crate::judgement::{Judgement, Sizing};
use crate::{checks, jig, survey};
use std::path::Path;

/// The program itself.
pub struct Program;

/// Today as an ISO date (UTC), against which acceptances lapse.
fn today() -> String {
    let d = time::OffsetDateTime::now_utc().date();
    format!("{:04}-{:02}-{:02}", d.year(), u8::from(d.month()), d.day())
}

impl Engine for Program {
    type Fault = Fault;

    fn check(&self, path: &Path, _args: &CheckArgs) -> Result<Judgement, Vec<Fault>> {
        let jig = jig::read(path)?;
        let survey = survey::survey(&jig, &survey::Options::default());
        Ok(checks::judge(&jig, &survey, &today()))
    }

    fn size_neon(&self, _args: &NeonArgs) -> Result<Sizing, Vec<Fault>> {
        Err(vec![])
    }

    fn size_led(&self, _args: &LedArgs) -> Result<Sizing, Vec<Fault>> {
        Err(vec![])
    }

    fn schema(&self) -> serde_json::Value {
        jig::schema()
    }
}

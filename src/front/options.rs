//! How a jig is checked.

use crate::mending::Effort;
use crate::sharing::{Day, Sources};
use crate::survey::budget::Budget;
use crate::survey::{self, Watch};
use std::sync::Arc;
use std::time::Duration;

/// How many faults are put into a jig at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Faults {
    /// Each by itself, as the checks judge it.
    #[default]
    Single,
    /// Also every pair of them: a report ([`crate::finding::DoubleFaults`]) that leaves the verdict alone.
    Pairs,
}

/// How a jig is checked. The default is what `deadfront check FILE` does, but for plugins of a home and the time that it may
/// take: nothing is read but the text, and neither clock nor machine changes what is found.
///
/// ```
/// use deadfront::{Faults, Options};
/// let options = Options { file: "wand.toml".into(), faults: Faults::Pairs, threads: 1, ..Options::default() };
/// ```
#[derive(Debug, Clone)]
pub struct Options {
    /// What errors and findings call the file.
    pub file: String,
    /// Whether to list every condition that was tried, and how it ended.
    pub conditions: bool,
    /// One condition with every voltage and current: a fault such as `R1-short`, `no-fault`, or a number of the list of
    /// conditions, from 1. By name, and with nothing else asked for, nothing else is solved: the judgement then is of
    /// that condition alone ([`crate::finding::Judgement::only`]) and never complete.
    pub only: Option<String>,
    /// Faults at once.
    pub faults: Faults,
    /// How much is tried to cure what is found: for the words of the remedies, or for a mended file.
    pub mend: Effort,
    /// Whether to work out what a meter must read first on the unplugged tool, where nothing is to be changed before.
    pub measure_first: bool,
    /// Where plugins are looked for besides those that ship.
    pub plugins: Sources,
    /// Day against which acceptances, vets and trust lapse.
    pub today: Day,
    /// Threads that solve conditions; 0: as many as the machine has.
    pub threads: usize,
    /// How long the conditions, what might cure the findings and pairs of faults may take; `None` for as long as it takes. What
    /// was not tried then makes the check incomplete ([`crate::finding::Judgement::complete`]), in words that name the bound.
    pub budget: Option<Duration>,
    /// Counts what has been tried, for another thread to read. Of a check of its own each.
    pub watch: Arc<Watch>,
}

impl Default for Options {
    fn default() -> Options {
        Options {
            file: "jig.toml".into(),
            conditions: false,
            only: None,
            faults: Faults::Single,
            mend: Effort::Words,
            measure_first: false,
            plugins: Sources::default(),
            today: Day::today(),
            threads: 0,
            budget: None,
            watch: Arc::default(),
        }
    }
}

impl Options {
    /// The name of the one condition that is asked for, and nothing besides.
    pub(crate) fn only_by_name(&self) -> Option<&str> {
        let alone = !self.conditions && self.faults == Faults::Single && self.mend == Effort::Words;
        self.only.as_deref().filter(|name| alone && name.parse::<usize>().is_err())
    }

    /// How much the survey tries, its time counted from now on.
    pub(crate) fn survey(&self) -> survey::Options {
        let budget = self.budget.and_then(Budget::from_now);
        survey::Options { threads: self.threads, budget, ..survey::Options::default() }
    }
}

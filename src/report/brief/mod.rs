//! The page that `check` prints unless every table is asked for: the verdict, what to do, what a hand gets, what is nearest to
//! its limit, what was not looked at, the cautions, and the verdict once more, so that it stands on the screen whatever scrolled.
//! Must not judge: what to do comes from the judgement's findings, arranged where they are defined.

pub(super) mod closest;
pub(super) mod hand;
mod head;
pub(super) mod to_do;

use super::page::{INDENT, Page, wrap};
use super::{Look, check_text, clean, conditions_text, mending_text};
use crate::finding::{Judgement, Mending, Verdict};

pub(crate) use head::verdict_line;
pub(super) use head::{first, last, verdict, worst_first};

/// The page for a terminal. No line is wider than `look.width`; text from files and plugins is cleaned.
pub(crate) fn brief_text(judgement: &Judgement, mending: Option<&Mending>, look: Look) -> String {
    let j = &clean::judgement(judgement);
    let mut page = Page::new(look);
    first(&mut page, j, false);
    if let Some(replay) = &j.replay {
        conditions_text::replay(&mut page, replay, &j.findings);
    } else {
        // Where something is to be changed first, what is well is told in short.
        let (stop, caution) = (j.verdict() == Verdict::Stop, j.verdict() == Verdict::Caution);
        to_do::put(&mut page, j);
        hand::put(&mut page, j);
        let nearest = match j.verdict() {
            Verdict::Stop => closest::FEW,
            Verdict::Caution => closest::BESIDE_A_CAUTION,
            Verdict::NoFinding => closest::MOST,
        };
        closest::put(&mut page, j, nearest);
        if !stop {
            closest::put_let_pass(&mut page, j, if caution { closest::FEW_LET_PASS } else { closest::MOST_LET_PASS });
        }
        if let Some(pairs) = &j.double_faults {
            conditions_text::double_faults(&mut page, pairs);
        }
        if let Some(tried) = &j.tried {
            conditions_text::tried(&mut page, tried);
        }
        check_text::not_checked(&mut page, j, if stop { FEW_NOT_CHECKED } else { MOST_NOT_CHECKED });
    }
    if let Some(mending) = mending {
        mending_text::put(&mut page, mending);
    }
    foot(&mut page, j);
    page.finish()
}

/// Lines on what was not looked at before the rest is counted.
const MOST_NOT_CHECKED: usize = 4;
const FEW_NOT_CHECKED: usize = 2;

/// What a meter must read before the first power-up, in three lines: as many measurements as they hold.
fn measure_first(page: &mut Page, j: &Judgement) {
    const LINES: usize = 2;
    let Some(measure) = &j.measure_first else { return };
    page.paragraph(&format!("Before first power, unplugged, a meter reads (all {}: deadfront deadtest):", measure.all));
    let words =
        |n: usize| measure.first[..n].iter().map(|(at, reads)| format!("{at} {reads}")).collect::<Vec<_>>().join("; ");
    let fits = |n: &usize| wrap(&words(*n), page.look, INDENT, INDENT).len() <= LINES;
    let most = (1..=measure.first.len()).rev().find(fits).unwrap_or(1);
    page.hang(INDENT, INDENT, &words(most));
}

/// The cautions in two lines, where the rest is to be read, and the verdict.
fn foot(page: &mut Page, j: &Judgement) {
    page.gap();
    measure_first(page, j);
    page.paragraph("Before you touch it: pull the plug, discharge it, prove it dead with a meter.");
    page.paragraph("Paper shows no workmanship, dirt or age; local codes come first: SAFETY.md.");
    if j.verdict() == Verdict::Stop {
        page.gap();
    }
    last(page, j);
}

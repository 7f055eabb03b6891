//! What to do: one change after the other, the most pressing first, with the findings it cures.

use super::worst_first;
use crate::finding::{Action, CORE, CheckId, CheckName, Compared, Finding, Harm, Judgement, Signal, actions, stops_it};
use crate::report::number::{show_apart, times};
use crate::report::page::{Page, wrap};
use crate::report::word;

/// Columns of the number of an action and of what hangs under it.
const UNDER: &str = "   ";
const DEEPER: &str = "     ";

/// Things to know that are told beside what is to be done.
const FEW_TO_KNOW: usize = 2;

/// The list, with a heading; nothing where nothing was found.
pub(super) fn put(page: &mut Page, j: &Judgement) {
    let findings = worst_first(j);
    let list = actions(&findings);
    let asks = |a: &&Action| a.findings.iter().any(|k| findings[*k].signal < Signal::Notice);
    let (to_do, to_know): (Vec<&Action>, Vec<&Action>) = list.iter().partition(asks);
    let file = &j.jig_file;
    if !to_do.is_empty() {
        page.heading("What to do");
        for (n, action) in to_do.iter().enumerate() {
            one(page, &format!("{}.", n + 1), action, &findings, file);
            if n == 0 && to_do.len() > 1 && action.findings.iter().any(|k| stops_it(&findings[*k])) {
                page.hang("", "", "What follows was found with this in place: change it first, and check again.");
            }
        }
    }
    if !to_know.is_empty() {
        page.heading("Worth knowing");
        let all: Vec<(&Action, usize)> = to_know.iter().flat_map(|a| a.findings.iter().map(|k| (*a, *k))).collect();
        // Beside what is to be done it is told in short.
        let most = if to_do.is_empty() { usize::MAX } else { FEW_TO_KNOW };
        all.iter().take(most).for_each(|(a, k)| notice(page, &findings[*k], a, file, to_do.is_empty()));
        if all.len() > most {
            page.hang(UNDER, UNDER, &format!("{} more: --all", all.len() - most));
        }
    }
}

/// A thing to know, in one paragraph.
fn notice(page: &mut Page, f: &Finding, action: &Action, file: &str, sourced: bool) {
    signal_line(page, f, &notice_words(f, action, file, sourced));
    accepted(page, f);
}

/// What is to be known of a finding that asks for nothing at once.
pub(in crate::report) fn notice_words(f: &Finding, action: &Action, file: &str, sourced: bool) -> String {
    let tried = if action.tried { " (tried: this cures it)" } else { "" };
    let change = capital(&action.change);
    let source = source(f, sourced);
    format!("{}: {} {}{}{source}", named(f, file), sentence(&f.message), change.trim_end_matches('.'), tried)
}

/// Where the limit of a finding is published, in brackets, where it is asked for.
fn source(f: &Finding, sourced: bool) -> String {
    if !sourced || f.source.is_empty() { String::new() } else { format!(" ({})", short(&f.source)) }
}

fn one(page: &mut Page, number: &str, action: &Action, findings: &[Finding], file: &str) {
    let tried = if action.tried { " (tried: this cures it)" } else { "" };
    let first = format!("{number:<width$}", width = UNDER.len());
    page.hang(&first, UNDER, &format!("{}{tried}", capital(&action.change)));
    for (n, k) in action.findings.iter().enumerate() {
        let f = &findings[*k];
        if n == 0 { leading(page, f, file) } else { further(page, f, file) }
    }
}

/// The finding an action is led by, in full.
fn leading(page: &mut Page, f: &Finding, file: &str) {
    let [first, rest @ ..] = leading_words(f, file);
    signal_line(page, f, &first);
    rest.iter().for_each(|line| page.hang(DEEPER, DEEPER, line));
    accepted(page, f);
}

/// Which check, where and how bad; what it means; under what it is worst, value, limit and source.
pub(in crate::report) fn leading_words(f: &Finding, file: &str) -> [String; 3] {
    let bad = how_bad(f).map_or_else(String::new, |bad| format!(": {bad}"));
    [format!("{}{bad}", named(f, file)), sentence(&f.message), format!("{}{}", under(f), limit(f))]
}

/// One that the same change cures.
fn further(page: &mut Page, f: &Finding, file: &str) {
    // Sources of what the first one brings are in the whole report.
    signal_line(page, f, &further_words(f, file, false));
    accepted(page, f);
}

/// The same in short.
pub(in crate::report) fn further_words(f: &Finding, file: &str, sourced: bool) -> String {
    // Degrees are told in words: far above what a thing stands they are no temperature any more.
    let what = if f.value.is_some() && f.limit.is_some() && f.unit != "°C" {
        let (value, limit) = show_apart(f.value.unwrap_or(0.0), f.limit.unwrap_or(0.0), &f.unit);
        let than = if f.quantity.is_at_least() { "needs" } else { "at most" };
        format!("{}{value}, {than} {limit}", subject(f))
    } else {
        f.message.clone()
    };
    format!("{}: {what}{}", named(f, file), source(f, sourced))
}

/// The condition in which it is worst, without what the message says already.
fn under(f: &Finding) -> String {
    let fault = super::hand::fault(&f.condition);
    let rest = if f.message.contains(fault) {
        f.condition[fault.len()..].trim_start_matches([',', ' '])
    } else {
        f.condition.as_str()
    };
    if rest.is_empty() { String::new() } else { format!("Worst with {rest}. ") }
}

fn subject(f: &Finding) -> String {
    let names = [&f.parts, &f.touchables].into_iter().find(|n| !n.is_empty());
    names.map_or_else(String::new, |n| format!("{} ", n.join(", ")))
}

/// The signal word, then text that hangs under itself.
fn signal_line(page: &mut Page, f: &Finding, text: &str) {
    let signal = word(f.signal);
    let first = format!("{UNDER}{signal} ");
    for (k, line) in wrap(text, page.look, &first, DEEPER).iter().enumerate() {
        match line.strip_prefix(&format!("{UNDER}{signal}")).filter(|_| k == 0) {
            Some(rest) => page.line(&format!("{UNDER}{}{rest}", page.look.paint(f.signal))),
            None => page.line(line),
        }
    }
}

/// The check, and the line of the file.
fn named(f: &Finding, file: &str) -> String {
    let place = if f.place.file == file {
        format!("line {}", f.place.line)
    } else {
        format!("{}:{}", f.place.file, f.place.line)
    };
    let by = if f.source_of_check == CORE { String::new() } else { format!(", plugin {}", f.source_of_check) };
    format!("{} ({place}{by})", f.check)
}

/// How bad it is, as people count.
fn how_bad(f: &Finding) -> Option<String> {
    let over = f.times()?;
    let hand =
        matches!(&f.check, CheckName::Core(CheckId::TouchCurrent | CheckId::TouchVoltage | CheckId::OutletShock));
    Some(match (f.unit.as_str(), f.quantity.is_at_least()) {
        ("°C" | "Hz", _) => return None,
        (_, true) => format!("{} of what is needed", crate::report::number::per_cent(1.0 / over)),
        _ if hand => format!("{} what a hand may get", times(over)),
        _ => {
            format!("{} {}", times(over), if f.harm() <= Harm::AfterAFault { "the limit" } else { "what it may bear" })
        }
    })
}

/// Value, limit and source; of the first two only what the message does not say.
fn limit(f: &Finding) -> String {
    let source = capital(&short(&f.source));
    let (Some(value), Some(limit)) = (f.value, f.limit) else { return source };
    let (value, limit) = show_apart(value, limit, &f.unit);
    // A band is told by the message alone.
    if matches!(f.unit.as_str(), "Hz" | "°C") || f.message.contains(&value) && f.message.contains(&limit) {
        return source;
    }
    let least = if f.quantity.is_at_least() { "at least" } else { "at most" };
    let quantity = match &f.quantity {
        Compared::Nothing => String::new(),
        other => format!("{}, ", crate::report::check_text::quantity_words(other.name())),
    };
    format!("{}{value}, {least} {limit}; {}", capital(&quantity), short(&f.source))
}

/// A source in the words of the screen.
fn short(source: &str) -> String {
    source.replace("the part's own rating, as written in the jig file", "its own rating")
}

fn accepted(page: &mut Page, f: &Finding) {
    accepted_words(f).iter().for_each(|words| page.hang(DEEPER, DEEPER, words));
}

/// Who accepted it, where somebody did.
pub(in crate::report) fn accepted_words(f: &Finding) -> Option<String> {
    let a = f.accepted.as_ref()?;
    let counts = if f.signal <= Signal::Warning { "; it counts all the same" } else { "" };
    Some(format!("Accepted by {} until {}: “{}”{counts}", a.by, a.until, a.reason))
}

/// With a capital letter, unless it begins with a name such as R1 or X2.
pub(in crate::report) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    format!("{first}{}", letters.as_str())
}

/// A sentence, with its full stop; with a capital where it does not begin with a name.
fn sentence(text: &str) -> String {
    const NO_NAMES: [&str; 8] = ["the", "under", "only", "nothing", "with", "while", "one", "no"];
    let text = text.trim_end_matches('.');
    let plain = text.split(' ').next().is_some_and(|first| NO_NAMES.contains(&first));
    if plain { format!("{}.", capital(text)) } else { format!("{text}.") }
}

//! Tells whoever waits how far the work has come, on standard error and only when it takes longer than half a second: on a
//! terminal in one line that is written over, elsewhere, where that is wished, line by line. Must not know how it is done.

use crate::survey::{Stage, Watch};
use std::io::{IsTerminal, Write};
use std::sync::mpsc;
use std::time::Duration;
use textwrap::core::display_width;

/// How long nothing is said.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often it is said anew on a terminal, and elsewhere.
const STEP: Duration = Duration::from_millis(100);
/// Columns where the terminal does not say how many it has.
const NARROW: usize = 40;
const LINE: Duration = Duration::from_secs(1);

/// Where it is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// One line, written over and wiped out at the end.
    Terminal,
    /// A line each time, and no control codes.
    Pipe,
}

/// Does the work on a file; meanwhile `watch` is shown on standard error, if that is a terminal or `piped` is wished.
pub(super) fn shown<T>(watch: &Watch, file: &str, piped: bool, work: impl FnOnce() -> T) -> T {
    let place = match (std::io::stderr().is_terminal(), piped) {
        (true, _) => Place::Terminal,
        (false, true) => Place::Pipe,
        (false, false) => return work(),
    };
    let (done, wait) = mpsc::channel::<()>();
    std::thread::scope(|s| {
        s.spawn(move || write_progress(watch, file, place, &wait, &mut std::io::stderr()));
        let result = work();
        // The other side learns at once that the work is done.
        drop(done);
        result
    })
}

/// What is worked on and how much of it is done.
fn words(watch: &Watch, file: &str) -> String {
    let (done, of) = watch.read();
    // A name from outside never commands the terminal.
    let file: String = file.rsplit('/').next().unwrap_or(file).chars().filter(|c| !c.is_control()).collect();
    match watch.stage() {
        Stage::Conditions => format!("{file}: {done} of {of} settings and faults solved"),
        Stage::Pairs => format!("{file}: {done} of {of} pairs of faults solved"),
        Stage::Cures => format!("{file}: trying what might cure the findings"),
    }
}

/// The first columns of a line, so that it never wraps: a wrapped one is not wiped out. The last column stays free, since
/// some terminals wrap there already.
fn within(line: &str, columns: usize) -> String {
    let mut left = columns.saturating_sub(1);
    let fits = |letter: &char| {
        let wide = display_width(letter.encode_utf8(&mut [0; 4]));
        let fits = wide <= left;
        left = left.saturating_sub(wide);
        fits
    };
    line.chars().take_while(fits).collect()
}

/// Writes how far it is until the sender has gone.
fn write_progress(watch: &Watch, file: &str, place: Place, wait: &mpsc::Receiver<()>, out: &mut impl Write) {
    let mut pause = PATIENCE;
    let mut before = String::new();
    let columns = terminal_size::terminal_size_of(std::io::stderr()).map_or(NARROW, |(width, _)| width.0.into());
    while wait.recv_timeout(pause) == Err(mpsc::RecvTimeoutError::Timeout) {
        let now = words(watch, file);
        // A terminal that has gone is no reason to stop working.
        let _ = match place {
            Place::Terminal => write!(out, "\r{}\x1b[K", within(&now, columns)),
            Place::Pipe if now == before => Ok(()),
            Place::Pipe => writeln!(out, "{now}"),
        }
        .and_then(|()| out.flush());
        before = now;
        pause = if place == Place::Terminal { STEP } else { LINE };
    }
    if place == Place::Terminal && !before.is_empty() {
        let _ = write!(out, "\r\x1b[K").and_then(|()| out.flush());
    }
}

#[cfg(test)]
mod tests {
    use super::{PATIENCE, Place, within, write_progress};
    use crate::survey::{Stage, Watch};
    use std::sync::mpsc;

    #[test]
    fn quick_work_says_nothing() {
        for place in [Place::Terminal, Place::Pipe] {
            let (done, wait) = mpsc::channel::<()>();
            drop(done);
            let mut out = vec![];
            write_progress(&Watch::default(), "a.toml", place, &wait, &mut out);
            assert!(out.is_empty());
        }
    }

    /// What is written of work that takes twice as long as nothing is said.
    fn of_long_work(watch: &Watch, place: Place) -> String {
        let (done, wait) = mpsc::channel::<()>();
        let mut out = vec![];
        std::thread::scope(|s| {
            s.spawn(move || {
                std::thread::sleep(PATIENCE * 2);
                drop(done);
            });
            write_progress(watch, "a\u{1b}.toml", place, &wait, &mut out);
        });
        String::from_utf8(out).expect("our own words")
    }

    #[test]
    fn long_work_is_told_and_wiped_out() {
        let watch = Watch::default();
        watch.expect(9);
        watch.step();
        let text = of_long_work(&watch, Place::Terminal);
        assert!(text.starts_with("\ra.toml: 1 of 9 ") && text.ends_with("\r\x1b[K"), "{text:?}");
    }

    #[test]
    fn a_line_never_wraps() {
        let line = "灯-of-a-long-name.toml: 120 of 4500 settings and faults solved";
        // 40 of the 41 columns are used: one letter of two columns and three bytes, and 38 more.
        assert_eq!(within(line, 41).len(), 3 + 38);
        assert!(line.starts_with(&within(line, 41)));
        assert_eq!(within(line, 200), line);
        assert_eq!(within("ab", 0), "");
    }

    #[test]
    fn a_pipe_gets_lines_without_control_codes() {
        let watch = Watch::default();
        watch.expect(9);
        watch.enter(Stage::Pairs);
        watch.expect(4);
        let text = of_long_work(&watch, Place::Pipe);
        assert!(text.starts_with("a.toml: 0 of 4 pairs") && text.ends_with('\n'), "{text:?}");
        assert!(!text.trim_end().contains(char::is_control), "{text:?}");
    }
}

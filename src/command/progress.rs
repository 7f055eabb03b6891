//! Tells whoever waits how far the work has come: on a terminal, and only when it takes longer than half a second. Must
//! not know what is worked on.

use crate::survey::Watch;
use std::io::{IsTerminal, Write};
use std::sync::mpsc;
use std::time::Duration;

/// How long nothing is said.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often it is said anew.
const STEP: Duration = Duration::from_millis(100);

/// Does the work; meanwhile `watch` is shown on standard error, if that is a terminal, and wiped out at the end.
pub(super) fn shown<T>(watch: &Watch, work: impl FnOnce() -> T) -> T {
    if !std::io::stderr().is_terminal() {
        return work();
    }
    let (done, wait) = mpsc::channel::<()>();
    std::thread::scope(|s| {
        s.spawn(move || write_progress(watch, &wait, &mut std::io::stderr()));
        let result = work();
        // The other side learns at once that the work is done.
        drop(done);
        result
    })
}

/// Writes a line over itself until the sender has gone.
fn write_progress(watch: &Watch, wait: &mpsc::Receiver<()>, out: &mut impl Write) {
    let mut pause = PATIENCE;
    let mut written = false;
    while wait.recv_timeout(pause) == Err(mpsc::RecvTimeoutError::Timeout) {
        let (done, of) = watch.read();
        // A terminal that has gone is no reason to stop working.
        let _ = write!(out, "\r{done} of {of} tried\x1b[K").and_then(|()| out.flush());
        (written, pause) = (true, STEP);
    }
    if written {
        let _ = write!(out, "\r\x1b[K").and_then(|()| out.flush());
    }
}

#[cfg(test)]
mod tests {
    use super::{PATIENCE, write_progress};
    use crate::survey::Watch;
    use std::sync::mpsc;

    #[test]
    fn quick_work_says_nothing() {
        let (done, wait) = mpsc::channel::<()>();
        drop(done);
        let mut out = vec![];
        write_progress(&Watch::default(), &wait, &mut out);
        assert!(out.is_empty());
    }

    #[test]
    fn long_work_is_told_and_wiped_out() {
        let (done, wait) = mpsc::channel::<()>();
        let watch = Watch::default();
        watch.expect(9);
        watch.step();
        let mut out = vec![];
        std::thread::scope(|s| {
            s.spawn(move || {
                std::thread::sleep(PATIENCE * 2);
                drop(done);
            });
            write_progress(&watch, &wait, &mut out);
        });
        let text = String::from_utf8(out).expect("our own words");
        assert!(text.starts_with("\r1 of 9 tried") && text.ends_with("\r\x1b[K"), "{text:?}");
    }
}

//! A run as a person makes it, in a real terminal: progress, the last screen, Ctrl-C, a jig watched. Needs tmux.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::root;
use std::process::Command;
use std::time::{Duration, Instant};

/// A terminal of 80 columns and 24 lines with a shell in it, and nobody's settings.
struct Terminal {
    folder: tempfile::TempDir,
}

impl Terminal {
    fn open(columns: &str) -> Option<Terminal> {
        // A terminal inherits what its parent ignores: where nothing can be interrupted, there is nothing to prove.
        let ignored = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let ignored = ignored.lines().find_map(|l| l.strip_prefix("SigIgn:")).unwrap_or("0").trim().to_string();
        if u64::from_str_radix(&ignored, 16).is_ok_and(|bits| bits & 2 != 0) {
            eprintln!("interrupts are ignored here: skipped");
            return None;
        }
        if Command::new("tmux").arg("-V").output().is_err() {
            assert!(std::env::var_os("CI_HAS_TMUX").is_none(), "tmux has to be here");
            return None;
        }
        let terminal = Terminal { folder: tempfile::tempdir().unwrap() };
        let shell = ["new-session", "-d", "-x", columns, "-y", "24", "env PS1='> ' sh"];
        assert!(terminal.tmux(&shell).status.success());
        Some(terminal)
    }

    fn tmux(&self, arguments: &[&str]) -> std::process::Output {
        let socket = self.folder.path().join("tmux");
        let mut tmux = Command::new("tmux");
        tmux.args(["-f", "/dev/null", "-u", "-S", socket.to_str().unwrap()]).args(arguments);
        tmux.current_dir(root()).env_remove("TMUX").env_remove("NO_COLOR").output().unwrap()
    }

    /// Types a line.
    fn types(&self, line: &str) {
        assert!(self.tmux(&["send-keys", "-l", line]).status.success());
        assert!(self.tmux(&["send-keys", "Enter"]).status.success());
    }

    /// Presses Ctrl-C and waits for the shell's prompt. What is typed before the shell has its terminal back may be read
    /// by nobody, so nothing is.
    fn interrupts(&self) {
        self.tmux(&["send-keys", "C-c"]);
        self.until("the shell again", |s| s.iter().rfind(|l| !l.is_empty()).is_some_and(|l| l == ">"));
    }

    fn screen(&self) -> Vec<String> {
        let out = self.tmux(&["capture-pane", "-p"]);
        String::from_utf8(out.stdout).unwrap().lines().map(str::to_string).collect()
    }

    /// The screen, once something holds of it.
    fn until(&self, what: &str, holds: impl Fn(&[String]) -> bool) -> Vec<String> {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if holds(&screen) {
                return screen;
            }
            assert!(begun.elapsed() < Duration::from_secs(90), "never {what}:\n{}", screen.join("\n"));
            std::thread::sleep(Duration::from_millis(30));
        }
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
    }
}

fn shows(screen: &[String], words: &str) -> bool {
    screen.iter().any(|line| line.contains(words))
}

#[test]
fn the_last_screen_says_what_is_worst_and_what_to_change() {
    let Some(terminal) = Terminal::open("80") else { return };
    let program = env!("CARGO_BIN_EXE_deadfront");
    terminal.types(&format!("{program} check demo-data/wrong/neon-100k-on-230v.toml; echo ended $?"));
    let screen = terminal.until("ended", |s| s.iter().any(|l| l == "ended 1"));
    let all = screen.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["Worst: lamp ferrule to earth", "Change first: put double", "DANGER Do not plug it in"] {
        assert!(all.contains(words), "{words}\n{}", screen.join("\n"));
    }
}

#[test]
fn long_work_shows_how_far_it_is_on_one_line_and_stops_at_once() {
    let Some(terminal) = Terminal::open("40") else { return };
    let program = env!("CARGO_BIN_EXE_deadfront");
    let jig = terminal.folder.path().join("a-supply-with-a-very-long-name.toml");
    let new = Command::new(program).args(["new", "bench-supply", jig.to_str().unwrap()]).output().unwrap();
    assert!(new.status.success());
    terminal.types("clear");
    terminal.until("an empty screen", |s| s.iter().filter(|l| !l.is_empty()).count() <= 1);
    terminal.types(&format!("P={program}; J={}; clear", jig.to_str().unwrap()));
    terminal.types("$P check --faults 2 $J; echo ended $?");
    let screen = terminal.until("progress", |s| shows(s, "a-supply-with-a-very-long-name.toml"));
    // One line, however narrow the terminal: a wrapped one would stand there twice.
    let told = screen.iter().filter(|l| l.starts_with("a-supply-with")).count();
    assert_eq!(told, 1, "{}", screen.join("\n"));
    std::thread::sleep(Duration::from_millis(500));
    let screen = terminal.screen();
    assert_eq!(screen.iter().filter(|l| l.starts_with("a-supply-with")).count(), 1, "{}", screen.join("\n"));
    let asked = Instant::now();
    terminal.interrupts();
    assert!(asked.elapsed() < Duration::from_secs(5), "{:?}", asked.elapsed());
}

#[test]
fn a_watched_jig_is_drawn_anew() {
    let Some(terminal) = Terminal::open("80") else { return };
    let jig = terminal.folder.path().join("wand.toml");
    let sound = std::fs::read_to_string(root().join("demo-data/neon-wand-230v.toml")).unwrap();
    std::fs::write(&jig, &sound).unwrap();
    terminal.types(&format!("{} check --watch {}", env!("CARGO_BIN_EXE_deadfront"), jig.to_str().unwrap()));
    terminal.until("a verdict", |s| shows(s, "Nothing graver than NOTICE found"));
    std::fs::write(&jig, sound.replace("strain-relief = true", "strain-relief = false")).unwrap();
    let screen = terminal.until("another verdict", |s| shows(s, "Do not plug it in"));
    // What was there before is gone.
    assert!(!shows(&screen, "Nothing graver"), "{}", screen.join("\n"));
    std::fs::write(&jig, &sound).unwrap();
    terminal.until("the first verdict", |s| shows(s, "Nothing graver than NOTICE found"));
    terminal.interrupts();
}

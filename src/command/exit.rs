//! Exit status, in one place. Must not know what was checked.

use std::process::ExitCode;

/// How a run of the program ended. Sorted by weight: of several jigs the weightiest outcome is the status.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Exit {
    /// 0: no DANGER and no WARNING.
    Clean,
    /// 1: at least one DANGER or WARNING, or no design will do.
    Found,
    /// 3: the check is not complete. Weightier than `Loaded`: an incomplete check never looks like a finished one.
    Incomplete,
    /// 2: an input could not be read or is wrong, the command line included. Weightiest: of that input nothing
    /// is known at all.
    Unreadable,
}

impl Exit {
    /// The number the shell sees.
    pub(crate) fn status(self) -> u8 {
        match self {
            Exit::Clean => 0,
            Exit::Found => 1,
            Exit::Unreadable => 2,
            Exit::Incomplete => 3,
        }
    }

    /// From the exit status of a judgement or a sizing. A number it does not know counts as incomplete.
    pub(crate) fn from_status(status: u8) -> Exit {
        match status {
            0 => Exit::Clean,
            1 => Exit::Found,
            2 => Exit::Unreadable,
            _ => Exit::Incomplete,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit.status())
    }
}

#[cfg(test)]
mod tests {
    use super::Exit;

    #[test]
    fn numbers_are_a_contract() {
        let table = [(Exit::Clean, 0), (Exit::Found, 1), (Exit::Unreadable, 2), (Exit::Incomplete, 3)];
        for (exit, status) in table {
            assert_eq!(exit.status(), status);
            assert_eq!(Exit::from_status(status), exit);
        }
        assert_eq!(Exit::from_status(9), Exit::Incomplete);
    }

    #[test]
    fn unreadable_outweighs_incomplete_outweighs_found() {
        assert!(Exit::Unreadable > Exit::Incomplete && Exit::Incomplete > Exit::Found && Exit::Found > Exit::Clean);
    }
}

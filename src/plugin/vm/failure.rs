//! How a plugin fails. Must not know how that is found out.

/// Why a plugin failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Failure {
    /// It ran past its time or its steps.
    OutOfTime,
    /// It wanted more memory than it may have.
    OutOfMemory,
    /// It is no Lua.
    Syntax,
    /// It stopped with an error.
    Error,
    /// It gave back something that is no list of findings.
    Refused,
    /// It asked the host too often.
    TooManyCalls,
    /// Its source is longer than it may be.
    TooLarge,
    /// The host itself failed while it ran.
    Panic,
    /// It could not be stopped.
    DoesNotStop,
}

impl Failure {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Failure::OutOfTime => "out of time",
            Failure::OutOfMemory => "out of memory",
            Failure::Syntax => "syntax",
            Failure::Error => "error",
            Failure::Refused => "refused result",
            Failure::TooManyCalls => "too many host calls",
            Failure::TooLarge => "source too large",
            Failure::Panic => "panic",
            Failure::DoesNotStop => "does not stop",
        }
    }
}

/// A failure with what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Failed {
    /// Why.
    pub failure: Failure,
    /// More, in words; cleaned and short.
    pub message: String,
    /// Line of `check.lua`, where there is one.
    pub line: Option<u32>,
}

impl Failed {
    /// A failure without a line.
    pub(crate) fn new(failure: Failure, message: impl Into<String>) -> Failed {
        Failed { failure, message: message.into(), line: None }
    }
}

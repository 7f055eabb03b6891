//! The command line: arguments, call, print. One file a command. Must not judge, solve or word a finding.

mod check;
mod cli;
mod dispatch;
mod engine;
mod errors;
mod exit;
mod new_file;
pub mod plugin;
mod program;
mod progress;
mod schema;
mod screen;
mod size;
mod why;

pub use check::CheckArgs;
pub use cli::{Cli, Command};
pub use dispatch::dispatch;
pub use engine::Engine;
pub use errors::Errors;
pub use exit::Exit;
pub use program::Program;
pub use screen::{ColourWish, Format, Screen, Terminal};
pub use size::{Dropper, LedArgs, NeonArgs, SizeCommand};
pub use why::{Which, WhyArgs};

//! `deadfront plugin`: plugins written, tried and shared. One file a command. Must not judge, nor decide whom to trust.

mod add;
mod commands;
mod list;
mod new;
mod pack;
mod password;
mod printed;
mod remove;
mod shops;
mod sign;
mod trial;
mod vet;

pub use add::AddArgs;
pub use commands::PluginCommand;
pub use list::ListArgs;
pub use new::NewArgs;
pub use pack::PackArgs;
pub use password::PasswordArgs;
pub use remove::RemoveArgs;
pub use shops::{ShopsArgs, ShopsCommand};
pub use sign::SignArgs;
pub use trial::TryArgs;
pub use vet::VetArgs;

pub(super) use commands::{HELP, run};

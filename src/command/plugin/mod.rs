//! `deadfront plugin`: plugins written, tried and shared. One file a command. Must not judge, nor decide whom to trust.

mod add;
mod commands;
mod diff;
mod lift;
mod list;
mod new;
mod pack;
mod password;
mod printed;
mod remove;
mod shops;
mod sign;
mod stops;
mod trial;
mod vet;

pub(crate) use commands::PluginCommand;

pub(super) use commands::{HELP, run};

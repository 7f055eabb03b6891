//! `deadfront plugin`: plugins written, tried and shared. One file a command. Must not judge, nor decide whom to trust.

mod add;
mod affected;
mod commands;
mod diff;
mod lift;
mod list;
mod new;
mod pack;
mod password;
mod printed;
mod refresh;
mod remove;
mod review;
mod shelf;
mod shops;
mod show;
mod sign;
mod stops;
mod trial;
mod trust;
mod vet;

pub(crate) use commands::PluginCommand;

pub(super) use commands::{HELP, run};

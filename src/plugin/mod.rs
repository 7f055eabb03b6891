//! Plugins: checks for one kind of unit, written in Lua by whoever builds it. This room reads them, runs each in a machine of
//! its own that can reach nothing but the jig's facts, and takes their findings. A plugin adds findings; it can neither
//! remove nor soften one of the core's. Must not know how plugins are shared, nor how findings are printed.

mod arguments;
pub(crate) mod cases;
pub(crate) mod compared;
pub(crate) mod demo;
pub(crate) mod facts;
pub(crate) mod find;
pub(crate) mod folder;
pub(crate) mod identity;
pub(crate) mod loaded;
pub(crate) mod manifest;
pub(crate) mod read_through;
pub(crate) mod results;
mod rows;
pub(crate) mod run;
pub(crate) mod settings;
pub(crate) mod skeleton;
mod solution;
mod subject;
pub(crate) mod trial;
pub(crate) mod unit;
pub(crate) mod view;
pub(crate) mod vm;
pub(crate) mod what_if;
pub(crate) mod wiring;
pub(crate) mod worker;

pub(crate) use folder::{Folder, Plugin};
pub(crate) use identity::Identity;
pub(crate) use loaded::{Loaded, Stopped};
#[cfg(any(test, feature = "measured"))]
pub(crate) use manifest::Manifest;

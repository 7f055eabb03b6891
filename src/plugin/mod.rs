//! Plugins: checks for one kind of unit, written in Lua by whoever builds it. This room reads them, runs each in a machine of
//! its own that can reach nothing but the jig's facts, and takes their findings. A plugin adds findings; it can neither
//! remove nor soften one of the core's. Must not know how plugins are shared, nor how findings are printed.

mod arguments;
pub mod cases;
pub mod facts;
pub mod find;
pub mod folder;
pub mod identity;
pub mod loaded;
pub mod manifest;
mod results;
mod ring;
mod rows;
pub mod run;
pub mod settings;
pub mod skeleton;
mod solution;
mod subject;
pub mod trial;
pub mod view;
pub mod vm;
pub mod what_if;
pub mod wiring;
pub mod worker;

pub use folder::{Folder, Plugin};
pub use identity::Identity;
pub use loaded::{Loaded, Stopped};
pub use manifest::Manifest;

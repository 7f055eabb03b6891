//! The jig file: what is written down, where it stands, what it means. Knows nothing of solving or judging.

pub mod model;
pub mod tables;
pub use model::*;

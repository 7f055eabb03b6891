//! The tables the reader looks into belong to the published numbers.

pub use crate::standard::{LampRow, Tables};

//! What goes in at the front door and what comes out: options and reports. Must not judge, and must not know the command
//! line.

mod asked;
mod compare;
mod design;
mod options;
mod report;
mod rows;
mod strobe;

pub(crate) use asked::Asked;
pub(crate) use compare::compare;
pub use design::{Design, Wish};
pub use options::{Faults, Options};
pub use report::Report;
pub(crate) use rows::rows;
pub use strobe::Strobing;

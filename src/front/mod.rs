//! What goes in at the front door and what comes out: options and reports. Must not judge, and must not know the command
//! line.

mod asked;
mod compare;
mod dead;
mod design;
mod options;
mod report;
mod rows;
mod schema;
mod sheet;
mod strobe;

pub(crate) use asked::Asked;
pub(crate) use compare::compare;
pub(crate) use dead::{DeadWish, Tested, dead_test, measure_first};
pub use design::{Design, Wish};
pub use options::{Faults, Options};
pub use report::Report;
pub(crate) use rows::rows;
pub(crate) use schema::schema;
pub(crate) use sheet::sheet;
pub use sheet::{Sheet, SheetPart};
pub use strobe::Strobing;

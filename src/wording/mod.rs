//! Facts → sentences. Knows what is to be said; must not judge, nor know where it is printed.

pub mod charge;
pub mod condition;
pub mod device;
pub mod join;
pub mod left_out;

//! A strobe lamp in use: how often and how long it flashes as solved, which ring of bars stands still under it, what a ring that
//! drifts means, and a ring to print. Arithmetic on what survey and tables give; plugins ask the same functions. Must not judge
//! the jig, nor know plugins, the command line and how its facts are printed.

mod asked;
mod disc;
mod drift;
mod light;
mod page;
mod read;
mod ring;
mod solved;
mod warnings;
mod wish;

pub(crate) use disc::draw;
use drift::MINUTE;
pub(crate) use light::Light;
pub(crate) use page::strobe;
pub(crate) use ring::{ring, smear};
pub(crate) use solved::light_of;
pub use wish::{RingWish, StrobeWish};

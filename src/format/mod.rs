//! What a jig file is made of before it means anything: keys and what they may hold, rows as read, nets by number, places.
//! Must not know which sections and parts there are.

mod key;
mod net;
mod outlet;
mod place;
mod row;

pub(crate) use key::{COLOUR_JOINTS, COLOURS, Choice, Holds, Key, Section, above_zero, may, needs};
pub(crate) use net::{Ends, NET_L, NET_N, NET_PE, Net, NetId, Side};
pub(crate) use outlet::{LoadKind, OutletLoad};
pub(crate) use place::Place;
pub(crate) use row::{Row, Value};

//! The referee: random whole tools and a second, plain road to the verdict on each. It shares no code with the program: its own
//! circuits, its own three ways to solve them, and every limit by its published sentence.

pub mod charge;
pub mod circuit;
pub mod compare;
pub mod grammar;
pub mod hands;
pub mod march;
pub mod network;
pub mod phasor;
pub mod play;
pub mod plays;
pub mod relations;
pub mod rules;
pub mod scan;
pub mod shell;
pub mod told;
pub mod tool;
pub mod topologies;
pub mod verdict;
pub mod walks;
pub mod write;

use super::support::dice;

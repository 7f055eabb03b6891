//! What a lamp is sized for, what came of it, and its forms.

use crate::finding::Sizing;
use crate::report::{self, Look};
use crate::sizing::{LedWish, NeonWish};

/// A lamp to size a dropper for, its values as texts written as a jig file writes them.
#[derive(Debug, Clone)]
pub enum Wish {
    /// A glow lamp.
    Neon(NeonWish),
    /// A string of LEDs.
    Led(LedWish),
}

/// Designs of a dropper.
#[derive(Debug, Clone)]
pub struct Design {
    /// The designs that were tried, the best first, with what the checks say of each. SI base units everywhere.
    pub sizing: Sizing,
    /// Text of the jig file of the chosen design; none when no design will do.
    pub text: Option<String>,
}

impl Design {
    /// Exit status of the program: 0 when a design passes the checks, else 1.
    pub fn exit_status(&self) -> u8 {
        self.sizing.exit_status()
    }

    /// The stable JSON of `deadfront size --format json`, with a line end behind it.
    pub fn to_json(&self) -> String {
        report::size_json(&self.sizing)
    }

    /// What `deadfront size` prints.
    pub fn to_text(&self, look: Look) -> String {
        report::size_text(&self.sizing, look)
    }
}

//! Plugins that move between shops: packed into one archive, signed, vetted, weighed against this shop's policy,
//! installed whole or not at all, and verified again before each use. Knows files, keys and records; must not know
//! what a plugin finds, run one, or know the jig it is meant for.
//!
//! What is installed is the archive itself, never a folder of loose files: its bytes are hashed, its signature and
//! its vets verified and the policy weighed anew each time it is loaded. Trust stands in `shops.toml` alone. It is
//! given by name and key, for stated things and until a stated day; no record can hand it on.

pub mod archive;
mod day;
mod disk;
mod error;
mod gate;
mod gzip;
pub mod home;
mod install;
mod installed;
mod laid;
pub mod lock;
mod names;
pub mod own;
mod parcel;
pub mod policy;
pub mod shops;
pub mod sign;
pub mod vet;
mod weigh;

pub use day::Day;
pub use error::{SharingError, Why};
pub use gate::{Gate, Stopped, gate};
pub use home::Home;
pub use install::{Added, Outcome, Removed, add, remove};
pub use installed::{Installed, installed};

/// sha256 of bytes as lower-case hex.
pub fn sha256(bytes: &[u8]) -> String {
    use sha2::{Digest as _, Sha256};
    use std::fmt::Write as _;
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut text, byte| {
        // Writing to a text does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

//! Plugins that move between shops: packed into one archive, signed, vetted, held against this shop's policy,
//! installed whole or not at all, and verified again before each use. Knows files, keys and records; must not know
//! what a plugin finds, run one, or know the jig it is meant for.
//!
//! What is installed is the archive itself, never a folder of loose files: its bytes are hashed, its signature and
//! its vets verified and the policy applied anew each time it is loaded. Trust stands in `shops.toml` alone. It is
//! given by name and key, for stated things and until a stated day; no record can hand it on.

mod admit;
mod applicable;
pub mod archive;
mod day;
mod disk;
mod error;
mod evaluate;
mod gzip;
mod held;
pub mod home;
mod install;
mod installation;
mod installed;
pub mod lock;
mod names;
pub mod own;
mod parcel;
pub mod policy;
mod remove;
mod rules;
pub mod shops;
pub mod sign;
mod signed;
mod sources;
mod stored;
pub mod vet;

pub use crate::files::sha256;
pub use admit::AddedPlugin;
pub use applicable::{Applicable, applicable};
pub use day::Day;
pub use error::{SharingError, SharingErrorKind};
pub use home::Home;
pub use install::{Added, add};
pub use installed::{Installed, installed};
pub use remove::{Removed, remove};
pub use sources::{Sources, write_lock};

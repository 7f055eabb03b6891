//! Plugins that move between shops: packed into one archive, signed, vetted, held against this shop's policy,
//! installed whole or not at all, and verified again before each use. Knows files, keys and records; must not know
//! what a plugin finds, run one, or know the jig it is meant for.
//!
//! What is installed is the archive itself, never a folder of loose files: its bytes are hashed, its signature and
//! its vets verified and the policy applied anew each time it is loaded. Trust stands in `shops.toml` alone. It is
//! given by name and key, for stated things and until a stated day; no record can hand it on.

mod admit;
pub(crate) mod affected;
mod applicable;
pub(crate) mod archive;
pub(crate) mod beforehand;
pub(crate) mod carry;
mod day;
mod disk;
pub(crate) mod dossier;
mod error;
mod evaluate;
mod guard;
mod gzip;
mod held;
pub(crate) mod home;
mod install;
mod installation;
mod installed;
pub(crate) mod key_record;
pub(crate) mod keys;
pub(crate) mod lift;
pub(crate) mod lock;
mod names;
pub(crate) mod own;
mod parcel;
pub(crate) mod policy;
pub(crate) mod refresh;
mod remove;
pub(crate) mod rotate;
mod rules;
mod seen;
pub(crate) mod shelf;
pub(crate) mod shops;
pub(crate) mod sign;
mod signed;
mod sound;
mod sources;
mod standing;
pub(crate) mod stop;
mod stored;
pub(crate) mod vet;

pub(crate) use crate::files::sha256;
pub(crate) use admit::AddedPlugin;
#[cfg(test)]
pub(crate) use applicable::applicable;
pub use day::Day;
pub use error::SharingError;
pub(crate) use error::SharingErrorKind;
pub use home::Home;
pub(crate) use install::{Added, add};
#[cfg(any(test, feature = "measured"))]
pub(crate) use installed::installed;
pub(crate) use installed::kept_versions;
pub(crate) use remove::remove;
pub use sources::Sources;
pub(crate) use sources::write_lock;

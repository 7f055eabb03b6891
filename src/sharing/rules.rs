//! What decides about a plugin on one day: this shop's policy and the shops it trusts. Must not decide.

use super::policy::Policy;
use super::shops::Shops;
use super::{Day, Home, SharingError};

/// Policy and trusted shops as of a day.
#[derive(Debug, Clone)]
pub(super) struct Rules {
    pub(super) policy: Policy,
    pub(super) shops: Shops,
    pub(super) today: Day,
    /// Whether a plugin may take the id of one that ships, or that another shop signed.
    pub(super) replace: bool,
}

impl Rules {
    /// Those of a home.
    ///
    /// # Errors
    /// The policy or the list of shops cannot be read.
    pub(super) fn load(home: &Home, today: Day) -> Result<Rules, SharingError> {
        Ok(Rules { policy: Policy::load(home)?, shops: Shops::load(home)?, today, replace: false })
    }
}

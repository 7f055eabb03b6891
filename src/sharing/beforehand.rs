//! What can fail before a key is unlocked: told before anybody is asked for its password. All of it is looked at again by what
//! does the work. Must not know a password.

use super::own::{Statement, read_archive, vettable};
use super::shops::Shops;
use super::signed::signature_place;
use super::{Home, SharingError, lift, names};
use std::path::Path;

/// Whether there is a key to unlock.
///
/// # Errors
/// There is none, or others can read it.
pub(crate) fn can_unlock(home: &Home) -> Result<(), SharingError> {
    let _held = home.reading()?;
    home.key_is_private()?;
    let place = home.secret_key();
    let none =
        || SharingError::wrong(&place, "this shop has no key", "make one with `deadfront plugin shops own NAME`");
    home.read_text(&place)?.map(|_| ()).ok_or_else(none)
}

/// Whether an archive can be signed once the key is unlocked.
///
/// # Errors
/// There is no key, the archive is none, or a signature lies beside it.
pub(crate) fn can_sign(home: &Home, archive: &Path) -> Result<(), SharingError> {
    can_unlock(home)?;
    read_archive(home, archive)?;
    let beside = signature_place(archive);
    if beside.symlink_metadata().is_ok() {
        return Err(SharingError::wrong(&beside, "is there already", "move it out of the way to sign again"));
    }
    Ok(())
}

/// Whether a record can be written of an archive once the key is unlocked.
///
/// # Errors
/// There is no key, the archive is none, or what is said of it does not hold together.
pub(crate) fn can_vet(home: &Home, archive: &Path, said: &Statement) -> Result<(), SharingError> {
    can_unlock(home)?;
    vettable(home, archive, said).map(|_| ())
}

/// Whether a stop can be lifted once the key is unlocked.
///
/// # Errors
/// There is no key, nothing of that name is stopped, or nobody is named who lifts it.
pub(crate) fn can_lift(home: &Home, what: &str, why: &lift::LiftReason) -> Result<(), SharingError> {
    can_unlock(home)?;
    let _held = home.reading()?;
    lift::liftable(home, what, why).map(|_| ())
}

/// Whether a shop of that name can have its key made.
///
/// # Errors
/// The name cannot be used, or is listed already.
pub(crate) fn can_make(home: &Home, name: &str) -> Result<(), SharingError> {
    let place = home.shops();
    if let Some(error) = names::error_in_shop(name) {
        return Err(SharingError::wrong(&place, format!("the name \"{}\" {error}", name.escape_debug()), ""));
    }
    // A home that is not there yet lists nobody.
    if place.symlink_metadata().is_err() {
        return Ok(());
    }
    let _held = home.reading()?;
    let listed = Shops::load(home)?.iter().any(|s| s.name == name);
    let key = home.secret_key();
    if listed && key.symlink_metadata().is_ok() {
        let help = "a shop has one key; whoever trusts it knows it by that one";
        return Err(SharingError::wrong(&key, "this shop has a key already", help));
    }
    Ok(())
}

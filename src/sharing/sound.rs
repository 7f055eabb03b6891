//! What is odd about a home before anything of it is read: a link, a folder everybody may write, a key others may read.
//! Must not know what stands in it.

use super::{Home, SharingError};
use std::io::ErrorKind;
use std::path::Path;

impl Home {
    /// Whether what stands in the home can be this user's own word.
    ///
    /// # Errors
    /// Everybody may write the home or a folder or list of it, so that anybody could have given trust.
    pub(super) fn sound(&self) -> Result<(), SharingError> {
        let below =
            [self.plugins(), self.store(), self.vets(), self.stops(), self.lifts(), self.policy(), self.shops()];
        let places = std::iter::once(self.root().to_path_buf()).chain(below);
        for place in places {
            if mode(&place).is_some_and(|mode| mode & EVERYBODY_WRITES != 0) {
                let help =
                    format!("take that right away (chmod o-w {}), and look at what stands there", place.display());
                let message = "everybody on this machine may write it, and could let in plugins and keys";
                return Err(SharingError::wrong(&place, message, help));
            }
        }
        Ok(())
    }

    /// Whether this shop's key is kept as a key has to be.
    ///
    /// # Errors
    /// Others may read the key, or write the folder it lies in.
    pub(super) fn key_is_private(&self) -> Result<(), SharingError> {
        let (key, folder) = (self.secret_key(), self.key_folder());
        if mode(&key).is_some_and(|mode| mode & OTHERS != 0) {
            let help = format!(
                "take that right away (chmod 600 {}); whoever has copied it needs only the password, so think of a new key",
                key.display()
            );
            return Err(SharingError::wrong(&key, "others on this machine may read or write this shop's key", help));
        }
        if mode(&folder).is_some_and(|mode| mode & OTHERS_WRITE != 0) {
            let help = format!("take that right away (chmod 700 {})", folder.display());
            return Err(SharingError::wrong(&folder, "others on this machine may put another key here", help));
        }
        Ok(())
    }

    /// What is worth saying of the home, one sentence each.
    pub(crate) fn remarks(&self) -> Vec<String> {
        let mut remarks: Vec<String> = self.missing().into_iter().collect();
        if self.root().is_symlink() {
            let real = std::fs::canonicalize(self.root());
            let real = real.map_or_else(|_| "a folder that is not there".into(), |real| real.display().to_string());
            remarks.push(format!("the home {} is a link to {real}", self.root().display()));
        }
        if mode(&self.key_folder()).is_some_and(|mode| mode & OTHERS != 0) {
            let folder = self.key_folder();
            remarks.push(format!("others may look into {}: chmod 700 keeps them out", folder.display()));
        }
        remarks.extend(self.key_is_private().err().map(|error| error.to_string()));
        remarks
    }

    /// Says so where a home that was named is not there.
    pub(crate) fn missing(&self) -> Option<String> {
        let gone = matches!(self.root().metadata(), Err(e) if e.kind() == ErrorKind::NotFound);
        let named = format!("the home {}, which {} names, is not there", self.root().display(), super::home::VARIABLE);
        (self.is_named() && gone).then_some(named)
    }
}

/// Rights of a file as the system writes them: three bits each for owner, group, everybody.
const OTHERS: u32 = 0o077;
const OTHERS_WRITE: u32 = 0o022;
const EVERYBODY_WRITES: u32 = 0o002;

/// Rights of what lies there, where the system knows them.
#[cfg(unix)]
fn mode(place: &Path) -> Option<u32> {
    std::fs::metadata(place).ok().map(|found| std::os::unix::fs::PermissionsExt::mode(&found.permissions()))
}

#[cfg(not(unix))]
fn mode(_: &Path) -> Option<u32> {
    None
}

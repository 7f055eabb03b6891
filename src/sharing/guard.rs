//! One lock on a home, for all that read or write it: many may read at once, who writes is alone. The system holds it and
//! lets it go with the run that took it, so that a run that is killed leaves nothing locked. Must not know what stands in
//! the home.

use super::{Home, SharingError};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind};
use std::path::Path;
use std::time::{Duration, Instant};

/// Longest wait for another run.
const WAIT: Duration = Duration::from_secs(60);
/// Pause between two looks.
const PAUSE: Duration = Duration::from_millis(2);

/// Holds a home for as long as it lives. None where there is nothing to hold.
#[derive(Debug)]
pub(super) struct Guard {
    _held: Option<File>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Use {
    Reading,
    Writing,
}

impl Home {
    /// Holds the home for reading: nobody writes while this lives. A home that is not there holds nothing.
    ///
    /// # Errors
    /// Everybody may write it, another run holds it for too long, or the machine did not do it.
    pub(super) fn reading(&self) -> Result<Guard, SharingError> {
        match self.root().symlink_metadata() {
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(Guard { _held: None }),
            _ => self.held(Use::Reading),
        }
    }

    /// Holds the home for writing, and makes it where it is not there: nobody else reads or writes while this lives.
    ///
    /// # Errors
    /// As for reading, or the folder could not be made.
    pub(super) fn writing(&self) -> Result<Guard, SharingError> {
        if self.root().symlink_metadata().is_err() {
            private_folder(self.root()).map_err(|e| {
                SharingError::machine(self.root(), "the home could not be made; nothing was changed", &e)
            })?;
        }
        self.held(Use::Writing)
    }

    fn held(&self, wish: Use) -> Result<Guard, SharingError> {
        let root = self.root();
        let failed = |e: io::Error| SharingError::machine(root, "the home could not be opened", &e);
        let folder = File::open(root).map_err(failed)?;
        self.sound()?;
        match wait(&folder, wish) {
            Ok(true) => return Ok(Guard { _held: Some(folder) }),
            Ok(false) => return Err(busy(root)),
            // Not every file system locks folders: a file in it is locked then.
            Err(_) => {}
        }
        let place = root.join(".lock");
        let file = match OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&place) {
            Ok(file) => file,
            // Nobody can write there, or this user cannot: what is there is read as it is.
            Err(_) if wish == Use::Reading => return Ok(Guard { _held: None }),
            Err(error) => {
                return Err(SharingError::machine(&place, "could not be written; nothing was changed", &error));
            }
        };
        match wait(&file, wish) {
            Ok(true) => Ok(Guard { _held: Some(file) }),
            Ok(false) => Err(busy(root)),
            Err(error) => Err(SharingError::machine(&place, "could not be locked; nothing was changed", &error)),
        }
    }
}

fn busy(root: &Path) -> SharingError {
    let message = format!("another deadfront has held this home for {} s", WAIT.as_secs());
    SharingError {
        kind: super::SharingErrorKind::Machine,
        ..SharingError::wrong(root, message, "end it, or try again later")
    }
}

/// Waits for the lock; false where another run kept it for too long.
fn wait(file: &File, wish: Use) -> io::Result<bool> {
    let begun = Instant::now();
    loop {
        let tried = match wish {
            Use::Reading => file.try_lock_shared(),
            Use::Writing => file.try_lock(),
        };
        match tried {
            Ok(()) => return Ok(true),
            Err(TryLockError::Error(error)) => return Err(error),
            Err(TryLockError::WouldBlock) if begun.elapsed() > WAIT => return Ok(false),
            Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
        }
    }
}

/// Makes a folder for this user only, and what is missing above it.
pub(super) fn private_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    folder.parent().filter(|p| !p.as_os_str().is_empty()).map_or(Ok(()), std::fs::create_dir_all)?;
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    match builder.create(folder) {
        // Another run was quicker.
        Err(error) if error.kind() == ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        made => made,
    }
}

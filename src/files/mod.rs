//! Files written whole or not at all, and the hash of what stands in them. Must not know what that means, nor word what
//! went wrong.

use std::cell::Cell;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write as _};
use std::path::Path;
use tempfile::TempPath;

/// What the machine says of an error, without its number, which tells nobody anything.
pub(crate) fn reason(error: &io::Error) -> String {
    let words = error.to_string();
    let plain = words.split(" (os error").next().unwrap_or(&words);
    plain.chars().enumerate().map(|(k, c)| if k == 0 { c.to_ascii_lowercase() } else { c }).collect()
}

/// sha256 of bytes, lower-case hex (FIPS 180-4).
pub(crate) fn sha256(bytes: &[u8]) -> String {
    use sha2::{Digest as _, Sha256};
    hex(&Sha256::digest(bytes))
}

/// Bytes as lower-case hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes.iter().fold(String::with_capacity(2 * bytes.len()), |mut text, byte| {
        // Writing to a text does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// How the names of files and folders begin that are not written to their end yet. A run that is killed may leave one
/// behind.
pub(crate) const UNFINISHED: &str = ".unfinished-";

/// What becomes of a file that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Existing {
    /// It stays as it is: writing is an error.
    Kept,
    /// The new one takes its place.
    Replaced,
}

/// Who may read a new file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Readers {
    /// This user only, where the system knows owners of files.
    Owner,
    /// Whoever the user lets read a file that is made: what the umask leaves of it.
    Anyone,
}

/// Writes a file whole or not at all, beside its place first and then renamed. It is on the disk before this returns.
///
/// # Errors
/// What the system says, [`ErrorKind::AlreadyExists`] where a file stays. What was at `place` is then as it was.
pub(crate) fn write(place: &Path, bytes: &[u8], existing: Existing, readers: Readers) -> io::Result<()> {
    let kept = existing == Existing::Kept;
    if kept && place.symlink_metadata().is_ok() {
        return Err(ErrorKind::AlreadyExists.into());
    }
    if place.file_name().is_none() {
        return Err(io::Error::new(ErrorKind::InvalidInput, "the path names no file"));
    }
    let folder = folder_of(place);
    let (mut file, unfinished) = unfinished(folder, readers)?;
    file.write_all(bytes).and_then(|()| file.sync_all())?;
    // An open file cannot be renamed everywhere.
    drop(file);
    if kept {
        renamed_to_none(unfinished, place)?
    } else {
        unfinished.persist(place).map_err(|e| e.error)?
    }
    synced(folder)
}

/// Makes a folder with these files in it, whole or not at all. Names are relative, with `/` between folders. It is on the disk
/// before this returns.
///
/// # Errors
/// What the system says, [`ErrorKind::AlreadyExists`] where something of that name is there. Nothing was made then.
pub(crate) fn write_folder<'f>(place: &Path, files: impl IntoIterator<Item = (&'f str, String)>) -> io::Result<()> {
    if place.symlink_metadata().is_ok() {
        return Err(ErrorKind::AlreadyExists.into());
    }
    // In a folder of its own first: what is seen under the name is complete, and what a failure leaves goes with it.
    let apart = tempfile::Builder::new().prefix(UNFINISHED).tempdir_in(folder_of(place))?;
    let made = apart.path().join("made");
    fs::create_dir(&made)?;
    for (name, text) in files {
        let file = made.join(name);
        fs::create_dir_all(folder_of(&file))?;
        let mut new = OpenOptions::new().write(true).create_new(true).open(&file)?;
        new.write_all(text.as_bytes()).and_then(|()| new.sync_all())?;
        for folder in folder_of(&file).ancestors().take_while(|f| f.starts_with(&made)) {
            synced(folder)?;
        }
    }
    fs::rename(&made, place)?;
    synced(folder_of(place))
}

/// The folder a file lies in.
fn folder_of(place: &Path) -> &Path {
    place.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A new file under a name of its own, removed when the path is dropped.
fn unfinished(folder: &Path, readers: Readers) -> io::Result<(File, TempPath)> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, if readers == Readers::Owner { 0o600 } else { 0o666 });
    #[cfg(not(unix))]
    let _ = readers;
    // The library puts the name it made up into its error, which tells nobody anything.
    let system = Cell::new(None);
    let open = |path: &Path| options.open(path).inspect_err(|e| system.set(e.raw_os_error()));
    let made = tempfile::Builder::new().prefix(UNFINISHED).make_in(folder, open);
    let made = made.map_err(|error| system.take().map_or(error, io::Error::from_raw_os_error))?;
    Ok(made.into_parts())
}

/// Gives a finished file its name, which no other has, even one that was made meanwhile.
fn renamed_to_none(unfinished: TempPath, place: &Path) -> io::Result<()> {
    match unfinished.persist_noclobber(place) {
        Ok(()) => Ok(()),
        Err(failed) if failed.error.kind() == ErrorKind::AlreadyExists => Err(failed.error),
        // Where a file system can neither link nor rename without replacing, renaming is the next best.
        Err(_) if place.symlink_metadata().is_ok() => Err(ErrorKind::AlreadyExists.into()),
        Err(failed) => failed.path.persist(place).map_err(|e| e.error),
    }
}

/// The name has to reach the disk too. Where folders cannot be opened or synced as files, the system sees to it itself.
fn synced(folder: &Path) -> io::Result<()> {
    let Ok(folder) = File::open(folder) else { return Ok(()) };
    match folder.sync_all() {
        Err(error) if !matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Err(error),
        _ => Ok(()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_kept_or_replaced_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("a.toml");
        write(&place, b"first", Existing::Kept, Readers::Anyone).unwrap();
        let refused = write(&place, b"second", Existing::Kept, Readers::Anyone).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&place).unwrap(), b"first");
        write(&place, b"third", Existing::Replaced, Readers::Owner).unwrap();
        assert_eq!(fs::read(&place).unwrap(), b"third");
        let nowhere = write(&folder.path().join("no/such.toml"), b"x", Existing::Kept, Readers::Anyone).unwrap_err();
        assert_eq!(nowhere.to_string(), fs::read(folder.path().join("no/such.toml")).unwrap_err().to_string());
        assert!(write(Path::new("/"), b"x", Existing::Replaced, Readers::Anyone).is_err());
        assert_eq!(names(folder.path()), ["a.toml"]);
    }

    #[cfg(unix)]
    #[test]
    fn what_is_the_owners_is_for_nobody_else() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let mode = |readers| {
            let place = folder.path().join("a");
            write(&place, b"x", Existing::Replaced, readers).unwrap();
            fs::metadata(&place).unwrap().permissions().mode() & 0o777
        };
        assert_eq!(mode(Readers::Owner), 0o600);
        // What the umask leaves of any file that is made here.
        let plain = folder.path().join("plain");
        fs::write(&plain, "x").unwrap();
        assert_eq!(mode(Readers::Anyone), fs::metadata(&plain).unwrap().permissions().mode() & 0o777);
    }

    /// A link that somebody laid where a file is written is not followed: what it leads to stays as it was.
    #[cfg(unix)]
    #[test]
    fn links_are_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let [victim, link, dangling] = ["victim", "link", "dangling"].map(|n| folder.path().join(n));
        fs::write(&victim, "as it was").unwrap();
        std::os::unix::fs::symlink(&victim, &link).unwrap();
        std::os::unix::fs::symlink(folder.path().join("nowhere"), &dangling).unwrap();
        for place in [&link, &dangling] {
            let kept = write(place, b"x", Existing::Kept, Readers::Anyone).unwrap_err();
            assert_eq!(kept.kind(), ErrorKind::AlreadyExists);
            assert_eq!(write_folder(place, [("a", "A".to_string())]).unwrap_err().kind(), ErrorKind::AlreadyExists);
            write(place, b"x", Existing::Replaced, Readers::Owner).unwrap();
            assert!(fs::symlink_metadata(place).unwrap().file_type().is_file());
        }
        assert_eq!(fs::read(&victim).unwrap(), b"as it was");
        assert_eq!(names(folder.path()), ["dangling", "link", "victim"]);
    }

    #[test]
    fn a_folder_is_made_once_and_whole() {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("new");
        let files = || [("a.txt", "A".to_string()), ("below/b.txt", "B".to_string())];
        write_folder(&place, files()).unwrap();
        assert_eq!(fs::read(place.join("below/b.txt")).unwrap(), b"B");
        assert_eq!(write_folder(&place, files()).unwrap_err().kind(), ErrorKind::AlreadyExists);
        // A file cannot lie below a file: nothing of it is to be seen.
        let torn = [("a", "A".to_string()), ("a/b", "B".to_string())];
        assert!(write_folder(&folder.path().join("torn"), torn).is_err());
        assert_eq!(names(folder.path()), ["new"]);
    }
}

//! What was handed over to be added: archives, records and the signatures beside them, found in folders and files.
//! Must not know what they say.

use super::names::{ARCHIVE_ENDING, KEY_RECORD_ENDING, RECORD_ENDING, SIGNATURE_ENDING};
use super::policy::ArchiveLimits;
use super::signed::Signed;
use super::{SharingError, vet};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Everything that was handed over, each file once.
#[derive(Debug, Default)]
pub(super) struct Parcel {
    pub(super) archives: Vec<Signed>,
    pub(super) records: Vec<Signed>,
    /// What is said of keys.
    pub(super) key_records: Vec<Signed>,
}

/// Opens a parcel: of a folder everything in it (not in folders below), of an archive also the records beside it that
/// are named after it.
pub(super) fn open(paths: &[PathBuf], limits: &ArchiveLimits) -> Result<Parcel, Vec<SharingError>> {
    let (mut files, mut errors) = (BTreeSet::new(), vec![]);
    for path in paths {
        if let Err(error) = list(path, &mut files) {
            errors.push(error);
        }
    }
    let mut parcel = Parcel::default();
    for file in files {
        let is_archive = ends_with(&file, ARCHIVE_ENDING);
        let most = if is_archive { limits.archive_bytes() } else { vet::LONGEST };
        match Signed::read(&file, most) {
            Ok(signed) if is_archive => parcel.archives.push(signed),
            Ok(signed) if ends_with(&file, KEY_RECORD_ENDING) => parcel.key_records.push(signed),
            Ok(signed) => parcel.records.push(signed),
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() { Ok(parcel) } else { Err(errors) }
}

fn list(path: &Path, files: &mut BTreeSet<PathBuf>) -> Result<(), SharingError> {
    if path.is_dir() {
        let before = files.len();
        files.extend(in_folder(path)?.into_iter().filter(|p| is_ours(p)));
        if files.len() == before {
            let message = format!("holds no archive (*{}) and no record (*{})", ARCHIVE_ENDING, RECORD_ENDING);
            return Err(SharingError::wrong(path, message, "name the folder in which they lie"));
        }
    } else if ends_with(path, ARCHIVE_ENDING) {
        files.insert(path.to_path_buf());
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let stem = format!("{}.", name.trim_end_matches(ARCHIVE_ENDING));
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let beside = in_folder(folder)?.into_iter().filter(|p| ends_with(p, RECORD_ENDING));
        files.extend(beside.filter(|p| p.file_name().is_some_and(|n| n.to_string_lossy().starts_with(&stem))));
    } else if ends_with(path, RECORD_ENDING) || ends_with(path, KEY_RECORD_ENDING) {
        files.insert(path.to_path_buf());
    } else if !ends_with(path, SIGNATURE_ENDING) {
        // A signature comes with what it signs.
        let help = format!("name archives (*{}), records (*{}) or a folder", ARCHIVE_ENDING, RECORD_ENDING);
        return Err(SharingError::wrong(path, "is neither an archive nor a record", help));
    }
    Ok(())
}

fn ends_with(path: &Path, ending: &str) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(ending))
}

fn is_ours(path: &Path) -> bool {
    [ARCHIVE_ENDING, RECORD_ENDING, KEY_RECORD_ENDING].iter().any(|ending| ends_with(path, ending))
}

fn in_folder(folder: &Path) -> Result<Vec<PathBuf>, SharingError> {
    let failed = |e: std::io::Error| SharingError::machine(folder, "the folder could not be read", &e);
    let entries = std::fs::read_dir(folder).map_err(failed)?;
    entries.map(|entry| Ok(entry.map_err(failed)?.path())).collect()
}

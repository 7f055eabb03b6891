//! Files with the signature beside them, and whose key it was. Must not know what the files say.

use super::SharingError;
use super::disk::read_bounded;
use super::names::SIGNATURE_ENDING;
use super::shops::{Shop, Shops};
use super::sign::{LONGEST, PublicKey, Signature};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// A file and the signature beside it, as they were found.
#[derive(Debug, Clone)]
pub(super) struct Signed {
    pub(super) place: PathBuf,
    pub(super) bytes: Vec<u8>,
    /// None where there is no signature beside it.
    pub(super) signature: Option<Vec<u8>>,
}

/// Whose signature it is.
pub(super) enum Signer<'s> {
    /// A shop of the list: its key was verified.
    Listed(&'s Shop, &'s PublicKey),
    /// A key that is not in the list, by its number.
    Unlisted(String),
}

/// Where the signature of a file has to lie.
pub(super) fn signature_place(place: &Path) -> PathBuf {
    let mut name = place.as_os_str().to_os_string();
    name.push(SIGNATURE_ENDING);
    PathBuf::from(name)
}

impl Signed {
    /// Reads a file of at most `most` bytes and the signature beside it, where there is one.
    ///
    /// # Errors
    /// One of them cannot be read, is no regular file or is longer.
    pub(super) fn read(place: &Path, most: u64) -> Result<Signed, SharingError> {
        let bytes = read_bounded(place, most)?;
        let beside = signature_place(place);
        let signature = match beside.symlink_metadata() {
            Ok(_) => Some(read_bounded(&beside, LONGEST)?),
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            Err(error) => return Err(SharingError::machine(&beside, "could not be read", &error)),
        };
        Ok(Signed { place: place.to_path_buf(), bytes, signature })
    }

    /// Finds the shop that signed it.
    ///
    /// # Errors
    /// There is no signature, it does not read, or it is by a listed key and does not fit the bytes.
    pub(super) fn signer<'s>(&self, shops: &'s Shops) -> Result<Signer<'s>, SharingError> {
        let place = signature_place(&self.place);
        let Some(bytes) = &self.signature else {
            let name = place.file_name().unwrap_or_default().to_string_lossy().into_owned();
            return Err(SharingError::wrong(&self.place, "has no signature", format!("put {name} beside it")));
        };
        let signature = Signature::read(bytes, &place)?;
        let number = signature.key_number();
        let keys = shops.iter().flat_map(|s| s.keys().map(move |key| (s, key)));
        let listed: Vec<_> = keys.filter(|(_, key)| key.number() == number).collect();
        if listed.is_empty() {
            return Ok(Signer::Unlisted(number));
        }
        let names: Vec<&str> = listed.iter().map(|(s, _)| s.name.as_str()).collect();
        let message = format!("is not what the key of {} signed", names.join(", "));
        let help = "file or signature were changed, or belong to different files: ask for both again, byte for byte";
        listed
            .into_iter()
            .find(|(_, key)| signature.is_of(key, &self.bytes))
            .map(|(shop, key)| Signer::Listed(shop, key))
            .ok_or_else(|| SharingError::wrong(&self.place, message, help))
    }
}

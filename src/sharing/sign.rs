//! Keys and signatures in the format of minisign, so that anybody can verify with that program alone. A signature is
//! read strictly: every byte of its file is either covered by it or fixed. Must not know whom to trust.

use super::SharingError;
use minisign::{KeyPair, SecretKeyBox, SignatureBox};
use std::io::Cursor;
use std::path::Path;

/// First line of a signature. The signature does not cover it, so it may not say anything: it is always this, which
/// is what the minisign program writes when it is not told otherwise.
const FIRST_LINE: &str = "signature from minisign secret key";

/// Longest signature or key that is read.
pub(super) const LONGEST: u64 = 4096;

/// A shop's public key.
#[derive(Debug, Clone)]
pub(crate) struct PublicKey(minisign::PublicKey);

impl PartialEq for PublicKey {
    fn eq(&self, other: &PublicKey) -> bool {
        self.text() == other.text()
    }
}

impl Eq for PublicKey {}

impl PublicKey {
    /// From its 56 characters, as they stand in `shops.toml`.
    ///
    /// # Errors
    /// What is wrong with them.
    pub(crate) fn from_text(text: &str) -> Result<PublicKey, String> {
        let wrong = "is no minisign public key: it has 56 characters and begins with RW".to_string();
        let key = PublicKey(minisign::PublicKey::from_base64(text).map_err(|_| wrong.clone())?);
        if key.text() == text && text.starts_with("RW") { Ok(key) } else { Err(wrong) }
    }

    /// From the file of a public key: a comment and the 56 characters, or these alone.
    ///
    /// # Errors
    /// What is wrong with it.
    pub(crate) fn from_file_text(text: &str) -> Result<PublicKey, String> {
        let mut lines = text.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with("untrusted comment:"));
        match (lines.next(), lines.next()) {
            (Some(line), None) => PublicKey::from_text(line),
            _ => Err("is no public key: it holds a comment and one line of 56 characters".into()),
        }
    }

    /// Its 56 characters.
    pub(crate) fn text(&self) -> String {
        self.0.to_base64()
    }

    /// Its number, as the minisign program prints it. Two keys may be given the same number on purpose: it finds a
    /// key, it proves nothing.
    pub(crate) fn number(&self) -> String {
        number(self.0.keynum())
    }

    /// A fingerprint of the whole key, to be read over a telephone: 12 groups of five digits. Of each 21 bits of the SHA-256
    /// of its 56 characters, from the first on, the remainder by 100,000.
    pub(crate) fn fingerprint(&self) -> String {
        use sha2::{Digest as _, Sha256};
        let bits: Vec<bool> = Sha256::digest(self.text().as_bytes())
            .iter()
            .flat_map(|b| (0..8).rev().map(move |k| b >> k & 1 == 1))
            .collect();
        let group = |bits: &[bool]| bits.iter().fold(0u32, |n, bit| n << 1 | u32::from(*bit)) % 100_000;
        let groups: Vec<String> = bits.chunks_exact(21).take(12).map(|b| format!("{:05}", group(b))).collect();
        groups.join(" ")
    }

    /// The text of a public key file.
    pub(crate) fn file_text(&self, shop: &str) -> String {
        format!("untrusted comment: minisign public key {}, {shop}\n{}\n", self.number(), self.text())
    }
}

fn number(bytes: &[u8]) -> String {
    bytes.iter().rev().map(|b| format!("{b:02X}")).collect()
}

/// A signature as it was read; it says nothing until it is verified.
pub(crate) struct Signature {
    inner: SignatureBox,
}

impl Signature {
    /// Reads the bytes of a `.minisig` file.
    ///
    /// # Errors
    /// What is wrong with it, when it is not exactly what signing writes.
    pub(crate) fn read(bytes: &[u8], place: &Path) -> Result<Signature, SharingError> {
        let help = "ask for the file again, byte for byte";
        let wrong = |message: &str| SharingError::wrong(place, message, help);
        let text = std::str::from_utf8(bytes).map_err(|_| wrong("is no signature: it is not UTF-8"))?;
        let inner = SignatureBox::from_string(text).map_err(|e| wrong(&format!("is no whole signature: {e}")))?;
        // The library skips what it does not need; nothing may be skipped here.
        let trusted = inner.trusted_comment().map_err(|e| wrong(&format!("is no whole signature: {e}")))?;
        if inner.untrusted_comment().ok().as_deref() != Some(FIRST_LINE) {
            let help = format!("its first line has to be \"untrusted comment: {FIRST_LINE}\"");
            return Err(SharingError::wrong(place, "has a first line that the signature does not cover", help));
        }
        if !inner.is_prehashed() || trusted.chars().any(|c| c != '\t' && c.is_control()) || inner.to_string() != text {
            return Err(wrong("is not written as a signature is written"));
        }
        Ok(Signature { inner })
    }

    /// Number of the key it says it was made with.
    pub(crate) fn key_number(&self) -> String {
        number(self.inner.keynum())
    }

    /// Whether this key made it over these bytes.
    pub(crate) fn is_of(&self, key: &PublicKey, bytes: &[u8]) -> bool {
        minisign::verify(&key.0, &self.inner, Cursor::new(bytes), true, false, false).is_ok()
    }
}

/// A shop's own secret key, unlocked.
pub(crate) struct SecretKey(minisign::SecretKey);

impl SecretKey {
    /// A new key: the public part, and the text of the secret key's file, encrypted with the password.
    ///
    /// # Errors
    /// The machine gave no random numbers or no memory.
    pub(crate) fn generate(password: &str) -> Result<(PublicKey, String), String> {
        let pair = KeyPair::generate_encrypted_keypair(Some(password.into())).map_err(|e| e.to_string())?;
        let secret = pair.sk.to_box(Some("minisign encrypted secret key")).map_err(|e| e.to_string())?;
        Ok((PublicKey(pair.pk), secret.into_string()))
    }

    /// Unlocks the text of a secret key's file.
    ///
    /// # Errors
    /// It is no encrypted key, or the password is not the right one.
    pub(crate) fn unlock(text: &str, password: &str) -> Result<SecretKey, String> {
        let locked = SecretKeyBox::from_string(text).map_err(|e| e.to_string())?;
        locked.into_secret_key(Some(password.into())).map(SecretKey).map_err(|e| e.to_string())
    }

    /// Its public part.
    ///
    /// # Errors
    /// The key is damaged.
    pub(crate) fn key(&self) -> Result<PublicKey, String> {
        minisign::PublicKey::from_secret_key(&self.0).map(PublicKey).map_err(|e| e.to_string())
    }

    /// The text of a signature's file over these bytes. `comment` is one line, covered by the signature.
    ///
    /// # Errors
    /// The machine gave no random numbers.
    pub(crate) fn sign(&self, bytes: &[u8], comment: &str) -> Result<String, String> {
        minisign::sign(None, &self.0, Cursor::new(bytes), Some(comment.trim()), Some(FIRST_LINE))
            .map(SignatureBox::into_string)
            .map_err(|e| e.to_string())
    }
}

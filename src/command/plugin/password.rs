//! Where the password of this shop's key comes from: a file, the environment, else the terminal. Must not know the
//! key.

use crate::sharing::SharingError;
use clap::Args;
use std::path::{Path, PathBuf};

/// Environment variable that holds the password, for scripts.
const VARIABLE: &str = "DEADFRONT_KEY_PASSWORD";

/// Where the password comes from.
#[derive(Debug, Clone, Args)]
pub struct PasswordArgs {
    /// File whose first line is the key's password; without it DEADFRONT_KEY_PASSWORD, else the terminal
    #[arg(long, value_name = "FILE")]
    pub password_file: Option<PathBuf>,
}

impl PasswordArgs {
    /// The password; asked for twice when it is a new one.
    pub(super) fn password(&self, new: bool) -> Result<String, SharingError> {
        if let Some(place) = &self.password_file {
            let text = std::fs::read_to_string(place)
                .map_err(|e| SharingError::machine(place, "the password could not be read", &e))?;
            return Ok(text.lines().next().unwrap_or_default().to_string());
        }
        if let Some(password) = std::env::var_os(VARIABLE) {
            let unreadable = |_| SharingError::wrong(Path::new(VARIABLE), "is not UTF-8", "");
            return password.into_string().map_err(unreadable);
        }
        let ask = |prompt: &str| {
            rpassword::prompt_password(prompt).map_err(|e| {
                let help = format!("in a script, set {VARIABLE} or name a file with --password-file");
                SharingError {
                    help,
                    ..SharingError::machine(Path::new("terminal"), "the password could not be asked for", &e)
                }
            })
        };
        let password = ask("Password of this shop's key: ")?;
        if new && ask("Once more: ")? != password {
            return Err(SharingError::wrong(
                Path::new("terminal"),
                "the two passwords differ",
                "nothing was made; try again",
            ));
        }
        Ok(password)
    }
}

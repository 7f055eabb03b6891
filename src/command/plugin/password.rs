//! Where the password of this shop's key comes from: a file, the environment, else the terminal. Must not know the
//! key.

use anyhow::{Context as _, anyhow, bail};
use clap::Args;
use std::path::PathBuf;

/// Environment variable that holds the password, for scripts.
const VARIABLE: &str = "DEADFRONT_KEY_PASSWORD";

/// Where the password comes from.
#[derive(Debug, Clone, Args)]
pub(crate) struct PasswordArgs {
    /// File whose first line is the key's password; without it DEADFRONT_KEY_PASSWORD, else the terminal
    #[arg(long, value_name = "FILE")]
    pub password_file: Option<PathBuf>,
}

impl PasswordArgs {
    /// The password; asked for twice when it is a new one.
    ///
    /// # Errors
    /// It could not be read or asked for, or differs from itself.
    pub(super) fn password(&self, new: bool) -> Result<String, anyhow::Error> {
        if let Some(place) = &self.password_file {
            let text = std::fs::read_to_string(place)
                .with_context(|| format!("{}: error: the password could not be read", place.display()))?;
            return Ok(text.lines().next().unwrap_or_default().to_string());
        }
        if let Some(password) = std::env::var_os(VARIABLE) {
            return password.into_string().map_err(|_| anyhow!("{VARIABLE}: error: is not UTF-8"));
        }
        let ask = |prompt: &str| {
            let help = format!("in a script, set {VARIABLE} or name a file with --password-file");
            let failed = |e: std::io::Error| {
                anyhow!("terminal: error: the password could not be asked for: {}; {help}", crate::files::reason(&e))
            };
            rpassword::prompt_password(prompt).map_err(failed)
        };
        let password = ask("Password of this shop's key: ")?;
        if new && ask("Once more: ")? != password {
            bail!("terminal: error: the two passwords differ; nothing was made; try again");
        }
        Ok(password)
    }
}

//! What to type instead of a command line that is not understood. Must not carry anything out.

use super::cli::Cli;
use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory, Error};

/// What people call a command, and what to type for it.
const COMMANDS: &[(&[&str], &str)] = &[
    (
        &["explain", "describe", "info", "rule", "checks"],
        "'deadfront why CHECK' tells what a check looks at, its limit and how to mend it",
    ),
    (
        &["sections", "supplies", "plugs", "lamps", "fuses", "cords", "resistors", "units", "kinds"],
        "'deadfront tables {}' lists them",
    ),
    (&["list", "ls", "show", "table"], "'deadfront tables' lists the lists of what a jig file may name"),
    (&["version"], "'deadfront --version' prints the version"),
    (
        &["init", "create", "template", "start", "begin", "example"],
        "'deadfront new UNIT FILE' writes a whole jig file to begin from",
    ),
    (&["diff"], "'deadfront compare OLD NEW' tells what changed between two jigs"),
    (
        &["lint", "verify", "test", "run", "analyse", "analyze", "simulate", "solve", "validate"],
        "'deadfront check JIG' does that",
    ),
    (&["watch"], "'deadfront check --watch JIG' checks again on each save"),
    (&["mend", "fix"], "'deadfront check JIG --mend FILE' writes the jig with the changes that were tried"),
    (
        &["print", "html", "pdf", "report", "draw", "picture"],
        "'deadfront sheet JIG --write FILE' writes a page to print",
    ),
    (
        &["measure", "meter", "reading", "readings", "first-power"],
        "'deadfront deadtest JIG' says what a meter must read",
    ),
    (
        &["dropper", "resistor", "calc", "calculate", "neon", "led"],
        "'deadfront size neon' and 'deadfront size led' choose a dropper",
    ),
    (&["ring", "disc", "disk"], "'deadfront strobe' tells which ring stands still, and prints rings"),
];

/// What people call an option, and what to type for it.
const OPTIONS: &[(&[&str], &str)] = &[
    (&["--verbose", "-v", "-vv", "--full", "--long", "--details"], "'deadfront check JIG --all' prints every table"),
    (&["--quiet", "-q", "--short"], "the short page is the default; the exit status says the verdict"),
    (&["--output", "-o", "--out", "--file"], "--write FILE (sheet, size), --mend FILE (check) write a file"),
    (&["--html", "--pdf", "--print"], "'deadfront sheet JIG --write FILE' writes a page to print"),
    (&["--fix", "--auto-fix"], "'deadfront check JIG --mend FILE' writes the jig with the changes that were tried"),
    (&["--no-color", "--no-colour"], "--colour never, or NO_COLOR in the environment"),
    (&["-V"], "'deadfront --version' prints the version"),
];

/// The error with what to type instead.
pub(super) fn hinted(mut error: Error, arguments: &[String]) -> Error {
    let named = |kind: ContextKind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.split('=').next().unwrap_or_default().to_string(),
        _ => String::new(),
    };
    let tips = match error.kind() {
        ErrorKind::InvalidSubcommand => command_instead(&named(ContextKind::InvalidSubcommand)),
        ErrorKind::UnknownArgument => instead(OPTIONS, &named(ContextKind::InvalidArg)).into_iter().collect(),
        ErrorKind::MissingRequiredArgument | ErrorKind::MissingSubcommand => missing(arguments),
        _ => vec![],
    };
    if !tips.is_empty() {
        let styled = tips.into_iter().map(StyledStr::from).collect();
        // The nearest by its letters is something else.
        error.remove(ContextKind::SuggestedSubcommand);
        error.insert(ContextKind::Suggested, ContextValue::StyledStrs(styled));
    }
    error
}

fn instead(known: &[(&[&str], &str)], word: &str) -> Option<String> {
    let said = word.to_lowercase();
    known.iter().find(|(names, _)| names.contains(&said.as_str())).map(|(_, tip)| tip.replace("{}", &said))
}

fn command_instead(word: &str) -> Vec<String> {
    // A slip of a letter: the nearest is found already.
    if word.ends_with(".toml") {
        return vec![format!("'deadfront check {word}' checks a jig")];
    }
    instead(COMMANDS, word).into_iter().collect()
}

/// The command as it is written in its own help, and what else helps to fill it in.
fn missing(arguments: &[String]) -> Vec<String> {
    let root = Cli::command();
    let mut command = &root;
    for word in arguments {
        if let Some(inner) = command.get_subcommands().find(|c| c.get_name() == word) {
            command = inner;
        }
    }
    let mut tips: Vec<String> = example(command).map(|line| format!("for example: {line}")).into_iter().collect();
    if command.get_name() == "new" {
        let units: Vec<&str> = crate::sizing::units().map(|u| u.name).collect();
        tips.push(format!("UNIT is one of {}", units.join(", ")));
    }
    tips
}

fn example(command: &Command) -> Option<String> {
    let help = command.get_after_help()?.to_string();
    let (_, behind) = help.split_once("Example:").or_else(|| help.split_once("Examples:"))?;
    behind.lines().map(str::trim).find(|line| !line.is_empty()).map(str::to_string)
}

#[cfg(test)]
mod tests {
    use super::{Cli, hinted};
    use clap::Parser;

    fn said(line: &str) -> String {
        let arguments: Vec<String> = line.split(' ').map(str::to_string).collect();
        let error = Cli::try_parse_from(&arguments).expect_err(line);
        hinted(error, &arguments).to_string()
    }

    #[test]
    fn a_lost_command_line_is_told_what_to_type() {
        for (line, wanted) in [
            ("deadfront explain", "deadfront why CHECK"),
            ("deadfront help kinds", "deadfront tables kinds"),
            ("deadfront supplies", "deadfront tables supplies"),
            ("deadfront list", "deadfront tables"),
            ("deadfront version", "deadfront --version"),
            ("deadfront lamp.toml", "deadfront check lamp.toml"),
            ("deadfront check --verbose", "--all"),
            ("deadfront check", "for example: deadfront check "),
            ("deadfront new", "UNIT is one of strobe-lamp, "),
            ("deadfront compare a.toml", "for example: deadfront compare "),
            ("deadfront chek a.toml", "'check'"),
        ] {
            let text = said(line);
            assert!(text.contains(wanted), "{line}: {text}");
            assert!(!text.contains("'plugin'") && !text.contains("tip:\n"), "{line}: {text}");
        }
    }
}

//! `--budget`: how long a check may take. Must not know what becomes of it.

use crate::quantity::{Kind, parse, quote};
use clap::Args;
use std::str::FromStr;
use std::time::Duration;

const SECONDS_A_MINUTE: f64 = 60.0;
const SECONDS_AN_HOUR: f64 = 3600.0;

/// How long a check may take
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct BudgetArgs {
    /// How long a check may take, such as "5 min", or none; what is not tried by then makes it incomplete
    #[arg(long, value_name = "TIME", default_value = "60s")]
    pub budget: Allowed,
}

impl BudgetArgs {
    /// The time; `None` for as long as it takes.
    pub(crate) fn allowed(self) -> Option<Duration> {
        self.budget.0
    }
}

/// A time, or none for as long as it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Allowed(Option<Duration>);

impl FromStr for Allowed {
    type Err = String;

    fn from_str(text: &str) -> Result<Allowed, String> {
        let text = text.trim();
        if text == "none" {
            return Ok(Allowed(None));
        }
        let wrong =
            |what: String| format!("{what}; write such as \"60 s\", \"5 min\", or none for as long as it takes");
        let number = |number: &str, unit: f64| number.trim().parse().ok().map(|n: f64| n * unit);
        let whole = text.strip_suffix("min").and_then(|n| number(n, SECONDS_A_MINUTE));
        let whole = whole.or_else(|| text.strip_suffix('h').and_then(|n| number(n, SECONDS_AN_HOUR)));
        let seconds = match whole {
            Some(seconds) => seconds,
            None => parse(text, Kind::Time).map_err(|e| wrong(e.message))?,
        };
        let duration = Duration::try_from_secs_f64(seconds).ok().filter(|d| !d.is_zero());
        duration.map(|d| Allowed(Some(d))).ok_or_else(|| wrong(format!("{} is no time to check in", quote(text))))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Allowed;
    use std::time::Duration;

    #[test]
    fn times_as_people_write_them() {
        let read = |text: &str| text.parse::<Allowed>().map(|a| a.0);
        for (text, seconds) in
            [("60s", 60.0), ("60 s", 60.0), ("5 min", 300.0), ("1.5min", 90.0), ("1 h", 3600.0), ("250 ms", 0.25)]
        {
            assert_eq!(read(text), Ok(Some(Duration::from_secs_f64(seconds))), "{text}");
        }
        assert_eq!(read("none"), Ok(None));
        for text in ["", "60", "0 s", "-5 s", "-1 min", "nan min", "inf h", "1e300 min", "soon", "5 V", "min"] {
            let error = read(text).unwrap_err();
            assert!(error.contains("or none for as long as it takes"), "{text}: {error}");
        }
    }
}

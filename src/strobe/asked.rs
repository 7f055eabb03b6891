//! Which speeds are asked for.

use super::read;
use super::wish::StrobeWish;
use crate::jig::{InputError, Jig};
use crate::standard::strobe::{UsualSpeed, speed};

/// Units whose plugin takes the bars of a ring and the speed it is for.
const STROBES: [&str; 2] = ["strobe-lamp", "led-strobe"];

/// A speed that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Asked {
    /// Turns a minute.
    pub rpm: f64,
    /// What it is called.
    pub label: String,
    /// Bars of the ring there is; `None` where they are to be worked out.
    pub bars: Option<u32>,
    /// What asks for it: an option, a key of the jig; nothing for a usual speed.
    pub option: String,
}

/// Speeds that are asked for: those of the wish, else the usual ones; before them that of the ring that the wish or the jig
/// states.
///
/// # Errors
/// What is wrong with the wish.
pub(super) fn asked(jig: Option<&Jig>, wish: &StrobeWish) -> Result<Vec<Asked>, Vec<InputError>> {
    let mut errors = vec![];
    let mut out: Vec<Asked> = vec![];
    for text in &wish.rpm {
        match read::speed("--rpm", text) {
            Ok((rpm, label)) => out.push(Asked { rpm, label, bars: None, option: "--rpm".into() }),
            Err(e) => errors.push(e),
        }
    }
    let bars = wish.bars.as_ref().and_then(|text| read::bars(text).map_err(|e| errors.push(e)).ok());
    if !errors.is_empty() {
        return Err(errors);
    }
    if let Some(bars) = bars {
        let first = out.first().cloned().unwrap_or_else(|| named(THIRTY_THREE));
        out.insert(0, Asked { bars: Some(bars), option: "--bars".into(), ..first });
    }
    if wish.rpm.is_empty() {
        out.extend(jig.and_then(stated).filter(|_| bars.is_none()));
        out.extend(speed().iter().map(usual));
    }
    Ok(out)
}

/// The speed a ring of stated bars is taken for where none is given.
const THIRTY_THREE: &str = "33_1_3";

fn named(id: &str) -> Asked {
    let row = speed().iter().find(|s| s.id == id).expect("strobe.toml: the usual speeds are tested");
    usual(row)
}

fn usual(row: &UsualSpeed) -> Asked {
    Asked { rpm: row.rpm(), label: row.label.clone(), bars: None, option: String::new() }
}

/// What the jig states of its ring, for its unit's plugin.
fn stated(jig: &Jig) -> Option<Asked> {
    let of = |name: &str| {
        let s = jig.plugin_settings.iter().find(|s| STROBES.contains(&s.plugin.as_str()) && s.name == name)?;
        let number = s.value.as_float().or_else(|| s.value.as_integer().map(|n| n as f64));
        number.filter(|n| n.is_finite() && *n > 0.0).map(|n| (n, format!("[plugin.{}]", s.plugin)))
    };
    let (bars, rpm) = (of("bars"), of("rpm"));
    let option = bars.as_ref().or(rpm.as_ref())?.1.clone();
    let bars = bars.map(|(n, _)| n.round() as u32).filter(|n| *n > 0);
    let (rpm, label) = match rpm {
        // A third of a turn written with a few digits is meant to the last one.
        Some((n, _)) => match speed().iter().map(usual).find(|s| (s.rpm - n).abs() < 1e-3) {
            Some(s) => (s.rpm, s.label),
            None => (n, format!("{n}")),
        },
        None => (named(THIRTY_THREE).rpm, named(THIRTY_THREE).label),
    };
    Some(Asked { rpm, label, bars, option })
}

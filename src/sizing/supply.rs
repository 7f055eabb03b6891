//! The supply, plug, cord and fuses that a design starts from. Must not know lamps.

use super::wish::{MainsWish, Reader};
use crate::quantity::{Kind, format, quote};
use crate::standard::{self, Arrangement, Level, Mains, Plug};

/// Supply and plug, read.
#[derive(Debug, Clone)]
pub(super) struct Feed {
    /// The mains.
    pub(super) mains: Mains,
    /// Keys of `[supply]` that say it.
    pub(super) keys: Vec<(&'static str, String)>,
    /// Letter, row, or "fixed".
    pub(super) letter: String,
    /// The plug; `None` when hard-wired.
    pub(super) plug: Option<Plug>,
    /// What was taken without being asked for, in words.
    pub(super) notes: Vec<String>,
    /// File that findings point at.
    pub(super) file: String,
}

impl Feed {
    /// Reads the wishes; `None` after an error.
    pub(super) fn read(wish: &MainsWish, r: &mut Reader) -> Option<Feed> {
        let (mains, keys) = mains(wish, r)?;
        let mut notes = vec![];
        let letter = wish.plug.clone().unwrap_or_else(|| {
            let (letter, note) = usual_plug(&mains);
            notes.push(note);
            letter.to_string()
        });
        let fixed = letter.trim() == "fixed";
        let plug = if fixed { None } else { standard::plug(&letter) };
        if plug.is_none() && !fixed {
            r.wrong("--plug", format!("{} is no plug type", quote(&letter)), standard::plug::instead(&letter));
            return None;
        }
        notes.extend(plug.as_ref().filter(|_| wish.plug.is_some()).and_then(|p| unusual(&mains, p)));
        let file = wish.file.clone().unwrap_or_else(|| "jig not written".to_string());
        Some(Feed { mains, keys, letter: letter.trim().to_string(), plug, notes, file })
    }

    /// Whether either pin can be live, so that each pole needs its fuse.
    pub(super) fn both_poles(&self) -> bool {
        self.mains.both_live() || self.plug.as_ref().is_some_and(|p| !p.line_pin_assured)
    }

    /// Smallest rating in amperes of the fuse that goes into a plug that holds one.
    pub(super) fn plug_fuse(&self) -> Option<f64> {
        let plug = self.plug.as_ref().filter(|p| p.fused)?;
        let row = standard::plug::plug_rows().iter().find(|r| r.id == plug.row)?;
        row.plug_fuse_preferred_a.as_ref()?.iter().copied().min_by(f64::total_cmp)
    }

    /// Crest of the lowest supply, volts.
    pub(super) fn low_crest(&self) -> f64 {
        self.mains.crest(Level::Low)
    }

    /// Why nothing can be designed for this supply, where that is so.
    pub(super) fn refusal(&self) -> Option<String> {
        let fuse = super::parts::fuse_sheet();
        if fuse.rated_v < self.mains.nominal {
            let words = format(self.mains.nominal, Kind::Voltage);
            return Some(format!(
                "No miniature fuse of the table may stand on {words}: its sheets are rated {} ({}).",
                format(fuse.rated_v, Kind::Voltage),
                fuse.source
            ));
        }
        let plug = self.plug.as_ref().filter(|p| p.rated_v < self.mains.nominal)?;
        Some(format!(
            "Plug {} is rated {} ({}), the supply is {}.",
            plug.letter,
            format(plug.rated_v, Kind::Voltage),
            plug.source,
            self.mains.label
        ))
    }
}

type Keys = Vec<(&'static str, String)>;

fn mains(wish: &MainsWish, r: &mut Reader) -> Option<(Mains, Keys)> {
    let written = [("--volts", &wish.volts), ("--frequency", &wish.frequency), ("--tolerance", &wish.tolerance)];
    if let Some(words) = &wish.supply {
        for (option, _) in written.iter().filter(|(_, text)| text.is_some()) {
            r.wrong(option, "the supply is named already", "leave it out, or leave --supply out");
        }
        if words.trim() == "none" {
            r.wrong("--supply", "a dropper needs a mains", "write e.g. --supply \"230 V 50 Hz\"");
            return None;
        }
        return match standard::supply(words) {
            Ok(mains) => Some((mains, vec![("system", words.trim().to_string())])),
            Err(near) => {
                let meant = near.first().map(|n| format!("did you mean \"{n}\"? ")).unwrap_or_default();
                let help = format!("{meant}Else give --volts, --frequency and --tolerance");
                r.wrong("--supply", format!("the supplies table has no {}", quote(words)), help);
                None
            }
        };
    }
    let unless = "name a row of the supplies table: --supply \"230 V 50 Hz\"";
    let kinds = [Kind::Voltage, Kind::Frequency, Kind::Fraction];
    let read = written.iter().zip(kinds).map(|((option, text), kind)| r.needed(option, text.as_ref(), kind, unless));
    let [nominal, hertz, tolerance] = read.collect::<Vec<_>>().try_into().ok()?;
    let (nominal, hertz, tolerance) = (nominal?, hertz?, tolerance?);
    if tolerance >= 1.0 {
        r.wrong("--tolerance", "a supply cannot vary by all of its volts", "write e.g. --tolerance \"10 %\"");
        return None;
    }
    let keys = written.iter().filter_map(|(option, text)| Some((option.trim_start_matches('-'), (*text).clone()?)));
    let mains = Mains {
        label: format!("{} {}", format(nominal, Kind::Voltage), format(hertz, Kind::Frequency)),
        row: String::new(),
        low: nominal * (1.0 - tolerance),
        nominal,
        high: nominal * (1.0 + tolerance),
        hertz,
        arrangement: Arrangement::LineNeutral,
        source: "as asked for".to_string(),
    };
    Some((mains, keys.collect()))
}

/// What to say of a plug made for higher volts on a supply whose sockets take the American one (common practice): it
/// fits none of them. Brazil has one plug for both of its supplies.
fn unusual(mains: &Mains, plug: &Plug) -> Option<String> {
    let (usual, _) = usual_plug(mains);
    let brazil = plug.row.starts_with("n_") || mains.row == "mixed_127_220";
    let other = usual == "A" && !["a_", "b_"].iter().any(|row| plug.row.starts_with(row)) && !brazil;
    other.then(|| format!("Plug {} is not usual on {}: sockets there take A or B.", plug.letter, mains.label))
}

/// Plug that is usual for a system (common practice), and words about it.
fn usual_plug(mains: &Mains) -> (&'static str, String) {
    let row = mains.row.as_str();
    let letter = match row {
        _ if row.starts_with("uk") => "G",
        _ if row.starts_with("au") || row.starts_with("nz") || row.starts_with("cn") => "I",
        "mixed_127_220" => "N",
        _ if mains.both_live() => "fixed",
        _ if mains.nominal < standard::bench::plug_a_below().value => "A",
        _ => "C",
    };
    let words = if letter == "fixed" {
        format!("The plugs table has no plug for {}: written as hard-wired; name another with --plug.", mains.label)
    } else {
        format!("Plug {letter}, as is usual on {} (common practice); name another with --plug.", mains.label)
    };
    (letter, words)
}

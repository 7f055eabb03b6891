//! Whole jigs to begin from, one a unit that people build: written for a supply and a plug. Droppers of lamps are sized; all
//! else are parts as they are sold, in the text of the unit. Whether one passes is not known here: whoever hands it out has
//! it checked like any other jig first. Must not know the command line.

mod bench;
mod droppers;
mod low_volts;
mod outlets;
mod pieces;
mod probes;

use super::supply::Feed;
use super::wish::{MainsWish, Reader};
use crate::jig::InputError;
use crate::standard::{self, nearest_names};
use pieces::Site;

/// A unit one may begin from.
pub(crate) struct Unit {
    /// Its name on the command line.
    pub name: &'static str,
    /// What else the trade calls it.
    pub also: &'static [&'static str],
    /// What it is, one line.
    pub about: &'static str,
    /// What it asks of the wall.
    pub feed: Wall,
    /// Lines that are the builder's own, to be changed first: what, and where in the file.
    pub first: &'static [&'static str],
    /// The text, without its head.
    write: fn(&Site) -> Result<String, Refused>,
}

/// The supply where none is named.
const UNNAMED: &str = "230 V 50 Hz";

/// What a unit asks of the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wall {
    /// Nothing: no mains.
    Nothing,
    /// The mains; its box is of class II.
    Mains,
    /// The mains with a protective earth.
    Earth,
    /// One pole of the mains, held to it by hand.
    Hand,
}

/// Why a unit cannot be written for a supply.
pub(crate) type Refused = String;

/// Every unit, in the order it is listed in.
pub(crate) fn units() -> impl Iterator<Item = &'static Unit> {
    [droppers::UNITS, outlets::UNITS, bench::UNITS, low_volts::UNITS, probes::UNITS].into_iter().flatten()
}

/// A jig to begin from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Begun {
    /// The unit.
    pub unit: &'static str,
    /// The supply, in words.
    pub supply: String,
    /// Text of the jig file.
    pub text: String,
    /// What was taken without being asked for.
    pub notes: Vec<String>,
    /// What to change first.
    pub first: &'static [&'static str],
}

/// Writes the jig of a unit for a supply and a plug.
///
/// # Errors
/// No such unit; a supply or a plug that is not known, or that the unit cannot be built for.
pub(crate) fn begin(unit: &str, wish: &MainsWish) -> Result<Begun, Vec<InputError>> {
    let unit = named(unit)?;
    let mut reader = Reader::default();
    let site = match unit.feed {
        Wall::Nothing => Site::without_mains(),
        Wall::Mains => site(wish, &mut reader, false)?,
        Wall::Earth => site(wish, &mut reader, true)?,
        Wall::Hand => site(&MainsWish { plug: Some("fixed".into()), ..wish.clone() }, &mut reader, false)?,
    };
    let refused = |why: String| vec![refusal(unit.name, &site.supply(), &why)];
    let body = (unit.write)(&site).map_err(refused)?;
    let text = format!("{}{body}", head(unit));
    Ok(Begun { unit: unit.name, supply: site.supply(), text, notes: site.notes.clone(), first: unit.first })
}

/// That a unit cannot be written for a supply, and why.
pub(crate) fn refusal(unit: &str, supply: &str, why: &str) -> InputError {
    InputError::of_file(
        "new",
        format!("no {unit} for {supply}: {}", why.trim_end_matches('.')),
        "name another supply or plug",
    )
}

/// The unit of that name.
fn named(name: &str) -> Result<&'static Unit, Vec<InputError>> {
    let wanted = name.trim().to_lowercase();
    // "neon strobe" on the command line is what a file would call neon-strobe.
    let plain = |word: &str| word.replace([' ', '_'], "-");
    let same = |word: &str| plain(word) == plain(&wanted);
    let found = units().find(|u| same(u.name) || u.also.iter().any(|also| same(also)));
    found.ok_or_else(|| {
        let names: Vec<&str> = units().map(|u| u.name).collect();
        let near = nearest_names(&wanted, names.iter().copied(), 1);
        let meant = near.first().map(|n| format!("did you mean \"{n}\"? One can begin from ")).unwrap_or_default();
        let meant = if meant.is_empty() { "one can begin from ".to_string() } else { meant };
        let help = format!("{meant}{}", names.join(", "));
        vec![InputError::of_file("new", format!("there is no unit {:?} to begin from", name.trim()), help)]
    })
}

/// The supply and the plug; where the unit stands on the protective earth, a plug that brings one.
fn site(wish: &MainsWish, reader: &mut Reader, earth: bool) -> Result<Site, Vec<InputError>> {
    let mut wish = wish.clone();
    let unnamed = wish.supply.is_none() && wish.volts.is_none();
    if unnamed {
        wish.supply = Some(UNNAMED.to_string());
    }
    let asked = wish.plug.is_some();
    let Some(mut feed) = Feed::read(&wish, reader) else { return Err(std::mem::take(&mut reader.errors)) };
    if unnamed {
        feed.notes.push(format!("Supply {UNNAMED}, since none was named; name yours with --supply."));
    }
    if let (true, false, Some(letter)) = (earth, asked, earthed_plug(&feed)) {
        wish.plug = Some(letter.to_string());
        let Some(again) = Feed::read(&wish, reader) else { return Err(std::mem::take(&mut reader.errors)) };
        feed.notes.retain(|note| !note.starts_with("Plug ") && !note.starts_with("The plugs table"));
        feed = Feed { notes: feed.notes, ..again };
        feed.notes.push(format!("Plug {letter}: it brings the protective earth; name another with --plug."));
    }
    let mut why = feed.refusal();
    if earth && feed.plug.as_ref().is_some_and(|p| !p.earth) {
        why = Some(format!("it stands on the protective earth, and a plug {} brings none", feed.letter));
    }
    match why {
        Some(why) => Err(vec![InputError::of_file("--plug", why, "name another plug or supply")]),
        None => Ok(Site::new(&feed)),
    }
}

/// The plug with an earth contact that is usual where a supply is met (common practice).
fn earthed_plug(feed: &Feed) -> Option<&'static str> {
    if feed.plug.as_ref().is_some_and(|p| p.earth) {
        return None;
    }
    let mains = &feed.mains;
    if mains.both_live() {
        let row = standard::plug("nema_6_15")?;
        return (row.rated_v >= mains.nominal).then_some("nema_6_15");
    }
    let low = mains.nominal < standard::bench::plug_a_below().value;
    Some(if low { "B" } else { "F" })
}

fn head(unit: &Unit) -> String {
    let mut out = String::from(
        "#:schema jig.schema.json\n\
         # (The line above is for editors: deadfront schema > jig.schema.json, beside this file.)\n",
    );
    out.push_str(&format!("# {}\n#\n# Yours to change first:\n", unit.about));
    for (n, line) in unit.first.iter().enumerate() {
        out.push_str(&format!("#   {}. {line}\n", n + 1));
    }
    out.push_str(
        "# Then write down every part as it lies in your box, with the ratings printed on it, and run: deadfront check\n\
         # L and N are the pins of the plug, PE its earth contact; every other net is a name of your own for what one wire\n\
         # joins. \"mains\" stands for everything that is joined to L or N.\n",
    );
    out
}

//! What may cure a finding, as data: the sizes and values that are sold, from the tables, chosen by the numbers the survey
//! found. These are guesses to be tried; whether one cures is found out in the mending room. Solves nothing.

mod bleeder;
mod capacitor;
mod conductor;
mod fuse;
mod lamp;
mod missing;
mod resistor;
mod semiconductor;

pub(crate) use bleeder::bleeders;
pub(crate) use capacitor::{class as capacitor_class, volts as capacitor_volts};
pub(crate) use conductor::{contact_volts, cord, current_rating, earth_wire, thicker};
pub(crate) use fuse::{
    breaking as fuse_breaking, larger as larger_fuse, opening_at as fuses_opening_at, slower as slower_fuse,
    smaller as smaller_fuses,
};
pub(crate) use lamp::{against_reverse, less_current};
pub(crate) use missing::ratings as missing_ratings;
pub(crate) use resistor::{split, stronger, wattage};
pub(crate) use semiconductor::rectifier;

use crate::checks::{Case, Change, Proposal, Value};
use crate::finding::Way;
use crate::jig::Part;
use crate::quantity::format_rated_watts as watts;
use crate::quantity::{Kind as Unit, format};

/// Ways of one kind that are put forward, so that a finding does not cost many trials.
const MOST: usize = 3;

fn volts(v: f64) -> String {
    format(v, Unit::Voltage)
}

fn amperes(a: f64) -> String {
    format(a, Unit::Current)
}

fn ohms(r: f64) -> String {
    format(r, Unit::Resistance)
}

/// The first free name made of `stem` and a letter.
fn free_name(case: &Case, stem: &str, taken: &[String]) -> String {
    let used = |n: &String| case.jig.parts.iter().any(|p| p.name == *n) || taken.contains(n);
    let letters = ('b'..='z').map(|c| format!("{stem}{c}"));
    let numbers = (2..).map(|n| format!("{stem}_{n}"));
    letters.chain(numbers).find(|n| !used(n)).unwrap_or_default()
}

/// The first free name of a net between two parts.
fn free_net(case: &Case, between: &str, and: &str) -> String {
    let stem = format!("{between}-{and}");
    let used = |n: &String| case.jig.nets.iter().any(|x| x.name == *n);
    std::iter::once(stem.clone()).chain((2..).map(|n| format!("{stem}-{n}"))).find(|n| !used(n)).unwrap_or_default()
}

/// A rating of a part raised, or written down where it was missing.
fn rating(part: &Part, key: &'static str, text: String) -> Change {
    Change::of_part(&part.name, key, text)
}

fn one(changes: Vec<Change>, way: Way) -> Proposal {
    Proposal { changes, way }
}

fn text(t: impl Into<String>) -> Value {
    Value::Text(t.into())
}

fn nets(a: &str, b: &str) -> Value {
    Value::Nets(vec![a.to_string(), b.to_string()])
}

//! A ring to print true to scale: a disc, or a band for a rim. One unit of the drawing is a millimetre.

mod band;
mod layout;
mod page;
mod round;
mod sheet;
mod words;

use super::read::wrong;
use super::wish::RingWish;
use crate::finding::strobe::{Drawn, Strobe};
use crate::jig::InputError;
use crate::quantity::{self, Kind, Range};
use crate::standard::strobe::{Paper, millimetres, sheet as sheet_named};
use layout::{Group, groups};

/// Rings on either side of each, at most; where nothing is said one on a disc, none on a band, whose rim is low.
const MOST: u32 = 3;

/// A drawing as the text of its file, and what is on it.
pub(crate) type Drawing = (String, Drawn);

/// Measures of a drawing, millimetres.
struct Measures {
    paper: &'static Paper,
    outer: f64,
    hole: f64,
    neighbours: u32,
}

/// Draws the rings of a lamp. `speeds` tells that speeds were asked for: else the usual ones that this lamp shows well are taken.
///
/// # Errors
/// What is wrong with the measures.
pub(crate) fn draw(s: &Strobe, wish: &RingWish, speeds: bool) -> Result<Drawing, Vec<InputError>> {
    let m = measures(wish)?;
    let groups: Vec<Group> = groups(s, m.neighbours, speeds, wish.band);
    let drawn = if wish.band { band::draw(s, &m, &groups) } else { round::draw(s, &m, &groups) };
    let (svg, drawn) = drawn.map_err(|e| vec![e])?;
    Ok((if wish.html { page::html(s, &m, &svg) } else { svg }, drawn))
}

fn measures(wish: &RingWish) -> Result<Measures, Vec<InputError>> {
    let mut errors = vec![];
    let mut length = |option: &str, text: &Option<String>, usual: f64| match text {
        None => usual,
        Some(text) => match quantity::parse_in(text, Kind::Length, Range::Positive) {
            Ok(metres) => metres * 1e3,
            Err(e) => {
                errors.push(wrong(option, e.message, e.help));
                usual
            }
        },
    };
    let shape = if wish.band { "band" } else { "disc" };
    let outer = length("--outer", &wish.outer, millimetres(shape, "outer_mm"));
    let hole = length("--hole", &wish.hole, millimetres("disc", "hole_mm"));
    let name = wish.paper.as_deref().unwrap_or("A4");
    let paper = sheet_named(name).map_err(|known| {
        let message = format!("there is no sheet {} here", quantity::quote(name));
        errors.push(wrong("--paper", message, format!("there are {}", known.join(", "))));
    });
    let neighbours = wish.neighbours.unwrap_or(u32::from(!wish.band));
    if neighbours > MOST {
        let message = format!("{neighbours} rings on either side are more than there is room for");
        errors.push(wrong("--neighbours", message, format!("{MOST} at most")));
    }
    if wish.band && wish.hole.is_some() {
        errors.push(wrong("--hole", "a band has no hole", "leave it out, or take --shape disc"));
    }
    match paper {
        Ok(paper) if errors.is_empty() => Ok(Measures { paper, outer, hole, neighbours }),
        _ => Err(errors),
    }
}

//! Mains interference-suppression capacitors by class.

use super::Limit;
use super::row::{Fact, Row as _, find};

table_file! { "capacitors.toml" [class, test, use_rules, dc_rating, film_capacitor, plain_electrolytic]
    /// A subclass.
    Subclass in subclass {
        subclass: String, service_peak_over_kv: Option<f64>, service_peak_to_kv: Option<f64>, impulse_kv: Option<f64>,
        bridged: Option<String>, rated_from_v: Option<f64>, rated_to_v: Option<f64>, #[serde(rename = "use")] place: String,
    }
    /// Impulse of larger capacitors.
    ImpulseRule in impulse_rule { subclass: String, above_uf: f64, impulse_kv_times_root_uf: f64 }
}

/// Class of a mains capacitor: for interference suppression (IEC 60384-14), or for running motors (IEC 60252-1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapClass {
    /// Across the line, high pulses.
    X1,
    /// Across the line, general purpose.
    X2,
    /// Across the line, no pulse test.
    X3,
    /// To touchable parts, across double or reinforced insulation.
    Y1,
    /// To touchable parts, across basic or supplementary insulation.
    Y2,
    /// As Y2, for the lower mains voltages.
    Y4,
    /// Motor run, no protection of its own.
    P0,
    /// Motor run, fails open or short, guarded against fire and shock.
    P1,
    /// Motor run, fails open only.
    P2,
}

impl CapClass {
    /// Every class, in the order of the standards.
    pub(crate) const ALL: [CapClass; 9] = [
        CapClass::X1,
        CapClass::X2,
        CapClass::X3,
        CapClass::Y1,
        CapClass::Y2,
        CapClass::Y4,
        CapClass::P0,
        CapClass::P1,
        CapClass::P2,
    ];

    /// The word of each, in the same order.
    pub(crate) const WORDS: [&'static str; 9] = {
        let (mut words, mut k) = ([""; 9], 0);
        while k < words.len() {
            words[k] = CapClass::ALL[k].word();
            k += 1;
        }
        words
    };

    /// Its mark, `X2`.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            CapClass::X1 => "X1",
            CapClass::X2 => "X2",
            CapClass::X3 => "X3",
            CapClass::Y1 => "Y1",
            CapClass::Y2 => "Y2",
            CapClass::Y4 => "Y4",
            CapClass::P0 => "P0",
            CapClass::P1 => "P1",
            CapClass::P2 => "P2",
        }
    }

    /// Whether it is built not to fail short (IEC 60384-14, class Y). A P2 motor capacitor fails open too, but nothing
    /// makes it a barrier.
    pub(crate) fn fails_open_only(self) -> bool {
        match self {
            CapClass::Y1 | CapClass::Y2 | CapClass::Y4 => true,
            CapClass::X1 | CapClass::X2 | CapClass::X3 | CapClass::P0 | CapClass::P1 | CapClass::P2 => false,
        }
    }

    /// Whether it is made to lie on the mains, and stands its surges (IEC 60384-14).
    pub(crate) fn is_suppression(self) -> bool {
        !matches!(self, CapClass::P0 | CapClass::P1 | CapClass::P2)
    }

    /// The class of a mark; `None` for any other word.
    pub(crate) fn from_word(word: &str) -> Option<CapClass> {
        CapClass::ALL.into_iter().find(|class| class.word() == word)
    }
}

/// What insulation a class of capacitor may lie across.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Bridges {
    /// Only between conductors of the supply (class X).
    Line,
    /// Basic or supplementary insulation (Y2, Y4).
    Basic,
    /// Double or reinforced insulation (Y1).
    Reinforced,
}

/// Row of a class.
pub(crate) fn row(class: CapClass) -> &'static Subclass {
    let id = match class {
        CapClass::X1 => "x1",
        CapClass::X2 => "x2",
        CapClass::X3 => "x3",
        CapClass::Y1 => "y1",
        CapClass::Y2 => "y2",
        CapClass::Y4 => "y4",
        CapClass::P0 => "p0",
        CapClass::P1 => "p1",
        CapClass::P2 => "p2",
    };
    find(subclass(), id).expect("capacitors.toml: every class is tested")
}

/// What insulation the class may lie across.
pub(crate) fn bridges(class: CapClass) -> Bridges {
    match row(class).bridged.as_deref() {
        None => Bridges::Line,
        Some("double or reinforced") => Bridges::Reinforced,
        Some(_) => Bridges::Basic,
    }
}

/// Crest volts of the impulses that a class is tested with; `None` for one without such a test.
pub(crate) fn impulse(class: CapClass) -> Option<Limit> {
    let row = row(class);
    Some(row.value(row.impulse_kv? * 1e3, "V"))
}

/// A rule of use by name: `y_across_line`, `two_y2_for_y1`, `x_not_to_touchable`, `dropper`.
pub(crate) fn rule(id: &str) -> Option<&'static Fact> {
    find(use_rules(), id)
}

/// Rated d.c. volts that capacitors are sold in, rising: electrolytic or film.
pub(crate) fn dc_ratings(electrolytic: bool) -> Vec<f64> {
    let id = if electrolytic { "electrolytic" } else { "film" };
    find(dc_rating(), id).and_then(|r| r.numbers("volts")).unwrap_or_default()
}

/// A.c. volts r.m.s. of a film capacitor by its d.c. rating.
#[derive(Debug, Clone)]
pub(crate) struct FilmAc {
    /// Of the dielectric that stands least.
    pub least: Limit,
    /// Of the one that stands most.
    pub most: Limit,
}

/// What a film capacitor of such a d.c. rating may stand on a.c.; `None` below every row.
pub(crate) fn film_ac(dc: f64) -> Option<FilmAc> {
    let of = |row: &Fact| {
        let (dcs, acs) = (row.numbers("rated_dc_v")?, row.numbers("permissible_ac_v")?);
        let at = dcs.iter().rposition(|v| *v <= dc * (1.0 + 1e-9))?;
        Some(row.value(*acs.get(at)?, "V"))
    };
    let rows: Vec<Limit> = film_capacitor().iter().filter_map(of).collect();
    let by = |a: &&Limit, b: &&Limit| a.value.total_cmp(&b.value);
    Some(FilmAc { least: rows.iter().min_by(by)?.clone(), most: rows.iter().max_by(by)?.clone() })
}

/// Whether a capacitor of so many farads and rated d.c. volts is most likely an electrolytic.
pub(crate) fn looks_electrolytic(farads: f64, volts: f64) -> bool {
    let row = |id: &str| find(plain_electrolytic(), id);
    let fits = |r: &Fact| {
        let (least, most) = (r.number("min_uf"), r.number("max_rated_dc_v"));
        least.is_some_and(|uf| farads >= uf * 1e-6 * (1.0 - 1e-9)) && most.is_none_or(|v| volts <= v)
    };
    ["low_volts", "any_volts"].into_iter().filter_map(row).any(fits)
}

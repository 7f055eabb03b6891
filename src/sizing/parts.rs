//! Parts that can be bought, out of the published tables: which resistor, fuse, capacitor, diode and box stands what is
//! asked of it. Must not know circuits.

use crate::jig::Grade;
use crate::standard::{self, Row, fuse, preferred, resistor};

/// What a resistor is rated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rating {
    /// Watts.
    pub(super) watts: f64,
    /// Limiting element voltage, volts r.m.s.
    pub(super) volts: f64,
    /// Fusible and non-flammable.
    pub(super) fusible: bool,
}

/// What is asked of a resistor.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Load {
    /// Worst watts in normal use.
    pub(super) normal: f64,
    /// Worst watts that last after a single fault.
    pub(super) fault: f64,
    /// Worst volts r.m.s. of either.
    pub(super) volts: f64,
    /// Ohms.
    pub(super) ohms: f64,
    /// Air around it, °C.
    pub(super) celsius: f64,
}

/// The smallest rating that takes the load at half its power in normal use and inside its power after a fault.
///
/// Only pairs of watts and volts that two styles of the table meet are taken, so that the part can be bought of more
/// than one make; of fusible ones there are fewer, so one will do.
pub(super) fn rating(load: Load, fusible: bool) -> Option<Rating> {
    let pairs = |s: &&'static resistor::Style| Some((s.rated_w, s.limiting_rms()?));
    let sold = |s: &&'static resistor::Style| {
        let chip = s.technology.contains("chip");
        !chip && s.max_ohms().is_none_or(|most| load.ohms <= most) && (!fusible || s.fusible == Some(true))
    };
    let makes = |pair: (f64, f64)| resistor::resistor().iter().filter(sold).filter(|s| pairs(s) == Some(pair)).count();
    let half = standard::bench::half_power().value;
    let fits = |(watts, volts): (f64, f64)| {
        let hot = resistor::derated_power(watts, load.celsius).value;
        hot * half >= load.normal && hot >= load.fault && volts >= load.volts
    };
    let all = resistor::resistor().iter().filter(sold).filter_map(|s| pairs(&s));
    let mut fitting: Vec<(f64, f64)> = all.filter(|p| fits(*p) && (fusible || makes(*p) >= 2)).collect();
    fitting.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    fitting.first().map(|&(watts, volts)| Rating { watts, volts, fusible })
}

/// The largest rating of the table, to begin with.
pub(super) fn largest_rating(fusible: bool) -> Rating {
    let styles = resistor::resistor().iter().filter(|s| !fusible || s.fusible == Some(true));
    let (watts, volts) = styles
        .fold((0.0, 0.0), |(w, v): (f64, f64), s| (w.max(s.rated_w), v.max(s.limiting_rms().unwrap_or_default())));
    Rating { watts, volts, fusible }
}

/// Tolerance that is customary for parts of the series E24, a fraction.
pub(super) fn resistor_tolerance() -> f64 {
    let row = preferred::series_rows().iter().find(|s| s.steps_per_decade == 24);
    row.and_then(|r| r.customary_tolerance_percent).map_or(standard::bench::resistor_tolerance().value, |p| p / 100.0)
}

/// A standard sheet of fuses.
pub(super) struct FuseSheet {
    /// Letter of its speed.
    pub(super) speed: &'static str,
    /// Rated volts.
    pub(super) rated_v: f64,
    /// Breaking capacity, amperes.
    pub(super) breaking: f64,
    /// Smallest and largest rating, amperes.
    pub(super) range: [f64; 2],
    /// Where it is published.
    pub(super) source: String,
}

/// The sheet of quick fuses that break the most.
pub(super) fn fuse_sheet() -> FuseSheet {
    let quick = fuse::sheet().iter().filter(|s| s.characteristic == "F");
    let best = quick.max_by(|a, b| a.breaking_capacity_a.total_cmp(&b.breaking_capacity_a));
    let row = best.expect("fuses.toml: sheet 1 is tested");
    let range = fuse::sheet_range().iter().find(|r| r.sheet == row.sheet);
    let range = range.map_or([0.0, 0.0], |r| [r.rated_from_a, r.rated_to_a]);
    let source = row.cite();
    FuseSheet { speed: "F", rated_v: row.rated_v, breaking: row.breaking_capacity_a, range, source }
}

/// The smallest quick fuse that carries `amperes` for ever (three quarters of its rating, the American practice, so that
/// a fuse of either make does) and a pulse of `i2t` A²s.
pub(super) fn fuse_for(amperes: f64, i2t: f64) -> Option<f64> {
    let sheet = fuse_sheet();
    let share = fuse::ul_load_share().value;
    let carries = |rating: f64| {
        let gates = fuse::fuse_gates(rating, sheet.speed, Some(sheet.breaking));
        let pulse = gates.and_then(|g| g.i2t_carried()).is_some_and(|c| i2t <= c);
        amperes <= share * rating && (i2t == 0.0 || pulse)
    };
    let all = fuse::ratings().into_iter();
    all.filter(|r| (sheet.range[0]..=sheet.range[1]).contains(r)).find(|r| carries(*r))
}

/// An X2 capacitor of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct X2 {
    /// Rated volts r.m.s.
    pub(super) volts: f64,
    /// Tolerance, a fraction.
    pub(super) tolerance: f64,
}

/// The X2 capacitor with the lowest rated volts for a supply of `nominal` volts that is made in `farads`.
pub(super) fn x2(nominal: f64, farads: f64) -> Option<X2> {
    let rows = standard::parts::x2_capacitor().iter().filter_map(|r| {
        let volts = r.number("rated_ac_v")?;
        let made =
            farads >= r.number("min_uf")? * 1e-6 * (1.0 - 1e-9) && farads <= r.number("max_uf")? * 1e-6 * (1.0 + 1e-9);
        let tolerance = r.numbers("tolerance_percent")?.into_iter().find(|p| *p >= 10.0)? / 100.0;
        (made && volts >= nominal).then_some(X2 { volts, tolerance })
    });
    rows.min_by(|a, b| a.volts.total_cmp(&b.volts))
}

/// A rectifier diode of the table: peak reverse volts, mean amperes, surge amperes.
pub(super) struct Diode {
    pub(super) volts: f64,
    pub(super) current: f64,
    pub(super) surge: f64,
}

/// The smallest rectifier whose reverse volts stand `crest` with the usual margin.
pub(super) fn diode(crest: f64) -> Option<Diode> {
    let least = crest * standard::parts::reverse_margin().value;
    let rows = standard::parts::rectifier().iter().filter(|r| r.peak_reverse_v >= least);
    let row = rows.min_by(|a, b| a.peak_reverse_v.total_cmp(&b.peak_reverse_v))?;
    Some(Diode { volts: row.peak_reverse_v, current: row.mean_forward_a, surge: row.surge_8ms_a })
}

/// A box to build into.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shell {
    /// Word of `use`.
    pub(super) word: &'static str,
    /// Outside size, millimetres.
    pub(super) size: [u32; 3],
    /// What fingers reach.
    pub(super) touchable: &'static str,
    /// Its net.
    pub(super) net: &'static str,
}

const fn bench(size: [u32; 3]) -> Shell {
    Shell { word: "bench", size, touchable: "lid screws", net: "LID" }
}

/// Usual insulating boxes from small to large, a tube that is held first.
pub(super) const SHELLS: [Shell; 6] = [
    Shell { word: "hand-held", size: [160, 30, 30], touchable: "wand tube", net: "TUBE" },
    bench([120, 80, 50]),
    bench([160, 120, 80]),
    bench([240, 160, 100]),
    bench([300, 220, 120]),
    bench([400, 300, 150]),
];

/// Clearance and creepage in whole millimetres of the reinforced insulation round mains of `volts`: the larger of the
/// general tables and those for test equipment.
pub(super) fn distances(volts: f64) -> Option<[u32; 2]> {
    use standard::insulation::{Category, clearance, creepage, impulse, mains_distances};
    let (clear, creep) = mains_distances(volts, Grade::Reinforced)?;
    let general = clearance(impulse(volts, Category::II)?.value, Grade::Reinforced)?;
    let along = creepage(volts, Grade::Reinforced)?;
    let whole = |metres: f64| (metres * 1e3 - 1e-6).ceil().max(0.0) as u32;
    let air = whole(clear.value.max(general.value));
    // A path over a surface is never shorter than the one through the air.
    Some([air, whole(creep.value.max(along.value)).max(air)])
}

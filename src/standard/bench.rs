//! Assumptions of the model, common practice without a published row, and the choices between published rows.
//!
//! Each look-up gives the number of one row of `bench.toml` as a [`Limit`], which carries its SI unit and where it is
//! published (or that it is common practice).

use super::row::{Fact, Limit, Row, find};

table_file! { "bench.toml" [mains, part_model, heat, rule]
    /// Words of `system` and the row they mean.
    SupplyChoice in supply_choice {
        volts_v: f64, frequency_hz: Vec<u32>, system: String, arrangement: String, to_earth_v: Option<f64>,
        band_from: Option<String>, default_by_id: Option<bool>,
    }
    /// Which row a plug letter means.
    PlugChoice in plug_choice { plug: String }
    /// Temperature of a surface that is touched.
    TouchTemperature in touch_temperature {
        surface: String, hand_held: bool, normal_c: Option<f64>, fault_c: Option<f64>, normal_rise_k: Option<f64>,
    }
}

fn at(rows: &'static [Fact], id: &str, key: &str) -> Limit {
    find(rows, id).and_then(|r| r.limit(key)).unwrap_or_else(|| panic!("bench.toml: {id}.{key} is tested"))
}

fn plain(rows: &'static [Fact], id: &str, key: &str) -> Limit {
    let row = find(rows, id).unwrap_or_else(|| panic!("bench.toml: {id} is tested"));
    row.value(row.number(key).unwrap_or_else(|| panic!("bench.toml: {id}.{key} is tested")), "")
}

/// Row for a voltage to earth: the 230 V one above its `over_v`, else the 120 V one.
fn by_volts(prefix: &str, volts: f64) -> &'static Fact {
    let rows = mains().iter().filter(|r| r.id.starts_with(prefix));
    let fitting = rows.filter(|r| r.number("over_v").is_some_and(|v| volts > v));
    let best =
        fitting.max_by(|a, b| a.number("over_v").partial_cmp(&b.number("over_v")).unwrap_or(std::cmp::Ordering::Equal));
    best.unwrap_or_else(|| panic!("bench.toml: {prefix} rows are tested"))
}

/// Band either way, as a fraction, of a system whose band is not published here.
pub(crate) fn band_where_none_is_published() -> Limit {
    at(mains(), "band_where_none_is_published", "percent")
}

/// Resistance and reactance (at mains frequency) of the loop behind the socket, ohms, for a supply of `volts` nominal.
pub(crate) fn loop_impedance(volts: f64) -> (Limit, Limit) {
    let row = by_volts("loop_", volts.max(1.0));
    let ohms = |key| row.limit(key).unwrap_or_else(|| panic!("bench.toml: loop rows are tested"));
    (ohms("resistance_ohm"), ohms("reactance_ohm"))
}

/// Highest prospective short-circuit current at a socket, amperes: what a fuse there must be able to break.
pub(crate) fn prospective_max(volts: f64) -> Limit {
    by_volts("prospective_max_", volts.max(1.0))
        .limit("prospective_a")
        .expect("bench.toml: prospective rows are tested")
}

/// Longest time of a breaker's instantaneous trip, seconds.
pub(crate) fn instantaneous_trip() -> Limit {
    at(mains(), "instantaneous_trip", "max_s")
}

/// Cold resistance in ohms of a fuse of `rating` amperes.
pub(crate) fn fuse_resistance(rating: f64) -> Limit {
    let drop = at(part_model(), "fuse_cold_drop", "drop_at_rated_current_v");
    Limit { value: drop.value / rating, unit: "Ω", ..drop }
}

/// Resistance of a closed contact or good joint.
pub(crate) fn contact_resistance() -> Limit {
    at(part_model(), "contact", "resistance_ohm")
}

/// Resistance that stands for an open fault.
pub(crate) fn fault_open() -> Limit {
    at(part_model(), "fault_open", "resistance_ohm")
}

/// Resistance that stands for a dead short.
pub(crate) fn fault_short() -> Limit {
    at(part_model(), "fault_short", "resistance_ohm")
}

/// A rectifier diode: forward volts, slope and leak.
pub(crate) fn diode() -> [Limit; 3] {
    ["forward_v", "slope_ohm", "leak_ohm"].map(|key| at(part_model(), "diode", key))
}

/// An LED: slope and leak.
pub(crate) fn led() -> [Limit; 2] {
    ["slope_ohm", "leak_ohm"].map(|key| at(part_model(), "led", key))
}

/// Reverse ohms of a rectifier for so many peak reverse volts.
pub(crate) fn rectifier_leak(volts: Option<f64>) -> Limit {
    let [_, _, usual] = diode();
    match volts.filter(|v| *v > at(part_model(), "rectifier_leak", "over_v").value) {
        Some(volts) => {
            let leak = at(part_model(), "rectifier_leak", "leak_a");
            Limit { value: volts / leak.value, unit: "Ω", ..leak }
        }
        None => usual,
    }
}

/// Slope in ohms of one LED of so many rated mean amperes.
pub(crate) fn led_slope(rated: Option<f64>) -> Limit {
    match rated {
        Some(amperes) => {
            let volts = at(part_model(), "led", "slope_at_rated_v");
            Limit { value: volts.value / amperes, unit: "Ω", ..volts }
        }
        None => at(part_model(), "led", "slope_ohm"),
    }
}

/// Share of its rated mean current that an LED may carry in air of so many °C.
pub(crate) fn led_share(celsius: f64) -> f64 {
    let [full, none] = ["full_to_c", "none_at_c"].map(|key| at(part_model(), "led_derating", key).value);
    ((none - celsius) / (none - full)).clamp(0.0, 1.0)
}

/// Slope of a lit glow lamp.
pub(crate) fn neon_slope() -> Limit {
    at(part_model(), "neon", "slope_ohm")
}

/// Share of its maintaining volts that a lit glow lamp's slope makes up at design current, at most.
pub(crate) fn neon_drop() -> Limit {
    plain(part_model(), "neon_drop", "fraction")
}

/// Resistance of a dark glow lamp.
pub(crate) fn neon_dark() -> Limit {
    at(part_model(), "neon", "dark_ohm")
}

/// Current below which a lit glow lamp goes out.
pub(crate) fn neon_extinction() -> Limit {
    at(part_model(), "neon", "extinction_a")
}

/// Highest over design current of a glow lamp, where no maker prints a limit.
pub(crate) fn neon_max_current_multiple() -> Limit {
    plain(part_model(), "neon_max_current", "multiple_of_design")
}

/// Design current of the older NE-2.
pub(crate) fn older_ne2_current() -> Limit {
    at(part_model(), "neon_older_ne2", "design_current_a")
}

/// A varistor of `rated` a.c. volts: knee volts (peak), slope and leak.
pub(crate) fn varistor(rated: f64) -> [Limit; 3] {
    let knee = plain(part_model(), "varistor_knee", "knee_over_rated_rms");
    let slope = at(part_model(), "varistor_knee", "slope_ohm");
    let leak = at(part_model(), "varistor_knee", "leak_ohm");
    [Limit { value: knee.value * rated, unit: "V", ..knee }, slope, leak]
}

/// Frequency of a supply without a plug whose colours are read after the North American code, hertz.
pub(crate) fn nec_hertz() -> Limit {
    at(mains(), "nec_colours", "frequency_hz")
}

/// Nominal volts below which plug A is usual.
pub(crate) fn plug_a_below() -> Limit {
    at(mains(), "plug_a", "below_v")
}

/// Share of its volts by which a bought module's output falls at its rated current.
pub(crate) fn psu_drop() -> Limit {
    plain(part_model(), "psu_drop", "fraction")
}

/// Cold over hot resistance of an inrush limiter of which the hot one is not stated.
pub(crate) fn thermistor_cold_over_hot() -> Limit {
    plain(part_model(), "thermistor_hot", "cold_over_hot")
}

/// Seconds for which an LED stands its peak current once: shorter pulses by the same I²t.
pub(crate) fn led_surge() -> Limit {
    at(rule(), "led_surge", "time_s")
}

/// Share of what a bought module gives that stays in it as heat.
pub(crate) fn psu_loss() -> Limit {
    plain(part_model(), "psu_loss", "fraction")
}

/// Current at which a module's output limits itself, as a multiple of its rated current.
pub(crate) fn psu_limit() -> Limit {
    plain(part_model(), "psu_limit", "multiple")
}

/// Power taken for a transformer that states none, volt-amperes.
pub(crate) fn transformer_power() -> Limit {
    at(part_model(), "transformer_power", "power_va")
}

/// Share of a lamp's crest current below which it is not seen to glow.
pub(crate) fn glow_seen() -> Limit {
    plain(part_model(), "glow_seen", "fraction")
}

/// A small mains transformer: leakage as a fraction, capacitance between windings in farads.
pub(crate) fn transformer() -> [Limit; 2] {
    [plain(part_model(), "transformer", "leakage_fraction"), at(part_model(), "transformer", "winding_capacitance_f")]
}

/// Tolerance of a capacitor that states none, as a fraction.
pub(crate) fn capacitor_tolerance() -> Limit {
    plain(part_model(), "capacitor_default_tolerance", "fraction")
}

/// Tolerance of a resistor that states none, as a fraction.
pub(crate) fn resistor_tolerance() -> Limit {
    plain(part_model(), "resistor_default_tolerance", "fraction")
}

/// Highest ambient temperature of ordinary use, °C.
pub(crate) fn ambient() -> Limit {
    at(heat(), "ambient", "temperature_c")
}

/// What a touched surface is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Surface {
    /// Metal: gives its heat off quickly.
    Metal,
    /// Metal with a coat.
    Coated,
    /// Plastic, wood.
    Insulating,
}

/// Highest temperature in °C of a touched surface: in normal condition and after a single fault.
pub(crate) fn surface_limit(surface: Surface, hand_held: bool) -> (Limit, Limit) {
    let surface = match surface {
        Surface::Metal => "metal",
        Surface::Coated => "coated",
        Surface::Insulating => "insulating",
    };
    let row = touch_temperature()
        .iter()
        .find(|r| r.surface == surface && r.hand_held == hand_held && r.fault_c.is_some())
        .expect("bench.toml: touch_temperature is tested");
    (row.value(row.normal_c.unwrap_or_default(), "°C"), row.value(row.fault_c.unwrap_or_default(), "°C"))
}

/// Power a resistor stands for how long: (multiple of rated power, seconds).
pub(crate) fn short_overload_power() -> (Limit, Limit) {
    (plain(rule(), "resistor_short_overload_power", "multiple"), at(rule(), "resistor_short_overload_power", "time_s"))
}

/// Volts a resistor stands for how long: (multiple of the limiting voltage, seconds).
pub(crate) fn short_overload_voltage() -> (Limit, Limit) {
    let id = "resistor_short_overload_voltage";
    (plain(rule(), id, "multiple"), at(rule(), id, "time_s"))
}

/// Multiple of its rated power above which a part not built to fail cold is taken to start a fire.
pub(crate) fn sustained_fire() -> Limit {
    plain(rule(), "sustained_fire", "multiple")
}

/// Multiple of its rated power at which a part has opened before it heats anything for long.
pub(crate) fn burns_open() -> Limit {
    plain(rule(), "burns_open", "multiple")
}

/// Multiple of its rated current that a winding bears for ever after a fault: it ages, it does not burn.
pub(crate) fn winding_overload() -> Limit {
    plain(rule(), "winding_overload", "multiple")
}

/// Share of its printed life below which a glow lamp's life is told.
pub(crate) fn lamp_life_told() -> Limit {
    plain(rule(), "lamp_life_told", "multiple")
}

/// Multiples of its rated volts from which a filament lamp is told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FilamentOverVolts {
    /// It lives short.
    pub told: f64,
    /// It overheats.
    pub hot: f64,
}

/// How far above its volts a filament lamp is told.
pub(crate) fn filament_over_volts() -> FilamentOverVolts {
    let multiple = |key| plain(rule(), "filament_over_volts", key).value;
    FilamentOverVolts { told: multiple("multiple"), hot: multiple("hot_multiple") }
}

/// Part of its open volts that a source is taken to keep whatever the watts that are asked of it.
pub(crate) fn least_volts_of_watts() -> Limit {
    plain(rule(), "least_volts_of_watts", "multiple")
}

/// Whether volts, as a multiple of those of the mains, are about those of the mains.
pub(crate) fn is_near_mains(multiple: f64) -> bool {
    let end = |key| plain(rule(), "near_mains", key).value;
    multiple > end("least") && multiple < end("most")
}

/// Part of its usual current from which on the coil of a relay pulls in.
pub(crate) fn relay_pulls_in() -> Limit {
    plain(rule(), "relay_pulls_in", "multiple")
}

/// Multiple of its rated volts that a winding stands for ever.
pub(crate) fn winding_over_volts() -> Limit {
    plain(rule(), "winding_over_volts", "multiple")
}

/// Volts the wrong way round that an electrolytic capacitor stands.
pub(crate) fn electrolytic_reverse() -> Limit {
    at(rule(), "electrolytic_reverse", "reverse_v")
}

/// Times its rated volts at which an electrolytic capacitor bursts within moments.
pub(crate) fn electrolytic_bursts() -> Limit {
    plain(rule(), "electrolytic_bursts", "multiple")
}

/// Share of the current density of the smallest cord at which thinner wire is worked.
pub(crate) fn small_wire_density() -> Limit {
    plain(rule(), "small_wire_density", "multiple")
}

/// Temperature of the air in the box that insulation on the mains stands after a fault, °C.
pub(crate) fn inside_fault() -> Limit {
    at(heat(), "inside_fault", "temperature_c")
}

/// Temperature above which what is of plastic, varnish or paper chars, °C.
pub(crate) fn chars() -> Limit {
    at(heat(), "chars", "temperature_c")
}

/// Temperature that ordinary wire insulation stands, °C.
pub(crate) fn inside_pvc() -> Limit {
    at(heat(), "inside_pvc", "temperature_c")
}

/// Temperature up to which capacitors and varistors carry their full rating, °C.
pub(crate) fn inside_parts() -> Limit {
    at(heat(), "inside_parts", "temperature_c")
}

/// Share of its rated power a resistor is worked at by good practice.
pub(crate) fn half_power() -> Limit {
    plain(rule(), "half_power", "multiple")
}

/// What warms up sooner or later.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Warms {
    /// A small part on its leads.
    Small,
    /// A contact or a wire.
    Contact,
    /// A winding on iron, a coil.
    Winding,
    /// The air in the box.
    Box,
}

impl Warms {
    /// The part of its final warming that it has reached after so many seconds, 0 to 1.
    pub(crate) fn share(self, seconds: f64) -> f64 {
        let id = match self {
            Warms::Small => "warms_small",
            Warms::Contact => "warms_contact",
            Warms::Winding => "warms_winding",
            Warms::Box => "warms_box",
        };
        1.0 - (-seconds / at(heat(), id, "time_s").value).exp()
    }
}

/// Seconds after which an electrolytic capacitor that is the wrong way round, or far above its volts, vents.
pub(crate) fn electrolytic_vents() -> Limit {
    at(heat(), "electrolytic_vents", "time_s")
}

/// Amperes of a steady direct current that a contact made for a.c. breaks at so many volts; `None` where the volts are so
/// few that it breaks what it is rated for.
pub(crate) fn dc_break(volts: f64) -> Option<Limit> {
    let rows = rule().iter().filter(|r| r.id.starts_with("dc_break_"));
    let mut points: Vec<(f64, f64, &Fact)> =
        rows.filter_map(|r| Some((r.number("volts_v")?, r.number("current_a")?, r))).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let above = points.iter().position(|p| p.0 >= volts).unwrap_or(points.len());
    let below = points.get(above.checked_sub(1)?)?;
    let amperes = match points.get(above) {
        Some(next) => {
            let steep = (next.1 / below.1).ln() / (next.0 / below.0).ln();
            below.1 * (volts / below.0).powf(steep)
        }
        None => below.1 * below.0 / volts,
    };
    Some(below.2.value(amperes, "A"))
}

/// How far past [`dc_break`] it is a doubt only.
pub(crate) fn dc_break_doubt() -> Limit {
    plain(rule(), "dc_break_doubt", "multiple")
}

/// The part of its rated a.c. volts that a fuse breaks of d.c., and the volts up to which that is no matter.
pub(crate) fn fuse_on_dc() -> (Limit, Limit) {
    (plain(rule(), "fuse_on_dc", "fraction"), at(rule(), "fuse_on_dc", "over_v"))
}

/// Times its rated a.c. volts that the insulation of a wire stands of d.c.
pub(crate) fn wire_on_dc() -> Limit {
    plain(rule(), "wire_on_dc", "multiple")
}

/// Times its rated amperes that a contact makes at the most, and A² s of that per squared rated ampere.
pub(crate) fn contact_makes() -> (Limit, Limit) {
    let (crest, time) = (plain(rule(), "contact_makes", "multiple"), at(rule(), "contact_makes", "time_s"));
    let i2t = Limit { value: crest.value * crest.value * time.value, unit: "s", ..time };
    (crest, i2t)
}

/// Mean watts of the largest varistor disc.
pub(crate) fn varistor_power() -> Limit {
    at(rule(), "varistor_power", "power_w")
}

/// Times its rated volts that an electrolytic capacitor stands now and then.
pub(crate) fn electrolytic_surge() -> Limit {
    plain(rule(), "electrolytic_surge", "multiple")
}

/// Highest volts, d.c. or crest, at the input of a bought module.
pub(crate) fn psu_input() -> Limit {
    at(part_model(), "psu_input", "most_v")
}

/// Volts from wire to wire over those to earth by which a wire is named.
pub(crate) fn wire_between() -> Limit {
    plain(rule(), "wire_between", "multiple")
}

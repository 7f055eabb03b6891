//! Dead test and first power-up in words. Must not know what is measured where.

use super::join;
use crate::deadtest::{End, Light, Measurement, NotOffered, Range, Reading, Step, Through, Volts, Why, Wrong, shown};
use crate::quantity::format_table;
use crate::standard::meter;

/// A fault or slip: "R1 open or left out".
pub(crate) fn wrong(wrong: &Wrong) -> String {
    let end = |e: &End| if e.of == e.net { e.of.clone() } else { format!("{} on {}", e.of, e.net) };
    match wrong {
        Wrong::Open { item } => format!("{item} open or left out"),
        Wrong::Bridged { item } => format!("{item} bridged"),
        Wrong::Welded { item } => format!("contact {item} stays closed"),
        Wrong::Core { pin } => format!("the {pin} wire of the cord open"),
        Wrong::Joined { nets: [a, b] } => format!("{a} and {b} touch: insulation bridged"),
        Wrong::Windings { windings: [a, b], nets: [x, y] } => format!("{a} and {b} touch, {x} on {y}"),
        Wrong::LeftOut { part } => format!("{part} left out"),
        Wrong::Exchanged { parts: [a, b] } => format!("{a} and {b} exchanged"),
        Wrong::WiresExchanged { ends: [a, b] } => format!("the wires {} and {} exchanged", end(a), end(b)),
        Wrong::TurnedRound { part, quarter: true } => format!("{part} turned by a quarter"),
        Wrong::TurnedRound { part, quarter: false } => format!("{part} the wrong way round"),
        Wrong::Decade { part, above: true } => format!("{part} ten times its value"),
        Wrong::Decade { part, above: false } => format!("{part} a tenth of its value"),
        Wrong::Unjoined { point } => format!("the joint of {point} missing"),
        Wrong::Misplaced { end, on } => format!("the end of {} that belongs on {} is on {on}", end.of, end.net),
    }
}

/// Why something stays hidden.
pub(crate) fn why(why: &Why) -> String {
    match why {
        Why::FewVolts => "dark at a meter's few volts, sound or not".into(),
        Why::Tolerance => "changes the readings by less than the tolerances".into(),
        Why::OutOfReach(nets) => {
            let nets: Vec<String> = nets.iter().map(|n| format!("\"{n}\"")).collect();
            format!("no lead reaches it: a [[point]] on net {} would tell it", join::all(&nets))
        }
        Why::Same => "the same to a meter wherever its leads are".into(),
        Why::Strength => "what insulation stands shows at its volts only".into(),
        Why::Ratings => "whether parts stand their volts, watts and amperes shows at those only".into(),
        Why::Strikes => "whether it strikes shows at its volts only".into(),
        Why::ShortedTurns => "a few shorted turns change its resistance by less than the tolerances".into(),
    }
}

/// What a measurement must read: "285 to 315 kΩ".
pub(crate) fn reads(m: &Measurement) -> String {
    let plain = interval(&m.expect, m.range);
    let within = |s: f64| format_table(s.ceil(), "s");
    match (m.rises, m.range) {
        (Some(s), _) if m.expect.is_none() => format!("rises, then no reading within {}", within(s)),
        (Some(s), _) => format!("rises to {plain} within {}", within(s)),
        (None, Range::Continuity) => format!("a tone, {plain}"),
        (None, Range::Diode) if m.one_way => format!("{plain}, one way only"),
        (None, Range::Ohms) if !m.through.is_empty() => format!("{plain} ({})", through(&m.through)),
        (None, Range::Diode | Range::Ohms | Range::Capacitance) => plain,
    }
}

/// What in its way has few ohms: "cold filament LP1", "winding T1.primary".
fn through(all: &[Through]) -> String {
    let each = all.iter().map(|t| match t {
        Through::ColdFilament(item) => format!("cold filament {item}"),
        Through::Winding(item) => format!("winding {item}"),
    });
    each.collect::<Vec<_>>().join(", ")
}

fn interval(r: &Reading, range: Range) -> String {
    let unit = range.unit();
    if r.is_none() {
        return "no reading".into();
    }
    // Leads and joints read something, however short they are.
    let leads = if range.is_ohms() { meter::ohms().leads } else { 0.0 };
    if range.is_ohms() && r.low <= leads {
        return if r.high.is_finite() {
            format!("below {}", format_table(r.high + leads, unit))
        } else {
            "anything".into()
        };
    }
    if r.high.is_infinite() {
        return format!("above {}, or no reading", format_table(r.low, unit));
    }
    if range == Range::Diode {
        return format!("{} to {} V", tenths(r.low), tenths(r.high));
    }
    span(r.low, r.high, unit)
}

/// Volts of a junction, as the meter shows them.
fn tenths(volts: f64) -> String {
    format!("{volts:.2}").trim_end_matches('0').trim_end_matches('.').to_string()
}

/// "285 to 315 kΩ".
fn span(low: f64, high: f64, unit: &str) -> String {
    let (low, high) = (format_table(low, unit), format_table(high, unit));
    if low == high {
        return high;
    }
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, a)), Some((_, b))) if a == b => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// What the meter may add to an interval.
pub(crate) fn meter_may_add() -> String {
    let ohms = meter::ohms();
    format!(
        "Readings are over the tolerances of the parts; the meter may add {:.1} % and its leads {}.",
        ohms.error * 100.0,
        format_table(ohms.leads, "Ω")
    )
}

/// The leads of a measurement: the red one first where it matters.
pub(crate) fn leads(m: &Measurement) -> String {
    let [a, b] = &m.between;
    if m.range == Range::Diode {
        format!("{} (red) – {}", a.name, b.name)
    } else {
        format!("{} – {}", a.name, b.name)
    }
}

/// The leads of a measurement, and how the switches stand.
pub(crate) fn leads_when(m: &Measurement) -> String {
    let setting = shown(&m.setting);
    if setting.is_empty() { leads(m) } else { format!("{} ({setting})", leads(m)) }
}

/// Why the first power-up is not offered.
pub(crate) fn not_offered(why: NotOffered) -> &'static str {
    match why {
        NotOffered::Stops => "The check finds DANGER or WARNING: mend that first, it is not to be plugged in.",
        NotOffered::Incomplete => "The check is not complete: what it could not look at must be looked at first.",
        NotOffered::Differs => "The dead test reads otherwise than it must: find out why first.",
        NotOffered::NoMains => "This tool never hangs on the mains.",
        NotOffered::NotSolved => {
            "The circuit behind a series lamp could not be solved, so there are no numbers to go by."
        }
    }
}

/// One step of the first power-up: what to do, then when to stop.
pub(crate) fn step(step: &Step) -> (String, String) {
    match step {
        Step::Arrange { residual, lamp: [volts, watts] } => (
            format!(
                "Plug it in through a residual-current device of at most {} and, in its live wire, a filament lamp of {} {}. \
                 Switched off, nobody touching it, nothing on its outlets.",
                format_table(*residual, "A"),
                format_table(*volts, "V"),
                format_table(*watts, "W")
            ),
            "the device trips at once".into(),
        ),
        Step::PlugIn { light, share, left, works, seconds, lit_by, .. } => {
            plugged_in((*light, *share), (*left, *works), *seconds, lit_by)
        }
        Step::Read(volts) => (
            format!(
                "Unplug it, put a meter (10 MΩ) on by insulated clips, plug it in again, hands off: {}.",
                volts.iter().map(read).collect::<Vec<_>>().join("; ")
            ),
            "a reading lies more than a tenth outside".into(),
        ),
        Step::WithoutLamp { seconds } => (
            format!("Unplug it, take the lamp out, plug it in again and watch it for {}.", format_table(*seconds, "s")),
            "anything hums, smells, smokes or crackles, or a fuse opens".into(),
        ),
        Step::Feel { seconds, parts, charged } => feel(*seconds, parts, charged),
    }
}

fn plugged_in(
    (light, share): (Light, f64),
    (left, works): (f64, bool),
    seconds: f64,
    lit_by: &[String],
) -> (String, String) {
    let shows = match light {
        Light::Dark => "stays dark",
        Light::Glows => "glows",
        Light::Lit => "is lit",
    };
    let has = format!("{} of its volts on it, {} left for the tool", per_cent(share), format_table(left, "V"));
    let works = if works { "which works as on the mains" } else { "too little for it to work as on the mains" };
    let lit = if lit_by.is_empty() {
        " No single short inside lights it: what the tool lets through shows on the meter and by warmth only."
            .to_string()
    } else {
        format!(" It lights with {}.", join::list(lit_by))
    };
    let brighter = match light {
        Light::Dark => "it glows",
        Light::Glows => "it is lit brightly",
        Light::Lit => "it is as bright as on the bare mains",
    };
    (
        format!("Switch on and watch the lamp for {}: it {shows} ({has}, {works}).{lit}", format_table(seconds, "s")),
        brighter.into(),
    )
}

fn per_cent(share: f64) -> String {
    let per_cent = share * 100.0;
    if per_cent < 1.0 { "less than 1 %".into() } else { format!("{per_cent:.0} %") }
}

fn read(v: &Volts) -> String {
    /// Volts that a meter of the bench does not show as anything.
    const NOTHING: f64 = 0.1;
    let [a, b] = &v.between;
    let ac = span_or_none(v.true_rms, NOTHING);
    let average = span_or_none(v.average, NOTHING);
    let alternating = if ac == average {
        format!("{ac} a.c.")
    } else {
        format!("{ac} a.c. on a true-r.m.s. meter, {average} on one that is not")
    };
    let dc = if v.dc.iter().all(|x| x.abs() < NOTHING) {
        String::new()
    } else {
        format!(", {} d.c.", span(v.dc[0], v.dc[1], "V"))
    };
    format!("{} – {} {alternating}{dc}", a.name, b.name)
}

fn span_or_none(volts: [f64; 2], nothing: f64) -> String {
    if volts[1] < nothing { "0 V".into() } else { span(volts[0], volts[1], "V") }
}

fn feel(seconds: f64, parts: &[(String, f64)], charged: &[String]) -> (String, String) {
    let discharge = if charged.is_empty() {
        "prove it dead with the meter".to_string()
    } else {
        format!("discharge {} and prove it dead with the meter", join::all(charged))
    };
    let warm: Vec<String> =
        parts.iter().map(|(part, watts)| format!("{part} ({})", format_table(*watts, "W"))).collect();
    let warm = if warm.is_empty() {
        "nothing may be warm".to_string()
    } else {
        format!("warm may be {}, nothing else", join::all(&warm))
    };
    (
        format!("After {} unplug it, {discharge}, then feel its parts: {warm}.", format_table(seconds, "s")),
        "another part is warm, or one is too hot to keep a finger on".into(),
    )
}

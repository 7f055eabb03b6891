//! From the keys of a part to what it is. Must not know TOML.

use super::fault::Faults;
use super::model::{CapClass, Grade, PartKind, SwitchContacts, Winding};
use super::tables::Tables;
use super::value::Row;
use crate::quantity::{Kind, format, quote};

/// The part a row describes, or `None` where a needed key is wrong or missing (its fault is told already).
pub(crate) fn part_kind(kind: &str, row: &Row, tables: &dyn Tables, faults: &mut Faults) -> Option<PartKind> {
    let across = row.ends("across");
    let number = |key: &str| row.number(key);
    let flag = |key: &str| row.flag(key).unwrap_or(false);
    Some(match kind {
        "resistor" => PartKind::Resistor {
            across: across?,
            resistance: number("resistance")?,
            tolerance: number("tolerance"),
            power: number("power"),
            voltage: number("voltage"),
            flameproof: flag("flameproof"),
            fusible: flag("fusible"),
        },
        "capacitor" => PartKind::Capacitor {
            across: across?,
            capacitance: number("capacitance")?,
            tolerance: number("tolerance"),
            voltage: number("voltage"),
            class: row.word("class").and_then(cap_class),
            polarised: flag("polarised"),
            dc_voltage: number("dc-voltage"),
            charged: number("charged"),
        },
        "inductor" => PartKind::Inductor {
            across: across?,
            inductance: number("inductance")?,
            resistance: number("resistance")?,
            current: number("current"),
        },
        "winding" => PartKind::Winding {
            across: across?,
            inductance: number("inductance")?,
            resistance: number("resistance")?,
            current: number("current"),
            temperature_class: row.text("temperature-class"),
        },
        "diode" => PartKind::Diode {
            across: across?,
            forward: number("forward"),
            slope: number("slope"),
            voltage: number("voltage"),
            current: number("current"),
            surge: number("surge"),
        },
        "led" => PartKind::Led {
            across: across?,
            forward: number("forward")?,
            slope: number("slope"),
            current: number("current"),
            peak_current: number("peak-current"),
            reverse: number("reverse"),
            series: if row.has("series") { row.count("series")? } else { 1 },
        },
        "suppressor" => PartKind::Suppressor {
            across: across?,
            breakdown: number("breakdown")?,
            power: number("power"),
            bidirectional: flag("bidirectional"),
        },
        "bridge" => PartKind::Bridge {
            ac: row.ends("ac")?,
            plus: row.net("plus")?,
            minus: row.net("minus")?,
            forward: number("forward"),
            slope: number("slope"),
            voltage: number("voltage"),
            current: number("current"),
            surge: number("surge"),
        },
        "neon-lamp" => return neon(row, tables, faults),
        "filament-lamp" => PartKind::Filament {
            across: across?,
            volts: number("volts")?,
            power: number("power")?,
            cold_ratio: number("cold-ratio"),
        },
        "fuse" => PartKind::Fuse {
            across: across?,
            current: number("current")?,
            speed: row.text("speed"),
            voltage: number("voltage"),
            breaking: number("breaking"),
        },
        "thermal-fuse" => PartKind::ThermalFuse {
            across: across?,
            temperature: number("temperature")?,
            current: number("current"),
            voltage: number("voltage"),
        },
        "switch" => PartKind::Switch {
            contacts: match (row.pairs("poles"), row.positions("positions")) {
                (Some(poles), _) => SwitchContacts::Poles(poles),
                (None, positions) => SwitchContacts::Positions(positions?),
            },
            voltage: number("voltage"),
            current: number("current"),
        },
        "varistor" => PartKind::Varistor { across: across?, voltage: number("voltage")?, energy: number("energy") },
        "thermistor" => return thermistor(row, faults),
        "transformer" => PartKind::Transformer {
            primary: windings(row, "primary")?.into_iter().next()?,
            secondaries: windings(row, "secondary")?,
            power: number("power"),
            insulation: row.word("insulation").and_then(grade),
            capacitance: number("capacitance"),
            inductance: number("inductance"),
        },
        "psu" => PartKind::Psu {
            input: row.ends("input")?,
            output: row.ends("output")?,
            volts: number("volts"),
            current: number("current"),
            power: number("power"),
            selv: row.word("output-class") == Some("SELV"),
        },
        "load" => PartKind::Load {
            across: across?,
            power: number("power"),
            resistance: number("resistance"),
            power_factor: number("power-factor"),
        },
        "wire" => PartKind::Wire {
            across: across?,
            area: number("area"),
            colour: row.text("colour"),
            voltage: number("voltage"),
            length: number("length"),
            temperature: number("temperature"),
            screened: flag("screened"),
        },
        "socket" => PartKind::Socket {
            nets: row.nets("nets")?,
            socket_type: row.text("type"),
            shrouded: row.flag("shrouded"),
            exposed_pins: row.flag("exposed-pins"),
        },
        // A word of the description that nothing here builds is a slip of ours; a test builds every kind.
        _ => return None,
    })
}

/// The grade behind a word of the format.
pub(crate) fn grade(word: &str) -> Option<Grade> {
    Some(match word {
        "functional" => Grade::Functional,
        "basic" => Grade::Basic,
        "supplementary" => Grade::Supplementary,
        "double" => Grade::Double,
        "reinforced" => Grade::Reinforced,
        _ => return None,
    })
}

fn cap_class(word: &str) -> Option<CapClass> {
    Some(match word {
        "X1" => CapClass::X1,
        "X2" => CapClass::X2,
        "X3" => CapClass::X3,
        "Y1" => CapClass::Y1,
        "Y2" => CapClass::Y2,
        "Y4" => CapClass::Y4,
        _ => return None,
    })
}

fn windings(row: &Row, key: &str) -> Option<Vec<Winding>> {
    let rows = row.rows(key);
    let name = |i: usize| {
        if i == 0 { key.to_string() } else { format!("{key}{}", i + 1) }
    };
    let windings: Option<Vec<Winding>> = rows
        .iter()
        .enumerate()
        .map(|(i, row)| Some(Winding { name: name(i), across: row.ends("across")?, volts: row.number("volts")? }))
        .collect();
    windings.filter(|windings| !windings.is_empty())
}

fn neon(row: &Row, tables: &dyn Tables, faults: &mut Faults) -> Option<PartKind> {
    let lamp_type = row.text("type");
    let typed = match &lamp_type {
        None => None,
        Some(name) => match tables.lamp(name) {
            Ok(lamp) => Some(lamp),
            Err(near) => {
                let help = match near.first() {
                    Some(nearest) => {
                        format!("did you mean \"{nearest}\"? Else write strike and maintain from its data sheet")
                    }
                    None => "write strike and maintain from its data sheet".to_string(),
                };
                faults.wrong(row.place_of("type"), format!("the lamps table has no {}", quote(name)), help);
                return None;
            }
        },
    };
    // A key that is written but wrong must not fall back to the table: its fault is told, the part is left out.
    let own = |key: &str| {
        if row.has(key) { row.number(key).map(Some) } else { Some(None) }
    };
    let strike = own("strike")?.or(typed.as_ref().map(|lamp| lamp.strike))?;
    let maintain = own("maintain")?.or(typed.as_ref().map(|lamp| lamp.maintain))?;
    // A strike written above the table's worst lamp is then itself the worst.
    let strike_max = own("strike-max")?.or(typed.as_ref().map(|lamp| lamp.strike_max.max(strike)));
    if maintain >= strike {
        let key = if row.has("maintain") { "maintain" } else { "strike" };
        let message = format!(
            "the lamp would maintain at {} and strike at {}",
            format(maintain, Kind::Voltage),
            format(strike, Kind::Voltage)
        );
        faults.wrong(
            row.place_of(key),
            message,
            "a glow lamp strikes above the volts it maintains at: look again at the data sheet",
        );
        return None;
    }
    if let Some(worst) = strike_max.filter(|worst| *worst < strike) {
        let message =
            format!("strike-max {} is below strike {}", format(worst, Kind::Voltage), format(strike, Kind::Voltage));
        faults.wrong(
            row.place_of("strike-max"),
            message,
            "strike-max is the worst lamp of the type: the same or higher",
        );
        return None;
    }
    Some(PartKind::Neon {
        across: row.ends("across")?,
        strike,
        strike_max,
        maintain,
        slope: own("slope")?.or(typed.as_ref().and_then(|lamp| lamp.slope)),
        current: own("current")?.or(typed.as_ref().map(|lamp| lamp.current)),
        max_current: own("max-current")?.or(typed.as_ref().and_then(|lamp| lamp.max_current)),
        lamp_type,
    })
}

fn thermistor(row: &Row, faults: &mut Faults) -> Option<PartKind> {
    let cold = row.number("cold")?;
    let hot = row.number("hot");
    if let Some(hot) = hot.filter(|hot| *hot >= cold) {
        let (hot, cold) = (format(hot, Kind::Resistance), format(cold, Kind::Resistance));
        let message = format!("hot {hot} is not below cold {cold}");
        faults.wrong(row.place_of("hot"), message, "an inrush limiter has less resistance hot than cold");
        return None;
    }
    Some(PartKind::Thermistor { across: row.ends("across")?, cold, hot, current: row.number("current") })
}

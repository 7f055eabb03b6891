//! Quantities: every way of writing them, every slip with its words, printing and reading back.
#![allow(clippy::unwrap_used)]

use crate::quantity::{Kind, Range, format, format_unit, parse, parse_in};
use proptest::prelude::*;

/// Expected values are the decimal literals themselves: the Rust compiler reads them to the nearest `f64`, by a road
/// that shares nothing with the reader under test but the final rounding.
const FORMS: &[(&str, Kind, f64)] = &[
    ("150 kΩ", Kind::Resistance, 150000.0),
    ("150 k\u{2126}", Kind::Resistance, 150000.0),
    ("150 kohm", Kind::Resistance, 150000.0),
    ("150 kohms", Kind::Resistance, 150000.0),
    ("150k", Kind::Resistance, 150000.0),
    ("150 k", Kind::Resistance, 150000.0),
    ("150K", Kind::Resistance, 150000.0),
    ("150kΩ", Kind::Resistance, 150000.0),
    ("  150 kΩ ", Kind::Resistance, 150000.0),
    ("150\u{a0}kΩ", Kind::Resistance, 150000.0),
    ("4k7", Kind::Resistance, 4700.0),
    ("4K7", Kind::Resistance, 4700.0),
    ("4k7 Ω", Kind::Resistance, 4700.0),
    ("2R2", Kind::Resistance, 2.2),
    ("2r2", Kind::Resistance, 2.2),
    ("R47", Kind::Resistance, 0.47),
    ("0R1", Kind::Resistance, 0.1),
    ("47R", Kind::Resistance, 47.0),
    ("1M", Kind::Resistance, 1e6),
    ("2M2", Kind::Resistance, 2.2e6),
    ("5 mΩ", Kind::Resistance, 0.005),
    ("5 MΩ", Kind::Resistance, 5e6),
    ("5 µΩ", Kind::Resistance, 5e-6),
    ("1 GΩ", Kind::Resistance, 1e9),
    ("1.5e3 Ω", Kind::Resistance, 1500.0),
    ("1E3 ohm", Kind::Resistance, 1000.0),
    ("+10 Ω", Kind::Resistance, 10.0),
    (".5 Ω", Kind::Resistance, 0.5),
    ("5. Ω", Kind::Resistance, 5.0),
    ("0.1 Ω", Kind::Resistance, 0.1),
    ("330 nF", Kind::Capacitance, 330e-9),
    ("0.33 uF", Kind::Capacitance, 0.33e-6),
    ("0.33 µF", Kind::Capacitance, 0.33e-6),
    ("0.33 μF", Kind::Capacitance, 0.33e-6),
    ("100 pF", Kind::Capacitance, 100e-12),
    ("1 mF", Kind::Capacitance, 1e-3),
    ("10 H", Kind::Inductance, 10.0),
    ("10 mH", Kind::Inductance, 0.01),
    ("275 V", Kind::Voltage, 275.0),
    ("1.5 kV", Kind::Voltage, 1500.0),
    ("30 mA", Kind::Current, 0.03),
    ("1500 A", Kind::Current, 1500.0),
    ("10 uA", Kind::Current, 10e-6),
    ("0.25 W", Kind::Power, 0.25),
    ("1/4 W", Kind::Power, 0.25),
    ("1/3 W", Kind::Power, 1.0 / 3.0),
    ("1/8W", Kind::Power, 0.125),
    ("1/4 mW", Kind::Power, 0.25e-3),
    ("20 VA", Kind::ApparentPower, 20.0),
    ("20 W", Kind::ApparentPower, 20.0),
    ("5 J", Kind::Energy, 5.0),
    ("6 mm", Kind::Length, 0.006),
    ("2 m", Kind::Length, 2.0),
    ("12 cm", Kind::Length, 0.12),
    ("0.75 mm2", Kind::Area, 0.75e-6),
    ("0.75 mm²", Kind::Area, 0.75e-6),
    ("1 cm2", Kind::Area, 1e-4),
    ("50 Hz", Kind::Frequency, 50.0),
    ("1 kHz", Kind::Frequency, 1000.0),
    ("85 °C", Kind::Temperature, 85.0),
    ("85°C", Kind::Temperature, 85.0),
    ("85 ℃", Kind::Temperature, 85.0),
    ("85 degC", Kind::Temperature, 85.0),
    ("-20 °C", Kind::Temperature, -20.0),
    ("\u{2212}20 °C", Kind::Temperature, -20.0),
    ("0 °C", Kind::Temperature, 0.0),
    ("5 %", Kind::Fraction, 0.05),
    ("5%", Kind::Fraction, 0.05),
    ("0 %", Kind::Fraction, 0.0),
    ("2 s", Kind::Time, 2.0),
    ("10 ms", Kind::Time, 0.01),
];

#[test]
fn every_form_is_read_exactly() {
    for (text, kind, wanted) in FORMS {
        assert_eq!(parse(text, *kind).as_ref(), Ok(wanted), "{text} as {kind:?}");
    }
}

/// Published cross-sections (ASTM B258, table of round wire, square millimetres, printed to four digits).
#[test]
fn wire_gauges_agree_with_the_printed_table() {
    for (text, square_mm) in [
        ("36 AWG", 0.01267),
        ("24 AWG", 0.2047),
        ("18 AWG", 0.8230),
        ("18awg", 0.8230),
        ("14 AWG", 2.081),
        ("10 AWG", 5.261),
        ("0 AWG", 53.49),
        ("1/0 AWG", 53.49),
        ("00 AWG", 67.43),
        ("4/0 AWG", 107.2),
        ("0000 AWG", 107.2),
    ] {
        let got = parse(text, Kind::Area).unwrap() * 1e6;
        assert!((got / square_mm - 1.0).abs() < 1e-3, "{text}: {got} and not {square_mm}");
    }
}

const SLIPS: &[(&str, Kind, &str)] = &[
    ("0,6 W", Kind::Power, r#""0,6 W" uses a decimal comma; write "0.6 W""#),
    (",6 W", Kind::Power, r#"",6 W" uses a decimal comma; write "0.6 W""#),
    ("1,5kΩ", Kind::Resistance, r#""1,5kΩ" uses a decimal comma; write "1.5kΩ""#),
    ("1,500 A", Kind::Current, r#""1,500 A" has a comma that can be read two ways; write "1500 A" or "1.500 A""#),
    ("0,047 uF", Kind::Capacitance, r#""0,047 uF" uses a decimal comma; write "0.047 uF""#),
    ("1,500.5 A", Kind::Current, r#""1,500.5 A" has commas in its number; write "1500.5 A""#),
    ("5, V", Kind::Voltage, r#""5, V" has a comma in it; write "5 V""#),
    ("1 500 A", Kind::Current, r#""1 500 A" has a space inside its number; write "1500 A""#),
    ("1 000 000 Ω", Kind::Resistance, r#""1 000 000 Ω" has a space inside its number; write "1000000 Ω""#),
    ("1_000 Ω", Kind::Resistance, r#""1_000 Ω" has marks inside its number; write "1000 Ω""#),
    ("150", Kind::Resistance, r#""150" has no unit; write "150 Ω" or "150 kΩ""#),
    ("0.05", Kind::Fraction, r#""0.05" has no unit; write "5 %" or "0.05 %""#),
    ("1/4", Kind::Power, r#""1/4" has no unit; write "1/4 W""#),
    (
        "150 kV",
        Kind::Resistance,
        r#""150 kV" is a voltage, where a resistance is wanted; write a resistance such as "150 kΩ""#,
    ),
    ("150k", Kind::Voltage, r#""150k" has a prefix but no unit; write "150 kV""#),
    ("20 VA", Kind::Power, r#""20 VA" is an apparent power, where a power is wanted; write a power such as "0.6 W""#),
    (
        "1e400 Ω",
        Kind::Resistance,
        r#""1e400 Ω" is too large; write a value that a real part can have, such as "150 kΩ""#,
    ),
    (
        "1e-400 Ω",
        Kind::Resistance,
        r#""1e-400 Ω" is too small; write a value that a real part can have, such as "150 kΩ""#,
    ),
    (
        "1e99999999999 V",
        Kind::Voltage,
        r#""1e99999999999 V" is too large; write a value that a real part can have, such as "275 V""#,
    ),
    (
        "NaN Ω",
        Kind::Resistance,
        r#""NaN Ω" is not a number that a real part can have; write a resistance as a number and a unit, such as "150 kΩ""#,
    ),
    (
        "-inf V",
        Kind::Voltage,
        r#""-inf V" is not a number that a real part can have; write a voltage as a number and a unit, such as "275 V""#,
    ),
    ("-5 V", Kind::Voltage, r#""-5 V" is negative; write a voltage above zero, such as "275 V""#),
    ("0 Ω", Kind::Resistance, r#""0 Ω" is zero; write a resistance above zero, such as "150 kΩ""#),
    ("-5 %", Kind::Fraction, r#""-5 %" is negative; write a percentage of zero or more, such as "5 %""#),
    (
        "-300 °C",
        Kind::Temperature,
        r#""-300 °C" is below absolute zero; write a value that a real part can have, such as "85 °C""#,
    ),
    ("", Kind::Power, r#"an empty text where a power is wanted; write a number and a unit, such as "0.6 W""#),
    ("1/0 W", Kind::Power, r#""1/0 W" divides by nothing; write a power as a number and a unit, such as "0.6 W""#),
    ("5m", Kind::Resistance, r#""5m" can be read two ways; write "5 mΩ" (milliohms) or "5 MΩ" (megohms)"#),
    ("4m7", Kind::Resistance, r#""4m7" can be read two ways; write "4.7 mΩ" (milliohms) or "4.7 MΩ" (megohms)"#),
    (
        "4n7",
        Kind::Capacitance,
        r#""4n7" has a letter for its decimal point, which is read for ohms only; write "4.7 nF""#,
    ),
    ("100n", Kind::Capacitance, r#""100n" has a prefix but no unit; write "100 nF""#),
    ("0.33 MFD", Kind::Capacitance, r#""0.33 MFD" has a unit that is not read here; write "0.33 uF""#),
    ("150 k Ω", Kind::Resistance, r#""150 k Ω" has a space inside its unit; write "150 kΩ""#),
    ("10 V 5 A", Kind::Voltage, r#""10 V 5 A" has more behind its unit; write one number and one unit: "10 V""#),
    ("50 mA, 2 A", Kind::Current, r#""50 mA, 2 A" has more behind its unit; write one number and one unit: "50 mA""#),
    ("250 v", Kind::Voltage, r#""250 v" has a unit in the wrong case; write "250 V""#),
    ("5 MW", Kind::Power, r#""5 MW" has a unit in the wrong case; write "5 mW""#),
    (
        "250 VAC",
        Kind::Voltage,
        r#""250 VAC" says which kind of volts or amperes it means; write "250 V": the key itself says whether it is r.m.s., peak or d.c."#,
    ),
    (
        "60 mV d.c.",
        Kind::Voltage,
        r#""60 mV d.c." says which kind of volts or amperes it means; write "60 mV": the key itself says whether it is r.m.s., peak or d.c."#,
    ),
    ("6 ft", Kind::Length, r#""6 ft" is in feet or inches; write "1.83 m""#),
    ("2 mm", Kind::Area, r#""2 mm" has a unit that is not read here; write "2 mm2""#),
    ("AWG 18", Kind::Area, r#""AWG 18" has the gauge before the number; write "18 AWG""#),
    (
        "41 AWG",
        Kind::Area,
        r#""41 AWG" is not a wire gauge; write a whole gauge from "0000 AWG" to "40 AWG", such as "18 AWG""#,
    ),
    ("85 C", Kind::Temperature, r#""85 C" has a unit that is not read here; write "85 °C""#),
    ("2 kg", Kind::Power, r#""2 kg" has a unit that is not known ("kg"); write a power such as "0.6 W""#),
    (
        "±5 %",
        Kind::Fraction,
        r#""±5 %" begins with a sign that is not read; write a percentage as a number and a unit, such as "5 %""#,
    ),
    (
        "\u{1b}[31m",
        Kind::Power,
        r#""\u{1b}[31m" does not begin with a number; write a power as a number and a unit, such as "0.6 W""#,
    ),
];

#[test]
fn every_slip_is_told_with_what_to_write() {
    for (text, kind, wanted) in SLIPS {
        let error = parse(text, *kind).map(|value| panic!("{text} as {kind:?} gave {value}")).unwrap_err();
        assert_eq!(error.to_string(), *wanted, "{text} as {kind:?}");
    }
}

#[test]
fn ranges_hold_at_their_ends() {
    assert_eq!(parse_in("0 V", Kind::Voltage, Range::NotNegative), Ok(0.0));
    assert_eq!(parse_in("-3 V", Kind::Voltage, Range::Any), Ok(-3.0));
    assert!(parse_in("-0.001 V", Kind::Voltage, Range::NotNegative).is_err());
    assert!(parse_in("0 V", Kind::Voltage, Range::Positive).is_err());
}

#[test]
fn an_overlong_text_is_cut_in_the_message() {
    let error = parse(&"9".repeat(100_000), Kind::Voltage).unwrap_err();
    assert!(error.message.chars().count() < 100, "{} characters", error.message.len());
}

#[test]
fn printing_rounds_before_it_chooses_the_prefix() {
    for (value, kind, wanted) in [
        (150e3, Kind::Resistance, "150 kΩ"),
        (0.99996, Kind::Current, "1 A"),
        (0.9994, Kind::Current, "999 mA"),
        (0.9995, Kind::Current, "1 A"),
        (999.5e3, Kind::Resistance, "1 MΩ"),
        (999.4, Kind::Resistance, "999 Ω"),
        (4700.0, Kind::Resistance, "4.7 kΩ"),
        (0.005, Kind::Resistance, "5 mΩ"),
        (330e-9, Kind::Capacitance, "330 nF"),
        (0.33e-6, Kind::Capacitance, "330 nF"),
        (1e-15, Kind::Capacitance, "0.001 pF"),
        (230.0, Kind::Voltage, "230 V"),
        (325.27, Kind::Voltage, "325 V"),
        (-1500.0, Kind::Voltage, "-1.5 kV"),
        (0.0, Kind::Voltage, "0 V"),
        (5e7, Kind::Voltage, "50000 kV"),
        (0.75e-6, Kind::Area, "0.75 mm²"),
        (85.0, Kind::Temperature, "85 °C"),
        (-20.0, Kind::Temperature, "-20 °C"),
        (0.05, Kind::Fraction, "5 %"),
        (1.5, Kind::Fraction, "150 %"),
        (50.0, Kind::Frequency, "50 Hz"),
        (3600.0, Kind::Time, "3600 s"),
        (0.006, Kind::Length, "6 mm"),
        (f64::INFINITY, Kind::Resistance, "∞ Ω"),
        (f64::NAN, Kind::Resistance, "unknown Ω"),
    ] {
        assert_eq!(format(value, kind), wanted, "{value} as {kind:?}");
    }
    assert_eq!(format_unit(0.0005, "A"), "500 µA");
    assert_eq!(format_unit(12.5, "%"), "12.5 %");
    assert_eq!(format_unit(1.5, "flashes"), "1.5 flashes");
}

fn kinds() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

proptest! {
    /// Half a unit of the third digit is at most half a per cent of the value (1.005 printed as 1 or 1.01).
    #[test]
    fn what_is_printed_reads_back(kind in kinds(), mantissa in 1.0f64..10.0, exponent in -12i32..12) {
        let value = mantissa * 10f64.powi(exponent);
        let printed = format(value, kind);
        let again = parse(&printed, kind).map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
        prop_assert!((again / value - 1.0).abs() <= 0.005 + 1e-9, "{value} printed {printed} read {again}");
        // Printing what was read changes nothing more.
        prop_assert_eq!(format(again, kind), printed);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>(), kind in kinds()) {
        if let Err(error) = parse(&text, kind) {
            prop_assert!(!error.message.is_empty() && !error.help.is_empty());
            prop_assert!(!error.to_string().contains('\n'));
        }
    }

    /// Text of the letters that matter gets much further into the reader than any text at all.
    #[test]
    fn no_near_miss_makes_the_reader_panic(text in "[0-9.,/ eE+\\-−rRkKmMuµΩohmsFHVAWJzC°%²AWGft'\"_∞±]{0,14}", kind in kinds()) {
        if let Ok(value) = parse(&text, kind) {
            prop_assert!(value.is_finite());
            prop_assert!(value >= 0.0 || kind == Kind::Temperature);
        }
    }
}

/// A gauge put before its number is written the right way round in the help, and what is not seen in it is shown.
#[test]
fn what_is_not_seen_is_shown_in_a_help() {
    let error = crate::quantity::parse("AWG\0\u{7}18\u{1b}[2J", Kind::Area).unwrap_err();
    assert!(!error.to_string().contains(['\0', '\u{7}', '\u{1b}']), "{error:?}");
    assert!(error.help.contains("\\u{0}"), "{error:?}");
}

//! The published tables against laws of physics, formulas and lists typed out independently of the data files.
//! Each expected value is worked out here by other means than the look-up under test; the comment says how.
#![allow(clippy::unwrap_used)]

use super::support::close;
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::SQRT_2;

use crate::jig::Arrangement;
use crate::quantity;
use crate::standard::colour_code::{self, Colour};
use crate::standard::protection::{self, BreakerType, Earthing};
use crate::standard::residual::{self, RcdKind, Residual};
use crate::standard::{self, Row, bench, capacitor, cord, discharge, flash, fuse, insulation, lamp, parts, plug};
use crate::standard::{preferred, resistor, signal, supply, touch};

fn raw() -> impl Iterator<Item = (&'static str, String, toml::Table)> {
    standard::FILES.iter().flat_map(|(name, text)| {
        let file: toml::Table = text.parse().unwrap();
        let mut rows = Vec::new();
        for (table, list) in file {
            for row in list.as_array().unwrap() {
                rows.push((*name, table.clone(), row.as_table().unwrap().clone()));
            }
        }
        rows
    })
}

#[test]
fn every_row_has_an_id_of_its_own_a_source_and_a_basis() {
    let mut seen = BTreeSet::new();
    let mut count = 0;
    for (file, table, row) in raw() {
        let text = |key: &str| row.get(key).and_then(|v| v.as_str()).unwrap_or_default().to_string();
        let place = format!("{file}.{table}.{}", text("id"));
        assert!(!text("id").is_empty() && seen.insert(place.clone()), "{place} twice or without a name");
        assert!(text("source").len() >= "SI 32".len(), "{place} has no source");
        let basis = text("basis");
        let known = ["published, corroborated", "from memory", "common practice"];
        assert!(known.contains(&basis.as_str()), "{place}: {basis}");
        count += 1;
    }
    // A file left out of the list, or cut short, would show here; counted in the files.
    assert!(count > 800, "{count}");
}

#[test]
fn numbers_are_finite_and_none_but_exponents_are_negative() {
    for (file, table, row) in raw() {
        for (key, value) in &row {
            let Some(number) = value.as_float().or_else(|| value.as_integer().map(|i| i as f64)) else {
                continue;
            };
            let place = format!("{file}.{table}.{key} = {number}");
            assert!(number.is_finite() && (number >= 0.0 || key.contains("exponent")), "{place}");
        }
    }
}

#[test]
fn every_file_fits_its_types() {
    // Each call parses one file into its typed rows, which refuse unknown keys.
    assert!(!protection::system().is_empty() && !plug::plug_rows().is_empty() && !lamp::neon_lamp().is_empty());
    assert!(!fuse::gate().is_empty() && !cord::conductor().is_empty() && !touch::voltage_limit().is_empty());
    assert!(!discharge::requirement().is_empty() && !insulation::creepage_rows().is_empty());
    assert!(!capacitor::subclass().is_empty() && !resistor::resistor().is_empty() && !parts::rectifier().is_empty());
    assert!(!preferred::series_rows().is_empty() && !signal::word().is_empty() && !flash::hazard().is_empty());
    assert!(!bench::supply_choice().is_empty());
}

#[test]
fn one_number_by_name() {
    let found = standard::limit("touch.voltage_limit.iec61010_2010_normal_dry.ac_rms_v").unwrap();
    assert_eq!((found.value, found.unit), (30.0, "V"));
    assert!(found.source.contains("IEC 61010-1"));
    let remembered = standard::limit("touch.current_limit.iec61010_fault.ac_rms_ma").unwrap();
    assert_eq!((remembered.value, remembered.unit), (3.5e-3, "A"));
    assert!(remembered.source.contains("from memory"));
    for name in ["", "touch", "touch.voltage_limit.none.ac_rms_v", "touch.voltage_limit.elv_upper.note", "a.b.c.d"] {
        assert!(standard::limit(name).is_none(), "{name}");
    }
}

#[test]
fn sources_tell_what_is_from_memory() {
    let row = |id: &str| protection::system().iter().find(|r| r.id == id).unwrap();
    assert!(row("ru_230").cite().ends_with("(from memory)"));
    assert_eq!(row("uk_230").cite(), row("uk_230").source);
}

// ---- supplies ----

#[test]
fn bands_follow_from_their_percentages_or_volts() {
    for row in protection::system() {
        let (Some(min), Some(max)) = (row.v_min, row.v_max) else {
            continue;
        };
        if let (Some(v), Some(plus), Some(minus)) = (row.voltage_ln_v, row.plus_percent, row.minus_percent) {
            assert!(close(max, v * (1.0 + plus / 100.0), 1e-9), "{}", row.id);
            assert!(close(min, v * (1.0 - minus / 100.0), 1e-9), "{}", row.id);
        }
        if let (Some(v), Some(plus), Some(minus)) = (row.centre_v.or(row.voltage_ln_v), row.plus_v, row.minus_v) {
            assert_eq!((min, max), (v - minus, v + plus), "{}", row.id);
        }
    }
}

#[test]
fn three_phase_rows_keep_the_root_of_three_and_split_phase_the_factor_two() {
    for row in protection::system() {
        let (Some(ln), Some(ll)) = (row.voltage_ln_v, row.voltage_ll_v) else {
            continue;
        };
        // Nominal values are rounded to 10 V, hence 1 %.
        assert!(close(ll / ln, 3f64.sqrt(), 0.01) || ll / ln == 2.0, "{}", row.id);
    }
}

/// Text, low, nominal, high, hertz, volts to earth of a live pair.
type System = (&'static str, f64, f64, f64, f64, Option<f64>);

#[test]
fn words_give_the_right_system() {
    // Worked out by hand from the standards' words.
    let table: [System; 14] = [
        ("230 V 50 Hz", 207.0, 230.0, 253.0, 50.0, None),
        ("240 V 50 Hz", 225.6, 240.0, 254.4, 50.0, None),
        ("220 V 50 Hz", 198.0, 220.0, 242.0, 50.0, None),
        ("120 V 60 Hz", 108.0, 120.0, 126.0, 60.0, None),
        ("100 V 50 Hz", 95.0, 100.0, 107.0, 50.0, None),
        ("100 V 60 Hz", 95.0, 100.0, 107.0, 60.0, None),
        ("127 V 60 Hz", 114.3, 127.0, 139.7, 60.0, None),
        ("240 V 60 Hz", 216.0, 240.0, 252.0, 60.0, Some(120.0)),
        ("208 V 60 Hz", 187.2, 208.0, 218.4, 60.0, Some(120.0)),
        ("200 V 60 Hz", 182.0, 200.0, 222.0, 60.0, Some(100.0)),
        ("220 V 60 Hz", 198.0, 220.0, 242.0, 60.0, Some(127.0)),
        ("220 V 60 Hz line to neutral", 207.0, 220.0, 233.0, 60.0, None),
        ("uk_230", 216.2, 230.0, 253.0, 50.0, None),
        ("us_208", 187.2, 208.0, 218.4, 60.0, Some(120.0)),
    ];
    for (text, low, nominal, high, hertz, to_earth) in table {
        let mains = supply::supply(text).unwrap();
        assert!(close(mains.low, low, 1e-9) && close(mains.high, high, 1e-9), "{text}: {} {}", mains.low, mains.high);
        assert_eq!((mains.nominal, mains.hertz), (nominal, hertz), "{text}");
        let expected = to_earth.map_or(Arrangement::LineNeutral, |v| Arrangement::LineLine { to_earth: v });
        assert_eq!(mains.arrangement, expected, "{text}");
        assert!(!mains.source.is_empty(), "{text}");
    }
    assert!(supply::supply("127 V 60 Hz").unwrap().source.contains("no band published"));
}

#[test]
fn protective_devices() {
    // IEC 60898-1 by hand: a B16 must trip at once from 80 A, a C16 from 160 A, a D16 from 320 A.
    for (kind, instant, before) in
        [(BreakerType::B, 80.0, 45.0), (BreakerType::C, 160.0, 15.0), (BreakerType::D, 320.0, 8.0)]
    {
        assert!(protection::breaker_clears(kind, 16.0, instant).unwrap().value <= 0.1);
        assert_eq!(protection::breaker_clears(kind, 16.0, instant - 1.0).unwrap().value, before);
        // 1.45 · 16 A = 23.2 A within the hour, 2.55 · 16 A = 40.8 A within the minute.
        assert_eq!(protection::breaker_clears(kind, 16.0, 40.7).unwrap().value, 3600.0);
        assert_eq!(protection::breaker_clears(kind, 16.0, 40.9).unwrap().value, 60.0);
        assert!(protection::breaker_clears(kind, 16.0, 20.0).is_none());
    }
    let (from, to) = protection::breaker_instant(BreakerType::C).unwrap();
    assert_eq!([from, to].map(|l| l.value), [5.0, 10.0]);
    // A C16 has 15 s at 5 · 16 A = 80 A; a C63 has 120 s at 2.55 · 63 A = 160.7 A; a C80 two hours at 1.45 · 80 A = 116 A.
    let takes = |rating, amperes| protection::breaker_clears(BreakerType::C, rating, amperes).unwrap().value;
    assert_eq!([takes(16.0, 80.0), takes(63.0, 161.0), takes(80.0, 117.0)], [15.0, 120.0, 7200.0]);
    // UL 943, (20 mA ÷ I) to the power 1.43: at 264 mA some 25 ms.
    let curve = protection::rcd().iter().find(|r| r.id == "ul943_time").unwrap();
    let base = curve.number("base_ma").unwrap();
    assert!(base == 20.0 && close((base / 264.0).powf(curve.number("exponent").unwrap()), 0.025, 0.01));
    assert!(protection::disconnection(50.0, Earthing::Tn).is_none());
    assert_eq!(protection::disconnection(230.0, Earthing::Tn).unwrap().value, 0.4);
    assert_eq!(protection::disconnection(120.0, Earthing::Tn).unwrap().value, 0.8);
    assert_eq!(protection::usual_branch("eu_230").value, 16.0);
    // Times fall with the voltage, and are shorter without a metallic return.
    let mut last = f64::INFINITY;
    for volts in [100.0, 200.0, 300.0, 500.0] {
        let (tn, tt) = (protection::disconnection(volts, Earthing::Tn), protection::disconnection(volts, Earthing::Tt));
        let (tn, tt) = (tn.unwrap().value, tt.unwrap().value);
        assert!(tn < last && tt < tn);
        last = tn;
    }
}

#[test]
fn a_north_american_breaker_has_its_own_times() {
    let takes = |rating, amperes| protection::breaker_clears(BreakerType::Ul, rating, amperes).map(|l| l.value);
    // UL 489: 1.35 · 15 A = 20.25 A within the hour, 30 A within two minutes; 18 A (IEC: 1.13 · 15 = 17 A) need not trip.
    assert_eq!((takes(15.0, 18.0), takes(15.0, 20.3), takes(15.0, 30.0)), (None, Some(3600.0), Some(120.0)));
    // 150 A is 5 times the current of the two-minute test: 120 s / 25 = 4.8 s by the same I²t; an IEC C15 is instantaneous.
    assert!(close(takes(15.0, 150.0).unwrap(), 4.8, 1e-9));
    assert_eq!(protection::breaker_clears(BreakerType::C, 15.0, 150.0).unwrap().value, 0.1);
    assert_eq!(takes(20.0, 300.0), Some(0.1));
    assert!(protection::breaker_instant(BreakerType::Ul).is_none());
    let of = |system: &str| protection::breaker_of(&supply::supply(system).unwrap().row);
    assert_eq!(of("120 V 60 Hz"), BreakerType::Ul);
    assert_eq!(of("240 V 60 Hz"), BreakerType::Ul);
    for system in ["230 V 50 Hz", "240 V 50 Hz", "100 V 60 Hz", "220 V 60 Hz"] {
        assert_eq!(of(system), BreakerType::C, "{system}");
    }
}

#[test]
fn every_supply_has_a_usual_breaker() {
    let rows = protection::final_circuit();
    for row in protection::system() {
        let own = rows.iter().filter(|r| r.system == row.id).map(|r| r.protective_rating_a).fold(0.0, f64::max);
        assert!(own > 0.0, "{} has no row of its own", row.id);
        assert_eq!(protection::usual_branch(&row.id).value, own, "{}", row.id);
        // One system, one standard.
        let standards = rows.iter().filter(|r| r.system == row.id).map(|r| &r.breaker_standard);
        assert!(standards.clone().all(|s| Some(s) == standards.clone().next()), "{}", row.id);
    }
    // Written out in numbers: no row, the largest rating of unfused sockets.
    assert_eq!(protection::usual_branch("").value, 20.0);
    for name in supply::known().iter().filter_map(|n| supply::supply(n).ok()) {
        assert!(protection::usual_branch(&name.row).value <= 32.0, "{}", name.row);
    }
}

/// The three shapes by their formulas: a sine of amplitude a has a/√2 and no mean; its positive half a/2 and a/π; direct
/// current is its own mean.
fn shapes(rms: f64) -> [Residual; 3] {
    let pi = std::f64::consts::PI;
    let top = rms * std::f64::consts::SQRT_2;
    [
        Residual { rms, mean: 0.0, range: [top, -top] },
        Residual { rms, mean: 2.0 * rms / pi, range: [2.0 * rms, 0.0] },
        Residual { rms, mean: rms, range: [rms, rms] },
    ]
}

#[test]
fn a_type_of_residual_current_device_sees_what_it_is_made_for() {
    assert_eq!(residual::rcd_holds().value, 0.5);
    let takes = |kind, rated, r: &Residual| residual::rcd_clears(kind, rated, r).map(|l| l.value);
    // IEC 61008-1 for a sine and 30 mA: 0.3 s, from 60 mA 0.15 s, from 150 mA 0.04 s, whatever the type.
    for kind in [RcdKind::Ac, RcdKind::A, RcdKind::B] {
        let times = [0.029, 0.03, 0.06, 0.15].map(|a| takes(kind, 0.03, &shapes(a)[0]));
        assert_eq!(times, [None, Some(0.3), Some(0.15), Some(0.04)]);
    }
    // 146 mA of a half-wave: 1.4 · 30 mA = 42 mA is the gate of type A, 84 mA twice it, 210 mA five times.
    let [_, half, direct] = shapes(0.146);
    assert_eq!([RcdKind::Ac, RcdKind::A, RcdKind::B].map(|k| takes(k, 0.03, &half)), [None, Some(0.15), Some(0.15)]);
    assert_eq!(takes(RcdKind::A, 0.03, &shapes(0.041)[1]), None);
    // A 10 mA device has its gate at 20 mA.
    assert_eq!(
        (takes(RcdKind::A, 0.01, &shapes(0.019)[1]), takes(RcdKind::A, 0.01, &shapes(0.02)[1])),
        (None, Some(0.3))
    );
    // Smooth: type B only, from twice its rating: 146 mA is 2.4 times 60 mA.
    assert_eq!([RcdKind::Ac, RcdKind::A, RcdKind::B].map(|k| takes(k, 0.03, &direct)), [None, None, Some(0.15)]);
}

#[test]
fn the_earth_of_a_tt_supply() {
    // 50 V / 30 mA = 1667 Ω is more than stays as measured; 50 V / 500 mA = 100 Ω is less.
    let ohms = |residual| protection::earth_electrode(residual).value;
    assert_eq!((ohms(None), ohms(Some(0.03)), ohms(Some(0.5))), (200.0, 200.0, 100.0));
}

// ---- preferred values and the colour code ----

#[test]
fn e48_and_e96_are_the_rounded_geometric_series() {
    for steps in [48u32, 96] {
        let formula = |n: u32| (10f64.powf(f64::from(n) / f64::from(steps)) * 100.0).round() / 100.0;
        let expected: Vec<f64> = (0..steps).map(formula).collect();
        assert_eq!(preferred::series(steps).unwrap(), expected.as_slice());
    }
}

#[test]
fn e24_is_the_rounded_geometric_series_but_for_its_eight_historical_values() {
    // IEC 60063: 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7 and 8.2 stand where the formula gives 2.6, 2.9, 3.2, 3.5, 3.8,
    // 4.2, 4.6 and 8.3.
    let old: BTreeMap<i64, f64> =
        [(26, 2.7), (29, 3.0), (32, 3.3), (35, 3.6), (38, 3.9), (42, 4.3), (46, 4.7), (83, 8.2)].into();
    let tenths: Vec<i64> = (0..24).map(|n| (10f64.powf(f64::from(n) / 24.0) * 10.0).round() as i64).collect();
    let expected: Vec<f64> = tenths.iter().map(|t| old.get(t).copied().unwrap_or(*t as f64 / 10.0)).collect();
    assert_eq!(preferred::series(24).unwrap(), expected.as_slice());
    assert_eq!(tenths.iter().filter(|t| old.contains_key(t)).count(), 8);
    // E12 is every second value of E24, E6 of E12, E3 of E6.
    for (fine, coarse) in [(24, 12), (12, 6), (6, 3)] {
        let every_second: Vec<f64> = preferred::series(fine).unwrap().iter().step_by(2).copied().collect();
        assert_eq!(preferred::series(coarse).unwrap(), every_second.as_slice());
    }
}

#[test]
fn neighbours_and_nearest() {
    assert_eq!(preferred::nearest_at_least(283_300.0, 24), Some(300_000.0));
    assert_eq!(preferred::nearest_at_least(150_000.0, 24), Some(150_000.0));
    assert_eq!(preferred::nearest_at_least(9_200.0, 24), Some(10_000.0));
    assert_eq!(preferred::nearest_at_most(9_999.0, 12), Some(8_200.0));
    assert_eq!(preferred::nearest(1.05, 12), Some(1.0));
    assert_eq!(preferred::neighbours(100.0, 6), Some((68.0, 150.0)));
    assert_eq!(preferred::neighbours(100_000.0, 24), Some((91_000.0, 110_000.0)));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(preferred::nearest_at_least(bad, 24), None);
    }
    assert_eq!(preferred::nearest_at_least(1.0, 7), None);
}

/// Ohms and tolerance that four or five bands say, by the order of the colours as the standard lists them.
fn said_by(bands: &[Colour]) -> (f64, f64) {
    use Colour::*;
    let digits = [Black, Brown, Red, Orange, Yellow, Green, Blue, Violet, Grey, White];
    let digit = |c: &Colour| digits.iter().position(|d| d == c).unwrap();
    let (tolerance, rest) = bands.split_last().unwrap();
    let (multiplier, figures) = rest.split_last().unwrap();
    let number = figures.iter().fold(0, |n, c| 10 * n + digit(c));
    let exponent = match multiplier {
        Gold => -1,
        Silver => -2,
        Pink => -3,
        other => digit(other) as i32,
    };
    let percent = if *tolerance == Gold { 5.0 } else { digit(tolerance) as f64 };
    (format!("{number}e{exponent}").parse().unwrap(), percent / 100.0)
}

#[test]
fn colour_code_both_ways_on_all_e24_and_e96_values() {
    for decade in -1..=7 {
        for (steps, tolerance, digits) in [(24, 0.05, 2), (96, 0.01, 3)] {
            for value in preferred::series(steps).unwrap() {
                let ohms: f64 = format!("{value}e{decade}").parse().unwrap();
                let bands = colour_code::bands_of(ohms, tolerance, digits).unwrap();
                assert_eq!(bands.len(), digits as usize + 2);
                assert_eq!(said_by(&bands), (ohms, tolerance), "{ohms}");
            }
        }
    }
}

#[test]
fn colours_read_by_hand() {
    use Colour::*;
    // Order black to white is 0 to 9: yellow 4, violet 7, red ×100, gold 5 %.
    assert_eq!(colour_code::bands(4700.0, 0.05), Some(vec![Yellow, Violet, Red, Gold]));
    assert_eq!(colour_code::bands(150e3, 0.05), Some(vec![Brown, Green, Yellow, Gold]));
    assert_eq!(colour_code::bands(0.47, 0.1), Some(vec![Yellow, Violet, Silver, Silver]));
    assert_eq!(colour_code::bands(27_400.0, 0.01), Some(vec![Red, Violet, Yellow, Red, Brown]));
    assert_eq!(colour_code::bands(1e6, 0.2), Some(vec![Brown, Black, Green]));
    for (ohms, tolerance) in [(12_345.0, 0.01), (4700.0, 0.07), (-1.0, 0.05), (0.0, 0.05), (f64::NAN, 0.05)] {
        assert_eq!(colour_code::bands(ohms, tolerance), None, "{ohms}");
    }
}

// ---- fuses ----

#[test]
fn fuse_ratings_are_the_r10_series() {
    let ratings = fuse::ratings();
    assert_eq!((ratings[0], ratings[ratings.len() - 1]), (0.032, 10.0));
    for (n, rating) in ratings.iter().enumerate() {
        // R10 from 10^-1.5 in steps of a tenth of a decade; the preferred numbers are rounded by at most 1.3 %.
        assert!(close(*rating, 10f64.powf(-1.5 + n as f64 / 10.0), 0.013), "{rating}");
    }
}

/// The longest shortest time of the gates at or above a current, which the fuse is sure to carry.
fn carries_for(gates: &fuse::FuseGates, amperes: f64) -> Option<f64> {
    let above = gates.gates.iter().filter(|g| g.multiple * gates.rating >= amperes * (1.0 - 1e-9));
    above.filter_map(|g| g.min_s).max_by(f64::total_cmp)
}

#[test]
fn gates_narrow_with_the_current_and_never_cross() {
    for speed in ["FF", "F", "M", "T", "TT"] {
        for breaking in [None, Some(35.0), Some(150.0), Some(1500.0)] {
            for rating in fuse::ratings() {
                let Some(gates) = fuse::fuse_gates(rating, speed, breaking) else {
                    continue;
                };
                let place = format!("{speed} {rating} A {breaking:?}: {gates:?}");
                let falling = |times: Vec<f64>| times.windows(2).all(|w| w[1] <= w[0]);
                assert!(falling(gates.gates.iter().filter_map(|g| g.min_s).collect()), "{place}");
                assert!(falling(gates.gates.iter().filter_map(|g| g.max_s).collect()), "{place}");
                for current in [1.0, 2.0, 2.1, 2.75, 5.0, 10.0, 50.0].map(|m| m * rating) {
                    if let (Some(min), Some(max)) = (carries_for(&gates, current), gates.melts_within(current)) {
                        assert!(min < max, "{place}");
                    }
                }
            }
        }
    }
}

#[test]
fn gates_of_well_known_fuses() {
    // Read by hand from the printed gates of sheet 2 (F 1 A L) and sheet 1 (F 50 mA H).
    let fast = fuse::fuse_gates(1.0, "F", Some(35.0)).unwrap();
    assert_eq!(fast.sheets, vec![2]);
    assert_eq!([1.9, 2.1, 3.0, 100.0].map(|a| fast.melts_within(a)), [None, Some(1800.0), Some(2.0), Some(0.02)]);
    assert_eq!([1.5, 4.0, 5.0].map(|a| carries_for(&fast, a)), [Some(3600.0), Some(0.01), None]);
    assert!(close(fast.i2t_carried().unwrap(), 4.0 * 4.0 * 0.01, 1e-9));
    let wand = fuse::fuse_gates(0.05, "F", Some(1500.0)).unwrap();
    assert_eq!(wand.sheets, vec![1]);
    assert!(close(wand.least_melting_current().unwrap(), 0.105, 1e-9));
    assert!(wand.source.contains("from memory"));
    // A time-lag fuse marked 1500 A below the range of sheet 5: the slower gate counts.
    let slow = fuse::fuse_gates(0.5, "T", Some(1500.0)).unwrap();
    assert_eq!(slow.melts_within(1.05), Some(1800.0));
    assert!(slow.source.contains("sheet 5"));
    // Not stated: the wider of sheets 3 and 5 where both cover the rating.
    let open = fuse::fuse_gates(2.0, "T", None).unwrap();
    assert_eq!((open.melts_within(5.5), carries_for(&open, 5.5)), (Some(80.0), Some(0.6)));
    assert!(fuse::fuse_gates(1.0, "quick", None).is_none() && fuse::fuse_gates(100.0, "F", None).is_none());
    assert_eq!(fuse::plug_fuse_gates(3.0).unwrap().melts_within(20.0), Some(0.1));
    assert_eq!(fuse::plug_fuse_gates(5.0), None);
    assert_eq!([1.35, 2.0].map(|a| fuse::ul_gates(1.0).melts_within(a)), [Some(3600.0), Some(120.0)]);
}

// ---- cords ----

#[test]
fn conductor_resistance_is_that_of_copper_within_the_lay_of_the_strands() {
    // Annealed copper at 20 °C: 1/58 Ω mm²/m (IEC 60028). A class 5 conductor may be up to 18 % above it: lay of the
    // strands and the tolerance of the standard.
    for mm2 in [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 0.82, 1.25, 3.31] {
        let found = cord::conductor_resistance(mm2 * 1e-6).value;
        let copper = 1.0 / 58.0 / mm2;
        assert!(found > copper && found < 1.18 * copper, "{mm2}: {found} {copper}");
    }
    assert!(close(cord::conductor_resistance(0.75e-6).value, 26.0e-3, 1e-12));
}

#[test]
fn temperature_factors_follow_the_formula_of_their_annex_and_the_law_of_copper() {
    for row in cord::temperature_factor() {
        // IEC 60228 prints the factors after its rounded formula 250/(230 + t) ...
        let printed = (250.0 / (230.0 + row.temperature_c) * 1000.0).round() / 1000.0;
        assert_eq!(row.to_20c_factor, printed, "{}", row.id);
        // ... which is within half a per cent of copper's 254.5/(234.5 + t), the law of the metal.
        let copper = 254.5 / (234.5 + row.temperature_c);
        assert!(close(printed, copper, 0.005), "{}", row.id);
    }
}

#[test]
fn gauge_areas_meet_the_printed_ones() {
    let area = |gauge: u32| quantity::parse(&format!("{gauge} AWG"), quantity::Kind::Area).unwrap();
    // ASTM B258 prints 0.823, 1.31, 2.08 and 3.31 mm² for 18, 16, 14 and 12 AWG; six numbers double the diameter.
    for (gauge, mm2) in [(18, 0.823), (16, 1.31), (14, 2.08), (12, 3.31)] {
        assert!(close(area(gauge), mm2 * 1e-6, 0.005), "{gauge}");
    }
    for row in cord::us_cord() {
        assert!(close(area(row.awg), row.area_mm2 * 1e-6, 0.01), "{}", row.id);
    }
    assert!(close(area(0) / area(12), 16.0, 0.03));
}

#[test]
fn cords_by_current() {
    let mm2 = |amperes: f64, metres: Option<f64>| cord::smallest_cord(amperes, metres).map(|l| l.value * 1e6);
    let long = [(2.0, 0.75), (6.0, 0.75), (10.0, 1.0), (16.0, 1.5), (25.0, 2.5)];
    let short = [(0.1, 0.5), (2.0, 0.5), (6.0, 0.75), (10.0, 0.75), (16.0, 1.0)];
    for (amperes, expected) in long {
        assert!(close(mm2(amperes, Some(3.0)).unwrap(), expected, 1e-9), "{amperes} A, 3 m");
        assert_eq!(mm2(amperes, None), mm2(amperes, Some(3.0)));
    }
    for (amperes, expected) in short {
        assert!(close(mm2(amperes, Some(2.0)).unwrap(), expected, 1e-9), "{amperes} A, 2 m");
    }
    assert!(mm2(100.0, None).is_none());
    let rating = |mm2: f64| cord::cord_rating(mm2 * 1e-6).map(|l| l.value);
    assert_eq!([0.3, 0.75, 0.9, 1.5].map(rating), [None, Some(6.0), Some(6.0), Some(16.0)]);
}

#[test]
fn core_colours() {
    use cord::Core;
    let core = |words, system| cord::core_of_colour(words, system).map(|c| c.0);
    for words in ["green-and-yellow", "green/yellow", "Green Yellow", "yellow and green"] {
        assert_eq!(core(words, "iec_single_phase"), Some(Core::Earth), "{words}");
    }
    assert_eq!(core("brown", "iec_single_phase"), Some(Core::Line));
    assert_eq!(core("blue", "iec_single_phase"), Some(Core::Neutral));
    assert_eq!(core("orange", "iec_single_phase"), None);
    assert_eq!(core("green", "nec"), Some(Core::Earth));
    assert_eq!(core("gray", "nec"), Some(Core::Neutral));
    assert_eq!(core("black", "nec"), Some(Core::Line));
    assert_eq!(core("red", "de_old"), Some(Core::Earth));
}

// ---- lamps ----

#[test]
fn glow_lamps_strike_on_the_crest() {
    for row in lamp::neon_lamp() {
        let volts = (row.strike_max_ac_v.or(row.strike_ac_v), row.strike_max_dc_v.or(row.strike_dc_v));
        let (Some(ac), Some(dc)) = volts else { continue };
        assert!(close(dc, ac * SQRT_2, 0.03), "{}", row.id);
    }
}

#[test]
fn printed_design_currents_follow_from_resistor_and_supply() {
    // Constant maintaining volts behind a resistor, lit from strike to extinction of each half cycle, summed in
    // 20 000 steps: the r.m.s. current of each printed combination lies within 10 % of the printed design current.
    for row in lamp::neon_check().iter().filter(|r| r.supply_v == 115.0) {
        let (mut lit, mut sum, steps) = (false, 0.0, 20_000);
        for step in 0..steps {
            let angle = std::f64::consts::PI * (f64::from(step) + 0.5) / f64::from(steps);
            let v = row.supply_v * SQRT_2 * angle.sin();
            lit = if lit { v > row.maintain_v } else { v >= row.strike_dc_v };
            if lit {
                sum += ((v - row.maintain_v) / (row.series_resistor_kohm * 1e3)).powi(2);
            }
        }
        let rms = (sum / f64::from(steps)).sqrt();
        assert!(close(rms, row.current_rms_ma / 1e3, 0.003), "{}: {rms}", row.id);
        let sheet = lamp::lamp(&row.lamp).unwrap();
        assert!(close(rms, sheet.current, 0.10), "{}: {rms}", row.id);
        // The lamp's line passes through its maintaining volts at its design current.
        let at_design = sheet.maintain + sheet.slope.unwrap() * sheet.current;
        assert_eq!(sheet.strike, row.strike_dc_v, "{}", row.id);
        assert!(close(at_design, row.maintain_v, 1e-9), "{}: {at_design}", row.id);
    }
}

#[test]
fn lamp_facts() {
    assert_eq!((lamp::strike_margin().value, lamp::life_exponent().value), (1.2, -3.0));
    assert_eq!((lamp::led_reverse().value, lamp::led_current().value), (5.0, 25e-3));
    assert_eq!(lamp::rated_life("A1A").unwrap().value, 25_000.0 * 3600.0);
    // Power is volts times current, so its exponent is one more: 0.55 + 1 against the printed, rounded 1.6.
    let current = lamp::filament_current_exponent().value;
    let power = lamp::incandescent_exponent().iter().find(|r| r.id == "power").unwrap();
    assert!((power.number("exponent_min").unwrap() - current - 1.0).abs() < 0.051);
    // 9.5 Ω over 144 Ω of the example lamp.
    assert!(close(lamp::filament_cold_ratio().value, 9.5 / 144.0, 0.02));
}

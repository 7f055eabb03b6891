//! Published limits (touch, charge, insulation, parts, heat) against laws of physics and hand calculation.
//! Each expected value is worked out here by other means than the look-up under test; the comment says how.
#![allow(clippy::unwrap_used)]

use super::support::close;
use std::f64::consts::{PI, SQRT_2};

use crate::jig::{CapClass, Grade};
use crate::standard::discharge;
use crate::standard::insulation::{self, Category};
use crate::standard::shell::{Finish, Shell};
use crate::standard::touch::{self, LimitsIn};
use crate::standard::{self, bench, capacitor, flash, parts, resistor, signal};

// ---- touch, charge, discharge ----

#[test]
fn peak_limits_are_the_root_of_two_times_the_effective_ones() {
    // 42.4 = 30·√2; the standards round to half a volt or a tenth of a milliampere.
    for row in touch::voltage_limit() {
        let (Some(rms), Some(peak)) = (row.ac_rms_v, row.ac_peak_v) else {
            continue;
        };
        assert!(close(peak, rms * SQRT_2, 0.011), "{}: {peak} {}", row.id, rms * SQRT_2);
    }
    for row in touch::current_limit() {
        let (Some(rms), Some(peak)) = (row.ac_rms_ma, row.ac_peak_ma) else {
            continue;
        };
        assert!(close(peak, rms * SQRT_2, 0.011), "{}", row.id);
    }
}

#[test]
fn touch_limits_for_the_bench() {
    let (normal, fault) = (touch::limits(LimitsIn::Normal), touch::limits(LimitsIn::SingleFault));
    assert_eq!((normal.voltage_rms.value, normal.voltage_peak.value, normal.voltage_dc.value), (30.0, 42.4, 60.0));
    assert_eq!((normal.current_rms.value, normal.current_peak.value, normal.current_dc.value), (5e-4, 7e-4, 2e-3));
    assert_eq!((fault.voltage_rms.value, fault.voltage_peak.value, fault.voltage_dc.value), (50.0, 70.0, 120.0));
    assert_eq!((fault.current_rms.value, fault.current_peak.value, fault.current_dc.value), (3.5e-3, 5e-3, 15e-3));
    assert_eq!(normal.charge.value, 45e-6);
    assert!(fault.current_rms.source.contains("from memory") && !normal.voltage_rms.source.contains("from memory"));
    assert_eq!(touch::combined_share(30.0, 60.0, 15.0, 30.0), 1.0);
    assert_eq!(touch::extra_low_voltage().1.value, 120.0);
}

#[test]
fn body_network_in_closed_form() {
    // |Z| of Rs‖Cs + Rb by its real and imaginary part; the expected ohms come from complex arithmetic apart from this
    // program, with 1500 Ω, 220 nF and 500 Ω put in by hand (ωRsCs is 0.10367 at 50 Hz, 0.12441 at 60 Hz).
    let net = touch::body_network();
    for (hertz, product, expected) in [(50.0, 0.103_673, 1990.006), (60.0, 0.124_407, 1985.660)] {
        let x: f64 = 2.0 * PI * hertz * net.cs * net.rs;
        assert!(close(x, product, 1e-5));
        let (re, im) = (net.rb + net.rs / (1.0 + x * x), net.rs * x / (1.0 + x * x));
        assert!(close(re.hypot(im), expected, 1e-6), "{}", re.hypot(im));
        // The weighting low-pass of 10 kΩ and 22 nF takes off less than half a per cent at mains frequency.
        let w = 2.0 * PI * hertz * net.r1 * net.c1;
        assert!(1.0 - 1.0 / w.hypot(1.0) < 0.005);
    }
    // At d.c. it is the plain 2 kΩ that a standard allows in its place.
    let plain = touch::network().iter().find_map(|n| n.resistance_ohm).unwrap();
    assert_eq!(net.rs + net.rb, plain);
}

#[test]
fn plug_pin_rules() {
    let [bench_rule, strict] = discharge::plug_pin_rules();
    assert_eq!((bench_rule.after_s, bench_rule.limit_v), (5.0, 60.0));
    assert_eq!((strict.after_s, strict.limit_v, strict.exempt_farads), (1.0, 34.0, Some(1e-7)));
    // 45 µC at 358 V (crest of 253 V) is 126 nF: below it the bench rule lets the whole crest stand.
    assert!(!bench_rule.broken(358.0, 100e-9) && bench_rule.broken(358.0, 150e-9));
    assert!(!bench_rule.broken(59.0, 1.0) && strict.broken(35.0, 220e-9) && !strict.broken(300.0, 100e-9));
    assert!(discharge::pin_rule("iec60950_type_a").is_none() && discharge::pin_rule("none").is_none());
}

#[test]
fn charged_capacitor_rows_allow_less_the_larger_the_capacitor() {
    let rows = discharge::charged_capacitor();
    for two in rows.windows(2) {
        assert!(two[1].capacitance_nf < two[0].capacitance_nf && two[1].es1_peak_v >= two[0].es1_peak_v);
    }
    for row in rows {
        assert_eq!(row.es2_peak_v, 2.0 * row.es1_peak_v, "{}", row.id);
    }
    assert_eq!(discharge::handle_below().value, 60.0);
}

// ---- insulation ----

#[test]
fn distances_grow_with_voltage() {
    for grade in [Grade::Basic, Grade::Reinforced] {
        let creep: Vec<f64> = (1..=1000).map(|v| insulation::creepage(f64::from(v), grade).unwrap().value).collect();
        assert!(creep.windows(2).all(|w| w[1] >= w[0]));
        let clear: Vec<f64> =
            (1..=700).map(|v| insulation::clearance(f64::from(v) * 10.0, grade).unwrap().value).collect();
        assert!(clear.windows(2).all(|w| w[1] >= w[0]));
    }
    assert!(insulation::creepage(1001.0, Grade::Basic).is_none());
    assert!(insulation::clearance(13e3, Grade::Basic).is_none());
    for row in insulation::clearance_rows() {
        assert!(row.pd1_mm <= row.pd2_mm && row.pd2_mm <= row.pd3_mm, "{}", row.id);
    }
    for row in insulation::creepage_rows() {
        assert!(row.pd2_mg1_mm <= row.pd2_mg2_mm && row.pd2_mg2_mm <= row.pd2_mg3_mm, "{}", row.id);
        assert!(row.pd1_mm <= row.pd2_mg1_mm && row.pd2_mg3_mm <= row.pd3_mg3_mm, "{}", row.id);
    }
}

#[test]
fn mains_insulation_meets_the_equipment_standards() {
    // Rows `crosscheck` are the same distances as published in equipment standards, read apart from the tables.
    assert_eq!(insulation::impulse(230.0, Category::II).unwrap().value, 2500.0);
    assert_eq!(insulation::impulse(120.0, Category::II).unwrap().value, 1500.0);
    let mut compared = 0;
    for row in insulation::crosscheck().iter().filter(|r| r.id.starts_with("iec62368")) {
        let grade = if row.insulation == "basic" { Grade::Basic } else { Grade::Reinforced };
        if let (Some(volts), Some(mm)) = (row.impulse_v, row.clearance_mm) {
            assert!(close(insulation::clearance(volts, grade).unwrap().value, mm / 1e3, 1e-9), "{}", row.id);
            compared += 1;
        }
        if let (Some(volts), Some(mm)) = (row.working_rms_v, row.creepage_mm) {
            assert!(close(insulation::creepage(volts, grade).unwrap().value, mm / 1e3, 1e-9), "{}", row.id);
            compared += 1;
        }
    }
    assert_eq!(compared, 3);
    // 230 V lies three fifths of the way from 200 V (2.0 mm) to 250 V (2.5 mm).
    assert!(close(insulation::creepage(230.0, Grade::Basic).unwrap().value, 2.3e-3, 1e-9));
    // 120 V mains: 1500 V impulse, the next step is 2500 V.
    assert!(close(insulation::clearance(1500.0, Grade::Reinforced).unwrap().value, 1.5e-3, 1e-9));
    // 1600 V is no step of the series: 160 % are 2560 V, the next row 3.0 kV.
    assert!(close(insulation::clearance(1600.0, Grade::Reinforced).unwrap().value, 2.0e-3, 1e-9));
    let (clear, creep) = insulation::mains_distances(230.0, Grade::Reinforced).unwrap();
    assert!(close(clear.value, 3.0e-3, 1e-9) && close(creep.value, 6.0e-3, 1e-9));
    assert!(insulation::mains_distances(400.0, Grade::Basic).is_none());
}

// ---- parts ----

#[test]
fn capacitor_classes() {
    use capacitor::Bridges;
    let classes = [CapClass::X1, CapClass::X2, CapClass::X3, CapClass::Y1, CapClass::Y2, CapClass::Y4];
    let expected = [Bridges::Line, Bridges::Line, Bridges::Line, Bridges::Reinforced, Bridges::Basic, Bridges::Basic];
    assert_eq!(classes.map(capacitor::bridges), expected);
    assert_eq!(classes.map(CapClass::word), ["X1", "X2", "X3", "Y1", "Y2", "Y4"]);
    assert_eq!(classes.map(|c| CapClass::from_word(c.word())), classes.map(Some));
    // Motor-run classes lie across no insulation and are no suppressors.
    for class in [CapClass::P0, CapClass::P1, CapClass::P2] {
        assert_eq!((capacitor::bridges(class), class.is_suppression()), (Bridges::Line, false));
    }
    assert_eq!(CapClass::from_word("x2"), None);
    assert!(capacitor::rule("x_not_to_touchable").is_some());
}

#[test]
fn resistor_styles() {
    let style = |id: &str| resistor::resistor().iter().find(|r| r.id.eq_ignore_ascii_case(id)).unwrap();
    let mrs = style("mrs25");
    assert_eq!((mrs.rated_w, mrs.limiting_rms()), (0.6, Some(350.0)));
    // Half way from 70 °C to 155 °C half the power is left.
    assert!(close(resistor::derated_power(0.25, 112.5).value, 0.125, 1e-9));
    assert_eq!([25.0, 200.0].map(|c| resistor::derated_power(0.6, c).value), [0.6, 0.0]);
    assert!(style("MOR-2W").will_not_flame() && !mrs.will_not_flame());
    // A sheet with d.c. volts only: taken for the crest, 1600/√2.
    assert!(close(style("VR25").limiting_rms().unwrap(), 1131.4, 1e-4));
    for style in resistor::resistor() {
        assert!(style.rated_w > 0.0, "{}", style.id);
        assert!(style.limiting_rms().is_some() || style.limiting_voltage_rule.is_some(), "{}", style.id);
        if let (Some(limit), Some(overload)) = (style.limiting_voltage_v, style.max_overload_v) {
            assert!(overload > limit, "{}", style.id);
        }
    }
}

#[test]
fn film_resistors_reach_their_film_limit_at_full_load() {
    // Rated power times the thermal resistance leads from 70 °C to about the 155 °C film limit.
    let mut compared = 0;
    for style in resistor::resistor() {
        let (Some(rth), Some(limit)) = (style.thermal_resistance_k_per_w, style.film_max_c) else {
            continue;
        };
        let film = 70.0 + style.rated_w * rth;
        assert!((film - limit).abs() < 20.0, "{}: {film}", style.id);
        compared += 1;
    }
    assert_eq!(compared, 5);
}

// ---- bench ----

#[test]
fn bench_assumptions() {
    let (r, x) = bench::loop_impedance(230.0);
    // 0.4 + j0.25 Ω is 0.4717 Ω.
    assert!(close(r.value.hypot(x.value), 0.4717, 1e-3));
    assert!(bench::loop_impedance(120.0).0.value < r.value);
    assert_eq!(bench::prospective_max(230.0).value, 1500.0);
    assert!(close(bench::fuse_resistance(0.05).value, 4.0, 1e-12));
    // 160 × 30 × 30 mm has 21 000 mm² of surface, a fifth of it not counted: 0.0168 m². 1 W over 3.5 and 10 W/(m² K).
    let shell = |finish| Shell { size: [0.16, 0.03, 0.03], finish, vents: 0.0 };
    let plastic = shell(Finish::Plastic);
    assert!(close(plastic.inside_rise(1.0).value, 1.0 / (0.0168 * 3.5), 1e-9));
    assert!(close(plastic.surface_rise(1.0).value, 1.0 / 0.168, 1e-9));
    assert!(close(plastic.watts_for(1.0 / (0.0168 * 3.5)), 1.0, 1e-9));
    assert!(close(plastic.watts_for_surface(1.0 / 0.168), 1.0, 1e-9));
    assert!(close(shell(Finish::Bare).inside_rise(1.0).value, 1.0 / (0.0168 * 2.9), 1e-9));
    assert!(shell(Finish::Painted).inside_rise(1.0).value < plastic.inside_rise(1.0).value);
    let normal = |surface, hand_held| bench::surface_limit(surface, hand_held).0.value;
    let (metal, plastic) = (bench::Surface::Metal, bench::Surface::Insulating);
    assert!(normal(metal, true) < normal(plastic, true) && normal(metal, true) < normal(metal, false));
    assert_eq!(bench::short_overload_power().0.value, 2.5 * 2.5);
    assert_eq!(bench::short_overload_voltage().1.value, 5.0);
    // Varistor rows: the 1 mA volts are nowhere below the assumed knee, and the knee of a 275 V part is above the
    // crest of high mains.
    for rated in [130.0, 150.0, 275.0] {
        let row =
            |r: &&standard::Fact| r.number("rated_ac_v") == Some(rated) && r.number("varistor_at_1ma_v").is_some();
        let printed = parts::varistor().iter().find(row).unwrap().number("varistor_at_1ma_v").unwrap();
        assert!(printed >= bench::varistor(rated)[0].value);
    }
    assert!(bench::varistor(275.0)[0].value > 253.0 * SQRT_2);
    assert_eq!(parts::reverse_margin().value, 2.0);
    // All the small ones load, with their units.
    let units = [bench::contact_resistance(), bench::fault_open(), bench::fault_short(), bench::neon_dark()];
    assert!(units.iter().all(|l| l.unit == "Ω" && l.value > 0.0));
    assert_eq!(bench::diode().map(|l| l.unit), ["V", "Ω", "Ω"]);
    assert_eq!(bench::led().map(|l| l.unit), ["Ω", "Ω"]);
    assert_eq!(bench::transformer().map(|l| l.unit), ["", "F"]);
    assert_eq!((bench::ambient().unit, bench::neon_extinction().value), ("°C", 60e-6));
    assert!(bench::capacitor_tolerance().value < 1.0 && bench::resistor_tolerance().value < 1.0);
    assert!(bench::half_power().value < 1.0 && bench::sustained_fire().value > 1.0);
}

#[test]
fn mains_resistance_120_is_that_of_fifteen_metres_of_wire() {
    // The note's arithmetic: 30 m (out and back) of 2.08 mm² copper at 1/58 Ω mm²/m.
    let wire = 30.0 / 58.0 / 2.08;
    assert!(close(bench::loop_impedance(120.0).0.value, wire, 0.25), "{wire}");
}

#[test]
fn signal_words_and_flash_bands() {
    let ranks = ["DANGER", "WARNING", "CAUTION", "NOTICE"].map(|w| signal::by_word(w).unwrap().rank);
    assert_eq!(ranks, [1, 2, 3, 4]);
    assert_eq!(signal::letters("CAUTION").unwrap().0, "black");
    assert_eq!(signal::letters("DANGER").unwrap().0, "white");
    let (from, to) = flash::main_band();
    assert_eq!((from.value, to.value, to.unit), (3.0, 30.0, "Hz"));
    assert_eq!(flash::widest_band().1.value, 65.0);
}

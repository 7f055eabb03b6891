//! What is told of normal use hides nothing graver of a fault; what two parts share is told of the same one in any order.

use super::tiny::*;
use crate::finding::Signal;

/// Two resistors straight across the mains, fused in both poles.
fn chain(fuse: &str, first: &str, second: &str) -> [String; 3] {
    [fuses(fuse, "F"), resistor("R1", "L1", "m", "5.6 kΩ", first), resistor("R2", "m", "N1", "5.6 kΩ", second)]
}

#[test]
fn a_resistor_over_its_rating_in_use_is_still_told_to_burn_after_a_fault() {
    // In use (253 V / (2 · 0.95 · 5.6 kΩ))² · 5.6 kΩ · 0.95 = 3.0 W, three times 1 W; with R2 shorted 253² / (0.95 · 5.6 kΩ)
    // = 12.0 W, twelve times: beyond five it sets light to what is near. 48 mA open no fuse of 100 mA.
    let with = |first: &str| jig(&chain("100 mA", first, "15 W"));
    let f = pair(&with("1 W"), "resistor-power", Signal::Danger, "power = \"1 W\"", "power = \"15 W\"");
    assert_eq!(f.parts, ["R1"]);
    close(f.value, 253.0 * 253.0 / (0.95 * 5600.0), 0.01);
    // A larger part makes it no graver.
    trips(&with("2.2 W"), "resistor-power", Signal::Danger);
    let f = trips(&with("2.6 W"), "resistor-power", Signal::Warning);
    close(f.value, 3.0, 0.05);
}

#[test]
fn a_lamp_is_swamped_where_what_is_left_limits_next_to_nothing() {
    // C1 shorted leaves 100 Ω before an LED of 60 Ω and 20 mA: half waves of (253 · √2 − 2) / 160 = 2.2 A, 0.7 A mean.
    let dropper = |fuse: &str| {
        let led =
            "forward = \"2 V\"\nslope = \"60 Ω\"\ncurrent = \"20 mA\"\npeak-current = \"100 mA\"\nreverse = \"5 V\"";
        let diode = "forward = \"0.7 V\"\nslope = \"60 Ω\"\nvoltage = \"1000 V\"\ncurrent = \"1 A\"\nsurge = \"30 A\"";
        let capacitor = "capacitance = \"220 nF\"\ntolerance = \"10 %\"\nvoltage = \"275 V\"\nclass = \"X2\"";
        jig(&[
            fuses(fuse, "F"),
            resistor("R1", "L1", "c", "100 Ω", "3 W"),
            part("C1", "capacitor", "c", "a", capacitor),
            part("LED1", "led", "a", "N1", led),
            part("D1", "diode", "N1", "a", diode),
        ])
    };
    let f = pair(&dropper("5 A"), "no-limiting", Signal::Warning, "\"5 A\"", "\"100 mA\"");
    assert_eq!(f.parts, ["LED1", "C1"]);
    // R.m.s. of the half waves that are the LED's: crest / 2, the knee of 2 V left out.
    close(f.value, 253.0 * 2f64.sqrt() / 160.0 / 2.0, 0.02);
    assert!(f.message.starts_with("beside C1 next to nothing limits LED1"), "{}", f.message);
}

#[test]
fn resistors_in_series_limit_together() {
    // A glow lamp of 3 kΩ behind three resistors: 8.1 kΩ in all limit it, though each is below its slope; 2.7 kΩ do not.
    let lamp = "strike = \"80 V\"\nstrike-max = \"85 V\"\nmaintain = \"60 V\"\nslope = \"3 kΩ\"\ncurrent = \"5 mA\"\nmax-current = \"10 mA\"";
    let with = |ohms: &str| {
        jig(&[
            fuses("100 mA", "F"),
            resistor("R1", "L1", "a", ohms, "15 W"),
            resistor("R2", "a", "b", ohms, "15 W"),
            part("LP1", "neon-lamp", "b", "c", lamp),
            resistor("R3", "c", "N1", ohms, "15 W"),
        ])
    };
    trips(&with("900 Ω"), "no-limiting", Signal::Danger);
    silent(&with("2.7 kΩ"), "no-limiting");
}

#[test]
fn a_led_behind_resistors_is_not_what_draws() {
    // Half waves of (253 · √2 − 3) / 2.07 kΩ = 0.17 A crest, 86 mA r.m.s., open fuses of 32 mA. The LED stands most of the mains
    // backwards while nothing flows: what draws are the resistors, and the rest of the jig is judged as if the fuses held.
    let led = "forward = \"3.1 V\"\nslope = \"15 Ω\"\ncurrent = \"20 mA\"\npeak-current = \"60 mA\"\nreverse = \"5 V\"";
    let text = jig(&[
        fuses("32 mA", "F"),
        resistor("R1", "L1", "a", "1 kΩ", "50 W"),
        part("LED1", "led", "a", "b", led),
        resistor("R2", "b", "N1", "1 kΩ", "50 W"),
    ]);
    let f = trips(&text, "opens-in-use", Signal::Warning);
    assert!(f.parts.contains(&"R1".to_string()) && !f.parts.contains(&"LED1".to_string()), "{:?}", f.parts);
    trips(&text, "led-current", Signal::Notice);
    trips(&text, "led-reverse", Signal::Notice);
}

#[test]
fn of_two_fuses_that_carry_the_same_the_one_in_the_line_is_named() {
    // With R2 shorted 45 mA flow through fuses of 40 mA: over their rating, below what opens them.
    let [fuses, first, second] = chain("40 mA", "10 W", "10 W");
    let at = fuses.find("[part.F2]").unwrap_or_default();
    let turned = fuses[at..].to_string() + &fuses[..at];
    for fuses in [fuses, turned] {
        let f = trips(&jig(&[fuses, first.clone(), second.clone()]), "smoulder", Signal::Warning);
        assert_eq!(f.parts, ["R1", "F1"]);
    }
}

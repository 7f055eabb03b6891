//! What the trade calls a kind of part, and how that is written in a jig file. Must not know how a file is read.

use super::words;
use crate::part::SECTIONS;
use crate::quantity::quote;
use crate::standard;

/// Names of the trade and how they are written: the nearest word by its letters may be something else.
const WRITTEN: &[(&[&str], &str)] = &[
    (
        &["thermostat", "button", "push-button", "toggle", "footswitch", "foot-switch"],
        "it is written as kind = \"switch\"",
    ),
    (
        &["relay", "contactor"],
        "its contacts are kind = \"switch\" with coil = \"K1\", its coil a part of its own: [part.K1] with kind = \"winding\"",
    ),
    (
        &["potentiometer", "pot", "trimmer", "trimpot", "rheostat"],
        "write its track as two parts of kind = \"resistor\" that share the net of the wiper, once for each end it can stand at",
    ),
    (&["fuse-holder", "fuseholder", "fuse-link", "cartridge"], "write the fuse in it: kind = \"fuse\""),
    (
        &["electrolytic", "electrolytic-capacitor", "elko"],
        "it is written as kind = \"capacitor\" with polarised = true",
    ),
    (
        &["x2", "x1", "y2", "y1", "x2-capacitor", "y2-capacitor"],
        "it is written as kind = \"capacitor\" with class = \"X2\" or as is printed on it",
    ),
    (&["heater", "heating-element", "motor", "fan"], "it is written as kind = \"load\""),
    (
        &["bulb", "lamp", "incandescent", "halogen"],
        "a filament is kind = \"filament-lamp\", a glow lamp kind = \"neon-lamp\"",
    ),
    (&["coil", "solenoid"], "it is written as kind = \"winding\""),
    (&["choke"], "it is written as kind = \"inductor\""),
    (&["thermal-cut-out", "cut-out", "thermal-link"], "it is written as kind = \"thermal-fuse\""),
    (&["vdr", "mov"], "it is written as kind = \"varistor\""),
    (&["ntc", "inrush-limiter"], "it is written as kind = \"thermistor\""),
    (&["zener", "tvs", "transil"], "it is written as kind = \"suppressor\""),
    (&["rectifier"], "four diodes in one are kind = \"bridge\", one is kind = \"diode\""),
    (
        &["variac", "autotransformer"],
        "it is written as kind = \"transformer\" whose secondary shares a net with its primary",
    ),
    (&["module", "power-supply", "smps", "adapter"], "a bought one is kind = \"psu\""),
    (&["jack", "terminal-post", "binding-post", "inlet", "banana"], "it is written as kind = \"socket\""),
    (&["outlet", "receptacle"], "it is written as [[outlet]], with name, across and loads"),
    (
        &["terminal", "terminal-block", "connector", "junction", "splice"],
        "what it joins is one net: give the parts on it the same net, and leave it out",
    ),
    (&["plug", "cord", "cable", "flex"], "plug and cord stand under [supply]; a wire inside is kind = \"wire\""),
    (&["breaker", "rcd", "gfci", "mcb"], "what stands ahead of the plug is a key of [supply]: breaker, rcd"),
];

/// What to write for a kind of part that there is not.
pub(crate) fn help(word: &str) -> String {
    let plain = word.trim().to_lowercase().replace([' ', '_'], "-");
    if let Some((_, help)) = WRITTEN.iter().find(|(names, _)| names.contains(&plain.as_str())) {
        return help.to_string();
    }
    if standard::lamp(word).is_ok() {
        return format!("it is written as kind = \"neon-lamp\" with type = {}", quote(word.trim()));
    }
    match words::nearest(word, SECTIONS.iter().map(|part| part.name)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => LISTED.to_string(),
    }
}

/// Where the kinds are listed.
pub(super) const LISTED: &str = "deadfront tables kinds lists those there are";

//! Bench supplies and lamps behind a transformer with a low-voltage side that may be touched.

use super::pieces::{Amperes, Site, plastic, secondary_fuse, touchable};
use super::{Refused, Unit, Wall};

pub(super) const UNITS: &[Unit] = &[
    Unit {
        name: "bench-supply",
        also: &["power-supply", "psu-box"],
        about: "A 12 V d.c. supply: transformer, bridge, reservoir, fuse and two terminals",
        feed: Wall::Mains,
        first: &[
            "volts and power of T1, from its plate",
            "capacitance and voltage of C1",
            "loads of the outlet, what you will feed",
        ],
        write: bench_supply,
    },
    Unit {
        name: "bench-lamp",
        also: &["lamp", "work-lamp", "microscope-lamp"],
        about: "A 12 V filament lamp behind a transformer, for the bench",
        feed: Wall::Mains,
        first: &["volts and power of LP1", "power of T1, from its plate", "size of the box"],
        write: bench_lamp,
    },
];

/// A safety isolating transformer to 12 V.
fn transformer(site: &Site, power: &str) -> String {
    format!(
        "\n[part.T1]\nkind = \"transformer\"\nprimary = {{ across = [\"L2\", \"N2\"], volts = \"{}\" }}\n\
         secondary = {{ across = [\"S1\", \"S2\"], volts = \"12 V\" }}\npower = \"{power}\"\ninsulation = \"reinforced\"\n",
        site.volts()
    )
}

/// Reinforced insulation between the mains and each net of the low-voltage side.
fn kept_apart(site: &Site, nets: &[&str]) -> String {
    nets.iter().map(|net| site.reinforced(net)).collect()
}

fn bench_supply(site: &Site) -> Result<String, Refused> {
    let rectifier = "\n[part.BR1]\nkind = \"bridge\"\nac = [\"S3\", \"S2\"]\nplus = \"P\"\nminus = \"M\"\nvoltage = \"100 V\"\n\
                     current = \"4 A\"\nsurge = \"150 A\"\n\n[part.C1]\nkind = \"capacitor\"\nacross = [\"P\", \"M\"]\n\
                     capacitance = \"2200 µF\"\ntolerance = \"20 %\"\nvoltage = \"35 V\"\npolarised = true\n";
    let outlet = "\n# What you will feed: each is tried.\n[[outlet]]\nname = \"OUT\"\nacross = [\"O\", \"M\"]\n\
                  loads = [\"22 Ω\", \"open\", \"short\"]\n";
    Ok([
        site.opening("Bench supply 12 V", "bench-supply", "bench", "0.75 mm²", "2"),
        plastic(["200 mm", "150 mm", "100 mm"]),
        site.fuses(&Amperes { low: "400 mA", high: "200 mA" }),
        site.switch(),
        transformer(site, "30 VA"),
        secondary_fuse("F3", "S1", "S3", "2 A", "T"),
        rectifier.to_string(),
        "\n# Empties the reservoir once it is switched off.".to_string(),
        super::pieces::resistor("R1", "P", "M", "2.2 kΩ", ["1 W", "350 V"]),
        secondary_fuse("F4", "P", "O", "1 A", "F"),
        outlet.to_string(),
        kept_apart(site, &["S1", "S2", "S3", "P", "M", "O"]),
        touchable("plus terminal", "O"),
        touchable("minus terminal", "M"),
    ]
    .concat())
}

fn bench_lamp(site: &Site) -> Result<String, Refused> {
    let lamp = "\n[part.LP1]\nkind = \"filament-lamp\"\nacross = [\"S3\", \"S2\"]\nvolts = \"12 V\"\npower = \"10 W\"\n\
                place = \"outside\"\n";
    Ok([
        site.opening("Bench lamp 12 V", "bench-lamp", "bench", "0.75 mm²", "2"),
        plastic(["160 mm", "120 mm", "90 mm"]),
        site.fuses(&Amperes { low: "315 mA", high: "160 mA" }),
        site.switch(),
        transformer(site, "20 VA"),
        secondary_fuse("F3", "S1", "S3", "2 A", "T"),
        lamp.to_string(),
        kept_apart(site, &["S1", "S2", "S3"]),
        touchable("lamp holder", "S2"),
    ]
    .concat())
}

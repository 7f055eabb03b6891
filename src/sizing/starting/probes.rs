//! Things that are held in the hand: a probe that empties capacitors, one that tells of live wires.

use super::pieces::{Site, plastic, resistor, touchable};
use super::{Refused, Unit, Wall};

pub(super) const UNITS: &[Unit] = &[
    Unit {
        name: "discharge-probe",
        also: &["discharger", "bleeder-probe"],
        about: "A probe that empties capacitors: four resistors, and two LEDs that show there is still charge",
        feed: Wall::Nothing,
        first: &[
            "loads of TIPS: the largest capacitors you will empty, with their volts",
            "the resistors, if they are to be others",
        ],
        write: discharge_probe,
    },
    Unit {
        name: "mains-probe",
        also: &["neon-tester", "neon-screwdriver", "phase-tester"],
        about: "A neon probe that lights on a live wire through two resistors and a finger",
        feed: Wall::Hand,
        first: &["R1 and R2: each alone must keep the finger's current below its limit", "strike and maintain of LP1"],
        write: mains_probe,
    },
];

fn discharge_probe(site: &Site) -> Result<String, Refused> {
    let series = [("R1", "TIP", "a"), ("R2", "a", "b"), ("R3", "b", "c"), ("R4", "c", "d")];
    let chain: String = series
        .iter()
        .map(|(name, from, to)| resistor(name, from, to, "1.2 kΩ", ["5 W", "500 V"]) + "flameproof = true\n")
        .collect();
    let led = |name: &str, from: &str, to: &str| {
        format!(
            "\n[part.{name}]\nkind = \"led\"\nacross = [\"{from}\", \"{to}\"]\nforward = \"1.9 V\"\ncurrent = \"20 mA\"\n\
             peak-current = \"100 mA\"\nreverse = \"5 V\"\n"
        )
    };
    let apart: String = ["TIP", "CLIP"]
        .iter()
        .map(|net| {
            format!(
                "\n[[insulation]]\nbetween = [\"{net}\", \"BARREL\"]\ngrade = \"reinforced\"\nclearance = \"8 mm\"\n\
                 creepage = \"10 mm\"\n"
            )
        })
        .collect();
    Ok([
        site.opening("Discharge probe", "discharge-probe", "hand-held", "", "0").replace(", no mains", ""),
        plastic(["180 mm", "30 mm", "30 mm"]),
        "\n# In series: they share the volts, and one that shorts leaves the others.".to_string(),
        chain,
        resistor("R5", "d", "CLIP", "150 Ω", ["1 W", "350 V"]),
        "\n# One LED each way round: whichever way the tips go on, one of them lights while there is charge."
            .to_string(),
        resistor("R6", "d", "e", "220 Ω", ["0.6 W", "350 V"]),
        led("LED1", "e", "CLIP"),
        led("LED2", "CLIP", "e"),
        "\n# What the probe is put on.\n[[outlet]]\nname = \"TIPS\"\nacross = [\"TIP\", \"CLIP\"]\n\
         loads = [\"100 uF charged 400 V\", \"47 uF charged 450 V\"]\n"
            .to_string(),
        apart,
        touchable("probe barrel", "BARREL"),
    ]
    .concat())
}

fn mains_probe(site: &Site) -> Result<String, Refused> {
    let ohms = if site.low_to_earth() { "270 kΩ" } else { "680 kΩ" };
    let lamp = "\n[part.LP1]\nkind = \"neon-lamp\"\nacross = [\"b\", \"FINGER\"]\nstrike = \"85 V\"\nstrike-max = \"95 V\"\n\
                maintain = \"60 V\"\ncurrent = \"0.3 mA\"\nmax-current = \"1 mA\"\n";
    Ok([
        site.opening("Mains presence probe", "mains-probe", "hand-held", "", "0"),
        plastic(["140 mm", "20 mm", "20 mm"]),
        "\n# Two, each of which holds the limit alone: one may short.".to_string(),
        resistor("R1", "L", "a", ohms, ["0.6 W", "350 V"]),
        resistor("R2", "a", "b", ohms, ["0.6 W", "350 V"]),
        lamp.to_string(),
        site.reinforced("FINGER"),
        touchable("finger contact", "FINGER"),
        "\n[plugin.mains-probe]\nmarked = true  # the probe says that dark is no proof\n".to_string(),
    ]
    .concat())
}

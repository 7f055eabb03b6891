//! Boxes with an outlet on the mains.

use super::pieces::{Amperes, Site, earthed_case, metal, secondary_fuse};
use super::{Refused, Unit, Wall};

pub(super) const UNITS: &[Unit] = &[
    Unit {
        name: "series-lamp-limiter",
        also: &["dim-bulb", "dim-bulb-tester", "series-lamp", "bulb-limiter", "limiter"],
        about: "A filament lamp in series with what is tried: a short lights the lamp in place of blowing the fuse",
        feed: Wall::Earth,
        first: &[
            "power of LP1, the largest lamp you will screw in",
            "loads of OUT, what you will plug in",
            "size of the box",
        ],
        write: limiter,
    },
    Unit {
        name: "test-outlet",
        also: &["switched-outlet"],
        about: "A fused and switched outlet to try repaired things on",
        feed: Wall::Earth,
        first: &[
            "current of the fuses, for what you will plug in",
            "loads of OUT",
            "area of the cord and of the wires",
        ],
        write: test_outlet,
    },
    Unit {
        name: "isolated-supply",
        also: &["isolation-transformer", "isolating-transformer"],
        about: "An isolating transformer with one outlet: what is tried has no path to earth",
        feed: Wall::Earth,
        first: &["power and capacitance of T1, from its plate and data sheet", "loads of OUT", "the fuses F1 to F4"],
        write: isolated_supply,
    },
    Unit {
        name: "variable-supply",
        also: &["variac", "autotransformer"],
        about: "A variable autotransformer: it sets the volts and isolates nothing",
        feed: Wall::Earth,
        first: &[
            "power of T1, from its plate",
            "volts of its secondary: the end of the dial",
            "current of F3: what the brush bears",
        ],
        write: variable_supply,
    },
    Unit {
        name: "extension-box",
        also: &["bench-box"],
        about: "A fused box with one switched outlet for the bench, its earth led through",
        feed: Wall::Earth,
        first: &["current of the fuses", "loads of OUT", "area and length of the cord"],
        write: extension_box,
    },
];

/// The socket's type: the letter of the plug that goes into it.
fn socket(site: &Site, live: &str, neutral: &str) -> String {
    let letter = site.feed.as_ref().map_or("", |f| f.letter.as_str());
    format!(
        "\n[part.X1]\nkind = \"socket\"\nnets = [\"{live}\", \"{neutral}\", \"PE\"]\ntype = \"{letter}\"\nshrouded = true\n\
         exposed-pins = false\n"
    )
}

/// An outlet: the two nets, and what may hang on it. The first load is what is usual.
fn outlet(across: [&str; 2], loads: &str) -> String {
    let [a, b] = across;
    format!(
        "\n# What may hang on the outlet: each is tried. A short is what a faulty thing under test does.\n[[outlet]]\n\
         name = \"OUT\"\nacross = [\"{a}\", \"{b}\"]\nloads = [{loads}]\n"
    )
}

fn limiter(site: &Site) -> Result<String, Refused> {
    let volts = site.volts();
    let lamp = format!(
        "\n# The lamp limits; it stands outside the box, in the open, where its light is seen.\n[part.LP1]\n\
         kind = \"filament-lamp\"\nacross = [\"L2\", \"OL\"]\nvolts = \"{volts}\"\npower = \"60 W\"\nplace = \"outside\"\n"
    );
    Ok([
        site.opening("Series-lamp limiter", "series-lamp-limiter", "bench", "1 mm²", "3"),
        metal(["250 mm", "160 mm", "100 mm"]),
        site.fuses(&Amperes { low: "2 A", high: "2 A" }),
        site.switch(),
        lamp,
        outlet(["OL", "N2"], "\"40 W\", \"60 W\", \"open\", \"short\""),
        earthed_case("1 mm²", &[]),
    ]
    .concat())
}

fn test_outlet(site: &Site) -> Result<String, Refused> {
    Ok(switched(site, "Switched test outlet", "test-outlet", &Amperes { low: "6.3 A", high: "6.3 A" }))
}

fn extension_box(site: &Site) -> Result<String, Refused> {
    Ok(switched(site, "Extension box", "extension-box", &Amperes { low: "6.3 A", high: "6.3 A" }))
}

fn switched(site: &Site, name: &str, unit: &str, amperes: &Amperes) -> String {
    let loads = if site.low() {
        "\"40 W\", \"500 W\", \"open\", \"short\""
    } else {
        "\"40 W\", \"1000 W\", \"open\", \"short\""
    };
    [
        site.opening(name, unit, "bench", "1.5 mm²", "3"),
        metal(["200 mm", "120 mm", "80 mm"]),
        site.fuses(amperes),
        site.switch(),
        socket(site, "L2", "N2"),
        outlet(["L2", "N2"], loads),
        earthed_case("1.5 mm²", &[]),
    ]
    .concat()
}

fn isolated_supply(site: &Site) -> Result<String, Refused> {
    let volts = site.volts();
    let transformer = format!(
        "\n[part.T1]\nkind = \"transformer\"\nprimary = {{ across = [\"L2\", \"N2\"], volts = \"{volts}\" }}\n\
         secondary = {{ across = [\"S1\", \"S2\"], volts = \"{volts}\" }}\npower = \"100 VA\"\ninsulation = \"reinforced\"\n\
         capacitance = \"200 pF\"  # between the windings\n"
    );
    let amperes = if site.low() { "1 A" } else { "500 mA" };
    Ok([
        site.opening("Isolated supply 100 VA", "isolated-supply", "bench", "1 mm²", "3"),
        metal(["250 mm", "200 mm", "120 mm"]),
        site.fuses(&Amperes { low: "1.6 A", high: "1 A" }),
        site.switch(),
        transformer,
        "\n# A fuse in each side of the secondary. Nothing of it goes to earth.".to_string(),
        secondary_fuse("F3", "S1", "O1", amperes, "T"),
        secondary_fuse("F4", "S2", "O2", amperes, "T"),
        outlet(["O1", "O2"], "\"40 W\", \"open\", \"100 W\", \"short\""),
        earthed_case("1 mm²", &["O1", "O2", "S1", "S2"]),
    ]
    .concat())
}

fn variable_supply(site: &Site) -> Result<String, Refused> {
    let volts = site.volts();
    let transformer = format!(
        "\n# One winding with a brush: the outlet stays joined to the mains.\n[part.T1]\nkind = \"transformer\"\n\
         primary = {{ across = [\"L2\", \"N2\"], volts = \"{volts}\" }}\n\
         secondary = {{ across = [\"B\", \"N2\"], volts = \"{volts}\" }}\npower = \"500 VA\"\ninsulation = \"functional\"\n"
    );
    let amperes = if site.low() { "4 A" } else { "2 A" };
    Ok([
        site.opening("Variable supply", "variable-supply", "bench", "1 mm²", "3"),
        metal(["250 mm", "200 mm", "180 mm"]),
        site.fuses(&Amperes { low: "6.3 A", high: "3.15 A" }),
        site.switch(),
        transformer,
        "\n# The brush is what a low setting overloads: its own fuse.".to_string(),
        secondary_fuse("F3", "B", "O", amperes, "F"),
        outlet(["O", "N2"], "\"40 W\", \"open\", \"200 W\", \"short\""),
        earthed_case("1 mm²", &[]),
        "\n[plugin.variable-supply]\nmarked = true  # the box says that it isolates nothing\n".to_string(),
    ]
    .concat())
}

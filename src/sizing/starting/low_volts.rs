//! A bought module in a box.

use super::pieces::{Amperes, Site, plastic, touchable};
use super::{Refused, Unit, Wall};

pub(super) const UNITS: &[Unit] = &[Unit {
    name: "module-supply",
    also: &["smps-box", "module-box"],
    about: "A bought mains module (SELV output) in a box of its own, with fuse and switch",
    feed: Wall::Mains,
    first: &[
        "volts, current, power and output-class of PS1, from its data sheet",
        "loads of the outlet",
        "size of the box",
    ],
    write: module_supply,
}];

fn module_supply(site: &Site) -> Result<String, Refused> {
    let module = "\n# Only a module whose data sheet says SELV (or an isolated output) may be written so.\n[part.PS1]\nkind = \"psu\"\n\
                  input = [\"L2\", \"N2\"]\noutput = [\"OP\", \"OM\"]\nvolts = \"12 V\"\ncurrent = \"2 A\"\npower = \"24 W\"\n\
                  output-class = \"SELV\"\n";
    let outlet = "\n[part.J1]\nkind = \"socket\"\nnets = [\"OP\", \"OM\"]\ntype = \"4 mm socket\"\nshrouded = true\n\n[[outlet]]\n\
                  name = \"OUT\"\nacross = [\"OP\", \"OM\"]\nloads = [\"10 Ω\", \"open\"]\n";
    Ok([
        site.opening("Module supply 12 V", "module-supply", "bench", "0.75 mm²", "2"),
        plastic(["180 mm", "120 mm", "70 mm"]),
        site.fuses(&Amperes { low: "1 A", high: "1 A" }),
        site.switch(),
        module.to_string(),
        outlet.to_string(),
        site.reinforced("OP"),
        site.reinforced("OM"),
        touchable("plus terminal", "OP"),
        touchable("minus terminal", "OM"),
    ]
    .concat())
}

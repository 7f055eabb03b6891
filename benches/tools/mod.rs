//! The jigs of which whole checks are timed, written out as text.

use std::fmt::Write as _;

/// Every one by name.
pub(crate) fn all() -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = vec![
        named("9 V supply", supply("9 V", "10 VA", 1)),
        named("split secondary", split()),
        named("300 V d.c. supply", direct()),
        named("doubler", doubler()),
        named("back to back", back_to_back()),
        named("three rails", supply("9 V", "30 VA", 3)),
        named("three-stage multiplier", multiplier()),
    ];
    for parts in [100, 200, 500] {
        for kind in ["dividers", "LEDs", "lamps", "mixed"] {
            out.push(named(&format!("{parts} parts, {kind}"), panel(parts, kind)));
        }
    }
    out
}

fn named(name: &str, body: String) -> (String, String) {
    (name.to_string(), head(name) + &body + FOOT)
}

/// Supply, box, and a fuse in each pole.
fn head(name: &str) -> String {
    format!(
        "format = 1

[jig]
name = \"Bench: {name}\"
unit = \"bench-supply\"
use = \"bench\"

[supply]
system = \"230 V 50 Hz\"
plug = \"C\"
cord = {{ area = \"0.75 mm2\", length = \"2 m\", cores = 2, strain-relief = true }}

[enclosure]
material = \"insulating\"
class = \"II\"
size = [\"400 mm\", \"300 mm\", \"200 mm\"]
opens-with = \"tool\"
"
    ) + &fuse("F1", "L", "L1", "1 A")
        + &fuse("F2", "N", "N1", "1 A")
}

const FOOT: &str = "
[[insulation]]
between = [\"mains\", \"SHELL\"]
grade = \"reinforced\"
clearance = \"8 mm\"
creepage = \"8 mm\"

[[touchable]]
name = \"shell\"
net = \"SHELL\"
";

fn fuse(name: &str, a: &str, b: &str, amperes: &str) -> String {
    part(name, "fuse", a, b, &[("current", amperes), ("speed", "T"), ("voltage", "250 V"), ("breaking", "1500 A")])
}

fn part(name: &str, kind: &str, a: &str, b: &str, keys: &[(&str, &str)]) -> String {
    let mut out = format!("\n[part.{name}]\nkind = \"{kind}\"\nacross = [\"{a}\", \"{b}\"]\n");
    keys.iter().for_each(|(key, value)| {
        let _ = writeln!(out, "{key} = \"{value}\"");
    });
    out
}

fn resistor(name: &str, a: &str, b: &str, ohms: &str, watts: &str) -> String {
    part(name, "resistor", a, b, &[("resistance", ohms), ("tolerance", "5 %"), ("power", watts), ("voltage", "500 V")])
}

fn reservoir(name: &str, a: &str, b: &str, farads: &str, volts: &str) -> String {
    part(name, "capacitor", a, b, &[("capacitance", farads), ("tolerance", "20 %"), ("voltage", volts)])
}

fn diode(name: &str, a: &str, b: &str) -> String {
    part(name, "diode", a, b, &[("voltage", "1000 V"), ("current", "1 A"), ("surge", "30 A")])
}

fn bridge(name: &str, ac: [&str; 2], plus: &str, minus: &str) -> String {
    format!(
        "\n[part.{name}]\nkind = \"bridge\"\nac = [\"{}\", \"{}\"]\nplus = \"{plus}\"\nminus = \"{minus}\"\nvoltage = \"600 V\"\ncurrent = \"2 A\"\nsurge = \"50 A\"\n",
        ac[0], ac[1]
    )
}

fn transformer(name: &str, [a, b]: [&str; 2], volts: &str, secondaries: &[([&str; 2], &str)], power: &str) -> String {
    let winding = |(across, volts): &([&str; 2], &str)| {
        format!("{{ across = [\"{}\", \"{}\"], volts = \"{volts}\" }}", across[0], across[1])
    };
    let list: Vec<String> = secondaries.iter().map(winding).collect();
    let secondary = if list.len() == 1 { list[0].clone() } else { format!("[{}]", list.join(", ")) };
    format!(
        "\n[part.{name}]\nkind = \"transformer\"\nprimary = {{ across = [\"{a}\", \"{b}\"], volts = \"{volts}\" }}\nsecondary = {secondary}\npower = \"{power}\"\ninsulation = \"reinforced\"\ncapacitance = \"200 pF\"\n"
    )
}

fn outlet(name: &str, a: &str, b: &str, load: &str) -> String {
    format!("\n[[outlet]]\nname = \"{name}\"\nacross = [\"{a}\", \"{b}\"]\nloads = [\"open\", \"{load}\", \"short\"]\n")
}

/// Rails of a winding, a bridge, a fuse and a reservoir each; on the first an outlet, on the others a bleeder.
fn supply(volts: &str, power: &str, rails: usize) -> String {
    let ends: Vec<[String; 2]> = (0..rails).map(|k| [format!("S{k}a"), format!("S{k}b")]).collect();
    let windings: Vec<([&str; 2], &str)> = ends.iter().map(|e| ([e[0].as_str(), e[1].as_str()], volts)).collect();
    let mut out = transformer("T1", ["L1", "N1"], "230 V", &windings, power);
    for (k, e) in ends.iter().enumerate() {
        let [plus, minus] = [format!("P{k}"), format!("M{k}")];
        out += &bridge(&format!("BR{k}"), [&e[0], &e[1]], &plus, &minus);
        out += &reservoir(&format!("C{k}"), &plus, &minus, "2200 µF", "25 V");
        out += &fuse(&format!("F{}", k + 3), &plus, &format!("O{k}"), "1.6 A");
        out += &resistor(&format!("R{k}"), &format!("O{k}"), &minus, "1 kΩ", "0.6 W");
    }
    out + &outlet("OUT", "O0", "M0", "22 Ω")
}

/// Two windings in series, a bridge over both, a reservoir from the middle to each side.
fn split() -> String {
    transformer("T1", ["L1", "N1"], "230 V", &[(["SA", "SM"], "12 V"), (["SM", "SB"], "12 V")], "20 VA")
        + &bridge("BR1", ["SA", "SB"], "P", "M")
        + &reservoir("C1", "P", "SM", "1000 µF", "35 V")
        + &reservoir("C2", "SM", "M", "1000 µF", "35 V")
        + &resistor("R1", "P", "SM", "2.2 kΩ", "0.6 W")
        + &resistor("R2", "SM", "M", "2.2 kΩ", "0.6 W")
        + &outlet("OUT", "P", "SM", "47 Ω")
}

/// High volts behind an isolating transformer, with bleeders.
fn direct() -> String {
    transformer("T1", ["L1", "N1"], "230 V", &[(["S1", "S2"], "230 V")], "30 VA")
        + &bridge("BR1", ["S1", "S2"], "A", "M")
        + &resistor("R1", "A", "P", "100 Ω", "3 W")
        + &reservoir("C1", "P", "M", "47 µF", "450 V")
        + &resistor("R2", "P", "b", "47 kΩ", "2 W")
        + &resistor("R3", "b", "M", "47 kΩ", "2 W")
        + &outlet("OUT", "P", "M", "22 kΩ")
}

/// Both half-waves of one winding onto two reservoirs.
fn doubler() -> String {
    transformer("T1", ["L1", "N1"], "230 V", &[(["S1", "S2"], "12 V")], "10 VA")
        + &diode("D1", "S1", "P")
        + &diode("D2", "M", "S1")
        + &reservoir("C1", "P", "S2", "470 µF", "35 V")
        + &reservoir("C2", "S2", "M", "470 µF", "35 V")
        + &resistor("R1", "P", "M", "10 kΩ", "0.6 W")
        + &outlet("OUT", "P", "M", "1 kΩ")
}

/// Two transformers, the second the other way round.
fn back_to_back() -> String {
    transformer("T1", ["L1", "N1"], "230 V", &[(["S1", "S2"], "12 V")], "20 VA")
        + &transformer("T2", ["S1", "S2"], "12 V", &[(["H1", "H2"], "230 V")], "20 VA")
        + &fuse("F3", "H1", "O", "100 mA")
        + &outlet("OUT", "O", "H2", "10 kΩ")
}

/// Three stages of pump and reservoir.
fn multiplier() -> String {
    let mut out = transformer("T1", ["L1", "N1"], "230 V", &[(["S1", "S2"], "24 V")], "10 VA");
    let (mut pump, mut rest) = ("S1".to_string(), "S2".to_string());
    for k in 1..=3 {
        let [a, b] = [format!("a{k}"), format!("b{k}")];
        out += &reservoir(&format!("CP{k}"), &pump, &a, "100 µF", "100 V");
        out += &diode(&format!("DA{k}"), &rest, &a);
        out += &diode(&format!("DB{k}"), &a, &b);
        out += &reservoir(&format!("CR{k}"), &rest, &b, "100 µF", "100 V");
        (pump, rest) = (a, b);
    }
    out + &resistor("R1", &rest, "S2", "100 kΩ", "1 W")
}

/// So many parts in branches across the fused mains.
fn panel(parts: usize, kind: &str) -> String {
    let mut out = String::new();
    let mut count = 2;
    let mut k = 0;
    while count < parts {
        k += 1;
        let [a, b] = [format!("a{k}"), format!("b{k}")];
        let r = |name: &str, from: &str, to: &str, kilohms: usize| {
            resistor(&format!("{name}{k}"), from, to, &format!("{kilohms} kΩ"), "2 W")
        };
        let branch = match kind {
            "dividers" => 0,
            "LEDs" => 1,
            "lamps" => 2,
            _ => k % 4,
        };
        match branch {
            0 => out += &(r("RA", "L1", &a, 150 + k) + &r("RB", &a, "N1", 100 + 2 * k)),
            1 => {
                out += &(r("RA", "L1", &a, 68 + k) + &diode(&format!("D{k}"), &a, &b));
                let keys = [("forward", "2 V"), ("current", "20 mA"), ("reverse", "5 V")];
                out += &part(&format!("LED{k}"), "led", &b, "N1", &keys);
            }
            2 => {
                out += &(r("RA", "L1", &a, 150 + k) + &r("RB", &a, &b, 150));
                out += &part(&format!("LP{k}"), "neon-lamp", &b, "N1", &[("type", "A1A")]);
            }
            _ => {
                out += &r("RA", "L1", &a, 1);
                let keys = [("capacitance", "10 nF"), ("tolerance", "10 %"), ("voltage", "275 V"), ("class", "X2")];
                out += &part(&format!("C{k}"), "capacitor", &a, "N1", &keys);
            }
        }
        count += if matches!(branch, 0 | 3) { 2 } else { 3 };
    }
    out
}

//! Questions about nets on small jigs, against answers worked out by hand; and the walk against a transitive closure made
//! another way, on random wirings.
#![allow(clippy::unwrap_used)]

use super::support::dice::Dice;
use crate::jig::{self, Jig, NET_L, NET_N, NET_PE, NetId};
use crate::nets::{Edge, Limitless, MOST_DIVIDED, NetSet, Nets};
use crate::part::Link;

/// A jig with this supply and these parts: each its name, kind and keys.
fn jig(supply: &str, parts: &[(&str, &str, &str)], rest: &str) -> Jig {
    let parts: String =
        parts.iter().map(|(name, kind, keys)| format!("[part.{name}]\nkind = \"{kind}\"\n{keys}\n")).collect();
    // A jig on the mains has something on L or N; a socket joins nothing.
    let pins = if parts.contains("\"L\"") || parts.contains("\"N\"") {
        ""
    } else {
        "[part.PINS]\nkind = \"socket\"\nnets = [\"L\", \"N\"]\n"
    };
    let text = format!("format = 1\n[jig]\nname = \"small\"\nuse = \"bench\"\n[supply]\n{supply}\n{parts}{pins}{rest}");
    jig::parse("small.toml", text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}\n{text}"))
}

/// Either pin can be live.
const TURNS: &str = "system = \"230 V 50 Hz\"\nplug = \"F\"";
/// L is live.
const ASSURED: &str = "system = \"230 V 50 Hz\"\nplug = \"G\"";

fn net(jig: &Jig, name: &str) -> NetId {
    jig.nets.iter().position(|net| net.name == name).unwrap_or_else(|| panic!("no net {name}"))
}

fn names(jig: &Jig, set: &NetSet) -> String {
    set.iter().map(|n| jig.nets[n].name.as_str()).collect::<Vec<_>>().join(" ")
}

/// The set of these names, told as [`names`] tells it.
fn expected(jig: &Jig, wanted: &str) -> String {
    let wanted: Vec<NetId> = wanted.split_whitespace().map(|name| net(jig, name)).collect();
    names(jig, &NetSet::of(jig.nets.len(), |n| wanted.contains(&n)))
}

fn wire(across: [&str; 2]) -> String {
    format!("across = {across:?}")
}

/// L – wire – a – fuse – b – switch of positions (low: c, high: d, off: nothing) – resistors to N.
fn changeover() -> Jig {
    let resistor = |end: &str| format!("across = [\"{end}\", \"N\"]\nresistance = \"1 kΩ\"");
    let positions = "positions = { low = [[\"b\", \"c\"]], high = [[\"b\", \"d\"]], off = [] }";
    jig(
        ASSURED,
        &[
            ("W1", "wire", &wire(["L", "a"])),
            ("F1", "fuse", "across = [\"a\", \"b\"]\ncurrent = \"1 A\""),
            ("SW1", "switch", positions),
            ("R1", "resistor", &resistor("c")),
            ("R2", "resistor", &resistor("d")),
        ],
        "",
    )
}

#[test]
fn groups_follow_the_position_of_the_switch() {
    let jig = changeover();
    let nets = Nets::of(&jig);
    let group = |at: usize| nets.groups(&|edge| edge.is_hard() && nets.is_closed(edge, &[at]));
    let joined = |at: usize, other: &str| group(at).same(NET_L, net(&jig, other));
    let told: Vec<[bool; 4]> = (0..3).map(|at| ["b", "c", "d", "N"].map(|other| joined(at, other))).collect();
    assert_eq!(told, [[true, true, false, false], [true, false, true, false], [true, false, false, false]]);
    // With every contact closed both are joined to L; through the resistors N is, too.
    let all = nets.groups(&Edge::is_hard);
    assert!(all.same(net(&jig, "c"), net(&jig, "d")) && !all.same(NET_L, NET_N));
    assert!(nets.groups(&|_| true).same(NET_L, NET_N));
}

#[test]
fn a_walk_goes_through_what_passes_and_ends_where_it_is_told() {
    let jig = changeover();
    let nets = Nets::of(&jig);
    let from = [NET_L];
    let told = |set: NetSet| names(&jig, &set);
    assert_eq!(told(nets.wired(NET_L)), expected(&jig, "L a"));
    assert_eq!(told(nets.walk(&from, &Edge::is_hard).reached()), expected(&jig, "L a b c d"));
    let b = NetSet::of(nets.count(), |n| n == net(&jig, "b"));
    // It ends on b, and going round b it does not even get there.
    assert_eq!(told(nets.walk(&from, &|_| true).ending_at(&b).reached()), expected(&jig, "L a b"));
    assert_eq!(told(nets.walk(&from, &|_| true).round(&b).reached()), expected(&jig, "L a"));
    // What starts on b goes on from there.
    assert_eq!(told(nets.walk(&[net(&jig, "b")], &Edge::is_hard).ending_at(&b).reached()), expected(&jig, "L a b c d"));
    assert_eq!(nets.pole_end(NET_L), net(&jig, "b"));
    assert_eq!(nets.pole_end(NET_N), NET_N);
}

#[test]
fn edges_are_those_of_the_parts_and_of_what_is_plugged_in() {
    let jig = jig(
        TURNS,
        &[
            ("BR1", "bridge", "ac = [\"L\", \"N\"]\nplus = \"p\"\nminus = \"m\""),
            ("K1", "socket", "nets = [\"L\", \"N\", \"PE\"]"),
            ("PS1", "psu", "input = [\"L\", \"N\"]\noutput = [\"o\", \"q\"]\noutput-class = \"SELV\""),
        ],
        "[[outlet]]\nname = \"X1\"\nacross = [\"o\", \"q\"]\n",
    );
    let nets = Nets::of(&jig);
    let told: Vec<String> = nets
        .edges()
        .iter()
        .map(|e| format!("{} {} {}", e.name(&jig), jig.nets[e.ends[0]].name, jig.nets[e.ends[1]].name))
        .collect();
    // A socket joins nothing; a module keeps its two sides apart.
    assert_eq!(told, ["BR1 L p", "BR1 N p", "BR1 m L", "BR1 m N", "PS1 L N", "PS1 o q", "X1 o q"]);
    // While L is positive it feeds p, and N is fed from m.
    let first: Vec<_> = nets.edges().iter().filter(|e| e.link == Link::Arm { first: true }).map(|e| e.ends).collect();
    assert_eq!(first, [[NET_L, net(&jig, "p")], [net(&jig, "m"), NET_N]]);
}

/// L through a resistor, then an X capacitor, a Y capacitor, a transformer and a module; a resistor from N to PE.
fn mixed() -> Jig {
    jig(
        TURNS,
        &[
            ("R1", "resistor", "across = [\"L\", \"a\"]\nresistance = \"10 Ω\""),
            ("C1", "capacitor", "across = [\"a\", \"x\"]\ncapacitance = \"100 nF\"\nclass = \"X2\""),
            ("C2", "capacitor", "across = [\"a\", \"y\"]\ncapacitance = \"1 nF\"\nclass = \"Y2\""),
            ("R2", "resistor", "across = [\"y\", \"y2\"]\nresistance = \"10 Ω\""),
            (
                "T1",
                "transformer",
                "primary = { across = [\"a\", \"N\"], volts = \"230 V\" }\nsecondary = { across = [\"s\", \"t\"], volts = \"12 V\" }",
            ),
            ("PS1", "psu", "input = [\"L\", \"N\"]\noutput = [\"o\", \"q\"]\noutput-class = \"SELV\""),
            ("R3", "resistor", "across = [\"N\", \"PE\"]\nresistance = \"1 kΩ\""),
            ("R4", "resistor", "across = [\"PE\", \"e\"]\nresistance = \"1 kΩ\""),
        ],
        "[[outlet]]\nname = \"X1\"\nacross = [\"a\", \"plugged\"]\n",
    )
}

#[test]
fn what_conducts_to_l_or_n_is_on_the_mains_and_what_only_leads_to_earth_is_not() {
    let jig = mixed();
    let nets = Nets::of(&jig);
    assert_eq!(names(&jig, nets.on_mains()), expected(&jig, "L N a plugged"));
    // An ordinary or X capacitor may fail short, a class Y one is built not to.
    assert_eq!(names(&jig, nets.hazardous_live()), expected(&jig, "L N a x plugged"));
    assert_eq!(names(&jig, &nets.circuit(net(&jig, "y2"))), expected(&jig, "y y2"));
    assert_eq!(names(&jig, &nets.circuit(net(&jig, "s"))), expected(&jig, "s t"));
    assert_eq!(names(&jig, nets.earth()), "PE");
}

#[test]
fn a_contact_that_closes_in_some_position_puts_a_net_on_the_mains() {
    let jig = changeover();
    let nets = Nets::of(&jig);
    assert_eq!(names(&jig, nets.on_mains()), expected(&jig, "L N a b c d"));
}

#[test]
fn the_two_answers_differ_for_what_hangs_on_a_wire_of_the_earth() {
    let jig = jig(
        ASSURED,
        &[
            ("W1", "wire", &wire(["PE", "chassis"])),
            ("R1", "resistor", "across = [\"N\", \"chassis\"]\nresistance = \"1 kΩ\""),
            ("R2", "resistor", "across = [\"chassis\", \"b\"]\nresistance = \"1 kΩ\""),
        ],
        "",
    );
    let nets = Nets::of(&jig);
    // Conduction ends at the net PE itself; a hazardous voltage ends at everything that is wired to it.
    assert_eq!(names(&jig, nets.on_mains()), expected(&jig, "L N chassis b"));
    assert_eq!(names(&jig, nets.hazardous_live()), expected(&jig, "L N"));
    assert_eq!(names(&jig, nets.earth()), expected(&jig, "PE chassis"));
}

#[test]
fn protective_impedance_takes_two_resistors_that_are_each_enough() {
    // 253 V over 1.36 MΩ is 0.19 mA, over 680 kΩ with one bridged 0.37 mA; one of 1 MΩ bridged leaves nothing; 2 × 51 kΩ
    // pass 2.5 mA, more than 0.5 mA in normal condition; 100 kΩ before 1 MΩ is 2.5 mA once the larger is bridged, which
    // one fault may bring.
    let resistor = |a: &str, b: &str, ohms: &str| format!("across = [\"{a}\", \"{b}\"]\nresistance = \"{ohms}\"");
    let jig = jig(
        ASSURED,
        &[
            ("R1", "resistor", &resistor("L", "a", "680 kΩ")),
            ("R2", "resistor", &resistor("a", "two", "680 kΩ")),
            ("R3", "resistor", &resistor("L", "one", "1 MΩ")),
            ("R4", "resistor", &resistor("L", "b", "51 kΩ")),
            ("R5", "resistor", &resistor("b", "small", "51 kΩ")),
            ("R6", "resistor", &resistor("L", "c", "100 kΩ")),
            ("R7", "resistor", &resistor("c", "uneven", "1 MΩ")),
        ],
        "",
    );
    let nets = Nets::of(&jig);
    assert_eq!(names(&jig, nets.hazardous_live()), expected(&jig, "L N a one b small c"));
    let from = [NET_L];
    let resistance = nets.walk(&from, &|_| true).resistance();
    let of = |name: &str| (resistance[net(&jig, name)].built, resistance[net(&jig, name)].bridged);
    assert_eq!(of("two"), (1.36e6, 680e3));
    assert_eq!(of("one"), (1e6, 0.0));
    assert_eq!(of("uneven"), (1.1e6, 100e3));
    assert_eq!(of("N"), (f64::INFINITY, f64::INFINITY));
    let goal = |name: &str| NetSet::of(nets.count(), |n| n == net(&jig, name));
    assert!(nets.walk(&from, &|_| true).is_harmless(&goal("two"), 253.0));
    assert!(!nets.walk(&from, &|_| true).is_harmless(&goal("one"), 253.0));
    // Nothing flows where nothing leads.
    assert!(nets.walk(&from, &|_| true).is_harmless(&goal("N"), 253.0));
}

#[test]
fn the_way_of_least_resistance_counts_and_its_largest_resistor_is_the_one_that_is_bridged() {
    let resistor = |a: &str, b: &str, ohms: &str| format!("across = [\"{a}\", \"{b}\"]\nresistance = \"{ohms}\"");
    let jig = jig(
        ASSURED,
        &[
            ("R1", "resistor", &resistor("L", "a", "100 Ω")),
            ("R2", "resistor", &resistor("a", "b", "400 Ω")),
            ("R3", "resistor", &resistor("L", "c", "300 Ω")),
            ("R4", "resistor", &resistor("c", "b", "300 Ω")),
        ],
        "",
    );
    let nets = Nets::of(&jig);
    let found = nets.walk(&[NET_L], &|_| true).resistance()[net(&jig, "b")];
    // 100 + 400 beats 300 + 300; with R2 bridged 100 are left, with either of the others 300.
    assert_eq!((found.built, found.bridged), (500.0, 100.0));
}

#[test]
fn pins_are_live_by_plug_and_arrangement() {
    let pins = |supply: &str| {
        let nets = Nets::of(&jig(supply, &[("R1", "resistor", "across = [\"a\", \"b\"]\nresistance = \"1 Ω\"")], ""));
        let volts = nets.volts_to_earth();
        (nets.live_pins().to_vec(), nets.earthed_pins(NET_L), (volts.nominal, volts.highest.round()))
    };
    assert_eq!(pins(ASSURED), (vec![NET_L], vec![NET_N, NET_PE], (230.0, 253.0)));
    assert_eq!(pins(TURNS), (vec![NET_L, NET_N], vec![NET_N, NET_PE], (230.0, 253.0)));
    let (live, earthed, (nominal, _)) = pins("system = \"240 V 60 Hz line to line\"\nplug = \"fixed\"");
    assert_eq!((live, earthed, nominal), (vec![NET_L, NET_N], vec![NET_PE], 120.0));
    assert_eq!(pins("system = \"none\""), (vec![], vec![NET_N, NET_PE], (0.0, 0.0)));
    let nets = Nets::of(&jig(TURNS, &[("R1", "resistor", "across = [\"L\", \"N\"]\nresistance = \"1 Ω\"")], ""));
    assert_eq!(nets.earthed_pins(NET_N), vec![NET_L, NET_PE]);
    assert!(!nets.line_to_line());
}

#[test]
fn without_mains_nothing_is_on_the_mains() {
    let jig = jig("system = \"none\"", &[("R1", "resistor", "across = [\"L\", \"a\"]\nresistance = \"1 Ω\"")], "");
    let nets = Nets::of(&jig);
    assert!(nets.on_mains().is_empty() && nets.hazardous_live().is_empty());
}

#[test]
fn the_largest_fuse_on_the_way_is_the_smaller_of_those_in_series_and_the_larger_of_those_beside() {
    let fuse = |a: &str, b: &str, amperes: &str| format!("across = [\"{a}\", \"{b}\"]\ncurrent = \"{amperes}\"");
    let jig = jig(
        ASSURED,
        &[
            ("F1", "fuse", &fuse("L", "a", "10 A")),
            ("F2", "fuse", &fuse("a", "b", "3 A")),
            ("F3", "fuse", &fuse("a", "b", "5 A")),
            ("R1", "resistor", "across = [\"b\", \"c\"]\nresistance = \"10 Ω\""),
            ("W1", "wire", &wire(["L", "bare"])),
            (
                "T1",
                "transformer",
                "primary = { across = [\"b\", \"N\"], volts = \"230 V\" }\nsecondary = { across = [\"s\", \"t\"], volts = \"12 V\" }",
            ),
        ],
        "[[outlet]]\nname = \"X1\"\nacross = [\"c\", \"plugged\"]\n",
    );
    let nets = Nets::of(&jig);
    let behind = nets.largest_fuse();
    let of = |name: &str| behind[net(&jig, name)];
    assert_eq!(of("a"), Some(10.0));
    assert_eq!(of("b"), Some(5.0));
    assert_eq!(of("c"), Some(5.0));
    assert_eq!(of("bare"), Some(f64::INFINITY));
    // A winding or what is plugged in is no way on; with this plug N is not live.
    assert_eq!((of("N"), of("s"), of("plugged")), (None, None, None));
}

#[test]
fn sources_are_pins_secondaries_and_outputs_and_outlets_where_there_is_no_mains() {
    let parts: &[(&str, &str, &str)] = &[
        (
            "T1",
            "transformer",
            "primary = { across = [\"a\", \"b\"], volts = \"230 V\" }\nsecondary = [{ across = [\"s\", \"t\"], volts = \"12 V\" }, { across = [\"u\", \"v\"], volts = \"6 V\" }]",
        ),
        ("PS1", "psu", "input = [\"a\", \"b\"]\noutput = [\"o\", \"q\"]\noutput-class = \"SELV\""),
    ];
    let outlet = "[[outlet]]\nname = \"X1\"\nacross = [\"a\", \"b\"]\n";
    let told = |supply: &str| {
        let jig = jig(supply, parts, outlet);
        let pairs = Nets::of(&jig).sources();
        pairs.iter().map(|p| p.map(|n| jig.nets[n].name.clone()).join("-")).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(told(TURNS), "L-N s-t u-v o-q");
    assert_eq!(told("system = \"none\""), "a-b s-t u-v o-q");
}

/// A lamp behind a fuse and a resistor, beside a varistor, and one behind a bridge and a capacitor.
fn lamps() -> Jig {
    jig(
        TURNS,
        &[
            ("F1", "fuse", "across = [\"L\", \"l\"]\ncurrent = \"1 A\""),
            ("VR1", "varistor", "across = [\"l\", \"N\"]\nvoltage = \"275 V\""),
            ("R1", "resistor", "across = [\"l\", \"a\"]\nresistance = \"10 kΩ\""),
            ("D1", "led", "across = [\"a\", \"N\"]\nforward = \"2 V\""),
            ("C1", "capacitor", "across = [\"l\", \"c\"]\ncapacitance = \"100 nF\"\nclass = \"X2\""),
            ("BR1", "bridge", "ac = [\"c\", \"N\"]\nplus = \"p\"\nminus = \"m\""),
            ("D2", "led", "across = [\"p\", \"m\"]\nforward = \"2 V\""),
        ],
        "",
    )
}

#[test]
fn a_lamp_is_unlimited_once_what_limits_it_is_bridged() {
    let jig = lamps();
    let nets = Nets::of(&jig);
    let part = |name: &str| jig.parts.iter().position(|p| p.name == name).unwrap();
    let bare = |lamp: &str, below_ohms: f64, shorted: Option<&str>| {
        let across = jig.parts[part(lamp)].kind.terminals();
        let ends = [across[0], across[1]];
        [true, false].map(|first_half| {
            let limitless = Limitless { below_ohms, shorted: shorted.map(part), first_half };
            nets.unlimited(part(lamp), ends, &limitless)
        })
    };
    // The varistor across the mains is no way round the resistor.
    assert_eq!(bare("D1", 100.0, None), [false, false]);
    assert_eq!(bare("D1", 100.0, Some("R1")), [true, true]);
    assert_eq!(bare("D1", 100.0, Some("C1")), [false, false]);
    // A resistor below the ohms asked for limits nothing.
    assert_eq!(bare("D1", 20e3, None), [true, true]);
    // Behind a bridge it is fed in either half-wave once the capacitor is bridged.
    assert_eq!(bare("D2", 100.0, None), [false, false]);
    assert_eq!(bare("D2", 100.0, Some("C1")), [true, true]);
}

#[test]
fn half_of_a_bridge_alone_feeds_a_lamp_in_one_half_wave() {
    // The lamp lies from plus to N: only while L is positive does the bridge put L on plus with nothing in the way.
    let jig = jig(
        TURNS,
        &[
            ("BR1", "bridge", "ac = [\"L\", \"x\"]\nplus = \"p\"\nminus = \"m\""),
            ("D1", "led", "across = [\"p\", \"N\"]\nforward = \"2 V\""),
        ],
        "",
    );
    let nets = Nets::of(&jig);
    let of = |first_half| {
        nets.unlimited(1, [net(&jig, "p"), NET_N], &Limitless { below_ohms: 1.0, shorted: None, first_half })
    };
    assert_eq!([of(true), of(false)], [true, false]);
}

#[test]
fn a_load_closes_a_loop_while_both_its_ends_hang_on_different_pins() {
    let jig = jig(
        ASSURED,
        &[
            ("SW1", "switch", "poles = [[\"L\", \"a\"]]"),
            ("R1", "resistor", "across = [\"a\", \"N\"]\nresistance = \"1 kΩ\""),
            ("R2", "resistor", "across = [\"a\", \"b\"]\nresistance = \"1 kΩ\""),
            ("R3", "resistor", "across = [\"a\", \"PE\"]\nresistance = \"1 kΩ\""),
        ],
        "",
    );
    let nets = Nets::of(&jig);
    let loops = |at: usize| {
        let pass = |edge: &Edge| nets.is_closed(edge, &[at]);
        let loads = nets.edges().iter().filter(|edge| edge.is_body());
        loads.map(|edge| nets.closes_a_loop(edge, &pass)).collect::<Vec<_>>()
    };
    // R2 ends in the air, R3 on the earth; with the switch off R1 hangs on N alone.
    assert_eq!(loops(0), [true, false, false]);
    assert_eq!(loops(1), [false, false, false]);
}

/// Six digits: a joint counts as a microohm.
#[track_caller]
fn six_digits(got: Option<f64>, wanted: f64) {
    let got = got.unwrap();
    assert!((got - wanted).abs() <= 1e-6 * wanted.abs().max(1e-6), "{got} is not {wanted}");
}

#[test]
fn volts_divide_over_resistors_and_a_switch_takes_one_out() {
    let jig = jig(
        "system = \"none\"",
        &[
            ("W1", "wire", &wire(["tip", "a"])),
            ("R1", "resistor", "across = [\"a\", \"b\"]\nresistance = \"30 kΩ\""),
            ("R2", "resistor", "across = [\"b\", \"clip\"]\nresistance = \"20 kΩ\""),
            ("SW1", "switch", "poles = [[\"b\", \"c\"]]"),
            ("R3", "resistor", "across = [\"c\", \"clip\"]\nresistance = \"20 kΩ\""),
            ("D1", "led", "across = [\"b\", \"d\"]\nforward = \"2 V\""),
            ("R4", "resistor", "across = [\"d\", \"clip\"]\nresistance = \"1 kΩ\""),
        ],
        "[[outlet]]\nname = \"tips\"\nacross = [\"tip\", \"clip\"]\n",
    );
    let nets = Nets::of(&jig);
    let ends = [net(&jig, "tip"), net(&jig, "clip")];
    let on = nets.divider(ends, &[0]).unwrap();
    // 30 kΩ before 20 kΩ ∥ 20 kΩ = 10 kΩ: a quarter is left, 40 kΩ in all. The LED is dark: d hangs on the clip.
    six_digits(on.volts[net(&jig, "b")], 0.25);
    six_digits(on.volts[net(&jig, "c")], 0.25);
    six_digits(on.volts[net(&jig, "d")], 0.0);
    six_digits(Some(1.0 / on.siemens), 40e3);
    let off = nets.divider(ends, &[1]).unwrap();
    six_digits(off.volts[net(&jig, "b")], 0.4);
    six_digits(off.volts[net(&jig, "c")], 0.0);
    six_digits(Some(1.0 / off.siemens), 50e3);
    assert_eq!(off.volts[NET_L], None);
}

#[test]
fn coils_lamps_and_thermistors_count_cold_and_a_bridge_one_way() {
    let jig = jig(
        "system = \"none\"",
        &[
            ("BR1", "bridge", "ac = [\"tip\", \"clip\"]\nplus = \"p\"\nminus = \"m\""),
            ("L1", "inductor", "across = [\"p\", \"a\"]\ninductance = \"1 H\"\nresistance = \"100 Ω\""),
            ("RT1", "thermistor", "across = [\"a\", \"b\"]\ncold = \"300 Ω\"\nhot = \"5 Ω\""),
            ("LP1", "filament-lamp", "across = [\"b\", \"c\"]\nvolts = \"100 V\"\npower = \"10 W\"\ncold-ratio = 0.1"),
            ("LD1", "load", "across = [\"c\", \"m\"]\nresistance = \"500 Ω\""),
            ("C1", "capacitor", "across = [\"p\", \"m\"]\ncapacitance = \"1 uF\""),
        ],
        "[[outlet]]\nname = \"tips\"\nacross = [\"tip\", \"clip\"]\n",
    );
    let nets = Nets::of(&jig);
    // 100 V² / 10 W = 1000 Ω hot, 100 Ω cold: 100 + 300 + 100 + 500 Ω in a row.
    let found = nets.divider([net(&jig, "tip"), net(&jig, "clip")], &[]).unwrap();
    six_digits(Some(1.0 / found.siemens), 1000.0);
    six_digits(found.volts[net(&jig, "a")], 0.9);
    six_digits(found.volts[net(&jig, "b")], 0.6);
    six_digits(found.volts[net(&jig, "c")], 0.5);
    // The other way round the same arms conduct from the wrong side: it counts as joined, too.
    six_digits(Some(1.0 / nets.divider([net(&jig, "clip"), net(&jig, "tip")], &[]).unwrap().siemens), 1000.0);
}

#[test]
fn a_chain_that_is_too_long_to_divide_is_refused_and_one_that_just_fits_is_not() {
    let chain = |count: usize| {
        let parts: Vec<(String, String)> = (0..count)
            .map(|k| (format!("R{k}"), format!("across = [\"n{k}\", \"n{}\"]\nresistance = \"1 kΩ\"", k + 1)))
            .collect();
        let parts: Vec<(&str, &str, &str)> =
            parts.iter().map(|(name, keys)| (name.as_str(), "resistor", keys.as_str())).collect();
        jig("system = \"none\"", &parts, "")
    };
    let longest = chain(MOST_DIVIDED - 1);
    let ends = [net(&longest, "n0"), net(&longest, &format!("n{}", MOST_DIVIDED - 1))];
    let found = Nets::of(&longest).divider(ends, &[]).unwrap();
    six_digits(Some(1.0 / found.siemens), 1e3 * (MOST_DIVIDED - 1) as f64);
    let longer = chain(MOST_DIVIDED);
    assert_eq!(Nets::of(&longer).divider([net(&longer, "n0"), net(&longer, "n1")], &[]), None);
}

#[test]
fn a_walk_reaches_what_a_transitive_closure_reaches() {
    let mut dice = Dice::new(7);
    for _ in 0..200 {
        let count = 2 + dice.below(12);
        let parts: Vec<(String, &str, String)> = (0..1 + dice.below(16))
            .map(|k| {
                let (a, b) = (dice.below(count), dice.below(count));
                let across = format!("across = [\"n{a}\", \"n{b}\"]");
                match dice.below(3) {
                    0 => (format!("W{k}"), "wire", across),
                    1 => (format!("F{k}"), "fuse", format!("{across}\ncurrent = \"1 A\"")),
                    _ => (format!("R{k}"), "resistor", format!("{across}\nresistance = \"1 Ω\"")),
                }
            })
            .collect();
        let parts: Vec<(&str, &str, &str)> = parts.iter().map(|(n, k, v)| (n.as_str(), *k, v.as_str())).collect();
        let jig = jig(TURNS, &parts, "");
        let nets = Nets::of(&jig);
        // Warshall's closure over wires and fuses.
        let mut joined = vec![vec![false; nets.count()]; nets.count()];
        (0..nets.count()).for_each(|n| joined[n][n] = true);
        for part in jig.parts.iter().filter(|p| ["wire", "fuse"].contains(&p.kind.word())) {
            let ends = part.kind.terminals();
            (joined[ends[0]][ends[1]], joined[ends[1]][ends[0]]) = (true, true);
        }
        for via in 0..nets.count() {
            for a in 0..nets.count() {
                for b in 0..nets.count() {
                    joined[a][b] |= joined[a][via] && joined[via][b];
                }
            }
        }
        let groups = nets.groups(&Edge::is_hard);
        for (a, from_a) in joined.iter().enumerate() {
            let reached = nets.walk(&[a], &Edge::is_hard).reached();
            for (b, wanted) in from_a.iter().enumerate() {
                assert_eq!(reached.has(b), *wanted, "{a} to {b}: {parts:?}");
                assert_eq!(groups.same(a, b), *wanted, "{a} and {b}: {parts:?}");
            }
        }
    }
}

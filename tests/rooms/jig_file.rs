//! The jig file as a whole: what is read, what is refused and in which words.
#![allow(clippy::unwrap_used)]

use crate::part::{Capacitor, Fuse, Neon, Resistor, Switch, Transformer};
use std::path::PathBuf;

use crate::files::{self, Existing, Readers};
use crate::jig::write::Text;
use crate::jig::{
    self, Arrangement, CapClass, Class, Grade, InputError, Jig, LoadKind, Mains, Material, NET_L, NET_PE, OpensWith,
    PartKind, Plug, Side, SwitchContacts, Usage,
};
use crate::standard::{LampRow, Tables};

fn example(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "jigs", name].iter().collect()
}

fn text(name: &str) -> String {
    std::fs::read_to_string(example(name)).unwrap()
}

fn told(faults: &[InputError]) -> String {
    faults.iter().map(InputError::to_string).collect::<Vec<_>>().join("\n")
}

fn good(name: &str) -> Jig {
    jig::read(&example(name)).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn kind<'j>(jig: &'j Jig, name: &str) -> &'j PartKind {
    &jig.parts.iter().find(|part| part.name == name).unwrap().kind
}

fn net(jig: &Jig, name: &str) -> usize {
    jig.nets.iter().position(|net| net.name == name).unwrap()
}

/// Line (from 1) and column of the first place after `from` where `what` stands.
fn find(text: &str, from: &str, what: &str) -> (u32, u32) {
    let start = text.find(from).unwrap();
    let at = start + text[start..].find(what).unwrap();
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap().chars().count() + 1;
    (line.try_into().unwrap(), column.try_into().unwrap())
}

#[test]
fn the_wand_is_read_as_it_is_written() {
    let jig = good("wand.toml");
    assert_eq!((jig.name.as_str(), jig.unit.as_str(), jig.usage), ("Neon strobe wand", "strobe-lamp", Usage::HandHeld));
    let mains = jig.supply.mains.as_ref().unwrap();
    assert_eq!((mains.nominal, mains.hertz, mains.arrangement), (230.0, 50.0, Arrangement::LineNeutral));
    assert_eq!(jig.supply.plug.as_ref().unwrap().letter, "C");
    assert!(!jig.supply.fixed);
    let cord = jig.supply.cord.as_ref().unwrap();
    assert_eq!(
        (cord.area, cord.length, cord.cores, cord.strain_relief),
        (Some(0.75e-6), Some(2.0), Some(2), Some(true))
    );
    assert_eq!((jig.supply.breaker, jig.supply.rcd, jig.supply.plug_fuse), (Some(16.0), Some(Some(0.03)), None));
    assert_eq!((jig.enclosure.material, jig.enclosure.class), (Some(Material::Insulating), Some(Class::II)));
    assert_eq!((jig.enclosure.size, jig.enclosure.opens_with), (Some([0.16, 0.03, 0.03]), Some(OpensWith::Tool)));
    let names: Vec<_> = jig.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["F1", "R1", "R2", "LP1"]);
    let l1 = net(&jig, "L1");
    assert_eq!(
        *kind(&jig, "F1"),
        PartKind::Fuse(Fuse {
            across: [NET_L, l1],
            current: 0.05,
            speed: Some("F".to_string()),
            voltage: Some(250.0),
            dc_voltage: None,
            breaking: Some(1500.0),
        })
    );
    assert_eq!(
        *kind(&jig, "R2"),
        PartKind::Resistor(Resistor {
            across: [net(&jig, "m"), net(&jig, "a")],
            resistance: 150e3,
            tolerance: Some(0.05),
            power: Some(0.5),
            voltage: Some(350.0),
            flameproof: false,
            place: None,
            fusible: false,
        })
    );
    let tube = net(&jig, "TUBE");
    assert_eq!(jig.insulations[0].between, [Side::Mains, Side::Net(tube)]);
    assert_eq!((jig.insulations[0].grade, jig.insulations[0].clearance), (Grade::Reinforced, Some(0.006)));
    assert_eq!((jig.touchables[0].name.as_str(), jig.touchables[0].net), ("wand tube end cap", tube));
    assert_eq!((jig.accepts[0].check.as_str(), jig.accepts[0].until.as_str()), ("single-pole-fuse", "2027-12-31"));
    // The plug is an end of L, N and PE; a net only touched is not loose.
    let ends: Vec<_> = ["L", "N", "PE", "L1", "m", "a", "TUBE"].map(|name| jig.nets[net(&jig, name)].ends).into();
    assert_eq!(ends, [2, 2, 1, 2, 2, 2, 1]);
    assert_eq!(jig.loose_nets(), Vec::<usize>::new());
    assert_eq!(jig.nets[NET_PE].name, "PE");
}

/// The sum was taken by the system's own `sha256sum tests/jigs/probe.toml`.
#[test]
fn the_sum_is_of_the_bytes() {
    let wanted = "403e94f914ce815345c73b27daa7341fca23aad9fff50cf52f32483668aa76f1";
    assert_eq!(good("probe.toml").sha256, wanted);
}

#[test]
fn a_tool_without_mains_has_ordinary_nets() {
    let jig = good("probe.toml");
    assert_eq!((&jig.supply.mains, &jig.supply.plug, jig.supply.fixed), (&None, &None, false));
    let PartKind::Capacitor(Capacitor { charged, polarised, dc_voltage, .. }) = kind(&jig, "C9") else { panic!() };
    assert_eq!((*charged, *polarised, *dc_voltage), (Some(400.0), Some(true), Some(450.0)));
    assert_eq!(jig.nets[NET_L].ends, 0);
}

#[test]
fn every_kind_and_key_is_read() {
    let jig = good("everything.toml");
    let mains = jig.supply.mains.as_ref().unwrap();
    assert_eq!((mains.row.as_str(), mains.label.as_str()), ("", "115 V 60 Hz"));
    assert!((mains.low - 103.5).abs() < 1e-9 && (mains.high - 126.5).abs() < 1e-9);
    assert_eq!((jig.supply.fixed, jig.supply.rcd, jig.supply.plug_fuse), (true, Some(None), Some(3.0)));
    let PartKind::Capacitor(Capacitor { class, .. }) = kind(&jig, "C1") else { panic!() };
    assert_eq!(*class, Some(CapClass::X2));
    let PartKind::Switch(Switch { contacts: SwitchContacts::Positions(positions), .. }) = kind(&jig, "S2") else {
        panic!()
    };
    let (a, b, p) = (net(&jig, "a"), net(&jig, "b"), net(&jig, "p"));
    let wanted = [("low", vec![[a, b]]), ("high", vec![[a, p]]), ("off", vec![])];
    assert_eq!(*positions, wanted.map(|(name, contacts)| (name.to_string(), contacts)));
    let PartKind::Transformer(Transformer { primary, secondaries, insulation, power, .. }) = kind(&jig, "T1") else {
        panic!()
    };
    assert_eq!((primary.name.as_str(), primary.volts), ("primary", 115.0));
    let names: Vec<_> = secondaries.iter().map(|winding| (winding.name.as_str(), winding.volts)).collect();
    assert_eq!(names, [("secondary", 12.0), ("secondary2", 6.3)]);
    assert_eq!((*insulation, *power), (Some(Grade::Reinforced), Some(20.0)));
    let loads: Vec<_> = jig.outlets[0].loads.iter().map(|load| (load.label.as_str(), load.kind)).collect();
    assert_eq!(
        loads,
        [
            ("open", LoadKind::Open),
            ("short", LoadKind::Short),
            ("100 W", LoadKind::Power(100.0)),
            ("10 kΩ", LoadKind::Resistance(10e3)),
            ("100 uF charged 400 V", LoadKind::Charged(100e-6, 400.0)),
        ]
    );
    assert_eq!(jig.outlets[1].loads[0].kind, LoadKind::Open);

    // Every kind is there, with every key the schema knows: a key nobody could write would be found here.
    let schema = jig::schema();
    let tree: toml::Table = text("everything.toml").parse().unwrap();
    let parts: Vec<_> = tree["part"].as_table().unwrap().values().map(|part| part.as_table().unwrap()).collect();
    for (kind, definition) in schema["$defs"].as_object().unwrap() {
        let of_kind: Vec<_> = parts.iter().filter(|part| part["kind"].as_str() == Some(kind)).collect();
        assert!(jig.parts.iter().any(|part| part.kind.word() == kind), "no {kind} was built");
        for key in definition["properties"].as_object().unwrap().keys() {
            let lamp_table_gives = kind == "neon-lamp";
            assert!(lamp_table_gives || of_kind.iter().any(|part| part.contains_key(key)), "{kind} {key} is untried");
        }
    }
}

#[test]
fn places_are_those_of_the_text() {
    let source = text("wand.toml");
    let jig = good("wand.toml");
    let place = |p: jig::Place| (p.line, p.column);
    let r1 = jig.parts.iter().find(|part| part.name == "R1").unwrap();
    assert_eq!(place(r1.place), find(&source, "[part.R1]", "["));
    assert_eq!(place(r1.place_of("resistance")), find(&source, "[part.R1]", "resistance"));
    assert_eq!(place(r1.place_of("fusible")), place(r1.place));
    assert_eq!(place(jig.places["supply"]), find(&source, "[supply]", "["));
    assert_eq!(place(jig.places["supply.plug"]), find(&source, "[supply]", "plug"));
    assert_eq!(place(jig.places["supply.cord.cores"]), find(&source, "[supply]", "cores"));
    assert_eq!(place(jig.touchables[0].place), find(&source, "[[touchable]]", "["));
    assert_eq!(place(jig.nets[net(&jig, "m")].place), find(&source, "[part.R1]", "\"m\""));
    assert_eq!(place(jig.nets[NET_PE].place), (1, 1));

    // A mark at the start and the line ends of another system move nothing.
    let crlf = format!("\u{feff}{}", source.replace('\n', "\r\n"));
    let again = jig::parse("wand.toml", crlf.as_bytes()).unwrap();
    assert_eq!(again.places, jig.places);
    let parts = |jig: &Jig| jig.parts.iter().map(|part| (part.place, part.places.clone())).collect::<Vec<_>>();
    assert_eq!(parts(&again), parts(&jig));
}

#[test]
fn a_misspelt_net_is_loose_and_suggested() {
    let source = text("wand.toml").replacen("across = [\"L1\", \"m\"]", "across = [\"L 1\", \"m\"]", 1);
    let jig = jig::parse("wand.toml", source.as_bytes()).unwrap();
    let loose: Vec<_> = jig.loose_nets().into_iter().map(|id| jig.nets[id].name.as_str()).collect();
    assert_eq!(loose, ["L1", "L 1"]);
    assert_eq!(jig::suggest_net(&jig, "L 1"), Some("L1"));
    assert_eq!(jig::suggest_net(&jig, "m"), None);
}

/// Tables of this test's own, so that what comes from a table is told apart from what the file says.
struct Bench;

impl Tables for Bench {
    fn supply(&self, text: &str) -> Result<Mains, Vec<String>> {
        let mains = Mains {
            label: text.to_string(),
            row: "here".to_string(),
            low: 90.0,
            nominal: 100.0,
            high: 110.0,
            hertz: 50.0,
            arrangement: Arrangement::LineLine { to_earth: 50.0 },
            source: "test".to_string(),
        };
        if text == "100 V 50 Hz" { Ok(mains) } else { Err(vec!["100 V 50 Hz".to_string()]) }
    }

    fn plug(&self, letter: &str) -> Option<Plug> {
        (letter == "B").then(|| Plug {
            letter: letter.to_string(),
            row: "b".to_string(),
            line_pin_assured: true,
            reversible: false,
            earth: true,
            rated_a: 15.0,
            rated_v: 125.0,
            north_american: true,
            fused: false,
            source: "test".to_string(),
        })
    }

    fn lamp(&self, type_: &str) -> Result<LampRow, Vec<String>> {
        let row = LampRow {
            strike: 90.0,
            strike_max: 90.0,
            maintain: 60.0,
            current: 0.6e-3,
            max_current: None,
            slope: Some(2e3),
        };
        if type_ == "Q7" { Ok(row) } else { Err(vec!["Q7".to_string()]) }
    }
}

fn with_lamp(keys: &str) -> Result<Jig, Vec<InputError>> {
    let text = format!(
        "format = 1\n[jig]\nname = \"x\"\nuse = \"bench\"\n[supply]\nsystem = \"100 V 50 Hz\"\nplug = \"B\"\n\
         [part.LP1]\nkind = \"neon-lamp\"\nacross = [\"L\", \"N\"]\n{keys}"
    );
    jig::parse_with("lamp.toml", text.as_bytes(), &Bench)
}

#[test]
fn a_lamp_takes_from_its_type_what_the_file_does_not_say() {
    type Lamp = (f64, Option<f64>, f64, Option<f64>, Option<f64>, Option<f64>);
    let lamp = |keys: &str| -> Lamp {
        let jig = with_lamp(keys).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        match &jig.parts[0].kind {
            PartKind::Neon(Neon { strike, strike_max, maintain, slope, current, max_current, .. }) => {
                (*strike, *strike_max, *maintain, *slope, *current, *max_current)
            }
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(lamp("type = \"Q7\""), (90.0, Some(90.0), 60.0, Some(2e3), Some(0.6e-3), None));
    assert_eq!(lamp("type = \"Q7\"\nstrike = \"70 V\"").0, 70.0);
    assert_eq!(lamp("type = \"Q7\"\nstrike = \"70 V\"").1, Some(90.0));
    assert_eq!(lamp("type = \"Q7\"\nstrike = \"120 V\"").1, Some(120.0));
    assert_eq!(lamp("type = \"Q7\"\nmax-current = \"1 mA\"\nslope = \"5 kΩ\""), {
        (90.0, Some(90.0), 60.0, Some(5e3), Some(0.6e-3), Some(1e-3))
    });
    assert_eq!(lamp("strike = \"85 V\"\nmaintain = \"60 V\""), (85.0, None, 60.0, None, None, None));
    // A wrong key never falls back to the table unseen.
    assert_eq!(told(&with_lamp("type = \"Q7\"\nmaintain = \"60\"").unwrap_err()), {
        "lamp.toml:12:12: error: \"60\" has no unit; write \"60 V\""
    });
}

#[test]
fn a_new_file_reads_back() {
    let text = Text::new()
        .comment("Neon wand\nfirst draft")
        .section("jig")
        .key("name", "Wand \"two\" \\ é")
        .key("use", "hand-held")
        .section("supply")
        .key_with("system", "230 V 50 Hz", "brings the tolerance")
        .key("plug", "C")
        .table("cord", &[("cores", "2".to_string()), ("strain-relief", "true".to_string())])
        .comment("the dropper")
        .section("part.R 1")
        .key("kind", "resistor")
        .list("across", &["L", "a"])
        .key("resistance", "150 kΩ")
        .flag("flameproof", true)
        .section("part.S1")
        .key("kind", "switch")
        .pairs("poles", &[["a", "N"]])
        .section("part.LED1")
        .key("kind", "led")
        .list("across", &["a", "N"])
        .key("forward", "2 V")
        .count("series", 3)
        .another("touchable")
        .key("name", "cap")
        .key("net", "a")
        .finish();
    let jig = jig::parse("new.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{}\n{text}", told(&faults)));
    assert_eq!(jig.name, "Wand \"two\" \\ é");
    assert_eq!(jig.parts.iter().map(|part| part.name.as_str()).collect::<Vec<_>>(), ["R 1", "S1", "LED1"]);
    assert!(text.starts_with("format = 1\n\n# Neon wand\n# first draft\n[jig]\nname = "), "{text}");
    assert!(
        text.contains("\nplug = \"C\"\ncord = { cores = 2, strain-relief = true }\n\n# the dropper\n[part.\"R 1\"]\n")
    );

    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new.toml");
    let write =
        |path: &std::path::Path, text: &str, existing| files::write(path, text.as_bytes(), existing, Readers::Anyone);
    write(&path, &text, Existing::Kept).unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    let refused = write(&path, "other", Existing::Kept).unwrap_err();
    assert_eq!(refused.kind(), std::io::ErrorKind::AlreadyExists);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    write(&path, "other", Existing::Replaced).unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "other");
    assert!(write(&folder.path().join("no/such/folder.toml"), "x", Existing::Kept).is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "a temporary file is left behind");
}

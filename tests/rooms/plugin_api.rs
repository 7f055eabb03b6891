//! plugins/api.lua against the host: every function and every row that a script meets on real jigs is annotated, with the
//! right type, and everything annotated is really there. The annotations are read here, by a reader of this test.
#![allow(missing_docs, clippy::unwrap_used)]

use super::plugins;
use super::plugins::subject;
use super::program::root;
use crate::plugin::facts;
use crate::plugin::view::{FIELDS, GLOBALS, METHODS};
use crate::plugin::vm::{Bounds, Failed};
use crate::plugin::what_if::Subject;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::Arc;

const MANIFEST: &str = r#"
id = "dump"
version = "1.0.0"
api = 1
title = "Rows"
about = "Tells the keys of every row."
units = ["any"]
author = "nobody"
licence = "MIT"
sources = []
[checks.row]
title = "A row"
limit = "1 V"
source = "common practice"
why = "None."
"#;

/// Tells each row as its class and its keys with their types.
const DUMP: &str = r#"
local out, seen = {}, {}
local function row(class, r)
  local keys = {}
  for k, v in r do keys[#keys + 1] = k .. ":" .. type(v) end
  table.sort(keys)
  local text = class .. " " .. table.concat(keys, " ")
  if not seen[text] then
    seen[text] = true
    out[#out + 1] = notice{ check = "row", message = text, remedy = "none" }
  end
end
local function state(s)
  for _, p in s.parts do row("PartState", p) end
  for _, n in s.nets do row("NetState", n) end
  for _, t in s.touch do row("TouchState", t) end
  for _, o in s.outlets do row("OutletState", o) end
  for _, b in s.between do row("BetweenState", b) end
  if s.held then row("HeldState", s.held) end
end
return { check = function(jig)
  row("Supply", jig.supply)
  if jig.supply.cord then row("Cord", jig.supply.cord) end
  row("Enclosure", jig.enclosure)
  row("Jig", { name = jig.name, unit = jig.unit, use = jig.use, supply = jig.supply, enclosure = jig.enclosure, settings = jig.settings })
  for _, p in jig:parts() do
    row("Part", p)
    for _, x in p.positions or {} do row("Position", x) end
    if p.primary then row("Winding", p.primary) end
    for _, w in p.secondaries or {} do row("Winding", w) end
    for _, q in { "power", "voltage_rms", "current_peak" } do
      local s = jig:stress(p.name, q)
      if s then row("Stress", s) end
    end
    local l = jig:lamp(p.name)
    if l then row("Lamp", l) end
    if l and jig.supply.mains then row("Ring", jig:ring{ lamps = { p.name }, bars = 180, rpm = 33.3 }) end
  end
  for _, n in jig:nets() do row("Net", n) end
  row("Divider", jig:divider("L", "N"))
  row("Ring", jig:ring(180, 33.3, 100))
  for _, o in jig:outlets() do
    row("Outlet", o)
    for _, l in o.values do
      row("Load", l)
      if l.kind == "charged" then
        local d = jig:put_on{ loads = { [o.name] = l.label }, seconds = 1, between = { o.across } }
        row("Discharge", d)
        for _, p in d.parts do row("Taken", p) end
      end
    end
  end
  for _, t in jig:touchables() do
    row("Touchable", t)
    for _, n in jig:nets() do
      local i = jig:insulation(n.name, t.net)
      if i then row("Insulation", i) end
    end
    local x = jig:touch(t.name)
    if x then row("Touch", x) end
  end
  row("Finding", notice{ check = "row", message = "a", remedy = "b" })
  if SOLVE then
    for _, f in jig:faults() do
      local held = if jig:touchables()[1] then jig:touchables()[1].net else nil
      local s = jig:solve{ faults = { f }, between = { { "L", "N" } }, hold = held, waves = { jig:parts()[1].items[1] } }
      row("Solution", s)
      state(s)
      for _, o in s.opens do row("Opening", o) end
      if s.after then row("State", s.after); state(s.after) end
    end
  end
  return out
end }
"#;

fn run(source: &str, subject: &Arc<Subject>) -> Result<Vec<String>, Failed> {
    // Not its bounds are tried here, but everything it can see.
    let limits = Bounds { milliseconds: 60_000, ..Bounds::default() };
    plugins::run(&plugins::plugin(MANIFEST, source), subject, limits)
        .map(|f| f.into_iter().map(|f| f.message).collect())
}

#[derive(Default)]
struct Class {
    /// Type and whether it may be missing, by field.
    fields: BTreeMap<String, (String, bool)>,
}

#[derive(Default)]
struct Annotations {
    classes: BTreeMap<String, Class>,
    /// Parameters by function; a method as `Jig:name`.
    functions: BTreeMap<String, Vec<String>>,
}

fn annotations() -> Annotations {
    let text = std::fs::read_to_string(root().join("plugins/api.lua")).unwrap();
    assert!(text.starts_with("---@meta\n"));
    let mut out = Annotations::default();
    let (mut class, mut params) = (String::new(), vec![]);
    for line in text.lines() {
        if let Some(rest) = line.strip_prefix("---@class ") {
            class = rest.trim().to_string();
            assert!(out.classes.insert(class.clone(), Class::default()).is_none(), "{class} twice");
        } else if let Some(rest) = line.strip_prefix("---@field ") {
            let mut words = rest.split(' ');
            let name = words.next().unwrap();
            let kind = words.next().unwrap();
            // table<string, X> holds a blank.
            let kind = if kind.ends_with(',') { "table" } else { kind };
            let fields = &mut out.classes.get_mut(&class).unwrap().fields;
            let entry = (kind.to_string(), name.ends_with('?'));
            assert!(fields.insert(name.trim_end_matches('?').into(), entry).is_none(), "{class}.{name} twice");
        } else if let Some(rest) = line.strip_prefix("---@param ") {
            params.push(rest.split(' ').next().unwrap().trim_end_matches('?').to_string());
        } else if let Some(rest) = line.strip_prefix("function ") {
            let (name, rest) = rest.split_once('(').unwrap();
            let list: Vec<String> =
                rest.strip_suffix(") end").unwrap().split(", ").filter(|p| !p.is_empty()).map(str::to_string).collect();
            assert_eq!(list, params, "{name}: its parameters and their annotations");
            assert!(out.functions.insert(name.into(), std::mem::take(&mut params)).is_none(), "{name} twice");
        }
    }
    out
}

fn lua_type(annotated: &str) -> &str {
    match annotated {
        "string" | "number" | "boolean" => annotated,
        _ => "table",
    }
}

fn names(list: &[&str]) -> BTreeSet<String> {
    list.iter().map(|n| n.to_string()).collect()
}

#[test]
fn functions_of_the_host_and_of_the_annotations_are_the_same() {
    let a = annotations();
    let methods: BTreeSet<String> =
        a.functions.keys().filter_map(|n| n.strip_prefix("Jig:")).map(str::to_string).collect();
    let globals: BTreeSet<String> = a.functions.keys().filter(|n| !n.contains(':')).cloned().collect();
    assert_eq!(methods, names(METHODS));
    assert_eq!(globals, names(GLOBALS));
    assert_eq!(a.classes["Jig"].fields.keys().cloned().collect::<BTreeSet<_>>(), names(FIELDS));
    // And the host's lists are what a script really meets: each is there, nothing else is.
    let subject = subject(&root().join("demo-data/neon-wand-230v.toml"));
    let script = |body: &str| format!("return {{ check = function(jig) {body} end }}");
    for name in METHODS {
        run(&script(&format!("assert(type(jig.{name}) == 'function')")), &subject).unwrap();
    }
    for name in GLOBALS {
        run(&script(&format!("assert(type({name}) == 'function', '{name}')")), &subject).unwrap();
    }
}

#[test]
fn names_that_are_handed_in_are_those_the_host_knows() {
    let a = annotations();
    let subject = subject(&root().join("demo-data/neon-wand-230v.toml"));
    // The host lists what it knows when it refuses a name.
    for (call, class) in [
        ("notice{ zzz = 1 }", "FindingFields"),
        ("jig:solve{ zzz = 1 }", "Wish"),
        ("jig:reach{ zzz = 1 }", "Reach"),
        ("jig:put_on{ zzz = 1 }", "PutOn"),
        ("jig:ring{ zzz = 1 }", "RingWish"),
    ] {
        let failed = run(&format!("return {{ check = function(jig) {call} end }}"), &subject).unwrap_err();
        let (_, known) = failed.message.rsplit_once(": ").unwrap();
        let known: BTreeSet<String> = known.split(", ").map(str::to_string).collect();
        assert_eq!(a.classes[class].fields.keys().cloned().collect::<BTreeSet<_>>(), known, "{class}");
    }
    // Those that are not optional are asked for.
    let needed = a.classes["FindingFields"].fields.iter().filter(|(_, f)| !f.1).map(|(n, _)| n.clone());
    for missing in needed {
        let all = [("check", "'row'"), ("message", "'m'"), ("remedy", "'r'")];
        let rest: Vec<String> = all.iter().filter(|(k, _)| *k != missing).map(|(k, v)| format!("{k} = {v}")).collect();
        assert_eq!(rest.len(), 2, "{missing}");
        let source = format!("return {{ check = function(jig) notice{{ {} }} end }}", rest.join(", "));
        let failed = run(&source, &subject).unwrap_err();
        assert!(failed.message.contains(&format!("needs a {missing}")), "{failed:?}");
    }
}

#[test]
fn a_field_may_be_missing_where_it_is_annotated_so_and_is_an_error_elsewhere() {
    let a = annotations();
    let classes =
        ["Supply", "Enclosure", "Part", "Net", "Outlet", "Touchable", "Insulation", "Stress", "Touch", "Lamp", "Ring"];
    for class in classes {
        let word = class.to_lowercase();
        let annotated = a.classes[class].fields.iter();
        let may: BTreeSet<String> = annotated.filter(|(_, f)| f.1).map(|(n, _)| n.clone()).collect();
        assert_eq!(names(facts::optional(&word)), may, "{class}");
    }
    let subject = subject(&root().join("demo-data/neon-wand-230v.toml"));
    for (row, slip, near) in [
        ("jig.supply", "frequencey", "the supply has no \"frequencey\"; near is frequency"),
        ("jig.enclosure", "opens-with", "the enclosure has no \"opens-with\"; near is opens_with"),
        ("jig.settings", "wat", "plugin.toml has no \"wat\""),
        ("jig:part('R1')", "resistence", "a part has no \"resistence\"; near is resistance"),
        ("jig:nets()[1]", "main", "a net has no \"main\"; near is mains"),
        ("jig:touchables()[1]", "nets", "a touchable has no \"nets\"; near is net"),
        ("jig:stress('R1', 'power')", "worst", "a row of jig:stress has no \"worst\""),
        ("jig:lamp('LP1')", "flashes", "a lamp has no \"flashes\""),
        ("jig:touch('wand tube')", "current", "a row of jig:touch has no \"current\""),
        ("jig:divider('L', 'N')", "ohms", "a row of jig:divider has no \"ohms\""),
        ("jig:ring(180, 33, 100)", "stil", "a row of jig:ring has no \"stil\"; near is still"),
    ] {
        let failed = run(&format!("return {{ check = function(jig) local x = {row}['{slip}'] end }}"), &subject);
        let failed = failed.unwrap_err();
        assert!(failed.message.contains(near), "{row}: {failed:?}");
    }
    for missing in
        ["jig.supply.rcd", "jig:part('LP1').power", "jig:stress('F1', 'power').rating", "jig.supply.plug_fuse"]
    {
        run(&format!("return {{ check = function(jig) assert({missing} == nil, [[{missing}]]) end }}"), &subject)
            .unwrap();
    }
}

fn jigs() -> Vec<(PathBuf, bool)> {
    let mut out = vec![];
    for name in ["neon-wand-230v", "capacitor-led-230v", "series-lamp-limiter-230v", "isolated-supply-230v"] {
        out.push((
            root().join(format!("demo-data/{name}.toml")),
            name.starts_with("series") || name.starts_with("neon"),
        ));
    }
    out.push((root().join("demo-data/discharge-probe.toml"), false));
    for name in ["rows", "bench-lamp", "test-outlet", "variable-supply-no-rcd", "wand"] {
        out.push((root().join(format!("tests/jigs/{name}.toml")), false));
    }
    out
}

#[test]
fn rows_have_the_fields_that_are_annotated_and_no_others() {
    let a = annotations();
    let mut met: BTreeSet<(String, String)> = BTreeSet::new();
    for (path, solve) in jigs() {
        let source = format!("local SOLVE = {solve}\n{DUMP}");
        let rows = run(&source, &subject(&path)).unwrap_or_else(|f| panic!("{}: {f:?}", path.display()));
        assert!(rows.len() > 5, "{}: {rows:?}", path.display());
        for row in rows {
            let mut words = row.split(' ');
            let class = words.next().unwrap();
            let annotated = &a.classes.get(class).unwrap_or_else(|| panic!("{class} is not annotated")).fields;
            let mut here = BTreeSet::new();
            for word in words.filter(|w| !w.is_empty()) {
                let (key, kind) = word.rsplit_once(':').unwrap();
                let known = annotated.get(key).unwrap_or_else(|| panic!("{class}.{key} is not annotated ({row})"));
                assert_eq!(lua_type(&known.0), kind, "{class}.{key}");
                met.insert((class.into(), key.into()));
                here.insert(key.to_string());
            }
            for (key, (_, optional)) in annotated {
                assert!(*optional || here.contains(key), "{class}.{key} is missing in {row}");
            }
        }
    }
    let mut never = vec![];
    for (class, c) in
        a.classes.iter().filter(|(n, _)| !["Wish", "Reach", "PutOn", "RingWish", "FindingFields"].contains(&n.as_str()))
    {
        never.extend(
            c.fields.keys().filter(|k| !met.contains(&(class.clone(), k.to_string()))).map(|k| format!("{class}.{k}")),
        );
    }
    assert!(never.is_empty(), "annotated and never met: {never:?}");
}

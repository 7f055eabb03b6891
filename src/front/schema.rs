//! The JSON Schema of the jig file with the names that editors offer: of supplies, plugs, lamps and units. Other words stay
//! allowed, since the reader takes more spellings than a list has. Judges nothing.

use crate::jig;
use crate::plugin::Loaded;
use crate::sharing::{Day, Sources};
use crate::sizing::units;
use crate::standard::{bench, lamp, plug, supply};
use serde_json::{Value, json};

/// The schema.
pub(crate) fn schema() -> Value {
    let mut schema = jig::schema();
    let section = |section: &str, key: &str| format!("/properties/{section}/properties/{key}");
    let mut systems = supply::known();
    systems.push("none".into());
    offer(&mut schema, &section("supply", "system"), systems);
    let letters = bench::plug_choice().iter().map(|choice| choice.id.clone());
    let plugs = letters.chain(["fixed".into()]).chain(plug::plug_rows().iter().map(|row| row.id.clone()));
    offer(&mut schema, &section("supply", "plug"), plugs.collect());
    offer(&mut schema, &section("jig", "unit"), unit_names());
    let lamps = lamp::neon_lamp().iter().map(|row| row.id.clone());
    offer(&mut schema, "/$defs/neon-lamp/properties/type", lamps.collect());
    schema
}

/// Units that plugins of this program look at, and those to begin from.
fn unit_names() -> Vec<String> {
    let shipped = Sources::default().all(Day::today()).unwrap_or_default();
    let ready = shipped.iter().filter_map(|k| if let Loaded::Ready(p) = &k.plugin { Some(p) } else { None });
    let mut names: Vec<String> = ready.flat_map(|p| p.manifest.units.clone()).collect();
    names.extend(units().map(|unit| unit.name.to_string()));
    names.push("none".into());
    names.sort();
    names.dedup();
    names
}

/// Offers names at a place that takes text.
fn offer(schema: &mut Value, place: &str, names: Vec<String>) {
    let Some(key) = schema.pointer_mut(place).and_then(Value::as_object_mut) else { return };
    let any = json!({ "type": key.remove("type"), "pattern": key.remove("pattern") });
    key.insert("anyOf".into(), json!([{ "enum": names }, any]));
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::schema;

    #[test]
    fn editors_are_offered_what_may_be_named() {
        let schema = schema();
        for (place, name) in [
            ("/properties/supply/properties/system", "230 V 50 Hz"),
            ("/properties/supply/properties/plug", "F"),
            ("/properties/jig/properties/unit", "bench-supply"),
            ("/$defs/neon-lamp/properties/type", "A1A"),
        ] {
            let offered = schema.pointer(&format!("{place}/anyOf/0/enum")).unwrap();
            assert!(offered.as_array().unwrap().iter().any(|n| n == name), "{place}");
        }
        assert!(jsonschema::meta::is_valid(&schema));
        // A spelling that no list has.
        let validator = jsonschema::draft202012::options().build(&schema).unwrap();
        let text = include_str!("../../demo-data/neon-wand-230v.toml");
        let jig = |system: &str| text.replace("230 V 50 Hz", system).parse::<toml::Table>().unwrap();
        for system in ["230 V 50 Hz", "230v50hz"] {
            assert!(validator.is_valid(&serde_json::to_value(jig(system)).unwrap()), "{system}");
        }
        assert!(!validator.is_valid(&serde_json::to_value(jig(" ")).unwrap()));
    }
}

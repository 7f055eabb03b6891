//! The JSON Schema of the format, made from the one description in `format`, for editors. Must not know how a file is
//! read.

use serde_json::{Map, Value, json};

use super::bounds::{LONGEST_NAME, LONGEST_TEXT, MOST_OF_A_PART, MOST_OUTLETS, MOST_PARTS, most_rows};
use super::sections::{FORMAT, MAINS, REPEATED, SINGLE, TOP_NEEDED};
use crate::format::{COLOUR_JOINTS, COLOURS, Choice, Holds, Key, Section};
use crate::part::SECTIONS;
use crate::quantity::Kind;

const WHAT_A_NET_IS: &str = "A net is everything that one piece of wire joins, by a name of your own; L and N are the two pins of the plug, PE its earth contact.";

/// The JSON Schema (draft 2020-12) of the jig file, with the meaning of every key.
pub(crate) fn schema() -> Value {
    let mut top = Map::new();
    top.insert("format".into(), json!({ "const": FORMAT, "description": "The format's number." }));
    for section in SINGLE {
        top.insert(section.name.into(), object(section, None));
    }
    let kinds: Vec<Value> = SECTIONS.iter().map(|part| json!({ "$ref": format!("#/$defs/{}", part.name) })).collect();
    top.insert(
        "part".into(),
        json!({
            "type": "object",
            "description": "The parts, each as [part.NAME].",
            "minProperties": 1,
            "maxProperties": MOST_PARTS,
            "propertyNames": { "pattern": "^[^.]+$", "maxLength": LONGEST_NAME },
            "additionalProperties": { "oneOf": kinds },
        }),
    );
    for section in REPEATED {
        top.insert(section.name.into(), list(object(section, None), 0, most_rows(section.name)));
    }
    top.insert(
        "plugin".into(),
        json!({
            "type": "object",
            "description": "What is set for plugins, each as [plugin.ID]; the plugin says what its settings mean.",
            "additionalProperties": {
                "type": "object",
                "additionalProperties": { "type": ["string", "number", "boolean"] },
            },
        }),
    );
    let mut needed = vec!["format"];
    needed.extend(TOP_NEEDED);
    let definitions: Map<String, Value> =
        SECTIONS.iter().map(|part| (part.name.to_string(), object(part, Some(part.name)))).collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Jig file, format 1",
        "description": "One mains-powered bench tool as built. The reader checks more than a schema can say: nets, names, dates.",
        "type": "object",
        "properties": top,
        "required": needed,
        "additionalProperties": false,
        "$defs": definitions,
    })
}

fn object(section: &Section, kind: Option<&str>) -> Value {
    let mut value = keys(section.name, section.keys, section.doc);
    if let Some(kind) = kind {
        let mut properties = Map::new();
        properties.insert("kind".into(), json!({ "const": kind, "description": section.doc }));
        if let Some(rest) = value["properties"].as_object() {
            properties.extend(rest.clone());
        }
        value["properties"] = properties.into();
        if let Some(required) = value["required"].as_array_mut() {
            required.insert(0, "kind".into());
        }
    }
    if let Some(Choice { groups, exclusive }) = section.choice {
        let whole: Vec<Value> = groups.iter().map(|group| json!({ "required": group })).collect();
        value["anyOf"] = whole.into();
        if exclusive {
            let pairs: Vec<Value> = groups
                .iter()
                .enumerate()
                .flat_map(|(i, one)| groups[i + 1..].iter().flat_map(move |other| one.iter().map(move |a| (a, *other))))
                .flat_map(|(a, other)| other.iter().map(move |b| json!({ "required": [a, b] })))
                .collect();
            value["not"] = json!({ "anyOf": pairs });
        }
    }
    value
}

fn keys(section: &str, keys: &[Key], doc: &str) -> Value {
    let properties: Map<String, Value> = keys
        .iter()
        .map(|key| {
            let mut value = held(key.name, key.holds);
            if let Holds::Quantity(kind, _) = key.holds {
                value["examples"] = json!([key.usual(section, kind)]);
            }
            value["description"] = match key.holds {
                // What a net is, is asked where one is to be written.
                Holds::Ends | Holds::Net | Holds::Nets | Holds::Poles => format!("{} {WHAT_A_NET_IS}", key.doc).into(),
                _ => key.doc.into(),
            };
            (key.name.to_string(), value)
        })
        .collect();
    let required: Vec<&str> = keys.iter().filter(|key| key.needed).map(|key| key.name).collect();
    json!({
        "type": "object",
        "description": doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn quantity(kind: Kind) -> Value {
    json!({ "type": "string", "pattern": kind.pattern(), "examples": [kind.example()] })
}

fn net() -> Value {
    json!({ "type": "string", "minLength": 1, "maxLength": LONGEST_NAME, "not": { "const": MAINS } })
}

fn list(of: Value, least: usize, most: Option<usize>) -> Value {
    let mut value = json!({ "type": "array", "items": of, "minItems": least });
    if let Some(most) = most {
        value["maxItems"] = most.into();
    }
    value
}

fn held(name: &str, holds: Holds) -> Value {
    let ends = || list(net(), 2, Some(2));
    match holds {
        Holds::Quantity(kind, _) => quantity(kind),
        Holds::Text => json!({ "type": "string", "pattern": r"\S", "maxLength": LONGEST_TEXT }),
        Holds::Word(words) => json!({ "type": "string", "enum": words }),
        Holds::Colour => {
            let words: Vec<&str> = COLOURS.iter().chain(COLOUR_JOINTS).copied().collect();
            let one = words.join("|");
            json!({ "type": "string", "pattern": format!("^({one})([ /-]+({one}))*$"), "examples": ["brown", "green-yellow"] })
        }
        Holds::Flag => json!({ "type": "boolean" }),
        Holds::Count(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Holds::Share => json!({ "type": "number", "exclusiveMinimum": 0, "maximum": 1 }),
        Holds::Net => net(),
        Holds::Ends => ends(),
        Holds::Poles => list(ends(), 1, Some(MOST_OF_A_PART)),
        Holds::Nets => list(net(), 1, Some(MOST_OF_A_PART)),
        Holds::Positions => {
            json!({ "type": "object", "minProperties": 1, "maxProperties": MOST_OF_A_PART,
                "additionalProperties": list(ends(), 0, Some(MOST_OF_A_PART)) })
        }
        Holds::Date => json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "format": "date" }),
        Holds::Table(inner) => keys(name, inner, ""),
        Holds::Tables(inner) => {
            json!({ "oneOf": [keys(name, inner, ""), list(keys(name, inner, ""), 1, Some(MOST_OF_A_PART))] })
        }
        Holds::Loads => {
            let strip = |kind: Kind| kind.pattern().trim_start_matches('^').trim_end_matches('$').to_string();
            let charged = format!("^{}\\s+charged\\s+{}$", strip(Kind::Capacitance), strip(Kind::Voltage));
            let load = json!({ "type": "string", "anyOf": [
                { "enum": ["open", "short"] },
                { "pattern": Kind::Power.pattern() },
                { "pattern": Kind::Resistance.pattern() },
                { "pattern": charged },
            ] });
            list(load, 1, Some(MOST_OUTLETS))
        }
        Holds::Sides => list(json!({ "type": "string", "minLength": 1, "maxLength": LONGEST_NAME }), 2, Some(2)),
        Holds::Size => list(quantity(Kind::Length), 3, Some(3)),
        Holds::Residual => json!({ "anyOf": [{ "const": "none" }, quantity(Kind::Current)] }),
    }
}

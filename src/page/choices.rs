//! The tables a field can be filled from, each row with its sizes, and which answer takes which table.

use crate::catalog::{bearings, belts, cables, encoders, fasteners, materials, panel_parts};
use crate::error::{Result, number};
use crate::output::Format;
use crate::workshop;
use clap::ValueEnum;
use serde_json::{Value, json};

/// Which answer is filled from which table.
const FIELDS: [(&str, &str); 13] = [
    ("bearing", "bearings"),
    ("profile", "belts"),
    ("encoder", "encoders"),
    ("printer", "printers"),
    ("material", "materials"),
    ("shaft-material", "metals"),
    ("housing-material", "metals"),
    ("rod", "threads"),
    ("screw", "threads"),
    ("bolt-screw", "threads"),
    ("rod-class", "property-classes"),
    ("cable", "cables"),
    ("place", "panel-parts"),
];

fn row(value: impl Into<String>, says: impl Into<String>) -> Value {
    json!({ "value": value.into(), "says": says.into() })
}

/// What a preset says of itself.
fn about(text: &str) -> String {
    let table: Option<toml::Table> = toml::from_str(text).ok();
    let about = table.and_then(|table| Some(table.get("about")?.as_str()?.to_string()));
    about.unwrap_or_default()
}

/// The names of the formats a part is written in.
pub fn formats() -> impl Iterator<Item = String> {
    Format::value_variants()
        .iter()
        .filter_map(|format| Some(format.to_possible_value()?.get_name().to_string()))
}

/// All tables.
pub fn all() -> Result<Value> {
    let n = |value: f64| number(value);
    let bearings = bearings::all().map(|b| {
        row(&b.designation, format!("{} × {} × {}, {}", n(b.bore), n(b.outside), n(b.width), b.kind.name()))
    });
    let encoders = encoders::encoders().iter().map(|e| row(&e.pattern, &e.about));
    let belts = belts::profiles().iter().map(|p| row(&p.name, format!("pitch {}: {}", n(p.pitch), p.about)));
    let threads = fasteners::threads()?.iter().map(|t| {
        let turns = t.size.split_once('-').map(|(_, turns)| format!("{turns} threads an inch"));
        row(&t.size, turns.unwrap_or_else(|| format!("pitch {}", n(t.pitch))))
    });
    let cables = cables::all()?
        .iter()
        .map(|c| row(&c.designation, format!("{} to {} over its sheath: measure it", n(c.least), n(c.most))));
    let parts =
        panel_parts::all()?.iter().map(|p| row(format!("{}@0,0", p.name), format!("opening {}", n(p.width))));
    let printers = workshop::PRINTERS.iter().map(|(name, text)| row(*name, about(text)));
    let plastics = materials::EMBEDDED.iter().map(|(name, text)| row(*name, about(text)));
    let metals = materials::metals()?
        .iter()
        .map(|metal| row(&metal.name, format!("E {} GPa", n(metal.modulus / 1000.0))));
    let mut classes: Vec<_> = fasteners::property_classes()?.iter().collect();
    classes.dedup_by_key(|row| &row.class);
    let classes = classes.iter().map(|c| row(&c.class, format!("proof stress {} MPa", n(c.proof_stress))));
    Ok(json!({
        "formats": formats().collect::<Vec<_>>(),
        "fields": FIELDS.iter().map(|(key, table)| (key.to_string(), json!(table))).collect::<serde_json::Map<_, _>>(),
        "tables": {
            "bearings": bearings.collect::<Vec<_>>(),
            "belts": belts.collect::<Vec<_>>(),
            "encoders": encoders.collect::<Vec<_>>(),
            "printers": printers.collect::<Vec<_>>(),
            "materials": plastics.collect::<Vec<_>>(),
            "metals": metals.collect::<Vec<_>>(),
            "threads": threads.collect::<Vec<_>>(),
            "property-classes": classes.collect::<Vec<_>>(),
            "cables": cables.collect::<Vec<_>>(),
            "panel-parts": parts.collect::<Vec<_>>(),
        },
    }))
}

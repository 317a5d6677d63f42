//! What the person says of the hole, the sheet and the cables.

use crate::catalog::cables::{self, Group};
use crate::catalog::fasteners;
use crate::error::{Error, Result, number, within};
use crate::units::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::str::FromStr;

/// Most openings that one plate is laid out with.
pub const MOST_OPENINGS: usize = 60;

/// The hole in the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Width (x), mm; the diameter of a round one.
    pub width: f64,
    /// Height (y), mm.
    pub height: f64,
    /// Radius of the corners, mm.
    pub corner: f64,
    /// How much wider or higher a ragged hole is at its greatest, mm; the sizes above are its least.
    pub ragged: f64,
}

/// The most by which a ragged hole may vary, mm: beyond that it is another shape.
const MOST_RAGGED: f64 = 20.0;

impl Hole {
    /// Least width and height of a hole that is closed, mm: a spigot in a smaller one is no wall any more.
    pub const LEAST: f64 = 8.0;

    /// The same hole as large as the least that is closed, where it is smaller.
    pub fn enlarged(&self) -> Option<Self> {
        let grown = |mm: f64| mm.max(Self::LEAST);
        let corner = if self.is_round() { Self::LEAST / 2.0 } else { self.corner };
        let small = self.width.min(self.height) < Self::LEAST;
        small.then(|| Self {
            width: grown(self.width),
            height: grown(self.height),
            corner,
            ragged: self.ragged,
        })
    }

    /// Fails for a hole smaller than any that is closed.
    pub fn refuse_small(&self) -> Result<()> {
        match self.enlarged() {
            None => Ok(()),
            Some(_) => within("--hole", self.width.min(self.height), Self::LEAST, 600.0, "mm").map(drop),
        }
    }

    /// A hole of one size, mm.
    pub fn new(width: f64, height: f64, corner: f64) -> Self {
        Self { width, height, corner, ragged: 0.0 }
    }

    /// The hole at its greatest.
    pub fn greatest(&self) -> Self {
        let more = self.ragged;
        let corner = if self.corner > 0.0 { self.corner + more / 2.0 } else { 0.0 };
        Self::new(self.width + more, self.height + more, corner)
    }

    /// Whether it is a circle.
    pub fn is_round(&self) -> bool {
        self.width == self.height && self.corner >= self.width / 2.0
    }

    /// How a person would name it.
    pub fn words(&self) -> String {
        let range = |least: f64| match self.ragged > 0.0 {
            true => format!("{} to {}", number(least), number(least + self.ragged)),
            false => number(least),
        };
        let (w, h) = (range(self.width), range(self.height));
        if self.is_round() {
            format!("round hole of {w} mm")
        } else if self.corner >= self.width.min(self.height) / 2.0 {
            format!("obround hole of {w} x {h} mm")
        } else if self.corner > 0.0 {
            format!("hole of {w} x {h} mm with {} mm corners", number(self.corner))
        } else {
            format!("hole of {w} x {h} mm")
        }
    }
}

impl FromStr for Hole {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let wrong = |what: &str| {
            Error::request(
                format!("--hole '{text}' {what}."),
                "Give a diameter (60), a rectangle (80x40, with rounded corners 80x40:r=5), 80x40:obround, or a ragged hole's least and greatest size (62-65, 80-82x40-41).",
            )
        };
        let (size, shape) = match text.split_once(':') {
            Some((size, shape)) => (size, Some(shape.trim())),
            None => (text, None),
        };
        // Whether one so small would do is asked where it is known what goes through it.
        let length = |text: &str| match text.parse::<Length>()?.mm() {
            small if small > 0.0 && small < Self::LEAST => Ok(small),
            mm => within("--hole", mm, Self::LEAST, 600.0, "mm"),
        };
        // Least size, and how much more it is at its greatest.
        let side = |text: &str| -> Result<(f64, f64)> {
            match text.split_once(['-', '–']).filter(|(least, _)| !least.trim().is_empty()) {
                Some((least, most)) => {
                    let (least, most) = (length(least)?, length(most)?);
                    Ok((least, within("--hole, greatest less least,", most - least, 0.0, MOST_RAGGED, "mm")?))
                }
                None => Ok((length(text)?, 0.0)),
            }
        };
        let Some((width, height)) = size.split_once(['x', 'X', '×']) else {
            return match shape {
                None | Some("round") => {
                    let (diameter, ragged) = side(size)?;
                    Ok(Self { ragged, ..Self::new(diameter, diameter, diameter / 2.0) })
                }
                Some(_) => Err(wrong("is a diameter, which has no corners")),
            };
        };
        let ((width, wider), (height, higher)) = (side(width)?, side(height)?);
        let least = width.min(height);
        let corner = match shape {
            None => 0.0,
            Some("obround") => least / 2.0,
            Some(shape) => match shape.strip_prefix("r=") {
                Some(radius) => within("--hole r", radius.parse::<Length>()?.mm(), 0.0, least / 2.0, "mm")?,
                None => {
                    return Err(wrong("ends in a shape that is neither r=RADIUS nor obround"));
                }
            },
        };
        Ok(Self { ragged: wider.max(higher), ..Self::new(width, height, corner) })
    }
}

impl Serialize for Hole {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        let Self { width, height, corner, ragged } = self;
        let range = |least: &f64| match *ragged > 0.0 {
            true => format!("{least}-{}", least + ragged),
            false => least.to_string(),
        };
        match self.is_round() {
            true => serializer.collect_str(&range(width)),
            false => serializer.collect_str(&format_args!("{}x{}:r={corner}", range(width), range(height))),
        }
    }
}

impl<'de> Deserialize<'de> for Hole {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        Text::deserialize(deserializer)?.0.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Hole {
    fn schema_name() -> Cow<'static, str> {
        "Hole".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "The hole in the sheet: a diameter (60), or text such as \"80x40\", \"80x40:r=5\", \"80x40:obround\", or least and greatest of a ragged one, \"62-65\".",
            "anyOf": [{ "type": "number" }, { "type": "string" }]
        })
    }
}

/// A number or a text in a job file, as text.
struct Text(String);

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged, expecting = "expected a number or a text in quotes")]
        enum Written {
            Whole(i64),
            Number(f64),
            Text(String),
        }
        Ok(Text(match Written::deserialize(deserializer)? {
            Written::Whole(value) => value.to_string(),
            Written::Number(value) => value.to_string(),
            Written::Text(value) => value,
        }))
    }
}

/// What a cable measures, or what it is called.
#[derive(Clone, Debug, PartialEq)]
pub enum Size {
    /// Outside diameter by caliper, mm.
    Measured(f64),
    /// A row of the table of typical cables.
    Named(&'static cables::Cable),
}

/// What must pass with a cable.
#[derive(Clone, Debug, PartialEq)]
pub struct PlugSize {
    /// Across its widest, mm.
    pub across: f64,
    /// The name it was given by, if any.
    pub name: Option<String>,
}

/// A cable, or several alike: `8.2x3`, `6:signal`, `9.5:mains:plug=28`, `3G1.5:label=supply`.
#[derive(Clone, Debug, PartialEq)]
pub struct CableWish {
    /// Its size.
    pub size: Size,
    /// How many.
    pub count: usize,
    /// What runs in it; a name from the table brings its own.
    pub group: Option<Group>,
    /// The plug that is on already.
    pub plug: Option<PlugSize>,
    /// What the person calls it.
    pub label: Option<String>,
    /// The width of tie it gets, mm.
    pub tie: Option<f64>,
    /// How many wires of the size make one bundle, which has one opening and one tie.
    pub bundle: Option<usize>,
}

/// Most wires of one bundle.
const MOST_WIRES: usize = 200;

impl CableWish {
    /// What it is called in reports.
    pub fn label(&self) -> String {
        match (&self.label, &self.size) {
            (Some(label), _) => label.clone(),
            (None, Size::Named(cable)) => self.bundled(cable.designation.clone()),
            (None, Size::Measured(diameter)) => self.bundled(format!("{} mm", number(*diameter))),
        }
    }

    fn bundled(&self, wire: String) -> String {
        self.bundle.map_or(wire.clone(), |count| format!("bundle of {count} × {wire}"))
    }

    /// The group, from the person, the table, or signal.
    pub fn group(&self) -> Group {
        match (self.group, &self.size) {
            (Some(group), _) => group,
            (None, Size::Named(cable)) => cable.group,
            (None, Size::Measured(_)) => Group::Signal,
        }
    }
}

impl FromStr for CableWish {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let mut words = text.split(':').map(str::trim);
        let (size, count) = size_and_count(words.next().unwrap_or_default())?;
        let mut wish = Self { size, count, group: None, plug: None, label: None, tie: None, bundle: None };
        for word in words {
            wish.take(text, word)?;
        }
        Ok(wish)
    }
}

impl CableWish {
    fn take(&mut self, text: &str, word: &str) -> Result<()> {
        if let Some(&(_, group)) = Group::ALL.iter().find(|(name, _)| *name == word) {
            self.group = Some(group);
            return Ok(());
        }
        match word.split_once('=') {
            Some(("plug", value)) => self.plug = Some(plug_size(value)?),
            Some(("count", value)) => self.count = count(value)?,
            Some(("tie", value)) => self.tie = Some(value.parse::<Length>()?.mm()),
            Some(("bundle", value)) => {
                let wires = value.trim().parse::<usize>().ok().filter(|n| (2..=MOST_WIRES).contains(n));
                self.bundle = Some(wires.ok_or_else(|| {
                    Error::request(
                        format!("A bundle of '{value}' wires is not a whole number from 2 to {MOST_WIRES}."),
                        "Write how many wires run together, as in --cable 1.4:bundle=7.",
                    )
                })?);
            }
            Some(("label", value)) if !value.trim().is_empty() => self.label = Some(value.trim().to_string()),
            _ => {
                return Err(Error::request(
                    format!(
                        "--cable '{text}' holds '{word}', which is no group and no plug=, label=, tie=, bundle= or count=."
                    ),
                    "Groups are mains, motor, signal and data; write for instance --cable 9.5:mains:plug=28.",
                ));
            }
        }
        Ok(())
    }
}

fn plug_size(value: &str) -> Result<PlugSize> {
    if let Ok(length) = value.parse::<Length>() {
        let across = within("plug", length.mm(), 0.5, 300.0, "mm")?;
        return Ok(PlugSize { across, name: None });
    }
    let plug = cables::plug(value)?;
    Ok(PlugSize { across: plug.across, name: Some(plug.name.clone()) })
}

fn count(text: &str) -> Result<usize> {
    let wanted = text.trim().parse::<usize>().ok().filter(|n| (1..=MOST_OPENINGS).contains(n));
    wanted.ok_or_else(|| {
        Error::request(
            format!("A count of '{text}' is not a whole number from 1 to {MOST_OPENINGS}."),
            "Write how many as in --cable 8.2x3.",
        )
    })
}

/// `8.2`, `8.2x3`, `3G1.5`, `LiYCY 4x0.25`, `3G1.5x2`. A name of the table wins over a reading as
/// diameter and count.
fn size_and_count(text: &str) -> Result<(Size, usize)> {
    if let Some(cable) = cables::find(text)? {
        return Ok((Size::Named(cable), 1));
    }
    if let Ok(length) = text.parse::<Length>() {
        return Ok((Size::Measured(diameter(length)?), 1));
    }
    if let Some((size, many)) = text.rsplit_once(['x', 'X', '×', '*']) {
        if let Ok(length) = size.parse::<Length>() {
            return Ok((Size::Measured(diameter(length)?), count(many)?));
        }
        if let Some(cable) = cables::find(size)? {
            return Ok((Size::Named(cable), count(many)?));
        }
    }
    Err(Error::unknown(
        format!("--cable '{text}' is neither a diameter nor a cable that the table knows."),
        format!(
            "Measure it and give its diameter, such as --cable 8.2x3; or name one that the table knows: {}.",
            cables::nearest(text).join(", ")
        ),
    ))
}

fn diameter(length: Length) -> Result<f64> {
    within("--cable", length.mm(), 0.8, 80.0, "mm")
}

impl Serialize for CableWish {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        let mut text = match &self.size {
            Size::Measured(diameter) => diameter.to_string(),
            Size::Named(cable) => cable.designation.clone(),
        };
        text += &format!(":count={}", self.count);
        let group = Group::ALL.iter().find(|(_, group)| Some(*group) == self.group);
        text.extend(group.map(|(name, _)| format!(":{name}")));
        text.extend(self.plug.as_ref().map(|plug| match &plug.name {
            Some(name) => format!(":plug={name}"),
            None => format!(":plug={}", plug.across),
        }));
        text.extend(self.tie.map(|width| format!(":tie={width}")));
        text.extend(self.bundle.map(|wires| format!(":bundle={wires}")));
        text.extend(self.label.as_ref().map(|label| format!(":label={label}")));
        serializer.collect_str(&text)
    }
}

impl<'de> Deserialize<'de> for CableWish {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        Text::deserialize(deserializer)?.0.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for CableWish {
    fn schema_name() -> Cow<'static, str> {
        "Cable".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A cable, or several alike: \"8.2x3\", \"6:signal\", \"9.5:mains:plug=28\", \"3G1.5:label=supply\", \"LiYCY 4x0.25:plug=M12\"; wires that run together, \"1.4:bundle=7\".",
            "anyOf": [{ "type": "number" }, { "type": "string" }]
        })
    }
}

/// Alike things by size: `6x2` is two of size 6.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// The size, mm.
    pub size: f64,
    /// How many.
    pub count: usize,
}

impl FromStr for Sizes {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (size, many) = match text.split_once(['x', 'X', '×']) {
            Some((size, many)) => (size, count(many)?),
            None => (text, 1),
        };
        Ok(Self { size: within("the size", size.parse::<Length>()?.mm(), 0.8, 120.0, "mm")?, count: many })
    }
}

impl Serialize for Sizes {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.collect_str(&format_args!("{}x{}", self.size, self.count))
    }
}

impl<'de> Deserialize<'de> for Sizes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> std::result::Result<Self, D::Error> {
        Text::deserialize(deserializer)?.0.parse().map_err(Error::on_lines)
    }
}

impl JsonSchema for Sizes {
    fn schema_name() -> Cow<'static, str> {
        "SizeAndCount".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A size in millimetres, or SIZExCOUNT: 6, \"6x2\".",
            "anyOf": [{ "type": "number" }, { "type": "string" }]
        })
    }
}

/// Whether the plate comes in pieces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Split {
    /// Only if a plug will not pass its opening; as few pieces as can be.
    #[default]
    Auto,
    /// One piece, or none at all.
    Never,
    /// Two pieces.
    Halves,
    /// Three pieces.
    Three,
}

/// Where the anchors for cable ties stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Anchors {
    /// Between the openings where there is room, else on the margin.
    #[default]
    Auto,
    /// Between the openings only.
    Inside,
    /// On the margin only.
    Margin,
    /// Nowhere.
    Off,
}

/// How the plate is held to the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Mount {
    /// Screws through the margin and the sheet.
    #[default]
    Screws,
    /// A ring behind the sheet, drawn up by screws inside the hole: the sheet is not drilled.
    Ring,
}

/// The heads of the mounting screws.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Head {
    /// ISO 7380-1 button head.
    #[default]
    Button,
    /// ISO 4762 socket head.
    Socket,
}

impl Head {
    /// The standard of a screw of that size with it.
    pub fn standard(self, size: &str) -> &'static str {
        let made = fasteners::standards(size);
        match self {
            Head::Button => made.button_head,
            Head::Socket => made.socket_head,
        }
    }
}

/// A plate that closes a hole round cables. Lengths are millimetres or carry a unit.
#[derive(Clone, Debug, Default, PartialEq, clap::Args, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields, default)]
pub struct Plate {
    /// The hole: 60 (round), 80x40 (rectangle), 80x40:r=5 (rounded corners), 80x40:obround,
    /// or least and greatest of a ragged one: 62-65
    #[arg(long, value_name = "SIZE")]
    pub hole: Option<Hole>,
    /// Thickness of the sheet [default: 2]
    #[arg(long, value_name = "MM")]
    pub sheet: Option<Length>,
    /// A cable, or several alike: 8.2x3, 6:signal, 9.5:mains:plug=28, 3G1.5, "LiYCY 4x0.25:plug=M12" (repeatable)
    #[arg(long, value_name = "CABLE")]
    pub cable: Vec<CableWish>,
    /// Spare openings with a printed plug each, as DIAMETERxCOUNT: 6x2 (repeatable)
    #[arg(long, value_name = "DxN")]
    pub spare: Vec<Sizes>,
    /// A fan of that frame size, 25 to 120, behind a finger-safe grille
    #[arg(long, value_name = "MM")]
    pub fan: Option<Length>,
    /// Push-button openings of that size, IEC 60947-5-1: 22, 22x3 (repeatable)
    #[arg(long, value_name = "SIZExN")]
    pub button: Vec<Sizes>,
    /// A thin drill-and-file template instead of a plate
    #[arg(long)]
    pub template: bool,
    /// Whether the plate comes in pieces, so that cables are laid in with their plugs on
    #[arg(long, value_enum, default_value_t)]
    pub split: Split,
    /// Where the anchors for cable ties stand
    #[arg(long, value_enum, default_value_t)]
    pub anchors: Anchors,
    /// Width of cable tie, 2.5, 3.6, 4.8 or 7.6 [default: by cable]
    #[arg(long, value_name = "MM")]
    pub tie: Option<Length>,
    /// Openings grip their cables lightly (measured cables only)
    #[arg(long)]
    pub grip: bool,
    /// How the plate is held to the sheet
    #[arg(long, value_enum, default_value_t)]
    pub mount: Mount,

    /// Mounting screw, M3 to M8, or an inch one such as #8-32 [default: M4]
    #[arg(long, value_name = "M..", help_heading = "Answers of your own")]
    pub screw: Option<String>,
    /// Head of the mounting screws
    #[arg(long, value_enum, default_value_t, help_heading = "Answers of your own")]
    pub head: Head,
    /// Number of mounting screws [default: 4; 2 round holes up to 25 mm, more on sides over 160 mm]
    #[arg(long, value_name = "N", help_heading = "Answers of your own")]
    pub screws: Option<u32>,
    /// How far the plate overlaps the hole [default: what screws and anchors need]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub margin: Option<Length>,
    /// Thickness of the margin [default: 4]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub thickness: Option<Length>,
    /// How far the spigot reaches into the hole [default: the sheet's thickness and 1]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub spigot_depth: Option<Length>,
    /// Play between spigot and hole, on each side [default: 0.25]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub spigot_clearance: Option<Length>,
    /// Least web between openings [default: 2]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub web: Option<Length>,
    /// Least rim from an opening to the spigot's wall [default: 2]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub rim: Option<Length>,
    /// Distance kept between cables of power and of signal or data [default: 10, less where the hole is small]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub separation: Option<Length>,
    /// Play of a cable in its opening, in diameter [default: 0.4]
    #[arg(long, value_name = "MM", conflicts_with = "grip", help_heading = "Answers of your own")]
    pub play: Option<Length>,
    /// Chamfer of every opening's two rims [default: 0.6]
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub edge: Option<Length>,
    /// A groove in every opening for an O-ring cord of that diameter
    #[arg(long, value_name = "MM", conflicts_with = "bush", help_heading = "Answers of your own")]
    pub cord: Option<Length>,
    /// Openings widened for a bush printed in soft material, with that wall
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub bush: Option<Length>,
    /// Temperature inside the cabinet, °C [default: 50]
    #[arg(long, value_name = "C", help_heading = "Answers of your own")]
    pub cabinet_temperature: Option<f64>,
    /// Free depth behind the sheet, to a lid or the nearest part
    #[arg(long, value_name = "MM", help_heading = "Answers of your own")]
    pub behind: Option<Length>,
}

#[cfg(test)]
mod tests;

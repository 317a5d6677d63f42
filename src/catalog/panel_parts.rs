//! What is set into a panel: cut-out, flange, free room, panel thickness and depth.

use super::buttons;
use super::table::Table;
use crate::error::{Error, Result, number};
use serde::{Deserialize, Serialize};

const PARTS: &str = include_str!("panel_parts.csv");

/// The shape of a cut-out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A circle of `width`.
    Round,
    /// The notched hole of a push-button of size `width`.
    Button,
    /// A circle of `width` with one flat: `height` from the flat to the arc opposite.
    Flat,
    /// A circle of `width` with two flats `height` apart.
    Flats,
    /// A rectangle.
    Rectangle,
}

/// A row of the table. Lengths in mm.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PanelPart {
    /// Its name, as it is asked for.
    pub name: String,
    /// The cut-out's shape.
    pub shape: Shape,
    /// Its width or diameter.
    pub width: f64,
    /// Its height, or the distance of its flats.
    pub height: f64,
    /// Radius of its corners.
    pub corner: f64,
    /// Width of what lies on the panel, in front or behind.
    pub front_width: f64,
    /// Height of that.
    pub front_height: f64,
    /// Width of the room it needs, for a hand or a tool.
    pub free_width: f64,
    /// Height of that.
    pub free_height: f64,
    /// Thinnest panel.
    pub panel_least: f64,
    /// Thickest panel.
    pub panel_most: f64,
    /// Depth behind the panel's back.
    pub depth: f64,
    /// Its own screws; empty for none.
    pub screw: String,
    /// How far apart they are across; two with a negative `screw_y` lie on the falling diagonal.
    pub screw_x: f64,
    /// And up.
    pub screw_y: f64,
    /// How many: 0, 2 or 4.
    pub screws: u8,
    /// Where the row stands.
    pub source: String,
}

static ROWS: Table<PanelPart> = Table::new("panel_parts.csv", PARTS);

/// Every row.
pub fn all() -> Result<&'static [PanelPart]> {
    ROWS.rows()
}

/// The part of that name: a row, `button-22`, `round-D` or `rect-WxH` (`rectangle-WxH`).
///
/// Fails with the names there are.
pub fn find(name: &str) -> Result<PanelPart> {
    let wanted = name.trim().to_ascii_lowercase();
    if let Some(row) = all()?.iter().find(|row| row.name == wanted) {
        return Ok(row.clone());
    }
    let size = |text: &str| text.trim().parse::<f64>().ok().filter(|mm| (1.0..=300.0).contains(mm));
    let plain = |shape: Shape, (width, height): (f64, f64)| PanelPart {
        name: wanted.clone(),
        shape,
        width,
        height,
        corner: 0.0,
        front_width: width + 4.0,
        front_height: height.max(if shape == Shape::Round { width } else { 0.0 }) + 4.0,
        free_width: width + 6.0,
        free_height: height.max(if shape == Shape::Round { width } else { 0.0 }) + 6.0,
        panel_least: 0.5,
        panel_most: 20.0,
        depth: 0.0,
        screw: String::new(),
        screw_x: 0.0,
        screw_y: 0.0,
        screws: 0,
        source: "as given; 2 mm of flange all round, common practice".into(),
    };
    if let Some(button) = wanted.strip_prefix("button-").and_then(size) {
        let button = buttons::of_size(button)?;
        return Ok(PanelPart {
            front_width: button.nut,
            front_height: button.nut,
            free_width: button.pitch,
            free_height: button.pitch_up,
            panel_least: button.panel_least,
            panel_most: button.panel_most,
            depth: button.depth,
            source: button.source.clone(),
            ..plain(Shape::Button, (button.size, 0.0))
        });
    }
    if let Some(diameter) = wanted.strip_prefix("round-").and_then(size) {
        return Ok(plain(Shape::Round, (diameter, 0.0)));
    }
    let sides = wanted.strip_prefix("rectangle-").or_else(|| wanted.strip_prefix("rect-"));
    if let Some((width, height)) = sides.and_then(|sides| sides.split_once('x'))
        && let (Some(width), Some(height)) = (size(width), size(height))
    {
        return Ok(plain(Shape::Rectangle, (width, height)));
    }
    let mut known: Vec<String> = vec![];
    for button in buttons::all()? {
        known.push(format!("button-{}", number(button.size)));
    }
    known.extend(all()?.iter().map(|row| row.name.clone()));
    Err(Error::unknown(
        format!("'{name}' is nothing that the table of panels knows."),
        format!("Name one of {}; or give round-DIAMETER or rect-WIDTHxHEIGHT.", known.join(", ")),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_flange_covers_its_cut_out_and_lies_in_its_free_room() {
        for row in all().unwrap() {
            let part = find(&row.name).unwrap();
            let height = if part.shape == Shape::Rectangle { part.height } else { part.width };
            assert!(part.front_width > part.width && part.front_height > height, "{row:?}");
            assert!(part.free_width >= part.front_width && part.free_height >= part.front_height, "{row:?}");
            assert!(part.panel_least < part.panel_most && part.depth > 0.0, "{row:?}");
            assert!(part.screw.is_empty() == (part.screws == 0), "{row:?}");
        }
    }

    #[test]
    fn parts_are_found_by_name_and_by_size() {
        assert_eq!(find("button-22").unwrap().free_height, 40.0);
        assert_eq!(find("Gland-M20").unwrap().width, 20.3);
        assert_eq!(find("round-8.5").unwrap().width, 8.5);
        assert_eq!(find("rect-92x45").unwrap().height, 45.0);
        assert!(find("button-25").is_err() && find("rect-0x5").is_err());
        assert!(find("estoop").unwrap_err().remedy.contains("estop"));
    }
}

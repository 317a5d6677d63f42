//! Plates as a person asks for them.

use fixwright::parts::plate::Plate;
use fixwright::units::Length;

pub fn plate(hole: &str, cables: &[&str]) -> Plate {
    Plate {
        hole: Some(hole.parse().unwrap()),
        cable: cables.iter().map(|c| c.parse().unwrap()).collect(),
        ..Plate::default()
    }
}

pub fn length(text: &str) -> Option<Length> {
    Some(text.parse().unwrap())
}

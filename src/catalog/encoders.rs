//! Encoder flanges: the patterns the trade builds to, and any other by measurement.
//!
//! No standard fixes encoder flanges, but makers copy one another: a register that centres the
//! body and a few screws on a circle or a square. The table holds those patterns; whatever differs
//! on the encoder in hand is measured and laid over the row with [`Encoder::with`].

use super::table::Table;
use super::{fasteners, own};
use crate::error::{Error, Result, number, within};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// The outline of the body behind the flange.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Outline {
    /// A cylinder; the size is its diameter.
    Round,
    /// A square; the size is the side.
    Square,
}

/// How the screws lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize, JsonSchema, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Layout {
    /// Evenly on a circle; the spacing is its diameter.
    Circle,
    /// On the corners of a square; the spacing is its side.
    Square,
}

/// An encoder as the bracket meets it: one row of `encoders.csv`, or a measured one. Lengths in
/// millimetres.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct Encoder {
    /// The pattern's name.
    pub pattern: String,
    /// Other names for it, parted by spaces.
    pub also: String,
    /// One line on what it is.
    pub about: String,
    /// Outline of the body.
    pub body: Outline,
    /// Diameter or side of the body.
    pub body_size: f64,
    /// Length of the body behind the flange face.
    pub body_length: f64,
    /// Diameter of the register.
    pub register_diameter: f64,
    /// How far the register stands out of the flange face.
    pub register_height: f64,
    /// How the screws lie.
    pub layout: Layout,
    /// Bolt circle diameter, or side of the square.
    pub spacing: f64,
    /// Screws; four on a square.
    pub count: u32,
    /// Screw thread, such as `M3`.
    pub screw: String,
    /// Angle of the first screw from the direction away from the foot's right, degrees counter-clockwise.
    pub start_angle: f64,
    /// Diameter of the shaft.
    pub shaft_diameter: f64,
    /// Length of the shaft beyond the flange face.
    pub shaft_length: f64,
    /// Greatest radial load on the shaft, N.
    pub radial_load: f64,
    /// Mass, g.
    pub mass: f64,
    /// Greatest speed, 1/min.
    pub greatest_rpm: f64,
    /// Depth of the threads in the flange, mm; 0 where its holes are plain, nothing where no one knows.
    pub thread_depth: Option<f64>,
    /// Where the row stands.
    pub source: String,
    /// Options whose values nobody measured or read, and which are estimates.
    #[serde(skip)]
    pub assumed: Vec<&'static str>,
}

/// What was measured on the encoder in hand, laid over a row of the table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Diameter of the register.
    pub register: Option<f64>,
    /// How far the register stands out.
    pub register_height: Option<f64>,
    /// How the screws lie.
    pub layout: Option<Layout>,
    /// Bolt circle diameter, or side of the square.
    pub spacing: Option<f64>,
    /// Screws on the circle.
    pub count: Option<u32>,
    /// Screw thread.
    pub screw: Option<String>,
    /// Angle of the first screw, degrees.
    pub start_angle: Option<f64>,
    /// Diameter or side of the body.
    pub body: Option<f64>,
    /// Length of the body.
    pub body_length: Option<f64>,
    /// Diameter of the shaft.
    pub shaft: Option<f64>,
    /// Length of the shaft beyond the flange face.
    pub shaft_length: Option<f64>,
    /// Greatest radial load, N.
    pub radial_load: Option<f64>,
    /// Mass, g.
    pub mass: Option<f64>,
    /// Greatest speed, 1/min.
    pub greatest_rpm: Option<f64>,
    /// Depth of the threads in the flange, mm; 0 for plain holes.
    pub thread_depth: Option<f64>,
}

impl own::Row for Encoder {
    const FILE: &'static str = "encoders.csv";

    fn settle(&mut self) -> Result<()> {
        // The longer option first: one is the beginning of another.
        const COLUMNS: [(&str, &str); 15] = [
            ("--register-height", "register_height"),
            ("--register", "register_diameter"),
            ("--bolt-spacing", "spacing"),
            ("--bolt-layout", "layout"),
            ("--bolt-screw", "screw"),
            ("--bolt-count", "count"),
            ("--bolt-start", "start_angle"),
            ("--body-length", "body_length"),
            ("--body", "body_size"),
            ("--encoder-shaft-length", "shaft_length"),
            ("--encoder-shaft", "shaft_diameter"),
            ("--encoder-mass", "mass"),
            ("--encoder-rpm", "greatest_rpm"),
            ("--radial-load", "radial_load"),
            ("--thread-depth", "thread_depth"),
        ];
        self.pattern = self.pattern.to_ascii_lowercase();
        self.also = self.also.to_ascii_lowercase();
        if self.pattern.is_empty() || self.pattern.contains(char::is_whitespace) || self.pattern == "custom" {
            return Err(Error::request(
                format!("column 'pattern' is '{}', which is no name of one word.", self.pattern),
                "Name the pattern in one word, such as lathe-50.",
            ));
        }
        if self.about.is_empty() {
            self.about = format!("{} encoder", self.pattern);
        }
        let in_columns = |text: &str| {
            COLUMNS.iter().fold(text.to_string(), |text, (option, column)| {
                text.replace(option, &format!("column '{column}'"))
            })
        };
        self.clone().checked().map(|_| ()).map_err(|e| Error {
            says: in_columns(&e.says),
            remedy: in_columns(&e.remedy),
            ..e
        })
    }

    fn names(&self) -> Vec<String> {
        let also = self.also.split_whitespace().map(str::to_string);
        std::iter::once(self.pattern.clone()).chain(also).collect()
    }

    fn mark(&mut self, place: &str) {
        self.source = own::source(place, &self.source);
    }
}

static ENCODERS: Table<Encoder> = Table::open("encoders.csv", include_str!("encoders.csv"));

/// Every pattern in the table.
pub fn encoders() -> &'static [Encoder] {
    ENCODERS.all()
}

/// Reads the table, so that a wrong row of the user's is told before anything else.
pub(super) fn read() -> Result<()> {
    ENCODERS.rows().map(|_| ())
}

/// The pattern of a name, or `custom`, which has nothing measured yet and must get a register, a
/// spacing, a screw, a body, a shaft and a radial load.
///
/// Fails with [`crate::error::Kind::Unknown`] and the list of what is known.
pub fn encoder(name: &str) -> Result<Encoder> {
    let wanted = name.trim().to_ascii_lowercase();
    if wanted == "custom" {
        return Ok(blank());
    }
    ENCODERS
        .all()
        .iter()
        .find(|e| e.pattern == wanted || e.also.split_whitespace().any(|also| also == wanted))
        .cloned()
        .ok_or_else(|| {
            let known: Vec<&str> = ENCODERS.all().iter().map(|e| e.pattern.as_str()).collect();
            Error::unknown(
                format!("No encoder pattern '{}' is in the table.", name.trim()),
                format!("Give one of {}, or custom with what you measure on its flange.", known.join(", ")),
            )
        })
}

fn blank() -> Encoder {
    Encoder {
        pattern: "custom".into(),
        also: String::new(),
        about: "measured flange".into(),
        body: Outline::Round,
        body_size: f64::NAN,
        body_length: 45.0,
        register_diameter: f64::NAN,
        register_height: 3.0,
        layout: Layout::Circle,
        spacing: f64::NAN,
        count: 3,
        screw: String::new(),
        start_angle: 90.0,
        shaft_diameter: f64::NAN,
        shaft_length: f64::NAN,
        radial_load: f64::NAN,
        mass: 300.0,
        greatest_rpm: 3000.0,
        thread_depth: None,
        source: "measured".into(),
        assumed: Vec::new(),
    }
}

impl Encoder {
    /// The row with the measured values in place of its own, every value within bounds.
    ///
    /// Fails when a value is out of bounds, a custom pattern lacks one, or screws and register
    /// would meet.
    pub fn with(mut self, measured: &Measured) -> Result<Encoder> {
        let layout = measured.layout.unwrap_or(self.layout);
        let lay = |own: &mut f64, value: Option<f64>| {
            if let Some(value) = value {
                *own = value;
            }
        };
        lay(&mut self.register_diameter, measured.register);
        lay(&mut self.register_height, measured.register_height);
        lay(&mut self.spacing, measured.spacing);
        lay(&mut self.body_size, measured.body);
        lay(&mut self.body_length, measured.body_length);
        if let Some(shaft) = measured.shaft {
            let words = |diameter: f64| format!("{} mm shaft", number(diameter));
            self.about = self.about.replace(&words(self.shaft_diameter), &words(shaft));
        }
        lay(&mut self.shaft_diameter, measured.shaft);
        lay(&mut self.shaft_length, measured.shaft_length);
        lay(&mut self.radial_load, measured.radial_load);
        lay(&mut self.mass, measured.mass);
        lay(&mut self.greatest_rpm, measured.greatest_rpm);
        self.thread_depth = measured.thread_depth.or(self.thread_depth);
        self.assumed = self.not_measured(measured);
        lay(&mut self.start_angle, measured.start_angle);
        if layout != self.layout {
            self.count = if layout == Layout::Square { 4 } else { 3 };
            self.start_angle =
                measured.start_angle.unwrap_or(if layout == Layout::Square { 45.0 } else { 90.0 });
            self.layout = layout;
        }
        if let Some(count) = measured.count {
            self.count = count;
        }
        if let Some(screw) = &measured.screw {
            self.screw.clone_from(screw);
        }
        self.checked()
    }

    /// What a custom pattern is taken to be for want of a measurement.
    fn not_measured(&self, measured: &Measured) -> Vec<&'static str> {
        let values = [
            ("--register-height", measured.register_height),
            ("--body-length", measured.body_length),
            ("--encoder-mass", measured.mass),
            ("--encoder-rpm", measured.greatest_rpm),
        ];
        values
            .into_iter()
            .filter(|(_, value)| self.pattern == "custom" && value.is_none())
            .map(|(option, _)| option)
            .collect()
    }

    fn checked(self) -> Result<Encoder> {
        let given = |field: &str, value: f64| {
            if value.is_nan() {
                return Err(Error::request(
                    format!("{field} is missing, and the encoder pattern is custom."),
                    format!("Measure it on the encoder and give {field}."),
                ));
            }
            Ok(value)
        };
        within("--register", given("--register", self.register_diameter)?, 5.0, 120.0, "mm")?;
        within("--register-height", self.register_height, 0.0, 30.0, "mm")?;
        within("--bolt-spacing", given("--bolt-spacing", self.spacing)?, 5.0, 150.0, "mm")?;
        within("--body", given("--body", self.body_size)?, 10.0, 200.0, "mm")?;
        within("--body-length", self.body_length, 5.0, 300.0, "mm")?;
        within("--encoder-shaft", given("--encoder-shaft", self.shaft_diameter)?, 2.0, 40.0, "mm")?;
        within(
            "--encoder-shaft-length",
            given("--encoder-shaft-length", self.shaft_length)?,
            3.0,
            100.0,
            "mm",
        )?;
        within("--radial-load", given("--radial-load", self.radial_load)?, 1.0, 2000.0, "N")?;
        within("--encoder-mass", self.mass, 5.0, 10_000.0, "g")?;
        within("--encoder-rpm", self.greatest_rpm, 1.0, 100_000.0, "1/min")?;
        within("--thread-depth", self.thread_depth.unwrap_or(0.0), 0.0, 60.0, "mm")?;
        within("--bolt-start", self.start_angle, -360.0, 360.0, "degrees")?;
        if self.screw.is_empty() {
            return Err(Error::request(
                "--bolt-screw is missing, and the encoder pattern is custom.",
                "Give the thread in the encoder's flange, such as M3.",
            ));
        }
        match self.layout {
            Layout::Square if self.count != 4 => Err(Error::request(
                format!("--bolt-count is {}, but a square pattern has 4 screws.", self.count),
                "Leave --bolt-count out, or give --bolt-layout circle.",
            )),
            _ if !(2..=12).contains(&self.count) => Err(Error::request(
                format!("--bolt-count is {}; it must lie between 2 and 12.", self.count),
                "Count the screws in the encoder's flange that you mean to use.",
            )),
            _ => self.possible(),
        }
    }

    /// The pattern itself, where a flange can be made to it: the shaft inside the register, the
    /// register inside the body, and the screws clear of the register's edge and within the body.
    fn possible(self) -> Result<Encoder> {
        let (register, shaft, body) = (self.register_diameter, self.shaft_diameter, self.body_size);
        let again = "Measure both again.";
        if shaft >= register {
            return Err(Error::geometry(
                format!(
                    "--encoder-shaft is {} mm, but it runs in a register of {} mm (--register).",
                    number(shaft),
                    number(register)
                ),
                again,
            ));
        }
        if register > 2.0 * self.body_reach() {
            return Err(Error::geometry(
                format!(
                    "--register is {} mm, wider than the body of {} mm (--body).",
                    number(register),
                    number(body)
                ),
                "Measure both again; where the flange is wider than the body, give the flange's width as --body.",
            ));
        }
        let thread = fasteners::thread(&self.screw)?.diameter;
        let (least, most) = (register - thread, register + thread);
        let circle = 2.0 * self.screw_radius();
        if circle > least && circle < most {
            return Err(Error::geometry(
                format!(
                    "--bolt-spacing puts {} screws on a circle of {:.2} mm, through the edge of the register of {} mm.",
                    self.screw,
                    circle,
                    number(register)
                ),
                format!(
                    "Measure both again: screws outside the register lie on a circle of {most:.2} mm or more, screws in its face on {least:.2} mm or less."
                ),
            ));
        }
        if circle + thread > 2.0 * self.body_reach() {
            return Err(Error::geometry(
                format!(
                    "--bolt-spacing puts {} screws on a circle of {:.2} mm, beyond the body of {} mm (--body).",
                    self.screw,
                    circle,
                    number(body)
                ),
                "Measure both again; where the flange is wider than the body, give the flange's width as --body.",
            ));
        }
        if circle < least && circle - thread < shaft {
            return Err(Error::geometry(
                format!(
                    "--bolt-spacing puts {} screws on a circle of {:.2} mm, into the shaft of {} mm.",
                    self.screw,
                    circle,
                    number(shaft)
                ),
                again,
            ));
        }
        Ok(self)
    }

    /// Where the screws lie from the axis, mm: x to the right, y away from the foot.
    pub fn screws(&self) -> Vec<(f64, f64)> {
        let radius = self.screw_radius();
        (0..self.count)
            .map(|k| {
                let angle = self.start_angle.to_radians() + 2.0 * PI * f64::from(k) / f64::from(self.count);
                (radius * angle.cos(), radius * angle.sin())
            })
            .collect()
    }

    /// From the axis to each screw, mm.
    pub fn screw_radius(&self) -> f64 {
        match self.layout {
            Layout::Circle => self.spacing / 2.0,
            Layout::Square => self.spacing * std::f64::consts::FRAC_1_SQRT_2,
        }
    }

    /// Radius of the circle that holds the whole body, mm.
    pub fn body_reach(&self) -> f64 {
        match self.body {
            Outline::Round => self.body_size / 2.0,
            Outline::Square => self.body_size * std::f64::consts::FRAC_1_SQRT_2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_its_screws_miss_its_register() {
        assert!(encoders().len() >= 7);
        for e in encoders() {
            let e = e.clone().with(&Measured::default()).unwrap();
            let thread: f64 = e.screw.trim_start_matches('M').parse().unwrap();
            let clear = (e.screw_radius() - e.register_diameter / 2.0).abs();
            // The synchro flange's screws lie inside its register; all others outside it.
            assert!(clear > thread / 2.0, "{}: {clear}", e.pattern);
            assert!(e.screw_radius() + thread / 2.0 < e.body_reach(), "{}", e.pattern);
            assert!(e.source.len() > 10);
        }
    }

    #[test]
    fn a_square_pattern_has_its_corners_a_pitch_apart() {
        let screws = encoder("nema17").unwrap().screws();
        assert_eq!(screws.len(), 4);
        assert!((screws[0].0 - 15.5).abs() < 1e-12 && (screws[0].1 - 15.5).abs() < 1e-12);
        assert!(((screws[0].0 - screws[1].0).hypot(screws[0].1 - screws[1].1) - 31.0).abs() < 1e-12);
    }

    #[test]
    fn names_are_read_and_the_unknown_lists_the_known() {
        assert_eq!(encoder("NEMA-23").unwrap().pattern, "nema23");
        assert_eq!(encoder(" 58-Clamp ").unwrap().spacing, 48.0);
        assert!(encoder("77").unwrap_err().remedy.contains("58-synchro"));
    }

    #[test]
    fn a_custom_pattern_asks_for_what_it_lacks_one_by_one() {
        let mut measured = Measured::default();
        for (field, set) in [
            ("--register is missing", (|m: &mut Measured| m.register = Some(30.0)) as fn(&mut Measured)),
            ("--bolt-spacing", |m| m.spacing = Some(42.0)),
            ("--body", |m| m.body = Some(50.0)),
            ("--encoder-shaft ", |m| m.shaft = Some(8.0)),
            ("--encoder-shaft-length", |m| m.shaft_length = Some(15.0)),
            ("--radial-load", |m| m.radial_load = Some(50.0)),
            ("--bolt-screw", |m| m.screw = Some("M4".into())),
        ] {
            let error = encoder("custom").unwrap().with(&measured).unwrap_err();
            assert!(error.says.starts_with(field), "{field}: {}", error.says);
            set(&mut measured);
        }
        let e = encoder("custom").unwrap().with(&measured).unwrap();
        assert_eq!((e.count, e.screw_radius()), (3, 21.0));
    }

    #[test]
    fn a_flange_that_cannot_be_made_is_refused_by_field() {
        let custom = Measured {
            register: Some(30.0),
            spacing: Some(42.0),
            screw: Some("M4".into()),
            body: Some(50.0),
            shaft: Some(8.0),
            shaft_length: Some(20.0),
            radial_load: Some(50.0),
            ..Default::default()
        };
        let with = |change: &dyn Fn(&mut Measured)| {
            let mut measured = custom.clone();
            change(&mut measured);
            encoder("custom").unwrap().with(&measured)
        };
        let made = with(&|_| {}).unwrap();
        assert_eq!(made.assumed.len(), 4);
        assert!(with(&|m| m.mass = Some(200.0)).unwrap().assumed.len() == 3);
        for (field, change) in [
            ("--encoder-shaft", &(|m: &mut Measured| m.shaft = Some(31.0)) as &dyn Fn(&mut Measured)),
            ("--register is", &|m| m.register = Some(51.0)),
            ("--bolt-spacing", &|m| m.spacing = Some(100.0)),
            ("--bolt-spacing", &|m| m.spacing = Some(30.0)),
            ("--bolt-spacing", &|m| m.spacing = Some(33.9)),
            ("--bolt-spacing", &|m| m.spacing = Some(11.0)),
        ] {
            let error = with(change).unwrap_err();
            assert!(error.says.starts_with(field), "{field}: {}", error.says);
        }
        assert!(with(&|m| m.spacing = Some(25.0)).is_ok());
    }

    #[test]
    fn the_calipers_word_beats_the_table() {
        let measured = Measured { register: Some(20.1), count: Some(4), ..Default::default() };
        let e = encoder("38").unwrap().with(&measured).unwrap();
        assert_eq!((e.register_diameter, e.count, e.spacing), (20.1, 4, 30.0));
        assert!(
            encoder("38").unwrap().with(&Measured { register: Some(-1.0), ..Default::default() }).is_err()
        );
        assert!(encoder("nema17").unwrap().with(&Measured { count: Some(3), ..Default::default() }).is_err());
    }
}

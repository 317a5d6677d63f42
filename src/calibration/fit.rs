//! From readings to a printer's errors, by weighted least squares (JCGM 100, Guide to the expression of uncertainty
//! in measurement: type A from the spread of the readings, type B from the caliper, expanded with k = 2).
//!
//! A reading is what is drawn, times the scale of the axis it runs along, plus a constant of its sort: outsides grow
//! or shrink by one constant and holes by another, the first layer bulges out on both sides, heights have the squeeze
//! of the first layer. Published readings of prints say that hole errors are a constant in millimetres and that x and
//! y differ on one machine; what grows with the diameter is the scale of the two axes.

use super::Feature;
use super::readings::Taken;
use crate::error::{Error, Result, hundredth};
use nalgebra::{DMatrix, DVector};
use serde::Serialize;

/// What a caliper's reading of one size on a print is good for, mm, standard uncertainty: outside, and inside a hole.
/// Engineering estimate, from memory.
pub(super) const CALIPER: (f64, f64) = (0.03, 0.05);
/// How much of that all readings with one pair of jaws have in common, mm: ±0.02 by makers' catalogues, as a rectangle;
/// inside jaws read 0.04 small or none in holes with ridges. From memory.
pub(super) const IN_COMMON: (f64, f64) = (0.012, 0.04);
/// The spread of repeated readings where none was repeated, and the least that is believed, mm. Common practice.
pub(super) const REPEATABILITY: (f64, f64) = (0.03, 0.005);
/// A reading this far from the middle one of its letter is no repeat of it, mm, and in spreads of all letters.
pub(super) const APART: (f64, f64) = (0.15, 5.0);
/// A letter whose residual is this many of its standard deviations contradicts the others.
const CONTRADICTS: f64 = 4.0;
/// Coverage factor of the uncertainties given.
pub(super) const COVERAGE: f64 = 2.0;

/// How far an axis' scale may be from one before anything is measured, standard uncertainty: screws and belts are ruled,
/// and what plastics shrink is a few thousandths (common practice). Two heights some millimetres apart say less of it.
const SCALE_BEFORE: f64 = 0.003;

/// How many letters may be set aside.
const SET_ASIDE: usize = 2;
const PARAMETERS: usize = 8;
const OUTSIDE: usize = 0;
const HOLE: usize = 1;
const BULGE: usize = 2;
const WALL: usize = 3;
const SQUEEZE: usize = 4;
/// The first of the three scales.
const SCALE: usize = 5;

/// One value of each error, or the uncertainty of each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Errors {
    /// Added to the diameter or width of a hole so that the print comes out right, mm.
    pub hole_allowance: f64,
    /// Added to the diameter or width of an outside, mm: below nought where prints come out large.
    pub outside_allowance: f64,
    /// How far the first layer bulges out, mm a side.
    pub first_layer: f64,
    /// Added to a wall of whole lines, mm.
    pub wall: f64,
    /// Added to a height over the bed, mm: the first layer's squeeze.
    pub height: f64,
    /// Printed length over drawn, along x.
    pub scale_x: f64,
    /// Along y.
    pub scale_y: f64,
    /// Upwards.
    pub scale_z: f64,
}

/// What came of the readings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fitted {
    /// The errors.
    #[serde(flatten)]
    pub errors: Errors,
    /// The expanded uncertainty of each, k = 2.
    pub uncertainty: Errors,
    /// Standard deviation of repeated readings, mm.
    pub repeatability: f64,
    /// Residuals over what readings and caliper explain: 1 and less where they agree.
    pub agreement: f64,
    /// How many readings it was fitted from.
    pub readings: usize,
    /// What was set aside, what contradicts, what to look at: whole sentences.
    pub remarks: Vec<String>,
}

/// One letter as the fit takes it.
struct Row {
    letter: char,
    terms: [f64; PARAMETERS],
    /// Mean reading less what is drawn.
    error: f64,
    variance: f64,
    count: usize,
}

/// Fits a printer's errors.
///
/// Fails where the letters that are left do not settle every error.
pub fn fit(taken: &[Taken]) -> Result<Fitted> {
    let mut remarks = vec![];
    let kept: Vec<Vec<f64>> = without_wild(taken, &mut remarks);
    let repeatability = repeatability(&kept);
    let mut rows: Vec<Row> =
        taken.iter().zip(&kept).map(|(one, values)| row(one, values, repeatability)).collect();
    let mut solved = Solved::of(&rows)?;
    for _ in 0..SET_ASIDE {
        match contradiction(&rows, &solved) {
            Contradiction::None => break,
            Contradiction::Between(letters) => {
                remarks.push(format!("The readings of {letters} contradict each other: measure them again."));
                break;
            }
            Contradiction::Of(at, off) => {
                let rest: Vec<Row> = std::mem::take(&mut rows);
                let letter = rest[at].letter;
                rows = rest.into_iter().filter(|row| row.letter != letter).collect();
                remarks.push(format!(
                    "{letter} contradicts the other letters by {} mm and was left out: measure it again.",
                    hundredth(off)
                ));
                solved = Solved::of(&rows)?;
            }
        }
    }
    if solved.agreement > 2.0 {
        remarks.push(format!(
            "The readings agree {:.1} times worse than caliper and spread explain; the uncertainties are as much wider. Measure again, three times each.",
            solved.agreement
        ));
    }
    Ok(Fitted {
        errors: solved.errors(),
        uncertainty: solved.uncertainty(),
        repeatability,
        agreement: solved.agreement,
        readings: rows.iter().map(|row| row.count).sum(),
        remarks,
    })
}

/// The readings without those that are no repeat of their fellows, of three or more.
fn without_wild(taken: &[Taken], remarks: &mut Vec<String>) -> Vec<Vec<f64>> {
    let off = |one: &Taken| {
        let middle = median(one.values.clone());
        one.values.iter().map(move |v| (v - middle).abs()).collect::<Vec<_>>()
    };
    // The median of all distances, as a standard deviation (1.4826 on a normal curve).
    let spread = 1.4826 * median(taken.iter().filter(|one| one.values.len() > 2).flat_map(off).collect());
    let limit = APART.0.max(APART.1 * spread);
    taken
        .iter()
        .map(|one| {
            let middle = median(one.values.clone());
            let sound = |v: &f64| one.values.len() < 3 || (v - middle).abs() <= limit;
            for value in one.values.iter().filter(|v| !sound(v)) {
                remarks.push(format!(
                    "{} mm at {} is no repeat of its other readings, about {} mm, and was left out.",
                    hundredth(*value),
                    one.reading.letter,
                    hundredth(middle)
                ));
            }
            one.values.iter().copied().filter(sound).collect()
        })
        .collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => (values[n / 2 - 1] + values[n / 2]) / 2.0,
    }
}

/// The pooled standard deviation of repeated readings.
fn repeatability(kept: &[Vec<f64>]) -> f64 {
    let (sum, freedom) = kept.iter().fold((0.0, 0), |(sum, freedom), values| {
        let mean = mean(values);
        let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
        (sum + squares, freedom + values.len().saturating_sub(1))
    });
    match freedom {
        0 => REPEATABILITY.0,
        n => (sum / n as f64).sqrt().max(REPEATABILITY.1),
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn row(one: &Taken, values: &[f64], repeatability: f64) -> Row {
    let reading = one.reading;
    let mut terms = [0.0; PARAMETERS];
    let (caliper, in_common) = match reading.feature {
        Feature::Hole => (CALIPER.1, IN_COMMON.1),
        _ => (CALIPER.0, IN_COMMON.0),
    };
    match reading.feature {
        Feature::Hole => terms[HOLE] = 1.0,
        Feature::Outside => terms[OUTSIDE] = 1.0,
        Feature::Wall => terms[WALL] = 1.0,
        Feature::Height => terms[SQUEEZE] = 1.0,
        Feature::FirstLayer => (terms[OUTSIDE], terms[BULGE]) = (1.0, 2.0),
        Feature::Distance => {}
    }
    for (term, share) in terms[SCALE..].iter_mut().zip(reading.axis.shares()) {
        *term = share * reading.drawn;
    }
    let alone = caliper * caliper - in_common * in_common;
    Row {
        letter: reading.letter,
        terms,
        error: mean(values) - reading.drawn,
        variance: repeatability * repeatability / values.len().max(1) as f64 + alone,
        count: values.len(),
    }
}

/// The least squares of some rows.
struct Solved {
    values: DVector<f64>,
    covariance: DMatrix<f64>,
    agreement: f64,
}

impl Solved {
    fn of(rows: &[Row]) -> Result<Self> {
        let terms =
            DMatrix::from_fn(rows.len(), PARAMETERS, |i, k| rows[i].terms[k] / rows[i].variance.sqrt());
        let errors = DVector::from_fn(rows.len(), |i, _| rows[i].error / rows[i].variance.sqrt());
        let unsettled = || {
            Error::request(
                "The readings do not settle hole, outside, first layer, wall and all three scales.",
                "Measure every letter of the coupon.",
            )
        };
        let mut normal = terms.transpose() * &terms;
        (SCALE..PARAMETERS).for_each(|k| normal[(k, k)] += SCALE_BEFORE.powi(-2));
        let covariance = normal.cholesky().ok_or_else(unsettled)?.inverse();
        if covariance.iter().any(|v| !v.is_finite()) {
            return Err(unsettled());
        }
        let values = &covariance * terms.transpose() * &errors;
        let freedom = rows.len().saturating_sub(PARAMETERS).max(1) as f64;
        let agreement = ((&terms * &values - &errors).norm_squared() / freedom).sqrt();
        Ok(Self { values, covariance, agreement })
    }

    fn errors(&self) -> Errors {
        let v = &self.values;
        Errors {
            hole_allowance: -v[HOLE],
            outside_allowance: -v[OUTSIDE],
            first_layer: v[BULGE],
            wall: -v[WALL],
            height: -v[SQUEEZE],
            scale_x: 1.0 + v[SCALE],
            scale_y: 1.0 + v[SCALE + 1],
            scale_z: 1.0 + v[SCALE + 2],
        }
    }

    /// Expanded, wider where the readings agree worse than they should (Birge's ratio), with what all readings of
    /// one pair of jaws have in common.
    fn uncertainty(&self) -> Errors {
        let wider = self.agreement.max(1.0);
        let of = |k: usize, in_common: f64| {
            COVERAGE * (self.covariance[(k, k)] * wider * wider + in_common * in_common).sqrt()
        };
        Errors {
            hole_allowance: of(HOLE, IN_COMMON.1),
            outside_allowance: of(OUTSIDE, IN_COMMON.0),
            first_layer: of(BULGE, 0.0),
            wall: of(WALL, IN_COMMON.0),
            height: of(SQUEEZE, IN_COMMON.0),
            scale_x: of(SCALE, 0.0).min(COVERAGE * SCALE_BEFORE),
            scale_y: of(SCALE + 1, 0.0).min(COVERAGE * SCALE_BEFORE),
            scale_z: of(SCALE + 2, 0.0).min(COVERAGE * SCALE_BEFORE),
        }
    }
}

enum Contradiction {
    None,
    /// Which row, and how far it is off what the others say, mm.
    Of(usize, f64),
    /// Letters of which one must be wrong, though they do not say which.
    Between(String),
}

/// The letter that the others contradict most, by its residual over that residual's standard deviation.
fn contradiction(rows: &[Row], solved: &Solved) -> Contradiction {
    let judged: Vec<(usize, f64, f64)> = rows
        .iter()
        .enumerate()
        .filter_map(|(i, row)| {
            let terms = DVector::from_row_slice(&row.terms);
            let residual = row.error - terms.dot(&solved.values);
            let explained = (terms.transpose() * &solved.covariance * &terms)[0];
            let left = row.variance - explained;
            // A letter that alone settles an error agrees with itself.
            (left > 0.02 * row.variance)
                .then(|| (i, (residual / left.sqrt()).abs(), residual * row.variance / left))
        })
        .collect();
    let Some(&(at, worst, off)) = judged.iter().max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return Contradiction::None;
    };
    if worst < CONTRADICTS {
        return Contradiction::None;
    }
    let alike: Vec<usize> = judged.iter().filter(|(_, t, _)| *t > 0.98 * worst).map(|(i, _, _)| *i).collect();
    match alike.len() {
        1 => Contradiction::Of(at, off),
        _ => {
            let letters: Vec<String> = alike.iter().map(|&i| rows[i].letter.to_string()).collect();
            Contradiction::Between(letters.join(", "))
        }
    }
}

//! Currents around the loops of a feed.
//!
//! The voltage around each loop is zero. With a current of one ampere through each chord in turn, the trees tell how much every loop
//! feels of it; the matrix of these is symmetric and positive semidefinite, and is factored once as L D Lᵀ.

use super::tree::Forest;
use super::{Feed, FeedError};

/// A pivot, or a voltage around a loop without resistance, below this part of the largest counts as zero.
const NOTHING: f64 = 1e-12;

/// The factored equations of the loops.
pub(super) struct Loops {
    /// Row by row: L below the diagonal, D on it; zero on the diagonal for a loop without resistance.
    factors: Vec<Vec<f64>>,
}

impl Loops {
    pub(super) fn new(feed: &Feed, forest: &Forest) -> Self {
        let chords = &forest.chords;
        let mut factors = vec![vec![0.0; chords.len()]; chords.len()];
        for (column, &place) in chords.iter().enumerate() {
            let mut leaving = vec![0.0; feed.nodes];
            leaving[feed.conductors[place].from.0] += 1.0;
            leaving[feed.conductors[place].to.0] -= 1.0;
            let felt = forest.carry(feed, leaving, 0.0);
            for (row, voltage) in emf(feed, forest, &felt.nodes).into_iter().enumerate() {
                factors[row][column] = -voltage;
            }
            factors[column][column] += feed.conductors[place].ohms;
        }
        factor(&mut factors);
        Self { factors }
    }

    /// The current of each chord that closes its loop, given the potentials with all loops open.
    ///
    /// Around a loop without resistance any current would do: none is taken. A voltage around such a loop is a short circuit.
    pub(super) fn currents(&self, feed: &Feed, forest: &Forest, open: &[f64]) -> Result<Vec<f64>, FeedError> {
        let mut values = emf(feed, forest, open);
        let size = values.len();
        let largest = open.iter().fold(feed.voltage.0, |largest, volts| largest.max(volts.abs()));
        for row in 0..size {
            values[row] -= (0..row).map(|column| self.factors[row][column] * values[column]).sum::<f64>();
        }
        for (row, value) in values.iter_mut().enumerate() {
            let pivot = self.factors[row][row];
            if pivot > 0.0 {
                *value /= pivot;
            } else if value.abs() > 1e3 * NOTHING * largest {
                return Err(FeedError::Short);
            } else {
                *value = 0.0;
            }
        }
        for row in (0..size).rev() {
            values[row] -= (row + 1..size).map(|below| self.factors[below][row] * values[below]).sum::<f64>();
        }
        Ok(values)
    }
}

/// The voltage that drives current through each chord.
fn emf(feed: &Feed, forest: &Forest, nodes: &[f64]) -> Vec<f64> {
    let across = |&place: &usize| nodes[feed.conductors[place].from.0] - nodes[feed.conductors[place].to.0];
    forest.chords.iter().map(across).collect()
}

/// Factors a symmetric positive semidefinite matrix in place.
fn factor(matrix: &mut [Vec<f64>]) {
    let size = matrix.len();
    let largest = (0..size).map(|row| matrix[row][row]).fold(0.0, f64::max);
    for column in 0..size {
        let gone: f64 = (0..column).map(|k| matrix[column][k] * matrix[column][k] * matrix[k][k]).sum();
        let pivot = matrix[column][column] - gone;
        matrix[column][column] = if pivot > NOTHING * largest { pivot } else { 0.0 };
        for row in column + 1..size {
            let gone: f64 = (0..column).map(|k| matrix[row][k] * matrix[column][k] * matrix[k][k]).sum();
            let rest = matrix[row][column] - gone;
            matrix[row][column] = if matrix[column][column] > 0.0 { rest / matrix[column][column] } else { 0.0 };
        }
    }
}

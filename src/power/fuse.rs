//! Fuses of the R10 series.

use crate::quantity::Current;

/// The next R10 rating above a load.
pub fn next_r10(_load: Current) -> Current {
    unimplemented!()
}

//! Which scheme the rules choose.

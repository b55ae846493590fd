//! The price of one more turnout.

//! What wiring and mechanics measure for a subject.

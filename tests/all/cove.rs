//! A desk with the file of a small layout, for tests of what a person reads about it.

use crate::program::Desk;

/// Two boards, a live frog, a fixed panel, a signal with lights.
pub(crate) const COVE: &str = "\
name: Cove
boards:
  - {id: Pier, size: 900 x 300 mm}
  - {id: Town, size: 800 x 300 mm}
joints:
  - between: [Pier, Town]
    at: [900 x 150 mm, 0 x 150 mm]
panel: {board: Pier, at: 400 x 0 mm}
turnouts:
  - {id: T1, board: Pier, at: 300 x 180 mm, frog: live}
  - {id: T2, board: Town, at: 250 x 120 mm}
signals:
  - {id: S1, board: Town, at: 600 x 200 mm, kind: colour light, aspects: 2}
routes:
  - {id: arrival, throws: [T1, T2]}
";

/// A desk on which it lies as `cove.yaml`.
pub(crate) fn desk() -> Desk {
    Desk::new().file("cove.yaml", COVE)
}

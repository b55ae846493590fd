//! Shortest ways under the boards, over the joints.

/// A way.
#[derive(Debug, Clone)]
pub struct Path;
/// All ways.
#[derive(Debug, Clone)]
pub struct Paths;

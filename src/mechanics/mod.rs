//! Mechanics under the board: the spring-wire rod from drive to blades, the travel it must give, depth, screws, the hole.
//!
//! Pure sums over lengths and forces that know neither layout nor catalogue; [`rods`], [`screws`] and [`drillings`] put a plan through them.

mod fixing;
mod plan;
mod rod;
mod template;
mod travel;
mod wire;

pub use fixing::{Bite, Room, Screw, least_hole, longest_screw, room};
pub use plan::{HOLE, RodCheck, ScrewCheck, rods, screws};
pub use rod::{DriveEnd, NotARod, Rod, Stiffness, Throw, thinnest};
pub use template::{Bracket, Drilling, Screws, drillings};
pub use travel::{SCALES, Scale, scale};
pub use wire::{Stress, elastic_limit, modulus, tensile_strength};

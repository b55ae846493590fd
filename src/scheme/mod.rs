//! Schemes: ways of driving, as data.
//!
//! A [`Scheme`] says what it can move, how it is wired, what current it draws and what it gives in contacts and mechanics. The code
//! knows these mechanics and no scheme by name; [`assign`] gives every drive of a layout its scheme and plans the controllers.

mod assignment;
mod controllers;
mod model;
mod sharing;

pub use assignment::{Assignment, Controller, assign, controller_kind, split};
pub use model::*;
pub use sharing::share;

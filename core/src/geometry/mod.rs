//! Where things are: positions, exact predicates, and distances with a guaranteed direction of error.
//!
//! Topology is decided on exact integer differences from the launch point ([`predicate`]). Distances are measured in the
//! plane that touches the ellipsoid at launch ([`frame`]) and turned into lower bounds of geodesic ones ([`separation`]). What
//! all that can lose is added up in [`error_budget`].

pub mod error_budget;
pub mod frame;
pub(crate) mod plane;
pub mod position;
pub mod predicate;
pub mod separation;
pub(crate) mod shape;
pub mod straightness;

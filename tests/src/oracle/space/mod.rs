//! Rules about space, held to a second opinion on cases made to be hard: obstacles a few centimetres on either side of what is
//! demanded, on the path and on every automatic return that could begin on it.
//!
//! * [`near`], [`triangle`], [`sift`]: distances, touching, and where along a piece a value is least.
//! * [`passage`], [`spread`], [`air`]: what passes over the ground, and what is demanded of it.
//! * [`zone`], [`ground`], [`levels`]: what each obstacle leaves.
//! * [`scene`], [`place`], [`lay`], [`dice`]: cases; [`compare`], [`decision`], [`bombard`]: many of
//!   them, held against verdicts.

pub mod air;
pub mod bombard;
pub mod compare;
pub mod decision;
pub mod dice;
pub mod ground;
pub mod lay;
pub mod levels;
pub mod near;
pub mod passage;
pub mod place;
pub mod scene;
pub mod sift;
pub mod spread;
pub mod triangle;
pub mod zone;

//! What the checker ought to say, worked out a second time: slowly, in rationals where a yes or no hangs on it and by numeric
//! search over geodesics where a distance does. Nothing here shares code or method with the checker; only the values that go
//! in (limits, launch point, steps) and the verdict that comes out are its own.
//!
//! * [`exact`]: inside, outside, touching, in rationals.
//! * [`earth`], [`course`], [`search`], [`distance`]: the ellipsoid and the three readings of "straight".
//! * [`flight`]: the pieces of path that steps mean, and the margins that they demand.
//! * [`extent`], [`zones`], [`figures`], [`order`], [`energy`]: what each rule ought to find.
//! * [`compare`], [`tally`]: where a verdict disagrees, in which direction, and how much was compared.
//! * [`generate`], [`sketch`], [`vary`]: cases from a few numbers; [`campaign`]: many of them.
//! * [`space`]: rules about space on cases made to be hard, millions of them.

pub mod campaign;
pub mod compare;
pub mod course;
pub mod distance;
pub mod earth;
pub mod energy;
pub mod exact;
pub mod extent;
pub mod figures;
pub mod flight;
pub mod generate;
pub mod order;
pub mod search;
pub mod sketch;
pub mod space;
pub mod tally;
pub mod vary;
pub mod zones;

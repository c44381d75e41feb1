//! What a step means: the pieces of path that it makes.

use super::{limits::ReturnHabits, route::Step};
use crate::geometry::{frame::Frame, predicate::Point};

/// What happens on a piece of path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motion {
    /// None yet: where an aircraft is that is flying already when a route is checked.
    Aloft,
    /// Straight up from the ground or from a point.
    Climb,
    /// Along a leg.
    Fly,
    /// Staying in the air.
    Hold,
    /// The rise that begins a return.
    Rise,
    /// From there to above the launch point.
    WayHome,
    /// Straight down to the ground.
    Descent,
}

/// Where the aircraft is: place, and height above launch in 0.01 m.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// Place.
    pub(crate) place: Point,
    /// Height above launch, 0.01 m.
    pub(crate) height: i32,
}

impl Spot {
    /// On the ground at launch.
    pub(crate) const LAUNCH: Self = Self { place: Point { x: 0, y: 0 }, height: 0 };
}

/// A piece of path: straight, from one spot to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What happens.
    pub(crate) motion: Motion,
    /// Where it begins.
    pub(crate) from: Spot,
    /// Where it ends.
    pub(crate) to: Spot,
    /// Speed over ground that is asked for, 0.01 m/s; 0 where the aircraft doesn't move horizontally.
    pub(crate) speed: i32,
    /// Speed over ground that its horizontal margin allows for: that of the leg before for the rise of a return.
    pub(crate) margin_speed: i32,
    /// Time that it takes at least, 0.01 s: that of a hold.
    pub(crate) time: i32,
}

/// Most pieces of a step.
pub(crate) const PIECES: usize = 4;

/// The pieces of one step.
pub(crate) type Pieces = heapless::Vec<Piece, PIECES>;

/// A step's target in the launch point's coordinates, if it has one and it is within bounds.
pub(crate) fn target(frame: &Frame, step: &Step) -> Result<Option<Point>, OutOfReach> {
    match step {
        Step::Fly { to, .. } => frame.local(*to).map(Some).ok_or(OutOfReach),
        Step::Climb { .. } | Step::Hold { .. } | Step::Land | Step::Return => Ok(None),
    }
}

/// A step leads beyond what can be vouched for.
#[derive(Debug)]
pub(crate) struct OutOfReach;

/// What a step begins with.
#[derive(Clone, Copy)]
pub(crate) struct Begin {
    /// Where.
    pub(crate) spot: Spot,
    /// The ground speed that the leg before was flown at, 0.01 m/s.
    pub(crate) speed: i32,
    /// How high above launch the ground below may be at least, 0.01 m: a landing ends there.
    pub(crate) ground: i32,
}

/// Where an aircraft is flying already: at any speed up to the highest.
pub(crate) fn aloft(spot: Spot, speed: i32) -> Piece {
    Piece { motion: Motion::Aloft, from: spot, to: spot, speed, margin_speed: speed, time: 0 }
}

/// The descent that ends every return from a spot.
pub(crate) fn descent_at_launch(from: Spot, homeward: &ReturnHabits) -> Piece {
    let top = Spot { height: from.height.max(homeward.height.get()), ..Spot::LAUNCH };
    Piece { motion: Motion::Descent, from: top, to: Spot::LAUNCH, speed: 0, margin_speed: 0, time: 0 }
}

/// The pieces of a step. `target` is where a fly step leads.
pub(crate) fn pieces(step: &Step, begin: Begin, target: Point, homeward: &ReturnHabits) -> Pieces {
    let start = begin.spot;
    let mut pieces = Pieces::new();
    // There is room for every step: four pieces at most.
    let mut add = |piece: Piece| pieces.push(piece).unwrap_or(());
    let still = |motion: Motion, from: Spot, height: i32, time: i32| Piece {
        motion,
        from,
        to: Spot { height, ..from },
        speed: 0,
        margin_speed: 0,
        time,
    };
    match *step {
        Step::Climb { height } => add(still(Motion::Climb, start, height.get(), 0)),
        Step::Hold { time } => add(still(Motion::Hold, start, start.height, time.get())),
        Step::Land => add(still(Motion::Descent, start, begin.ground, 0)),
        Step::Fly { height, speed, hold, .. } => {
            let end = Spot { place: target, height: height.get() };
            let speed = speed.get();
            add(Piece { motion: Motion::Fly, from: start, to: end, speed, margin_speed: speed, time: 0 });
            if hold.get() > 0 {
                add(still(Motion::Hold, end, end.height, hold.get()));
            }
        }
        Step::Return => {
            let top = Spot { height: start.height.max(homeward.height.get()), ..start };
            let above = Spot { place: Point { x: 0, y: 0 }, ..top };
            // A way home without length is no flight: nothing runs on.
            let speed = if start.place == above.place { 0 } else { homeward.speed.get() };
            add(Piece { margin_speed: begin.speed, ..still(Motion::Rise, start, top.height, 0) });
            add(Piece { motion: Motion::WayHome, from: top, to: above, speed, margin_speed: speed, time: 0 });
            add(still(Motion::Hold, above, above.height, homeward.hold.get()));
            add(still(Motion::Descent, above, 0, 0));
        }
    }
    pieces
}

//! The pieces of path that steps mean, and what margins they demand.

use pinfold_core::{
    geometry::position::Position,
    model::{
        limits::{Figures, Margins},
        route::{Launch, Step},
    },
    rules::Aloft,
};

use super::{course::Home, exact::Local};

/// Standard gravity, m/s^2.
const GRAVITY: f64 = 9.806_65;

/// What the aircraft does on a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Straight up, because a step says so.
    Climb,
    /// Along a leg.
    Fly,
    /// Staying.
    Hold,
    /// Straight up, because a return begins.
    Rise,
    /// To above the launch point.
    Home,
    /// Straight down, to the ground.
    Descent,
}

/// A piece of path. Metres, m/s, seconds.
#[derive(Clone, Copy, Debug)]
pub struct Piece {
    /// Number of the step, from 1.
    pub step: u16,
    /// What the aircraft does.
    pub doing: Doing,
    /// Where it starts.
    pub from: Local,
    /// Where it ends.
    pub to: Local,
    /// Height at the start and at the end, above launch.
    pub heights: (f64, f64),
    /// Speed over ground that is asked for.
    pub speed: f64,
    /// The speeds that the horizontal margin may be taken from: at least, at most. They differ where the path model leaves it open.
    pub margin_speeds: (f64, f64),
    /// How long it takes, for a hold.
    pub seconds: f64,
}

/// The distances that a piece demands, in metres.
#[derive(Clone, Copy, Debug)]
pub struct Demand {
    /// Horizontally.
    pub across: f64,
    /// Upwards.
    pub up: f64,
    /// Downwards.
    pub down: f64,
}

/// What a speed demands.
#[must_use]
pub fn demand(margins: &Margins, speed: f64) -> Demand {
    let (reaction, tilt) = (f64::from(margins.reaction.get()) / 100.0, f64::from(margins.brake_tilt.get()));
    let (fixed, up_fixed) = (hundredths(margins.fixed.get()), hundredths(margins.up_fixed.get()));
    let fall = speed * speed / (2.0 * GRAVITY);
    Demand {
        across: fixed + speed * reaction + fall / tilt.to_radians().tan(),
        up: up_fixed + 0.7 * speed * reaction + fall,
        down: up_fixed,
    }
}

/// A count of hundredths.
#[must_use]
pub fn hundredths(count: i32) -> f64 {
    f64::from(count) / 100.0
}

/// Where a position is, seen from the launch point the short way round.
#[must_use]
pub fn local(launch: &Launch, position: Position) -> Local {
    const TURN: i64 = 3_600_000_000;
    let count = |position: Position| (i64::from(position.longitude.get()), i64::from(position.latitude.get()));
    let (here, there) = (count(launch.position), count(position));
    let east = (there.0 - here.0 + TURN / 2).rem_euclid(TURN) - TURN / 2;
    (east, there.1 - here.1)
}

/// Where the launch point is.
#[must_use]
pub fn home(launch: &Launch) -> Home {
    Home::at(i64::from(launch.position.latitude.get()))
}

/// Where a route starts.
#[derive(Clone, Copy, Debug)]
pub struct Start {
    at: Local,
    height: f64,
}

impl Start {
    /// On the ground at launch.
    pub const GROUND: Self = Self { at: (0, 0), height: 0.0 };

    /// In the air.
    #[must_use]
    pub fn aloft(launch: &Launch, aloft: Aloft) -> Self {
        Self { at: local(launch, aloft.position), height: hundredths(aloft.height.get()) }
    }
}

/// The pieces of a route that is in order and starts on the ground.
#[must_use]
pub fn pieces(figures: &Figures, launch: &Launch, steps: &[Step]) -> Vec<Piece> {
    pieces_from(figures, launch, Start::GROUND, steps)
}

/// The pieces of a route that is in order.
#[must_use]
pub fn pieces_from(figures: &Figures, launch: &Launch, start: Start, steps: &[Step]) -> Vec<Piece> {
    let Start { at, height } = start;
    let mut flight = Flight { figures, at, height, speed_before: 0.0, step: 0, pieces: Vec::new() };
    for (number, step) in (1..).zip(steps) {
        flight.step = number;
        flight.take(launch, step);
    }
    flight.pieces
}

struct Flight<'a> {
    figures: &'a Figures,
    at: Local,
    height: f64,
    speed_before: f64,
    step: u16,
    pieces: Vec<Piece>,
}

impl Flight<'_> {
    fn take(&mut self, launch: &Launch, step: &Step) {
        match step {
            Step::Climb { height } => self.vertical(Doing::Climb, hundredths(height.get())),
            Step::Hold { time } => self.hold(hundredths(time.get())),
            Step::Land => self.vertical(Doing::Descent, 0.0),
            Step::Fly { to, height, speed, hold } => {
                let speed = hundredths(speed.get());
                self.travel(Doing::Fly, local(launch, *to), hundredths(height.get()), speed);
                self.hold(hundredths(hold.get()));
                self.speed_before = speed;
            }
            Step::Return => self.go_home(),
        }
    }

    fn go_home(&mut self) {
        let habits = &self.figures.homeward;
        let (height, speed, hold) =
            (hundredths(habits.height.get()), hundredths(habits.speed.get()), hundredths(habits.hold.get()));
        self.vertical(Doing::Rise, self.height.max(height));
        self.travel(Doing::Home, (0, 0), self.height, speed);
        self.hold(hold);
        self.vertical(Doing::Descent, 0.0);
    }

    fn travel(&mut self, doing: Doing, to: Local, height: f64, speed: f64) {
        let least = if self.at == to { 0.0 } else { speed };
        self.add(Piece {
            to,
            heights: (self.height, height),
            speed,
            margin_speeds: (least, speed),
            ..self.here(doing)
        });
    }

    fn vertical(&mut self, doing: Doing, height: f64) {
        let most = if doing == Doing::Rise { self.speed_before } else { 0.0 };
        self.add(Piece { heights: (self.height, height), margin_speeds: (0.0, most), ..self.here(doing) });
    }

    fn hold(&mut self, seconds: f64) {
        self.add(Piece { seconds, ..self.here(Doing::Hold) });
    }

    fn here(&self, doing: Doing) -> Piece {
        Piece {
            step: self.step,
            doing,
            from: self.at,
            to: self.at,
            heights: (self.height, self.height),
            speed: 0.0,
            margin_speeds: (0.0, 0.0),
            seconds: 0.0,
        }
    }

    fn add(&mut self, piece: Piece) {
        self.at = piece.to;
        self.height = piece.heights.1;
        self.pieces.push(piece);
    }
}

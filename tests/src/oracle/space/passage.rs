//! What passes over the ground: the pieces of path themselves, and the automatic returns that could begin on them.

use pinfold_core::model::limits::{Figures, Margins};

use super::{
    near::Stretch,
    spread::{Spread, spread},
    triangle::Triangle,
};
use crate::oracle::{
    course::{Course, Home, Reading},
    earth::Ground,
    flight::{Doing, Piece, demand, hundredths},
};

/// Which part of a flight it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The piece of path itself.
    Own,
    /// The rises that could begin a return on it.
    Rise,
    /// All ways home from it.
    Home,
    /// The descent at launch after such a return.
    Column,
}

/// What passes: a point, a line, or the triangle that ways home fill.
#[derive(Clone, Debug)]
pub struct Passage {
    /// Number of the step.
    pub step: u16,
    /// Which part of a flight.
    pub kind: Kind,
    /// What the aircraft does on the piece that it belongs to.
    pub doing: Doing,
    /// Heights of the piece at both ends.
    own: (f64, f64),
    return_height: f64,
    /// Horizontal margin, at least and at most.
    pub across: (f64, f64),
    /// Upward margin, at least and at most.
    pub up: (f64, f64),
    /// Downward margin.
    pub down: f64,
    /// How far apart the readings are.
    pub spread: Spread,
    /// Corners; flat unless it is ways home.
    pub triangle: Triangle,
    /// Its outline.
    pub sides: Vec<Stretch>,
    /// Where launch is.
    pub home: Home,
    course: Course,
    launch: Ground,
}

/// Everything that passes on a flight.
#[must_use]
pub fn passages(figures: &Figures, home: Home, pieces: &[Piece]) -> Vec<Passage> {
    let mut all = Vec::new();
    let mut returning = false;
    for piece in pieces {
        returning |= piece.doing == Doing::Rise;
        let own = Passage::own(figures, home, piece);
        // A hold is no tighter than the piece that led to it.
        if !returning && piece.doing != Doing::Hold {
            all.push(own.rise(&figures.margins));
            all.push(own.ways_home(figures, home));
            all.push(own.column(&figures.margins, home));
        }
        all.push(own);
    }
    all
}

impl Passage {
    fn own(figures: &Figures, home: Home, piece: &Piece) -> Self {
        let margins = &figures.margins;
        let (low, high) = (demand(margins, piece.margin_speeds.0), demand(margins, piece.margin_speeds.1));
        let still = demand(margins, 0.0).up;
        let ups = if piece.doing == Doing::Rise { (still, still) } else { (low.up, high.up) };
        let (from, to) = (home.ground(piece.from), home.ground(piece.to));
        Self {
            step: piece.step,
            kind: Kind::Own,
            doing: piece.doing,
            own: piece.heights,
            return_height: hundredths(figures.homeward.height.get()),
            across: (low.across, high.across),
            up: ups,
            down: low.down,
            spread: spread(home, from, to),
            triangle: [piece.from, piece.to, piece.to],
            sides: vec![Stretch::new(from, to)],
            course: Course::new(home, piece.from, piece.to, Reading::Degrees),
            home,
            launch: home.ground((0, 0)),
        }
    }

    fn rise(&self, margins: &Margins) -> Self {
        let still = demand(margins, 0.0).up;
        Self { kind: Kind::Rise, up: (still, still), ..self.clone() }
    }

    /// All straight ways from the piece to launch.
    fn ways_home(&self, figures: &Figures, home: Home) -> Self {
        let [from, to, _] = self.triangle;
        let flies = from != (0, 0) || to != (0, 0);
        let demand = demand(&figures.margins, if flies { hundredths(figures.homeward.speed.get()) } else { 0.0 });
        let (a, b) = (home.ground(from), home.ground(to));
        let starts = (0..=8_u8).map(|number| self.course.at(f64::from(number) / 8.0));
        let homeward = starts.map(|start| spread(home, start, self.launch)).fold(Spread::default(), Spread::larger);
        Self {
            kind: Kind::Home,
            across: (demand.across, demand.across),
            up: (demand.up, demand.up),
            spread: self.spread.plus(homeward),
            triangle: [from, to, (0, 0)],
            sides: vec![Stretch::new(a, b), Stretch::new(self.launch, a), Stretch::new(self.launch, b)],
            ..self.clone()
        }
    }

    /// Down to launch from as high as a return can come.
    fn column(&self, margins: &Margins, home: Home) -> Self {
        let still = demand(margins, 0.0);
        Self {
            kind: Kind::Column,
            across: (still.across, still.across),
            up: (still.up, still.up),
            spread: Spread::default(),
            triangle: [(0, 0); 3],
            sides: vec![Stretch::new(self.launch, self.launch)],
            course: Course::new(home, (0, 0), (0, 0), Reading::Degrees),
            ..self.clone()
        }
    }

    /// The length of the longest line of it, in metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.sides.iter().map(Stretch::length).fold(0.0, f64::max)
    }

    /// What may be lost of a clearance: 5 cm, a thousandth, and on long legs how far the readings are apart.
    #[must_use]
    pub fn tolerance(&self, clearance: f64) -> f64 {
        0.05 + 0.001 * clearance + if self.length() > 500.0 { self.spread.at_most } else { 0.0 }
    }

    /// Whether heights change along it.
    #[must_use]
    pub fn is_slanted(&self) -> bool {
        let [from, to, _] = self.triangle;
        from != to && self.heights(0.0) != self.heights(1.0)
    }

    /// Whether nothing rises there: it is as high already. Whether it is asked about is nobody's promise.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.kind == Kind::Rise && self.own.0.min(self.own.1) >= self.return_height
    }

    /// Height of the piece at its end.
    #[must_use]
    pub const fn end_height(&self) -> f64 {
        self.own.1
    }

    /// What passes at a parameter of the piece.
    #[must_use]
    pub fn slice(&self, share: f64) -> Stretch {
        let place = self.course.at(share);
        Stretch::new(place, if self.kind == Kind::Home { self.launch } else { place })
    }

    /// Lowest and highest indicated height at a parameter of the piece.
    #[must_use]
    pub fn heights(&self, share: f64) -> (f64, f64) {
        let [from, to, _] = self.triangle;
        let (low, high) = if from == to {
            (self.own.0.min(self.own.1), self.own.0.max(self.own.1))
        } else {
            let height = self.own.0 + self.course.covered(share) * (self.own.1 - self.own.0);
            (height, height)
        };
        match self.kind {
            Kind::Own => (low, high),
            Kind::Rise => (low, high.max(self.return_height)),
            Kind::Home => (low.max(self.return_height), high.max(self.return_height)),
            Kind::Column => (0.0, high.max(self.return_height)),
        }
    }

    /// Height that a long slope may lose, since it is reached sooner or later on other readings.
    #[must_use]
    pub fn slope_lost(&self) -> f64 {
        let [from, to, _] = self.triangle;
        if from == to { 0.0 } else { (self.own.1 - self.own.0).abs() * 2.0 * self.shift() }
    }

    /// By which part of the piece a height may come sooner or later, at most: as much as the most crooked line strays sideways.
    fn shift(&self) -> f64 {
        const RADIUS: f64 = 6.371e6;
        let latitude = self.course.at(0.5).latitude.abs() + 0.5;
        (1.1 * latitude.to_radians().tan() + 0.01) / RADIUS * self.course.meters / 8.0
    }
}

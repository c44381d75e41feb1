//! The limits and routes that a search sends, and what the checker says of them by itself.

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    link::PIECE,
    model::limits::Freshness,
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::Kind,
};

use crate::{
    board::sample::{meadow, packed_meadow, route, start, steps},
    sample::duration,
};

/// Heights of the two routes, 0.01 m.
const HEIGHTS: [i32; 2] = [2_000, 3_050];
/// Highest that the two limits allow, 0.01 m.
const CEILINGS: [i32; 2] = [3_000, 6_000];
/// Bytes of a route in a piece, so that a route, too, takes more than one.
const SHORT: usize = 32;
/// A reading is fresh for this long. Unit: 0.01 s.
const FRESH: i32 = 100;

/// Limits to be held to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limits {
    /// The stricter ones.
    Strict,
    /// The looser ones.
    Loose,
}

/// Routes to be judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Route {
    /// Below both ceilings.
    Low,
    /// Between them.
    High,
}

/// Both limits.
pub const LIMITS: [Limits; 2] = [Limits::Strict, Limits::Loose];
/// Both routes.
pub const ROUTES: [Route; 2] = [Route::Low, Route::High];

/// What can be sent of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What it is a piece of.
    pub kind: Kind,
    /// Where it begins.
    pub offset: usize,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// All files.
#[derive(Clone, Debug)]
pub struct Files {
    limits: [Vec<u8>; 2],
    routes: [Vec<u8>; 2],
    /// The fingerprints of limits and of routes.
    names: [[Fingerprint; 2]; 2],
    /// The limits in memory, as a board prints them.
    printed: [String; 2],
    asked: [Freshness; 2],
    go: [[bool; 2]; 2],
    /// From this age on it doesn't matter any more how old it is that the aircraft flies. Unit: ms.
    pub flight_age: u32,
    /// Whether states differ that differ only in bytes of flash that nothing reads.
    pub every_byte: bool,
    /// Every piece of every file once.
    pub pieces: Vec<Piece>,
}

/// All readings are asked for.
#[must_use]
pub fn all_asked() -> Freshness {
    let fresh = Some(duration(FRESH));
    Freshness { position: fresh, pack: fresh, flight: fresh }
}

impl Files {
    /// Limits that ask for these readings.
    ///
    /// # Panics
    /// The checker doesn't say of the routes what the search is about.
    #[must_use]
    pub fn new(asked: [Freshness; 2]) -> Self {
        let limits = [0, 1].map(|at| packed_meadow(CEILINGS[at], asked[at]));
        let routes = HEIGHTS.map(route);
        let go = LIMITS.map(|limits| ROUTES.map(|route| judged(limits, route, asked)));
        assert_eq!(go, [[true, false], [true, true]]);
        let printed = [0, 1].map(|at| format!("{:?}", meadow(CEILINGS[at], asked[at])));
        // What isn't asked for is used up to 5 s; a second more tells that it has been.
        let flight_age = if asked.iter().all(|asked| asked.flight.is_some()) { 2_001 } else { 5_001 };
        let names = [&limits, &routes].map(|files| [0, 1].map(|at| Fingerprint::of(&files[at])));
        let mut files =
            Self { limits, routes, names, printed, asked, go, flight_age, every_byte: false, pieces: Vec::new() };
        for limits in LIMITS {
            files.cut(Kind::Limits, files.limits(limits).to_vec(), PIECE);
        }
        for route in ROUTES {
            files.cut(Kind::Route, files.route(route).to_vec(), SHORT);
        }
        files
    }

    fn cut(&mut self, kind: Kind, bytes: Vec<u8>, size: usize) {
        for (number, bytes) in bytes.chunks(size).enumerate() {
            let piece = Piece { kind, offset: number * size, bytes: bytes.to_vec() };
            if !self.pieces.contains(&piece) {
                self.pieces.push(piece);
            }
        }
    }

    /// The pieces of a file, in order, by their places in [`Self::pieces`].
    #[must_use]
    pub fn pieces_of(&self, kind: Kind, bytes: &[u8]) -> Vec<usize> {
        let of = |piece: &Piece| {
            piece.kind == kind && bytes.get(piece.offset..).is_some_and(|rest| rest.starts_with(&piece.bytes))
        };
        let mut found: Vec<_> = (0..self.pieces.len()).filter(|number| of(&self.pieces[*number])).collect();
        found.sort_by_key(|number| self.pieces[*number].offset);
        found
    }

    /// Whether a file of this kind begins with these bytes.
    #[must_use]
    pub fn begins(&self, kind: u8, bytes: &[u8]) -> bool {
        let files = if kind == Kind::Limits as u8 { &self.limits } else { &self.routes };
        files.iter().any(|file| file.starts_with(bytes))
    }

    /// Packed limits.
    #[must_use]
    pub fn limits(&self, limits: Limits) -> &[u8] {
        &self.limits[limits as usize]
    }

    /// A packed route.
    #[must_use]
    pub fn route(&self, route: Route) -> &[u8] {
        &self.routes[route as usize]
    }

    /// Limits as a board prints them.
    #[must_use]
    pub fn printed(&self, limits: Limits) -> &str {
        &self.printed[limits as usize]
    }

    /// What these limits ask to be known.
    #[must_use]
    pub fn asked(&self, limits: Limits) -> Freshness {
        self.asked[limits as usize]
    }

    /// Whether a route is Go by these limits, as the checker alone says.
    #[must_use]
    pub fn go(&self, limits: Limits, route: Route) -> bool {
        self.go[limits as usize][route as usize]
    }

    /// The limits that are these bytes.
    #[must_use]
    pub fn limits_that_are(&self, packed: &[u8]) -> Option<Limits> {
        LIMITS.into_iter().find(|limits| self.limits(*limits) == packed)
    }

    /// The fingerprint of limits.
    #[must_use]
    pub fn limits_name(&self, limits: Limits) -> Fingerprint {
        self.names[0][limits as usize]
    }

    /// The fingerprint of a route.
    #[must_use]
    pub fn route_name(&self, route: Route) -> Fingerprint {
        self.names[1][route as usize]
    }

    /// The limits with this fingerprint.
    #[must_use]
    pub fn named_limits(&self, fingerprint: Fingerprint) -> Option<Limits> {
        LIMITS.into_iter().find(|limits| self.limits_name(*limits) == fingerprint)
    }

    /// The route with this fingerprint.
    #[must_use]
    pub fn named_route(&self, fingerprint: Fingerprint) -> Option<Route> {
        ROUTES.into_iter().find(|route| self.route_name(*route) == fingerprint)
    }
}

fn judged(limits: Limits, route: Route, asked: [Freshness; 2]) -> bool {
    let store = meadow(CEILINGS[limits as usize], asked[limits as usize]);
    let subject = Subject { route: Fingerprint::NONE, limits: Fingerprint::NONE };
    let steps = steps(HEIGHTS[route as usize]);
    check(store.limits().expect("sealed"), start(), Readings::NONE, steps, subject).outcome() == Outcome::Go
}

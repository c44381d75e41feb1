//! The interlock against its drawing, written down a second time as a table that knows names only.

use std::sync::OnceLock;

use pinfold_core::{
    check::{Checker, Go, Standing},
    interlock::{Flight, Happening, Interlock, LANDED, Stage},
    model::{limits::Freshness, store::LimitsStore},
    rules::Readings,
    verdict::Subject,
};

use super::given::Given;
use crate::{
    board::sample::{meadow, start, steps},
    packed::{packed_limits, packed_route},
};

/// Heights of the two routes, 0.01 m.
const HEIGHTS: [i32; 2] = [2_000, 2_500];
/// Longest time between two looks that a landing takes, ms.
const LOOK: u32 = 1_000;

/// What somebody who reads the drawing knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Drawing {
    stage: Stage,
    /// Which route's Go is held.
    route: Option<usize>,
    grounded: u32,
    /// A fault that waits until the flight is over.
    faulty: bool,
}

/// What can happen, by names.
#[derive(Clone, Copy, Debug)]
enum Named {
    Fault,
    Begun,
    NoGo,
    Go(usize),
    Looked { standing: Option<usize>, flight: Option<Flight>, elapsed: u32 },
}

impl Drawing {
    const START: Self = Self { stage: Stage::Idle, route: None, grounded: 0, faulty: false };

    fn to(self, stage: Stage) -> Self {
        let held = matches!(stage, Stage::Waiting | Stage::Permitted | Stage::Latched);
        Self { stage, route: self.route.filter(|_| held), grounded: 0, faulty: false }
    }

    fn after(self, happening: Named) -> Self {
        if self.stage == Stage::Latched {
            return self.in_flight(happening);
        }
        if self.stage == Stage::Faulty {
            return self;
        }
        match happening {
            Named::Fault => self.to(Stage::Faulty),
            Named::Begun => self.to(Stage::Idle),
            Named::NoGo => self.to(Stage::NoGo),
            Named::Go(route) => Self { route: Some(route), ..self.to(Stage::Waiting) },
            Named::Looked { standing, flight, .. } => self.looked(standing.is_some() && standing == self.route, flight),
        }
    }

    fn looked(self, stands: bool, flight: Option<Flight>) -> Self {
        match (self.stage, flight) {
            (Stage::Waiting, Some(Flight::Ground)) if stands => self.to(Stage::Permitted),
            (Stage::Waiting, None) if stands => self.to(Stage::Latched),
            (Stage::Permitted, Some(Flight::Ground)) if !stands => self.to(Stage::Waiting),
            (Stage::Permitted, Some(Flight::Flying) | None) => self.to(Stage::Latched),
            _ => self,
        }
    }

    fn in_flight(self, happening: Named) -> Self {
        let Named::Looked { flight, elapsed, .. } = happening else {
            return Self { faulty: self.faulty || matches!(happening, Named::Fault), ..self };
        };
        let on_ground = flight == Some(Flight::Ground) && elapsed <= LOOK;
        let grounded = if on_ground { self.grounded + elapsed } else { 0 };
        match (grounded >= LANDED, self.faulty) {
            (false, _) => Self { grounded, ..self },
            (true, false) => self.to(Stage::Idle),
            (true, true) => self.to(Stage::Faulty),
        }
    }
}

/// Limits, and what there is to say about each of the routes.
struct Known {
    store: Box<LimitsStore>,
    subjects: [Subject; 2],
}

impl Known {
    fn new() -> Self {
        let store = meadow(5_000, Freshness::default());
        let limits = packed_limits(store.limits().expect("sealed")).1;
        let subjects = HEIGHTS.map(|height| Subject { route: packed_route(&start(), &steps(height)).1, limits });
        Self { store, subjects }
    }

    fn go(&self, route: usize) -> Go {
        let limits = self.store.limits().expect("sealed");
        let mut checker = Checker::new(limits, start(), Readings::NONE);
        steps(HEIGHTS[route]).iter().for_each(|step| checker.step(limits, step));
        checker.decide(limits, self.subjects[route]).1.expect("a Go")
    }

    fn standing(&self, route: usize) -> Standing {
        let subject = self.subjects[route];
        let limits = self.store.limits().expect("sealed");
        self.go(route).stands(limits, subject.limits, &Readings::NONE).expect("it stands")
    }
}

fn named(given: &mut Given<'_>) -> Named {
    match given.below(12) {
        0 => Named::Fault,
        1 => Named::Begun,
        2 => Named::NoGo,
        3 | 4 => Named::Go(given.below(2)),
        _ => Named::Looked {
            standing: given.pick(&[None, Some(0), Some(0), Some(1)]),
            flight: given.pick(&[None, Some(Flight::Ground), Some(Flight::Ground), Some(Flight::Flying)]),
            elapsed: given.pick(&[0, 10, 999, LOOK, LOOK, LOOK + 1, LANDED, u32::MAX]),
        },
    }
}

/// Anything that can happen to it, in any order.
///
/// # Panics
/// It isn't where the drawing says, or has a permit where that says none.
pub fn events(input: &[u8]) {
    static KNOWN: OnceLock<(Known, [Standing; 2])> = OnceLock::new();
    let (known, standings) = KNOWN.get_or_init(|| {
        let known = Known::new();
        let standings = [0, 1].map(|route| known.standing(route));
        (known, standings)
    });
    let (mut given, mut interlock, mut drawing) = (Given::new(input), Interlock::new(), Drawing::START);
    while !given.is_empty() {
        let happening = named(&mut given);
        interlock.take(match happening {
            Named::Fault => Happening::Fault,
            Named::Begun => Happening::Begun,
            Named::NoGo => Happening::Judged(None),
            Named::Go(route) => Happening::Judged(Some(known.go(route))),
            Named::Looked { standing, flight, elapsed } => {
                Happening::Looked { standing: standing.map(|route| &standings[route]), flight, elapsed }
            }
        });
        let before = drawing;
        drawing = before.after(happening);
        assert_eq!(interlock.stage(), drawing.stage, "{happening:?} in {before:?}");
        assert_eq!(
            interlock.subject(),
            drawing.route.map(|route| known.subjects[route]),
            "{happening:?} in {before:?}"
        );
        let active = matches!(drawing.stage, Stage::Permitted | Stage::Latched);
        assert_eq!(interlock.permit().is_some(), active, "{happening:?} in {before:?}");
    }
}

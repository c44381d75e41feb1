//! Whether there is a permit: a closed state machine that sees no bytes and no pins.
//!
//! ```text
//!            begin anew                      judged: Go
//!      +------------------- any but -----------------------------> +---------+ <-----------------+
//!      v                    Latched                                | Waiting |                   | on the ground, and what
//!   +------+                                                      +---------+                   | is known doesn't stand
//!   | Idle |                judged: No-go, from any               |         | stands, not known |
//!   +------+                but Latched   +------+      stands on |         | whether it flies, | or it is too old
//!      ^                    ------------> | NoGo |      the ground|         | and nobody asks   |
//!      |                                  +------+                v         |                   |
//!      |                                                   +-----------+    |                   |
//!      |                                                   | Permitted | ---|-------------------+
//!      |                                                   +-----------+    |
//!      |                                      flies, or nobody     |        |
//!      | on the ground                        knows any more       v        v
//!      | for LANDED                                              +-------------+
//!      +-------------------------------------------------------- |   Latched   |
//!                                                                +-------------+
//!   Faulty: from any but Latched on a fault; nothing leads out of it but a restart. A fault in flight waits until the flight is over.
//! ```
//!
//! The permit is active in Permitted and in Latched, and nowhere else.
//!
//! * Permitted needs a [`Standing`] every time that anybody looks, and that the aircraft is known to be on the ground:
//!   whoever says begin, No-go or fault takes it away.
//! * Latched is an aircraft that flies, or that nobody can tell not to: **nothing that is said takes its permit.** It
//!   ends once the aircraft has been said to be on the ground for [`LANDED`] without a break. Then the Go is spent: the
//!   next flight needs its route again.
//! * An aircraft that flies already gets no permit: it doesn't need one.

use crate::{
    check::{Go, Standing},
    verdict::Subject,
};

/// How long an aircraft must be said to be on the ground before its flight is over. Unit: ms. Common practice, no
/// source.
pub const LANDED: u32 = 10_000;
/// Longest time between two looks that doesn't break that. Unit: ms.
const LOOK: u32 = 1_000;

/// Whether the aircraft flies, by a reading that is fresh.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Flight {
    /// It is on the ground.
    Ground,
    /// It flies.
    Flying,
}

/// A permit. Only this file makes one, from a [`Go`] that stands.
#[derive(Debug)]
pub struct Permit(Go);

impl Permit {
    /// The [`Standing`] proves that the Go holds now.
    fn new(go: Go, standing: &Standing) -> Result<Self, Go> {
        if standing.subject() == go.subject() { Ok(Self(go)) } else { Err(go) }
    }
}

/// The states.
#[derive(Debug)]
enum State {
    /// Something is wrong with the board.
    Faulty,
    /// No route is held that was judged.
    Idle,
    /// The route that came last is No-go.
    NoGo,
    /// A Go; what is known at the field doesn't stand, or isn't known yet.
    Waiting(Go),
    /// A permit, on the ground.
    Permitted(Permit),
    /// A permit, in flight for all that is known.
    Latched(Permit, Landing),
}

/// How a flight is to end.
#[derive(Clone, Copy, Debug)]
struct Landing {
    /// For how long the aircraft has been said to be on the ground, ms.
    ground: u32,
    /// Something is wrong with the board: it is faulty from then on.
    faulty: bool,
}

impl Landing {
    const FAR: Self = Self { ground: 0, faulty: false };
}

/// What a state is called, without what it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Stage {
    /// Something is wrong with the board: no permit until it is started again.
    Faulty,
    /// No route is held that was judged.
    Idle,
    /// The route that came last is No-go.
    NoGo,
    /// A Go; what is known at the field doesn't stand, or isn't known yet.
    Waiting,
    /// A permit, on the ground.
    Permitted,
    /// A permit, in flight for all that is known.
    Latched,
}

impl Stage {
    /// Whether the permit is active.
    #[must_use]
    pub const fn has_permit(self) -> bool {
        matches!(self, Self::Permitted | Self::Latched)
    }
}

/// What happens to it.
#[derive(Debug)]
pub enum Happening<'a> {
    /// Something is wrong with the board.
    Fault,
    /// A route or limits begin to come, or limits are gone.
    Begun,
    /// A route was judged on the ground: a Go, or none.
    Judged(Option<Go>),
    /// Somebody looked at what is known.
    Looked {
        /// That the Go stands, and that what the limits ask to be known is.
        standing: Option<&'a Standing>,
        /// Whether the aircraft flies, where that is known.
        flight: Option<Flight>,
        /// Time since the last look, ms.
        elapsed: u32,
    },
}

/// The interlock.
#[derive(Debug)]
pub struct Interlock(State);

impl Default for Interlock {
    fn default() -> Self {
        Self::new()
    }
}

impl Interlock {
    /// As after a start: no permit.
    #[must_use]
    pub const fn new() -> Self {
        Self(State::Idle)
    }

    /// Takes in what happened.
    pub fn take(&mut self, happening: Happening<'_>) {
        // While the next state is made there is none, and so no permit.
        let state = core::mem::replace(&mut self.0, State::Faulty);
        self.0 = state.after(happening);
    }

    /// The state's name.
    #[must_use]
    pub const fn stage(&self) -> Stage {
        match self.0 {
            State::Faulty => Stage::Faulty,
            State::Idle => Stage::Idle,
            State::NoGo => Stage::NoGo,
            State::Waiting(_) => Stage::Waiting,
            State::Permitted(_) => Stage::Permitted,
            State::Latched(..) => Stage::Latched,
        }
    }

    /// The permit, while it is active.
    #[must_use]
    pub const fn permit(&self) -> Option<&Permit> {
        match &self.0 {
            State::Permitted(permit) | State::Latched(permit, _) => Some(permit),
            State::Faulty | State::Idle | State::NoGo | State::Waiting(_) => None,
        }
    }

    /// The Go that is held, with a permit or without.
    #[must_use]
    pub const fn go(&self) -> Option<&Go> {
        match &self.0 {
            State::Waiting(go) | State::Permitted(Permit(go)) | State::Latched(Permit(go), _) => Some(go),
            State::Faulty | State::Idle | State::NoGo => None,
        }
    }

    /// What the Go that is held is about.
    #[must_use]
    pub fn subject(&self) -> Option<Subject> {
        self.go().map(Go::subject)
    }
}

impl State {
    fn after(self, happening: Happening<'_>) -> Self {
        match (self, happening) {
            (Self::Latched(permit, landing), Happening::Fault) => {
                Self::Latched(permit, Landing { faulty: true, ..landing })
            }
            (Self::Latched(permit, landing), Happening::Begun | Happening::Judged(_)) => Self::Latched(permit, landing),
            (Self::Latched(permit, landing), Happening::Looked { flight, elapsed, .. }) => {
                Self::latched(permit, landing, flight, elapsed)
            }
            (Self::Faulty, _) | (Self::Idle | Self::NoGo | Self::Waiting(_) | Self::Permitted(_), Happening::Fault) => {
                Self::Faulty
            }
            (Self::Idle | Self::NoGo | Self::Waiting(_) | Self::Permitted(_), Happening::Begun) => Self::Idle,
            (Self::Idle | Self::NoGo | Self::Waiting(_) | Self::Permitted(_), Happening::Judged(go)) => {
                go.map_or(Self::NoGo, Self::Waiting)
            }
            (Self::Idle, Happening::Looked { .. }) => Self::Idle,
            (Self::NoGo, Happening::Looked { .. }) => Self::NoGo,
            (Self::Waiting(go), Happening::Looked { standing, flight, .. }) => Self::waiting(go, standing, flight),
            (Self::Permitted(permit), Happening::Looked { standing, flight, .. }) => {
                Self::permitted(permit, standing, flight)
            }
        }
    }

    fn waiting(go: Go, standing: Option<&Standing>, flight: Option<Flight>) -> Self {
        match (standing, flight) {
            (None, _) | (Some(_), Some(Flight::Flying)) => Self::Waiting(go),
            (Some(standing), Some(Flight::Ground)) => {
                Permit::new(go, standing).map_or_else(Self::Waiting, Self::Permitted)
            }
            (Some(standing), None) => {
                Permit::new(go, standing).map_or_else(Self::Waiting, |permit| Self::Latched(permit, Landing::FAR))
            }
        }
    }

    fn permitted(permit: Permit, standing: Option<&Standing>, flight: Option<Flight>) -> Self {
        match (flight, standing) {
            (Some(Flight::Ground), Some(standing)) => {
                Permit::new(permit.0, standing).map_or_else(Self::Waiting, Self::Permitted)
            }
            (Some(Flight::Ground), None) => Self::Waiting(permit.0),
            (Some(Flight::Flying) | None, _) => Self::Latched(permit, Landing::FAR),
        }
    }

    fn latched(permit: Permit, landing: Landing, flight: Option<Flight>, elapsed: u32) -> Self {
        let on_ground = flight == Some(Flight::Ground) && elapsed <= LOOK;
        let ground = if on_ground { landing.ground.saturating_add(elapsed) } else { 0 };
        match (ground >= LANDED, landing.faulty) {
            (false, _) => Self::Latched(permit, Landing { ground, ..landing }),
            (true, false) => Self::Idle,
            (true, true) => Self::Faulty,
        }
    }
}

//! What a host asks and what a board answers.

use serde::{Deserialize, Serialize};

use super::PIECE;
use crate::{
    fingerprint::Fingerprint,
    geometry::position::Position,
    interlock::{Flight, Stage},
    model::{route::STEPS, zone},
    rules::PackReading,
    units::{Charge, Height},
    verdict::{Finding, RULE_COUNT},
    wire::{Kind, VERSION},
};

/// Version of the link: its messages and their order.
pub const LINK_VERSION: u8 = 2;

/// Some bytes of a whole.
pub type Bytes = heapless::Vec<u8, PIECE>;

/// What a host asks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ask {
    /// Who is there?
    Hello,
    /// A route or limits will come.
    Begin(Kind),
    /// The bytes from this offset on.
    Piece {
        /// Bytes before these.
        offset: u32,
        /// The bytes.
        bytes: Bytes,
    },
    /// What is the verdict, from this byte on?
    Verdict {
        /// Bytes that the host has.
        offset: u16,
    },
    /// What is known at the field.
    Readings(Report),
    /// How do things stand?
    Status,
}

/// A question with its number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Request {
    /// Number of the question: one more than that of the question before it, 0 after 65,535.
    pub sequence: u16,
    /// The question.
    pub ask: Ask,
}

/// A reading and how old it was when it was sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Aged<T> {
    /// What was read.
    pub value: T,
    /// How long ago. Unit: ms.
    pub age: u32,
}

impl<T> Aged<T> {
    /// A reading that is just made.
    pub const fn now(value: T) -> Self {
        Self { value, age: 0 }
    }

    /// The same reading so many ms later.
    #[must_use]
    pub fn older(self, by: u32) -> Self {
        Self { age: self.age.saturating_add(by), ..self }
    }
}

/// What is known at the field. What isn't said stays as it was, and grows older.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Report {
    /// Whether the aircraft flies.
    pub flight: Option<Aged<Flight>>,
    /// Where it is.
    pub position: Option<Aged<Position>>,
    /// Its height above launch.
    pub height: Option<Aged<Height>>,
    /// Its pack's resting voltage.
    pub pack: Option<Aged<PackReading>>,
    /// What is left in its pack, the reserve included.
    pub left: Option<Aged<Charge>>,
}

impl Report {
    /// Nothing is known.
    pub const NONE: Self = Self { flight: None, position: None, height: None, pack: None, left: None };

    /// The same readings so many ms later.
    #[must_use]
    pub fn older(self, by: u32) -> Self {
        Self {
            flight: self.flight.map(|reading| reading.older(by)),
            position: self.position.map(|reading| reading.older(by)),
            height: self.height.map(|reading| reading.older(by)),
            pack: self.pack.map(|reading| reading.older(by)),
            left: self.left.map(|reading| reading.older(by)),
        }
    }

    /// These readings, and of what they don't say those from before.
    #[must_use]
    pub fn or(self, before: Self) -> Self {
        Self {
            flight: self.flight.or(before.flight),
            position: self.position.or(before.position),
            height: self.height.or(before.height),
            pack: self.pack.or(before.pack),
            left: self.left.or(before.left),
        }
    }
}

/// What a board can hold and which rules it knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Capacities {
    /// Version of the link. It comes first in every version, so that each side can tell what the other speaks.
    pub link: u8,
    /// Version of the packed format.
    pub format: u8,
    /// Rules.
    pub rules: u8,
    /// Zones.
    pub zones: u8,
    /// Vertices.
    pub vertices: u16,
    /// Steps.
    pub steps: u16,
}

impl Capacities {
    /// Those of this build.
    #[expect(clippy::cast_possible_truncation, reason = "constants that fit, which the assertion below checks")]
    pub const HERE: Self = Self {
        link: LINK_VERSION,
        format: VERSION,
        rules: RULE_COUNT as u8,
        zones: zone::ZONES as u8,
        vertices: zone::VERTICES as u16,
        steps: STEPS as u16,
    };
}

const _: () = assert!(RULE_COUNT < 256 && zone::ZONES < 256 && zone::VERTICES < 65_536 && STEPS < 65_536);

/// Why a board doesn't do what it is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Refusal {
    /// It doesn't know this question.
    Unknown,
    /// The input that allows loading limits isn't held, or was let go before the last byte.
    NotHeld,
    /// The aircraft flies, for all that is known, and has a permit: its limits stay.
    Latched,
    /// Nothing of that kind is coming.
    NothingBegun,
    /// They are no limits that this board can hold.
    BadLimits,
    /// The flash doesn't keep what is written.
    Flash,
    /// Something is wrong with the board.
    Faulty,
}

/// What the board advises a pilot whose aircraft flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Advice {
    /// Nothing.
    None,
    /// The route that came in flight is No-go: don't follow it.
    DoNotFollow,
    /// From where the aircraft is, a return can't be vouched for any more: turn back now.
    TurnBack,
}

/// How things stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Status {
    /// The interlock's state. The permit is active in two of them.
    pub stage: Stage,
    /// The limits held.
    pub limits: Option<Fingerprint>,
    /// The route of the Go that is held.
    pub route: Option<Fingerprint>,
    /// What a Go waits for.
    pub waits: Option<Finding>,
    /// Whether the aircraft flies, where that is known.
    pub flight: Option<Flight>,
    /// What the board advises.
    pub advice: Advice,
}

impl Status {
    /// Whether the board takes the aircraft for one that flies, and judges routes from where it is.
    #[must_use]
    pub fn aloft(&self) -> bool {
        self.stage == Stage::Latched || self.flight == Some(Flight::Flying)
    }
}

/// What a board answers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// Who is here.
    Hello(Capacities),
    /// How many bytes of the whole have been taken.
    Taken(u32),
    /// Some of the packed verdict.
    Verdict {
        /// Length of the whole; 0 while there is none.
        length: u16,
        /// Bytes from the offset that was asked for.
        bytes: Bytes,
    },
    /// How things stand.
    Status(Status),
    /// It isn't done.
    Refused(Refusal),
}

/// An answer with the number of its question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reply {
    /// Number of the question.
    pub sequence: u16,
    /// The answer.
    pub answer: Answer,
}

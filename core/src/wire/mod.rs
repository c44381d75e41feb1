//! Packed bytes: routes, limits and verdicts, one byte string for one meaning.
//!
//! # The format, version 4
//! An envelope around a body:
//!
//! | bytes | what |
//! | --- | --- |
//! | 4 | magic: `50 4E 46 44` |
//! | 1 | kind: 1 route, 2 limits, 3 verdict |
//! | 1 | version: 4 |
//! | 4 | length of the body, least significant byte first |
//! | length | body |
//! | 4 | CRC-32/ISCSI of all before it, least significant byte first |
//!
//! Bodies are sequences of values in the postcard wire format 1 (its published specification): integers of 8 bits as they are,
//! longer ones as LEB128, signed ones zigzag first; a struct is its fields; an enum is its number and then its fields; an
//! option is 00, or 01 and the value; a string or a list is its length and then its bytes or items. Every field stands in the
//! order and with the unit and range that its type in [`crate::model`], [`crate::units`] or [`crate::verdict`] gives.
//!
//! * *Route*: `Launch` (name, latitude, longitude, elevation option), number of steps (u16), then each step: its number
//!   (0 climb, 1 fly, 2 hold, 3 land, 4 return) and its fields: climb: height; fly: latitude, longitude, height, speed, hold;
//!   hold: time. Latitude, longitude, height and speed of a step are differences from the step before that had them (at
//!   first: the launch point, height 0, speed 0).
//! * *Limits*: `Figures`, number of zones (u8), then each zone: `Zone`; for a polygon the number of its rings (u8) and each
//!   ring: number of vertices (u16), and each vertex as latitude and longitude less those of the vertex before it in the
//!   limits (at first: 0, 0). Then `GroundPlan` option, and each cell, row by row from the south-west: 00 for an unknown one,
//!   or 01, its lowest count less that of the known cell before it (at first: 0; i32) and its highest count less its lowest
//!   (u16).
//! * *Verdict*: `Subject`, `Summary`, `Energy` option, number of findings (u8), each `Finding`: those of rules in the rules'
//!   order, then those of zones in the zones' order, then those of returns in the zones' order.
//!
//! # Refusals
//! Decoding is total: any byte string gives a value or a [`Fault`] with the offset at which it was noticed. What postcard
//! would let pass is refused: each value is encoded again and must give the same bytes (so no over-long integers), and nothing
//! may follow the end. A reader that has refused a byte refuses all that follow. A change of the format is a new version, and
//! bytes of any other version than this one are refused at the version's byte.
//!
//! The CRC is CRC-32/ISCSI (polynomial 1EDC6F41): it finds every error of up to 5 bits in up to 655 bytes and of up to 3 at
//! any length that occurs here.

pub mod envelope;
pub mod limits;
pub(crate) mod part;
pub mod route;
pub mod verdict;

use crate::model::store::LimitsError;

/// Version of the packed format.
pub const VERSION: u8 = 4;

/// What packed bytes are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Kind {
    /// A route.
    Route,
    /// Limits.
    Limits,
    /// A verdict.
    Verdict,
}

impl Kind {
    /// The number in the envelope.
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Self::Route => 1,
            Self::Limits => 2,
            Self::Verdict => 3,
        }
    }

    /// The kind with this number.
    #[must_use]
    pub const fn of_number(number: u8) -> Option<Self> {
        match number {
            1 => Some(Self::Route),
            2 => Some(Self::Limits),
            3 => Some(Self::Verdict),
            _ => None,
        }
    }
}

/// Why bytes are refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// They don't begin as packed bytes do.
    Magic,
    /// They are of another kind, or of none.
    Kind(u8),
    /// They are of a version that isn't known here.
    Version(u8),
    /// They end early.
    Short,
    /// Something follows the end.
    Trailing,
    /// The body is shorter or longer than what it says it holds.
    Length,
    /// The checksum is wrong.
    Checksum,
    /// A value is none of those that can stand there.
    Value,
    /// A value isn't written in the one way it must be.
    NotCanonical,
    /// The limits make no sense.
    Limits(LimitsError),
}

/// Why and where bytes are refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Number of the byte, from 0, at which it was noticed.
    pub offset: u32,
    /// Why.
    pub reason: Reason,
}

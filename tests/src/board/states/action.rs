//! What can happen next.

use pinfold_core::{
    interlock::Flight,
    link::{Ask, Report},
    rules::PackReading,
    units::Voltage,
    wire::Kind,
};

use super::files::Files;
use crate::{
    board::{
        Order,
        sample::{flying, now, standing},
    },
    sample::position,
};

/// A longer time than a board waits for limits, and than any reading is fresh. Unit: ms.
pub const LONG: u32 = 11_000;
/// A step of time. Unit: ms.
pub const SECOND: u32 = 1_000;

/// What can be said of the field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Said {
    /// All is as it should be for a permit.
    Standing,
    /// On the ground, and no more.
    Ground,
    /// Not where routes begin.
    Elsewhere,
    /// The pack is flat.
    Flat,
    /// In the air, above where routes begin.
    Flying,
    /// Where routes begin, with a full pack; nothing of whether it flies.
    Ready,
}

/// What can happen.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Action {
    /// A begin comes: of limits, or of a route.
    Begin(bool),
    /// A piece of a file comes, where it fits.
    Piece(usize),
    /// A piece of no file comes.
    Rubbish,
    /// A piece from elsewhere in a file comes.
    Stray,
    /// The board reads this by wire.
    Say(Said),
    /// This comes over the link.
    Tell(Said),
    /// So much time passes.
    Pass(u32),
    /// The input is held, or let go.
    Hold(bool),
    /// Power off and on.
    Restart,
    /// Power fails inside the flash work of what comes, after so many bytes; and comes back.
    Cut(Box<Self>, usize, Order),
    /// Something is wrong with the board.
    Fault,
}

impl Action {
    /// What comes over the link with it.
    #[must_use]
    pub fn ask(&self, files: &Files, taken: u32) -> Option<Ask> {
        match self {
            Self::Begin(limits) => Some(Ask::Begin(if *limits { Kind::Limits } else { Kind::Route })),
            Self::Piece(number) => {
                let piece = &files.pieces[*number];
                let offset = u32::try_from(piece.offset).expect("short");
                (offset == taken).then(|| Ask::Piece { offset, bytes: piece.bytes.iter().copied().collect() })
            }
            Self::Rubbish => Some(Ask::Piece { offset: taken, bytes: [0].into_iter().collect() }),
            Self::Stray => {
                let bytes = files.pieces[0].bytes.iter().copied().collect();
                Some(Ask::Piece { offset: taken + 1, bytes })
            }
            Self::Tell(said) => Some(Ask::Readings(report(*said))),
            Self::Say(_) | Self::Pass(_) | Self::Hold(_) | Self::Restart | Self::Cut(..) | Self::Fault => None,
        }
    }
}

/// The readings that say so.
#[must_use]
pub fn report(said: Said) -> Report {
    let pack = |voltage| now(PackReading { voltage, rested: None });
    match said {
        Said::Standing => standing(),
        Said::Ground => Report { flight: now(Flight::Ground), ..Report::default() },
        Said::Elsewhere => Report { position: now(position(5_000, 0)), ..Report::default() },
        Said::Flat => Report { pack: pack(Voltage::new(1_200).expect("in range")), ..Report::default() },
        Said::Flying => flying(0, 2_000, 14_000),
        Said::Ready => Report { flight: None, ..standing() },
    }
}

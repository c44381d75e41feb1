//! Putting limits or a route on a board, and getting its verdict.

use pinfold_core::{
    link::{Ask, Bytes, PIECE, Refusal},
    verdict::Verdict,
    wire::{Kind, verdict::unpack_verdict},
};

use super::{
    conversation::{Conversation, Pace},
    transport::Transport,
    trouble::Trouble,
};

/// How often something is begun before it is given up.
pub(crate) const BEGINNINGS: u32 = 4;

/// Puts packed limits or a packed route on the board; `taken` hears how many bytes it has.
pub(crate) fn load<T: Transport>(
    talk: &mut Conversation<T>, kind: Kind, bytes: &[u8], taken: &mut dyn FnMut(usize),
) -> Result<(), Trouble> {
    again(|| {
        let loaded = load_once(talk, kind, bytes, taken);
        match loaded {
            // It was begun anew by somebody else, or the board was started again.
            Err(Trouble::Refused(Refusal::NothingBegun)) => Ok(None),
            loaded => loaded,
        }
    })
}

/// Puts a packed route on the board: its verdict, as it is packed and as it is meant.
pub(crate) fn judge<T: Transport>(
    talk: &mut Conversation<T>, route: &[u8], taken: &mut dyn FnMut(usize),
) -> Result<(Vec<u8>, Verdict), Trouble> {
    again(|| {
        load(talk, Kind::Route, route, taken)?;
        verdict(talk)
    })
}

/// The board's verdict; `None` where it has none, since it was started again.
fn verdict<T: Transport>(talk: &mut Conversation<T>) -> Result<Option<(Vec<u8>, Verdict)>, Trouble> {
    let mut packed = packed_verdict(talk)?;
    for _ in 1..BEGINNINGS {
        if packed.is_empty() || unpack_verdict(&packed).is_ok() {
            break;
        }
        // It has become another while it was read.
        packed = packed_verdict(talk)?;
    }
    if packed.is_empty() {
        return Ok(None);
    }
    unpack_verdict(&packed).map(|verdict| Some((packed, verdict))).map_err(Trouble::BadVerdict)
}

/// The bytes of the board's verdict as it gives them; none where it has none.
fn packed_verdict<T: Transport>(talk: &mut Conversation<T>) -> Result<Vec<u8>, Trouble> {
    let mut whole = Vec::new();
    loop {
        // What has a length of 16 bits is whole before this runs out.
        let (length, mut bytes) = talk.part_of_verdict(u16::try_from(whole.len()).unwrap_or(u16::MAX))?;
        let more = !bytes.is_empty();
        whole.append(&mut bytes);
        if !more || whole.len() >= length {
            return Ok(whole);
        }
    }
}

/// Tries until there is something, a few times.
fn again<R>(mut once: impl FnMut() -> Result<Option<R>, Trouble>) -> Result<R, Trouble> {
    for _ in 0..BEGINNINGS {
        if let Some(result) = once()? {
            return Ok(result);
        }
    }
    Err(Trouble::NeverWhole)
}

/// Loads from the beginning to the end; `None` where the board has got out of step.
fn load_once<T: Transport>(
    talk: &mut Conversation<T>, kind: Kind, bytes: &[u8], taken: &mut dyn FnMut(usize),
) -> Result<Option<()>, Trouble> {
    let erasing = |erases: bool| if erases && kind == Kind::Limits { Pace::Erasing } else { Pace::Usual };
    if talk.taken(&Ask::Begin(kind), erasing(true))? != 0 {
        return Ok(None);
    }
    let mut begin = 0;
    for piece in bytes.chunks(PIECE) {
        let end = begin + piece.len();
        if talk.taken(&the_piece(begin, piece), erasing(end == bytes.len()))? != end {
            return Ok(None);
        }
        taken(end);
        begin = end;
    }
    Ok(Some(()))
}

fn the_piece(offset: usize, piece: &[u8]) -> Ask {
    // Files and routes are far shorter than 4 GiB, and pieces come as long as they may be.
    Ask::Piece {
        offset: u32::try_from(offset).unwrap_or(u32::MAX),
        bytes: Bytes::from_slice(piece).unwrap_or_default(),
    }
}

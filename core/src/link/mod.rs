//! Frames and messages between a host and a board, version 2.
//!
//! # Frames
//! A frame is a message and its CRC-32/ISCSI (least significant byte first), COBS-encoded, and a zero byte: at most
//! [`FRAME`] bytes. Whatever is not a whole frame with the right checksum is dropped; the receiver is in step again at
//! the next zero byte. Nothing is answered to a dropped frame: the host asks again.
//!
//! # Messages
//! Values in the postcard wire format 1. A [`Request`] is a sequence number (LEB128, up to 16 bits), the number of the
//! question (one byte) and its fields; its [`Reply`] is the same sequence number, the number of the answer and its
//! fields. At 115,200 baud a byte takes 87 microseconds and the largest frame 8 ms.
//!
//! | request | number, fields | reply | most bytes of the message |
//! | --- | --- | --- | --- |
//! | hello | 0 | hello | 4 |
//! | begin | 1, kind (0 route, 1 limits) | taken: 0; or refused | 5 |
//! | piece | 2, offset (LEB128), length, up to 64 bytes | taken: how many bytes it has from the beginning; a piece that doesn't begin there is not taken. Or refused | 74 |
//! | verdict | 3, offset (LEB128) | verdict | 7 |
//! | readings | 4, and five options ([`Report`]): each 00, or 01, the value and its age in ms (LEB128) | status | 64 |
//! | status | 5 | status | 4 |
//!
//! | reply | number, fields |
//! | --- | --- |
//! | hello | 0, [`Capacities`]: version of the link (one byte, first in every version), of the packed format, rules, zones, vertices, steps |
//! | taken | 1, bytes (LEB128) |
//! | verdict | 2, length of the whole (LEB128; 0 while there is none), length and bytes from the offset on, up to 64 |
//! | status | 3, [`Status`] |
//! | refused | 4, [`Refusal`] |
//!
//! # Order, time, resending
//! The host asks, the board answers, one question at a time. The host waits for the answer ([`ANSWER_TIME`]; after a
//! begin of limits and after their last piece, which erase flash, [`ERASE_TIME`]), and sends the very same frame again
//! where none comes. The board doesn't do twice what it is asked twice: the number of the last question again brings
//! the last answer again. A question that comes late, after a newer one, isn't done and not answered: of a transfer
//! that was begun anew it could bring back a piece, and old readings would be taken for fresh ones. So each question's
//! number is one more than that of the question before (0 after 65,535); a question is late if its number is one of the
//! 32,767 before the last. A hello is never late, and numbers go on from it: the host begins a conversation with two
//! hellos of different numbers, whatever was said before it came.
//!
//! The age of a reading is counted from when it comes. So a host doesn't send readings again as they were, but new ones
//! under the next number.
//!
//! A transfer is a begin, pieces in order, and for limits the [`Answer::Taken`] of the last piece: then they are in
//! flash. A board that has taken another number of bytes than the host thinks was begun anew, or started again: the
//! host begins anew, too. Limits of which nothing more has come for [`PATIENCE`] are given up, and the ones in flash
//! hold again.
//!
//! # Other versions
//! Hello is never changed but for what follows the version of the link. A question that the board doesn't know is
//! refused as unknown; a host that gets another version of link, packed format, number of rules, or smaller capacities
//! than it needs says so with both numbers, and sends nothing more.

mod frame;
mod message;

pub use frame::{Came, FRAME, FrameReader, MESSAGE, frame};
pub use message::{
    Advice, Aged, Answer, Ask, Bytes, Capacities, LINK_VERSION, Refusal, Reply, Report, Request, Status,
};

/// Most bytes in a piece.
pub const PIECE: usize = 64;
/// How long a host waits for an answer. Unit: ms. A step with the largest limits is judged in a tenth of it.
pub const ANSWER_TIME: u32 = 1_000;
/// How long a host waits for the answer to a begin of limits, and to their last piece, for which the board erases
/// flash. Unit: ms.
pub const ERASE_TIME: u32 = 5_000;
/// How long a board waits for the next piece of limits. Unit: ms.
pub const PATIENCE: u32 = 10_000;

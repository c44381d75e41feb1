//! The host's side of the link: asks until it is answered.

use std::{
    io::{self, Read as _, Write as _},
    time::{Duration, Instant},
};

use pinfold_core::{
    link::{Answer, Ask, PIECE, Refusal, Reply, Report, Request, Status, frame},
    wire::Kind,
};

use super::Emulator;

/// How long an answer may take on a quiet line.
pub(super) const QUIET_TIME_OUT: Duration = Duration::from_secs(5);
/// How often a request is sent before the board is given up.
const ATTEMPTS: u32 = 40;

/// What a line does to the bytes that go over it.
pub type Noise = Box<dyn FnMut(&[u8]) -> Vec<u8>>;

/// Why the board couldn't be talked to.
#[derive(Debug)]
pub enum LinkError {
    /// It doesn't answer.
    Silent,
    /// It has taken this many bytes, which are not those that it was sent.
    OutOfStep(u32),
    /// It refuses.
    Refused(Refusal),
    /// It answered another question.
    Astray(Answer),
    /// The line is dead.
    Line(io::Error),
}

impl From<io::Error> for LinkError {
    fn from(error: io::Error) -> Self {
        Self::Line(error)
    }
}

impl Emulator {
    /// Makes the line noisy, each way, and the host impatient.
    pub fn noisy(&mut self, there: Noise, back: Noise) {
        (self.there, self.back, self.time_out) = (there, back, Duration::from_millis(200));
    }

    /// Makes the line quiet again.
    pub fn quiet(&mut self) {
        (self.there, self.back) = (Box::new(<[u8]>::to_vec), Box::new(<[u8]>::to_vec));
        self.time_out = QUIET_TIME_OUT;
    }

    /// How often a question was asked again because no answer came in time.
    #[must_use]
    pub const fn resent(&self) -> u32 {
        self.resent
    }

    /// Sends raw bytes.
    ///
    /// # Errors
    /// The line is dead.
    pub fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.link.write_all(bytes)
    }

    /// Asks until the answer to this very question comes.
    ///
    /// # Errors
    /// None comes.
    pub fn ask(&mut self, ask: Ask) -> Result<Answer, LinkError> {
        self.sequence = self.sequence.wrapping_add(1);
        let sequence = self.sequence;
        let question = frame(&Request { sequence, ask });
        for attempt in 0..ATTEMPTS {
            self.resent += u32::from(attempt > 0);
            let sent = (self.there)(&question);
            self.link.write_all(&sent)?;
            if let Some(answer) = self.answer(sequence)? {
                return Ok(answer);
            }
        }
        Err(LinkError::Silent)
    }

    /// The answer to a question, if it comes in time.
    fn answer(&mut self, sequence: u16) -> io::Result<Option<Answer>> {
        let deadline = Instant::now() + self.time_out;
        loop {
            let left = deadline.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return Ok(None);
            }
            self.link.set_read_timeout(Some(left))?;
            let mut buffer = [0; 256];
            let count = match self.link.read(&mut buffer) {
                Ok(0) => return Err(io::ErrorKind::UnexpectedEof.into()),
                Ok(count) => count,
                Err(error) if matches!(error.kind(), io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut) => continue,
                Err(error) => return Err(error),
            };
            let came = (self.back)(&buffer[..count]);
            let replies = came.iter().filter_map(|byte| self.reader.take::<Reply>(*byte)?.message());
            let replies = replies.collect::<Vec<_>>();
            if let Some(reply) = replies.into_iter().find(|reply| reply.sequence == sequence) {
                return Ok(Some(reply.answer));
            }
        }
    }

    /// Loads limits or a route, in the largest pieces.
    ///
    /// # Errors
    /// The board doesn't take them. That it refuses what a route says is no error here: the verdict tells.
    pub fn load(&mut self, kind: Kind, bytes: &[u8]) -> Result<(), LinkError> {
        self.load_pieces(kind, bytes.chunks(PIECE))
    }

    /// Loads limits or a route in these pieces.
    ///
    /// # Errors
    /// As for [`Self::load`].
    pub fn load_pieces<'p>(&mut self, kind: Kind, pieces: impl Iterator<Item = &'p [u8]>) -> Result<(), LinkError> {
        let mut offset = 0;
        self.expect_taken(Ask::Begin(kind), offset)?;
        for piece in pieces {
            let end = offset + u32::try_from(piece.len()).expect("a piece is short");
            self.piece(offset, piece, end)?;
            offset = end;
        }
        Ok(())
    }

    /// Sends a piece after which the board must have `taken` bytes.
    ///
    /// # Errors
    /// It hasn't.
    ///
    /// # Panics
    /// The piece is longer than a frame holds.
    pub fn piece(&mut self, offset: u32, piece: &[u8], taken: u32) -> Result<(), LinkError> {
        let bytes = piece.iter().copied().collect();
        assert!(piece.len() <= PIECE, "a piece of {} bytes", piece.len());
        self.expect_taken(Ask::Piece { offset, bytes }, taken)
    }

    fn expect_taken(&mut self, ask: Ask, expected: u32) -> Result<(), LinkError> {
        match self.ask(ask)? {
            Answer::Taken(taken) if taken == expected => Ok(()),
            Answer::Taken(taken) => Err(LinkError::OutOfStep(taken)),
            Answer::Refused(refusal) => Err(LinkError::Refused(refusal)),
            other => Err(LinkError::Astray(other)),
        }
    }

    /// Loads limits, and holds the load switch from now on.
    ///
    /// # Errors
    /// As for [`Self::load`], and the board refuses them.
    pub fn load_limits(&mut self, bytes: &[u8]) -> Result<(), LinkError> {
        self.hold_load_switch(true);
        self.load(Kind::Limits, bytes)
    }

    /// How things stand.
    ///
    /// # Errors
    /// The board doesn't answer.
    pub fn status(&mut self) -> Result<Status, LinkError> {
        self.status_after(Ask::Status)
    }

    /// Sends readings; how things stand then.
    ///
    /// # Errors
    /// The board doesn't answer.
    pub fn report(&mut self, report: Report) -> Result<Status, LinkError> {
        self.status_after(Ask::Readings(report))
    }

    fn status_after(&mut self, ask: Ask) -> Result<Status, LinkError> {
        match self.ask(ask)? {
            Answer::Status(status) => Ok(status),
            other => Err(LinkError::Astray(other)),
        }
    }

    /// Loads a route.
    ///
    /// # Errors
    /// As for [`Self::load`].
    pub fn load_route(&mut self, bytes: &[u8]) -> Result<(), LinkError> {
        self.load(Kind::Route, bytes)
    }

    /// The packed verdict; empty while there is none.
    ///
    /// # Errors
    /// The board doesn't answer.
    pub fn verdict(&mut self) -> Result<Vec<u8>, LinkError> {
        let mut verdict = Vec::new();
        loop {
            let offset = u16::try_from(verdict.len()).expect("a verdict is short");
            match self.ask(Ask::Verdict { offset })? {
                Answer::Verdict { length, bytes } => {
                    verdict.extend_from_slice(&bytes);
                    if verdict.len() >= usize::from(length) || bytes.is_empty() {
                        return Ok(verdict);
                    }
                }
                other => return Err(LinkError::Astray(other)),
            }
        }
    }
}

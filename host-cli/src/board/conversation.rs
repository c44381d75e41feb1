//! A conversation with a board: one question at a time, asked until it is answered.

use std::time::{Duration, Instant};

use pinfold_core::{
    link::{
        ANSWER_TIME, Answer, Ask, Came, Capacities, ERASE_TIME, FRAME, FrameReader, Reply, Report, Request, Status,
        frame,
    },
    model::store,
};

use super::{
    transport::Transport,
    trouble::{Silence, Trouble},
    words::asked,
};

/// How often a question is sent before the board is given up.
pub(crate) const TIMES: u32 = 8;

/// How long a board takes for an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pace {
    /// As usual.
    Usual,
    /// It erases flash before.
    Erasing,
}

impl Pace {
    const fn time(self) -> Duration {
        Duration::from_millis(match self {
            Self::Usual => ANSWER_TIME as u64,
            Self::Erasing => ERASE_TIME as u64,
        })
    }
}

/// A board that has said who it is.
pub(crate) struct Conversation<T> {
    transport: T,
    reader: FrameReader,
    /// Number of the last question.
    sequence: u16,
    board: Capacities,
    /// Whether the board has answered anything.
    answered: bool,
}

impl<T: Transport> Conversation<T> {
    /// Begins, with questions that are numbered from the one after `before`: a board of another version is told by both
    /// numbers, and asked nothing more.
    pub(crate) fn begin(transport: T, before: u16) -> Result<Self, Trouble> {
        let reader = FrameReader::new();
        let mut talk = Self { transport, reader, sequence: before, board: Capacities::HERE, answered: false };
        // Ends a frame that somebody left half sent.
        talk.transport.send(&[0]).map_err(Trouble::Line)?;
        // This may bring the answer to what was asked with the same number before.
        talk.exchange(&Ask::Hello, Pace::Usual)?;
        talk.board = match talk.ask(&Ask::Hello, Pace::Usual)? {
            Answer::Hello(board) => board,
            _ => return Err(Trouble::Astray(asked(&Ask::Hello))),
        };
        talk.speaks_the_same()?;
        Ok(talk)
    }

    /// Demands the same versions.
    fn speaks_the_same(&self) -> Result<(), Trouble> {
        let (board, here) = (self.board, Capacities::HERE);
        let versions = [
            ("version of the link", board.link, here.link),
            ("version of the packed format", board.format, here.format),
            ("number of rules", board.rules, here.rules),
        ];
        let other = versions.into_iter().find(|(_, board, here)| board != here);
        other.map_or(Ok(()), |(what, board, here)| Err(Trouble::Version { what, board, here }))
    }

    /// Demands room for limits.
    pub(crate) fn has_room_for_limits(&self, limits: store::Limits<'_>) -> Result<(), Trouble> {
        let corners = limits.zones().flat_map(|(zone, _)| limits.rings(zone)).map(<[_]>::len).sum();
        self.has_room("zones", self.board.zones.into(), limits.zones().count())?;
        self.has_room("corners of zones", self.board.vertices.into(), corners)
    }

    /// Demands room for a route of so many steps.
    pub(crate) fn has_room_for_steps(&self, steps: usize) -> Result<(), Trouble> {
        self.has_room("steps", self.board.steps.into(), steps)
    }

    fn has_room(&self, what: &'static str, board: usize, needed: usize) -> Result<(), Trouble> {
        if needed <= board { Ok(()) } else { Err(Trouble::TooSmall { what, board, needed }) }
    }

    /// How things stand.
    pub(crate) fn status(&mut self) -> Result<Status, Trouble> {
        the_status(&Ask::Status, self.ask(&Ask::Status, Pace::Usual)?)
    }

    /// Sends readings that were just made; how things stand with them. Where no answer comes they are sent anew, as old as they
    /// are by then: the very same frame again, late, would make them younger.
    pub(crate) fn report(&mut self, report: Report) -> Result<Status, Trouble> {
        let (made, mut bytes) = (Instant::now(), 0);
        let wait = Pace::Usual.time();
        for times in 0..TIMES {
            let by = made.elapsed().max(wait * times).as_millis();
            let ask = Ask::Readings(report.older(u32::try_from(by).unwrap_or(u32::MAX)));
            let question = self.next_question(&ask);
            if let Some(came) = self.exchange_once(&question, wait, &mut bytes)? {
                return the_status(&ask, known(&ask, came)?);
            }
        }
        Err(self.silence(&Ask::Readings(report), wait, bytes))
    }

    /// Begins a transfer or sends a piece of one: how many bytes the board has then.
    pub(crate) fn taken(&mut self, ask: &Ask, pace: Pace) -> Result<usize, Trouble> {
        match self.ask(ask, pace)? {
            Answer::Taken(taken) => Ok(taken as usize),
            Answer::Refused(refusal) => Err(Trouble::Refused(refusal)),
            _ => Err(Trouble::Astray(asked(ask))),
        }
    }

    /// The packed verdict's length and its bytes from an offset on.
    pub(crate) fn part_of_verdict(&mut self, offset: u16) -> Result<(usize, Vec<u8>), Trouble> {
        let ask = Ask::Verdict { offset };
        match self.ask(&ask, Pace::Usual)? {
            Answer::Verdict { length, bytes } => Ok((length.into(), bytes.to_vec())),
            Answer::Refused(refusal) => Err(Trouble::Refused(refusal)),
            _ => Err(Trouble::Astray(asked(&ask))),
        }
    }

    /// Asks until an answer comes.
    fn ask(&mut self, ask: &Ask, pace: Pace) -> Result<Answer, Trouble> {
        known(ask, self.exchange(ask, pace)?)
    }

    /// Sends the very same frame until something with its number comes back.
    fn exchange(&mut self, ask: &Ask, pace: Pace) -> Result<Came<Answer>, Trouble> {
        let (question, mut bytes) = (self.next_question(ask), 0);
        for _ in 0..TIMES {
            if let Some(came) = self.exchange_once(&question, pace.time(), &mut bytes)? {
                return Ok(came);
            }
        }
        Err(self.silence(ask, pace.time(), bytes))
    }

    /// A question under the next number.
    fn next_question(&mut self, ask: &Ask) -> Vec<u8> {
        self.sequence = self.sequence.wrapping_add(1);
        frame(&Request { sequence: self.sequence, ask: ask.clone() }).to_vec()
    }

    /// Sends a question; what comes back in time, and how many bytes that were.
    fn exchange_once(
        &mut self, question: &[u8], wait: Duration, bytes: &mut usize,
    ) -> Result<Option<Came<Answer>>, Trouble> {
        self.transport.send(question).map_err(Trouble::Line)?;
        let came = self.answer(wait + self.transport.transit(question.len() + FRAME), bytes)?;
        self.answered |= came.is_some();
        Ok(came)
    }

    fn silence(&self, ask: &Ask, wait: Duration, bytes: usize) -> Trouble {
        Trouble::Silent(Silence { asked: asked(ask), wait, bytes, before: self.answered })
    }

    /// What comes back in time; counts the bytes that came.
    fn answer(&mut self, wait: Duration, bytes: &mut usize) -> Result<Option<Came<Answer>>, Trouble> {
        let end = Instant::now() + wait;
        loop {
            let mut buffer = [0; 256];
            let left = end.saturating_duration_since(Instant::now());
            let count =
                if left.is_zero() { 0 } else { self.transport.receive(&mut buffer, left).map_err(Trouble::Line)? };
            if count == 0 {
                return Ok(None);
            }
            *bytes += count;
            let came: Vec<_> = buffer.iter().take(count).filter_map(|byte| self.reader.take::<Reply>(*byte)).collect();
            if let Some(came) = came.into_iter().find_map(|came| self.to_the_question(came)) {
                return Ok(Some(came));
            }
        }
    }

    /// What came, if it has the last question's number.
    fn to_the_question(&self, came: Came<Reply>) -> Option<Came<Answer>> {
        match came {
            Came::Message(reply) => (reply.sequence == self.sequence).then_some(Came::Message(reply.answer)),
            Came::Unknown(sequence) => (sequence == self.sequence).then_some(Came::Unknown(sequence)),
        }
    }
}

/// The answer in what came.
fn known(ask: &Ask, came: Came<Answer>) -> Result<Answer, Trouble> {
    match came {
        Came::Message(answer) => Ok(answer),
        Came::Unknown(_) => Err(Trouble::Unknown(asked(ask))),
    }
}

/// The status that an answer is.
fn the_status(ask: &Ask, answer: Answer) -> Result<Status, Trouble> {
    match answer {
        Answer::Status(status) => Ok(status),
        Answer::Refused(refusal) => Err(Trouble::Refused(refusal)),
        _ => Err(Trouble::Astray(asked(ask))),
    }
}

//! A board on the bench, and whoever talks to it.

use pinfold_core::{
    board::{Board, Event, Hardware, Lines},
    link::{Answer, Ask, FrameReader, Refusal, Reply, Report, Request, Status, frame},
    wire::Kind,
};

use super::{RamFlash, pieces};

/// What a board in memory has around it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct RamHardware {
    /// Its flash.
    pub flash: RamFlash,
    /// Whether the input is held.
    pub held: bool,
}

impl Hardware for RamHardware {
    type Flash = RamFlash;

    fn flash(&mut self) -> &mut RamFlash {
        &mut self.flash
    }

    fn held(&mut self) -> bool {
        self.held
    }
}

/// A board and its surroundings.
pub struct Bench {
    /// The board.
    pub board: Box<Board>,
    /// What is around it.
    pub hardware: RamHardware,
    /// What happened last.
    pub event: Option<Event>,
    sequence: u16,
}

impl Bench {
    /// A new board with erased flash, started; nobody holds the input.
    #[must_use]
    pub fn new() -> Self {
        Self::on(RamFlash::new(2))
    }

    /// A board with this flash, started.
    #[must_use]
    pub fn on(flash: RamFlash) -> Self {
        let mut bench =
            Self { board: Box::default(), hardware: RamHardware { flash, held: false }, event: None, sequence: 0 };
        bench.restart();
        bench
    }

    /// Power off and on.
    pub fn restart(&mut self) {
        self.hardware.flash.mend();
        *self.board = Board::new();
        self.event = Some(self.board.start(&mut self.hardware));
    }

    /// Gives the board these bytes; what it sends.
    pub fn send(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        for byte in bytes {
            let event = self.board.take(*byte, &mut self.hardware, &mut |frame| out.extend_from_slice(frame));
            self.event = event.or(self.event);
        }
        out
    }

    /// Asks, over a line that loses nothing.
    ///
    /// # Panics
    /// There isn't exactly one answer to this question.
    pub fn ask(&mut self, ask: Ask) -> Answer {
        let sent = self.question(ask.clone());
        // Somebody else may have asked with higher numbers: numbers go on from a hello.
        let sent = if sent.is_empty() && !self.question(Ask::Hello).is_empty() { self.question(ask) } else { sent };
        match replies(&sent)[..] {
            [ref reply] if reply.sequence == self.sequence => reply.answer.clone(),
            ref other => panic!("not one answer: {other:?}"),
        }
    }

    /// Sends a question; what comes back.
    fn question(&mut self, ask: Ask) -> Vec<u8> {
        self.sequence = self.sequence.wrapping_add(1);
        self.send(&frame(&Request { sequence: self.sequence, ask }))
    }

    /// Loads limits or a route.
    ///
    /// # Errors
    /// The board refuses.
    ///
    /// # Panics
    /// It answers what it isn't asked.
    pub fn load(&mut self, kind: Kind, bytes: &[u8]) -> Result<(), Refusal> {
        self.taken(Ask::Begin(kind), 0)?;
        pieces(bytes).try_for_each(|(piece, taken)| self.taken(piece, taken))
    }

    /// Holds the input and loads limits.
    ///
    /// # Errors
    /// The board refuses.
    pub fn load_limits(&mut self, bytes: &[u8]) -> Result<(), Refusal> {
        let before = std::mem::replace(&mut self.hardware.held, true);
        let loaded = self.load(Kind::Limits, bytes);
        self.hardware.held = before;
        loaded
    }

    fn taken(&mut self, ask: Ask, expected: u32) -> Result<(), Refusal> {
        match self.ask(ask) {
            Answer::Taken(taken) if taken == expected => Ok(()),
            Answer::Refused(refusal) => Err(refusal),
            other => panic!("{other:?}, not {expected} bytes taken"),
        }
    }

    /// The packed verdict.
    ///
    /// # Panics
    /// The board answers what it isn't asked.
    pub fn verdict(&mut self) -> Vec<u8> {
        let mut verdict = Vec::new();
        loop {
            match self.ask(Ask::Verdict { offset: u16::try_from(verdict.len()).expect("short") }) {
                Answer::Verdict { length, bytes } => {
                    verdict.extend_from_slice(&bytes);
                    if verdict.len() >= usize::from(length) {
                        return verdict;
                    }
                }
                other => panic!("{other:?} is no verdict"),
            }
        }
    }

    /// Gives the board readings by wire.
    pub fn sense(&mut self, report: Report) -> Status {
        self.board.sense(report);
        self.board.status()
    }

    /// Sends readings over the link.
    ///
    /// # Panics
    /// The board answers what it isn't asked.
    pub fn report(&mut self, report: Report) -> Status {
        match self.ask(Ask::Readings(report)) {
            Answer::Status(status) => status,
            other => panic!("{other:?} is no status"),
        }
    }

    /// Lets time pass in steps of 10 ms, as a main loop would.
    pub fn wait(&mut self, milliseconds: u32) -> Lines {
        (0..milliseconds / 10).for_each(|_| {
            let (_, event) = self.board.tick(10, &mut self.hardware);
            self.event = event.or(self.event);
        });
        self.board.lines()
    }

    /// How things stand, without asking over the link.
    #[must_use]
    pub fn status(&self) -> Status {
        self.board.status()
    }
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}

/// The replies in these bytes.
#[must_use]
pub fn replies(bytes: &[u8]) -> Vec<Reply> {
    let mut reader = FrameReader::new();
    bytes.iter().filter_map(|byte| reader.take::<Reply>(*byte)?.message()).collect()
}

//! A host that does what the description of the link says, over a line that may do anything.

use pinfold_core::{
    fingerprint::Fingerprint,
    interlock::{LANDED, Stage},
    link::{ANSWER_TIME, Answer, Ask, Capacities, ERASE_TIME, FrameReader, Reply, Report, Request, Status, frame},
    verdict::{Outcome, Verdict},
    wire::{Kind, verdict::unpack_verdict},
};

use super::pieces;

/// How often a host sends the same question.
const TRIES: usize = 4;
/// How often it begins anew.
const CONVERSATIONS: usize = 10;

/// The host was restarted: what it was about is lost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Restarted;

/// How often it says how things are while it waits for something. Unit: ms.
const SECOND: u32 = 1_000;

/// What is between a host and a board.
pub trait Line {
    /// Sends bytes; what comes back.
    ///
    /// # Errors
    /// The host was restarted meanwhile.
    fn exchange(&mut self, sent: &[u8]) -> Result<Vec<u8>, Restarted>;

    /// Lets time pass, ms.
    fn wait(&mut self, time: u32);
}

/// What a host is to bring about.
#[derive(Clone, Debug)]
pub struct Goal {
    /// Limits to load first, packed.
    pub limits: Option<Vec<u8>>,
    /// The route to have judged, packed.
    pub route: Vec<u8>,
    /// What is known at the field.
    pub readings: Report,
}

/// What a host has learnt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Learnt {
    /// The verdict, packed.
    pub verdict: Vec<u8>,
    /// How things stood then.
    pub status: Status,
}

/// Why a conversation ends early.
enum End {
    /// To be begun anew.
    Anew,
    Restarted,
}

impl From<Restarted> for End {
    fn from(_: Restarted) -> Self {
        Self::Restarted
    }
}

/// The host.
pub struct Host {
    /// The last question's number.
    number: u16,
    reader: FrameReader,
}

impl Host {
    /// A host whose first question has this number.
    #[must_use]
    pub fn new(first: u16) -> Self {
        Self { number: first.wrapping_sub(1), reader: FrameReader::new() }
    }

    /// The last question's number.
    #[must_use]
    pub fn number(&self) -> u16 {
        self.number
    }

    /// Brings it about, however often that takes.
    ///
    /// # Errors
    /// The host was restarted.
    ///
    /// # Panics
    /// It never ends.
    pub fn reach(&mut self, goal: &Goal, line: &mut impl Line) -> Result<Learnt, Restarted> {
        for _ in 0..CONVERSATIONS {
            match self.converse(goal, line) {
                Ok(learnt) => return Ok(learnt),
                Err(End::Restarted) => return Err(Restarted),
                Err(End::Anew) => {}
            }
        }
        panic!("nothing comes of it after {CONVERSATIONS} conversations");
    }

    /// Brings it about, asks once more how things stand, and brings it about again where that isn't what it has learnt.
    ///
    /// # Errors
    /// The host was restarted.
    pub fn reach_and_stay(&mut self, goal: &Goal, line: &mut impl Line) -> Result<Learnt, Restarted> {
        let learnt = self.reach(goal, line)?;
        match self.ask(line, Ask::Status) {
            Ok(Answer::Status(status)) if status == learnt.status => Ok(learnt),
            Err(End::Restarted) => Err(Restarted),
            Ok(_) | Err(End::Anew) => self.reach(goal, line),
        }
    }

    fn converse(&mut self, goal: &Goal, line: &mut impl Line) -> Result<Learnt, End> {
        for _ in 0..2 {
            self.expect(line, Ask::Hello, &Answer::Hello(Capacities::HERE))?;
        }
        self.land(line, goal.readings)?;
        if let Some(limits) = &goal.limits {
            self.transfer(line, Kind::Limits, limits)?;
        }
        self.transfer(line, Kind::Route, &goal.route)?;
        let (packed, verdict) = self.verdict(line)?;
        let status = self.report(line, goal.readings)?;
        if self.fits(goal, &verdict, &status) { Ok(Learnt { verdict: packed, status }) } else { Err(End::Anew) }
    }

    /// Whether verdict and status are about what was sent: another route's may come from a board that was restarted or
    /// told otherwise.
    fn fits(&self, goal: &Goal, verdict: &Verdict, status: &Status) -> bool {
        let route = Fingerprint::of(&goal.route);
        let limits = goal.limits.as_deref().map(Fingerprint::of);
        let stands = match verdict.outcome() {
            Outcome::Go => status.stage == Stage::Permitted && status.route == Some(route),
            Outcome::NoGo => status.stage == Stage::NoGo,
        };
        let held = status.limits == Some(verdict.subject.limits);
        verdict.subject.route == route && limits.is_none_or(|limits| verdict.subject.limits == limits) && held && stands
    }

    fn transfer(&mut self, line: &mut impl Line, kind: Kind, bytes: &[u8]) -> Result<(), End> {
        self.expect(line, Ask::Begin(kind), &Answer::Taken(0))?;
        pieces(bytes).try_for_each(|(piece, taken)| self.expect(line, piece, &Answer::Taken(taken)))
    }

    fn verdict(&mut self, line: &mut impl Line) -> Result<(Vec<u8>, Verdict), End> {
        let mut packed = Vec::new();
        loop {
            let offset = u16::try_from(packed.len()).expect("short");
            let Answer::Verdict { length, bytes } = self.ask(line, Ask::Verdict { offset })? else {
                return Err(End::Anew);
            };
            packed.extend_from_slice(&bytes);
            if packed.len() >= usize::from(length) {
                let verdict = unpack_verdict(&packed).map_err(|_| End::Anew)?;
                return Ok((packed, verdict));
            }
            if bytes.is_empty() {
                return Err(End::Anew);
            }
        }
    }

    /// A board that has heard nothing for a while holds on to a permit, as if the aircraft flew: it is told that it
    /// doesn't until it believes that.
    fn land(&mut self, line: &mut impl Line, readings: Report) -> Result<(), End> {
        let mut told = 0;
        while self.report(line, readings)?.stage == Stage::Latched {
            told += SECOND;
            if told > 2 * LANDED {
                return Err(End::Anew);
            }
            line.wait(SECOND);
        }
        Ok(())
    }

    /// Says what is known. It isn't said again as it was: it would be older than it says.
    fn report(&mut self, line: &mut impl Line, readings: Report) -> Result<Status, End> {
        for _ in 0..TRIES {
            if let Some(answer) = self.once(line, &self.next(Ask::Readings(readings)), ANSWER_TIME)? {
                return if let Answer::Status(status) = answer { Ok(status) } else { Err(End::Anew) };
            }
        }
        Err(End::Anew)
    }

    fn expect(&mut self, line: &mut impl Line, ask: Ask, expected: &Answer) -> Result<(), End> {
        if self.ask(line, ask)? == *expected { Ok(()) } else { Err(End::Anew) }
    }

    fn ask(&mut self, line: &mut impl Line, ask: Ask) -> Result<Answer, End> {
        let erases = matches!(ask, Ask::Begin(Kind::Limits) | Ask::Piece { .. });
        let request = self.next(ask);
        for _ in 0..TRIES {
            if let Some(answer) = self.once(line, &request, if erases { ERASE_TIME } else { ANSWER_TIME })? {
                return Ok(answer);
            }
        }
        Err(End::Anew)
    }

    fn next(&self, ask: Ask) -> Request {
        Request { sequence: self.number.wrapping_add(1), ask }
    }

    /// Sends a question; its answer, if it comes.
    fn once(&mut self, line: &mut impl Line, request: &Request, patience: u32) -> Result<Option<Answer>, End> {
        self.number = request.sequence;
        let sent_back = line.exchange(&frame(request))?;
        let came = sent_back.iter().filter_map(|byte| self.reader.take::<Reply>(*byte)?.message());
        let came: Vec<_> = came.collect();
        let answer = came.into_iter().find(|reply| reply.sequence == request.sequence).map(|reply| reply.answer);
        if answer.is_none() {
            line.wait(patience);
        }
        Ok(answer)
    }
}

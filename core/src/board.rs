//! What a board does: bytes in, bytes out. It alone joins the talking to the judging.
//!
//! It holds limits and checks a route against them while its bytes arrive; the packed verdict is there with the last of them.
//! The permit line, limits in flash, and how old readings may be come with the interlock; this part gives no permit.

use crate::{
    check::Checker,
    fingerprint::Fingerprint,
    link::{Answer, Ask, Bytes, Capacities, FrameReader, PIECE, Reply, Request, frame},
    model::store::LimitsStore,
    rules::Readings,
    verdict::{Cause, Finding, Findings, Outcome, Rule, Subject, Summary, Verdict},
    wire::{
        Fault, Kind,
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
        verdict::{VERDICT_BYTES, pack_verdict},
    },
};

/// The board's memory: all of it, of a fixed size.
pub struct Board {
    reader: FrameReader,
    limits: LimitsStore,
    limits_fingerprint: Option<Fingerprint>,
    readings: Readings,
    incoming: Incoming,
    /// Bytes taken of what comes in.
    taken: u32,
    verdict: heapless::Vec<u8, VERDICT_BYTES>,
}

/// What comes in.
#[expect(clippy::large_enum_variant, reason = "there is one, in fixed memory, and no heap to put a variant on")]
enum Incoming {
    Nothing,
    Limits(LimitsReader),
    Route(RouteReader, Option<Checker>),
}

/// What happened that a log may tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// Limits are held.
    LimitsHeld(Fingerprint),
    /// Limits were refused; none are held.
    LimitsRefused(Fault),
    /// A route was refused.
    RouteRefused(Fault),
    /// A route was judged.
    Judged(Outcome, Subject),
}

impl Default for Board {
    fn default() -> Self {
        Self::new()
    }
}

impl Board {
    /// A board that holds nothing.
    ///
    /// `const`, so that it can be made in its place: on the stack it would take more than everything else together.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            reader: FrameReader::new(),
            limits: LimitsStore::new(),
            limits_fingerprint: None,
            readings: Readings::NONE,
            incoming: Incoming::Nothing,
            taken: 0,
            verdict: heapless::Vec::new(),
        }
    }

    /// Takes a byte from the link; what is to be sent goes to `out`, frame by frame.
    pub fn take(&mut self, byte: u8, out: &mut dyn FnMut(&[u8])) -> Option<Event> {
        let request = self.reader.take::<Request>(byte)?;
        let (answer, event) = self.answer(request.ask);
        out(&frame(&Reply { sequence: request.sequence, answer }));
        event
    }

    /// The packed verdict on the route that came last; empty while there is none.
    #[must_use]
    pub fn verdict(&self) -> &[u8] {
        &self.verdict
    }

    fn answer(&mut self, ask: Ask) -> (Answer, Option<Event>) {
        match ask {
            Ask::Hello => (Answer::Hello(Capacities::HERE), None),
            Ask::Begin(kind) => {
                self.begin(kind);
                (Answer::Taken(0), None)
            }
            Ask::Piece { offset, bytes } => {
                let event = if offset == self.taken { self.piece(&bytes) } else { None };
                (Answer::Taken(self.taken), event)
            }
            Ask::Verdict { offset } => (self.part_of_verdict(usize::from(offset)), None),
            Ask::Readings(readings) => {
                self.readings = readings;
                (Answer::Taken(0), None)
            }
        }
    }

    fn begin(&mut self, kind: Kind) {
        self.taken = 0;
        self.verdict.clear();
        self.incoming = match kind {
            Kind::Limits => {
                self.drop_limits();
                Incoming::Limits(LimitsReader::default())
            }
            Kind::Route => Incoming::Route(RouteReader::default(), None),
            Kind::Verdict => Incoming::Nothing,
        };
    }

    fn drop_limits(&mut self) {
        self.limits.clear();
        self.limits_fingerprint = None;
    }

    /// Takes bytes of what comes in; the last thing that happened.
    fn piece(&mut self, bytes: &[u8]) -> Option<Event> {
        let mut event = None;
        for byte in bytes {
            self.taken = self.taken.saturating_add(1);
            event = self.byte(*byte).or(event);
        }
        event
    }

    fn byte(&mut self, byte: u8) -> Option<Event> {
        match &mut self.incoming {
            Incoming::Nothing => None,
            Incoming::Limits(reader) => match reader.take(byte, &mut self.limits) {
                Ok(fingerprint) => {
                    self.limits_fingerprint = fingerprint;
                    fingerprint.map(Event::LimitsHeld)
                }
                Err(fault) => {
                    self.drop_limits();
                    self.incoming = Incoming::Nothing;
                    Some(Event::LimitsRefused(fault))
                }
            },
            Incoming::Route(reader, _) => match reader.take(byte) {
                Ok(None) => None,
                Ok(Some(event)) => self.route_event(event),
                Err(fault) => {
                    self.refuse(Cause::NotARoute);
                    Some(Event::RouteRefused(fault))
                }
            },
        }
    }

    fn route_event(&mut self, event: RouteEvent) -> Option<Event> {
        let (Some(limits), Incoming::Route(_, checker)) = (self.limits.limits(), &mut self.incoming) else {
            return self.without_limits(event);
        };
        match event {
            RouteEvent::Launch(launch) => *checker = Some(Checker::new(limits, launch, self.readings)),
            RouteEvent::Step(step) => checker.iter_mut().for_each(|checker| checker.step(limits, &step)),
            RouteEvent::End(route) => {
                let subject = Subject { route, limits: self.limits_fingerprint.unwrap_or(Fingerprint::NONE) };
                if let Some(verdict) = checker.take().map(|checker| checker.finish(limits, subject)) {
                    return Some(self.hold(&verdict));
                }
            }
        }
        None
    }

    fn without_limits(&mut self, event: RouteEvent) -> Option<Event> {
        matches!(event, RouteEvent::End(_)).then(|| self.refuse(Cause::NoLimits))
    }

    /// No-go by `form`.
    fn refuse(&mut self, cause: Cause) -> Event {
        let mut findings = Findings::EMPTY;
        findings.add(Finding::of(Rule::Form, 0, cause));
        let limits = self.limits_fingerprint.unwrap_or(Fingerprint::NONE);
        self.incoming = Incoming::Nothing;
        self.hold(&Verdict {
            subject: Subject { route: Fingerprint::NONE, limits },
            summary: Summary { steps: 0, length: None, duration: None },
            energy: None,
            findings,
        })
    }

    /// Holds a verdict, packed.
    fn hold(&mut self, verdict: &Verdict) -> Event {
        self.verdict.clear();
        let held = &mut self.verdict;
        pack_verdict(verdict, &mut |bytes| {
            // VERDICT_BYTES has room for every verdict; a test packs the largest.
            let _ = bytes.iter().try_for_each(|byte| held.push(*byte));
        });
        Event::Judged(verdict.outcome(), verdict.subject)
    }

    fn part_of_verdict(&self, offset: usize) -> Answer {
        let rest = self.verdict.get(offset..).unwrap_or(&[]);
        let bytes = Bytes::from_slice(rest.get(..PIECE).unwrap_or(rest)).unwrap_or_default();
        Answer::Verdict { length: u16::try_from(self.verdict.len()).unwrap_or(u16::MAX), bytes }
    }
}

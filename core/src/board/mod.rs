//! What a board does: bytes in, bytes out, and two line levels. It alone joins the talking to the judging, and sees no
//! hardware but flash and one input.
//!
//! It keeps limits in flash, checks a route against them while its bytes arrive, and holds the permit by the
//! [`crate::interlock`]. Whoever has the hardware calls
//! * [`Board::start`] once,
//! * [`Board::take`] with every byte from the link,
//! * [`Board::tick`] again and again, a hundred times a second or oftener: it tells what the lines must show.
//!
//! # What the board decides
//! * A permit needs a Go of the route that came last, judged on the ground with the limits that are held, and readings
//!   that the limits ask for ([`crate::model::limits::Freshness`]), fresh, by which `launch` and `pack` stand. What the
//!   limits don't ask for is used where it is there.
//! * Limits come only while the input is held, and never while the permit is latched.
//! * A route that comes in flight is judged from where the aircraft is, with the charge that is left. It gets no permit
//!   and takes none: if it is No-go, or can't be judged, the board advises not to follow it.
//! * With every reading in flight the board judges the return from there. If that isn't a Go, it advises to turn back
//!   now.
//!
//! # What a builder must wire
//! The permit goes to an input that inhibits *arming*, and to nothing else: never to motor power, never to anything
//! that can stop an aircraft that flies. After a restart the board holds no route and gives no permit, whatever flew
//! before; so what the line inhibits must be asked on the ground only.
//!
//! Whether the aircraft flies should come by a wire ([`Board::sense`]). Over the link it can be said that it flies, and
//! limits that ask for the reading are content with what is said there; but nobody can tell the board over the link to
//! take a permit back. So without that wire a permit once given stays until the board is restarted, and routes that
//! come meanwhile are judged as in flight.

mod instruments;
pub mod line;
pub mod self_test;
pub mod slots;
mod transfer;

use embedded_storage::nor_flash::NorFlash;

use crate::{
    check::{Checker, Go, Standing},
    fingerprint::Fingerprint,
    interlock::{Happening, Interlock, Stage},
    link::{
        Advice, Answer, Ask, Bytes, Came, Capacities, FRAME, FrameReader, PIECE, Refusal, Reply, Report, Request,
        Status, frame,
    },
    model::{
        route::Step,
        store::{Limits, LimitsStore},
    },
    rules::{Aloft, Readings},
    verdict::{Finding, Outcome, Subject},
    wire::{Fault, limits::LimitsReader, verdict::VERDICT_BYTES},
};
use instruments::Instruments;
use self_test::Failure;
use slots::{FlashFault, Slots};
use transfer::Incoming;

/// What a board needs of its hardware.
pub trait Hardware {
    /// The flash that holds two slots of limits, and nothing else.
    type Flash: NorFlash;

    /// That flash.
    fn flash(&mut self) -> &mut Self::Flash;

    /// Whether the input that allows loading limits is held: a button or a jumper.
    fn held(&mut self) -> bool;
}

/// What the two lines must show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// The permit is active.
    pub permit: bool,
    /// The board advises something: its status says what.
    pub advice: bool,
}

/// What happened that a log may tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// The board has started; these limits are held.
    Started(Option<Fingerprint>),
    /// The self test failed: no permit until the next start.
    SelfTestFailed(Failure),
    /// Limits are held.
    LimitsHeld(Fingerprint),
    /// Limits were refused, with what is wrong in their bytes if that is why; those in flash hold again.
    LimitsRefused(Refusal, Option<Fault>),
    /// A route was refused.
    RouteRefused(Fault),
    /// A route was judged.
    Judged(Outcome, Subject),
}

/// The board's memory: all of it, of a fixed size.
#[derive(Debug)]
pub struct Board {
    reader: FrameReader,
    /// The last question's number, and the frame that answered it.
    answered: Option<(u16, heapless::Vec<u8, FRAME>)>,
    limits: LimitsStore,
    limits_fingerprint: Option<Fingerprint>,
    slots: Slots,
    instruments: Instruments,
    interlock: Interlock,
    incoming: Incoming,
    /// Bytes taken of what comes in.
    taken: u32,
    /// Time since something came of it, ms.
    quiet: u32,
    /// The last verdict, packed.
    verdict: heapless::Vec<u8, VERDICT_BYTES>,
    look: Look,
    advice: Advices,
}

/// What the last look at a Go found, so that it is only asked again when something has changed.
#[derive(Debug)]
struct Look {
    /// What was known.
    known: Option<Readings>,
    found: Option<Result<Standing, Finding>>,
}

/// What is advised.
#[derive(Clone, Copy, Debug)]
struct Advices {
    do_not_follow: bool,
    turn_back: bool,
}

impl Look {
    const NONE: Self = Self { known: None, found: None };
}

impl Advices {
    const NONE: Self = Self { do_not_follow: false, turn_back: false };

    const fn most_urgent(self) -> Advice {
        match (self.turn_back, self.do_not_follow) {
            (true, _) => Advice::TurnBack,
            (false, true) => Advice::DoNotFollow,
            (false, false) => Advice::None,
        }
    }
}

/// Whether a number is one of the 32,767 before another, as they go round.
const fn is_before(number: u16, other: u16) -> bool {
    let behind = other.wrapping_sub(number);
    behind > 0 && behind < 1 << 15
}

impl Default for Board {
    fn default() -> Self {
        Self::new()
    }
}

impl Board {
    /// A board that holds nothing and gives no permit.
    ///
    /// `const`, so that it can be made in its place: on the stack it would take more than everything else together.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            reader: FrameReader::new(),
            answered: None,
            limits: LimitsStore::new(),
            limits_fingerprint: None,
            slots: Slots::EMPTY,
            instruments: Instruments::NONE,
            interlock: Interlock::new(),
            incoming: Incoming::Nothing(Refusal::NothingBegun),
            taken: 0,
            quiet: 0,
            verdict: heapless::Vec::new(),
            look: Look::NONE,
            advice: Advices::NONE,
        }
    }

    /// Tests itself, and takes the limits from flash.
    pub fn start<H: Hardware>(&mut self, hardware: &mut H) -> Event {
        let tested = self.test_itself(hardware);
        let found = self.look_at_slots(hardware);
        // Flash that can only be read still holds what counts.
        let _ = self.slots.forget_older(hardware.flash());
        match tested.and(found.map_err(|FlashFault| Failure::Flash)) {
            Ok(()) => {
                self.read_limits(hardware);
                Event::Started(self.limits_fingerprint)
            }
            Err(failure) => {
                self.drop_limits();
                self.fault();
                Event::SelfTestFailed(failure)
            }
        }
    }

    /// Something is wrong with the board or its lines: on the ground, or once the flight is over, the permit ends until
    /// the next start.
    pub fn fault(&mut self) {
        self.interlock.take(Happening::Fault);
    }

    /// Takes in readings that the board makes by itself, from sensors that are wired to it: what is said over the link
    /// about position, height, pack and charge counts as much, whichever is the newer; whether the aircraft is on the
    /// ground only these can tell.
    pub fn sense(&mut self, report: Report) {
        self.instruments.sense(report);
        self.look(0);
        self.watch_the_return(&report);
    }

    /// Takes a byte from the link; what is to be sent goes to `out`, frame by frame.
    pub fn take<H: Hardware>(&mut self, byte: u8, hardware: &mut H, out: &mut dyn FnMut(&[u8])) -> Option<Event> {
        let (sequence, ask) = match self.reader.take::<Request>(byte)? {
            Came::Message(request) => (request.sequence, Some(request.ask)),
            Came::Unknown(sequence) => (sequence, None),
        };
        if let Some((number, answer)) = &self.answered {
            if *number == sequence {
                out(answer);
                return None;
            }
            if is_before(sequence, *number) && !matches!(ask, Some(Ask::Hello) | None) {
                return None;
            }
        }
        let (answer, event) = match ask {
            Some(ask) => self.answer(ask, hardware),
            None => (Answer::Refused(Refusal::Unknown), None),
        };
        let (_, answer) = self.answered.insert((sequence, frame(&Reply { sequence, answer })));
        out(answer);
        event
    }

    /// Lets time pass, in ms since the last call; what the lines must show from now on.
    pub fn tick<H: Hardware>(&mut self, elapsed: u32, hardware: &mut H) -> (Lines, Option<Event>) {
        self.instruments.grow_older(elapsed);
        self.quiet = self.quiet.saturating_add(elapsed);
        let event = self.give_up(hardware);
        self.look(elapsed);
        (self.lines(), event)
    }

    /// What the lines must show.
    #[must_use]
    pub fn lines(&self) -> Lines {
        Lines { permit: self.interlock.permit().is_some(), advice: self.advice.most_urgent() != Advice::None }
    }

    /// The packed verdict on the route that came last; empty while there is none.
    #[must_use]
    pub fn verdict(&self) -> &[u8] {
        &self.verdict
    }

    /// How things stand.
    #[must_use]
    pub fn status(&self) -> Status {
        let waits = self.look.found.as_ref().and_then(|found| found.as_ref().err()).copied();
        Status {
            stage: self.interlock.stage(),
            limits: self.limits_fingerprint,
            route: self.interlock.subject().map(|subject| subject.route),
            waits: waits.filter(|_| self.interlock.stage() == Stage::Waiting),
            flight: self.instruments.flight(self.limits.limits().map(|limits| &limits.figures().readings)),
            advice: self.advice.most_urgent(),
        }
    }

    /// What was said of the field, with its age.
    #[must_use]
    pub const fn readings(&self) -> &Report {
        self.instruments.report()
    }

    fn answer<H: Hardware>(&mut self, ask: Ask, hardware: &mut H) -> (Answer, Option<Event>) {
        match ask {
            Ask::Hello => (Answer::Hello(Capacities::HERE), None),
            Ask::Begin(kind) => (self.begin(kind, hardware), None),
            Ask::Piece { offset, bytes } => self.piece(offset, &bytes, hardware),
            Ask::Verdict { offset } => (self.part_of_verdict(usize::from(offset)), None),
            Ask::Readings(report) => {
                self.instruments.take(report);
                self.look(0);
                self.watch_the_return(&report);
                (Answer::Status(self.status()), None)
            }
            Ask::Status => (Answer::Status(self.status()), None),
        }
    }

    /// Looks whether a Go that is held stands, and tells the interlock.
    fn look(&mut self, elapsed: u32) {
        self.ask_again();
        let asked = self.limits.limits().map(|limits| &limits.figures().readings);
        let flight = self.instruments.flight_for_the_permit(asked);
        let standing = self.look.found.as_ref().and_then(|found| found.as_ref().ok());
        self.interlock.take(Happening::Looked { standing, flight, elapsed });
        if self.interlock.stage() != Stage::Latched {
            self.advice = Advices::NONE;
        }
    }

    /// Asks the Go that is held about what is known, if that has changed.
    fn ask_again(&mut self) {
        let (Some(go), Some(limits)) = (self.interlock.go(), self.limits.limits()) else {
            self.look = Look::NONE;
            return;
        };
        match self.instruments.on_ground(&limits.figures().readings) {
            Err(missing) => self.look = Look { known: None, found: Some(Err(missing)) },
            Ok(known) if self.look.known == Some(known) => {}
            Ok(known) => {
                let held = self.limits_fingerprint.unwrap_or(Fingerprint::NONE);
                self.look = Look { known: Some(known), found: Some(go.stands(limits, held, &known)) };
            }
        }
    }

    /// In flight: judges the return from where the aircraft is, when something of that is said anew.
    fn watch_the_return(&mut self, report: &Report) {
        let news = report.position.is_some() || report.height.is_some() || report.left.is_some();
        if self.interlock.stage() != Stage::Latched || !news {
            return;
        }
        let (Some(go), Some(aloft), Some(limits)) =
            (self.interlock.go(), self.instruments.aloft(), self.limits.limits())
        else {
            return;
        };
        self.advice.turn_back = !returns(limits, go, aloft);
    }

    /// Takes the limits from flash again, or none. It looks which slot counts: a write that failed may have been done
    /// all the same.
    fn restore<H: Hardware>(&mut self, hardware: &mut H) {
        // Where flash can't be looked at, the slot that counted is read, or can't be either.
        let _ = self.look_at_slots(hardware);
        self.read_limits(hardware);
    }

    fn look_at_slots<H: Hardware>(&mut self, hardware: &mut H) -> Result<(), FlashFault> {
        self.slots = Slots::find(hardware.flash())?;
        Ok(())
    }

    #[inline(never)]
    fn read_limits<H: Hardware>(&mut self, hardware: &mut H) {
        self.drop_limits();
        let (mut reader, limits) = (LimitsReader::default(), &mut self.limits);
        let mut fingerprint = None;
        let read = self.slots.read(hardware.flash(), &mut |byte| {
            fingerprint = reader.take(byte, limits).map_err(|_| FlashFault)?;
            Ok(())
        });
        match (read, fingerprint) {
            (Ok(()), Some(_)) => self.limits_fingerprint = fingerprint,
            _ => self.drop_limits(),
        }
    }

    fn drop_limits(&mut self) {
        self.limits.clear();
        self.limits_fingerprint = None;
    }

    fn part_of_verdict(&self, offset: usize) -> Answer {
        let rest = self.verdict.get(offset..).unwrap_or(&[]);
        let bytes = Bytes::from_slice(rest.get(..PIECE).unwrap_or(rest)).unwrap_or_default();
        Answer::Verdict { length: u16::try_from(self.verdict.len()).unwrap_or(u16::MAX), bytes }
    }
}

/// Whether a return from where the aircraft is would be a Go.
#[inline(never)]
fn returns(limits: Limits<'_>, go: &Go, aloft: Aloft) -> bool {
    let readings = Readings { here: None, pack: None, aloft: Some(aloft) };
    let checker = &mut Checker::new(limits, go.launch().clone(), readings);
    checker.step(limits, &Step::Return);
    checker.is_go(limits)
}

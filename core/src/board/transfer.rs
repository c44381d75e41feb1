//! Limits and routes that come in, piece by piece.

use super::{
    Advices, Board, Event, Hardware, Look, Outcome, Readings,
    slots::{Filling, Slots},
};
use crate::{
    check::Checker,
    fingerprint::Fingerprint,
    interlock::{Happening, Stage},
    link::{Answer, PATIENCE, Refusal},
    model::{route::Launch, store::LimitsStore},
    verdict::{Cause, Finding, Findings, Rule, Subject, Summary, Verdict},
    wire::{
        Fault, Kind,
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
        verdict::pack_verdict,
    },
};

/// What comes in.
#[expect(clippy::large_enum_variant, reason = "there is one, in fixed memory, and no heap to put a variant on")]
pub(super) enum Incoming {
    /// Nothing; what to say to a piece.
    Nothing(Refusal),
    /// Limits, and the slot that they go to.
    Limits(LimitsReader, Filling),
    /// A route.
    Route(RouteReader, Option<Checker>),
    /// The rest of a route that is refused already.
    Refused,
}

impl core::fmt::Debug for Incoming {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Nothing(refusal) => f.debug_tuple("Nothing").field(refusal).finish(),
            Self::Limits(_, filling) => f.debug_tuple("Limits").field(filling).finish(),
            Self::Route(_, checker) => f.debug_tuple("Route").field(checker).finish(),
            Self::Refused => f.write_str("Refused"),
        }
    }
}

impl Board {
    pub(super) fn begin<H: Hardware>(&mut self, kind: Kind, hardware: &mut H) -> Answer {
        let latched = self.interlock.stage() == Stage::Latched;
        let refusal = match kind {
            _ if self.interlock.stage() == Stage::Faulty => Some(Refusal::Faulty),
            Kind::Verdict => Some(Refusal::Unknown),
            Kind::Limits if latched => Some(Refusal::Latched),
            Kind::Limits if !hardware.held() => Some(Refusal::NotHeld),
            Kind::Limits | Kind::Route => None,
        };
        if let Some(refusal) = refusal {
            return Answer::Refused(refusal);
        }
        self.forget_the_last(hardware);
        match kind {
            Kind::Limits => self.begin_limits(hardware),
            Kind::Route | Kind::Verdict => {
                self.incoming = Incoming::Route(RouteReader::default(), None);
                Answer::Taken(0)
            }
        }
    }

    /// What came before is no more: a permit, too, if there is one on the ground.
    fn forget_the_last<H: Hardware>(&mut self, hardware: &mut H) {
        self.interlock.take(Happening::Begun);
        if matches!(self.incoming, Incoming::Limits(..)) {
            self.restore(hardware);
        }
        (self.taken, self.quiet) = (0, 0);
        self.advice.do_not_follow = false;
        self.verdict.clear();
    }

    fn begin_limits<H: Hardware>(&mut self, hardware: &mut H) -> Answer {
        if let Ok(filling) = self.slots.begin(hardware.flash()) {
            self.drop_limits();
            self.incoming = Incoming::Limits(LimitsReader::default(), filling);
            Answer::Taken(0)
        } else {
            self.incoming = Incoming::Nothing(Refusal::Flash);
            Answer::Refused(Refusal::Flash)
        }
    }

    /// Takes the bytes of a piece that begins where the last ended.
    pub(super) fn piece<H: Hardware>(
        &mut self, offset: u32, bytes: &[u8], hardware: &mut H,
    ) -> (Answer, Option<Event>) {
        let mut event = self.give_up(hardware);
        if let Incoming::Nothing(refusal) = self.incoming {
            return (Answer::Refused(refusal), event);
        }
        if offset == self.taken {
            self.quiet = 0;
            for byte in bytes {
                self.taken = self.taken.saturating_add(1);
                event = self.byte(*byte, hardware).or(event);
            }
        }
        match (event, &self.incoming) {
            (Some(Event::LimitsRefused(refusal, _)), _) => (Answer::Refused(refusal), event),
            _ => (Answer::Taken(self.taken), event),
        }
    }

    pub(super) fn byte<H: Hardware>(&mut self, byte: u8, hardware: &mut H) -> Option<Event> {
        match &mut self.incoming {
            Incoming::Nothing(_) | Incoming::Refused => None,
            Incoming::Limits(..) => self.limits_byte(byte, hardware),
            Incoming::Route(reader, _) => match reader.take(byte) {
                Ok(None) => None,
                Ok(Some(event)) => self.route_event(event),
                Err(fault) => {
                    self.refuse(Rule::Form, Cause::NotARoute);
                    Some(Event::RouteRefused(fault))
                }
            },
        }
    }

    #[inline(never)]
    fn limits_byte<H: Hardware>(&mut self, byte: u8, hardware: &mut H) -> Option<Event> {
        let Incoming::Limits(reader, filling) = &mut self.incoming else { return None };
        match kept(byte, reader, filling, &mut self.limits, hardware) {
            Ok(None) => None,
            Ok(Some((fingerprint, slots))) => {
                self.incoming = Incoming::Nothing(Refusal::NothingBegun);
                (self.slots, self.limits_fingerprint) = (slots, Some(fingerprint));
                Some(Event::LimitsHeld(fingerprint))
            }
            Err((refusal, fault)) => Some(self.abandon(refusal, fault, hardware)),
        }
    }

    /// Limits that come in are given up: those in flash hold again.
    fn abandon<H: Hardware>(&mut self, refusal: Refusal, fault: Option<Fault>, hardware: &mut H) -> Event {
        self.incoming = Incoming::Nothing(refusal);
        self.restore(hardware);
        Event::LimitsRefused(refusal, fault)
    }

    /// Gives limits up that nobody sends on, or that nobody holds the input for.
    pub(super) fn give_up<H: Hardware>(&mut self, hardware: &mut H) -> Option<Event> {
        if !matches!(self.incoming, Incoming::Limits(..)) {
            None
        } else if !hardware.held() {
            Some(self.abandon(Refusal::NotHeld, None, hardware))
        } else if self.quiet > PATIENCE {
            Some(self.abandon(Refusal::NothingBegun, None, hardware))
        } else {
            None
        }
    }

    fn route_event(&mut self, event: RouteEvent) -> Option<Event> {
        if self.limits.limits().is_none() || self.limits_fingerprint.is_none() {
            return Some(self.refuse(Rule::Form, Cause::NoLimits));
        }
        match event {
            RouteEvent::Launch(launch) => self.route_begins(launch),
            RouteEvent::Step(step) => {
                if let (Some(limits), Incoming::Route(_, Some(checker))) = (self.limits.limits(), &mut self.incoming) {
                    checker.step(limits, &step);
                }
                None
            }
            RouteEvent::End(route) => self.route_ends(route),
        }
    }

    /// On the ground a route is judged by itself, and what is known there is asked about as long as there is a Go. In
    /// flight it is judged from where the aircraft is.
    #[inline(never)]
    fn route_begins(&mut self, launch: Launch) -> Option<Event> {
        let limits = self.limits.limits()?;
        let (flies, aloft) = (self.status().aloft(), self.instruments.aloft());
        if flies && aloft.is_none() {
            return Some(self.refuse(Rule::Launch, Cause::NoReading));
        }
        let flown = self.interlock.go().filter(|_| flies).map(crate::check::Go::launch);
        if flown.is_some_and(|flown| (flown.position, flown.elevation) != (launch.position, launch.elevation)) {
            return Some(self.refuse(Rule::Launch, Cause::AnotherLaunch));
        }
        let readings = Readings { here: None, pack: None, aloft: aloft.filter(|_| flies) };
        if let Incoming::Route(_, checker) = &mut self.incoming {
            *checker = Some(Checker::new(limits, launch, readings));
        }
        None
    }

    #[inline(never)]
    fn route_ends(&mut self, route: Fingerprint) -> Option<Event> {
        let (limits, held) = (self.limits.limits()?, self.limits_fingerprint?);
        let Incoming::Route(_, checker) = &mut self.incoming else { return None };
        let (verdict, go) = checker.take()?.decide(limits, Subject { route, limits: held });
        let happening = match (verdict.outcome(), go) {
            // From an aircraft in flight that has no permit: nothing to give one for.
            (Outcome::Go, None) => Happening::Begun,
            (Outcome::Go | Outcome::NoGo, go) => Happening::Judged(go),
        };
        Some(self.hold(&verdict, happening))
    }

    /// No-go for this alone.
    #[inline(never)]
    fn refuse(&mut self, rule: Rule, cause: Cause) -> Event {
        let mut findings = Findings::EMPTY;
        findings.add(Finding::of(rule, 0, cause));
        let limits = self.limits_fingerprint.unwrap_or(Fingerprint::NONE);
        self.incoming = Incoming::Refused;
        let verdict = Verdict {
            subject: Subject { route: Fingerprint::NONE, limits },
            summary: Summary { steps: 0, length: None, duration: None },
            energy: None,
            findings,
        };
        self.hold(&verdict, Happening::Judged(None))
    }

    /// Holds a verdict, packed, and tells the interlock.
    #[inline(never)]
    fn hold(&mut self, verdict: &Verdict, happening: Happening<'_>) -> Event {
        self.verdict.clear();
        let held = &mut self.verdict;
        pack_verdict(verdict, &mut |bytes| {
            // VERDICT_BYTES has room for every verdict; a test packs the largest.
            let _ = bytes.iter().try_for_each(|byte| held.push(*byte));
        });
        self.interlock.take(happening);
        let latched = self.interlock.stage() == Stage::Latched;
        self.advice = Advices { do_not_follow: latched && verdict.outcome() == Outcome::NoGo, ..self.advice };
        self.look = Look::NONE;
        self.look(0);
        Event::Judged(verdict.outcome(), verdict.subject)
    }
}

/// Why limits are given up, and what is wrong in their bytes if that is why.
type Why = (Refusal, Option<Fault>);

/// Takes a byte of limits into memory and flash; once they are whole, makes their slot count.
fn kept<H: Hardware>(
    byte: u8, reader: &mut LimitsReader, filling: &mut Filling, limits: &mut LimitsStore, hardware: &mut H,
) -> Result<Option<(Fingerprint, Slots)>, Why> {
    let no_flash = |_| (Refusal::Flash, None);
    let whole = reader.take(byte, limits).map_err(|fault| (Refusal::BadLimits, Some(fault)))?;
    filling.take(byte, hardware.flash()).map_err(no_flash)?;
    let Some(fingerprint) = whole else { return Ok(None) };
    if !hardware.held() {
        return Err((Refusal::NotHeld, None));
    }
    filling.finish(hardware.flash()).map_err(no_flash).map(|slots| Some((fingerprint, slots)))
}

//! What only the checker can make: a Go, and whether it still holds at the field.

use crate::{
    fingerprint::Fingerprint,
    geometry::frame::Frame,
    model::{route::Launch, store::Limits},
    rules::{Readings, launch, pack},
    verdict::{Finding, Rule, Severity, Subject},
};

/// A Go for one route from the ground, held to one set of limits. Only [`super::Checker::decide`] makes one, and it
/// can't be copied: what asks for one can't be had without a check.
///
/// A route that is judged from an aircraft in flight gives none: such a verdict is advice.
#[derive(Debug)]
pub struct Go {
    subject: Subject,
    launch: Launch,
    /// What the route or the worst turn-back needs of the charge, 0.001 Wh, an upper bound.
    needed: i32,
}

/// That a [`Go`] holds with what is known at the field. Only [`Go::stands`] makes one.
#[derive(Debug)]
pub struct Standing(Subject);

impl Standing {
    /// Which route and limits it is about.
    #[must_use]
    pub const fn subject(&self) -> Subject {
        self.0
    }
}

impl Go {
    pub(super) const fn new(subject: Subject, launch: Launch, needed: i32) -> Self {
        Self { subject, launch, needed }
    }

    /// Which route and limits it is about.
    #[must_use]
    pub const fn subject(&self) -> Subject {
        self.subject
    }

    /// Where the route begins.
    #[must_use]
    pub const fn launch(&self) -> &Launch {
        &self.launch
    }

    /// Asks `launch` and `pack` with what is known now, and whether these are the limits that the route was held to.
    ///
    /// What isn't known isn't asked about here: whoever calls says what must be known.
    ///
    /// # Errors
    /// What is broken; a finding of `form` for other limits.
    pub fn stands(&self, limits: Limits<'_>, held: Fingerprint, readings: &Readings) -> Result<Standing, Finding> {
        if held != self.subject.limits {
            return Err(Finding::of(Rule::Form, 0, crate::verdict::Cause::NoLimits));
        }
        let spot = self.spot(limits, readings);
        let pack = readings.pack.map(|pack| pack::enough(limits.figures(), pack, self.needed));
        let broken = [spot, pack].into_iter().flatten().find(|finding| finding.severity() == Some(Severity::Stop));
        broken.map_or(Ok(Standing(self.subject)), Err)
    }

    /// Where the aircraft stands against where the route begins.
    fn spot(&self, limits: Limits<'_>, readings: &Readings) -> Option<Finding> {
        // A route without a frame is no Go.
        let frame = Frame::new(self.launch.position)?;
        launch::stands_there(limits.figures(), &frame, readings.here)
    }
}

//! Packed routes: see [`super`] for the bytes.

use serde::{Deserialize, Serialize};

use super::{
    Fault, Kind, Reason,
    envelope::{EnvelopeReader, EnvelopeWriter, Token},
    part::{PartReader, measure, write},
};
use crate::{
    arithmetic::clamp_i32,
    fingerprint::Fingerprint,
    geometry::position::Position,
    model::{
        is_name,
        route::{Launch, Step},
    },
    units::{Duration, Height, Speed},
};

/// What precedes the steps.
#[derive(Debug, Serialize, Deserialize)]
pub struct Head {
    /// Where the route starts.
    pub launch: Launch,
    /// How many steps follow.
    pub steps: u16,
}

/// A step as it is written: what changes is a difference from the step before.
#[derive(Debug, Serialize, Deserialize)]
pub enum PackedStep {
    /// Go straight up.
    Climb {
        /// How much higher the step ends.
        height: i32,
    },
    /// Fly along a straight line.
    Fly {
        /// How much farther north it ends.
        latitude: i32,
        /// How much farther east it ends; the long way round at the antimeridian.
        longitude: i64,
        /// How much higher it ends.
        height: i32,
        /// How much faster it is.
        speed: i32,
        /// How long to stay there.
        hold: Duration,
    },
    /// Stay.
    Hold {
        /// How long.
        time: Duration,
    },
    /// Go straight down.
    Land,
    /// Return to launch.
    Return,
}

/// What differences are taken from.
#[derive(Clone, Copy)]
struct Before {
    position: Position,
    height: i32,
    speed: i32,
}

impl Before {
    const fn launch(launch: &Launch) -> Self {
        Self { position: launch.position, height: 0, speed: 0 }
    }

    /// The step as it is written; `self` moves on.
    fn pack(&mut self, step: &Step) -> PackedStep {
        match *step {
            Step::Climb { height } => PackedStep::Climb { height: difference(height.get(), &mut self.height) },
            Step::Fly { to, height, speed, hold } => {
                let from = core::mem::replace(&mut self.position, to);
                PackedStep::Fly {
                    latitude: to.latitude.get().saturating_sub(from.latitude.get()),
                    longitude: i64::from(to.longitude.get()).saturating_sub(i64::from(from.longitude.get())),
                    height: difference(height.get(), &mut self.height),
                    speed: difference(speed.get(), &mut self.speed),
                    hold,
                }
            }
            Step::Hold { time } => PackedStep::Hold { time },
            Step::Land => PackedStep::Land,
            Step::Return => PackedStep::Return,
        }
    }

    /// The step that was written, or `None` where a sum is out of range; `self` moves on.
    fn unpack(&mut self, step: &PackedStep) -> Option<Step> {
        Some(match *step {
            PackedStep::Climb { height } => Step::Climb { height: Height::new(sum(&mut self.height, height)?)? },
            PackedStep::Fly { latitude, longitude, height, speed, hold } => {
                let longitude = i64::from(self.position.longitude.get()).checked_add(longitude)?;
                let latitude = self.position.latitude.get().checked_add(latitude)?;
                self.position = Position::new(latitude, i32::try_from(longitude).ok()?)?;
                Step::Fly {
                    to: self.position,
                    height: Height::new(sum(&mut self.height, height)?)?,
                    speed: Speed::new(sum(&mut self.speed, speed)?)?,
                    hold,
                }
            }
            PackedStep::Hold { time } => Step::Hold { time },
            PackedStep::Land => Step::Land,
            PackedStep::Return => Step::Return,
        })
    }
}

/// How much `value` is more than `before`, which becomes it.
fn difference(value: i32, before: &mut i32) -> i32 {
    let difference = i64::from(value).saturating_sub(i64::from(*before));
    *before = value;
    clamp_i32(difference)
}

fn sum(before: &mut i32, difference: i32) -> Option<i32> {
    *before = before.checked_add(difference)?;
    Some(*before)
}

/// A route has more steps than [`crate::model::route::STEPS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooManySteps;

/// Packs a route into `sink`; its fingerprint. The steps are gone through twice: the length comes first.
///
/// # Errors
/// [`TooManySteps`]: nothing was written, since a route that is cut is another route.
pub fn pack_route<'s>(
    launch: &Launch, steps: impl ExactSizeIterator<Item = &'s Step> + Clone, sink: &mut dyn FnMut(&[u8]),
) -> Result<Fingerprint, TooManySteps> {
    let count = u16::try_from(steps.len()).map_err(|_| TooManySteps)?;
    let body = |put: &mut dyn FnMut(&[u8])| {
        write(&Head { launch: launch.clone(), steps: count }, put);
        let mut before = Before::launch(launch);
        steps.clone().for_each(|step| write(&before.pack(step), put));
    };
    let mut writer = EnvelopeWriter::new(Kind::Route, measure(body), sink);
    body(&mut |bytes| writer.put(bytes));
    Ok(writer.end())
}

/// What a byte of a packed route completes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RouteEvent {
    /// Where the route starts.
    Launch(Launch),
    /// The next step.
    Step(Step),
    /// All of it; the steps seen so far are a route.
    End(Fingerprint),
}

/// Takes a packed route apart, byte by byte, in memory that doesn't depend on its length.
#[derive(Clone)]
pub struct RouteReader {
    envelope: EnvelopeReader,
    part: PartReader,
    state: State,
}

#[derive(Clone)]
enum State {
    Head,
    Steps { left: u16, before: Before },
}

impl Default for RouteReader {
    fn default() -> Self {
        Self { envelope: EnvelopeReader::new(Kind::Route), part: PartReader::default(), state: State::Head }
    }
}

impl RouteReader {
    /// Takes the next byte; what it completes.
    ///
    /// # Errors
    /// The bytes so far can't be the beginning of a packed route.
    pub fn take(&mut self, byte: u8) -> Result<Option<RouteEvent>, Fault> {
        match self.envelope.take(byte)? {
            Token::Envelope => Ok(None),
            Token::End(fingerprint) if matches!(self.state, State::Steps { left: 0, .. }) => {
                Ok(Some(RouteEvent::End(fingerprint)))
            }
            Token::End(_) => Err(self.envelope.fault(Reason::Length)),
            Token::Body { byte, last } => {
                let event = self.body(byte).map_err(|reason| self.envelope.fault(reason))?;
                let open = self.part.pending() || !matches!(self.state, State::Steps { left: 0, .. });
                if last && open { Err(self.envelope.fault(Reason::Length)) } else { Ok(event) }
            }
        }
    }

    /// What to say when no more bytes come.
    ///
    /// # Errors
    /// The route isn't complete.
    pub fn end(&self) -> Result<(), Fault> {
        self.envelope.end()
    }

    fn body(&mut self, byte: u8) -> Result<Option<RouteEvent>, Reason> {
        match &mut self.state {
            State::Head => {
                let Some(head) = self.part.take::<Head>(byte)? else { return Ok(None) };
                if !is_name(&head.launch.name) {
                    return Err(Reason::Value);
                }
                self.state = State::Steps { left: head.steps, before: Before::launch(&head.launch) };
                Ok(Some(RouteEvent::Launch(head.launch)))
            }
            State::Steps { left: 0, .. } => Err(Reason::Length),
            State::Steps { left, before } => {
                let Some(packed) = self.part.take::<PackedStep>(byte)? else { return Ok(None) };
                *left = left.saturating_sub(1);
                before.unpack(&packed).map(|step| Some(RouteEvent::Step(step))).ok_or(Reason::Value)
            }
        }
    }
}

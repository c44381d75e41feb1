//! What a person reads on the log's serial port: frames of `defmt`, which hold numbers and the addresses of texts. `defmt-print`
//! makes lines of them, with the image at hand.
#![expect(unsafe_code, reason = "a logger has memory of its own, and defmt asks for a promise about it")]

use core::cell::UnsafeCell;

use defmt::{Encoder, Format, Formatter, Str, intern, println};
use pinfold_core::{
    board::{Event, self_test::Failure},
    fingerprint::Fingerprint,
    link::Refusal,
    verdict::{Outcome, Subject},
    wire::{Fault, Reason},
};

use crate::{boards::Here, platform::Platform as _};

/// Writes to the log's serial port.
#[defmt::global_logger]
struct Logger;

/// The encoder of the frame at hand.
struct Shared(UnsafeCell<Encoder>);

// SAFETY: there is one thread, no interrupt logs, and no handler of a fault does.
unsafe impl Sync for Shared {}

static ENCODER: Shared = Shared(UnsafeCell::new(Encoder::new()));

fn encode(step: impl FnOnce(&mut Encoder, fn(&[u8]))) {
    // SAFETY: as above; and nothing that is called here logs.
    step(unsafe { &mut *ENCODER.0.get() }, Here::log);
}

// SAFETY: there is one context, so that nothing has to be kept apart. A frame that is begun within another, as the docs of the
// trait forbid, would be a frame that can't be read, and no more.
unsafe impl defmt::Logger for Logger {
    fn acquire() {
        encode(|encoder, log| encoder.start_frame(log));
    }

    unsafe fn flush() {}

    unsafe fn release() {
        encode(|encoder, log| encoder.end_frame(log));
    }

    unsafe fn write(bytes: &[u8]) {
        encode(|encoder, log| encoder.write(bytes, log));
    }
}

/// A fingerprint in its two groups.
struct Groups(Fingerprint);

impl Format for Groups {
    fn format(&self, formatter: Formatter<'_>) {
        let [a, b, c, d, e, f, g, h] = self.0.characters();
        defmt::write!(formatter, "{=str}", str::from_utf8(&[a, b, c, d, b'-', e, f, g, h]).unwrap_or(""));
    }
}

/// Tells what happened.
pub fn event(event: Event) {
    match event {
        Event::Started(Some(limits)) => println!("pinfold board: holds limits {}, no route", Groups(limits)),
        Event::Started(None) => println!("pinfold board: holds no limits, no route"),
        Event::SelfTestFailed(failure) => {
            println!("pinfold board: self test failed, no permit: {=istr}", failed(failure));
        }
        Event::LimitsHeld(fingerprint) => println!("limits held {}", Groups(fingerprint)),
        Event::LimitsRefused(refusal, None) => println!("limits refused: {=istr}", refused(refusal)),
        Event::LimitsRefused(_, Some(Fault { reason: why, offset })) => {
            println!("limits refused: {=istr} at byte {=u32}", reason(why), offset);
        }
        Event::RouteRefused(Fault { reason: why, offset }) => {
            println!("route refused, no-go: {=istr} at byte {=u32}", reason(why), offset);
        }
        Event::Judged(outcome, subject) => judged(outcome, subject),
    }
}

/// Tells that the load switch is held now, or released.
pub fn load_switch(held: bool) {
    let state = match held {
        true => intern!("held"),
        false => intern!("released"),
    };
    println!("load switch {=istr}", state);
}

fn judged(outcome: Outcome, Subject { route, limits }: Subject) {
    let outcome = match outcome {
        Outcome::Go => intern!("go"),
        Outcome::NoGo => intern!("no-go"),
    };
    println!("route judged {=istr} {} by limits {}", outcome, Groups(route), Groups(limits));
}

fn failed(failure: Failure) -> Str {
    match failure {
        Failure::Checksum => intern!("the checksum of nine digits"),
        Failure::Limits => intern!("the limits in the image"),
        Failure::Go => intern!("the route in the image that must be go"),
        Failure::NoGo => intern!("the route in the image that must be no-go"),
        Failure::Flash => intern!("the flash"),
    }
}

fn refused(refusal: Refusal) -> Str {
    match refusal {
        Refusal::Unknown => intern!("nobody knows why"),
        Refusal::NotHeld => intern!("the load switch was released"),
        Refusal::Latched => intern!("the aircraft may be flying"),
        Refusal::NothingBegun => intern!("nothing more came"),
        Refusal::BadLimits => intern!("they make no sense"),
        Refusal::Flash => intern!("the flash doesn't keep them"),
        Refusal::Faulty => intern!("the board is faulty"),
    }
}

fn reason(reason: Reason) -> Str {
    match reason {
        Reason::Magic => intern!("not packed bytes"),
        Reason::Kind(_) => intern!("another kind"),
        Reason::Version(_) => intern!("another version"),
        Reason::Short => intern!("ends early"),
        Reason::Trailing => intern!("goes on after the end"),
        Reason::Length => intern!("another length than said"),
        Reason::Checksum => intern!("damaged"),
        Reason::Value => intern!("a value that can't be"),
        Reason::NotCanonical => intern!("a value written in another way"),
        Reason::Limits(_) => intern!("limits that make no sense"),
    }
}

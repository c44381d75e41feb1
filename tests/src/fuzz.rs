//! What fuzzing runs: a plain function of bytes for each target, each with an oracle of its own. None is content with
//! not crashing.
//!
//! libFuzzer runs them from `fuzz/fuzz_targets`, plain `cargo test` on the inputs that are kept in `fuzz/`: those of
//! the text formats are in the command's package, since they are about its readers.
//!
//! * [`packed`]: packed bytes; [`geometry`]: exact predicates; [`checker`]: verdicts against the slow oracles.
//! * [`interlock`], [`frames`], [`session`], [`power_cuts`]: the board and what it is made of.
//! * [`kept`]: the inputs that are kept, and changes of them by chance.

pub mod checker;
pub mod frames;
pub mod geometry;
mod given;
pub mod interlock;
pub mod kept;
pub mod packed;
pub mod power_cuts;
mod sent;
pub mod session;

/// What bytes are thrown at.
#[derive(Clone, Copy, Debug)]
pub struct Target {
    /// What it is called, here and in `fuzz/`.
    pub name: &'static str,
    /// Panics where what comes of the bytes isn't what the oracle says.
    pub run: fn(&[u8]),
}

/// All targets but those of the text formats.
pub const TARGETS: [Target; 10] = [
    Target { name: "packed_route", run: packed::route },
    Target { name: "packed_limits", run: packed::limits },
    Target { name: "packed_verdict", run: packed::verdict },
    Target { name: "predicates", run: geometry::predicates },
    Target { name: "checker_space", run: checker::space },
    Target { name: "checker_energy", run: checker::energy },
    Target { name: "interlock_events", run: interlock::events },
    Target { name: "link_frames", run: frames::frames },
    Target { name: "link_session", run: session::session },
    Target { name: "limits_power_cuts", run: power_cuts::power_cuts },
];

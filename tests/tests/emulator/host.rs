//! The host's verdict on packed bytes.

use std::{env, path::Path, process::Command};

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    model::{
        route::{Launch, Step},
        store::LimitsStore,
    },
    rules::Readings,
    verdict::{Cause, Finding, Outcome, Rule, Severity, Subject, Verdict},
    wire::{
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
        verdict::{pack_verdict, unpack_verdict},
    },
};

/// The packed verdict of the checker on the host.
pub(crate) fn verdict(store: &LimitsStore, limits: &[u8], route: (&Launch, &[Step]), packed: &[u8]) -> Vec<u8> {
    verdict_with(Readings::NONE, store, limits, route, packed)
}

/// The same with what is known at the field.
pub(crate) fn verdict_with(
    readings: Readings, store: &LimitsStore, limits: &[u8], (launch, steps): (&Launch, &[Step]), packed: &[u8],
) -> Vec<u8> {
    let subject = Subject { route: Fingerprint::of(packed), limits: Fingerprint::of(limits) };
    pack(&check(store.limits().expect("sealed"), launch.clone(), readings, steps.iter().copied(), subject))
}

/// The same for bytes that were packed elsewhere.
pub(crate) fn verdict_on_bytes(limits: &[u8], route: &[u8]) -> Vec<u8> {
    let store = read_limits(limits);
    let (launch, steps) = read_route(route);
    verdict(&store, limits, (&launch, &steps), route)
}

fn read_limits(bytes: &[u8]) -> Box<LimitsStore> {
    let (mut store, mut reader) = (Box::new(LimitsStore::new()), LimitsReader::default());
    for byte in bytes {
        reader.take(*byte, &mut store).expect("sound limits");
    }
    reader.end().expect("complete limits");
    store
}

fn read_route(bytes: &[u8]) -> (Launch, Vec<Step>) {
    let (mut launch, mut steps, mut reader) = (None, Vec::new(), RouteReader::default());
    for byte in bytes {
        match reader.take(*byte).expect("a sound route") {
            Some(RouteEvent::Launch(at)) => launch = Some(at),
            Some(RouteEvent::Step(step)) => steps.push(step),
            Some(RouteEvent::End(_)) | None => {}
        }
    }
    reader.end().expect("a complete route");
    (launch.expect("a launch point"), steps)
}

fn pack(verdict: &Verdict) -> Vec<u8> {
    let mut bytes = Vec::new();
    pack_verdict(verdict, &mut |piece| bytes.extend_from_slice(piece));
    bytes
}

/// Go or No-go of a packed verdict.
pub(crate) fn outcome(packed: &[u8]) -> Outcome {
    unpack_verdict(packed).expect("a verdict").outcome()
}

/// What a packed verdict has against a route by this rule.
pub(crate) fn broken(packed: &[u8], rule: Rule) -> Option<Finding> {
    let verdict = unpack_verdict(packed).expect("a verdict");
    let found =
        verdict.findings.broken().find(|(severity, finding)| *severity == Severity::Stop && finding.rule == rule);
    found.map(|(_, finding)| *finding)
}

/// Asserts a No-go by `form` for this cause and nothing else.
pub(crate) fn assert_form(packed: &[u8], cause: Cause, what: &str) {
    let verdict = unpack_verdict(packed).unwrap_or_else(|fault| panic!("{what}: no verdict, {fault:?}"));
    let findings = verdict.findings.iter().collect::<Vec<_>>();
    assert_eq!(verdict.outcome(), Outcome::NoGo, "{what}");
    assert!(matches!(findings[..], [only] if only.rule == Rule::Form && only.cause == cause), "{what}: {findings:?}");
}

/// The command, as released.
pub(crate) fn pinfold() -> Command {
    Command::new(env::var_os("PINFOLD_BIN").expect("PINFOLD_BIN must name the command; tests/run builds it"))
}

/// What `pinfold pack` makes of a file.
pub(crate) fn packed_by_command(file: &Path, out: &Path) -> Vec<u8> {
    let run = pinfold().arg("pack").arg(file).arg("-o").arg(out).output().expect("the command runs");
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{} isn't packed: {said}", file.display());
    std::fs::read(out).expect("a packed file")
}

//! An image to measure, not to run: packed limits and routes in, packed verdicts out, without link, log and board. Its size less
//! that of the image that does nothing is what the checker adds to somebody's own firmware.

#![no_std]
#![no_main]

use cortex_m_rt::entry;
use pinfold_core::{
    check::Checker,
    fingerprint::Fingerprint,
    model::store::LimitsStore,
    rules::Readings,
    verdict::Subject,
    wire::{
        limits::LimitsReader,
        route::{RouteEvent, RouteReader},
        verdict::pack_verdict,
    },
};
use pinfold_firmware::boards::emulated::{Uart, registers::SerialPort};

#[entry]
fn main() -> ! {
    // The memory that judging needs, at a fixed place, so that it can be measured.
    static mut LIMITS: LimitsStore = LimitsStore::new();
    static mut CHECKER: Option<Checker> = None;
    static mut ROUTE: Option<RouteReader> = None;
    let mut port = Uart::new(SerialPort::first());
    loop {
        judge(&mut port, LIMITS, CHECKER, ROUTE.insert(RouteReader::default()));
    }
}

/// Limits, then a route, then the verdict.
fn judge(port: &mut Uart, store: &mut LimitsStore, checker: &mut Option<Checker>, route: &mut RouteReader) {
    let Some(limits_fingerprint) = read_limits(port, store) else { return store.clear() };
    let Some(limits) = store.limits() else { return };
    loop {
        match route.take(port.receive()) {
            Err(_) => return,
            Ok(None) => {}
            Ok(Some(RouteEvent::Launch(launch))) => *checker = Some(Checker::new(limits, launch, Readings::default())),
            Ok(Some(RouteEvent::Step(step))) => checker.iter_mut().for_each(|checker| checker.step(limits, &step)),
            Ok(Some(RouteEvent::End(route))) => {
                let subject = Subject { route, limits: limits_fingerprint };
                if let Some(checker) = checker.take() {
                    pack_verdict(&checker.finish(limits, subject), &mut |bytes| port.send_all(bytes));
                }
                return;
            }
        }
    }
}

fn read_limits(port: &mut Uart, store: &mut LimitsStore) -> Option<Fingerprint> {
    let mut reader = LimitsReader::default();
    loop {
        if let Some(fingerprint) = reader.take(port.receive(), store).ok()? {
            return Some(fingerprint);
        }
    }
}

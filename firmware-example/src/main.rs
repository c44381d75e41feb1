//! The board: it takes frames from the first serial port, judges routes while their bytes arrive, and answers there; the
//! second serial port has a log for people.
//!
//! `cargo run` starts it under the emulator and says how to talk to it.

#![no_std]
#![no_main]

use cortex_m_rt::entry;
use embedded_io::Write as _;
use pinfold_core::{board::Board, link::FRAME};
use pinfold_firmware::{
    hardware::SerialPort,
    log::{Log, Part},
    stack,
    uart::Uart,
};
#[cfg(feature = "measure")]
use pinfold_firmware::{hardware::Timer, stopwatch::Stopwatch};

/// What goes out for one byte that came in: a frame, or nothing.
type Answer = heapless::Vec<u8, FRAME>;

#[entry]
fn main() -> ! {
    // All the memory that judging needs, at a fixed place.
    static mut BOARD: Board = Board::new();
    let mut link = Uart::new(SerialPort::first());
    let mut log = Log::new(Uart::new(SerialPort::second()));
    log.line(&[Part::Text("pinfold board: holds no limits, no route")]);
    #[cfg(feature = "measure")]
    let stopwatch = Stopwatch::new(Timer::first());
    loop {
        let byte = link.receive();
        #[cfg(feature = "measure")]
        let start = stopwatch.now();
        let mut answer = Answer::new();
        // An answer is one frame, for which there is room.
        let event = BOARD.take(byte, &mut |frame| {
            let _ = frame.iter().try_for_each(|byte| answer.push(*byte));
        });
        #[cfg(feature = "measure")]
        if !answer.is_empty() {
            log.line(&[Part::Text("ticks "), Part::Number(stopwatch.since(start))]);
        }
        #[cfg(feature = "plant-a-panic")]
        plant(&mut answer);
        if let Some(event) = event {
            log.event(event);
            let used = stack::most_used();
            log.line(&[Part::Text("stack "), Part::Number(used.most), Part::Text(" of "), Part::Number(used.size)]);
        }
        // The answer goes last: whoever has it may read the log's lines about it.
        let _ = link.write_all(&answer);
    }
}

/// A panic that can be reached: what the proof has to find.
#[cfg(feature = "plant-a-panic")]
#[expect(clippy::indexing_slicing, reason = "the panic that is planted")]
fn plant(answer: &mut Answer) {
    answer.truncate(usize::from(answer[3]));
}

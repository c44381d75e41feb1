//! The stub of a debugger (the remote serial protocol of GDB): the machine stands still while it is there.

use std::{
    io::{Read as _, Write as _},
    os::unix::net::UnixStream,
    path::Path,
};

use super::PATIENCE;

/// The number of the program counter among the registers of an ARM processor.
const PROGRAM_COUNTER: u8 = 15;
/// Memory that the program doesn't have.
const ELSEWHERE: u32 = 0x2002_0000;
/// `str r0, [r1]`, then an instruction that is none (`udf #0`).
const STORE_AND_FAULT: u32 = 0xDE00_6008;

/// Changes what a program can't change from outside.
pub struct Debugger(UnixStream);

impl Debugger {
    pub(super) fn new(socket: &Path) -> Self {
        let stream = UnixStream::connect(socket).expect("the emulator's debugger");
        stream.set_read_timeout(Some(PATIENCE)).expect("a socket");
        let mut debugger = Self(stream);
        // Registers can be written one by one only after this.
        debugger.ask("qXfer:features:read:target.xml:0,fff");
        debugger
    }

    /// Writes a word of memory; registers of the machine can't be written so.
    pub fn write(&mut self, address: u32, word: u32) {
        self.command(&format!("M{address:x},4:{}", little_endian(word)));
    }

    /// Makes the program write a word to a register of the machine, and then do what can't be done.
    pub fn write_and_fault(&mut self, address: u32, word: u32) {
        self.write(ELSEWHERE, STORE_AND_FAULT);
        self.set(0, word);
        self.set(1, address);
        self.set(PROGRAM_COUNTER, ELSEWHERE);
    }

    /// Sets a register of the processor.
    fn set(&mut self, register: u8, word: u32) {
        self.command(&format!("P{register:x}={}", little_endian(word)));
    }

    /// Lets the machine go on.
    pub fn go(mut self) {
        self.command("D");
    }

    /// Sends a packet, which must be answered with OK.
    fn command(&mut self, body: &str) {
        let answer = self.ask(body);
        assert_eq!(answer, "OK", "the answer to '{body}'");
    }

    /// Sends a packet; the answer to it. What is said of the stop comes between.
    fn ask(&mut self, body: &str) -> String {
        let sum = body.bytes().fold(0, u8::wrapping_add);
        self.0.write_all(format!("${body}#{sum:02x}").as_bytes()).expect("the debugger listens");
        loop {
            let answer = self.packet();
            self.0.write_all(b"+").expect("the debugger listens");
            if !answer.starts_with('T') {
                return answer;
            }
        }
    }

    /// A packet without its checksum, which a socket doesn't need.
    fn packet(&mut self) -> String {
        let mut packet = String::new();
        while !packet.ends_with('#') {
            let mut byte = [0];
            self.0.read_exact(&mut byte).expect("the debugger answers");
            packet.push(char::from(byte[0]));
        }
        self.0.read_exact(&mut [0; 2]).expect("the debugger answers");
        packet.trim_start_matches(['+', '$']).trim_end_matches('#').to_owned()
    }
}

fn little_endian(word: u32) -> String {
    word.to_le_bytes().iter().map(|byte| format!("{byte:02x}")).collect()
}

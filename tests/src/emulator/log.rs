//! The board's log: frames of `defmt`, which mean something only beside the image that sends them.

use std::{
    fs,
    io::Read as _,
    net::TcpStream,
    path::Path,
    sync::mpsc::{Receiver, Sender, channel},
    thread,
};

use defmt_decoder::{DecodeError, StreamDecoder, Table};

/// The lines of a log, decoded as they come: the board waits while nobody reads its log.
pub(super) fn lines(mut stream: TcpStream, image: &Path) -> Receiver<String> {
    let elf = fs::read(image).expect("an image");
    let table = Table::parse(&elf).expect("an image whose log can be read").expect("an image that has a log");
    let (sender, receiver) = channel();
    thread::spawn(move || {
        let (mut decoder, mut buffer) = (table.new_stream_decoder(), [0; 256]);
        while let Ok(count @ 1..) = stream.read(&mut buffer) {
            decoder.received(&buffer[..count]);
            if !pass_on(&mut *decoder, &sender) {
                return;
            }
        }
    });
    receiver
}

/// Passes the lines on that have come in full; whether anybody listens. A frame that a reset has cut off is left out.
fn pass_on(decoder: &mut dyn StreamDecoder, sender: &Sender<String>) -> bool {
    loop {
        match decoder.decode() {
            Ok(frame) => {
                if sender.send(frame.display_message().to_string()).is_err() {
                    return false;
                }
            }
            Err(DecodeError::UnexpectedEof) => return true,
            Err(DecodeError::Malformed) => {}
        }
    }
}

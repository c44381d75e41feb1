//! The link lent to another program, which finds it at a TCP address.

use std::{
    io::{self, Read as _, Write as _},
    net::{SocketAddr, TcpListener, TcpStream},
    sync::atomic::{AtomicBool, Ordering},
    thread,
    time::Duration,
};

use pinfold_core::link::Ask;

use super::Emulator;

/// How long a copy waits before it looks whether it has become needless.
const LOOK: Duration = Duration::from_millis(20);

impl Emulator {
    /// Runs something that talks to the board at an address, one connection after the other.
    ///
    /// # Panics
    /// There is no port, or the link is dead, or the board doesn't answer afterwards.
    pub fn lend<R>(&mut self, run: impl FnOnce(SocketAddr) -> R) -> R {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
        listener.set_nonblocking(true).expect("a socket");
        let (address, over) = (listener.local_addr().expect("a bound port"), AtomicBool::new(false));
        let link = &self.link;
        let result = thread::scope(|scope| {
            scope.spawn(|| serve(&listener, link, &over));
            let result = run(address);
            over.store(true, Ordering::SeqCst);
            result
        });
        // A new conversation: the numbers of questions go on from a hello, whatever they were in between.
        self.ask(Ask::Hello).expect("an answer");
        result
    }
}

fn serve(listener: &TcpListener, link: &TcpStream, over: &AtomicBool) {
    while !over.load(Ordering::SeqCst) {
        match listener.accept() {
            Ok((guest, _)) => join(&guest, link, over),
            Err(_) => thread::sleep(LOOK),
        }
    }
}

/// Copies both ways until the guest is gone.
fn join(guest: &TcpStream, link: &TcpStream, over: &AtomicBool) {
    guest.set_nonblocking(false).expect("a socket");
    guest.set_nodelay(true).expect("a socket");
    let gone = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| {
            copy(link, guest, &|| gone.load(Ordering::SeqCst));
        });
        copy(guest, link, &|| over.load(Ordering::SeqCst));
        gone.store(true, Ordering::SeqCst);
    });
}

fn copy(mut from: &TcpStream, mut to: &TcpStream, needless: &dyn Fn() -> bool) {
    from.set_read_timeout(Some(LOOK)).expect("a socket");
    let mut buffer = [0; 256];
    while !needless() {
        match from.read(&mut buffer) {
            Ok(0) => return,
            Ok(count) if to.write_all(&buffer[..count]).is_err() => return,
            Ok(_) => {}
            Err(error) if matches!(error.kind(), io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut) => {}
            Err(_) => return,
        }
    }
}

//! A real board in memory behind a TCP port or a serial line.

use std::{
    io::{self, ErrorKind, Read, Write},
    net::TcpListener,
    sync::{
        Arc, Mutex, MutexGuard,
        atomic::{AtomicBool, Ordering},
    },
    thread::{self, JoinHandle},
    time::{Duration, Instant},
};

use pinfold_core::link::{Answer, Ask, Bytes, FrameReader, PIECE, Reply, Report, Request, frame};
use pinfold_tests::board::{Bench, RamFlash};

/// How long a turn waits for bytes.
pub(super) const TURN: Duration = Duration::from_millis(5);

/// A board, what is wired to it, and what it says in place of its own verdict.
pub(super) struct Desk {
    pub(super) bench: Bench,
    pub(super) wired: Report,
    pub(super) forged: Option<Vec<u8>>,
    /// Reads what is asked beside the board.
    asked: FrameReader,
    /// What was asked for.
    pub(super) questions: Vec<Ask>,
    last: Instant,
}

impl Desk {
    /// A new board; with sectors enough for the example's limits.
    fn new() -> Self {
        let (bench, asked) = (Bench::on(RamFlash::new(4)), FrameReader::new());
        Self { bench, wired: Report::default(), forged: None, asked, questions: Vec::new(), last: Instant::now() }
    }

    /// Lets the time pass that has passed, with what is wired.
    fn tick(&mut self) {
        let passed = self.last.elapsed().as_millis() / 10 * 10;
        self.last += Duration::from_millis(u64::try_from(passed).expect("short"));
        self.bench.sense(self.wired);
        self.bench.wait(u32::try_from(passed).expect("short"));
    }

    /// What goes back for bytes that came.
    fn answer(&mut self, bytes: &[u8]) -> Vec<u8> {
        let answer = self.bench.send(bytes);
        let asked = bytes.iter().filter_map(|byte| self.asked.take::<Request>(*byte)?.message());
        let asked: Vec<Request> = asked.collect();
        self.questions.extend(asked.iter().map(|request| request.ask.clone()));
        match (&self.forged, asked.last()) {
            (Some(forged), Some(Request { sequence, ask: Ask::Verdict { offset } })) => {
                let rest = &forged[usize::from(*offset)..];
                let bytes = Bytes::from_slice(&rest[..rest.len().min(PIECE)]).expect("a piece");
                let length = u16::try_from(forged.len()).expect("short");
                frame(&Reply { sequence: *sequence, answer: Answer::Verdict { length, bytes } }).to_vec()
            }
            _ => answer,
        }
    }

    /// A turn of the board's work: what came, and what goes back.
    fn turn<L: Read + Write>(&mut self, line: &mut L, came: io::Result<usize>, buffer: &[u8]) -> io::Result<()> {
        self.tick();
        match came {
            Ok(0) => Err(ErrorKind::UnexpectedEof.into()),
            Ok(count) => line.write_all(&self.answer(&buffer[..count])),
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => Ok(()),
            Err(error) => Err(error),
        }
    }
}

/// A board that is served until this is dropped.
pub(super) struct Served {
    /// What `--port` is given.
    pub(super) port: String,
    desk: Arc<Mutex<Desk>>,
    ends: Arc<AtomicBool>,
    work: Option<JoinHandle<()>>,
}

impl Served {
    /// Over TCP; a client at a time.
    pub(super) fn over_tcp() -> Self {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
        listener.set_nonblocking(true).expect("a socket");
        let port = listener.local_addr().expect("a bound port").to_string();
        Self::start(port, move |desk, ends| {
            while !ends.load(Ordering::Relaxed) {
                match listener.accept() {
                    Ok((mut stream, _)) => {
                        stream.set_nonblocking(false).expect("a socket");
                        stream.set_read_timeout(Some(TURN)).expect("a socket");
                        serve(&mut stream, desk, ends);
                    }
                    Err(_) => {
                        thread::sleep(TURN);
                        desk.lock().expect("a desk").tick();
                    }
                }
            }
        })
    }

    /// Over the line whose other end has this name.
    #[cfg(target_os = "linux")]
    pub(super) fn over<L: Read + Write + Send + 'static>(port: String, mut line: L) -> Self {
        Self::start(port, move |desk, ends| {
            // While nobody has opened the other end there is an error.
            while !ends.load(Ordering::Relaxed) {
                serve(&mut line, desk, ends);
                thread::sleep(TURN);
            }
        })
    }

    fn start(port: String, work: impl FnOnce(&Mutex<Desk>, &AtomicBool) + Send + 'static) -> Self {
        let (desk, ends) = (Arc::new(Mutex::new(Desk::new())), Arc::new(AtomicBool::new(false)));
        let shared = (Arc::clone(&desk), Arc::clone(&ends));
        let work = Some(thread::spawn(move || work(&shared.0, &shared.1)));
        Self { port, desk, ends, work }
    }

    pub(super) fn desk(&self) -> MutexGuard<'_, Desk> {
        self.desk.lock().expect("a desk")
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        self.ends.store(true, Ordering::Relaxed);
        let ended = self.work.take().map(JoinHandle::join);
        assert!(thread::panicking() || matches!(ended, Some(Ok(()))), "the board's thread ends well");
    }
}

fn serve<L: Read + Write>(line: &mut L, desk: &Mutex<Desk>, ends: &AtomicBool) {
    let mut buffer = [0; 256];
    while !ends.load(Ordering::Relaxed) {
        let came = line.read(&mut buffer);
        if desk.lock().expect("a desk").turn(line, came, &buffer).is_err() {
            return;
        }
    }
}

//! A board, what is around it, and what somebody beside it knows.

use std::{cell::RefCell, collections::HashMap, ptr, rc::Rc};

use pinfold_core::{
    board::{Board, Event},
    interlock::Stage,
    link::{Answer, Ask, Report, Request, frame},
    model::limits::Freshness,
};

use super::{
    account::Account,
    action::{Action, report},
    files::Files,
};
use crate::board::{
    Order, RamFlash, RamHardware,
    bench::replies,
    layout::{self, Held},
};

/// What starts have led to, by what was in flash: a start depends on nothing else.
type Starts = RefCell<HashMap<RamFlash, (Box<Board>, RamFlash)>>;

/// A state of everything.
pub struct World {
    /// The board.
    pub board: Box<Board>,
    /// What is around it.
    pub hardware: RamHardware,
    /// What was sent to it.
    pub account: Account,
    /// What can be sent.
    pub files: Rc<Files>,
    /// The last question's number.
    number: u16,
    held: Held,
    /// The last two questions since the start, the newer last.
    asked: Vec<Vec<u8>>,
    starts: Rc<Starts>,
}

/// A board like this one.
fn copy(board: &Board) -> Box<Board> {
    let mut memory = Box::<Board>::new_uninit();
    // SAFETY: a board is plain data of a fixed size, as it must be on a microcontroller: it points to nothing, owns
    // nothing beyond its bytes, and dropping it frees nothing. So the same bytes are a board, too. That what it holds
    // can't be copied in safe code is about who may make a permit, not about memory.
    unsafe {
        ptr::copy_nonoverlapping(board, memory.as_mut_ptr(), 1);
        memory.assume_init()
    }
}

impl Clone for World {
    fn clone(&self) -> Self {
        Self {
            board: copy(&self.board),
            hardware: self.hardware.clone(),
            account: self.account.clone(),
            files: Rc::clone(&self.files),
            number: self.number,
            held: self.held.clone(),
            asked: self.asked.clone(),
            starts: Rc::clone(&self.starts),
        }
    }
}

impl World {
    /// A board that was never used, started.
    #[must_use]
    pub fn new(files: Files) -> Self {
        let hardware = RamHardware { flash: RamFlash::new(1), held: false };
        let mut world = Self {
            board: Box::default(),
            hardware,
            account: Account::default(),
            files: Rc::new(files),
            number: 0,
            held: Held::Nothing,
            asked: Vec::new(),
            starts: Rc::default(),
        };
        world.restart();
        world
    }

    /// What flash holds.
    #[must_use]
    pub fn held(&self) -> &Held {
        &self.held
    }

    fn look_at_flash(&mut self) {
        self.held = layout::held(self.hardware.flash.bytes());
    }

    /// What follows, if that can happen here.
    #[must_use]
    pub fn after(&self, action: &Action) -> Option<Self> {
        if matches!(action, Action::Rubbish) && !self.account.whole_so_far(&self.files) {
            return None;
        }
        let mut next = self.clone();
        match action {
            Action::Pass(elapsed) => next.pass(*elapsed),
            Action::Hold(held) => next.hardware.held = *held,
            Action::Restart => next.restart(),
            Action::Say(said) => next.sense(&report(*said)),
            Action::Fault => {
                next.board.fault();
                next.account.faulty = true;
            }
            Action::Cut(action, at, order) => {
                (next.hardware.flash.left, next.hardware.flash.order) = (Some(*at), *order);
                next.ask(action.ask(&self.files, self.taken())?);
                next.restart();
            }
            Action::Begin(_) | Action::Piece(_) | Action::Rubbish | Action::Stray | Action::Tell(_) => {
                next.ask(action.ask(&self.files, self.taken())?);
            }
        }
        Some(next)
    }

    fn taken(&self) -> u32 {
        self.account.transfer.as_ref().map_or(0, |(_, bytes)| u32::try_from(bytes.len()).expect("short"))
    }

    fn sense(&mut self, report: &Report) {
        self.board.sense(*report);
        self.account.sensed(report, self.asked_for());
    }

    /// What the limits that are held ask a board to know.
    fn asked_for(&self) -> Option<Freshness> {
        let limits = self.board.status().limits.and_then(|held| self.files.named_limits(held));
        limits.map(|limits| self.files.asked(limits))
    }

    /// A question of a number that wasn't used before; the one answer.
    fn ask(&mut self, ask: Ask) -> Answer {
        self.number = self.number.wrapping_add(1);
        let sent = frame(&Request { sequence: self.number, ask: ask.clone() }).to_vec();
        let aloft = self.latched() || self.account.flies(self.asked_for()) == Some(true);
        let (sent_back, event) = self.exchange(&sent);
        let [reply] = &replies(&sent_back)[..] else { panic!("not one answer to {ask:?}") };
        assert_eq!(reply.sequence, self.number);
        if self.asked.len() > 1 {
            self.asked.remove(0);
        }
        self.asked.push(sent);
        let asked = self.asked_for();
        self.account.answered((&ask, &reply.answer), event, aloft, (&self.files, asked));
        reply.answer.clone()
    }

    fn exchange(&mut self, bytes: &[u8]) -> (Vec<u8>, Option<Event>) {
        let (mut sent_back, mut happened) = (Vec::new(), None);
        let touched = self.hardware.flash.touched;
        for byte in bytes {
            let event = self.board.take(*byte, &mut self.hardware, &mut |frame| sent_back.extend_from_slice(frame));
            happened = event.or(happened);
        }
        if self.hardware.flash.touched != touched {
            self.look_at_flash();
        }
        (sent_back, happened)
    }

    fn pass(&mut self, elapsed: u32) {
        let asked = self.asked_for();
        let (lines, event) = self.board.tick(elapsed, &mut self.hardware);
        assert_eq!(lines, self.board.lines());
        self.account.pass(elapsed, event, asked);
    }

    fn restart(&mut self) {
        let flash = &mut self.hardware.flash;
        (flash.touched, flash.order) = (0, Order::Up);
        flash.mend();
        let starts = Rc::clone(&self.starts);
        let mut starts = starts.borrow_mut();
        let (board, flash) = starts.entry(flash.clone()).or_insert_with(|| {
            let mut board = Box::<Board>::default();
            board.start(&mut self.hardware);
            (board, self.hardware.flash.clone())
        });
        (self.board, self.hardware.flash) = (copy(board), flash.clone());
        (self.account, self.asked) = (Account::default(), Vec::new());
        self.look_at_flash();
    }

    /// What comes twice is answered twice and done once; what comes late isn't done.
    ///
    /// # Panics
    /// It isn't so.
    pub fn repeat(&self, printed: &str) {
        let Some((last, earlier)) = self.asked.split_last() else { return };
        let mut again = self.clone();
        let (first, _) = again.exchange(last);
        let (second, _) = again.exchange(last);
        assert!(!first.is_empty() && first == second, "another answer to the same question");
        for late in earlier {
            assert!(again.exchange(late).0.is_empty(), "an answer to a question that came late");
        }
        let unchanged = format!("{:?}", again.board) == printed && again.hardware == self.hardware;
        assert!(unchanged, "a question that came twice, or late, did something");
    }

    /// Whether the permit is active in flight, for all that is known.
    #[must_use]
    pub fn latched(&self) -> bool {
        self.board.status().stage == Stage::Latched
    }
}

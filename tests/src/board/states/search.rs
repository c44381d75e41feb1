//! The search: all states, breadth first.

use std::{
    collections::{HashMap, VecDeque},
    panic::{AssertUnwindSafe, catch_unwind, resume_unwind},
};

use pinfold_core::interlock::Stage;

use super::{action::Action, key::key, promise, world::World};
use crate::board::{Order, layout::Held};

/// After how many bytes of an erase the power is cut: before it, and in it.
const ERASE_CUTS: [(usize, Order); 5] =
    [(0, Order::Up), (1, Order::Up), (600, Order::Up), (600, Order::Down), (1_023, Order::Down)];
/// The same for what is written: in limits, before their head, in it, after it, while older ones are erased.
const WRITE_CUTS: [(usize, Order); 11] = [
    (0, Order::Up),
    (32, Order::Up),
    (63, Order::Up),
    (64, Order::Up),
    (74, Order::Up),
    (83, Order::Up),
    (84, Order::Up),
    (127, Order::Up),
    (128, Order::Up),
    (600, Order::Up),
    (600, Order::Down),
];
/// More states than there are in any search here: a board with more has something that grows without end.
const MANY: usize = 2_000_000;
/// What an action doesn't lead to where it can't happen.
const NOWHERE: u32 = u32::MAX;

/// All states that were found.
pub struct States {
    menu: Vec<Action>,
    /// Where each action leads from each state.
    next: Vec<Vec<u32>>,
    /// From where, and by what, each state was first reached.
    reached: Vec<(u32, Action)>,
    stages: Vec<Stage>,
    /// Whether flash holds limits.
    held: Vec<bool>,
    /// Whether something is wrong with the board.
    faulty: Vec<bool>,
    known: HashMap<u128, u32>,
    /// Transitions.
    pub transitions: usize,
    /// Most states that waited to be looked at.
    pub widest: usize,
}

impl States {
    /// All states that actions lead to.
    ///
    /// # Panics
    /// A promise is broken: how that comes about is printed.
    #[must_use]
    pub fn all(from: World, menu: Vec<Action>) -> Self {
        let mut states = Self {
            menu,
            next: Vec::new(),
            reached: Vec::new(),
            stages: Vec::new(),
            held: Vec::new(),
            faulty: Vec::new(),
            known: HashMap::new(),
            transitions: 0,
            widest: 0,
        };
        let first = key(&from, &format!("{:?}", from.board));
        states.add(first, &from, (NOWHERE, Action::Restart));
        let mut waiting = VecDeque::from([from]);
        let mut number = 0;
        while let Some(world) = waiting.pop_front() {
            states.expand(number, &world, &mut waiting);
            number += 1;
            states.widest = states.widest.max(waiting.len());
        }
        states
    }

    /// How many states there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.stages.len()
    }

    /// How many there are of a stage.
    #[must_use]
    pub fn count_of(&self, stage: Stage) -> usize {
        self.stages.iter().filter(|found| **found == stage).count()
    }

    fn add(&mut self, key: u128, world: &World, reached: (u32, Action)) -> u32 {
        let number = u32::try_from(self.stages.len()).expect("not that many");
        assert!(self.known.len() < MANY, "a search without an end");
        self.known.insert(key, number);
        self.stages.push(world.board.status().stage);
        self.held.push(*world.held() != Held::Nothing);
        self.faulty.push(world.account.faulty);
        self.reached.push(reached);
        number
    }

    fn expand(&mut self, number: u32, world: &World, waiting: &mut VecDeque<World>) {
        let mut next = Vec::with_capacity(self.menu.len());
        for action in self.menu.clone() {
            let Some((after, touched)) = self.step(number, world, &action, waiting) else {
                next.push(NOWHERE);
                continue;
            };
            next.push(after);
            let cuts = if matches!(action, Action::Begin(_)) { &ERASE_CUTS[..] } else { &WRITE_CUTS };
            for (at, order) in cuts.iter().filter(|(at, _)| *at < touched) {
                let cut = Action::Cut(Box::new(action.clone()), *at, *order);
                self.step(number, world, &cut, waiting);
            }
        }
        self.next.push(next);
    }

    /// Where an action leads, and how many bytes of flash it touched.
    fn step(
        &mut self, number: u32, world: &World, action: &Action, waiting: &mut VecDeque<World>,
    ) -> Option<(u32, usize)> {
        let tried = catch_unwind(AssertUnwindSafe(|| {
            let mut after = world.after(action)?;
            let printed = format!("{:?}", after.board);
            promise::keep(world, action, &mut after, &printed);
            Some((key(&after, &printed), printed, after))
        }));
        let (key, printed, after) = tried.unwrap_or_else(|broken| {
            println!("{}\nthen {action:?} breaks a promise", self.path(number));
            resume_unwind(broken)
        })?;
        self.transitions += 1;
        let touched = after.hardware.flash.touched.saturating_sub(world.hardware.flash.touched);
        if let Some(known) = self.known.get(&key) {
            return Some((*known, touched));
        }
        after.repeat(&printed);
        let found = self.add(key, &after, (number, action.clone()));
        waiting.push_back(after);
        Some((found, touched))
    }

    /// How a state was reached.
    fn path(&self, mut number: u32) -> String {
        let mut path = Vec::new();
        while number != NOWHERE {
            let (from, action) = &self.reached[number as usize];
            path.push(format!("{action:?}"));
            number = *from;
        }
        path.reverse();
        path.join("\n")
    }

    /// Checks that these actions, one after the other, lead to a permit from every state: those of a board that isn't
    /// faulty, and, where limits aren't among the actions, that holds some.
    ///
    /// # Panics
    /// They don't: how such a state is reached is printed.
    pub fn lead_to_a_permit(&self, actions: &[Action]) {
        let limits = actions.contains(&Action::Begin(true));
        let mut reaching: Vec<bool> = self.stages.iter().map(|stage| *stage == Stage::Permitted).collect();
        for action in actions.iter().rev() {
            let at = self.menu.iter().position(|offered| offered == action).expect("an action of the menu");
            let leads = |next: &Vec<u32>| reaching.get(next[at] as usize).copied().unwrap_or(false);
            reaching = self.next.iter().map(leads).collect();
        }
        for (number, reaching) in reaching.iter().enumerate() {
            if !reaching && !self.faulty[number] && (limits || self.held[number]) {
                panic!("{}\nand no permit any more", self.path(u32::try_from(number).expect("not that many")));
            }
        }
    }
}

//! What somebody who hears the line knows of what a board was sent, and whether the checker alone calls it a Go.

use std::collections::BTreeMap;

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    link::{Answer, Ask, Came, FrameReader, Reply, Request},
    rules::Readings,
    verdict::{Outcome, Subject},
    wire::Kind,
};

use crate::packed::{read_limits, read_route};

/// What came over the line.
#[derive(Default)]
pub(super) struct Sent {
    questions: FrameReader,
    answers: FrameReader,
    /// The number of the last question that was answered.
    answered: Option<u16>,
    /// What was begun last, and its bytes so far.
    transfer: Option<(Kind, Vec<u8>)>,
    /// What the checker says of limits and routes that have been asked about.
    judged: BTreeMap<(Vec<u8>, Vec<u8>), bool>,
}

impl Sent {
    /// A byte that the board was sent, and what it sent back.
    pub(super) fn heard(&mut self, byte: u8, back: &[u8]) {
        let question = self.questions.take::<Request>(byte);
        let replies: Vec<_> =
            back.iter().filter_map(|byte| self.answers.take::<Reply>(*byte)).filter_map(Came::message).collect();
        let Some(came) = question else {
            assert!(replies.is_empty(), "an answer to no question");
            return;
        };
        let [reply] = &replies[..] else {
            assert!(replies.is_empty(), "more than one answer");
            return;
        };
        let again = self.answered.replace(reply.sequence) == Some(reply.sequence);
        match came {
            Came::Message(request) => {
                assert_eq!(request.sequence, reply.sequence, "the answer to another question");
                if !again {
                    self.done(&request.ask, &reply.answer);
                }
            }
            Came::Unknown(sequence) => assert_eq!(sequence, reply.sequence),
        }
    }

    fn done(&mut self, ask: &Ask, answer: &Answer) {
        match (ask, answer) {
            (Ask::Begin(kind), Answer::Taken(taken)) => {
                assert_eq!(*taken, 0);
                self.transfer = Some((*kind, Vec::new()));
            }
            (Ask::Piece { offset, bytes }, Answer::Taken(taken)) => {
                let (_, all) = self.transfer.as_mut().expect("a piece of nothing was taken");
                if *offset as usize == all.len() {
                    all.extend_from_slice(bytes);
                }
                assert_eq!(*taken as usize, all.len(), "not the bytes that have come");
            }
            _ => {}
        }
    }

    /// How many bytes of what comes in have come.
    pub(super) fn taken(&self) -> usize {
        self.transfer.as_ref().map_or(0, |(_, bytes)| bytes.len())
    }

    /// Nothing comes in any more: power was off.
    pub(super) fn restart(&mut self) {
        *self = Self { judged: std::mem::take(&mut self.judged), ..Self::default() };
    }

    /// What a permit may be given for now: the route that came last, whole, if it is Go by these limits.
    pub(super) fn approved(&mut self, limits: &[u8]) -> Option<Subject> {
        let Some((Kind::Route, route)) = &self.transfer else { return None };
        let key = (limits.to_vec(), route.clone());
        let go = *self.judged.entry(key).or_insert_with(|| is_go(limits, route));
        go.then(|| Subject { route: Fingerprint::of(route), limits: Fingerprint::of(limits) })
    }
}

/// What the checker says by itself.
fn is_go(limits: &[u8], route: &[u8]) -> bool {
    let (Ok((store, _)), Ok(route)) = (read_limits(limits), read_route(route)) else { return false };
    let subject = Subject { route: Fingerprint::NONE, limits: Fingerprint::NONE };
    let limits = store.limits().expect("sealed");
    check(limits, route.launch, Readings::NONE, route.steps.iter().copied(), subject).outcome() == Outcome::Go
}

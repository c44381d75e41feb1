//! Packed verdicts: see [`super`] for the bytes.

use serde::{Deserialize, Serialize};

use super::{
    Fault, Kind, Reason,
    envelope::{EnvelopeReader, EnvelopeWriter, HEAD, TAIL, Token},
    part::{PartReader, measure, write},
};
use crate::{
    model::zone::ZONES,
    verdict::{Energy, FINDINGS, Finding, Findings, Subject, Summary, Verdict},
};

/// What precedes the findings.
#[derive(Debug, Serialize, Deserialize)]
pub struct Head {
    /// What it is about.
    pub subject: Subject,
    /// How long the route is.
    pub summary: Summary,
    /// What it needs of the charge.
    pub energy: Option<Energy>,
    /// How many findings follow.
    pub findings: u8,
}

/// Most bytes of a packed verdict: 45 of the head and 35 of each finding.
pub const VERDICT_BYTES: usize = HEAD + 45 + 35 * FINDINGS + TAIL;

/// Packs a verdict into `sink`.
pub fn pack_verdict(verdict: &Verdict, sink: &mut dyn FnMut(&[u8])) {
    let count = verdict.findings.iter().fold(0_u8, |count, _| count.saturating_add(1));
    let body = |put: &mut dyn FnMut(&[u8])| {
        write(
            &Head { subject: verdict.subject, summary: verdict.summary, energy: verdict.energy, findings: count },
            put,
        );
        verdict.findings.iter().for_each(|finding| write(finding, put));
    };
    let mut writer = EnvelopeWriter::new(Kind::Verdict, measure(body), sink);
    body(&mut |bytes| writer.put(bytes));
    writer.end();
}

/// The verdict in these bytes.
///
/// # Errors
/// They are no packed verdict, or not the one way to write it.
pub fn unpack_verdict(bytes: &[u8]) -> Result<Verdict, Fault> {
    let mut envelope = EnvelopeReader::new(Kind::Verdict);
    let mut part = PartReader::default();
    let mut verdict: Option<(Verdict, u8)> = None;
    for byte in bytes {
        let (byte, last) = match envelope.take(*byte)? {
            Token::Envelope => continue,
            Token::End(_) if verdict.is_some() => continue,
            // A body without a single byte.
            Token::End(_) => return Err(envelope.fault(Reason::Length)),
            Token::Body { byte, last } => (byte, last),
        };
        body(&mut verdict, &mut part, byte).map_err(|reason| envelope.fault(reason))?;
        let open = part.pending() || !matches!(verdict, Some((_, 0)));
        if last && open {
            return Err(envelope.fault(Reason::Length));
        }
    }
    match verdict {
        Some((verdict, 0)) if envelope.complete() => same_bytes(verdict, bytes),
        Some(_) | None => Err(envelope.next()),
    }
}

/// Takes a byte of the body.
fn body(begun: &mut Option<(Verdict, u8)>, part: &mut PartReader, byte: u8) -> Result<(), Reason> {
    match begun {
        None => *begun = part.take::<Head>(byte)?.map(begin),
        Some((_, 0)) => return Err(Reason::Length),
        Some((verdict, left)) => {
            if let Some(finding) = part.take::<Finding>(byte)? {
                // A zone that can't be would stand where another rule's findings of zones do.
                if finding.zone.is_some_and(|zone| usize::from(zone) >= ZONES) {
                    return Err(Reason::Value);
                }
                verdict.findings.add(finding);
                *left = left.saturating_sub(1);
            }
        }
    }
    Ok(())
}

fn begin(head: Head) -> (Verdict, u8) {
    let verdict =
        Verdict { subject: head.subject, summary: head.summary, energy: head.energy, findings: Findings::EMPTY };
    (verdict, head.findings)
}

/// The verdict, if packing it gives these bytes again: findings may be neither doubled nor out of order.
fn same_bytes(verdict: Verdict, bytes: &[u8]) -> Result<Verdict, Fault> {
    let (mut rest, mut same) = (bytes, true);
    pack_verdict(&verdict, &mut |piece| match rest.split_at_checked(piece.len()) {
        Some((begin, end)) if same => {
            same = begin == piece;
            rest = end;
        }
        Some(_) | None => same = false,
    });
    let reason = Reason::NotCanonical;
    if same && rest.is_empty() { Ok(verdict) } else { Err(Fault { offset: 0, reason }) }
}

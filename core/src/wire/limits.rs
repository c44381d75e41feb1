//! Packed limits: see [`super`] for the bytes.

use serde::{Deserialize, Serialize};

use super::{
    Fault, Kind, Reason,
    envelope::{EnvelopeReader, EnvelopeWriter, Token},
    part::{PartReader, measure, write},
};
use crate::{
    fingerprint::Fingerprint,
    geometry::position::Position,
    model::{
        limits::Figures,
        store::{Limits, LimitsStore},
        zone::{Shape, Zone},
    },
};

/// A vertex as it is written: the difference from the vertex before.
#[derive(Serialize, Deserialize)]
struct PackedVertex {
    latitude: i64,
    longitude: i64,
}

/// The vertex that differences are taken from.
#[derive(Clone, Copy, Default)]
struct Before {
    latitude: i64,
    longitude: i64,
}

impl Before {
    fn pack(&mut self, vertex: Position) -> PackedVertex {
        let now = Self { latitude: i64::from(vertex.latitude.get()), longitude: i64::from(vertex.longitude.get()) };
        let before = core::mem::replace(self, now);
        PackedVertex {
            latitude: now.latitude.saturating_sub(before.latitude),
            longitude: now.longitude.saturating_sub(before.longitude),
        }
    }

    fn unpack(&mut self, vertex: &PackedVertex) -> Option<Position> {
        self.latitude = self.latitude.checked_add(vertex.latitude)?;
        self.longitude = self.longitude.checked_add(vertex.longitude)?;
        Position::new(i32::try_from(self.latitude).ok()?, i32::try_from(self.longitude).ok()?)
    }
}

/// Packs limits into `sink`; their fingerprint.
pub fn pack_limits(limits: Limits<'_>, sink: &mut dyn FnMut(&[u8])) -> Fingerprint {
    let body = |put: &mut dyn FnMut(&[u8])| write_body(limits, put);
    let mut writer = EnvelopeWriter::new(Kind::Limits, measure(body), sink);
    body(&mut |bytes| writer.put(bytes));
    writer.end()
}

fn write_body(limits: Limits<'_>, put: &mut dyn FnMut(&[u8])) {
    write(limits.figures(), put);
    write(&count(limits.zones().count()), put);
    let mut before = Before::default();
    for (index, zone) in limits.zones() {
        write(zone, put);
        if zone.shape == Shape::Polygon {
            write(&count(limits.rings(index).count()), put);
        }
        for ring in limits.rings(index) {
            write(&u16::try_from(ring.len()).unwrap_or(u16::MAX), put);
            ring.iter().for_each(|vertex| write(&before.pack(*vertex), put));
        }
    }
}

fn count(number: usize) -> u8 {
    u8::try_from(number).unwrap_or(u8::MAX)
}

/// Reads packed limits, byte by byte, into a [`LimitsStore`].
pub struct LimitsReader {
    envelope: EnvelopeReader,
    part: PartReader,
    next: Next,
    zones_left: u8,
    rings_left: u8,
    before: Before,
}

/// What the body goes on with.
enum Next {
    Figures,
    Zones,
    Zone,
    Rings,
    Ring,
    Vertex(u16),
    End,
}

impl Default for LimitsReader {
    fn default() -> Self {
        Self {
            envelope: EnvelopeReader::new(Kind::Limits),
            part: PartReader::default(),
            next: Next::Figures,
            zones_left: 0,
            rings_left: 0,
            before: Before::default(),
        }
    }
}

impl LimitsReader {
    /// Takes the next byte; the fingerprint when it was the last and the store holds sound limits.
    ///
    /// # Errors
    /// The bytes so far can't be the beginning of packed limits, or the limits aren't sound. The store is then to be cleared.
    pub fn take(&mut self, byte: u8, store: &mut LimitsStore) -> Result<Option<Fingerprint>, Fault> {
        match self.envelope.take(byte)? {
            Token::Envelope => Ok(None),
            Token::Body { byte, last } => {
                self.body(byte, store).map_err(|reason| self.envelope.fault(reason))?;
                let open = self.part.pending() || !matches!(self.next, Next::End);
                if last && open { Err(self.envelope.fault(Reason::Length)) } else { Ok(None) }
            }
            // A body without a single byte: what the store may hold from before is not what these bytes say.
            Token::End(_) if !matches!(self.next, Next::End) => Err(self.envelope.fault(Reason::Length)),
            Token::End(fingerprint) => {
                let sealed = store.seal().map(|_| Some(fingerprint));
                sealed.map_err(|error| self.envelope.fault(Reason::Limits(error)))
            }
        }
    }

    /// What to say when no more bytes come.
    ///
    /// # Errors
    /// The limits aren't complete.
    pub fn end(&self) -> Result<(), Fault> {
        self.envelope.end()
    }

    #[inline(never)]
    fn body(&mut self, byte: u8, store: &mut LimitsStore) -> Result<(), Reason> {
        match self.next {
            Next::End => return Err(Reason::Length),
            Next::Figures => self.figures(byte, store)?,
            Next::Zones => {
                if let Some(zones) = self.part.take::<u8>(byte)? {
                    self.zones_left = zones;
                    self.next = self.zone_or_end();
                }
            }
            Next::Zone => self.zone(byte, store)?,
            Next::Rings => {
                if let Some(rings) = self.part.take::<u8>(byte)? {
                    self.rings_left = rings;
                    self.next = self.ring_or_zone();
                }
            }
            Next::Ring => {
                if let Some(vertices) = self.part.take::<u16>(byte)? {
                    self.rings_left = self.rings_left.saturating_sub(1);
                    store.ring().map_err(Reason::Limits)?;
                    self.next = self.vertex_or_ring(vertices);
                }
            }
            Next::Vertex(left) => {
                if let Some(vertex) = self.part.take::<PackedVertex>(byte)? {
                    let vertex = self.before.unpack(&vertex).ok_or(Reason::Value)?;
                    store.vertex(vertex).map_err(Reason::Limits)?;
                    self.next = self.vertex_or_ring(left.saturating_sub(1));
                }
            }
        }
        Ok(())
    }

    fn figures(&mut self, byte: u8, store: &mut LimitsStore) -> Result<(), Reason> {
        if let Some(figures) = self.part.take::<Figures>(byte)? {
            store.begin(figures);
            self.next = Next::Zones;
        }
        Ok(())
    }

    fn zone(&mut self, byte: u8, store: &mut LimitsStore) -> Result<(), Reason> {
        let Some(zone) = self.part.take::<Zone>(byte)? else { return Ok(()) };
        self.zones_left = self.zones_left.saturating_sub(1);
        self.next = if zone.shape == Shape::Polygon { Next::Rings } else { self.zone_or_end() };
        store.zone(zone).map_err(Reason::Limits)
    }

    const fn zone_or_end(&self) -> Next {
        if self.zones_left == 0 { Next::End } else { Next::Zone }
    }

    const fn ring_or_zone(&self) -> Next {
        if self.rings_left == 0 { self.zone_or_end() } else { Next::Ring }
    }

    const fn vertex_or_ring(&self, left: u16) -> Next {
        if left == 0 { self.ring_or_zone() } else { Next::Vertex(left) }
    }
}

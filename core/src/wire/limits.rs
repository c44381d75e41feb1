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
        ground::{Ground, GroundCell, GroundPlan},
        limits::Figures,
        store::{Limits, LimitsStore},
        zone::{Shape, Zone},
    },
};

/// A vertex as it is written: the difference from the vertex before.
#[derive(Debug, Serialize, Deserialize)]
pub struct PackedVertex {
    /// How much farther north it is.
    pub latitude: i64,
    /// How much farther east it is.
    pub longitude: i64,
}

/// A cell of ground data as it is written: the lowest count as the difference from that of the known cell before, and what
/// the highest is above it; nothing for an unknown cell.
#[derive(Debug, Serialize, Deserialize)]
pub struct PackedCell(pub Option<(i32, u16)>);

/// The lowest count that differences are taken from.
#[derive(Clone, Copy, Default)]
struct LowestBefore(u16);

impl LowestBefore {
    fn pack(&mut self, cell: GroundCell) -> PackedCell {
        let Some((lowest, highest)) = cell.counts() else { return PackedCell(None) };
        let before = core::mem::replace(&mut self.0, lowest);
        PackedCell(Some((i32::from(lowest).saturating_sub(i32::from(before)), highest.saturating_sub(lowest))))
    }

    fn unpack(&mut self, cell: &PackedCell) -> Option<GroundCell> {
        let PackedCell(Some((difference, span))) = *cell else { return Some(GroundCell::UNKNOWN) };
        let lowest = u16::try_from(i32::from(self.0).checked_add(difference)?).ok()?;
        self.0 = lowest;
        GroundCell::new(lowest, lowest.checked_add(span)?)
    }
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
    write(&small(limits.zones().count()), put);
    let mut before = Before::default();
    for (index, zone) in limits.zones() {
        write(zone, put);
        if zone.shape == Shape::Polygon {
            write(&small(limits.rings(index).count()), put);
        }
        for ring in limits.rings(index) {
            write(&count(ring.len()), put);
            ring.iter().for_each(|vertex| write(&before.pack(*vertex), put));
        }
    }
    write(&limits.ground().map(|ground| *ground.plan()), put);
    let mut before = LowestBefore::default();
    for cell in limits.ground().map_or(&[][..], Ground::cells) {
        write(&before.pack(*cell), put);
    }
}

fn small(number: usize) -> u8 {
    u8::try_from(number).unwrap_or(u8::MAX)
}

fn count(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

const fn cell_or_end(left: u16) -> Next {
    if left == 0 { Next::End } else { Next::Cell(left) }
}

/// Reads packed limits, byte by byte, into a [`LimitsStore`].
pub struct LimitsReader {
    envelope: EnvelopeReader,
    part: PartReader,
    next: Next,
    zones_left: u8,
    rings_left: u8,
    before: Before,
    lowest_before: LowestBefore,
}

/// What the body goes on with.
enum Next {
    Figures,
    Zones,
    Zone,
    Rings,
    Ring,
    Vertex(u16),
    Ground,
    Cell(u16),
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
            lowest_before: LowestBefore::default(),
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
                    self.next = self.zone_or_ground();
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
            Next::Ground => {
                if let Some(plan) = self.part.take::<Option<GroundPlan>>(byte)? {
                    self.next = plan.map_or(Next::End, |plan| cell_or_end(count(plan.cells())));
                    plan.into_iter().for_each(|plan| store.ground(plan));
                }
            }
            Next::Cell(left) => {
                if let Some(cell) = self.part.take::<PackedCell>(byte)? {
                    let cell = self.lowest_before.unpack(&cell).ok_or(Reason::Value)?;
                    store.cell(cell).map_err(Reason::Limits)?;
                    self.next = cell_or_end(left.saturating_sub(1));
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
        self.next = if zone.shape == Shape::Polygon { Next::Rings } else { self.zone_or_ground() };
        store.zone(zone).map_err(Reason::Limits)
    }

    const fn zone_or_ground(&self) -> Next {
        if self.zones_left == 0 { Next::Ground } else { Next::Zone }
    }

    const fn ring_or_zone(&self) -> Next {
        if self.rings_left == 0 { self.zone_or_ground() } else { Next::Ring }
    }

    const fn vertex_or_ring(&self, left: u16) -> Next {
        if left == 0 { self.ring_or_zone() } else { Next::Vertex(left) }
    }
}

//! Shapes: rings, positions and numbers.

use std::ops::Range;

use jsonc_parser::ast::Value;
use pinfold_core::geometry::position::Position;

use super::{Reader, Vertex};
use crate::{
    problem::Problem,
    read::{
        json::{Members as _, called, span},
        quantity,
    },
    text::{
        decimal::{Counts, written},
        table::Quantity,
    },
};

impl Reader<'_> {
    pub(super) fn rings(&mut self, value: &Value<'_>) -> Result<Vec<Vec<Vertex>>, Problem> {
        let rings = self.array(value, "a polygon's coordinates")?;
        if rings.elements.is_empty() {
            return Err(self.problem(span(rings), "a polygon without rings"));
        }
        rings.elements.iter().map(|ring| self.ring(ring)).collect()
    }

    /// A closed ring, without its repeated last position and without doubled corners.
    fn ring(&mut self, value: &Value<'_>) -> Result<Vec<Vertex>, Problem> {
        let list = self.array(value, "a ring")?;
        let ring = list.elements.iter().map(|item| self.position(item)).collect::<Result<Vec<_>, _>>()?;
        let at = ring.last().map_or_else(|| span(list), |vertex| vertex.span.clone());
        self.closed(ring, at)
    }

    /// A closed ring without its repeated last position and without doubled corners. `at` is where a complaint belongs.
    pub(super) fn closed(&self, mut ring: Vec<Vertex>, at: Range<usize>) -> Result<Vec<Vertex>, Problem> {
        let closed = ring.first().map(|vertex| vertex.position) == ring.last().map(|vertex| vertex.position);
        if ring.len() < 4 || !closed {
            return Err(self
                .problem(at, "a ring is closed: it has four positions at least, and the last is the first again")
                .help("repeat the first position at the end of the ring"));
        }
        ring.pop();
        ring.dedup_by(|one, two| one.position == two.position);
        while ring.len() > 1 && ring.first().map(|vertex| vertex.position) == ring.last().map(|vertex| vertex.position)
        {
            ring.pop();
        }
        Ok(ring)
    }

    /// A position: longitude, latitude, and a height that is passed over.
    pub(super) fn position(&mut self, value: &Value<'_>) -> Result<Vertex, Problem> {
        let list = self.array(value, "a position")?;
        let (Some(longitude), Some(latitude)) = (list.elements.first(), list.elements.get(1)) else {
            return Err(self
                .problem(span(list), "a position has a longitude and a latitude")
                .help("write [longitude, latitude]"));
        };
        let rounded = self.rounded;
        let (latitude, longitude) =
            (self.degrees(latitude, quantity::LATITUDE)?, self.degrees(longitude, quantity::LONGITUDE)?);
        self.rounded = self.rounded.min(rounded + 1);
        let place = i32::try_from(latitude).ok().zip(i32::try_from(longitude).ok());
        let position = place.and_then(|(latitude, longitude)| Position::new(latitude, longitude));
        position
            .map(|position| Vertex { position, span: span(list) })
            .ok_or_else(|| self.problem(span(list), "this is no place on Earth"))
    }

    /// Degrees to the nearest 1e-7; how often digits were lost is counted.
    fn degrees(&mut self, value: &Value<'_>, quantity: Quantity) -> Result<i64, Problem> {
        let counts = self.counts(value, "a coordinate", quantity)?;
        self.rounded += usize::from(!counts.is_whole());
        self.ranged(span(value), counts.nearest(), quantity)
            .map_err(|problem| problem.help("in GeoJSON a position is [longitude, latitude]: are they exchanged?"))
    }

    fn counts(&self, value: &Value<'_>, what: &str, quantity: Quantity) -> Result<Counts, Problem> {
        let wrong = |say: String| self.problem(span(value), say).help(format!("write a number in {}", quantity.unit));
        let Value::NumberLit(number) = value else {
            return Err(wrong(format!("{what} is to be a number, not {}", called(value))));
        };
        Counts::parse(number.value, quantity.digits)
            .map_err(|_| wrong(format!("{what} is no number that can be meant here")))
    }

    /// A count within its range.
    pub(super) fn ranged(&self, at: Range<usize>, count: Option<i64>, quantity: Quantity) -> Result<i64, Problem> {
        let (least, most) = quantity.range;
        count.filter(|count| (least..=most).contains(count)).ok_or_else(|| {
            let [least, most] = [least, most].map(|end| written(end, quantity.digits));
            self.problem(at, format!("out of range: from {least} to {most} {}", quantity.unit))
        })
    }
}

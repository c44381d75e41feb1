//! Packed limits that no store would seal.

use pinfold_core::{
    model::{limits::Figures, zone::Zone},
    wire::Kind,
};

use crate::packed::{envelope, signed, unsigned};

/// A zone and the rings that follow it, of (latitude, longitude) in 1e-7 degree.
pub(super) type Drawn = (Zone, Vec<Vec<(i32, i32)>>);

/// The bytes of limits, sound or not; as the description of the format says.
pub(super) fn packed(figures: &Figures, zones: &[Drawn]) -> Vec<u8> {
    let mut body = postcard::to_allocvec(figures).expect("figures");
    body.push(u8::try_from(zones.len()).expect("few"));
    let mut before = (0, 0);
    for (zone, rings) in zones {
        body.extend(postcard::to_allocvec(zone).expect("a zone"));
        if zone.shape == pinfold_core::model::zone::Shape::Polygon {
            body.push(u8::try_from(rings.len()).expect("few"));
            rings.iter().for_each(|ring| append(&mut body, ring, &mut before));
        }
    }
    // No ground.
    body.push(0);
    envelope(Kind::Limits, &body)
}

fn append(body: &mut Vec<u8>, ring: &[(i32, i32)], before: &mut (i32, i32)) {
    body.extend(unsigned(ring.len() as u64));
    for (latitude, longitude) in ring {
        body.extend(signed(i64::from(*latitude) - i64::from(before.0)));
        body.extend(signed(i64::from(*longitude) - i64::from(before.1)));
        *before = (*latitude, *longitude);
    }
}

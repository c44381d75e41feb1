//! Packed bytes and their fingerprint.

use std::path::Path;

use pinfold_core::{
    fingerprint::Fingerprint,
    model::{route::STEPS, store},
    wire::{
        limits::pack_limits,
        route::{TooManySteps, pack_route},
    },
};

use crate::{problem::Problem, read::Route};

/// Something packed.
pub(crate) struct Packed {
    pub(crate) bytes: Vec<u8>,
    pub(crate) fingerprint: Fingerprint,
}

/// Packs limits.
pub(crate) fn limits(limits: store::Limits<'_>) -> Packed {
    let mut bytes = Vec::new();
    let fingerprint = pack_limits(limits, &mut |piece| bytes.extend_from_slice(piece));
    Packed { bytes, fingerprint }
}

/// Packs a route, which may have too many steps.
pub(crate) fn route(route: &Route, file: &Path) -> Result<Packed, Problem> {
    let mut bytes = Vec::new();
    let packed = pack_route(&route.launch, route.steps.iter(), &mut |piece| bytes.extend_from_slice(piece));
    let too_many =
        |TooManySteps| Problem::file(file, format!("the route has more than {STEPS} steps")).help("split it");
    packed.map(|fingerprint| Packed { bytes, fingerprint }).map_err(too_many)
}

//! From files to a verdict: the one way that every command that checks goes.

use std::path::Path;

use pinfold_core::{
    check::check,
    fingerprint::Fingerprint,
    model::store,
    rules::Readings,
    verdict::{Subject, Verdict},
};

use crate::{
    arguments::route::AsRoute,
    preset::{self, Laid},
    problem::Problem,
    read::{self, Limits, Route},
    report::Report,
    write::packed,
};

/// Limits that routes are held to.
pub(crate) struct Held {
    limits: Limits,
    /// The preset that they were tightened by, if any.
    laid: Option<Laid>,
    fingerprint: Fingerprint,
}

/// A route that was held to limits.
pub(crate) struct Judged {
    pub(crate) route: Route,
    pub(crate) verdict: Verdict,
    readings: Readings,
}

impl Held {
    /// Reads limits, and lays a preset under them where one is named.
    pub(crate) fn read(path: &Path, preset: Option<&str>) -> Result<Self, Problem> {
        let written = read::limits(path)?;
        let (limits, laid) = match preset {
            None => (written, None),
            Some(name) => {
                let (tightened, laid) = preset::lay(preset::named(name)?, path, &written)?;
                (Limits { notes: written.notes, ground: written.ground, ..tightened }, Some(laid))
            }
        };
        let fingerprint = packed::limits(limits.sound(path)?).fingerprint;
        Ok(Self { limits, laid, fingerprint })
    }

    /// The limits themselves.
    pub(crate) fn sound(&self, path: &Path) -> Result<store::Limits<'_>, Problem> {
        self.limits.sound(path)
    }

    /// What was rounded or passed over while they were read.
    pub(crate) fn notes(&self) -> &[String] {
        &self.limits.notes
    }

    /// Reads a route and holds it to the limits, which are those of a file.
    pub(crate) fn judge(
        &self, path: &Path, as_route: &AsRoute, limits: &Path, readings: Readings,
    ) -> Result<Judged, Problem> {
        let route = read::route(path, Some(&self.limits), as_route)?;
        let subject = Subject { route: packed::route(&route, path)?.fingerprint, limits: self.fingerprint };
        let steps = route.steps.iter().copied();
        let verdict = check(self.sound(limits)?, route.launch.clone(), readings, steps, subject);
        Ok(Judged { route, verdict, readings })
    }

    /// What there is to say about a route that was held to these limits.
    pub(crate) fn report<'a>(&'a self, judged: &'a Judged, limits: &Path) -> Result<Report<'a>, Problem> {
        Ok(Report {
            verdict: &judged.verdict,
            limits: self.sound(limits)?,
            launch: &judged.route.launch,
            readings: judged.readings,
            preset: self.laid.as_ref(),
        })
    }
}

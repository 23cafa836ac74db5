//! The profile of a cutter with what was measured in place of what it said before.

use super::{Calibration, ScaleFit, ValueFit};
use crate::bench::{Cutter, Knowledge, Known, Scale};

impl Calibration {
    /// Tells whether nothing could be fitted.
    pub(super) fn is_empty(&self) -> bool {
        let scales = [&self.guide, &self.arm].into_iter().chain(&self.stops);
        let values = [&self.bevel_angle_deg, &self.out_of_square_deg, &self.drift].into_iter().chain(&self.leads);
        scales.flatten().next().is_none() && values.flatten().next().is_none()
    }

    /// Returns the cutter with the fitted numbers in place of those before.
    pub(super) fn corrected(&self, before: &Cutter) -> Cutter {
        let scale = |fit: &Option<ScaleFit>, before: Scale| match fit {
            Some(fit) => fit.scale(before.reach),
            None => before,
        };
        let value = |fit: &Option<ValueFit>, before: f64| fit.map_or(before, |fit| fit.estimate.value);
        let mut cutter = before.clone();
        cutter.guide = scale(&self.guide, before.guide);
        cutter.arm = scale(&self.arm, before.arm);
        if let Some(stops) = &mut cutter.stops {
            let [far, near] = &self.stops;
            stops.far = scale(far, stops.far);
            stops.near = scale(near, stops.near);
        }
        let known =
            |fit: &Option<ScaleFit>, before: Option<Known>| fit.as_ref().map_or(before, |fit| Some(fit.known()));
        let [far, near] = &self.stops;
        cutter.known = Knowledge {
            guide: known(&self.guide, before.known.guide),
            far_stop: known(far, before.known.far_stop),
            near_stop: known(near, before.known.near_stop),
            arm: known(&self.arm, before.known.arm),
        };
        let [entry, exit] = &self.leads;
        cutter.lead.entry = value(entry, before.lead.entry);
        cutter.lead.exit = value(exit, before.lead.exit);
        cutter.bevel_angle_deg = value(&self.bevel_angle_deg, before.bevel_angle_deg);
        cutter.out_of_square_deg = value(&self.out_of_square_deg, before.out_of_square_deg);
        cutter
    }
}

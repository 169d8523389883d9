//! What a lifter's standing asks of a brief.

use super::{Brief, Discomfort, Nature, Screening, Severity};
use crate::safety::{Occasion, Standing};

impl Brief {
    /// Takes into the brief everything that the standing takes out or eases on an occasion. It only ever adds
    /// limits: what the brief forbids already stays forbidden, and no wish or mark of it stands above.
    ///
    /// A standing that keeps a session from beginning is not the brief's business: ask `Standing::may_begin`.
    pub fn obey(&mut self, standing: &Standing, occasion: &Occasion<'_>) {
        let around = standing.circumstances(occasion);
        let id = |region: &usize| occasion.catalogue.regions.get(*region).map(|r| r.id.clone());
        for (list, regions) in [
            (&mut self.limits.regions_out, &around.regions_out),
            (&mut self.limits.after_surgery, &around.after_surgery),
        ] {
            list.extend(regions.iter().filter_map(id));
            list.sort();
            list.dedup();
        }
        for sore in &around.sore {
            let Some(region) = id(&sore.region) else { continue };
            let severity = match sore.severity {
                ..=1 => Severity::Mild,
                2 => Severity::Moderate,
                _ => Severity::Severe,
            };
            let nature = if sore.new_or_worse { Nature::NewOrWorse } else { Nature::Usual };
            let discomfort = Discomfort { region, severity, nature };
            if !self.discomforts.contains(&discomfort) {
                self.discomforts.push(discomfort);
            }
        }
        let limits = &mut self.limits;
        limits.no_lying_on_back |= around.no_lying_on_back;
        limits.no_lying_on_front |= around.no_lying_on_front;
        limits.no_long_breath_hold |= around.no_long_breath_hold;
        limits.no_maximal_lifts |= around.no_maximal_lifts;
        limits.minor |= around.minor;
        if around.light_to_moderate && limits.screening == Screening::AnsweredNoLimit {
            limits.screening = Screening::AnsweredLightToModerate;
        }
        self.alone = around.alone;
        self.safeties = around.safeties;
    }
}

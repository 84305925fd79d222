//! A unit put right: what `to_fix` names is new, the rest as it is.

use std::sync::Arc;

use super::assumed::Assumed;
use super::filter::Part;
use super::{Filter, Impeller, Lamp};
use crate::message::worded;

worded! {
    #[derive(Default)]
    State words: &'static str {
        /// There is nothing to put right that is judged.
        #[default]
        Whole "as found";
        AsFound "as found";
        AfterRepair "after repair";
    }
}

impl Filter {
    pub fn state(&self) -> State {
        let judged = |part: &Part| matches!(part, Part::Seals { .. } | Part::Impeller | Part::Lamp);
        let mut parts = self.unit.iter().flat_map(|unit| &unit.to_fix).map(|repair| &repair.part);
        match (&self.found, parts.any(judged)) {
            (Some(_), _) => State::AfterRepair,
            (None, true) => State::AsFound,
            (None, false) => State::Whole,
        }
    }

    /// The unit put right, with what it was beside it; itself where nothing that is judged is named, or where it was
    /// put right already. A new seal, impeller or lamp is as one of a new filter that nobody told of.
    #[must_use]
    pub fn put_right(self: &Arc<Self>) -> Arc<Self> {
        if self.state() != State::AsFound {
            return Arc::clone(self);
        }
        let mut right = Self { found: Some(Arc::clone(self)), ..Self::clone(self) };
        for repair in self.unit.iter().flat_map(|unit| &unit.to_fix) {
            right.renew(&repair.part);
        }
        Arc::new(right)
    }

    fn renew(&mut self, part: &Part) {
        match part {
            Part::Seals { trays } => {
                let new = Assumed::new(&self.id);
                for t in trays.iter().filter_map(|tray| (*tray as usize).checked_sub(1)) {
                    // A tray of one piece has no seal to renew.
                    if let Some(tray) = self.trays.get_mut(t).filter(|tray| tray.seal.is_some()) {
                        tray.seal = new.seal(t, None);
                    }
                }
            }
            Part::Impeller => {
                if let Some(unit) = &mut self.unit {
                    unit.impeller = Impeller::New;
                }
            }
            Part::Lamp => {
                if let Some(unit) = &mut self.unit {
                    unit.lamp = Lamp::Working;
                }
                if let Some(uv) = &mut self.uv {
                    uv.hours = None;
                }
            }
            Part::Hose | Part::LidSeal | Part::Other { .. } => {}
        }
    }

    pub fn as_found(&self) -> &Self {
        self.found.as_deref().unwrap_or(self)
    }

    /// The same as its file would have it: what was put right is as it was, a seal that was changed since stays.
    #[must_use]
    pub fn to_keep(&self) -> Self {
        let Some(found) = &self.found else { return self.clone() };
        let (mut kept, right) = (Self { found: None, ..self.clone() }, found.put_right());
        let mut changed = Vec::new();
        let trays = kept.trays.iter_mut().zip(&right.trays).zip(&found.trays);
        for (t, ((tray, right), was)) in trays.enumerate() {
            if tray.seal == right.seal {
                tray.seal.clone_from(&was.seal);
            } else {
                changed.push(t as u32 + 1);
            }
        }
        // A seal that was changed by hand is not renewed when the file is read; the set costs what it costs.
        for repair in kept.unit.iter_mut().flat_map(|unit| &mut unit.to_fix) {
            let Part::Seals { trays } = &mut repair.part else { continue };
            trays.retain(|tray| !changed.contains(tray));
            if trays.is_empty() {
                repair.part = Part::Other { part: "tray seals".to_owned() };
            }
        }
        if let (Some(unit), Some(was)) = (&mut kept.unit, &found.unit) {
            unit.impeller = was.impeller.clone();
            unit.lamp = was.lamp;
        }
        kept.uv.clone_from(&found.uv);
        kept
    }
}

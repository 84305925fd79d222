//! A change to a build, to the filter it stands in, or to the outlet at the tank, as a value that can be
//! applied and undone. Restack's undo, swaps, proposals and repairs are the same edits.

mod refused;

use refused::within;
pub use refused::{EditError, MOST_LAYERS, Place, Side};

use std::sync::Arc;

use super::hoses::Fitting;
use super::{Amount, Build, Dimples, Filter, Impeller, Lamp, Layer, Medium, Seal, Tank};
use crate::uncertainty::{Field, Key, Provenance, Source, Spot, Spread, Uncertain};
use crate::units::{Length, Plain, Quantity, Time};

/// Narrowest bore taken, m, and widest gap, m: the reader's own bounds.
const LEAST_BORE: f64 = 2e-3;
const WIDEST_GAP: f64 = 20e-3;

/// What is edited: a build in its filter, at a tank if one is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Workpiece {
    /// The filter; the builds of its file stay as they are.
    pub filter: Arc<Filter>,
    pub build: Build,
    pub tank: Option<Arc<Tank>>,
    /// Layers may stand higher than their tray: while a person moves them about, something has to give way in
    /// the end, not at each step. [`Workpiece::unfit`] tells what does.
    pub may_overfill: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    // Lays a layer at a place; what lay there and above moves up.
    AddLayer { at: Place, layer: Box<Layer> },
    RemoveLayer { at: Place },
    // Takes a layer out and lays it elsewhere: `to` is counted once it is out.
    MoveLayer { from: Place, to: Place },
    ReplaceLayer { at: Place, layer: Box<Layer> },
    // Makes a layer of another medium. Loose media lose slack, squeeze and dimples, which only pads have.
    SetMedium { at: Place, medium: Arc<Medium> },
    SetAmount { at: Place, amount: Amount },
    // Clear width at a pad's edge; none closes it.
    SetSlack { at: Place, slack: Option<Uncertain<Length>> },
    // A round hole through a layer; none mends it.
    SetHole { at: Place, hole: Option<Uncertain<Length>> },
    // How far a pad is pressed, as a share; none leaves it free.
    SetSqueezed { at: Place, squeezed: Option<Uncertain<Plain>> },
    // A pad's egg-crate side; none is a plain pad.
    SetDimples { at: Place, dimples: Option<Dimples> },
    // Replaces everything in floor and trays, as many as the filter has.
    SetStack { floor: Vec<Layer>, trays: Vec<Vec<Layer>> },
    Rename { name: String },
    SetSeal { tray: usize, seal: Option<Seal> },
    // Bores are above 0; fittings count from 0 in the water's order.
    SetHoseBore { bore: Uncertain<Length> },
    SetFittingBore { side: Side, index: usize, bore: Uncertain<Length> },
    // Height of the outlet above the tank's water; 0 is under the surface.
    SetOutletHeight { height: Uncertain<Length> },
    // What is known of the impeller; needs a unit block.
    SetImpeller { impeller: Impeller },
    // The UV lamp: whether it works (needs a unit block unless it does), and the hours it has burnt; none is new.
    SetLamp { lamp: Lamp, hours: Option<Uncertain<Time>> },
    // Several at once, in that order; all or none.
    All(Vec<Edit>),
}

/// Returns a figure that an edit gives, with a key of its own; `None` unless the value is finite. Measured and
/// guessed ones spread as their field does, any other not at all.
pub fn figure<Q: Quantity>(
    file: &str,
    at: impl Into<Spot>,
    field: &'static Field,
    si: f64,
    known: Provenance,
) -> Option<Uncertain<Q>> {
    let spread = match known {
        Provenance::Measured | Provenance::Guessed => field.printed.spread(known, true, si),
        Provenance::Stated | Provenance::Between | Provenance::Assumed => Spread::Exact,
    };
    let key = Key::new(Source::Filter(file.into()), at.into().edited(), field);
    Some(Uncertain { value: Q::new(si)?, known, spread, key })
}

impl Workpiece {
    pub fn new(filter: Arc<Filter>, build: Build, tank: Option<Arc<Tank>>) -> Self {
        Self { filter, build, tank, may_overfill: false }
    }

    /// A figure of this filter's edits, as [`figure`] gives it.
    pub fn figure<Q: Quantity>(
        &self,
        at: impl Into<Spot>,
        field: &'static Field,
        si: f64,
        known: Provenance,
    ) -> Option<Uncertain<Q>> {
        figure(&self.filter.id, at, field, si, known)
    }

    pub fn layer(&self, at: Place) -> Option<&Layer> {
        self.space(at.0).ok()?.get(at.1)
    }

    /// Applies a change and gives the one that undoes it: applied in turn, it leaves exactly the earlier value.
    /// What breaks the rules of the profile (overfull trays, loose media with slack) is refused and changes
    /// nothing; a workpiece is taken to keep them when it comes.
    pub fn apply(&mut self, edit: &Edit) -> Result<Edit, EditError> {
        match edit {
            Edit::All(edits) => self.apply_all(edits),
            Edit::Rename { name } => {
                Ok(Edit::Rename { name: std::mem::replace(&mut self.build.name, name.clone()) })
            }
            Edit::AddLayer { .. }
            | Edit::RemoveLayer { .. }
            | Edit::MoveLayer { .. }
            | Edit::SetStack { .. } => self.restack(edit),
            Edit::ReplaceLayer { at, layer } => self.relay(*at, |slot| slot.clone_from(layer)),
            // Loose media have neither slack nor squeeze nor dimples.
            Edit::SetMedium { at, medium } => self.relay(*at, |slot| {
                slot.medium = Arc::clone(medium);
                if !medium.is_pad() {
                    (slot.slack, slot.squeezed, slot.dimples) = (None, None, None);
                }
            }),
            Edit::SetAmount { at, amount } => self.relay(*at, |slot| slot.amount.clone_from(amount)),
            Edit::SetSlack { at, slack } => self.relay(*at, |slot| slot.slack.clone_from(slack)),
            Edit::SetHole { at, hole } => self.relay(*at, |slot| slot.hole.clone_from(hole)),
            Edit::SetSqueezed { at, squeezed } => self.relay(*at, |slot| slot.squeezed.clone_from(squeezed)),
            Edit::SetDimples { at, dimples } => self.relay(*at, |slot| slot.dimples = *dimples),
            _ => self.refit(edit),
        }
    }

    fn apply_all(&mut self, edits: &[Edit]) -> Result<Edit, EditError> {
        let before = self.clone();
        let mut back = Vec::with_capacity(edits.len());
        for edit in edits {
            match self.apply(edit) {
                Ok(undo) => back.push(undo),
                Err(why) => {
                    *self = before;
                    return Err(why);
                }
            }
        }
        back.reverse();
        Ok(Edit::All(back))
    }

    fn space(&self, tray: Option<usize>) -> Result<&Vec<Layer>, EditError> {
        match tray {
            None if self.filter.body.floor.is_none() => Err(EditError::NoFloor),
            None => Ok(&self.build.floor),
            Some(t) => self.build.trays.get(t).ok_or(EditError::NoTray(t)),
        }
    }

    fn set_space(&mut self, tray: Option<usize>, layers: Vec<Layer>) {
        match tray {
            None => self.build.floor = layers,
            Some(t) => {
                if let Some(slot) = self.build.trays.get_mut(t) {
                    *slot = layers;
                }
            }
        }
    }

    /// Changes one layer; the way back is the layer as it was.
    fn relay(&mut self, at: Place, change: impl FnOnce(&mut Layer)) -> Result<Edit, EditError> {
        let mut layers = self.space(at.0)?.clone();
        let slot = layers.get_mut(at.1).ok_or(EditError::NoLayer(at))?;
        let old = Box::new(slot.clone());
        change(slot);
        self.sound(at.0, &layers)?;
        self.set_space(at.0, layers);
        Ok(Edit::ReplaceLayer { at, layer: old })
    }

    /// Adds, removes, moves, or replaces the whole.
    fn restack(&mut self, edit: &Edit) -> Result<Edit, EditError> {
        match edit {
            Edit::AddLayer { at, layer } => {
                let mut layers = self.space(at.0)?.clone();
                if at.1 > layers.len() {
                    return Err(EditError::NoLayer(*at));
                }
                layers.insert(at.1, Layer::clone(layer));
                self.sound(at.0, &layers)?;
                self.set_space(at.0, layers);
                Ok(Edit::RemoveLayer { at: *at })
            }
            Edit::RemoveLayer { at } => {
                let mut layers = self.space(at.0)?.clone();
                if at.1 >= layers.len() {
                    return Err(EditError::NoLayer(*at));
                }
                let layer = Box::new(layers.remove(at.1));
                self.set_space(at.0, layers);
                Ok(Edit::AddLayer { at: *at, layer })
            }
            Edit::MoveLayer { from, to } => {
                let mut source = self.space(from.0)?.clone();
                self.space(to.0)?;
                if from.1 >= source.len() {
                    return Err(EditError::NoLayer(*from));
                }
                let layer = source.remove(from.1);
                let mut target = if from.0 == to.0 { source.clone() } else { self.space(to.0)?.clone() };
                if to.1 > target.len() {
                    return Err(EditError::NoLayer(*to));
                }
                target.insert(to.1, layer);
                self.sound(to.0, &target)?;
                self.set_space(from.0, source);
                self.set_space(to.0, target);
                Ok(Edit::MoveLayer { from: *to, to: *from })
            }
            Edit::SetStack { floor, trays } => {
                if trays.len() != self.filter.trays.len() {
                    return Err(EditError::TrayCount { given: trays.len(), has: self.filter.trays.len() });
                }
                if !floor.is_empty() {
                    self.space(None)?;
                    self.sound(None, floor)?;
                }
                for (t, layers) in trays.iter().enumerate() {
                    self.sound(Some(t), layers)?;
                }
                let floor = std::mem::replace(&mut self.build.floor, floor.clone());
                let trays = std::mem::replace(&mut self.build.trays, trays.clone());
                Ok(Edit::SetStack { floor, trays })
            }
            _ => Ok(Edit::All(Vec::new())),
        }
    }

    /// Changes the filter, or the outlet at the tank.
    fn refit(&mut self, edit: &Edit) -> Result<Edit, EditError> {
        match edit {
            Edit::SetSeal { tray, seal } => {
                if let Some(seal) = seal {
                    within("the gap of a seal", &seal.gap, 0.0, WIDEST_GAP)?;
                }
                let slot = Arc::make_mut(&mut self.filter).trays.get_mut(*tray);
                let slot = slot.ok_or(EditError::NoTray(*tray))?;
                Ok(Edit::SetSeal { tray: *tray, seal: std::mem::replace(&mut slot.seal, seal.clone()) })
            }
            Edit::SetHoseBore { bore } => {
                within("the bore of a hose", bore, LEAST_BORE, f64::MAX)?;
                let filter = Arc::make_mut(&mut self.filter);
                Ok(Edit::SetHoseBore { bore: std::mem::replace(&mut filter.hose.bore, bore.clone()) })
            }
            Edit::SetFittingBore { side, index, bore } => {
                within("the bore of a fitting", bore, LEAST_BORE, f64::MAX)?;
                let filter = Arc::make_mut(&mut self.filter);
                let fittings = match side {
                    Side::Intake => &mut filter.intake,
                    Side::Return => &mut filter.return_side,
                };
                match fittings.get_mut(*index) {
                    Some(Fitting::Connector { bore: slot, .. } | Fitting::Tap { bore: slot, .. }) => {
                        let bore = std::mem::replace(slot, bore.clone());
                        Ok(Edit::SetFittingBore { side: *side, index: *index, bore })
                    }
                    _ => Err(EditError::NoFitting(*side, *index)),
                }
            }
            Edit::SetOutletHeight { height } => {
                within("the height of the outlet", height, 0.0, f64::MAX)?;
                let tank = self.tank.as_mut().ok_or(EditError::NoTank)?;
                let slot = &mut Arc::make_mut(tank).hoses.outlet_above_water;
                Ok(Edit::SetOutletHeight { height: std::mem::replace(slot, height.clone()) })
            }
            Edit::SetImpeller { impeller } => {
                if let Impeller::Share(share) = impeller {
                    within("an impeller's share", share, f64::MIN_POSITIVE, 1.0)?;
                }
                let unit = Arc::make_mut(&mut self.filter).unit.as_mut().ok_or(EditError::NoUnit)?;
                let impeller = std::mem::replace(&mut unit.impeller, impeller.clone());
                Ok(Edit::SetImpeller { impeller })
            }
            Edit::SetLamp { lamp, hours } => self.set_lamp(*lamp, hours.as_ref()),
            _ => Ok(Edit::All(Vec::new())),
        }
    }

    fn set_lamp(&mut self, lamp: Lamp, hours: Option<&Uncertain<Time>>) -> Result<Edit, EditError> {
        if let Some(hours) = hours {
            within("the hours of a lamp", hours, 0.0, f64::MAX)?;
        }
        if self.filter.uv.is_none() {
            return Err(EditError::NoUv);
        }
        if self.filter.unit.is_none() && lamp != Lamp::Working {
            return Err(EditError::NoUnit);
        }
        let filter = Arc::make_mut(&mut self.filter);
        // Without a unit block the lamp counts as working.
        let lamp = filter.unit.as_mut().map_or(lamp, |unit| std::mem::replace(&mut unit.lamp, lamp));
        let uv = filter.uv.as_mut().ok_or(EditError::NoUv)?;
        Ok(Edit::SetLamp { lamp, hours: std::mem::replace(&mut uv.hours, hours.cloned()) })
    }
}

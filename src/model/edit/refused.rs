//! What edits name, and why one is refused, in words.

use crate::model::outline::Plan;
use crate::model::tray::lay;
use crate::model::{Amount, Layer, Workpiece};
use crate::place::Space;
use crate::uncertainty::{Nominal, Uncertain};
use crate::units::Quantity;

/// Where a layer lies: its tray, or none for the floor, and its place in it. Both count from 0 at the bottom.
pub type Place = (Option<usize>, usize);

pub const MOST_LAYERS: usize = 20;
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Intake,
    Return,
}

/// Why an edit is refused; nothing was changed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    #[error("the filter has no tray {}", .0 + 1)]
    NoTray(usize),
    #[error("the filter has no floor to lay media on")]
    NoFloor,
    #[error("{} has no layer {}", words(.0.0), .0.1 + 1)]
    NoLayer(Place),
    // No such fitting, or one without a bore.
    #[error("the {} hose has no connector or tap at place {}", if *.0 == Side::Intake { "intake" } else { "return" }, .1 + 1)]
    NoFitting(Side, usize),
    #[error("{} holds at most {MOST_LAYERS} layers", words(*.0))]
    TooMany(Option<usize>),
    // By so much, m.
    #[error("{} would be overfull by {:.1} mm", words(*.0), .1 * 1e3)]
    Overfull(Option<usize>, f64),
    #[error("in {} a layer would lie on one that fills it to the top: give that one a depth first", words(*.0))]
    OnTopOfRest(Option<usize>),
    #[error("nothing of {} is left for the layer that fills it", words(*.0))]
    NothingLeft(Option<usize>),
    #[error("slack and hole would leave nothing of layer {} in {}", .0.1 + 1, words(.0.0))]
    NoArea(Place),
    #[error("`{1}` is loose: only a pad can have {0}")]
    OnlyPads(&'static str, String),
    #[error("{0} is out of its range")]
    OutOfRange(&'static str),
    #[error("the stack is for {given} trays, the filter has {has}")]
    TrayCount { given: usize, has: usize },
    #[error("no tank is given")]
    NoTank,
    #[error("the profile has no unit block")]
    NoUnit,
    #[error("the filter has no UV chamber")]
    NoUv,
}

/// A tray or the floor in words, counted from 1.
fn words(tray: Option<usize>) -> String {
    Space::of(tray).in_a_sentence()
}

/// Height that a stack may stand too high by rounding, m.
const ROUNDING: f64 = 1e-4;
const MOST_SLACK: f64 = 50e-3;
const MOST_SQUEEZED: f64 = 0.9;

impl Workpiece {
    /// What does not fit, space by space: floor first, then the trays from the bottom. Nothing unless
    /// [`Workpiece::may_overfill`] let it come to that.
    pub fn unfit(&self) -> Vec<EditError> {
        let floor = self.filter.body.floor.as_ref().map(|_| (None, &self.build.floor));
        let trays = self.build.trays.iter().enumerate().map(|(t, layers)| (Some(t), layers));
        floor.into_iter().chain(trays).filter_map(|(tray, layers)| self.fits(tray, layers).err()).collect()
    }

    /// A space seen from above, and its height, m.
    pub fn plan(&self, tray: Option<usize>) -> Result<(Plan<f64>, f64), EditError> {
        let (shape, height) = match tray {
            None => {
                let floor = self.filter.body.floor.as_ref().ok_or(EditError::NoFloor)?;
                (&floor.shape, floor.height.si())
            }
            Some(t) => {
                let tray = self.filter.trays.get(t).ok_or(EditError::NoTray(t))?;
                (&tray.shape, tray.height.si())
            }
        };
        Ok((shape.plan(height, &Nominal), height))
    }

    pub(super) fn sound(&self, tray: Option<usize>, layers: &[Layer]) -> Result<(), EditError> {
        if layers.len() > MOST_LAYERS {
            return Err(EditError::TooMany(tray));
        }
        let (plan, _) = self.plan(tray)?;
        for (i, layer) in layers.iter().enumerate() {
            whole(layer)?;
            let slack = layer.slack.as_ref().map_or(0.0, Uncertain::si);
            let hole = layer.hole.as_ref().map_or(0.0, Uncertain::si);
            if plan.area - plan.perimeter * slack - hole * hole * std::f64::consts::FRAC_PI_4 <= 0.0 {
                return Err(EditError::NoArea((tray, i)));
            }
            if layer.amount == Amount::Rest && i + 1 < layers.len() {
                return Err(EditError::OnTopOfRest(tray));
            }
        }
        if self.may_overfill { Ok(()) } else { self.fits(tray, layers) }
    }

    fn fits(&self, tray: Option<usize>, layers: &[Layer]) -> Result<(), EditError> {
        let (plan, height) = self.plan(tray)?;
        let lain = lay::<f64>(layers, plan.area, plan.perimeter, height, &Nominal);
        let fixed = layers.iter().zip(&lain).filter(|(layer, _)| layer.amount != Amount::Rest);
        let over = fixed.map(|(_, lain)| lain.standing).sum::<f64>() - height;
        if over > ROUNDING {
            return Err(EditError::Overfull(tray, over));
        }
        if layers.last().is_some_and(|layer| layer.amount == Amount::Rest) && over > -ROUNDING {
            return Err(EditError::NothingLeft(tray));
        }
        Ok(())
    }
}

pub(super) fn within<Q: Quantity>(
    what: &'static str,
    figure: &Uncertain<Q>,
    low: f64,
    high: f64,
) -> Result<(), EditError> {
    let si = figure.si();
    if si >= low && si <= high { Ok(()) } else { Err(EditError::OutOfRange(what)) }
}

fn whole(layer: &Layer) -> Result<(), EditError> {
    let positive = f64::MIN_POSITIVE;
    match &layer.amount {
        Amount::Depth(depth) => within("the depth of a layer", depth, positive, f64::MAX)?,
        Amount::Volume(volume) => within("the volume of a layer", volume, positive, f64::MAX)?,
        Amount::Mass(mass) => within("the mass of a layer", mass, positive, f64::MAX)?,
        Amount::Rest => {}
    }
    if let Some(slack) = &layer.slack {
        within("the slack of a pad", slack, 0.0, MOST_SLACK)?;
    }
    if let Some(hole) = &layer.hole {
        within("the hole in a layer", hole, 0.0, f64::MAX)?;
    }
    if let Some(squeezed) = &layer.squeezed {
        within("the share a pad is squeezed by", squeezed, 0.0, MOST_SQUEEZED)?;
    }
    if !layer.medium.is_pad() {
        let only = |what| Err(EditError::OnlyPads(what, layer.medium.id.clone()));
        if layer.slack.as_ref().is_some_and(|slack| slack.si() > 0.0) {
            return only("slack at its edge");
        }
        if layer.squeezed.is_some() {
            return only("a squeeze");
        }
        if layer.dimples.is_some() {
            return only("a dimpled side");
        }
    }
    Ok(())
}

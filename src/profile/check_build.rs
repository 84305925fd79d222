//! Builds: layers, and whether each tray has room for what lies in it.

use std::f64::consts::PI;

use super::check::{Check, Owner};
use super::explain::ticked;
use super::schema;
use super::spanned::{At, List};
use crate::model::filter::{Build, Floor};
use crate::model::outline::Plan;
use crate::model::ranges as r;
use crate::model::shape::Shape;
use crate::model::tray::{Amount, Dimples, Layer, Tray};
use crate::place::Space;
use crate::uncertainty::key::Spot;
use crate::uncertainty::uncertain::Nominal;
use crate::uncertainty::uncertain::Uncertain;
use crate::units::Length;

/// Most builds of a file.
const MAX_BUILDS: usize = 1000;
/// Most layers of a tray or floor.
const MAX_LAYERS: usize = 20;
/// Millimetres that a stack may stand too high by rounding.
const ROUNDING_MM: f64 = 0.1;

/// What is known of the floor of a filter.
#[derive(Clone, Copy)]
pub enum FloorIs<'a> {
    /// It, or the body round it, could not be read.
    Broken,
    /// The filter has none.
    Missing,
    /// It is whole.
    There(&'a Floor),
}

/// The room of a tray or floor: its nominal plan, and its height in m.
type Room = (Plan<f64>, f64);

fn room(shape: &Shape, height: f64) -> Room {
    (shape.plan(height, &Nominal), height)
}

impl Check<'_, '_, '_> {
    /// The builds of a filter. Trays that are broken themselves take anything; So
    /// does a floor that is broken.
    pub fn builds(
        &mut self,
        at: Option<&At<List<schema::Build>>>,
        filter: &Owner,
        trays: &[Option<Tray>],
        floor: FloorIs<'_>,
    ) -> Option<Vec<Build>> {
        let Some(at) = at else {
            self.missing(filter, "builds", "[Build(name: \"as bought\", trays: […])]");
            return None;
        };
        let list = self.reader.list(at, "`builds`", MAX_BUILDS)?;
        if list.is_empty() {
            self.fault(
                at,
                "a profile needs one build or more, found none",
                "add `Build(name: \"as bought\", trays: […])`",
            );
            return None;
        }
        let rooms: Vec<Option<Room>> =
            trays.iter().map(|tray| tray.as_ref().map(|tray| room(&tray.shape, tray.height.si()))).collect();
        let mut builds: Vec<Build> = Vec::new();
        let mut names: Vec<String> = Vec::new();
        for at in &list {
            if self.reader.full() {
                break;
            }
            let Some((form, owner)) = self.form(at) else { continue };
            let name_at = self.required(form.name.as_ref(), &owner, "name");
            let name = name_at.and_then(|at| self.name(at, "the build's name"));
            if let (Some(name), Some(at)) = (&name, name_at) {
                if names.contains(name) {
                    self.fault(
                        at,
                        format!("a second build is called `{name}`"),
                        "give each build of a file a name of its own",
                    );
                }
                names.push(name.clone());
            }
            let build = self.build(&form, name.as_deref().unwrap_or("?"), &rooms, floor);
            builds.extend(name.zip(build).map(|(name, (floor, trays))| Build { name, floor, trays }));
        }
        Some(builds)
    }

    fn build(
        &mut self,
        form: &schema::Build,
        name: &str,
        rooms: &[Option<Room>],
        floor: FloorIs<'_>,
    ) -> Option<(Vec<Layer>, Vec<Vec<Layer>>)> {
        let on_floor = match &form.floor {
            None => Some(Vec::new()),
            Some(at) => {
                let here = match floor {
                    FloorIs::There(floor) => Some(room(&floor.shape, floor.height.si())),
                    FloorIs::Missing | FloorIs::Broken => None,
                };
                let layers = self.stack(at, &Spot::build(name), Space::Floor, here);
                if matches!(floor, FloorIs::Missing)
                    && layers.as_ref().is_some_and(|layers| !layers.is_empty())
                {
                    self.fault(
                        at,
                        "layers lie on a floor, but the filter's body has none",
                        "add `floor: Floor(shape: …, height: …)` to the body, or take the layers out",
                    );
                }
                layers
            }
        };
        let mut trays = Some(Vec::new());
        if let Some(at) = &form.trays {
            let list = self.reader.list(at, "a build's `trays`", usize::MAX)?;
            if list.len() > rooms.len() {
                let extra = list.get(rooms.len())?;
                self.fault(
                    extra,
                    format!("this build packs {} trays, but the filter has {}", list.len(), rooms.len()),
                    "take the list out, or add the tray to the filter's `trays`",
                );
                trays = None;
            }
            for (i, (at, room)) in list.iter().zip(rooms).enumerate() {
                let layers = self.stack(at, &Spot::build(name), Space::Tray(i), *room);
                trays = trays.zip(layers).map(|(mut trays, layers)| {
                    trays.push(layers);
                    trays
                });
            }
        }
        let mut trays = trays?;
        trays.resize_with(rooms.len(), Vec::new);
        Some((on_floor?, trays))
    }

    /// The layers of one tray or floor, bottom to top. Without a room (broken itself) heights are not checked.
    fn stack(
        &mut self,
        at: &At<List<schema::Layer>>,
        build: &Spot,
        space: Space,
        room: Option<Room>,
    ) -> Option<Vec<Layer>> {
        let place = &*space.in_a_sentence();
        let list = self.reader.list(at, &format!("what lies in {place}"), MAX_LAYERS)?;
        let mut layers = Vec::with_capacity(list.len());
        let mut heights = Vec::new();
        for (i, at) in list.iter().enumerate() {
            let Some((form, owner)) = self.form(at) else { continue };
            let Some(layer) = self.layer(&form, &owner, &build.space(space).item(i)) else { continue };
            if matches!(layer.amount, Amount::Rest) && i + 1 < list.len() {
                self.fault(
                    at,
                    "a layer stands on top of one that fills the tray",
                    "`fill: rest` belongs to the top layer only: give this one a depth, volume or mass",
                );
                continue;
            }
            if let Some((plan, _)) = room {
                heights.extend(self.height(at, &form, &layer, plan, place));
            }
            layers.push(layer);
        }
        if layers.len() < list.len() {
            return None;
        }
        if let Some((_, clear)) = room
            && heights.len() == layers.len()
        {
            self.fits(&list, &layers, &heights, clear, place);
        }
        Some(layers)
    }

    /// Do layers of those heights (m, bottom to top; 0 for one that fills what is left) fit `clear`?
    fn fits(
        &mut self,
        list: &List<schema::Layer>,
        layers: &[Layer],
        heights: &[f64],
        clear: f64,
        place: &str,
    ) {
        let total: f64 = heights.iter().sum();
        let over = (total - clear) * 1e3;
        if over > ROUNDING_MM {
            let mut stands = 0.0;
            let first = heights.iter().position(|height| {
                stands += height;
                (stands - clear) * 1e3 > ROUNDING_MM
            });
            if let Some(at) = first.and_then(|i| list.get(i)) {
                self.fault(
                    at,
                    format!(
                        "{place} is overfull: its layers stand {} mm high, {} mm too high for its {} mm",
                        tenths(total * 1e3),
                        tenths(over),
                        tenths(clear * 1e3)
                    ),
                    "use less, press a pad with `squeezed`, or let loose media end with `fill: rest`",
                );
            }
        } else if layers.last().is_some_and(|layer| matches!(layer.amount, Amount::Rest))
            && over > -ROUNDING_MM
            && let Some(at) = list.last()
        {
            self.fault(
                at,
                format!("nothing is left of {place} for this layer to fill"),
                "take it out, or make the layers under it thinner",
            );
        }
    }

    /// How high a layer stands, m, pressed as it is; 0 where it fills what is left.
    fn height(
        &mut self,
        at: &At<schema::Layer>,
        form: &schema::Layer,
        layer: &Layer,
        plan: Plan<f64>,
        place: &str,
    ) -> Option<f64> {
        let hole = layer.hole.as_ref().map_or(0.0, |hole| PI * hole.si() * hole.si() / 4.0);
        let rim = plan.perimeter * layer.slack.as_ref().map_or(0.0, Uncertain::si);
        let area = plan.area - rim - hole;
        if area <= 0.0 {
            let (spot, message) = if hole >= plan.area {
                (form.hole.as_ref(), format!("this hole is larger than {place}"))
            } else {
                (
                    form.slack.as_ref().or(form.hole.as_ref()),
                    format!("slack and hole leave nothing of this layer: {place} is too small for them"),
                )
            };
            let help = format!("{place} holds {} cm2 in plan", tenths(plan.area * 1e4));
            match spot {
                Some(spot) => self.fault(spot, message, &help),
                None => self.fault(at, message, &help),
            }
            return None;
        }
        let pressed = 1.0 - layer.squeezed.as_ref().map_or(0.0, Uncertain::si);
        Some(match &layer.amount {
            Amount::Depth(depth) => depth.si() * pressed,
            Amount::Volume(volume) => volume.si() / area * pressed,
            Amount::Mass(mass) => mass.si() / layer.medium.dry.si() / area * pressed,
            Amount::Rest => 0.0,
        })
    }

    fn layer(&mut self, form: &schema::Layer, owner: &Owner, key: &Spot) -> Option<Layer> {
        let key = |field| key.part(field);
        let medium_at = form.media.as_ref();
        if medium_at.is_none() {
            self.missing(owner, "media", "\"foam-20\"");
        }
        let medium = medium_at.and_then(|at| self.medium(at));
        let depth = self.figure(form.depth.as_ref(), &r::LAYER_DEPTH, &key("depth")).map(Amount::Depth);
        let volume = self.figure(form.volume.as_ref(), &r::LAYER_VOLUME, &key("volume")).map(Amount::Volume);
        let mass = self.figure(form.mass.as_ref(), &r::LAYER_MASS, &key("mass")).map(Amount::Mass);
        let rest = self.optional(form.fill.as_ref()).map(|schema::Fill::Rest| Amount::Rest);
        let given: Vec<_> = [
            form.depth.is_some().then_some("depth"),
            form.volume.is_some().then_some("volume"),
            form.mass.is_some().then_some("mass"),
            form.fill.is_some().then_some("fill"),
        ]
        .into_iter()
        .flatten()
        .collect();
        if given.len() != 1 {
            let found = if given.is_empty() {
                "none is given".into()
            } else {
                format!("{} are given", ticked(given.iter().copied()))
            };
            self.reader.fault(
                owner.head.clone(),
                format!("how much of this layer there is: {found}"),
                Some("give exactly one of `depth`, `volume`, `mass`, or `fill: rest` (to the top)".into()),
            );
        }
        let slack = self.figure(form.slack.as_ref(), &r::SLACK, &key("slack"));
        let hole = self.figure(form.hole.as_ref(), &r::HOLE, &key("hole"));
        let squeezed = self.figure(form.squeezed.as_ref(), &r::SQUEEZED, &key("squeezed"));
        let dimples = self.optional(form.dimples.as_ref()).map(|side| match side {
            schema::Dimples::Up => Dimples::Up,
            schema::Dimples::Down => Dimples::Down,
            schema::Dimples::Both => Dimples::Both,
        });
        let medium = medium?;
        if !medium.is_pad() {
            self.loose(form, &medium.id, slack.as_ref());
        }
        let amount = depth.or(volume).or(mass).or(rest);
        if given.len() != 1 || amount.is_none() {
            return None;
        }
        Some(Layer { medium, amount: amount?, slack, hole, squeezed, dimples })
    }

    /// What only a pad can have.
    fn loose(&mut self, form: &schema::Layer, id: &str, slack: Option<&Uncertain<Length>>) {
        if let (Some(at), Some(slack)) = (&form.slack, slack)
            && slack.si() > 0.0
        {
            self.fault(
                at,
                format!("`{id}` is loose: it closes on the wall by itself and leaves no slack"),
                "take `slack` out; only foam, floss and mats are cut to size",
            );
        }
        if let Some(at) = &form.squeezed {
            self.fault(
                at,
                format!("`{id}` is loose and cannot be squeezed"),
                "only foam, floss and mats can",
            );
        }
        if let Some(at) = &form.dimples {
            self.fault(at, format!("`{id}` is loose and has no dimpled side"), "only a pad can have one");
        }
    }
}

/// A length in mm, or an area in cm2, to a tenth.
fn tenths(number: f64) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

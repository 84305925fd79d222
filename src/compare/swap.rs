//! Hybrids of two builds: each group of what may differ is taken from the one or from the other.

use super::shapley::Group;
use crate::assess::figures::{Figures, figures};
use crate::assess::{Case, Effort};
use crate::model::fields::Field;
use crate::model::{Build, Filter, Impeller, Lamp, Layer, Tank, Unit};
use crate::uncertainty::{Nominal, Uncertain};
use crate::units::Plain;

pub const PUMP: u32 = 1;
/// Hose, fittings, outlet.
pub const HOSES: u32 = 1 << 1;
/// Body, tray shapes and heights, grids, way, tube.
pub const VESSEL: u32 = 1 << 2;
/// Seal gaps, joints, and how the layers fit: slack, holes, squeeze.
pub const SEALS: u32 = 1 << 3;
/// Layers of floor and trays: medium, amount, dimples.
pub const STACK: u32 = 1 << 4;
/// The impeller.
pub const CONDITION: u32 = 1 << 5;
/// UV chamber and the state of its lamp.
pub const LAMP: u32 = 1 << 6;
/// Asking price, repairs, what comes with it.
pub const PRICES: u32 = 1 << 7;
pub const ALL: u32 = (1 << 8) - 1;

/// Everything that holds what lies in the trays: swapped together where the trays do not match.
const INSIDE: u32 = VESSEL | SEALS | STACK;
/// Two builds, and what can be swapped alone between them.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'a> {
    a: (&'a Filter, &'a Build),
    b: (&'a Filter, &'a Build),
    /// Share of a new impeller's flow of each; none without a pump curve.
    wear: (Option<f64>, Option<f64>),
    /// Vessel, seals and stack only go together.
    inside: bool,
    /// Slack, holes and squeeze go with the stack.
    fit_with_stack: bool,
}

fn spaces(build: &Build) -> impl Iterator<Item = &Vec<Layer>> {
    std::iter::once(&build.floor).chain(&build.trays)
}

fn wear(filter: &Filter, build: &Build, tank: Option<&Tank>) -> Option<f64> {
    let unit = filter.unit.as_ref()?;
    match &unit.impeller {
        Impeller::New => Some(1.0),
        Impeller::Share(_) | Impeller::Aged { .. } | Impeller::Bucket(_) => {
            let case = Case::new(filter, build, tank);
            let told: Figures<f64> = figures(&case, &Nominal, Effort { ageing: false, step: 1.0 });
            told.way.vessel.laws.outside.as_ref().map(|outside| outside.impeller_ratio)
        }
    }
}

fn same_fit(a: &Layer, b: &Layer) -> bool {
    a.slack.alike(&b.slack) && a.hole.alike(&b.hole) && a.squeezed.alike(&b.squeezed)
}

fn same_stuff(a: &Layer, b: &Layer) -> bool {
    a.medium.alike(&b.medium) && a.amount.alike(&b.amount) && a.dimples.alike(&b.dimples)
}

fn each_layer(a: &Build, b: &Build, same: impl Fn(&Layer, &Layer) -> bool) -> bool {
    spaces(a).count() == spaces(b).count()
        && spaces(a)
            .zip(spaces(b))
            .all(|(a, b)| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)))
}

impl<'a> Pair<'a> {
    /// Two builds at a tank; the tank counts for bucket tests alone.
    pub fn new(a: (&'a Filter, &'a Build), b: (&'a Filter, &'a Build), tank: Option<&Tank>) -> Self {
        let floors = (a.0.body.floor.is_some(), b.0.body.floor.is_some());
        let laid = !a.1.floor.is_empty() || !b.1.floor.is_empty();
        let inside = a.0.trays.len() != b.0.trays.len() || (floors.0 != floors.1 && laid);
        // A pad's slack says nothing of the loose media that lie in its place.
        let fit_with_stack = !inside && !each_layer(a.1, b.1, |a, b| a.medium.is_pad() == b.medium.is_pad());
        let wear = (wear(a.0, a.1, tank), wear(b.0, b.1, tank));
        Self { a, b, wear, inside, fit_with_stack }
    }

    /// The groups, in the order to tell them; merged where they cannot be swapped alone.
    pub fn groups(&self) -> Vec<Group> {
        let one = |name: &str, bit: u32| Group::new(name, if self.differs(bit) { bit } else { 0 });
        let mut out = vec![one("pump", PUMP), one("hoses", HOSES)];
        if self.inside {
            let mut all = Group::merged(&["vessel", "seals and fit", "stack"].map(|name| one(name, 0)));
            all.bits = INSIDE;
            out.push(all);
        } else if self.fit_with_stack {
            out.extend([
                one("vessel", VESSEL),
                one("seals", SEALS),
                one("stack with the fit of its layers", STACK),
            ]);
        } else {
            out.extend([one("vessel", VESSEL), one("seals and fit", SEALS), one("stack", STACK)]);
        }
        out.extend([one("condition", CONDITION), one("lamp", LAMP), one("prices", PRICES)]);
        out
    }

    pub fn differs(&self, bits: u32) -> bool {
        let ((a, ab), (b, bb)) = (self.a, self.b);
        let has = |bit: u32| bits & bit != 0;
        let unit = |f: &'a Filter| f.unit.as_ref();
        let tubes = a.body.down_tube.is_some() && b.body.down_tube.is_some();
        let joint = |f: &'a Filter| f.body.down_tube.as_ref().and_then(|t| t.joint.as_ref());
        let trays = a.trays.len() == b.trays.len();
        let both = || a.trays.iter().zip(&b.trays);
        let same_seals = || {
            both().all(|(a, b)| match (&a.seal, &b.seal) {
                (Some(a), Some(b)) => a.condition == b.condition && a.gap.alike(&b.gap),
                (None, None) => true,
                _ => false,
            }) && (!tubes || joint(a).cloned().alike(&joint(b).cloned()))
        };
        let fit = || each_layer(ab, bb, same_fit);
        (has(PUMP) && !a.pump.alike(&b.pump))
            || (has(HOSES)
                && !(a.hose.alike(&b.hose)
                    && a.intake.alike(&b.intake)
                    && a.return_side.alike(&b.return_side)
                    && a.outlet.alike(&b.outlet)))
            || (has(VESSEL)
                && !(a.way == b.way
                    && a.body.alike(&b.body)
                    && trays
                    && both().all(|(a, b)| {
                        a.shape.alike(&b.shape) && a.height.alike(&b.height) && a.grid.alike(&b.grid)
                    })))
            || (has(SEALS) && !(trays && same_seals() && (self.fit_with_stack || fit())))
            || (has(STACK) && !(each_layer(ab, bb, same_stuff) && (!self.fit_with_stack || fit())))
            || (has(CONDITION) && !self.wear.0.unwrap_or(1.0).alike(&self.wear.1.unwrap_or(1.0)))
            || (has(LAMP)
                && !(a.uv.alike(&b.uv)
                    && unit(a).map(|u| u.lamp).unwrap_or_default()
                        == unit(b).map(|u| u.lamp).unwrap_or_default()))
            || (has(PRICES)
                && match (unit(a), unit(b)) {
                    (Some(a), Some(b)) => {
                        !(a.asking.alike(&b.asking) && a.to_fix.alike(&b.to_fix) && a.includes == b.includes)
                    }
                    (a, b) => a.is_some() != b.is_some(),
                })
    }

    /// The first build with the groups of these bits taken from the second. Keys keep their names. Groups that
    /// cannot be swapped alone follow the stack.
    pub fn hybrid(&self, mask: u32) -> (Filter, Build) {
        let mask = match (self.inside, mask & STACK != 0) {
            (true, true) => mask | INSIDE,
            (true, false) => mask & !INSIDE,
            (false, _) => mask,
        } & ALL;
        let of = |bit: u32| if mask & bit == 0 { self.a } else { self.b };
        let named = if mask == ALL { self.b } else { self.a };
        let mut filter = named.0.clone();
        filter.pump = of(PUMP).0.pump.clone();
        let hoses = of(HOSES).0;
        filter.hose = hoses.hose.clone();
        filter.intake.clone_from(&hoses.intake);
        filter.return_side.clone_from(&hoses.return_side);
        filter.outlet = hoses.outlet.clone();
        let (vessel, seals) = (of(VESSEL).0, of(SEALS).0);
        filter.way = vessel.way;
        filter.body = vessel.body.clone();
        if let (Some(tube), Some(other)) = (&mut filter.body.down_tube, &seals.body.down_tube) {
            tube.joint.clone_from(&other.joint);
        }
        filter.trays.clone_from(&vessel.trays);
        for (tray, other) in filter.trays.iter_mut().zip(&seals.trays) {
            tray.seal.clone_from(&other.seal);
        }
        filter.uv.clone_from(&of(LAMP).0.uv);
        filter.unit = self.unit(mask);
        filter.builds = vec![self.build(mask, &named.1.name)];
        let build = filter.builds.first().cloned().unwrap_or_else(|| named.1.clone());
        (filter, build)
    }

    fn build(&self, mask: u32, name: &str) -> Build {
        let of = |bit: u32| if mask & bit == 0 { self.a.1 } else { self.b.1 };
        let fitted = of(if self.fit_with_stack { STACK } else { SEALS });
        let mut build = Build { name: name.to_owned(), ..of(STACK).clone() };
        let spaces = std::iter::once(&mut build.floor).chain(&mut build.trays);
        let others = std::iter::once(&fitted.floor).chain(&fitted.trays);
        for (layer, other) in spaces.zip(others).flat_map(|(layers, others)| layers.iter_mut().zip(others)) {
            layer.slack.clone_from(&other.slack);
            layer.hole.clone_from(&other.hole);
            layer.squeezed.clone_from(&other.squeezed);
        }
        build
    }

    /// Prices, impeller and lamp, each from its own. Without prices there is a unit block only where impeller or
    /// lamp need one.
    fn unit(&self, mask: u32) -> Option<Unit> {
        let second = |bit: u32| mask & bit != 0;
        let of = |bit: u32| if second(bit) { self.b.0 } else { self.a.0 }.unit.as_ref();
        let tested = [PUMP, HOSES, VESSEL, SEALS].into_iter().filter(|bit| self.differs(*bit)).sum::<u32>();
        // Impellers that are alike go with what they were tested with.
        let alike = !self.differs(CONDITION) && mask & tested == tested && tested != 0;
        let worn_second = second(CONDITION) || alike;
        let condition = if worn_second { self.b.0.unit.as_ref() } else { self.a.0.unit.as_ref() };
        let (prices, lamp) = (of(PRICES), of(LAMP));
        let mut unit = prices.cloned().unwrap_or_else(Unit::untold);
        unit.lamp = lamp.map(|u| u.lamp).unwrap_or_default();
        unit.impeller = condition.map_or(Impeller::New, |u| u.impeller.clone());
        let (share, with) = if worn_second { (self.wear.1, tested) } else { (self.wear.0, 0) };
        // A bucket test tells of the pump, hoses and vessel it was made with; among others what it came to stands.
        if let (Impeller::Bucket(bucket), Some(share)) = (&unit.impeller, share)
            && mask & tested != with
        {
            unit.impeller = Impeller::Share(Uncertain::exact(Plain::of(share), bucket.time.key.clone()));
        }
        let needed = prices.is_some() || unit.impeller != Impeller::New || unit.lamp != Lamp::Working;
        needed.then_some(unit)
    }
}

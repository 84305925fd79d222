//! Trays, their seals, and the layers that lie in them.

use std::sync::Arc;

use super::fields::{
    Door, Field, Figures, Given, Kind, Place, Printed, Row, Value, Wording, choice, choice_field, form, row,
    rows,
};
use super::{Medium, Shape, Way};
use crate::assumptions::A;
use crate::simd::Real;
use crate::uncertainty::{Draw, Uncertain};
use crate::units::{Length, Mass, Plain, Volume};
use crate::ways;

form! {
    Tray "Tray" "a tray" "Tray(shape: round(diameter: mm(180)), height: mm(80), …)" {
        shape: Shape = row("outline of a tray").label("outline");
        height: Uncertain<Length> = row("tray height").label("height").range(5.0, 600.0, "mm").length().like("mm(80)")
            .says("usable height inside").measure("ruler");
        grid: Option<Uncertain<Plain>> = row("open share of a grid").label("grid").range(0.02, 0.99, "").like("0.45")
            .says("open share of its floor").or_made(A::LeftGrid).or_none("it takes no head")
            .measure(ways::OPENINGS);
        seal: Option<Seal> = row("a seal").label("seal").aside().like("lip(gap: mm(0.05))")
            .says("how it closes on the vessel's wall").or_made(A::LeftSeal).or_none("one piece, nothing passes it");
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Seal {
    pub condition: SealCondition,
    /// Clear width, 0 and up.
    pub gap: Uncertain<Length>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SealCondition {
    /// A lip in good order.
    Lip,
    Worn,
    Missing,
}

rows! {
    pub GAP = row("gap").keyless().range(0.0, 20.0, "mm").printed(Printed::LipGap).like("mm(0.4)")
        .says("clear width to the wall of the vessel").measure(ways::GAUGE);
}

choice! {
    /// A seal as files have it.
    SealForm "a seal" "lip(gap: mm(0.05))", {
        Lip "lip" "sound" (named) { gap: Uncertain<Length> = GAP.like("mm(0.05)"); },
        Worn "worn" "worn" (named) { gap: Uncertain<Length> = GAP; },
        Missing "missing" "missing" (named) { gap: Uncertain<Length> = GAP.like("mm(1.5)").printed(Printed::EdgeGap); },
    }
}

impl Field for Seal {
    const KIND: Kind = SealForm::KIND;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        Some(match SealForm::read(door, at, row)? {
            SealForm::Lip { gap } => Self { condition: SealCondition::Lip, gap },
            SealForm::Worn { gap } => Self { condition: SealCondition::Worn, gap },
            SealForm::Missing { gap } => Self { condition: SealCondition::Missing, gap },
        })
    }
    fn each(&self, take: &mut Figures<'_>) {
        self.gap.each(take);
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        let gap = self.gap.clone();
        match self.condition {
            SealCondition::Lip => SealForm::Lip { gap },
            SealCondition::Worn => SealForm::Worn { gap },
            SealCondition::Missing => SealForm::Missing { gap },
        }
        .value(row)
    }
}

form! {
    Layer "Layer" "a layer" "Layer(media: \"foam-20\", depth: mm(40))" {
        medium: Arc<Medium> = row("the medium").label("medium").file("media").wording(Wording::Medium)
            .like("\"foam-20\"").says("what it is made of: the id of a medium");
        amount: Amount = row("amount");
        slack: Option<Uncertain<Length>> = row("edge gap").range(0.0, 50.0, "mm").printed(Printed::EdgeGap).like("mm(1)")
            .says("clear width between its edge and the tray's wall, as it sits; loose media leave none")
            .or_made(A::LeftSlack).or_none("pressed against the wall").measure("feeler gauge or ruler, at four places");
        hole: Option<Uncertain<Length>> = row("hole").range(0.5, 1_000.0, "mm").length().like("mm(25)")
            .says("diameter of a round hole through it").without("none").measure("ruler");
        squeezed: Option<Uncertain<Plain>> = row("share squeezed").label("squeezed").range(0.0, 0.9, "").like("0.1")
            .says("share a pad is pressed by: 0.1 stands at 90 % of its free height").without("not at all")
            .measure("ruler: free and pressed height");
        dimples: Option<Dimples> = row("the dimpled side").label("dimples").like("down").says("egg-crate side of a pad")
            .without("none");
    }
}

impl Layer {
    /// Does the water meet an egg-crate side of it first? `Both` counts.
    pub fn faces_flow(&self, way: Way) -> bool {
        matches!(
            (self.dimples, way),
            (Some(Dimples::Both), _) | (Some(Dimples::Down), Way::Rising) | (Some(Dimples::Up), Way::Falling)
        )
    }
    /// Is it a pad with dimples on the lee side only?
    pub fn faces_away(&self, way: Way) -> bool {
        self.medium.is_pad() && self.dimples.is_some() && !self.faces_flow(way)
    }
}

/// How much of a medium a layer holds; figures are those of the free, unpressed pad.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    Depth(Uncertain<Length>),
    Volume(Uncertain<Volume>),
    Mass(Uncertain<Mass>),
    /// To the top of the tray.
    Rest,
}

choice! {
    #[derive(Copy, Eq)]
    Fill "a fill" "rest", {
        Rest "rest" "to the top",
    }
}

impl Amount {
    rows! {
        pub DEPTH "depth": Option<Uncertain<Length>> = row("depth of a layer").label("depth").range(1.0, 600.0, "mm").length()
            .like("mm(40)").says("so deep").without(ONE_OF).measure("ruler, not pressed");
        pub VOLUME "volume": Option<Uncertain<Volume>> = row("volume of a layer").label("volume").range(0.005, 100.0, "l")
            .like("l(2)").says("so much of it, heaped").without(ONE_OF).measure("measuring jug");
        pub MASS "mass": Option<Uncertain<Mass>> = row("mass of a layer").label("mass").range(0.0005, 100.0, "kg")
            .like("kg(0.9)").says("dry mass").without(ONE_OF).measure("kitchen scales, dry");
        FILL "fill": Option<Fill> = row("a fill").label("fill").like("rest").says("`rest`: to the top of the tray")
            .without(ONE_OF);
    }
    /// Exactly one of them is given.
    pub const ROWS: &'static [Row] = &[Self::DEPTH, Self::VOLUME, Self::MASS, Self::FILL];
}

const ONE_OF: &str = "one of `depth`, `volume`, `mass` and `fill` says it";

impl Field for Amount {
    const KIND: Kind = Kind::Flat(|| Self::ROWS);
    fn take(door: &mut dyn Door, _: &'static Row) -> Option<Self> {
        let [depth, volume, mass, fill] = Self::ROWS else { return None };
        let given: Vec<String> = Self::ROWS
            .iter()
            .filter(|row| door.given(row).is_some())
            .map(|row| format!("`{}`", row.name))
            .collect();
        let depth: Option<Option<Uncertain<Length>>> = Field::take(door, depth);
        let volume: Option<Option<Uncertain<Volume>>> = Field::take(door, volume);
        let mass: Option<Option<Uncertain<Mass>>> = Field::take(door, mass);
        let fill: Option<Option<Fill>> = Field::take(door, fill);
        if given.len() != 1 {
            let found = match given.len() {
                0 => "none is given".to_owned(),
                _ => format!("{} are given", given.join(", ")),
            };
            door.fault(
                None,
                format!("how much of this layer there is: {found}"),
                "give exactly one of `depth`, `volume`, `mass`, or `fill: rest` (to the top)",
            );
            return None;
        }
        let (depth, volume, mass) =
            (depth?.map(Self::Depth), volume?.map(Self::Volume), mass?.map(Self::Mass));
        depth.or(volume).or(mass).or(fill?.map(|Fill::Rest| Self::Rest))
    }
    fn each(&self, take: &mut Figures<'_>) {
        match self {
            Self::Depth(of) => of.each(take),
            Self::Volume(of) => of.each(take),
            Self::Mass(of) => of.each(take),
            Self::Rest => {}
        }
    }
    fn put(&self, _: &'static Row, given: &mut Given) {
        let [depth, volume, mass, fill] = Self::ROWS else { return };
        match self {
            Self::Depth(of) => of.put(depth, given),
            Self::Volume(of) => of.put(volume, given),
            Self::Mass(of) => of.put(mass, given),
            Self::Rest => Fill::Rest.put(fill, given),
        }
    }
}

choice! {
    #[derive(Copy, Eq)]
    Dimples "the dimpled side" "down", {
        Up "up" "up",
        Down "down" "down",
        Both "both" "on both sides",
    }
}
choice_field!(SealForm, Fill, Dimples);

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerGeometry<L> {
    /// Area of media: the tray's less the rim and the hole, m2.
    pub area: L,
    /// Depth of the free pad, m.
    pub free_depth: L,
    /// Height it stands, pressed, m.
    pub standing: L,
    /// Share it is pressed by.
    pub pressed: L,
    /// Clear width at its edge, m.
    pub slack: L,
    /// Diameter of the hole through it, m; 0 without one.
    pub hole: L,
}

impl<L: Real> LayerGeometry<L> {
    /// Volume it takes up as it stands, m3.
    pub fn volume(&self) -> L {
        self.area * self.standing
    }
    /// Volume of the free pad, m3: what was bought.
    pub fn free_volume(&self) -> L {
        self.area * self.free_depth
    }
}

/// Least area and depth of a layer in a draw, so that no draw divides by nothing, m2 and m.
const LEAST: f64 = 1e-5;

/// Lays `layers` into a space of that area, perimeter (m) and height (m). A layer "to the top" gets what the
/// others leave; in a draw that leaves nothing it keeps a hundredth of a millimetre. A layer that comes out higher than
/// the space in a draw is as high as the space: what the door lets in is refused in no draw.
pub fn lay<L: Real>(
    layers: &[Layer],
    area: L,
    perimeter: L,
    height: L,
    draw: &dyn Draw<L>,
) -> Vec<LayerGeometry<L>> {
    let none = L::zero();
    let mut lain: Vec<LayerGeometry<L>> = layers
        .iter()
        .map(|layer| {
            let slack = layer.slack.as_ref().map_or(none, |f| draw.of(f)).max(none);
            let hole = layer.hole.as_ref().map_or(none, |f| draw.of(f)).max(none);
            let pressed = layer.squeezed.as_ref().map_or(none, |f| draw.of(f)).clamp(0.0, 0.9);
            let cut = perimeter * slack + hole * hole * std::f64::consts::FRAC_PI_4;
            let area = (area - cut).max(L::splat(LEAST));
            let free_depth = match &layer.amount {
                Amount::Depth(depth) => draw.of(depth),
                Amount::Volume(volume) => draw.of(volume) / area,
                Amount::Mass(mass) => draw.of(mass) / draw.of(&layer.medium.dry) / area,
                Amount::Rest => none,
            };
            let standing = free_depth * (L::one() - pressed);
            LayerGeometry { area, free_depth, standing, pressed, slack, hole }
        })
        .collect();
    let used = lain.iter().fold(none, |sum, l| sum + l.standing);
    for (layer, lain) in layers.iter().zip(&mut lain) {
        if layer.amount == Amount::Rest {
            lain.standing = height - used;
        }
        if !draw.is_nominal() {
            lain.standing = lain.standing.min(height);
        }
        lain.standing = lain.standing.max(L::splat(LEAST));
        lain.free_depth = lain.standing / (L::one() - lain.pressed);
    }
    lain
}

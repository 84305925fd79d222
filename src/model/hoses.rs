//! What is fitted into hoses, and the outlet.

use super::fields::{
    Brackets, Choice, Door, Field, Figures, Given, Kind, Place, Row, Value, Variant, Wording, choice, form,
    row, rows,
};
use crate::assumptions::{self, A};
use crate::uncertainty::Uncertain;
use crate::units::{Length, Plain};
use crate::ways;

rows! {
    pub BORE = row("bore of a fitting").label("bore").range(2.0, 60.0, "mm").bore().like("mm(12.5)").says("narrowest inside")
        .measure(ways::DRILL);
    LENGTH = row("length of a fitting").label("length").range(1.0, 500.0, "mm").length().or_assumed(A::FittingLength)
        .like("mm(30)").says("of the narrow part").without("30 mm").measure("ruler");
}

choice! {
    Fitting "a fitting" "tap(bore: mm(12.5))", {
        /// Slotted basket over the end.
        Strainer "strainer" "strainer" (named) {
            diameter: Uncertain<Length> = row("diameter of a strainer").label("diameter").range(5.0, 200.0, "mm").length().or(0.025)
                .like("mm(25)").says("outside").without("25 mm").measure("ruler");
            length: Uncertain<Length> = row("length of a strainer").label("length").range(5.0, 500.0, "mm").length().or(0.080)
                .like("mm(80)").says("of its openings").without("80 mm").measure("ruler");
            open: Uncertain<Plain> = row("open share of a strainer").label("open").range(0.02, 1.0, "").or(0.35)
                .like("0.35").says("share of its wall that is open").without("0.35")
                .measure(ways::OPENINGS);
        },
        /// A narrower piece: barb, union, quick release.
        Connector "connector" "connector" (named) {
            bore: Uncertain<Length> = BORE;
            length: Uncertain<Length> = LENGTH;
        },
        /// A ball tap, open.
        Tap "tap" "tap" (named) {
            bore: Uncertain<Length> = BORE;
            length: Uncertain<Length> = LENGTH;
        },
        /// Moulded 90 degree elbows.
        Elbow "elbow" "elbow" (place) {
            count: Uncertain<Plain> = row("number of elbows").label("count").range(0.0, 20.0, "").exact().like("1")
                .says("how many one after the other").measure("count them");
        },
    }
}

choice! {
    Outlet "an outlet" "jet(bore: mm(13))", {
        Open "open" "open hose end",
        Jet "jet" "jet" (named) {
            bore: Uncertain<Length> = row("bore of a jet").label("bore").range(2.0, 60.0, "mm").bore().like("mm(13)")
                .says("narrowest inside").measure(ways::DRILL);
        },
        /// A tube with holes, closed at its far end.
        SprayBar "spray_bar" "spray bar" (named) {
            bore: Uncertain<Length> = row("bore of a spray bar").label("bore").range(3.0, 60.0, "mm").bore().like("mm(13)")
                .says("inside of the tube").measure(ways::DRILL);
            holes: u32 = row("number of holes").label("holes").range(1.0, 200.0, "").exact().like("20").says("how many")
                .measure("count them");
            hole: Uncertain<Length> = row("diameter of a spray bar's hole").label("hole").range(0.5, 20.0, "mm").bore()
                .like("mm(3)").says("diameter of a hole").measure(ways::DRILL);
            pitch: Uncertain<Length> = row("pitch of a spray bar's holes").label("pitch").range(2.0, 200.0, "mm").length()
                .like("mm(20)").says("from hole to hole").measure("ruler");
        },
    }
}

/// What stands in `intake` and `return`, and what a named fitting may be.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    Fitting(Fitting),
    Outlet(Outlet),
}

rows! {
    OUTLET "outlet": End = row("an outlet").key("outlet").like("jet(bore: mm(13))").says("where the water leaves");
    NAMED "id": String = row("the id of a fitting").label("which one").like("\"tap-12\"").says("one of the list of fittings");
}

#[allow(clippy::indexing_slicing, reason = "checked when it is compiled")]
const PARTS: &Choice = &Choice {
    what: "a fitting",
    like: "tap(bore: mm(12.5))",
    variants: &[
        Fitting::CHOICE.variants[0],
        Fitting::CHOICE.variants[1],
        Fitting::CHOICE.variants[2],
        Fitting::CHOICE.variants[3],
        Variant { word: "outlet", says: "outlet", rows: &[OUTLET], brackets: Brackets::ByPlace },
        Variant { word: "fitting", says: "fitting", rows: &[NAMED], brackets: Brackets::ByPlace },
    ],
    common: &[],
};

impl Field for Part {
    const KIND: Kind = Kind::Choice(|| PARTS);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        let variant = door.choose(Some(at), PARTS, "")?;
        let part = match (variant.word, variant.rows.first()) {
            ("outlet", Some(row)) => End::take(door, row).map(|end| Self::Outlet(end.0)),
            ("fitting", Some(row)) => {
                door.given(row).and_then(|at| door.part(&at)?.downcast().ok()).map(|part| *part)
            }
            _ => Fitting::of_variant(door, variant).map(Self::Fitting),
        };
        door.close();
        part
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        match self {
            Self::Fitting(fitting) => fitting.value(row),
            Self::Outlet(outlet) => Some(outlet_value(outlet)),
        }
    }
}

fn outlet_value(outlet: &Outlet) -> Value {
    let (variant, given) = outlet.variant();
    let outer = super::fields::variant_of(PARTS, "outlet");
    let inner = Value::Word(variant, given);
    Value::Word(outer, outer.rows.iter().map(|row| (row, inner.clone())).collect())
}

/// An outlet as it stands in its brackets.
struct End(Outlet);

impl Field for End {
    const KIND: Kind = Kind::Choice(|| Outlet::CHOICE);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        let variant = door.choose(Some(at), Outlet::CHOICE, "")?;
        let outlet = Outlet::of_variant(door, variant);
        door.close();
        outlet.map(End)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let (variant, given) = self.0.variant();
        Some(Value::Word(variant, given))
    }
}

/// A side of the hoses holds fittings, and the return side perhaps an outlet at its end.
impl Field for Fitting {
    const KIND: Kind = Part::KIND;
    fn read_list(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Vec<Self>> {
        let places = door.items(at, row)?;
        let (mut fittings, mut sound) = (Vec::new(), true);
        for (i, place) in places.iter().enumerate() {
            door.enter(super::fields::Step::Item(i));
            let part = Part::read(door, place, row);
            door.leave();
            sound = match part {
                Some(Part::Fitting(fitting)) => {
                    fittings.push(fitting);
                    continue;
                }
                Some(Part::Outlet(_)) if row.name == "intake" => door.fault(
                    Some(place),
                    "an outlet stands on the intake side".into(),
                    "the outlet belongs at the end of `return`",
                ),
                Some(Part::Outlet(_)) if i + 1 < places.len() => door.fault(
                    Some(place),
                    "something stands behind the outlet".into(),
                    "list fittings in the order the water meets them: the outlet comes last",
                ),
                Some(Part::Outlet(outlet)) => {
                    door.keep(Box::new(outlet));
                    continue;
                }
                None => false,
            };
        }
        sound.then_some(fittings)
    }
    fn each(&self, take: &mut Figures<'_>) {
        self.figures(take);
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let (variant, given) = self.variant();
        Some(Value::Word(variant, given))
    }
}

/// Stands at the end of the return side; nowhere is an open hose end.
impl Field for Outlet {
    const KIND: Kind = Kind::Flat(|| &[]);
    fn take(door: &mut dyn Door, _: &'static Row) -> Option<Self> {
        Some(door.kept().and_then(|kept| kept.downcast().ok()).map_or(Self::Open, |outlet| *outlet))
    }
    fn each(&self, take: &mut Figures<'_>) {
        self.figures(take);
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(outlet_value(self))
    }
    fn put(&self, _: &'static Row, given: &mut Given) {
        if let Some((_, Value::List(parts))) = given.last_mut()
            && (!parts.is_empty() || *self != Self::Open)
        {
            parts.push(outlet_value(self));
        }
    }
}

form! {
    /// A fitting that files may call by its id.
    NamedFitting "Fitting" "a fitting"
        "Fitting(id: \"…\", name: \"…\", is: tap(bore: mm(12.5)), source: \"…\", kind: practice)" {
        id: String = row("the id of a fitting").label("id").wording(Wording::Id).like("\"tap-12\"")
            .says("what profiles call it by");
        name: String = row("the fitting's name").label("name").wording(Wording::Name).like("\"tap, 12 mm\"")
            .says("a name for people");
        part: Part = row("what it is").label("is").file("is").keyless().like("tap(bore: mm(12.5), length: mm(30))");
        source: String = row("the source").label("source").like("\"our own round figures, no source\"")
            .says("where its figures come from");
        kind: assumptions::Kind = row("who stands behind it").label("kind").like("practice");
    }
}

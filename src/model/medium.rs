//! Media: what water, dirt and bacteria see of them.

use super::fields::declare::{choice, choice_field, form, variant_of};
use super::fields::door::{Door, Field};
use super::fields::row::{Brackets, Choice, Kind as Holds, Place, Row, Value, Variant, Wording, row};
use crate::assumptions::{A, Kind};
use crate::uncertainty::{Printed, Spread, Uncertain};
use crate::units::{AreaPerVolume, BulkDensity, Length, Plain, Time, Volume};
use crate::ways;

form! {
    Medium "Medium" "a medium" "Medium(id: \"…\", name: \"…\", role: medium, bed: foam(ppi: 20, void: 0.97), …)" {
        id: String = row("the id of a medium").label("id").wording(Wording::Id).like("\"foam-20\"")
            .says("what layers call it by");
        name: String = row("the medium's name").label("name").wording(Wording::Name).aside()
            .like("\"medium foam, 20 PPI\"").says("a name for people");
        role: Role = row("a role").label("role").like("medium").says("what it is for");
        bed: Bed = row("a bed").label("bed").keyless().like("foam(ppi: 20, void: 0.97)").says("what water sees");
        dry: Uncertain<BulkDensity> = row("dry mass per litre").range(0.005, 5.0, "kg_l").like("kg_l(0.03)")
            .says("per litre of bed, dry").measure("kitchen scales: a dry litre of it");
        surface: Option<Uncertain<AreaPerVolume>> = row("surface per litre").range(0.0, 20.0, "m2_l").printed(Printed::Surface).like("m2_l(0.85)")
            .says("accessible to a biofilm, per litre of bed").without("chemical media have none");
        surface_range: Option<SurfaceRange> = row("the range of the surface").label("surface range")
            .like("(m2_l(0.55), m2_l(1.4))").says("low and high, where the source gives them")
            .without("a factor of 1.5 either way");
        inner: Uncertain<Plain> = row("open pore share").range(0.0, 0.95, "").or(0.0).like("0.0")
            .says("of the grain itself; 0.3 and more counts as porous").without("0")
            .measure("kitchen scales: dry, then soaked and shaken off");
        capture: Uncertain<Plain> = row("capture coefficient (1/m)").range(0.0, 500.0, "").printed(Printed::Capture)
            .like("5.1").says("1/m at 5 mm/s");
        life: Option<Uncertain<Time>> = row("life of a medium").label("life").range(0.1, 360.0, "month").like("month(36)")
            .says("how long it lasts in use").without("it lasts");
        price: Option<Uncertain<Plain>> = row("price").range(0.0, 1_000_000.0, "").exact().like("4.0")
            .says("per litre of bed").without("its cost is a dash").measure(ways::PRICE);
        sold: Option<Uncertain<Volume>> = row("what it is sold in").label("sold").range(0.01, 1_000.0, "l").exact()
            .like("l(1)").says("whole packs of this much only: shopping rounds up to them")
            .without("any amount is sold");
        freshwater_only: bool = row("freshwater only").like("false").says("harmful or useless in salt water").without("false");
        floats: bool = row("floats").like("false").says("rides up while dry").without("false");
        source: String = row("the source").label("source").aside().like("\"handbook, page 12\"")
            .says("where its figures come from");
        kind: Kind = row("who stands behind it").label("kind").aside().like("published").says("who stands behind them");
    }
}

form! {
    /// m2 per litre; the figure itself lies between.
    #[derive(Copy)]
    SurfaceRange "SurfaceRange" "the range of a surface" "(m2_l(0.55), m2_l(1.4))" by place {
        low: f64 = row("low end of a surface").label("low").range(0.001, 20.0, "m2_l").exact().like("m2_l(0.55)");
        high: f64 = row("high end of a surface").label("high").range(0.001, 20.0, "m2_l").exact().like("m2_l(1.4)");
    }
}

impl Medium {
    /// The same with its plain surface as wide as the range says.
    #[must_use]
    pub fn ranged(mut self) -> Self {
        if let (Some(surface), Some(range)) = (&mut self.surface, self.surface_range)
            && surface.spread == Printed::Surface.spread(surface.known, false, surface.si())
        {
            let [low, high] = [range.low, range.high].map(|m2_l| m2_l * 1e3);
            surface.spread = Spread::TriangularLog { low, high };
        }
        self
    }
    /// Grains with enough open pores to count as porous.
    pub fn is_porous(&self) -> bool {
        self.inner.si() >= A::PorousFrom.entry().value
    }
    /// Foam or fibre: cut to size, squeezable, may leave slack.
    pub fn is_pad(&self) -> bool {
        matches!(self.bed, Bed::Foam { .. } | Bed::Fibre { .. })
    }
}

choice! {
    /// What a medium is for, in the order of a good stack (polishing last).
    #[derive(Copy, Eq, PartialOrd, Ord, Hash)]
    Role "a role" "biological", {
        Settlement "settlement" "settling",
        Coarse "coarse" "coarse",
        Medium "medium" "medium",
        Fine "fine" "fine",
        Biological "biological" "biological",
        Chemical "chemical" "chemical",
        Polishing "polishing" "polishing",
    }
}

impl Role {
    pub const ALL: [Self; 7] = [
        Self::Settlement,
        Self::Coarse,
        Self::Medium,
        Self::Fine,
        Self::Biological,
        Self::Chemical,
        Self::Polishing,
    ];
    /// What people call it; files keep their word.
    pub fn called(self) -> &'static str {
        if self == Self::Settlement { "settling" } else { self.word() }
    }
    pub fn letter(self) -> char {
        match self {
            Self::Settlement => 'S',
            Self::Coarse => 'C',
            Self::Medium => 'M',
            Self::Fine => 'F',
            Self::Polishing => 'P',
            Self::Biological => 'B',
            Self::Chemical => 'K',
        }
    }
    /// Fineness of a mechanical role: coarse 1 to polishing 4; none for the others.
    pub fn fineness(self) -> Option<u8> {
        match self {
            Self::Coarse => Some(1),
            Self::Medium => Some(2),
            Self::Fine => Some(3),
            Self::Polishing => Some(4),
            Self::Settlement | Self::Biological | Self::Chemical => None,
        }
    }
}

const fn void() -> Row {
    row("void share")
        .label("void")
        .range(0.05, 0.995, "")
        .like("0.44")
        .says("of the bed, water between")
        .measure("fill a litre jug with it, measure the water that still goes in")
}

const fn ring(label: &'static str) -> Row {
    row("measure of a ring")
        .label(label)
        .range(0.5, 100.0, "mm")
        .like("mm(12)")
        .measure("lay twenty in a row along a ruler")
}

choice! {
    Bed "a bed" "foam(ppi: 20, void: 0.97)", {
        Foam "foam" "foam" (named) {
            ppi: Uncertain<Plain> = row("pores per inch").label("ppi").range(5.0, 100.0, "").like("20")
                .says("pores along an inch").measure("count the pores along an inch, at three places");
            void: Uncertain<Plain> = void();
        },
        /// Floss and mats.
        Fibre "fibre" "fibre" (named) {
            diameter: Uncertain<Length> = row("fibre diameter").label("diameter").range(1.0, 2_000.0, "um").like("um(30)");
            solidity: Uncertain<Plain> = row("solid share").label("solidity").range(0.001, 0.5, "").like("0.02");
        },
        Pieces "pieces" "pieces" (named) {
            /// Of the sphere of equal volume.
            size: Uncertain<Length> = row("size of a piece").label("size").range(0.2, 150.0, "mm").like("mm(12)")
                .says("diameter of the sphere of equal volume").measure("lay twenty in a row along a ruler");
            void: Uncertain<Plain> = void();
            sphericity: Uncertain<Plain> = row("sphericity").range(0.1, 1.0, "").like("0.65")
                .says("surface of that sphere over that of the piece");
        },
        Rings "rings" "rings" (named) {
            outer: Uncertain<Length> = ring("outer").says("outside diameter");
            inner: Uncertain<Length> = ring("inner").key("bore").like("mm(7)").says("bore, below the outside diameter");
            length: Uncertain<Length> = ring("length").says("length");
            void: Uncertain<Plain> = void().says("of the bed, bores counted");
        },
    }
}
choice_field!(Role, Bed);

const KINDS: &Choice = &Choice {
    what: "who stands behind it",
    like: "published",
    variants: &[kind("published"), kind("practice"), kind("ours")],
    common: &[],
};

const fn kind(word: &'static str) -> Variant {
    Variant { word, says: word, rows: &[], brackets: Brackets::None }
}

impl Field for Kind {
    const KIND: Holds = Holds::Choice(|| KINDS);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        let variant = door.choose(Some(at), KINDS, "")?;
        door.close();
        Some(match variant.word {
            "published" => Self::Published,
            "practice" => Self::Practice,
            _ => Self::Ours,
        })
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let word = match self {
            Self::Published => "published",
            Self::Practice => "practice",
            Self::Ours => "ours",
        };
        Some(Value::Word(variant_of(KINDS, word), Vec::new()))
    }
}

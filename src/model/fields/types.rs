//! The plain types that fields hold.

use std::sync::Arc;

use super::declare::next;
use super::door::{Door, Field, Figures};
use super::row::{Dimension, Kind, Known, Place, Row, Silence, Table, Value, row};
use crate::model::Medium;
use crate::uncertainty::Uncertain;
use crate::units::{Plain, Quantity};

impl<T: Field> Field for Option<T> {
    const KIND: Kind = T::KIND;
    const SOLID: bool = false;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        T::read(door, at, row).map(Some)
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        if let Silence::Made(_) = row.silence {
            door.left_out(row);
        }
        Some(None)
    }
    fn nothing() -> Option<Self> {
        Some(None)
    }
    fn each(&self, take: &mut Figures<'_>) {
        if let Some(one) = self {
            one.each(take);
        }
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        self.as_ref()?.value(row)
    }
}

impl<T: Field> Field for Vec<T> {
    const KIND: Kind = match T::KIND {
        Kind::Map => Kind::Map,
        _ => Kind::List(&T::KIND),
    };
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        T::read_list(door, at, row)
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        match (row.silence, T::KIND) {
            (Silence::Needed, _) => {
                door.missing(row);
                None
            }
            (_, Kind::Map) => T::read_list(door, &(0..0), row),
            (Silence::Made(_), _) => {
                door.left_out(row);
                Some(Vec::new())
            }
            _ => Some(Vec::new()),
        }
    }
    fn nothing() -> Option<Self> {
        Some(Vec::new())
    }
    fn each(&self, take: &mut Figures<'_>) {
        for one in self {
            one.each(take);
        }
    }
    fn value(&self, row: &'static Row) -> Option<Value> {
        let values: Vec<Value> = self.iter().filter_map(|item| item.value(row)).collect();
        if let Kind::Map = T::KIND {
            let pairs = values.into_iter().filter_map(|value| match value {
                Value::Map(pair) => Some(pair),
                _ => None,
            });
            return Some(Value::Map(pairs.flatten().collect()));
        }
        Some(Value::List(values))
    }
}

impl Field for (String, f64) {
    const KIND: Kind = Kind::Map;
    fn read_list(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Vec<Self>> {
        if at.is_empty() {
            return Some(door.usual_priorities());
        }
        let pairs = door.pairs(at, row)?;
        if pairs.is_empty() {
            return Some(door.usual_priorities());
        }
        let (mut read, mut found) = (Vec::new(), Vec::new());
        for (key, number) in &pairs {
            if door.full() {
                break;
            }
            let number = door.exact(number, row, Dimension::of::<Plain>());
            let Some(pair) = door.text(key, row).zip(number) else { continue };
            read.push(pair);
            found.push(key.clone());
        }
        let sound = door.built(&read, &found);
        (sound && read.len() == pairs.len()).then_some(read)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Map(vec![self.clone()]))
    }
}

impl<Q: Quantity> Field for Uncertain<Q> {
    const KIND: Kind = Kind::Figure(Dimension::of::<Q>());
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        let Known { si, known, spread, .. } = door.figure(at, row, Dimension::of::<Q>())?;
        Some(Self { value: Q::new(si)?, known, spread, key: door.key(row) })
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        match row.silence {
            Silence::Figure(si) => Some(Self::exact(Q::new(si)?, door.key(row))),
            Silence::Assumed(which) => Some(Self::exact(Q::new(which.entry().value)?, door.key(row))),
            // Whatever it is stands here until it can be made.
            Silence::Made(_) => {
                door.left_out(row);
                Some(Self::exact(Q::new(1.0)?, door.key(row)))
            }
            _ => {
                door.missing(row);
                None
            }
        }
    }
    fn each(&self, take: &mut Figures<'_>) {
        take(&self.key, self.known, self.spread);
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let of = Dimension::of::<Q>();
        Some(Value::Figure(Known { si: self.si(), known: self.known, spread: self.spread, of }))
    }
}

/// A plain number; a row whose unit is one of time holds times.
impl Field for f64 {
    const KIND: Kind = Kind::Exact(Dimension::of::<Plain>());
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        door.exact(at, row, exact_of(row))
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        if let Silence::Figure(number) = row.silence {
            return Some(number);
        }
        door.missing(row);
        None
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Number(*self))
    }
}

/// The kind of quantity of a row that holds a plain number.
pub fn exact_of(row: &Row) -> Dimension {
    crate::units::KINDS
        .iter()
        .map(|(name, units)| Dimension { name, units })
        .find(|of| of.unit(row.unit).is_some())
        .unwrap_or(Dimension::of::<Plain>())
}

/// A corner of a traced outline, mm.
impl Field for (f64, f64) {
    const KIND: Kind = Kind::Form(|| CORNER);
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        if !door.open(Some(at), CORNER) {
            return None;
        }
        let mut rows = CORNER.rows.iter();
        let (x, y) = (f64::take(door, next(&mut rows)), f64::take(door, next(&mut rows)));
        door.close();
        x.zip(y)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        let numbers = [self.0, self.1].map(Value::Number);
        Some(Value::Form(CORNER, CORNER.rows.iter().zip(numbers).collect()))
    }
}

const CORNER: &Table = &Table {
    name: "",
    what: "a point of an outline",
    like: "(120, 35.5)",
    rows: &[
        row("traced coordinate (mm)").range(-5_000.0, 5_000.0, "").exact().like("120").of::<f64>("x"),
        row("traced coordinate (mm)").range(-5_000.0, 5_000.0, "").exact().like("35.5").of::<f64>("y"),
    ],
    by_place: true,
};

impl Field for Arc<Medium> {
    const KIND: Kind = Kind::Text;
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        door.medium(at)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Text(self.id.clone()))
    }
}

impl Field for u32 {
    const KIND: Kind = Kind::Count;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        let number = door.exact(at, row, Dimension::of::<Plain>())?;
        if number.fract() != 0.0 {
            door.fault(
                Some(at),
                format!("{} of {number}: expected a whole number", row.words),
                "count again",
            );
            return None;
        }
        // The row's bounds keep it small and positive.
        Some(number as Self)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Number(f64::from(*self)))
    }
}

impl Field for bool {
    const KIND: Kind = Kind::Flag;
    // Left out it is a no.
    const SOLID: bool = false;
    fn read(door: &mut dyn Door, at: &Place, _: &'static Row) -> Option<Self> {
        door.flag(at)
    }
    fn silent(_: &mut dyn Door, _: &'static Row) -> Option<Self> {
        Some(false)
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        Some(Value::Flag(*self))
    }
}

impl Field for String {
    const KIND: Kind = Kind::Text;
    fn read(door: &mut dyn Door, at: &Place, row: &'static Row) -> Option<Self> {
        door.text(at, row)
    }
    fn silent(door: &mut dyn Door, row: &'static Row) -> Option<Self> {
        if let Silence::Nothing = row.silence {
            return Some(Self::new());
        }
        door.missing(row);
        None
    }
    fn value(&self, _: &'static Row) -> Option<Value> {
        (!self.is_empty()).then(|| Value::Text(self.clone()))
    }
}

//! Profiles and tanks whose figures lie anywhere in the ranges that the table of fields declares: evenly in the
//! logarithm, or at a corner. Written as text and read by the door, so that only what it lets in is tried.

use std::path::Path;

use cansift::library::Library;
use cansift::model::fields::{Brackets, Choice, Kind, Row, Table};
use cansift::model::filter::{Body, Bucket, DownTube, Filter, Floor, Impeller};
use cansift::model::filter::{Hose, Wall};
use cansift::model::hoses::{Fitting, Outlet};
use cansift::model::medium::{Bed, Medium};
use cansift::model::pump::{Curve, CurvePoint, Pump};
use cansift::model::shape::Outline;
use cansift::model::tank::{Food, Run, Tank, Water};
use cansift::model::tray::{Amount, Layer, SealForm, Tray};
use cansift::profile::{read_filter, read_tank};

use crate::chance::Chance;

/// Writes figures by chance.
pub struct Writer<'a> {
    pub chance: &'a mut Chance,
    /// Share of figures at a corner of their range.
    pub corners: f64,
    /// Every figure in the last unit of its kind, not in that of the table.
    pub other_units: bool,
}

fn row(table: &'static Table, name: &str) -> &'static Row {
    table.rows().find(|row| row.name == name).unwrap_or_else(|| panic!("{} has no `{name}`", table.name))
}

fn of(choice: &'static Choice, word: &str, name: &str) -> &'static Row {
    let variant = choice.variants.iter().find(|v| v.word == word).unwrap();
    variant.rows.iter().find(|row| row.name == name).unwrap()
}

impl Writer<'_> {
    /// A number in a range, below a limit of the moment.
    fn number(&mut self, row: &Row, most: f64) -> f64 {
        let (low, high) = (row.low, row.high.min(most).max(row.low));
        if self.chance.chance(self.corners) {
            return if self.chance.chance(0.5) { low } else { high };
        }
        if low > 0.0 { self.chance.log(low, high) } else { high * self.chance.log(1e-4, 1.0) }
    }
    fn written(&self, row: &Row, number: f64) -> String {
        let units = match row.kind {
            Kind::Figure(of) | Kind::Exact(of) => of.units,
            _ => &[],
        };
        let Some(own) = units.iter().find(|unit| unit.name == row.unit) else { return format!("{number:?}") };
        let unit = if self.other_units { units.last().unwrap() } else { own };
        format!("{}({:?})", unit.name, unit.from_si(own.to_si(number)))
    }
    fn below(&mut self, row: &Row, most: f64) -> String {
        let number = self.number(row, most);
        self.written(row, number)
    }
    fn any(&mut self, row: &Row) -> String {
        self.below(row, f64::INFINITY)
    }
    fn named(&mut self, table: &'static Table, names: &[&str]) -> String {
        let fields: Vec<_> =
            names.iter().map(|name| format!("{name}: {}", self.any(row(table, name)))).collect();
        fields.join(", ")
    }
    fn word(&mut self, choice: &'static Choice, word: &str) -> String {
        let variant = choice.variants.iter().find(|v| v.word == word).unwrap();
        let fields: Vec<_> = variant
            .rows
            .iter()
            .map(|row| match row.name {
                "holes" => format!("holes: {}", self.number(row, f64::INFINITY).round()),
                name => format!("{name}: {}", self.any(row)),
            })
            .collect();
        let fields = fields.join(", ");
        match variant.brackets {
            Brackets::Named => format!("{word}({fields})"),
            _ => format!("{word}({})", fields.split(": ").last().unwrap()),
        }
    }

    fn curve(&mut self) -> String {
        if self.chance.chance(0.4) {
            return self.word(Curve::CHOICE, "ends");
        }
        let count = 2 + self.chance.below(6);
        let (flow, head) = (row(CurvePoint::TABLE, "flow"), row(CurvePoint::TABLE, "head"));
        let mut flows: Vec<f64> = (0..count).map(|_| self.number(flow, f64::INFINITY)).collect();
        let mut heads: Vec<f64> = (0..count).map(|_| self.number(head, f64::INFINITY)).collect();
        flows.sort_by(f64::total_cmp);
        heads.sort_by(|a, b| b.total_cmp(a));
        flows.dedup();
        heads.dedup();
        if flows.len().min(heads.len()) < 2 {
            return self.word(Curve::CHOICE, "ends");
        }
        let points: Vec<_> = flows
            .iter()
            .zip(&heads)
            .map(|(q, h)| format!("({}, {})", self.written(flow, *q), self.written(head, *h)))
            .collect();
        format!("points([{}])", points.join(", "))
    }
    fn fitting(&mut self) -> String {
        let word = ["strainer", "connector", "tap", "elbow"][self.chance.below(4)];
        self.word(Fitting::CHOICE, word)
    }
    fn fittings(&mut self) -> Vec<String> {
        (0..self.chance.below(4)).map(|_| self.fitting()).collect()
    }
    fn bed(&mut self) -> (String, bool) {
        let word = ["foam", "fibre", "pieces"][self.chance.below(4).min(2)];
        if self.chance.chance(0.25) {
            let outer = self.number(of(Bed::CHOICE, "rings", "outer"), f64::INFINITY).max(1.0);
            let inner = self.below(of(Bed::CHOICE, "rings", "inner"), outer * 0.9);
            let outer = self.written(of(Bed::CHOICE, "rings", "outer"), outer);
            let length = self.any(of(Bed::CHOICE, "rings", "length"));
            let void = self.any(of(Bed::CHOICE, "rings", "void"));
            return (format!("rings(outer: {outer}, inner: {inner}, length: {length}, void: {void})"), false);
        }
        (self.word(Bed::CHOICE, word), word != "pieces")
    }

    /// A profile.
    pub fn profile(&mut self) -> String {
        let mut media = Vec::new();
        let mut pads = Vec::new();
        for id in 0..4 {
            let role = ["settlement", "coarse", "medium", "fine", "polishing", "biological", "chemical"]
                [self.chance.below(7)];
            let (bed, pad) = self.bed();
            let figures = self.named(Medium::TABLE, &["dry", "surface", "inner", "capture"]);
            media.push(format!(
                "Medium(id: \"m{id}\", name: \"m{id}\", role: {role}, bed: {bed}, {figures}, source: \"by chance\", kind: ours)"
            ));
            pads.push(pad);
        }
        let side = of(Outline::CHOICE, "rect", "width");
        let wide = self.number(side, f64::INFINITY).max(25.0);
        let deep = self.number(side, f64::INFINITY).max(25.0);
        let shape = format!("rect(width: {}, depth: {})", self.written(side, wide), self.written(side, deep));
        let short = wide.min(deep);
        let stack = |w: &mut Self, height: f64, most: usize| {
            let count = w.chance.below(most + 1);
            let mut left = height * 0.98;
            let layers: Vec<_> = (0..count)
                .filter_map(|_| {
                    let id = w.chance.below(pads.len());
                    let amount = if w.chance.chance(0.2) && left > height * 0.1 {
                        let used = std::mem::replace(&mut left, 0.0);
                        (used > 1.0).then_some("fill: rest".to_owned())?
                    } else {
                        let depth = w.number(&Amount::DEPTH, left);
                        if depth > left {
                            return None;
                        }
                        left -= depth;
                        format!("depth: {}", w.written(&Amount::DEPTH, depth))
                    };
                    let mut more = String::new();
                    if pads[id] && w.chance.chance(0.6) {
                        more += &format!(", slack: {}", w.below(row(Layer::TABLE, "slack"), short * 0.2));
                    }
                    if pads[id] && w.chance.chance(0.3) {
                        more += &format!(", squeezed: {}", w.any(row(Layer::TABLE, "squeezed")));
                    }
                    if w.chance.chance(0.2) {
                        more += &format!(", hole: {}", w.below(row(Layer::TABLE, "hole"), short * 0.4));
                    }
                    Some(format!("Layer(media: \"m{id}\", {amount}{more})"))
                })
                .collect();
            format!("[{}]", layers.join(", "))
        };
        let (mut trays, mut stacks) = (Vec::new(), Vec::new());
        for _ in 0..self.chance.below(6) {
            let height = self.number(row(Tray::TABLE, "height"), f64::INFINITY);
            let mut more = String::new();
            if self.chance.chance(0.8) {
                more += &format!(", grid: {}", self.any(row(Tray::TABLE, "grid")));
            }
            if self.chance.chance(0.8) {
                let word = ["lip", "worn", "missing"][self.chance.below(3)];
                more += &format!(", seal: {}", self.word(SealForm::CHOICE, word));
            }
            let height_written = self.written(row(Tray::TABLE, "height"), height);
            trays.push(format!("Tray(shape: {shape}, height: {height_written}{more})"));
            stacks.push(stack(self, height, 4));
        }
        let mut body = Vec::new();
        let mut floor_stack = "[]".to_owned();
        if self.chance.chance(0.7) {
            let height = self.number(row(Floor::TABLE, "height"), f64::INFINITY);
            body.push(format!(
                "floor: Floor(shape: {shape}, height: {})",
                self.written(row(Floor::TABLE, "height"), height)
            ));
            floor_stack = stack(self, height, 1);
        }
        if self.chance.chance(0.7) {
            let mut names = vec!["bore", "length"];
            if self.chance.chance(0.6) {
                names.push("joint");
            }
            body.push(format!("down_tube: ({})", self.named(DownTube::TABLE, &names)));
        }
        body.push(self.named(Body::TABLE, &["dry_mass", "head_space"]));
        let wall =
            if self.chance.chance(0.3) { self.word(Wall::CHOICE, "ribbed") } else { "smooth".to_owned() };
        let mut delivery = self.fittings();
        delivery.push(match self.chance.below(3) {
            0 => "outlet(open)".to_owned(),
            1 => format!("outlet({})", self.word(Outlet::CHOICE, "jet")),
            _ => format!("outlet({})", self.word(Outlet::CHOICE, "spray_bar")),
        });
        let unit = match self.chance.below(3) {
            0 => String::new(),
            1 => format!("unit: Unit(impeller: {}),", self.any(&Impeller::ROWS[0])),
            _ => {
                let names = ["volume", "time", "intake", "return", "bends"];
                format!("unit: Unit(bucket: Bucket({})),", self.named(Bucket::TABLE, &names))
            }
        };
        let taken = if self.chance.chance(0.5) { "at_ports" } else { "at_impeller" };
        let way = if self.chance.chance(0.5) { "rising" } else { "falling" };
        let (curve, suction) = (self.curve(), self.fittings().join(", "));
        let bore = self.any(row(Hose::TABLE, "bore"));
        let hz = if self.chance.chance(0.3) {
            format!(", hz: {}", self.any(row(Pump::TABLE, "hz")))
        } else {
            String::new()
        };
        format!(
            "Filter(format: 1, name: \"by chance\", media: [{}],\n pump: Pump(taken: {taken}, curve: {curve}{hz}), way: {way},\n hose: Hose(bore: {bore}, wall: {wall}),\n intake: [{suction}], return: [{}],\n body: Body({}),\n trays: [{}],\n {unit}\n builds: [Build(name: \"by chance\", floor: {floor_stack}, trays: [{}])])",
            media.join(",\n"),
            delivery.join(", "),
            body.join(", "),
            trays.join(",\n"),
            stacks.join(",\n"),
        )
    }

    /// A tank; its outlet is `most` centimetres above the water at most.
    pub fn tank(&mut self, most: f64) -> String {
        let volume = self.any(row(Tank::TABLE, "volume"));
        let water = self.named(Water::TABLE, &["temperature", "ph", "tap_nitrate"]);
        let food = self.named(Food::TABLE, &["daily", "protein"]);
        let run = self.named(Run::TABLE, &["intake", "return", "bends"]);
        let above = self.below(row(Run::TABLE, "outlet_above_water"), most);
        let hz = if self.chance.chance(0.3) {
            format!("hz: {},", self.any(row(Tank::TABLE, "hz")))
        } else {
            String::new()
        };
        format!(
            "Tank(format: 1, name: \"by chance\", volume: {volume}, water: Water({water}), feed: Feed({food}), hoses: Run({run}, outlet_above_water: {above}), water_change: (share: 0.3, every: day(7)), {hz})"
        )
    }
}

/// What the door makes of a profile; none where it is refused.
pub fn filter(text: &str) -> Option<Filter> {
    let sound = read_filter(Path::new("by-chance.ron"), text, Library::shipped()).ok()?;
    Some((*sound.filter).clone())
}

/// What the door makes of a tank; none where it is refused.
pub fn tank(text: &str) -> Option<Tank> {
    let sound = read_tank(Path::new("by-chance-tank.ron"), text, Library::shipped()).ok()?;
    Some((*sound.tank).clone())
}

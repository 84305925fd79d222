//! What is known of the tank that builds were judged for: each figure with how it is known, and what had to be
//! assumed.

use super::figures::{self, Units};
use super::page::Fact;
use super::sources::{plain, spread};
use super::wording::{requirement, temperature};
use super::{Block, Page};
use crate::assumptions::A;
use crate::compare::Limit;
use crate::model::tank::Stock;
use crate::model::{Feed, Tank};
use crate::uncertainty::{Spread, Uncertain};
use crate::units::{DAY, Quantity};

pub fn page(tank: &Tank, units: Units) -> Page {
    let mut page = Page::default();
    page.paragraph(tank.name.clone());
    page.blocks.push(Block::Facts(facts(tank, units)));
    page
}

fn facts(tank: &Tank, units: Units) -> Vec<Fact> {
    let mut rows = Facts(Vec::new());
    let metres = |x: f64| figures::head(x, units);
    let a_day = |unit: &'static str| move |x: f64| format!("{} {unit} a day", plain(x));
    let water = &tank.water;
    let none = "not given: what needs it is a dash";
    rows.known("water", tank.volume.as_ref(), none, &|v| figures::volume(v * 1e3, units));
    rows.known("temperature", Some(&water.temperature), "", &|t| temperature(t, units));
    rows.known("pH", water.ph.as_ref(), "not given", &plain);
    rows.known("nitrate in the tap water", Some(&water.tap_nitrate), "", &|x| format!("{} mg/l", plain(x)));
    let kind = if water.salt { ("sea water", "computed as fresh water") } else { ("fresh water", "") };
    rows.said("kind of water", kind.0, kind.1);
    match &tank.feed() {
        Feed::Daily(figure) => rows.known("dry food", Some(figure), "", &a_day("g")),
        Feed::Stock(stock) => {
            let (word, row) = match stock {
                Stock::Light => ("light", A::LightFeed),
                Stock::Normal => ("normal", A::NormalFeed),
                Stock::Heavy => ("heavy", A::HeavyFeed),
            };
            let row = row.entry();
            let (value, doubt) = (plain(row.value), spread(row.spread));
            rows.said("stock", word, &format!("assumed: {value} {}, {doubt} ({})", row.unit, row.source));
        }
        Feed::Unknown => rows.said("dry food", figures::DASH, "neither feed nor stock is given"),
    }
    rows.known("protein in the food", Some(&tank.food.protein), "", &figures::share);
    rows.known("nitrate that plants take", Some(&tank.plants), "", &a_day("mg/l"));
    rows.known("intake hose", Some(&tank.hoses.intake), "", &metres);
    rows.known("return hose", Some(&tank.hoses.return_side), "", &metres);
    rows.known("bends each way", Some(&tank.hoses.bends), "", &plain);
    rows.known("outlet above the water", Some(&tank.hoses.outlet_above_water), "", &metres);
    match &tank.water_change {
        Some(change) => {
            rows.known("share changed", Some(&change.share), "", &figures::share);
            rows.known("changed every", Some(&change.every), "", &|s| figures::days(s / DAY));
        }
        None => rows.said("water changes", figures::DASH, "none given"),
    }
    rows.known("mains", tank.hz.as_ref(), "not given: pumps are taken as printed", &|x| {
        format!("{} Hz", plain(x))
    });
    if let Some(price) = &tank.power_price {
        rows.known("price of a kilowatt hour", Some(price), "", &|x| format!("{x:.2} {}", tank.currency));
    }
    if let Some(budget) = tank.budget {
        rows.said("budget", &format!("{budget:.0} {}", tank.currency), "");
    }
    if let Some(cabinet) = &tank.cabinet {
        for (name, side) in [
            ("cabinet, width", &cabinet.width),
            ("cabinet, depth", &cabinet.depth),
            ("cabinet, height", &cabinet.height),
        ] {
            rows.known(name, Some(side), "", &|m| figures::length(m * 1e3, units));
        }
    }
    rows.said("aim: turnover", &format!("{} 1/h", plain(tank.aims.turnover)), "");
    rows.said("aim: nitrate", &format!("{} mg/l", plain(tank.aims.nitrate)), "");
    rows.said("aim: not opened more often than", &figures::days(tank.aims.open_no_more_than_every), "");
    for limit in Limit::all(tank) {
        rows.said("must", &requirement(limit, units), "else it is ruled out");
    }
    for owned in &tank.on_hand {
        let value = format!("{}, {}", owned.medium, figures::volume(owned.volume.si() * 1e3, units));
        rows.said("already owned", &value, "costs nothing");
    }
    rows.0
}

struct Facts(Vec<Fact>);

impl Facts {
    fn said(&mut self, name: &str, value: &str, note: &str) {
        self.0.push(Fact { name: name.to_owned(), value: value.to_owned(), note: note.to_owned() });
    }
    /// A figure with how it is known; where there is none, a dash and what is said of that.
    fn known<Q: Quantity>(
        &mut self,
        name: &str,
        figure: Option<&Uncertain<Q>>,
        none: &str,
        say: &dyn Fn(f64) -> String,
    ) {
        let Some(figure) = figure else { return self.said(name, figures::DASH, none) };
        let known = figure.known.word();
        let note = match figure.spread {
            Spread::Exact => known.to_owned(),
            Spread::Normal { .. } | Spread::Factor { .. } | Spread::CutNormal { .. } => {
                format!("{known}, {}", spread(figure.spread))
            }
            Spread::Uniform { low, high }
            | Spread::TriangularLog { low, high }
            | Spread::Triangular { low, high } => {
                format!("{known}, {} to {}", say(low), say(high))
            }
        };
        self.said(name, &say(figure.si()), &note);
    }
}

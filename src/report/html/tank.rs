//! The tank that builds were judged for: each figure with how it is known, and what had to be assumed.

use super::super::figures::{self, Units};
use super::super::{escape, sources};
use super::doc::Doc;
use crate::assumptions::A;
use crate::measures::{Measure, Outcome};
use crate::model::tank::{Feed, Must, Stock, Tank};
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::{DAY, Quantity};

/// What is known of the tank: name, value, how it is known.
pub fn facts(doc: &mut Doc, tank: &Tank, units: Units) {
    doc.within("dl class=\"facts known\"", |doc| {
        for [name, value, known] in rows(tank, units) {
            doc.within("div", |doc| {
                doc.line("dt", &name);
                doc.raw(&format!("<dd>{}", escape::markup(&value)));
                if !known.is_empty() {
                    doc.line("small", &known);
                }
                doc.raw("</dd>\n");
            });
        }
    });
}

fn rows(tank: &Tank, units: Units) -> Vec<[String; 3]> {
    let mut rows = Rows { rows: Vec::new() };
    match &tank.volume {
        Some(volume) => rows.figure("water", volume, &|v| figures::volume(v * 1e3, units)),
        None => rows.said("water", "–", "not given: what needs it is a dash"),
    }
    rows.figure("temperature", &tank.water.temperature, &|t| temperature(t, units));
    match &tank.water.ph {
        Some(ph) => rows.figure("pH", ph, &sources::plain),
        None => rows.said("pH", "–", "not given"),
    }
    rows.figure("nitrate in the tap water", &tank.water.tap_nitrate, &|x| {
        format!("{} mg/l", sources::plain(x))
    });
    rows.said(
        "kind of water",
        if tank.water.salt { "sea water" } else { "fresh water" },
        if tank.water.salt { "computed as fresh water" } else { "" },
    );
    feed(&mut rows, tank);
    rows.figure("protein in the food", &tank.protein, &figures::share);
    rows.figure("nitrate that plants take", &tank.plants, &|x| format!("{} mg/l a day", sources::plain(x)));
    let metres = |x: f64| figures::head(x, units);
    rows.figure("suction hose", &tank.hoses.suction, &metres);
    rows.figure("delivery hose", &tank.hoses.delivery, &metres);
    rows.figure("bends each way", &tank.hoses.bends, &sources::plain);
    rows.figure("outlet above the water", &tank.hoses.outlet_above_water, &metres);
    match &tank.water_change {
        Some(change) => {
            rows.figure("share changed", &change.share, &figures::share);
            rows.figure("changed every", &change.every, &|s| figures::days(s / DAY));
        }
        None => rows.said("water changes", "–", "none given"),
    }
    match &tank.hz {
        Some(hz) => rows.figure("mains", hz, &|x| format!("{} Hz", sources::plain(x))),
        None => rows.said("mains", "–", "not given: pumps are taken as printed"),
    }
    if let Some(price) = &tank.power_price {
        rows.figure("price of a kilowatt hour", price, &|x| format!("{x:.2} {}", tank.currency));
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
            rows.figure(name, side, &|m| figures::length(m * 1e3, units));
        }
    }
    rows.said("aim: turnover", &format!("{} 1/h", sources::plain(tank.aims.turnover)), "");
    rows.said("aim: nitrate", &format!("{} mg/l", sources::plain(tank.aims.nitrate)), "");
    rows.said("aim: not opened more often than", &figures::days(tank.aims.open_no_more_than_every), "");
    for must in &tank.musts {
        rows.said("must", &self::must(must, units), "else it is ruled out");
    }
    for owned in &tank.on_hand {
        rows.said(
            "already owned",
            &format!("{}, {}", owned.medium, figures::volume(owned.volume.si() * 1e3, units)),
            "costs nothing",
        );
    }
    rows.rows
}

struct Rows {
    rows: Vec<[String; 3]>,
}

impl Rows {
    fn said(&mut self, name: &str, value: &str, known: &str) {
        self.rows.push([name.to_owned(), value.to_owned(), known.to_owned()]);
    }
    fn figure<Q: Quantity>(&mut self, name: &str, figure: &Uncertain<Q>, say: &dyn Fn(f64) -> String) {
        let spread = match figure.spread {
            Spread::Exact => None,
            Spread::Normal { .. } | Spread::Factor { .. } => Some(sources::spread(figure.spread)),
            Spread::Uniform { low, high } | Spread::TriangularLog { low, high } => {
                Some(format!("{} to {}", say(low), say(high)))
            }
        };
        let known = figure.known.word();
        self.said(
            name,
            &say(figure.si()),
            &spread.map_or_else(|| known.to_owned(), |spread| format!("{known}, {spread}")),
        );
    }
}

fn feed(rows: &mut Rows, tank: &Tank) {
    match &tank.feed {
        Feed::Daily(figure) => {
            rows.figure("dry food", figure, &|g| format!("{} g a day", sources::plain(g)));
        }
        Feed::Stock(stock) => {
            let (word, row) = match stock {
                Stock::Light => ("light", A::LightFeed),
                Stock::Normal => ("normal", A::NormalFeed),
                Stock::Heavy => ("heavy", A::HeavyFeed),
            };
            let row = row.entry();
            let said = format!(
                "assumed: {} {}, {} ({})",
                sources::plain(row.value),
                row.unit,
                sources::spread(row.spread),
                row.source
            );
            rows.said("stock", word, &said);
        }
        Feed::Unknown => rows.said("dry food", "–", "neither feed nor stock is given"),
    }
}

fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Us => format!("{} °F", sources::plain(celsius * 9.0 / 5.0 + 32.0)),
        Units::Metric | Units::Uk => format!("{} °C", sources::plain(celsius)),
    }
}

fn must(must: &Must, units: Units) -> String {
    let bound = |key: &str, word: &str, x: f64| match Measure::from_key(key) {
        Some(m) => {
            format!("{} {word} {}", m.row().head, figures::show_with_sign(m, Outcome::Value(x), units))
        }
        None => format!("{key} {word} {}", sources::plain(x)),
    };
    match must {
        Must::Fits => "fits the cabinet".to_owned(),
        Must::AtLeast(key, x) => bound(key, "at least", *x),
        Must::AtMost(key, x) => bound(key, "at most", *x),
    }
}

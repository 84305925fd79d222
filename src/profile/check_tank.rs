//! A tank, its aims, and what rules a build out.

use super::check::Check;
use super::check_filter::or_broken;
use super::explain::suggest;
use super::ranges as r;
use super::schema;
use super::spanned::{At, List, Pair, Reader};
use crate::assumptions::A;
use crate::library::Library;
use crate::measures::Measure;
use crate::model::tank::{Aims, Feed, Must, OnHand, Run, Stock, Tank, Water, WaterChange};
use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Length, Plain, Temperature, Volume};

/// Most media on hand.
const MAX_ON_HAND: usize = 200;
/// Most musts.
const MAX_MUSTS: usize = 50;

/// Weights where the tank gives none.
pub const DEFAULT_WEIGHTS: [(Measure, f64); 6] = [
    (Measure::FilteredFlow, 1.0),
    (Measure::BypassChance, 2.0),
    (Measure::AmmoniaCapacity, 1.0),
    (Measure::Nitrate, 0.5),
    (Measure::OpeningInterval, 1.0),
    (Measure::FirstYearCost, 1.0),
];

/// Reads and checks a tank. `None` where a problem was noted.
pub fn tank(reader: &mut Reader<'_>, library: &Library) -> Option<Tank> {
    let whole = reader.whole::<schema::Tank>();
    let mut check = Check::new(reader, library, "tank");
    let (form, owner) = check.form(&whole)?;
    check.format(form.format.as_ref(), &owner);
    let name =
        check.required(form.name.as_ref(), &owner, "name").and_then(|at| check.name(at, "the tank's name"));
    let volume = check.figure(form.volume.as_ref(), &r::TANK_VOLUME, "volume");
    let water = check.water(form.water.as_ref());
    let (feed, protein) = check.feed(form.feed.as_ref(), form.stock.as_ref());
    let plants = check.or_assumed(form.plants.as_ref(), &r::PLANTS, "plants", Plain::of(0.0));
    let hoses = check.run(form.hoses.as_ref());
    let water_change = form.water_change.as_ref().map(|at| check.water_change(at));
    let aims = check.aims(form.aims.as_ref());
    let budget = check.exact(form.budget.as_ref(), &r::PRICE);
    let currency = check.notes(form.currency.as_ref(), "the currency");
    if let Some(at) = &form.currency
        && currency.chars().count() > 8
    {
        check.fault(at, "the currency is longer than 8 characters", "write its short name, such as \"EUR\"");
    }
    let power_price = check.figure(form.power_price.as_ref(), &r::POWER_PRICE, "power_price");
    let hz = check.figure(form.hz.as_ref(), &r::HZ, "hz");
    let cabinet = form.cabinet.as_ref().map(|at| check.outside(at, "cabinet"));
    let on_hand = check.on_hand(form.on_hand.as_ref());
    let musts = check.musts(form.musts.as_ref());
    let weights = check.weights(form.weights.as_ref());
    if !check.reader.is_sound() {
        return None;
    }
    Some(Tank {
        name: name?,
        volume,
        water: water?,
        feed,
        protein: protein?,
        plants: plants?,
        hoses: hoses?,
        water_change: or_broken(water_change)?,
        aims: aims?,
        budget,
        currency,
        power_price,
        hz,
        cabinet: or_broken(cabinet)?,
        on_hand,
        musts,
        weights,
    })
}

impl Check<'_, '_, '_> {
    fn water(&mut self, at: Option<&At<schema::Water>>) -> Option<Water> {
        let usual = Temperature::of(A::NoTankTemperature.entry().value);
        let form = match at {
            Some(at) => self.form(at)?.0,
            None => schema::Water { temperature: None, ph: None, tap_nitrate: None, salt: None },
        };
        let temperature = self.or_assumed(form.temperature.as_ref(), &r::TEMPERATURE, "temperature", usual);
        let ph = self.figure(form.ph.as_ref(), &r::PH, "ph");
        let tap_nitrate =
            self.or_assumed(form.tap_nitrate.as_ref(), &r::TAP_NITRATE, "tap_nitrate", Plain::of(0.0));
        let salt = self.optional(form.salt.as_ref()).unwrap_or(false);
        Some(Water { temperature: temperature?, ph, tap_nitrate: tap_nitrate?, salt })
    }

    /// What is fed, and its protein. Food that was weighed wins over how the tank is stocked.
    fn feed(
        &mut self,
        at: Option<&At<schema::Feed>>,
        stock: Option<&At<schema::Stock>>,
    ) -> (Feed, Option<Uncertain<Plain>>) {
        let form = at.and_then(|at| self.form(at)).map(|(form, _)| form);
        let stock = self.optional(stock).map(|stock| match stock {
            schema::Stock::Light => Stock::Light,
            schema::Stock::Normal => Stock::Normal,
            schema::Stock::Heavy => Stock::Heavy,
        });
        let (daily, protein) = form.map_or((None, None), |form| (form.daily, form.protein));
        let daily = self.figure(daily.as_ref(), &r::DAILY_FEED, "feed");
        let usual = A::FeedProtein.entry();
        let protein = match protein {
            Some(at) => self.figure(Some(&at), &r::PROTEIN, "protein"),
            None => Some(Uncertain::exact(Plain::of(usual.value), A::FeedProtein.key().clone())),
        };
        let feed = daily.map(Feed::Daily).or(stock.map(Feed::Stock)).unwrap_or(Feed::Unknown);
        (feed, protein)
    }

    fn run(&mut self, at: Option<&At<schema::Run>>) -> Option<Run> {
        let (length, bends) = (A::RunLength.entry().value, A::RunBends.entry().value);
        let form = match at {
            Some(at) => self.form(at)?.0,
            None => schema::Run { suction: None, delivery: None, bends: None, outlet_above_water: None },
        };
        let suction = self.or_assumed(form.suction.as_ref(), &r::RUN, "hoses/suction", Length::of(length));
        let delivery = self.or_assumed(form.delivery.as_ref(), &r::RUN, "hoses/delivery", Length::of(length));
        let bends = self.or_assumed(form.bends.as_ref(), &r::BENDS, "hoses/bends", Plain::of(bends));
        let above = self.or_assumed(
            form.outlet_above_water.as_ref(),
            &r::OUTLET_ABOVE,
            "hoses/outlet_above_water",
            Length::of(0.0),
        );
        Some(Run { suction: suction?, delivery: delivery?, bends: bends?, outlet_above_water: above? })
    }

    fn water_change(&mut self, at: &At<schema::WaterChange>) -> Option<WaterChange> {
        let (form, owner) = self.form(at)?;
        let share = self.needed(form.share.as_ref(), &owner, "share", &r::CHANGE_SHARE, "water_change/share");
        let every = self.needed(form.every.as_ref(), &owner, "every", &r::CHANGE_EVERY, "water_change/every");
        Some(WaterChange { share: share?, every: every? })
    }

    fn aims(&mut self, at: Option<&At<schema::Aims>>) -> Option<Aims> {
        let mut aims = Aims::default();
        let Some(at) = at else { return Some(aims) };
        let (form, _) = self.form(at)?;
        if let Some(turnover) = self.exact(form.turnover.as_ref(), &r::AIM_TURNOVER) {
            aims.turnover = turnover;
        }
        if let Some(nitrate) = self.exact(form.nitrate.as_ref(), &r::AIM_NITRATE) {
            aims.nitrate = nitrate;
        }
        if let Some(days) = self.exact(form.open_no_more_than_every.as_ref(), &r::AIM_SERVICE) {
            aims.open_no_more_than_every = days;
        }
        Some(aims)
    }

    fn on_hand(&mut self, at: Option<&At<List<Pair<String, Volume>>>>) -> Vec<OnHand> {
        let list = self.list(at, "`on_hand`", MAX_ON_HAND);
        let mut found: Vec<OnHand> = Vec::new();
        for item in &list {
            let Some((id, volume)) = self.reader.pair(item, "a medium on hand", "(\"foam-20\", l(2))") else {
                continue;
            };
            let medium = self.medium(&id);
            let key = format!("on_hand/{}", medium.as_ref().map_or("?", |medium| medium.id.as_str()));
            let volume = self.figure(Some(&volume), &r::ON_HAND, &key);
            let Some((medium, volume)) = medium.zip(volume) else { continue };
            if found.iter().any(|other| other.medium == medium.id) {
                self.fault(
                    &id,
                    format!("`{}` is listed twice", medium.id),
                    "add the two volumes up in one entry",
                );
            }
            found.push(OnHand { medium: medium.id.clone(), volume });
        }
        found
    }

    fn musts(&mut self, at: Option<&At<List<schema::Must>>>) -> Vec<Must> {
        let list = self.list(at, "`musts`", MAX_MUSTS);
        let mut musts = Vec::new();
        for at in &list {
            match self.reader.get(at) {
                None => {}
                Some(schema::Must::Fits {}) => musts.push(Must::Fits),
                Some(schema::Must::AtLeast(measure, limit)) => {
                    let limit = self.exact(Some(&limit), &r::LIMIT);
                    musts.extend(
                        self.measure(&measure).zip(limit).map(|(key, limit)| Must::AtLeast(key, limit)),
                    );
                }
                Some(schema::Must::AtMost(measure, limit)) => {
                    let limit = self.exact(Some(&limit), &r::LIMIT);
                    musts.extend(
                        self.measure(&measure).zip(limit).map(|(key, limit)| Must::AtMost(key, limit)),
                    );
                }
            }
        }
        musts
    }

    fn weights(&mut self, at: Option<&At<schema::Weights>>) -> Vec<(String, f64)> {
        let Some(at) = at else {
            return DEFAULT_WEIGHTS
                .iter()
                .map(|(measure, weight)| (measure.key().to_owned(), *weight))
                .collect();
        };
        let Some(schema::Weights(entries)) = self.reader.get(at) else { return Vec::new() };
        let mut weights: Vec<(String, f64)> = Vec::new();
        for (key_at, weight) in &entries {
            if self.reader.full() {
                break;
            }
            let weight = self.exact(Some(weight), &r::WEIGHT);
            let Some((key, weight)) = self.measure(key_at).zip(weight) else { continue };
            if weights.iter().any(|(other, _)| *other == key) {
                self.fault(key_at, format!("`{key}` is weighted twice"), "keep one of the two");
            }
            weights.push((key, weight));
        }
        weights
    }

    /// The key of a measure.
    fn measure(&mut self, at: &At<String>) -> Option<String> {
        let key = self.reader.get(at)?;
        if Measure::from_key(&key).is_some() {
            return Some(key);
        }
        let help = suggest(&key, Measure::ALL.map(Measure::key), "measures are");
        self.fault(at, format!("no measure is called `{key}`"), &help);
        None
    }
}

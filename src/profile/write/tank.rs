//! A tank as text: every field as a person would write it, and the whole as a file that reads well.

use super::figures::{plain as figure_text, text};
use crate::model::tank::{Feed, Must, Stock, Tank};
use crate::profile::ranges::{self as r, Field};
use crate::uncertainty::uncertain::{Provenance, Uncertain};
use crate::units::{KINDS, Quantity, Time, UnitOf};

/// How a field is filled in.
#[derive(Clone, Copy, Debug)]
pub enum Entry {
    /// Words of one's own, which the program puts in quotes.
    Text,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A figure of that row, and a sensible step to nudge it by, in the unit of the example.
    Figure(&'static Field, f64),
    /// A list between these brackets.
    List(&'static str),
}

/// One field of a tank, as the form shows it and as a file holds it.
#[derive(Clone, Copy, Debug)]
pub struct TankField {
    /// The structure it stands in, by its name in a file; empty for the tank itself.
    pub group: &'static str,
    /// Its name in a file.
    pub name: &'static str,
    /// What it is called on screen.
    pub label: &'static str,
    /// How it is written.
    pub like: &'static str,
    /// How it is filled in.
    pub entry: Entry,
    /// What it is.
    pub says: &'static str,
    /// What happens when it is left out.
    pub without: &'static str,
    /// Its text in a tank; none where it is left out.
    pub written: fn(&Tank) -> Option<String>,
}

impl TankField {
    /// Where it stands: `water/ph`.
    pub fn path(&self) -> String {
        if self.group.is_empty() { self.name.to_owned() } else { format!("{}/{}", self.group, self.name) }
    }
    /// It is put in quotes by the program, so that a person need not.
    pub fn is_quoted(&self) -> bool {
        matches!(self.entry, Entry::Text)
    }
    /// The units it may be written in; none for a bare number or words.
    pub fn units(&self) -> &'static [UnitOf] {
        let Entry::Figure(of, _) = self.entry else { return &[] };
        KINDS
            .iter()
            .map(|(_, units)| *units)
            .find(|units| units.iter().any(|u| u.name == of.unit))
            .unwrap_or(&[])
    }
}

macro_rules! fields {
    ($($group:literal $name:literal $label:literal $like:literal $entry:expr; $says:literal; $without:literal; $written:expr;)+) => {
        /// Every field of a tank, in the order of the file.
        pub const TANK_FIELDS: &[TankField] = &[$(TankField {
            group: $group, name: $name, label: $label, like: $like, entry: $entry, says: $says, without: $without,
            written: $written,
        }),+];
    };
}

use Entry::{Figure as Number, List, Text, Words};

fields! {
    "" "name" "name" "reading-room tank" Text; "a name to know the tank by"; "the tank needs one"; |t| Some(t.name.clone());
    "" "volume" "volume" "l(180)" Number(&r::TANK_VOLUME, 10.0); "water in the tank"; "turnover, nitrate and food by stocking are dashes"; |t| of(t.volume.as_ref(), &r::TANK_VOLUME);
    "water" "temperature" "temperature" "degc(25)" Number(&r::TEMPERATURE, 1.0); "bacteria, oxygen and the water's thickness follow it"; "25 °C"; |t| kept(&t.water.temperature, &r::TEMPERATURE);
    "water" "ph" "pH" "7.4" Number(&r::PH, 0.1); "bacteria slow down in acid water"; "they are not slowed for it"; |t| of(t.water.ph.as_ref(), &r::PH);
    "water" "tap_nitrate" "nitrate of tap water" "10.0" Number(&r::TAP_NITRATE, 1.0); "mg/l as NO3 in the water you change with"; "0 mg/l"; |t| kept(&t.water.tap_nitrate, &r::TAP_NITRATE);
    "water" "salt" "sea water" "false" Words(&["false", "true"]); "sea water is computed as fresh water, and says so"; "fresh water"; |t| Some(t.water.salt.to_string());
    "feed" "daily" "food a day" "g_day(3.5)" Number(&r::DAILY_FEED, 0.5); "dry food, weighed; it wins over the stocking below"; "the stocking below tells it"; |t| match &t.feed { Feed::Daily(daily) => Some(figure_text(daily, &r::DAILY_FEED)), _ => None };
    "feed" "protein" "protein of the food" "0.42" Number(&r::PROTEIN, 0.01); "share, 0 to 1, as printed on the tin"; "0.42"; |t| kept(&t.protein, &r::PROTEIN);
    "" "stock" "stocking" "normal" Words(&["light", "normal", "heavy"]); "where nobody weighs the food: 0.4, 1 or 2.2 g of it a day for each 100 l (common practice)"; "without food a day above, ammonia and nitrate are dashes"; stock;
    "" "plants" "plants take" "0.5" Number(&r::PLANTS, 0.1); "mg/l of nitrate a day"; "nothing"; |t| kept(&t.plants, &r::PLANTS);
    "hoses" "suction" "suction hose" "m(1.3)" Number(&r::RUN, 0.1); "from the tank down to the filter"; "1.5 m"; |t| kept(&t.hoses.suction, &r::RUN);
    "hoses" "delivery" "delivery hose" "m(1.5)" Number(&r::RUN, 0.1); "from the filter up to the tank"; "1.5 m"; |t| kept(&t.hoses.delivery, &r::RUN);
    "hoses" "bends" "bends in each" "2" Number(&r::BENDS, 1.0); "bends of each hose, as it lies"; "2"; |t| kept(&t.hoses.bends, &r::BENDS);
    "hoses" "outlet_above_water" "outlet above water" "cm(2)" Number(&r::OUTLET_ABOVE, 1.0); "an outlet held above the surface costs head"; "0: it is under water"; |t| kept(&t.hoses.outlet_above_water, &r::OUTLET_ABOVE);
    "water_change" "share" "share changed" "0.25" Number(&r::CHANGE_SHARE, 0.05); "share of the water, 0 to 1, at each water change"; "with how often: no water is changed"; |t| t.water_change.as_ref().map(|w| figure_text(&w.share, &r::CHANGE_SHARE));
    "water_change" "every" "how often" "day(7)" Number(&r::CHANGE_EVERY, 1.0); "time between water changes"; "with the share: no water is changed"; |t| t.water_change.as_ref().map(|w| figure_text(&w.every, &r::CHANGE_EVERY));
    "aims" "turnover" "turnover aimed for" "4.0" Number(&r::AIM_TURNOVER, 0.5); "tank volumes an hour, delivered"; "4"; |t| Some(t.aims.turnover.to_string());
    "aims" "nitrate" "nitrate aimed for" "25.0" Number(&r::AIM_NITRATE, 5.0); "mg/l as NO3, just before a water change"; "25 mg/l"; |t| Some(t.aims.nitrate.to_string());
    "aims" "open_no_more_than_every" "open at most every" "week(6)" Number(&r::AIM_SERVICE, 1.0); "how rarely you want to open the filter"; "6 weeks"; |t| Some(days(t.aims.open_no_more_than_every));
    "" "budget" "budget" "120.0" Number(&r::PRICE, 10.0); "money to spend; the ranking marks costs by it"; "costs are marked against each other"; |t| t.budget.map(|b| b.to_string());
    "" "currency" "currency" "EUR" Text; "its short name, at most 8 letters"; "sums stand without a name"; |t| (!t.currency.is_empty()).then(|| t.currency.clone());
    "" "power_price" "price of a kWh" "0.30" Number(&r::POWER_PRICE, 0.01); "what a kilowatt hour costs"; "the cost of the first year is a dash"; |t| of(t.power_price.as_ref(), &r::POWER_PRICE);
    "" "hz" "mains frequency" "50" Number(&r::HZ, 10.0); "hertz here: a synchronous pump follows it"; "that of the pump's figures"; |t| of(t.hz.as_ref(), &r::HZ);
    "cabinet" "width" "cabinet width" "mm(400)" Number(&r::OUTSIDE, 10.0); "clear inside"; "with the two others: whether it fits is a dash"; |t| t.cabinet.as_ref().map(|c| figure_text(&c.width, &r::OUTSIDE));
    "cabinet" "depth" "cabinet depth" "mm(350)" Number(&r::OUTSIDE, 10.0); "clear inside"; "with the two others: whether it fits is a dash"; |t| t.cabinet.as_ref().map(|c| figure_text(&c.depth, &r::OUTSIDE));
    "cabinet" "height" "cabinet height" "mm(600)" Number(&r::OUTSIDE, 10.0); "clear inside"; "with the two others: whether it fits is a dash"; |t| t.cabinet.as_ref().map(|c| figure_text(&c.height, &r::OUTSIDE));
    "" "on_hand" "media on hand" "[(\"foam-20\", l(2)), (\"lava-15\", l(1.5))]" List("[]"); "media you own, by id and volume: they cost nothing"; "none"; on_hand;
    "" "musts" "musts" "[fits(), at_least(\"turnover\", 3), at_most(\"first_year_cost\", 150)]" List("[]"); "what rules a build out: fits(), at_least(\"measure\", figure), at_most(\"measure\", figure)"; "nothing is ruled out"; musts;
    "" "weights" "weights" "{\"filtered_flow\": 1.0, \"nitrate\": 0.5}" List("{}"); "how much each measure counts in the ranking"; "the usual six"; |t| Some(weights(t));
}

/// The text of every field, in the order of [`TANK_FIELDS`]; empty where it is left out.
pub fn tank_texts(tank: &Tank) -> Vec<String> {
    TANK_FIELDS.iter().map(|field| (field.written)(tank).unwrap_or_default()).collect()
}

/// The tank as a file. Reading it gives an equal tank.
pub fn write_tank(tank: &Tank) -> String {
    write_tank_texts(&tank_texts(tank))
}

/// A file of fields as they were typed, in the order of [`TANK_FIELDS`]; empty ones are left out.
pub fn write_tank_texts(texts: &[String]) -> String {
    let mut out = String::from("Tank(\n    format: 1,\n");
    let given: Vec<(&TankField, String)> = TANK_FIELDS
        .iter()
        .zip(texts)
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(field, text)| (field, in_file(field, text)))
        .collect();
    let mut rest = given.as_slice();
    while let Some((first, _)) = rest.first() {
        let of_group = match first.group {
            "" => 1,
            group => rest.iter().take_while(|(field, _)| field.group == group).count(),
        };
        let (now, after) = rest.split_at(of_group);
        let inside: Vec<String> = now.iter().map(|(field, text)| format!("{}: {text}", field.name)).collect();
        let line = match first.group {
            "" => inside.concat(),
            group => format!("{group}: {}({})", structure(group), inside.join(", ")),
        };
        out.push_str("    ");
        out.push_str(&line);
        out.push_str(",\n");
        rest = after;
    }
    out.push_str(")\n");
    out
}

/// A field's text as it stands in a file.
pub(in crate::profile) fn in_file(field: &TankField, typed: &str) -> String {
    if field.is_quoted() { text(typed.trim()) } else { typed.trim().to_owned() }
}

/// The name of a group's structure; the form of some needs none.
pub(in crate::profile) fn structure(group: &str) -> &'static str {
    match group {
        "water" => "Water",
        "feed" => "Feed",
        "hoses" => "Run",
        "aims" => "Aims",
        _ => "",
    }
}

fn of<Q: Quantity>(figure: Option<&Uncertain<Q>>, field: &Field) -> Option<String> {
    figure.map(|figure| figure_text(figure, field))
}

/// Nothing for a value of the program's own, which is read the same where it is left out.
fn kept<Q: Quantity>(figure: &Uncertain<Q>, field: &Field) -> Option<String> {
    (figure.known != Provenance::Assumed).then(|| figure_text(figure, field))
}

/// A time in days as weeks where it is whole weeks.
fn days(days: f64) -> String {
    let day = |unit: &str, n: f64| {
        let si = Time::UNITS.iter().find(|u| u.name == unit).map_or(n, |u| u.to_si(n));
        Time::UNITS.iter().find(|u| u.name == "day").map_or(si, |u| u.from_si(si))
    };
    let weeks = (days / 7.0).round();
    if weeks >= 1.0 && day("week", weeks).to_bits() == days.to_bits() {
        return format!("week({weeks})");
    }
    // The shortest number of days that is read as this one.
    let short = (0..17)
        .map(|digits| format!("{days:.digits$e}"))
        .filter_map(|text| text.parse::<f64>().ok())
        .find(|n| day("day", *n).to_bits() == days.to_bits());
    format!("day({})", short.unwrap_or(days))
}

fn stock(tank: &Tank) -> Option<String> {
    let Feed::Stock(stock) = &tank.feed else { return None };
    Some(
        match stock {
            Stock::Light => "light",
            Stock::Normal => "normal",
            Stock::Heavy => "heavy",
        }
        .to_owned(),
    )
}

fn on_hand(tank: &Tank) -> Option<String> {
    let items: Vec<String> = tank
        .on_hand
        .iter()
        .map(|item| format!("({}, {})", text(&item.medium), figure_text(&item.volume, &r::ON_HAND)))
        .collect();
    (!items.is_empty()).then(|| format!("[{}]", items.join(", ")))
}

fn musts(tank: &Tank) -> Option<String> {
    let items: Vec<String> = tank
        .musts
        .iter()
        .map(|must| match must {
            Must::Fits => "fits()".to_owned(),
            Must::AtLeast(key, limit) => format!("at_least({}, {limit})", text(key)),
            Must::AtMost(key, limit) => format!("at_most({}, {limit})", text(key)),
        })
        .collect();
    (!items.is_empty()).then(|| format!("[{}]", items.join(", ")))
}

fn weights(tank: &Tank) -> String {
    let items: Vec<String> =
        tank.weights.iter().map(|(key, weight)| format!("{}: {weight}", text(key))).collect();
    format!("{{{}}}", items.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_written_in_whole_weeks_where_they_are() {
        assert_eq!((days(42.0), days(10.0)), ("week(6)".to_owned(), "day(10)".to_owned()));
        assert_eq!(days(30.5), "day(30.5)");
    }

    #[test]
    fn fields_of_a_group_stand_together_and_paths_differ() {
        let paths: Vec<String> = TANK_FIELDS.iter().map(TankField::path).collect();
        for (i, path) in paths.iter().enumerate() {
            assert!(!paths.iter().skip(i + 1).any(|other| other == path), "{path}");
        }
        let mut seen: Vec<&str> = Vec::new();
        for field in TANK_FIELDS.iter().filter(|f| !f.group.is_empty()) {
            if seen.last() != Some(&field.group) {
                assert!(!seen.contains(&field.group), "{} is torn apart", field.group);
                seen.push(field.group);
            }
        }
    }
}

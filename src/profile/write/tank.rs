//! A tank as text: every field as a person would write it, and the whole as a file that reads well.

use super::figures::{plain as figure_text, text};
use crate::doubt::figure::{Figure, Known};
use crate::filter::tank::{Feed, Must, Stock, Tank};
use crate::profile::ranges::{self as r, Field};
use crate::units::{Quantity, Time};

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
    /// What it is for, and what leaving it out means.
    pub says: &'static str,
    /// It is put in quotes by the program, so that a person need not.
    pub quoted: bool,
    /// Its text in a tank; none where it is left out.
    pub written: fn(&Tank) -> Option<String>,
}

impl TankField {
    /// Where it stands: `water/ph`.
    pub fn path(&self) -> String {
        if self.group.is_empty() { self.name.to_owned() } else { format!("{}/{}", self.group, self.name) }
    }
}

macro_rules! fields {
    ($($group:literal $name:literal $label:literal $like:literal $says:literal $quoted:literal $written:expr;)+) => {
        /// Every field of a tank, in the order of the file.
        pub const TANK_FIELDS: &[TankField] = &[$(TankField {
            group: $group, name: $name, label: $label, like: $like, says: $says, quoted: $quoted, written: $written,
        }),+];
    };
}

fields! {
    "" "name" "name" "reading-room tank" "a name to know the tank by" true |t| Some(t.name.clone());
    "" "volume" "volume" "l(180)" "water in the tank; left out: what needs it is a dash" false |t| of(t.volume.as_ref(), &r::TANK_VOLUME);
    "water" "temperature" "temperature" "degc(25)" "bacteria, oxygen and the water's thickness follow it" false |t| kept(&t.water.temperature, &r::TEMPERATURE);
    "water" "ph" "pH" "7.4" "left out: bacteria are not slowed for it" false |t| of(t.water.ph.as_ref(), &r::PH);
    "water" "tap_nitrate" "nitrate of tap water" "10.0" "mg/l as NO3 in the water you change with" false |t| kept(&t.water.tap_nitrate, &r::TAP_NITRATE);
    "water" "salt" "sea water" "false" "`true` or `false`; sea water is computed as fresh water, and says so" false |t| Some(t.water.salt.to_string());
    "feed" "daily" "food a day" "g_day(3.5)" "dry food; it wins over the stocking below" false |t| match &t.feed { Feed::Daily(daily) => Some(figure_text(daily, &r::DAILY_FEED)), _ => None };
    "feed" "protein" "protein of the food" "0.42" "share, as printed on the tin" false |t| kept(&t.protein, &r::PROTEIN);
    "" "stock" "stocking" "normal" "`light`, `normal` or `heavy`: 0.4, 1 or 2.2 g of food a day for each 100 l (common practice)" false stock;
    "" "plants" "plants take" "0.0" "mg/l of nitrate a day, 0 to 2" false |t| kept(&t.plants, &r::PLANTS);
    "hoses" "suction" "suction hose" "m(1.3)" "from the tank down to the filter" false |t| kept(&t.hoses.suction, &r::RUN);
    "hoses" "delivery" "delivery hose" "m(1.5)" "from the filter up to the tank" false |t| kept(&t.hoses.delivery, &r::RUN);
    "hoses" "bends" "bends in each" "2" "bends of each hose, as it lies" false |t| kept(&t.hoses.bends, &r::BENDS);
    "hoses" "outlet_above_water" "outlet above water" "cm(0)" "an outlet held above the surface costs head" false |t| kept(&t.hoses.outlet_above_water, &r::OUTLET_ABOVE);
    "water_change" "share" "share changed" "0.25" "from 0 to 1; left out, with how often: no water is changed" false |t| t.water_change.as_ref().map(|w| figure_text(&w.share, &r::CHANGE_SHARE));
    "water_change" "every" "how often" "day(7)" "time between water changes" false |t| t.water_change.as_ref().map(|w| figure_text(&w.every, &r::CHANGE_EVERY));
    "aims" "turnover" "turnover aimed for" "4.0" "tank volumes an hour, delivered" false |t| Some(t.aims.turnover.to_string());
    "aims" "nitrate" "nitrate aimed for" "25.0" "mg/l as NO3, just before a water change" false |t| Some(t.aims.nitrate.to_string());
    "aims" "open_no_more_than_every" "open at most every" "week(6)" "how rarely you want to open the filter" false |t| Some(days(t.aims.open_no_more_than_every));
    "" "budget" "budget" "120.0" "money to spend" false |t| t.budget.map(|b| b.to_string());
    "" "currency" "currency" "EUR" "its short name" true |t| (!t.currency.is_empty()).then(|| t.currency.clone());
    "" "power_price" "price of a kWh" "0.30" "left out: what the power costs is not told" false |t| of(t.power_price.as_ref(), &r::POWER_PRICE);
    "" "hz" "mains frequency" "50" "hertz here: a synchronous pump follows it" false |t| of(t.hz.as_ref(), &r::HZ);
    "cabinet" "width" "cabinet width" "mm(400)" "clear inside; left out, with the two below: whether it fits is not told" false |t| t.cabinet.as_ref().map(|c| figure_text(&c.width, &r::OUTSIDE));
    "cabinet" "depth" "cabinet depth" "mm(350)" "clear inside" false |t| t.cabinet.as_ref().map(|c| figure_text(&c.depth, &r::OUTSIDE));
    "cabinet" "height" "cabinet height" "mm(600)" "clear inside" false |t| t.cabinet.as_ref().map(|c| figure_text(&c.height, &r::OUTSIDE));
    "" "on_hand" "media on hand" "[(\"foam-20\", l(2))]" "media you own: they cost nothing (`cansift media` lists the ids)" false on_hand;
    "" "musts" "musts" "[fits(), at_least(\"turnover\", 3)]" "what rules a build out: `fits()`, `at_least(\"key\", 3)`, `at_most(\"key\", 150)`" false musts;
    "" "weights" "weights" "{\"worked_flow\": 1.0, \"nitrate\": 0.5}" "how much each measure counts in the ranking; left out: the usual ones" false |t| Some(weights(t));
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
    if field.quoted { text(typed.trim()) } else { typed.trim().to_owned() }
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

fn of<Q: Quantity>(figure: Option<&Figure<Q>>, field: &Field) -> Option<String> {
    figure.map(|figure| figure_text(figure, field))
}

/// Nothing for a value of the program's own, which is read the same where it is left out.
fn kept<Q: Quantity>(figure: &Figure<Q>, field: &Field) -> Option<String> {
    (figure.known != Known::Assumed).then(|| figure_text(figure, field))
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

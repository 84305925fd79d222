//! The tank that builds are judged for.

use super::fields::{Wording, choice, choice_field, form, row};
use super::filter::{Outside, Text};
use super::log::TestEntry;
use crate::assumptions::A;
use crate::uncertainty::Uncertain;
use crate::units::{DailyMass, Length, Plain, Temperature, Time, Volume};
use crate::ways;

form! {
    Tank "Tank" "a tank" "Tank(format: 1, name: \"…\", volume: l(180), …)"
        given {
            text: Text,
        } {
        name: String = row("the tank's name").label("name").wording(Wording::Name)
            .like("reading-room tank").says("a name to know the tank by").without("the tank needs one");
        volume: Option<Uncertain<Volume>> = row("tank volume").lead(1).label("volume").range(2.0, 50_000.0, "l").step(10.0)
            .like("l(180)").says("water in the tank").without("turnover, nitrate and food by stocking are dashes")
            .measure("inner length × width × height of the water, stones and sand taken off; or count jugs when filling");
        water: Water = row("the tank's water").label("water").keyless().or_fields();
        food: Food = row("what is fed").label("feed").file("feed").keyless().or_fields();
        stock: Option<Stock> = row("stocking").lead(2).like("normal")
            .says("where nobody weighs the food: 0.25, 0.55 or 1.2 g of it a day for each 100 l (common practice)")
            .without("without food a day above, ammonia and nitrate are dashes");
        plants: Uncertain<Plain> = row("nitrate that plants take (mg/l a day)").label("plants take").range(0.0, 2.0, "")
            .step(0.1).or(0.0).like("0.5").says("mg/l of nitrate a day").without("nothing");
        own_area: Option<Uncertain<Plain>> = row("the tank's own nitrifying surface (m2)").label("own surface")
            .range(0.0, 1_000.0, "").step(0.1).like("0.48")
            .says("m² of glass, sand and wood that nitrify as the filter does").without("worked out from the volume");
        hoses: Run = row("hoses to the tank and back").label("hoses").or_fields();
        water_change: Option<WaterChange> = row("water changes").label("water change")
            .without("no water is changed");
        aims: Aims = row("what the tank is to reach").label("aims").or_fields();
        budget: Option<f64> = row("price").label("budget").lead(4).range(0.0, 1_000_000.0, "").exact().step(10.0)
            .like("120.0").says("money to spend; the ranking marks costs by it")
            .without("costs are marked against each other");
        currency: String = row("the currency").label("currency").wording(Wording::Short(8)).or_nothing().like("EUR")
            .says("its short name, at most 8 letters").without("sums stand without a name");
        power_price: Option<Uncertain<Plain>> = row("price of a kilowatt hour").label("price of a kWh")
            .range(0.0, 1_000.0, "").exact().step(0.01).like("0.30").says("what a kilowatt hour costs")
            .without("the cost of the first year is a dash").measure(ways::BILL);
        hz: Option<Uncertain<Plain>> = row("mains frequency (hertz)").label("mains frequency").range(40.0, 70.0, "")
            .exact().step(10.0).like("50").says("hertz here: a synchronous pump follows it")
            .without("that of the pump's figures");
        cabinet: Option<Outside> = row("room for the filter").lead(3).label("cabinet")
            .without("whether it fits is a dash");
        on_hand: Vec<OnHand> = row("`on_hand`").label("media on hand").most(200).or_nothing()
            .like("[(\"foam-20\", l(2)), (\"lava-15\", l(1.5))]")
            .says("media you own, by id and volume: they cost nothing").without("none");
        requirements: Vec<Requirement> = row("`requirements`").label("requirements").was("musts").most(50).or_nothing()
            .like("[fits_cabinet(), at_least(\"turnover\", 3), at_most(\"first_year_cost\", 150)]")
            .says("what rules a build out: fits_cabinet(), at_least(\"measure\", figure), at_most(\"measure\", figure)")
            .without("nothing is ruled out");
        priorities: Vec<(String, f64)> = row("priority").label("priorities").step(0.5).was("weights")
            .range(0.0, 1_000.0, "").wording(Wording::Measure).or_nothing().always()
            .like("{\"filtered_flow\": 1.0, \"nitrate\": 0.5}")
            .says("how much each measure counts in the ranking").without("the usual seven");
        default: bool = row("`default`").label("taken first").like("true")
            .says("whether this tank is the one that the screens begin with, of those in the folder `tanks` beside the filters")
            .without("the first of them by file name is");
        standing: Option<String> = row("the build that runs on it").label("standing").wording(Wording::Name)
            .like("Tamsin 1100#restacked").says("filter and build, as `name#build`")
            .without("tests of the water tell nothing of a filter");
        tests: Vec<TestEntry> = row("`tests`").label("tests").most(super::log::MOST).or_nothing()
            .like("[Nitrate(on: \"2026-04-10\", reads: 50, since_change: day(6))]")
            .says("what tests of its water read, in order of time").without("none");
    }
}

impl Tank {
    /// What is fed, as far as it is known: food that was weighed wins over how the tank is stocked.
    pub fn feed(&self) -> Feed {
        let stock = self.stock.map_or(Feed::Unknown, Feed::Stock);
        self.food.daily.clone().map_or(stock, Feed::Daily)
    }
}

form! {
    Water "Water" "water" "Water(temperature: degc(25), ph: 7.4, tap_nitrate: 10.0)" {
        temperature: Uncertain<Temperature> = row("water temperature").label("temperature").range(1.0, 40.0, "degc")
            .step(1.0).or_assumed(A::NoTankTemperature).like("degc(25)")
            .says("bacteria, oxygen and the water's thickness follow it").without("25 °C").measure("thermometer");
        ph: Option<Uncertain<Plain>> = row("pH").range(3.0, 11.0, "").step(0.1).like("7.4")
            .says("bacteria slow down in acid water").without("they are not slowed for it")
            .measure("drop test or meter, by day");
        tap_nitrate: Uncertain<Plain> = row("nitrate of the tap water (mg/l)").label("nitrate of tap water")
            .range(0.0, 500.0, "").step(1.0).or(0.0).like("10.0").says("mg/l as NO3 in the water you change with")
            .without("0 mg/l").measure("drop test, or the water works' figures");
        salt: bool = row("sea water").lead(6).always().like("false")
            .says("sea water is computed as fresh water, and says so").without("fresh water");
    }
}

form! {
    /// What is fed, where the food is weighed.
    Food "Feed" "a feed" "Feed(daily: g_day(3.5), protein: 0.42)" {
        daily: Option<Uncertain<DailyMass>> = row("daily feed").label("food a day").key("feed").range(0.0, 2_000.0, "g_day").step(0.5)
            .like("g_day(3.5)").says("dry food, weighed; it wins over the stocking below")
            .without("the stocking below tells it").measure("kitchen scales: the tin over a week, divided by seven");
        protein: Uncertain<Plain> = row("protein share").label("protein of the food").range(0.02, 0.95, "").step(0.01)
            .or_assumed(A::FeedProtein).like("0.42").says("share, 0 to 1, as printed on the tin").without("0.42")
            .measure("printed on the tin");
    }
}

/// What is fed, as far as it is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Feed {
    /// Dry food a day.
    Daily(Uncertain<DailyMass>),
    /// Known only by how it is stocked.
    Stock(Stock),
    Unknown,
}

choice! {
    #[derive(Copy, Eq)]
    Stock "a stocking" "normal", {
        Light "light" "light",
        Normal "normal" "normal",
        Heavy "heavy" "heavy",
    }
}
choice_field!(Stock);

form! {
    Run "Run" "a run of hose" "Run(intake: m(1.3), return: m(1.5), bends: 2)" {
        intake: Uncertain<Length> = row("length of a hose").label("intake hose").was("suction")
            .range(0.1, 20.0, "m").length().step(0.1).or_assumed(A::RunLength).like("m(1.3)")
            .says("from the tank down to the filter").without("1.5 m").measure("tape along the hose");
        return_side: Uncertain<Length> = row("length of a hose").label("return hose").file("return").was("delivery")
            .range(0.1, 20.0, "m").length().step(0.1).or_assumed(A::RunLength).like("m(1.5)")
            .says("from the filter up to the tank").without("1.5 m").measure("tape along the hose");
        bends: Uncertain<Plain> = row("number of bends").label("bends in each").range(0.0, 20.0, "").exact().step(1.0)
            .or_assumed(A::RunBends).like("2").says("bends of each hose, as it lies").without("2");
        outlet_above_water: Uncertain<Length> = row("height of the outlet above the water").label("outlet above water")
            .range(0.0, 300.0, "cm").length().step(1.0).or(0.0).like("cm(2)")
            .says("an outlet held above the surface costs head").without("0: it is under water").measure("ruler");
    }
}

form! {
    WaterChange "WaterChange" "a water change" "(share: 0.25, every: day(7))" {
        share: Uncertain<Plain> = row("share of a water change").label("share changed").range(0.01, 1.0, "").step(0.05)
            .like("0.25").says("share of the water, 0 to 1, at each water change")
            .without("with how often: no water is changed").measure("count the buckets");
        every: Uncertain<Time> = row("time between water changes").label("how often").range(0.2, 365.0, "day").step(1.0)
            .like("day(7)").says("time between water changes").without("with the share: no water is changed")
            .measure("count the days from one water change to the next");
    }
}

form! {
    /// What the tank is to reach.
    Aims "Aims" "aims" "Aims(turnover: 4.0, nitrate: 25.0, open_no_more_than_every: week(6))" {
        turnover: f64 = row("aim for the turnover (volumes an hour)").label("turnover aimed for").range(0.1, 50.0, "")
            .exact().step(0.5).or(4.0).like("4.0").says("tank volumes an hour, delivered").without("4");
        nitrate: f64 = row("aim for nitrate (mg/l)").label("nitrate aimed for").range(0.1, 1_000.0, "").exact()
            .step(5.0).or(25.0).like("25.0").says("mg/l as NO3, just before a water change").without("25 mg/l");
        /// Days.
        open_no_more_than_every: f64 = row("aim for the time between openings").lead(5).label("open at most every")
            .range(1.0, 730.0, "day").exact().step(1.0).or(42.0).like("week(6)")
            .says("how rarely you want to open the filter").without("6 weeks");
    }
}

impl Default for Aims {
    fn default() -> Self {
        Self { turnover: 4.0, nitrate: 25.0, open_no_more_than_every: 42.0 }
    }
}

form! {
    OnHand "OnHand" "a medium on hand" "(\"foam-20\", l(2))" by place {
        medium: String = row("the id of a medium").label("medium").wording(Wording::Medium).like("\"foam-20\"")
            .says("which medium");
        volume: Uncertain<Volume> = row("volume on hand").label("volume").keyless().range(0.0, 1_000.0, "l").like("l(2)")
            .says("how much of it").measure("a measuring jug");
    }
}

choice! {
    /// What rules a build out. The measure is a key of the catalogue.
    Requirement "a requirement" "at_least(\"turnover\", 3)", {
        FitsCabinet "fits_cabinet" "fits the cabinet" (named) { },
        AtLeast "at_least" "at least" (place) {
            measure: String = row("the key of a measure").label("measure").wording(Wording::Measure).like("\"turnover\"");
            limit: f64 = row("limit of a requirement").label("limit").range(0.0, 1_000_000.0, "").exact().like("3");
        },
        AtMost "at_most" "at most" (place) {
            measure: String = row("the key of a measure").label("measure").wording(Wording::Measure).like("\"turnover\"");
            limit: f64 = row("limit of a requirement").label("limit").range(0.0, 1_000_000.0, "").exact().like("3");
        },
    }
}
choice_field!(Requirement);

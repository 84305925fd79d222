//! The words of every step of a derivation: the equation in letters, the same with this build's quantities, and what
//! comes out. `{}` stands for the step's next quantity.

use super::notes::remedy;
use super::values::value;
use crate::assess::Trace;
use crate::assess::trace::{Eq, Step};
use crate::report::figures::{DASH, Units};

#[derive(Clone, Debug, PartialEq)]
pub struct Worded {
    /// `turnover = flow / water in the tank`.
    pub formula: String,
    /// `670 l/h / 180 l`; may be empty.
    pub numbers: String,
    /// `3.72 1/h`; may be empty.
    pub result: String,
}

pub fn steps(trace: &Trace, units: Units) -> Vec<Worded> {
    let untold = trace.untold.map(|(measure, why)| {
        let dash = |formula: &str, numbers: String, result: &str| Worded {
            formula: formula.to_owned(),
            numbers,
            result: result.to_owned(),
        };
        [
            dash(measure.key(), format!("cannot be told: {}", why.words()), DASH),
            dash("to tell it", remedy(why).to_owned(), ""),
        ]
    });
    untold.into_iter().flatten().chain(trace.steps.iter().map(|s| step(s, &trace.currency, units))).collect()
}

pub fn step(step: &Step, currency: &str, units: Units) -> Worded {
    let mut parts = step.parts.iter();
    let mut fill = |template: &str| {
        let mut out = String::new();
        for (i, words) in template.split("{}").enumerate() {
            if i > 0
                && let Some(part) = parts.next()
            {
                out += &value(part, currency, units);
            }
            out += words;
        }
        out.trim().to_owned()
    };
    let (formula, numbers, result) = templates(step.eq);
    Worded { formula: fill(formula), numbers: fill(numbers), result: fill(result) }
}

type Templates = (&'static str, &'static str, &'static str);

macro_rules! templates {
    ($($($eq:ident)|+ $formula:literal, $numbers:literal, $result:literal;)+) => {
        pub fn templates(eq: Eq) -> Templates {
            match eq { $($(Eq::$eq)|+ => ($formula, $numbers, $result),)+ }
        }
    };
}

templates! {
    // Water.
    Speed "speed = {} × mains here / mains of its figures", "{} × {}", "{}";
    PrintedEnds "printed head = H0 (1 − (Q/(speed Q0))^n)", "{} × (1 − ({} / ({} × {}))^{})", "{}";
    PrintedPoints "printed head at Q/speed, on a smooth falling curve through the points", "{} points, at {} / {}", "{}";
    EmptyLoss "empty vessel's own loss, which the printed head has inside", "pipe, grids, seals and joints without media, at {}", "{}";
    HeadGiven "head given = speed² × (printed head + empty vessel)", "{}² × ({} + {})", "{}";
    HeadLost "head lost: {}", "{}", "{}, {}";
    Cabinet "head lost: height of the cabinet", "both hose ends are under the same water, so how high the tank stands does not load the pump", "0";
    HeadTaken "head taken = sum of the parts", "{}", "{}";
    Flow "flow: where head given = head taken", "{} = {}", "{}";
    FlowSeen "flow: where head given = head taken (see `flow`)", "the pump gives {}, most of it {} ({})", "{}";
    Stage "finest mechanical stage", "bypass is what no layer of it stops", "{}";
    Stopped "stopped by {}", "{} of the water through its media, {} of that untreated", "{}";
    Bypass "bypass = 1 − what the stage stops", "1 − ({})", "{}";
    Leak "leak: {}", "{}: {} pass, {} of it untreated", "{}";
    LeaksScaled "leaks scaled to what really reaches the pump untreated",
        "they carry {} of the pumped water; part of it meets the stage again or mixes on the way", "× {}";
    FilteredFlow "filtered flow = flow × (1 − bypass)", "{} × (1 − {})", "{}";
    Turnover "turnover = flow / water in the tank", "{} / {}", "{} 1/h";
    // Dirt.
    OnePass "one pass takes E = 1 − dirt at the pump / dirt at the inlet", "carried over the solved network, every leak counted", "{}";
    Clearing "clearing = flow × E / water in the tank", "{} × {} / {}", "{} 1/h";
    CaughtShare "caught = clearing / (clearing + settling on the bed)", "{} / ({} + {})", "{}";
    FlowDirty "flow when dirty: dirt in the media, slime in the hoses", "the network solved with both", "{}";
    FoodOf100 "food for 100 l, so stocked", "", "{} g a day";
    SuitsAmmonia "by ammonia: what the filter takes / what 100 l so fed make × 100 l", "the filter alone (see `ammonia_capacity`)", "{}";
    SuitsClearing "by clearing: flow × E / how often it is to be cleared", "once an hour at normal stocking, with the food, 0.5 to 2", "{}";
    SuitsUpTo "suits up to the lesser of the two", "{}", "{}";
    Solids "held back = dry food × (loose solids × share caught + growth in the filter), clean", "{} g a day × ({} × {} + {})", "{} g dry a day";
    Settled "settling space takes its share of what enters", "", "{} a pass";
    Caught "caught by {}: 1 − e^(−λ L (u/u0)^−m) a pass", "λ {} 1/m, L {}, u {}, u0 {}", "{} of what crosses it";
    Deposit "deposit: what is caught less what decays, dM/dt = s − k M", "{}, {} g dry by then, k {} a day, {} g in a ml of sludge", "{} of sludge";
    ClearingMark "open when clearing (flow × what one pass takes) falls below its share of clean", "mark: {} × {} = {}", "{} then";
    FlowMark "or when flow does", "mark: {} × {} = {}", "{} then";
    VoidsMark "or when a layer's voids are so far full", "mark: {}", "fullest {} then";
    Leaky "most water passes it from the first day", "clean bypass: a leak keeps media clean, it does not clean the water", "{}";
    Trust "how far to trust it", "deposit laws are simplified and λ is good to a factor of two: the spread is wide", "look in early";
    Interval "opening interval = the first of them", "{}", "{}";
    ByCalendar "opening interval = the first of them", "nothing in 26 weeks: open it by the calendar", "> {}";
    Late "late = the day before it is to be opened (see `opening_interval`)", "opening interval {}", "day {}";
    LateHorizon "late = day 182: nothing says open it in 26 weeks (see `opening_interval`)", "opening interval {}", "day {}";
    FlowThen "flow then, the network solved with dirt in the media and slime in the hoses", "clean {}; fullest voids {}", "{}";
    FilteredThen "filtered flow when dirty = flow then × (1 − bypass then)", "{} × (1 − {})", "{}";
    LeakThen "leak then: {}", "{}; clean {}", "{}";
    BypassThen "bypass when dirty = the most of it until it is opened", "clean {}, the day before {}", "{}";
    WorstBypass "greatest bypass until it is opened, everything at its nominal value", "", "{}";
    Chance "chance = simulated cases whose greatest bypass passes 25 % / all of them",
        "counted over the simulated cases (`--samples`); every gap and foam factor is drawn anew in each", "see the figure above";
    // Life.
    Tan "ammonia nitrogen made = dry food × protein × N per protein", "{} g × {} × {}", "{} g N a day";
    OxygenIn "oxygen entering = share of saturation (Benson & Krause)", "{} × {} mg/l at {} °C", "{} mg/l";
    ToldAt "told at S*: what a kit can tell, or the guide for NH3 over its share, the lesser", "{} mg/l, {} mg/l of NH3-N", "{} mg/l";
    WithTank "with the tank = filter + what the tank's own surfaces take", "{} + {}", "{}";
    NitrateOff "may take off = peak without that − peak with it, very doubtful", "{} mg/l − {} mg/l", "{} mg/l as NO3";
    SurfaceSpeed "a surface's speed k1 = rmax θ^(t−20) fDO / (Ks + S*)", "{} × {}^({} − 20) × {} / ({} + {})", "{} m a day";
    NoSurface "{}: surface for bacteria", "none counted", "0 m2";
    Surface "{}: surface for bacteria A", "{} × {}{}", "{} m2";
    Takes "takes q S (1 − e^(−k1 A/q))", "{} through it at {} mg/l, k1 A/q {}", "{} g N a day";
    Removal "removal at S* = sum of the layers", "{}", "{} g N a day";
    Steady "steady ammonia nitrogen in the tank: where removal = what is made",
        "media alone, ripe; plants and the tank's own surfaces come on top", "{} mg/l, {}";
    SteadyNever "steady ammonia nitrogen in the tank: where removal = what is made",
        "these media alone never take so much, at any concentration", "it builds up: test the water";
    NoPh "un-ionised (NH3) part of it", "give the tank's water its `ph`", "–";
    UnIonised "un-ionised (NH3) share = 1/(1 + 10^(pKa − pH)), fresh water", "pH {}, {} °C", "{}, so {} mg/l NH3-N";
    Capacity "ammonia capacity = removal at S* / ammonia nitrogen made", "{} g / {} g", "{}";
    Nitrogen "nitrogen load N = dry food × protein × N that ends as nitrate", "{} g × {} × {}", "{} g N a day";
    OxygenUse "oxygen used in the box = 4.57 N + B F", "{} × {} g + {} × {} g", "{} g a day";
    OxygenDrop "drop in one pass = use / flow", "{} g a day / {}", "{} mg/l";
    PumpStops "if the pump stops: hours to 2 mg/l = water inside × (DO − 2) / B F", "{} l × ({} − {}) mg/l / {} g a day", "{} h";
    OxygenOut "oxygen out = oxygen entering − drop", "{} mg/l − {} mg/l", "{} mg/l";
    NoGrains "nitrate that grains could take", "no open-pored grains in it", "0 g N a day";
    Respiration "respiration inside grains f = min(0.5, 0.75 Ap/(Ap + Ao)) × min(1, ammonia capacity)",
        "Ap {} m2 of open-pored grains, Ao {} m2 of the rest, capacity {}", "{}";
    Airless "airless share of it, from how deep oxygen reaches into a grain", "{} l of grain using {} g O2 a litre a day", "{}";
    Potential "nitrate that grains could take = airless share × f × B F × 0.7/2.86", "{} × {} × {} g", "{} g N a day, very doubtful";
    Denitrified "denitrified = what grains could take × S/(1 + S), S the mean as N", "{} g N × {}", "{} g N a day, {} of the load";
    NetProduction "net production p = N × 4.4268 / water in the tank − plants", "{} g × {} / {} l − {} mg/l", "{} mg/l NO3 a day";
    NitratePeak "peak = tap + p T/w, not below 0, the same whichever filter", "{} mg/l + {} × {} / {}", "{} mg/l as NO3";
    Porous "porous biological media: {}", "{} × {}", "{}";
    NoPorous "porous biological media", "none in this build", "0";
    PerKilogram "tank a kilogram carries: common practice, no source", "{}", "{}";
    NoEstimate "what the estimate says of it", "a tank with its feed is needed; physics does not confirm that such media remove all nitrate", "–";
    EstimateNitrate "the estimate, for nitrate: denitrified / nitrogen load",
        "{} g / {} g N a day; physics does not confirm that such media remove all nitrate", "{}";
    EstimateAmmonia "the estimate, for ammonia: capacity of the whole build (see `ammonia_capacity`)", "{}", "{} times";
    RuleOfThumb "rule-of-thumb tank = porous mass × tank a kilogram carries", "{} × {} (common practice, no source)", "{}";
    // Room.
    Room "{}: area × height", "{} × {}{}", "{}";
    TraySpace "tray space = floor + trays", "{}", "{}";
    Layer "{}: area × height it stands", "{} × {}", "{}";
    Media | MediaSum "media = sum of the layers", "{}", "{}";
    BioMedia "biological media = sum of such layers", "{}", "{}";
    OutsideBox "outside box", "{} × {} × {}", "{}";
    MediaShare "media share = media / outside box", "{} / {}", "{}";
    Meets "the water meets", "{}", "";
    OrderFault "{} at {}", "{}", "1 fault";
    OrderFaults "faults = rules of order broken, place by place: common practice, no source", "", "{}";
    DryMedia "dry media: {}", "{} × {}", "{}";
    Inside "inside = floor and trays + head space + pipe", "{} + {} + {}", "{}";
    WaterInside "water = inside − solid matter of the media; open pores fill with water", "{} − {}", "{}";
    FullWeight "full weight = vessel + dry media + water × density", "{} + {} + {} × {}", "{}";
    Straight "as it stands: width and depth within the cabinet's", "{} by {} in {} by {}", "{}";
    Turned "turned: width and depth within the cabinet's", "{} by {} in {} by {}", "{}";
    Height "height + room for the hose bends above the ports", "{} + {} × {} = {} in {}", "{}";
    Fits "fits = one way round, and in height", "({} or {}) and {}", "{}";
    // Lamp, power and money.
    Caution "before you look", "{}", "";
    LampAge "age = 1 − wear × hours / rated hours, at least the floor", "1 − {} × {} / {}", "{}";
    LightPath "light path d = (chamber − sleeve) / 2", "({} − {}) / 2", "{}";
    Absorbed "the water takes a = −ln(UVT/100)", "−ln({}/100)", "{} per cm";
    Kills "kills a day over repeated passes = (Q/V)(1 − 10^(−D/D10)): a fast flow does not undo UV in a loop",
        "{} / {}, small soft algae, D10 {} mJ/cm2", "{} times what floats";
    DoseFor "dose for {}", "{} mJ/cm2; {}; {}", "{}";
    Dose "dose = mixing × P × eff × sleeve × age × (1 − e^(−a d)) / (a Q)", "{} × {} W × {} × {} × {} × {} cm / {}", "{} mJ/cm2";
    PumpAtMains "pump × (mains here / mains of its figures)³, an upper end", "{} W × {}³", "{} W";
    DeadLamp "lamp", "it does not work, so it draws nothing", "0 W";
    Watts "watts = pump + working lamp", "{} + {}", "{} W";
    Power "power", "running day and night", "{} W";
    ToFix "to fix", "{}", "{}";
    ComesWithIt "media: {}", "comes with the unit", "{}";
    OnHand "media: {}", "{} needed, {} on hand", "{}";
    NoPrice "media: {}", "{} to buy, price not known", "–";
    MediaCost "media: {}", "({} needed − {} on hand) × {}", "{}";
    RepairCost "repair cost = repairs + media to buy", "{}", "{}";
    Asking "asking price", "", "{}";
    PowerCost "power = W × 8.766 kWh a year × price", "{} W × {} × {}", "{}";
    WearUnknown "wear: {}", "it wears out, price not known", "–";
    Wear "wear: {} = volume × price × year/life", "{} × {} / {} years", "{}";
    LampPriceUnknown "wear: lamp", "price not known", "–";
    LampWear "wear: lamp = price × 8766 h / rated hours", "{} × {} / {}", "{}";
    FirstYear "first year = asking + repairs + power + wear", "{}", "{}";
}

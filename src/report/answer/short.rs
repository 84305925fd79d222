//! The short reply: pick, figures, against the next, catch, to do, before paying, and what always stands.

use super::super::wording::sentence;
use super::super::{Page, Run, figures};
use super::catch::{Catch, HALF, catch, catch_of, litres};
use super::{Case, One, check, say, to_do};
use crate::assumptions::A;
use crate::compare::Call;
use crate::compare::better::of_builds;
use crate::measures::{Measure, Outcome};
use crate::model::tank::Stock;
use crate::model::{Feed, Lamp};
use crate::order::InOrder;

/// Most words of a short reply.
pub const MOST: usize = 120;
/// Chance of the first place from which one is simply taken, and from which it is probably taken.
const TAKEN: f64 = 0.9;
const PROBABLY: f64 = 0.6;

/// How much has been left out for want of room; each step leaves out what the ones before did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    All,
    NoFigures,
    NoSum,
    /// One figure beside clearing.
    OneFigure,
    NoNext,
    NoCheck,
    /// Clearing alone of the figures.
    Least,
}

/// The last stage at which a reply is cut.
const ROOMS: [Room; 7] =
    [Room::All, Room::NoFigures, Room::NoSum, Room::OneFigure, Room::NoNext, Room::NoCheck, Room::Least];

pub fn page(case: &Case<'_>) -> Page {
    let brief = Case { name: 4, ..case.clone() };
    let least = std::iter::once_with(|| reply(&brief, Room::Least));
    let written = ROOMS.iter().map(|room| reply(case, *room)).chain(least);
    let fits = |runs: &Vec<Run>| say::of(&Run::plain(runs)) <= MOST;
    let mut shortest = Vec::new();
    let mut page = Page::default();
    for runs in written {
        if fits(&runs) {
            page.said(runs);
            return page;
        }
        shortest = runs;
    }
    page.said(shortest);
    page
}

fn reply(case: &Case<'_>, room: Room) -> Vec<Run> {
    let mut out = pick(case, room);
    let Some(chosen) = chosen(case) else { return out };
    if chosen.number(Measure::Flow).is_none() {
        out.push(Run::plain_text(" Time a bucket at its hose end, media out, and it can be judged."));
        return out;
    }
    let mut said = vec![catch(case, &chosen)];
    if room < Room::NoSum {
        said.extend(to_do::sum(case, &chosen));
    }
    if room < Room::NoCheck
        && let Some(first) = check::before(case).first()
    {
        // Of the unit before paying; of the tank at once.
        let of_tank =
            ["weigh", "say", "look at the electricity"].into_iter().any(|verb| first.starts_with(verb));
        let start = match (chosen.second_hand() && !of_tank, first.starts_with(check::CUT)) {
            (_, true) => "When packing,",
            (true, false) => "Before paying,",
            (false, false) => "First",
        };
        said.push(format!("{start} {first}."));
    }
    said.push(fixed(case, &chosen));
    said.retain(|text| !text.is_empty());
    out.push(Run::plain_text(format!(" {}", said.join(" "))));
    out
}

/// `For 180 l and 3.5 g of food a day`.
pub fn lead(case: &Case<'_>) -> String {
    let (tank, units) = (case.answer.tank, case.answer.units);
    let volume = tank.volume.as_ref().map(|v| figures::volume(v.si() * 1e3, units));
    let volume = volume.unwrap_or_else(|| "a tank of untold volume".to_owned());
    match tank.feed() {
        Feed::Daily(food) => {
            let grams = super::super::sources::plain((food.si() * 10.0).round() / 10.0);
            format!("For {volume} and {grams} g of food a day")
        }
        Feed::Stock(Stock::Light) => format!("For {volume}, lightly stocked,"),
        Feed::Stock(Stock::Normal) => format!("For {volume}, normally stocked,"),
        Feed::Stock(Stock::Heavy) => format!("For {volume}, heavily stocked,"),
        Feed::Unknown => format!("For {volume}"),
    }
}

/// None of them surely does: each misses what is asked, or is more likely too small than not.
pub fn none_does(case: &Case<'_>) -> bool {
    let volume = litres(case);
    let small = |one: &One<'_>| volume.is_some_and(|volume| one.too_small(volume) >= HALF);
    case.listed.iter().all(|one| one.missed().is_some() || small(one))
}

/// The two (or more) between which nothing decides; empty where the first stands out.
fn level<'c, 'a>(case: &'c Case<'a>) -> Vec<&'c One<'a>> {
    let [first, second, ..] = case.listed.as_slice() else { return Vec::new() };
    let equal = |other: &One<'_>| case.answer.standing.about_equal(first.at, other.at);
    let unsure = case.simulated() && case.first(first) < PROBABLY;
    if equal(second) || unsure { vec![first, second] } else { Vec::new() }
}

fn call(case: &Case<'_>, first: &One<'_>, second: &One<'_>, measure: Measure) -> Option<Call> {
    let aim = (measure == Measure::Turnover).then_some(case.answer.tank.aims.turnover);
    Some(of_builds(first.row, second.row, measure, aim)?.call)
}

/// Measures that never decide a sentence: told elsewhere, the same for all, or no figure a keeper feels.
const NEVER: [Measure; 9] = [
    Measure::Clearing,
    Measure::SuitsUpTo,
    Measure::RuleOfThumbTank,
    Measure::Nitrate,
    Measure::NitrateOff,
    Measure::OrderFaults,
    Measure::FitsCabinet,
    Measure::AskingPrice,
    Measure::RepairCost,
];

/// The measures that decide between the one taken and the next, most telling first, at most two.
fn deciding(case: &Case<'_>, one: &One<'_>, other: Option<&One<'_>>) -> Vec<Measure> {
    let told = match catch_of(case, one) {
        Catch::Missed(met, _) => Some(met.limit.measure),
        Catch::Bypass(_) => Some(Measure::BypassChance),
        Catch::Suits(..) | Catch::Unsure(_) | Catch::None => None,
    };
    let mut lead = other.and_then(|o| case.answer.standing.lead(one.at, o.at)).unwrap_or_default();
    lead.order_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let usual = [Measure::OpeningInterval, Measure::FirstYearCost, Measure::AmmoniaCapacity];
    let all = lead.into_iter().filter(|(_, share)| share.abs() > 0.0).map(|(measure, _)| measure);
    let mut chosen: Vec<Measure> = Vec::new();
    for measure in all.chain(usual) {
        let known = matches!(one.row.outcome(measure), Outcome::Value(_));
        if known && !NEVER.contains(&measure) && told != Some(measure) && !chosen.contains(&measure) {
            chosen.push(measure);
        }
    }
    chosen.truncate(2);
    chosen
}

/// Clearing, or the flow where it cannot be told.
fn leading(one: &One<'_>) -> Measure {
    if one.number(Measure::Clearing).is_some() { Measure::Clearing } else { Measure::Flow }
}
pub fn chosen<'a>(case: &Case<'a>) -> Option<One<'a>> {
    let first = case.listed.first().copied();
    let level = level(case);
    let [a, b] = level.as_slice() else { return first };
    if none_does(case) {
        return first;
    }
    match parting(case, a, b) {
        Some((_, Call::Better)) => Some(**b),
        _ => first,
    }
}

/// The measure that parts two level ones, money first, and how the second stands in it.
fn parting(case: &Case<'_>, a: &One<'_>, b: &One<'_>) -> Option<(Measure, Call)> {
    let mut lead = case.answer.standing.lead(a.at, b.at).unwrap_or_default();
    lead.order_by(|x, y| y.1.abs().total_cmp(&x.1.abs()));
    let never = |measure: &Measure| !NEVER.contains(measure);
    let all = lead.into_iter().map(|(measure, _)| measure).filter(never);
    let money = [Measure::FirstYearCost];
    // One that misses what is asked is no way out of a tie.
    let fair = a.missed().is_some() == b.missed().is_some();
    if !fair {
        return None;
    }
    money.into_iter().chain(all).find_map(|measure| {
        let call = call(case, a, b, measure)?;
        matches!(call, Call::Better | Call::Worse).then_some((measure, call))
    })
}

/// Pick, figures, and the next one: the first three slots.
pub fn pick(case: &Case<'_>, room: Room) -> Vec<Run> {
    let Some(first) = case.listed.first() else {
        return vec![Run::plain_text("There is nothing to choose from.")];
    };
    let lead = lead(case);
    let bold = |one: &One<'_>| Run::strong_text(case.in_full(one));
    let the = |one: &One<'_>| if case.the(one) == case.called(one) { "" } else { "the " };
    let plain = |text: String| Run::plain_text(text);
    if first.number(Measure::Flow).is_none() {
        let Outcome::Missing(why) = first.row.outcome(Measure::Flow) else { return Vec::new() };
        let told = format!(": {}.", why.words());
        return vec![
            plain(format!("Nothing useful can be said of {}", the(first))),
            bold(first),
            plain(told),
        ];
    }
    if none_does(case) {
        let n = case.answer.candidates.len();
        let (start, end) = if n == 1 {
            (format!("{lead} {}", the(first)), " does not surely do. It ".to_owned())
        } else {
            let none = if n == 2 {
                "neither of the two".to_owned()
            } else {
                format!("none of these {}", say::count(n))
            };
            (format!("{lead} {none} surely does. Closest is {}", the(first)), ": it ".to_owned())
        };
        let ranked = case.answer.standing.order().into_iter().next();
        let ranked = ranked.and_then(|at| case.listed.iter().find(|one| one.at == at));
        // A ranking goes by priorities, this by what is asked.
        let ahead = ranked.filter(|one| one.at != first.at && case.simulated() && room < Room::NoCheck);
        let ahead = ahead.map(|one| {
            let often = say::cases(case.first(one));
            plain(format!(" By your priorities alone {} comes first, in {often}.", case.the(one)))
        });
        return [
            vec![plain(start), bold(first)],
            figures_of(case, first, &end, room),
            ahead.into_iter().collect(),
        ]
        .concat();
    }
    if let [a, b] = level(case).as_slice() {
        return between(case, a, b, &lead);
    }
    let chance = case.first(first);
    let n = case.listed.len();
    let (start, end) = match n {
        1 if case.answer.candidates.len() == 1 => (format!("{lead} the only one to judge is "), ". It "),
        1 => (format!("{lead} only one is left: "), ". It "),
        _ if !case.simulated() => (format!("{lead} on paper I'd take "), ". It "),
        _ if chance >= TAKEN => (format!("{lead} I'd take "), "first"),
        _ => (format!("{lead} I'd probably take "), "first"),
    };
    let end = if end == "first" {
        format!(", first in {:.0} of 100 simulated cases. It ", (chance * 100.0).round().min(99.0))
    } else {
        end.to_owned()
    };
    let start = format!("{start}{}", the(first));
    [vec![plain(start), bold(first)], figures_of(case, first, &end, room)].concat()
}

/// The figures of the one, and the next against it in the same measures.
fn figures_of(case: &Case<'_>, one: &One<'_>, start: &str, room: Room) -> Vec<Run> {
    let next = case.listed.iter().find(|other| other.at != one.at);
    let mut measures = vec![leading(one)];
    let beside = match room {
        Room::All | Room::NoFigures | Room::NoSum => 2,
        Room::OneFigure | Room::NoNext | Room::NoCheck => 1,
        Room::Least => 0,
    };
    measures.extend(deciding(case, one, next).into_iter().take(beside));
    let does: Vec<String> = measures.iter().filter_map(|measure| say::does(case, one, *measure)).collect();
    let against = match next {
        Some(next) if room < Room::NoNext => against(case, one, next, &measures, room),
        _ => String::new(),
    };
    vec![Run::plain_text(format!("{start}{}{against}.", say::list(&does)))]
}

/// `; the Tamsin 1100 costs 180 EUR and can't be told from it in clearing`.
fn against(case: &Case<'_>, one: &One<'_>, next: &One<'_>, measures: &[Measure], room: Room) -> String {
    let (mut alike, mut differs, mut ahead, mut behind) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for measure in measures {
        let noun = say::noun(*measure).to_owned();
        match call(case, one, next, *measure) {
            Some(Call::Same | Call::Unsure) => alike.push(noun),
            Some(Call::Better) => {
                ahead.push(noun);
                differs.extend(say::does(case, next, *measure));
            }
            Some(Call::Worse) => {
                behind.push(noun);
                differs.extend(say::does(case, next, *measure));
            }
            None => {}
        }
    }
    let mut said = if room >= Room::NoFigures {
        let mut said = Vec::new();
        if !ahead.is_empty() {
            said.push(format!("is ahead in {}", say::list(&ahead)));
        }
        if !behind.is_empty() {
            let verb = if ahead.is_empty() { "is behind" } else { "behind" };
            said.push(format!("{verb} in {}", say::list(&behind)));
        }
        said
    } else {
        differs
    };
    if !alike.is_empty() {
        said.push(format!("can't be told from it in {}", say::list(&alike)));
    }
    let missed =
        if next.missed().is_some() && one.missed().is_none() { " and misses what you asked" } else { "" };
    if said.is_empty() {
        return String::new();
    }
    format!("; {} {}{missed}", case.the(next), say::list(&said))
}

/// Two between which the chances do not decide.
fn between(case: &Case<'_>, a: &One<'_>, b: &One<'_>, lead: &str) -> Vec<Run> {
    let start = format!("{lead} it is between {} and {}", case.the(a), case.the(b));
    let mut out = Vec::new();
    if let Some((measure, call)) = parting(case, a, b) {
        let (take, leave) = if call == Call::Better { (b, a) } else { (a, b) };
        let on = if measure == Measure::FirstYearCost { "money" } else { say::noun(measure) };
        out.push(Run::plain_text(format!("{start}; on {on} I'd take the ")));
        out.push(Run::strong_text(case.in_full(take)));
        let figures = say::does(case, take, measure).zip(say::figure(case, leave, measure));
        let figures =
            figures.map_or_else(String::new, |(takes, leaves)| format!(", which {takes}, against {leaves}"));
        out.push(Run::plain_text(format!("{figures}.")));
    } else {
        out.push(Run::plain_text(format!("{start}: no figure parts them; by a hair the ")));
        out.push(Run::strong_text(case.in_full(a)));
        out.push(Run::plain_text("."));
    }
    let take = chosen(case).unwrap_or(*a);
    let leave = if take.at == a.at { b } else { a };
    let measure = leading(&take);
    if let (Some(own), Some(other)) = (say::figure(case, &take, measure), say::figure(case, leave, measure)) {
        let unit = if measure == Measure::Clearing { " times an hour" } else { "" };
        let said = match call(case, &take, leave, measure) {
            Some(Call::Better) => {
                format!(" The other frees the water of dirt oftener: {other} against {own}{unit}.")
            }
            Some(Call::Worse) => format!(" It frees the water of dirt oftener: {own} against {other}{unit}."),
            // That nothing parts them stands there already.
            _ if parting(case, a, b).is_none() => {
                format!(" {}: {own} and {other}{unit}.", sentence(say::noun(measure)))
            }
            _ => format!(" {} can't part them: {own} and {other}{unit}.", sentence(say::noun(measure))),
        };
        out.push(Run::plain_text(said));
    }
    out
}

/// How known, and the cautions that apply.
pub fn fixed(case: &Case<'_>, one: &One<'_>) -> String {
    let known = check::known(one);
    let assumed = check::assumed(case);
    let mut said = format!("Estimates, {known}");
    if !assumed.is_empty() {
        said.push_str(&format!(", {assumed}"));
    }
    said.push_str("; unplug before opening");
    if one.filter.uv.is_some() {
        said.push_str(match one.lamp() {
            Some(Lamp::BurntOut) => "; the dead lamp holds mercury",
            Some(Lamp::Absent) => "",
            _ => "; never look at a lit lamp",
        });
    }
    if let Some(mass) = one.number(Measure::FullWeight).filter(|mass| *mass > A::LiftForTwo.value()) {
        said.push_str(&format!(
            "; full it weighs {}: lift with help",
            figures::mass(mass.round(), case.answer.units).replace(".0 ", " ")
        ));
    }
    said.push('.');
    if let Some(unsolved) = one.row.unsolved_of_100() {
        said.push_str(&format!(" {unsolved:.0} of 100 cases could not be worked out."));
    }
    said
}

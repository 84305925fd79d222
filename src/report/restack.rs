//! Proposed stacks as a page: along the water, figures before and after, what is gained and given up, what to
//! buy, and what to mind.

use std::sync::Arc;

use super::figures::{self, Units};
use super::ranking::of_100;
use super::wording::{self, requirement};
use super::{Cell, Column, Page, Table, spans};
use crate::assess::Assessment;
use crate::assumptions::A;
use crate::compare::Limit;
use crate::compare::align::{self, Step};
use crate::measures::Measure;
use crate::model::{Filter, Medium, Role, Tank, Way};
use crate::propose::shopping::{Item, Shopping};
use crate::propose::{Change, Proposal};
use crate::uncertainty::Uncertain;

/// Figures always shown, whether they change or not.
const SHOWN: [Measure; 11] = [
    Measure::FilteredFlow,
    Measure::Flow,
    Measure::Bypass,
    Measure::BypassDirty,
    Measure::OpeningInterval,
    Measure::AmmoniaCapacity,
    Measure::Nitrate,
    Measure::BioMedia,
    Measure::RepairCost,
    Measure::FirstYearCost,
    Measure::FullWeight,
];

/// What is told beside the proposals themselves.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// `Tamsin 1100 · as bought`.
    pub title: &'a str,
    pub filter: &'a Filter,
    pub tank: &'a Tank,
    pub before: &'a Assessment,
    /// Draws behind the order.
    pub samples: usize,
    pub units: Units,
}

pub fn page(told: Told<'_>, proposals: &[Proposal]) -> Page {
    let mut page = Page::default();
    let way = if told.filter.way == Way::Rising { "rises" } else { "falls" };
    page.heading(format!("{}, restacked for {}", told.title, told.tank.name));
    let by = match told.samples {
        0 => "by their nominal figures".to_owned(),
        n => format!("by their mean score over {n} simulated cases"),
    };
    page.paragraph(format!(
        "The water {way} through the trays; layers stand in the order it meets them. Scores are the tank's weighted measures on a line from 0 to 1; the best stacks are put in order {by}, less 0.02 a layer to handle."
    ));
    if let Some(first) = proposals.first() {
        page.list(dropped(told, first));
    }
    for (i, proposal) in proposals.iter().enumerate() {
        one(&mut page, told, proposal, i + 1);
    }
    page.heading("Cautions");
    page.list(cautions(told, proposals));
    page
}

pub fn dropped(told: Told<'_>, first: &Proposal) -> Vec<String> {
    let units = told.units;
    let one = |limit: &Limit| {
        format!(
            "no stack was found that meets the requirement {}; the search went on without it",
            requirement(*limit, units)
        )
    };
    let part = "these trays hold too many stacks to try all: part of them was looked at";
    first.dropped.iter().map(one).chain(first.part.then(|| part.to_owned())).collect()
}

fn one(page: &mut Page, told: Told<'_>, proposal: &Proposal, number: usize) {
    page.heading(head(told, proposal, number));
    page.table(stack(told.filter, proposal));
    page.table(before_and_after(told, &proposal.judgement));
    page.list(words(told, proposal));
}

/// `1  proposed 1: score 0.83 (as it is 0.41); meets every requirement in 92 of 100 cases`.
pub fn head(told: Told<'_>, proposal: &Proposal, number: usize) -> String {
    let passes = proposal.passes.filter(|_| !told.tank.requirements.is_empty()).map(|share| {
        let rest = if proposal.dropped.is_empty() { "every requirement" } else { "every other requirement" };
        format!("; meets {rest} in {} of 100 cases", of_100(share))
    });
    format!(
        "{number}  {}: score {:.2} (as it is {:.2}){}",
        proposal.build.name,
        proposal.score,
        proposal.score_as_it_is,
        passes.unwrap_or_default()
    )
}

/// What it gains and gives up, what it does not meet, and what it asks to be bought.
pub fn words(told: Told<'_>, proposal: &Proposal) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(in_words("gains", &proposal.gains, told));
    lines.extend(in_words("gives up", &proposal.gives_up, told));
    lines.extend(
        proposal
            .unmet
            .iter()
            .map(|limit| format!("does not meet the requirement {}", requirement(*limit, told.units))),
    );
    lines.extend(no_biological(told, proposal));
    lines.extend(left_on_hand(told, proposal));
    lines.extend(shopping(&proposal.shopping, told));
    lines
}

/// A stack without biological media looks wrong to most people: what carries the tank then, and how to ask for some.
fn no_biological(told: Told<'_>, proposal: &Proposal) -> Option<String> {
    let margin = proposal.judgement.outcome(Measure::AmmoniaCapacity);
    if proposal.judgement.outcome(Measure::BioMedia).number() != Some(0.0) || margin.number().is_none() {
        return None;
    }
    Some(format!(
        "holds no biological media: the bacteria behind its ammonia margin of {} sit on pads that are rinsed, so rinse them by turns and in tank water",
        figures::show(Measure::AmmoniaCapacity, margin, told.units)
    ))
}

/// Fewer bacteria than the food asks for, while media for them lie in the cupboard.
fn left_on_hand(told: Told<'_>, proposal: &Proposal) -> Option<String> {
    let capacity = proposal.judgement.outcome(Measure::AmmoniaCapacity);
    let short = capacity.number().is_some_and(|times| times < 1.0);
    let used = |id: &str| proposal.shopping.items.iter().any(|item| item.medium.id == id);
    let library = crate::library::Library::shipped();
    let living = |id: &str| library.medium(id).is_none_or(|medium| medium.role == Role::Biological);
    let left: Vec<String> = told
        .tank
        .on_hand
        .iter()
        .filter(|held| short && living(&held.medium) && !used(&held.medium))
        .map(|held| format!("{} of {}", volume(held.volume.si(), told), held.medium))
        .collect();
    (!left.is_empty()).then(|| {
        format!(
            "turns over {} times this feeding's ammonia, less than is made, and leaves on hand: {}; lay some of it where bacteria matter more than pads",
            figures::show(Measure::AmmoniaCapacity, capacity, told.units),
            left.join(", ")
        )
    })
}

fn stack(filter: &Filter, proposal: &Proposal) -> Table {
    let mut one = filter.clone();
    one.builds = vec![proposal.build.clone()];
    let named = |step: &Step| {
        let layers = proposal.build.floor.iter().chain(proposal.build.trays.iter().flatten());
        layers.map(|l| &l.medium).find(|m| m.id == step.medium).map(|m| (m.role.letter(), m.name.clone()))
    };
    let mut last = String::new();
    let rows = align::along_the_water(&one, 0).into_iter().map(|step| {
        let place = if step.place == last { String::new() } else { step.place.clone() };
        last.clone_from(&step.place);
        match named(&step) {
            Some((letter, name)) => {
                // The name has a column of its own.
                let layer = step.says.strip_prefix(name.as_str()).unwrap_or(&step.says).trim_start();
                vec![place, letter.to_string(), name.clone(), layer.to_owned()]
            }
            None => vec![place, String::new(), "nothing".to_owned(), String::new()],
        }
    });
    Table::new(["place", "", "medium", "layer"].map(Column::words).to_vec(), rows)
}

fn before_and_after(told: Told<'_>, after: &Assessment) -> Table {
    let known = |m: &Measure| told.before.outcome(*m).number().or(after.outcome(*m).number()).is_some();
    let rows = SHOWN.into_iter().filter(known).map(|measure| {
        let (from, to) = (told.before.outcome(measure), after.outcome(measure));
        let difference = figures::difference(measure, from, to, told.units);
        let sign = spans::unit(measure, told.units, &told.tank.currency);
        let figure = |outcome| Cell::Figure(measure, outcome, None);
        vec![measure.row().head.into(), sign.into(), figure(from), figure(to), difference.into()]
    });
    let mut columns = vec![Column::words("measure"), Column::words("unit")];
    columns.extend(["as it is", "proposed", "difference"].map(|head| Column::figures(head, "")));
    Table { columns, rows: rows.collect(), ..Table::default() }
}

/// `gains: filtered flow 339 → 638 l/h; bypass 50 % → 4 %`.
fn in_words(what: &str, changes: &[Change], told: Told<'_>) -> Option<String> {
    let change = |c: &Change| {
        let sign = wording::sign(c.measure, &told.tank.currency, told.units);
        let sign = if sign.is_empty() { sign } else { format!(" {sign}") };
        let from = figures::show(c.measure, c.from, told.units);
        let to = figures::show(c.measure, c.to, told.units);
        // What rounds to the same is no change to a reader.
        (from != to).then(|| format!("{} {from} → {to}{sign}", c.measure.row().head))
    };
    let all: Vec<String> = changes.iter().filter_map(change).collect();
    (!all.is_empty()).then(|| format!("{what}: {}", all.join("; ")))
}

/// What to buy, what is there already, what is no longer used, and what to keep running beside it.
pub fn shopping(shopping: &Shopping, told: Told<'_>) -> Vec<String> {
    let bought: Vec<String> =
        shopping.items.iter().filter(|item| item.buy > 0.0).map(|item| purchase(item, told)).collect();
    let owned = |comes: bool| {
        let items = shopping.items.iter().filter(|item| item.owned > 0.0 && item.comes == comes);
        let each = items.map(|item| format!("{} of {}", volume(item.owned, told), item.medium.name));
        each.collect::<Vec<_>>().join(", ")
    };
    let mut lines = Vec::new();
    if bought.is_empty() {
        lines.push("buy: nothing".to_owned());
    } else {
        let cost = shopping
            .cost
            .map_or_else(|| "cost not known: a price is missing".to_owned(), |cost| money(cost, told));
        lines.push(format!("buy: {}; in all {cost}", bought.join(", ")));
    }
    for (what, owned) in [("comes with the unit", owned(true)), ("already there", owned(false))] {
        if !owned.is_empty() {
            lines.push(format!("{what}: {owned}"));
        }
    }
    let list = |media: &mut dyn Iterator<Item = &(Arc<Medium>, f64)>| {
        let each = media.map(|(medium, v)| format!("{} of {}", volume(*v, told), medium.name));
        each.collect::<Vec<_>>().join(", ")
    };
    // Who has yet to buy the unit never used what comes with it.
    let comes =
        |medium: &Medium| told.filter.unit.as_ref().is_some_and(|unit| unit.includes.contains(&medium.id));
    for (what, with_unit) in [("comes with the unit and is left over", true), ("no longer used", false)] {
        let left = list(&mut shopping.left_out.iter().filter(|(medium, _)| comes(medium) == with_unit));
        if !left.is_empty() {
            lines.push(format!("{what}: {left}"));
        }
    }
    if !shopping.keep.is_empty() {
        lines.push(format!(
            "keep running beside it for six to eight weeks, in a net in the tank's current or in a second filter, so that the tank does not lose its bacteria: {}",
            list(&mut shopping.keep.iter())
        ));
    }
    lines
}

/// `0.9 l of fine foam, 30 PPI (2 pads of 20 mm, each from a sheet of 185 × 160 mm, 13 % of it cut away) for 4.1`.
fn purchase(item: &Item, told: Told<'_>) -> String {
    let mut text = format!("{} of {}", volume(item.buy, told), item.medium.name);
    let pads: Vec<String> = item
        .pads
        .iter()
        .map(|pads| {
            let thick = figures::length(pads.thickness * 1e3, told.units);
            let plural = if pads.count == 1 { "pad" } else { "pads" };
            let sheet = pads.sheet.zip(pads.waste).map(|((width, depth), waste)| {
                let side = |x: f64| figures::length(x * 1e3, told.units);
                format!(
                    " from a sheet of {} × {}, {} cut away",
                    side(width),
                    side(depth),
                    figures::share(waste)
                )
            });
            format!("{} {plural} of {thick}{}", pads.count, sheet.unwrap_or_default())
        })
        .collect();
    if pads.is_empty() {
        text.push_str(&format!(", {} dry", figures::mass(item.buy_mass, told.units)));
    } else {
        text.push_str(&format!(" ({})", pads.join(", ")));
    }
    if let Some(bag) = item.medium.sold.as_ref().map(Uncertain::si).filter(|bag| *bag > 0.0) {
        text.push_str(&format!(", sold as {} × {},", (item.paid / bag).round(), volume(bag, told)));
    } else if item.paid > item.buy * 1.005 {
        text.push_str(", off-cuts paid,");
    }
    match item.cost {
        Some(cost) => text.push_str(&format!(" for {}", money(cost, told))),
        None => text.push_str(", price not known"),
    }
    text
}

fn volume(cubic_metres: f64, told: Told<'_>) -> String {
    figures::volume(cubic_metres * 1e3, told.units)
}

fn money(amount: f64, told: Told<'_>) -> String {
    format!("{amount:.2} {}", told.tank.currency).trim_end().to_owned()
}

fn cautions(told: Told<'_>, proposals: &[Proposal]) -> Vec<String> {
    let any = |of: &dyn Fn(&Proposal) -> bool| proposals.iter().any(of);
    let heaviest = proposals.iter().filter_map(|p| p.shopping.full_weight).fold(f64::NAN, f64::max);
    let mass = figures::mass(heaviest, told.units);
    let two = if heaviest >= A::LiftForTwo.value() { " It is a lift for two." } else { "" };
    let weight = format!("Full it weighs up to {mass}: carry it level.{two}");
    let all = [
        (
            true,
            "Unplug the filter, and everything else in the water, before you open it; close the taps first.",
        ),
        (!heaviest.is_nan(), &weight),
        (
            told.filter.unit.as_ref().is_some_and(|unit| !unit.includes.is_empty()),
            "Media that come with the unit count as there, whatever their amount: see that the pads are sound, and large enough to be cut to the tray without slack.",
        ),
        (
            any(&|p| p.shopping.left_out.iter().any(|(m, _)| m.role == Role::Chemical)),
            "What chemical media bind is not in the model, so a proposal may leave them out: keep them, last but for polishing, if the tank needs them.",
        ),
        (
            any(&|p| p.build.trays.iter().flatten().any(|layer| layer.medium.floats)),
            "Soak media that float before they go in; they lie under another layer, which holds them.",
        ),
        (
            true,
            "Do not change all biological media at once: the livestock depends on what lives in them. New media carry little for the first weeks; test ammonia and nitrite, and feed less meanwhile.",
        ),
        (
            true,
            "Rinse pads in water from the tank. Every figure is an estimate, and no licence to overstock; the maker's instructions come first.",
        ),
    ];
    all.into_iter().filter(|(applies, _)| *applies).map(|(_, said)| said.to_owned()).collect()
}

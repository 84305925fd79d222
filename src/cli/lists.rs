//! What there is: `media`, the library; `fields`, every field of the files; `sources`, constants, assumptions, cautions and
//! what the model leaves out.

use super::args::{Fields, Media};
use super::{Context, Failure, Status, suggest};
use crate::model::Medium;
use crate::report::fields::{self, things};
use crate::report::figures::{self, Units};
use crate::report::sources::{self, bed, plain};
use crate::report::{Column, Page, Table};
use crate::uncertainty::Uncertain;
use crate::units::{Quantity, YEAR};

pub(super) fn media(context: &mut Context<'_, '_>, args: &Media) -> Result<Status, Failure> {
    let all: Vec<_> = context.library.media().collect();
    let page = if let Some(id) = &args.id {
        let medium = all.iter().find(|m| m.id == *id).ok_or_else(|| {
            let hint = suggest::hint(id, all.iter().map(|m| m.id.as_str()));
            Failure::Usage(format!("there is no medium `{id}`{hint}; `cansift media` lists them"))
        })?;
        one(medium, context.units)
    } else {
        list(all.iter().map(|m| &***m), context.units)
    };
    context.text(&page)?;
    Ok(Status::Fine)
}

fn list<'m>(all: impl Iterator<Item = &'m Medium>, units: Units) -> Page {
    let mut columns = ["id", "name", "role"].map(Column::words).to_vec();
    columns.push(Column::prose("bed"));
    let figures =
        [("surface", "m2/l"), ("dry", "kg/l"), ("inner", "share"), ("life", ""), ("price", "per litre")];
    columns.extend(figures.map(|(head, unit)| Column::figures(head, unit)));
    let row = |m: &Medium| {
        vec![
            m.id.clone(),
            m.name.clone(),
            format!("{} {}", m.role.letter(), m.role.called()),
            bed(&m.bed, units),
            in_unit(m.surface.as_ref(), "m2_l"),
            in_unit(Some(&m.dry), "kg_l"),
            plain(m.inner.si()),
            life(m),
            in_unit(m.price.as_ref(), ""),
        ]
    };
    let mut page = Page::default();
    page.table(Table::new(columns, all.map(row)));
    page
}

fn one(m: &Medium, units: Units) -> Page {
    let mut page = Page::default();
    page.heading(format!("{}: {}", m.id, m.name));
    let mut rows = vec![
        fact("role", m.role.word().to_owned(), "", ""),
        fact("bed", bed(&m.bed, units), "", ""),
        doubtful("dry mass", Some(&m.dry), "kg_l", "kg/l"),
        doubtful("accessible surface", m.surface.as_ref(), "m2_l", "m2/l"),
        doubtful("open pores of the grain", Some(&m.inner), "", "share"),
        doubtful("capture", Some(&m.capture), "", "1/m"),
        fact("life", life(m), "", &known(m.life.as_ref())),
        doubtful("price", m.price.as_ref(), "", "per litre"),
    ];
    let yes = |is: bool| if is { "yes" } else { "no" }.to_owned();
    rows.push(fact("counts as porous", yes(m.is_porous()), "", ""));
    rows.push(fact("fresh water only", yes(m.freshwater_only), "", ""));
    rows.push(fact("may float", yes(m.floats), "", ""));
    let columns = ["", "value", "unit", "known"].map(Column::words).to_vec();
    page.table(Table::new(columns, rows));
    page.paragraph(format!("Source ({}): {}", m.kind.word(), m.source));
    page
}

fn fact(name: &str, value: String, unit: &str, known: &str) -> Vec<String> {
    vec![name.to_owned(), value, unit.to_owned(), known.to_owned()]
}

fn doubtful<Q: Quantity>(name: &str, figure: Option<&Uncertain<Q>>, unit: &str, sign: &str) -> Vec<String> {
    fact(name, in_unit(figure, unit), sign, &known(figure))
}

fn known<Q: Quantity>(figure: Option<&Uncertain<Q>>) -> String {
    let said = figure.map(|f| match sources::spread_relative(f) {
        Some(spread) => format!("{}, {spread}", f.known.word()),
        None => f.known.word().to_owned(),
    });
    said.unwrap_or_default()
}

/// How long a medium lasts, as a person says it: `2 years 6 months`.
fn life(m: &Medium) -> String {
    let Some(life) = &m.life else { return figures::DASH.to_owned() };
    let months = (life.si() / (YEAR / 12.0)).round() as u64;
    let count = |n: u64, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    match (months / 12, months % 12) {
        (0, months) => count(months, "month"),
        (years, 0) => count(years, "year"),
        (years, months) => format!("{} {}", count(years, "year"), count(months, "month")),
    }
}

/// A figure in the unit of that name, or as a bare number.
fn in_unit<Q: Quantity>(figure: Option<&Uncertain<Q>>, unit: &str) -> String {
    figure.map_or_else(
        || figures::DASH.to_owned(),
        |f| plain(Q::UNITS.iter().find(|u| u.name == unit).map_or(f.si(), |u| u.from_si(f.si()))),
    )
}

pub(super) fn fields(context: &mut Context<'_, '_>, args: &Fields) -> Result<Status, Failure> {
    let all = things();
    let wanted = |name: &str| args.thing.as_ref().is_none_or(|thing| thing.eq_ignore_ascii_case(name));
    let found: Vec<_> = all.iter().filter(|thing| wanted(&thing.name)).collect();
    if found.is_empty() {
        let thing = args.thing.as_deref().unwrap_or_default();
        let hint = suggest::hint(thing, all.iter().map(|thing| thing.name.as_str()));
        return Err(Failure::Usage(format!("there is no form `{thing}`{hint}; `cansift fields` lists them")));
    }
    context.text(&fields::page(&found))?;
    Ok(Status::Fine)
}

pub(super) fn sources(context: &mut Context<'_, '_>) -> Result<Status, Failure> {
    context.text(&sources::page())?;
    Ok(Status::Fine)
}

//! A file as a form: its lines, and changes of its text at one place.

use cansift::library::{Library, demo, demo_tanks};
use cansift::model::fields::{Field, Given, Kind, Row, Table, Value, row};
use cansift::model::filter::Filter;
use cansift::model::tank::Tank;
use cansift::profile::form::{At, Line, Trail, What, add, fresh, lines, place, remove, set};
use cansift::profile::write::write;
use cansift::profile::{filter_text, plain, read_filter, read_tank, starter, tank_text, write_tank};
use cansift::units::Units;
use std::collections::BTreeSet;
use std::path::Path;

static ANY: Row = row("");

fn given(thing: &impl Field) -> Given {
    match thing.value(&ANY) {
        Some(Value::Form(_, given)) => given,
        _ => Vec::new(),
    }
}

/// Texts of forms with what the reader makes of them.
fn forms() -> Vec<(String, &'static Table, Given)> {
    let mut out = Vec::new();
    for sound in demo().filters {
        // As it was written by hand, and as it is written out.
        let own = filter_text(&sound.filter);
        assert!(own.starts_with("//"), "{own}");
        for text in [own, write(&sound.filter, &sound.filter.builds, "")] {
            out.push((text, Filter::TABLE, given(&*sound.filter)));
        }
    }
    out.push((new_filter(), Filter::TABLE, given(&*filter(&new_filter()))));
    for sound in demo_tanks() {
        for text in [tank_text(&sound.tank), write_tank(&sound.tank)] {
            out.push((text, Tank::TABLE, given(&*sound.tank)));
        }
    }
    out.push((
        "Tank(format: 1, name: \"t\")".to_owned(),
        Tank::TABLE,
        tank_of("Tank(format: 1, name: \"t\")"),
    ));
    out
}

fn new_filter() -> String {
    let numbers = ["l_h(1200)", "count(3)", "(width: mm(235), depth: mm(200), height: mm(410))"];
    starter::filter("new", numbers, cansift::model::filter::Way::Rising).unwrap()
}

fn filter(text: &str) -> std::sync::Arc<Filter> {
    read_filter(Path::new("new.ron"), text, Library::shipped())
        .unwrap_or_else(|b| panic!("{b:#?}\n{text}"))
        .filter
}

fn tank_of(text: &str) -> Given {
    given(&*read_tank(Path::new("t.ron"), text, Library::shipped()).unwrap().tank)
}

/// All lines, with everything unfolded.
fn all(text: &str, table: &'static Table, sound: &Given) -> Vec<Line> {
    let mut open: Vec<Trail> = Vec::new();
    loop {
        let found = lines(text, table, sound, &open);
        let more: Vec<Trail> =
            found.iter().filter(|l| l.folds && !open.contains(&l.trail)).map(|l| l.trail.clone()).collect();
        if more.is_empty() {
            return found;
        }
        open.extend(more);
    }
}

fn named(path: &str, lines: &[Line]) -> Line {
    let wanted: Vec<&str> = path.split('/').collect();
    let is = |line: &&Line| {
        line.trail.len() == wanted.len()
            && line.trail.iter().zip(&wanted).all(|(at, want)| match at {
                At::Field(row) => row.name == *want,
                At::Item(i) => i.to_string() == *want,
                At::Key(key) => key == want,
            })
    };
    lines.iter().find(is).unwrap_or_else(|| panic!("no line {path}")).clone()
}

#[test]
fn what_stands_there_put_in_its_own_place_changes_nothing() {
    for (text, table, sound) in forms() {
        let lines = all(&text, table, &sound);
        assert!(lines.len() > 20, "{}", lines.len());
        for line in lines {
            let Some(here) = line.given(&text) else { continue };
            assert_eq!(place(&text, &line.trail), line.at, "{}", line.label);
            assert_eq!(set(&text, table, &sound, &line.trail, here), text, "{}", line.label);
        }
    }
}

#[test]
fn every_field_can_be_typed_and_taken_out_again() {
    for (text, table, sound) in forms() {
        for line in all(&text, table, &sound) {
            if !matches!(line.what, What::Typed) || line.row.like.contains('…') {
                continue;
            }
            if matches!(line.trail.last(), Some(At::Item(_))) && line.at.is_none() {
                continue;
            }
            let typed = plain::example(line.row, Units::Metric);
            let Ok(read) = plain::understand(line.row, &typed, Units::Metric) else { continue };
            let with = set(&text, table, &sound, &line.trail, &read.ron);
            let here = place(&with, &line.trail).unwrap_or_else(|| panic!("{} in\n{with}", line.label));
            assert_eq!(with.get(here), Some(read.ron.as_str()), "{}", line.label);
            assert!(
                ron::from_str::<ron::Value>(&with.replace("none", "1")).is_ok(),
                "{}\n{with}",
                line.label
            );
            if line.at.is_none() && matches!(line.trail.as_slice(), [At::Field(_)]) {
                assert_eq!(remove(&with, &line.trail), text, "{}", line.label);
            }
        }
    }
}

#[test]
fn a_new_profile_is_filled_in_field_by_field() {
    let mut text = new_filter();
    for (path, typed) in [
        ("hose/bore", "16 mm"),
        ("pump/power", "18"),
        ("body/floor/height", "25"),
        ("trays/0/height", "84"),
        ("trays/2/seal", "missing"),
        ("body/down_tube/bore", "22"),
        ("unit/asking", "45"),
        ("unit/lamp", "burnt out"),
        ("label/tank", "300"),
        ("measured/on", "2026-02-21"),
        ("builds/0/trays/0/0/slack", "1"),
    ] {
        let sound = given(&*filter(&text));
        let line = named(path, &all(&text, Filter::TABLE, &sound));
        let read = plain::understand(line.row, typed, Units::Metric).unwrap();
        text = set(&text, Filter::TABLE, &sound, &line.trail, &read.ron);
        filter(&text);
    }
    insta::assert_snapshot!(text);
}

#[test]
fn lists_grow_and_shrink() {
    let text = write_tank(&demo_tanks().remove(0).tank);
    let sound = tank_of(&text);
    let before = all(&text, Tank::TABLE, &sound);
    let list = named("on_hand", &before);
    let with = add(&text, Tank::TABLE, &sound, &list.trail, "(\"lava-15\", l(1))");
    assert!(with.contains("on_hand: [(\"ceramic-ring-12\", l(2)), (\"lava-15\", l(1))],"), "{with}");
    let second = named("on_hand/1", &all(&with, Tank::TABLE, &tank_of(&with)));
    assert_eq!(remove(&with, &second.trail), text);
    let none = remove(&text, &list.trail);
    assert!(!none.contains("on_hand") && tank_of(&none).iter().all(|(row, _)| row.name != "x"));
    let again = add(&none, Tank::TABLE, &tank_of(&none), &list.trail, "(\"lava-15\", l(1))");
    assert!(again.contains("    on_hand: [(\"lava-15\", l(1))],\n"), "{again}");
    // Priorities that nobody told are the usual ones, and stay when one of them moves.
    let bare = "Tank(format: 1, name: \"t\")";
    let sound = tank_of(bare);
    let clearing = named("priorities/clearing", &all(bare, Tank::TABLE, &sound));
    let moved = set(bare, Tank::TABLE, &sound, &clearing.trail, "2");
    let Value::Map(pairs) =
        &tank_of(&moved).iter().find(|(row, _)| row.name == "priorities").unwrap().1.clone()
    else {
        panic!("{moved}")
    };
    assert_eq!((pairs.len(), pairs[0].1), (7, 2.0), "{moved}");
}

/// Whatever begins anew, an item of a list or a form that was left out, is read and understood.
#[test]
fn what_begins_anew_is_sound() {
    for (text, table, sound) in forms() {
        for line in all(&text, table, &sound) {
            let with = match (line.what, line.kind) {
                (What::Group, kind) if line.at.is_none() => {
                    fresh(kind).map(|ron| set(&text, table, &sound, &line.trail, &ron))
                }
                (What::List, Kind::List(Kind::Form(form))) => {
                    fresh(Kind::Form(*form)).map(|ron| add(&text, table, &sound, &line.trail, &ron))
                }
                _ => None,
            };
            let Some(with) = with else { continue };
            let problems = if table.name == "Filter" {
                read_filter(Path::new("new.ron"), &with, Library::shipped()).map(drop).map_err(|b| b.problems)
            } else {
                read_tank(Path::new("t.ron"), &with, Library::shipped()).map(drop).map_err(|b| b.problems)
            };
            // A second build of one name, a tray too many for the vessel: understood, and refused by a rule.
            let form = |p: &cansift::profile::Problem| {
                ["is a pair", "expected", "unknown", "misspelt"].iter().any(|word| p.message.contains(word))
            };
            let odd: Vec<_> = problems.err().into_iter().flatten().filter(form).collect();
            assert!(odd.is_empty(), "{}: {odd:#?}\n{with}", line.label);
        }
    }
}

/// Every row of a table and of what stands in it.
fn rows(kind: Kind, out: &mut BTreeSet<(&'static str, &'static str)>, depth: usize) {
    let all: Vec<&'static Row> = match kind {
        Kind::Form(table) if plain::is_one_line(table()) => return,
        Kind::Form(table) => table().rows().collect(),
        Kind::Choice(choice) => {
            choice().told().flat_map(|variant| variant.rows).chain(choice().common).collect()
        }
        Kind::List(inner) => return rows(*inner, out, depth),
        _ => return,
    };
    for row in all {
        out.insert((row.name, row.words));
        if depth < 8 {
            rows(row.kind, out, depth + 1);
        }
    }
}

#[test]
fn every_field_of_the_tables_can_be_reached() {
    for (table, start) in
        [(Filter::TABLE, new_filter()), (Tank::TABLE, "Tank(format: 1, name: \"t\")".to_owned())]
    {
        let mut wanted = BTreeSet::new();
        for row in table.rows() {
            wanted.insert((row.name, row.words));
            rows(row.kind, &mut wanted, 0);
        }
        let sound = if table.name == "Filter" { given(&*filter(&start)) } else { tank_of(&start) };
        let mut seen = BTreeSet::new();
        let mut texts = vec![start];
        // From each text on, whatever can be chosen is chosen once, what can be there is put there; a text that shows
        // something new is gone on from.
        while let Some(text) = texts.pop() {
            for line in all(&text, table, &sound) {
                seen.insert((line.row.name, line.row.words));
                let with = match (line.what, line.row.kind) {
                    (What::Choice(choice), _) => choice
                        .told()
                        .map(|variant| {
                            set(&text, table, &sound, &line.trail, &plain::chosen(choice, variant))
                        })
                        .collect(),
                    (What::Group, kind) if line.at.is_none() => fresh(kind)
                        .into_iter()
                        .map(|ron| set(&text, table, &sound, &line.trail, &ron))
                        .collect(),
                    (What::List, Kind::List(inner)) => {
                        vec![add(&text, table, &sound, &line.trail, &fresh(*inner).unwrap_or_default())]
                    }
                    _ => Vec::new(),
                };
                for text in with {
                    let new =
                        all(&text, table, &sound).into_iter().any(|l| seen.insert((l.row.name, l.row.words)));
                    if new {
                        texts.push(text);
                    }
                }
            }
        }
        let missing: Vec<_> = wanted.difference(&seen).collect();
        assert!(missing.is_empty(), "{}: {missing:?}", table.name);
    }
}

//! What people type into fields. Factors: inch 25.4 mm and US gallon 231 in3 exactly (NIST SP 811, Handbook 44).

use crate::mutate::Chance;
use cansift::library::Library;
use cansift::model::fields::{Kind, Row, Table};
use cansift::model::filter::Hose;
use cansift::model::filter::{Body, Filter, Label, Outside};
use cansift::model::tank::{Aims, Food, OnHand, Run, Tank, Water, WaterChange};
use cansift::profile::plain::{Unclear, Understood, example, understand};
use cansift::profile::read_tank;
use cansift::units::Units;
use std::path::Path;

fn read(row: &'static Row, typed: &str) -> Result<(String, String), String> {
    understand(row, typed, Units::Metric).map(|Understood { ron, echo }| (ron, echo)).map_err(|u| u.said)
}

#[track_caller]
fn takes(row: &'static Row, typed: &str, ron: &str, echo: &str) {
    assert_eq!(read(row, typed), Ok((ron.to_owned(), echo.to_owned())), "{typed}");
}

#[track_caller]
fn refuses(row: &'static Row, typed: &str, at: &str, said: &str) {
    let Unclear { at: place, said: told } = understand(row, typed, Units::Metric).unwrap_err();
    assert_eq!(typed.get(place), Some(at), "{typed}: {told}");
    assert!(told.contains(said), "{typed}: {told}");
}

#[test]
fn figures_are_typed_as_people_write_them() {
    let volume = &Tank::volume;
    takes(volume, "200", "l(200)", "200 l");
    takes(volume, "200 l", "l(200)", "200 l");
    takes(volume, "200l", "l(200)", "200 l");
    takes(volume, " 180 litres ", "l(180)", "180 l");
    takes(volume, "40 gal", "gal_us(40)", "40 gal = 151 l");
    takes(volume, "~30", "guessed(l(30))", "about 30 l, guessed");
    takes(volume, "measured(l(181))", "measured(l(181))", "181 l, measured");
    takes(&Hose::bore, "16 mm", "mm(16)", "16 mm");
    takes(&Hose::bore, "5/8 in", "inch(0.625)", "5/8 in = 15.9 mm");
    takes(&Hose::bore, "1 1/4\"", "inch(1.25)", "1 1/4\" = 31.8 mm");
    takes(&Run::intake, "1,5", "m(1.5)", "1.5 m");
    takes(&Run::intake, "1.2-1.8 m", "between(m(1.2), m(1.8))", "1.2–1.8 m, anywhere between");
    takes(&Run::intake, "120 to 180 cm", "between(cm(120), cm(180))", "1.2–1.8 m, anywhere between");
    takes(&Water::temperature, "77 f", "degf(77)", "77 f = 25 °C");
    takes(&Food::daily, "1.8 g", "g_day(1.8)", "1.8 g/day");
    takes(&Food::protein, "42 %", "0.42", "42 %");
    takes(&Food::protein, "0,42", "0.42", "42 %");
    takes(&Tank::budget, "120 EUR", "120", "120");
    takes(&Tank::hz, "50 Hz", "50", "50");
    takes(&Aims::open_no_more_than_every, "6", "week(6)", "6 wk");
    takes(&Aims::open_no_more_than_every, "42 d", "day(42)", "42 d = 6 wk");
    takes(&Label::flow, "1200", "l_h(1200)", "1200 l/h");
    takes(&Label::flow, "320 gph", "gal_us_h(320)", "320 gph = 1211 l/h");
}

#[test]
fn what_people_read_decides_what_a_bare_number_is() {
    let us = |row: &'static Row, typed| understand(row, typed, Units::Us).unwrap();
    assert_eq!(us(&Tank::volume, "40"), Understood { ron: "gal_us(40)".into(), echo: "40 US gal".into() });
    assert_eq!(us(&Hose::bore, "5/8").ron, "inch(0.625)");
    assert_eq!(us(&Tank::volume, "151 l").echo, "151 l = 39.9 US gal");
    let uk = understand(&Tank::volume, "40 gal", Units::Uk).unwrap();
    assert_eq!(uk.ron, "gal_uk(40)");
}

#[test]
fn several_figures_stand_in_one_field() {
    let outside = &Body::outside;
    let box_of = |a, b, c| format!("(width: {a}, depth: {b}, height: {c})");
    let mm = box_of("mm(235)", "mm(200)", "mm(410)");
    let echo = "235 × 200 × 410 mm (width, depth, height)";
    for typed in ["235x200x410", "235 200 410", "235 × 200 × 410 mm", "235*200*410", "235 by 200 by 410"] {
        takes(outside, typed, &mm, echo);
    }
    takes(outside, "23,5 20 41", &box_of("cm(23.5)", "cm(20)", "cm(41)"), echo);
    takes(
        &Tank::cabinet,
        "40x35x60 cm",
        &box_of("cm(40)", "cm(35)", "cm(60)"),
        "400 × 350 × 600 mm (width, depth, height)",
    );
    let inches = box_of("inch(9.25)", "inch(8)", "inch(16)");
    assert_eq!(read(outside, "9 1/4 x 8 x 16 in").unwrap().0, inches);
    takes(
        outside,
        "~235x200x410",
        &box_of("guessed(mm(235))", "guessed(mm(200))", "guessed(mm(410))"),
        &format!("about {echo}, guessed"),
    );
    takes(
        &Tank::water_change,
        "25 % every 7 days",
        "(share: 0.25, every: day(7))",
        "25 %, 7 d (share changed, how often)",
    );
    let row = on_hand();
    takes(row, "foam-20 2 l", "(\"foam-20\", l(2))", "foam-20, 2 l");
    takes(row, "ceramic-ring-12 1,5", "(\"ceramic-ring-12\", l(1.5))", "ceramic-ring-12, 1.5 l");
}

/// A row that holds one medium on hand.
fn on_hand() -> &'static Row {
    static ROW: Row = cansift::model::fields::row("a medium on hand").of::<OnHand>("medium");
    &ROW
}

#[test]
fn words_are_known_by_what_they_are_called() {
    takes(&Tank::stock, "normal", "normal", "normal");
    takes(&Tank::stock, "H", "heavy", "heavy");
    takes(&Filter::way, "falling", "falling", "falling");
    takes(&Filter::trays, "3", "count(3)", "3 trays, of assumed sizes");
    takes(&Filter::name, "the shed \"tub\"", r#""the shed \"tub\"""#, "the shed \"tub\"");
    takes(&Water::salt, "no", "false", "no");
    takes(&Body::down_tube, "none", "none", "there is none");
    let seal = &cansift::model::tray::Tray::seal;
    takes(seal, "worn", "worn(gap: guessed(mm(0.4)))", "worn");
}

#[test]
fn what_is_not_understood_is_refused_with_its_place() {
    refuses(&Tank::volume, "", "", "such as 180 l");
    refuses(&Tank::volume, "two hundred", "two hundred", "a number belongs here, such as 180 l");
    refuses(&Tank::volume, "200 mm", "mm", "`mm` is no unit of volume: use one of l, ml");
    refuses(&Tank::volume, "1,200", "1,200", "read as 1.200 or 1200");
    refuses(&Tank::volume, "1.2.3", "1.2.3", "one decimal point");
    refuses(&Tank::volume, "-200", "-200", "tank volume of -200 l: 2 to 50000 l can be");
    refuses(&Tank::volume, "200 300", "300", "two numbers");
    refuses(&Run::intake, "3-1 m", "3-1 m", "the low end is above");
    refuses(&Run::intake, "200", "200", "0.1 to 20 m");
    refuses(&Food::protein, "42", "42", "42 % is typed `42 %`");
    refuses(&Tank::budget, "~120", "~", "no uncertainty is told");
    refuses(&Body::outside, "235x200", "235x200", "3 numbers belong here (width, depth, height), found 2");
    refuses(&Body::outside, "235x200x5000", "5000", "20 to 3000 mm");
    refuses(&Tank::stock, "huge", "huge", "one of light, normal, heavy");
    refuses(&Filter::trays, "99", "99", "1 to 20");
    refuses(&Tank::volume, "l(200", "l(200", "not closed");
    refuses(&Tank::volume, "l(200), name: \"x\"", ", name: \"x\"", "behind the figure");
    refuses(&Tank::volume, "200\n", "\n", "one line");
}

/// Every row of a form and of those within it, with plain words before it.
fn rows(table: &'static Table, out: &mut Vec<&'static Row>, depth: usize) {
    for row in table.rows() {
        out.push(row);
        match row.kind {
            Kind::Form(inner) if depth < 4 => rows(inner(), out, depth + 1),
            Kind::Choice(choice) if depth < 4 => {
                out.extend(choice().variants.iter().flat_map(|variant| variant.rows));
            }
            Kind::List(Kind::Form(inner)) if depth < 4 => rows(inner(), out, depth + 1),
            _ => {}
        }
    }
}

fn every_row() -> Vec<&'static Row> {
    let mut all = Vec::new();
    rows(Filter::TABLE, &mut all, 0);
    rows(Tank::TABLE, &mut all, 0);
    all
}

#[test]
fn the_example_of_every_field_is_understood_in_all_units() {
    for row in every_row() {
        for units in Units::ALL {
            if matches!(row.kind, Kind::Flat(_))
                || row.like.contains('…')
                || matches!(row.kind, Kind::Choice(_))
            {
                continue;
            }
            let typed = example(row, units);
            if typed.is_empty()
                || row.like.is_empty() && matches!(row.kind, Kind::Form(_)) && typed == row.like
            {
                continue;
            }
            let understood = understand(row, &typed, units);
            assert!(understood.is_ok(), "{} as {typed:?}: {understood:?}", row.words);
        }
    }
    assert!(every_row().len() > 90);
}

#[test]
fn whatever_is_typed_is_understood_or_refused_with_a_sentence() {
    let rows = every_row();
    let seeds = [
        "200",
        "200 l",
        "40 gal",
        "16 mm",
        "5/8 in",
        "235x200x410",
        "1,5",
        "1.2-1.8 m",
        "~30",
        "25 % every 7 days",
        "foam-20 2 l",
        "none",
        "normal",
        "\"text\"",
        "measured(l(200))",
        "between(mm(1), mm(2))",
        "40 x 35 x 60 cm",
        "1 1/4\"",
        "−7 °C",
        "[(\"foam-20\", l(2))]",
        "count(3)",
        "５ ｌ",
        "½",
        "e5",
        "0x10",
    ];
    let bits = [
        "x",
        "~",
        "-",
        " ",
        ".",
        ",",
        "/",
        "0",
        "99999999999999999999",
        "mm",
        "é",
        "\u{202e}",
        "(",
        ")",
        "\"",
        "%",
        "\t",
    ];
    let (mut taken, mut refused) = (0, 0);
    for case in 0..3_000_u64 {
        let mut chance = Chance::new(14, case);
        let row = rows[chance.below(rows.len())];
        let mut typed: Vec<char> = seeds[chance.below(seeds.len())].chars().collect();
        for _ in 0..chance.below(4) {
            let at = chance.below(typed.len() + 1);
            match chance.below(3) {
                0 => drop((at < typed.len()).then(|| typed.remove(at))),
                1 => typed.splice(at..at, bits[chance.below(bits.len())].chars()).for_each(drop),
                _ => typed.splice(at..at, typed.clone()).for_each(drop),
            }
        }
        let typed: String = typed.into_iter().collect();
        match understand(row, &typed, Units::ALL[chance.below(3)]) {
            Ok(Understood { ron, echo }) => {
                taken += 1;
                assert!(!ron.is_empty() && !echo.is_empty(), "{typed:?} in {}", row.words);
                assert!(!ron.contains('\n'), "{typed:?}");
            }
            Err(Unclear { at, said }) => {
                refused += 1;
                assert!(typed.get(at).is_some(), "{typed:?}: the place lies on letters");
                assert!(said.len() > 10, "{typed:?}: {said}");
            }
        }
    }
    assert!(taken > 100 && refused > 100, "{taken} {refused}");
}

#[test]
fn a_figure_that_is_understood_is_read_by_the_reader_of_files() {
    for (case, typed) in ["200", "0.5 ft3", "40 gal", "~30", "120-240", "1,5 l", "3000 ml", "50000", "2"]
        .into_iter()
        .enumerate()
    {
        let Ok(Understood { ron, .. }) = understand(&Tank::volume, typed, Units::Metric) else {
            assert!(matches!(case, 1 | 5), "{typed}");
            continue;
        };
        let text = format!("Tank(format: 1, name: \"t\", volume: {ron})");
        let tank = read_tank(Path::new("t.ron"), &text, Library::shipped());
        assert!(tank.unwrap().tank.volume.is_some(), "{typed}");
    }
    let sides: Vec<&Row> = Outside::TABLE.rows().collect();
    assert_eq!((sides.len(), WaterChange::TABLE.rows().count()), (3, 2));
}

//! Rows of the shipped demo for the tests of pictures and pages, and names that would do harm if they could.

use cansift::assess::Assessment;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use cansift::assess::case::Case;
use cansift::assess::findings::{Costs, Mend};
use cansift::assess::judge;
use cansift::assess::monte_carlo::simulate;
use cansift::library;
use cansift::model::tank::Tank;
use cansift::report::Sheet;
use cansift::uncertainty::sampling::Draws;

/// Draws behind the bands: enough to have some.
const SAMPLES: usize = 16;

/// The first tank of the demo.
pub fn tank() -> Tank {
    (*library::demo_tanks().into_iter().next().expect("the demo has a tank").tank).clone()
}

/// Every build of the demo, with a little doubt.
pub fn sheet() -> Sheet {
    let tank = tank();
    let draws = Draws::new(SAMPLES, 1);
    let never = AtomicBool::new(false);
    let mut rows = Vec::new();
    for sound in library::demo().filters {
        for (i, build) in sound.filter.builds.iter().enumerate() {
            let cases = simulate(&Case::new(&sound.filter, build, Some(&tank)), &draws, &never);
            let mut row = judge(&sound.filter, i, Some(&tank)).with(cases.map(Arc::new));
            row.file = sound.path.file_name().unwrap().to_string_lossy().into_owned();
            rows.push(row);
        }
    }
    assert!(rows.len() > 15, "the demo holds many builds");
    Sheet {
        rows,
        tank: Some(tank.name.clone()),
        currency: tank.currency.clone(),
        seed: 1,
        ..Sheet::default()
    }
}

/// Names that a file may hold and that would do harm if they were let through.
pub fn hostile() -> Vec<String> {
    vec![
        "<script>alert(1)</script>".to_owned(),
        "\"><svg onload=alert(1)>".to_owned(),
        "' onmouseover='x' a='".to_owned(),
        "&amp;&#0;&lt;!ENTITY x SYSTEM \"file:///x\">".to_owned(),
        "]]> --> </title></desc></style></svg></table>".to_owned(),
        "url(http://example.org/x) @import javascript:x `y`".to_owned(),
        "\u{1b}]52;c;x\u{7}\u{0}\u{9b}2J\r\n\t".to_owned(),
        "\u{202e}turned\u{2066}round\u{200f}\u{feff}\u{fffe}\u{ffff}".to_owned(),
        "מסנן גדול · مرشح كبير".to_owned(),
        "水槽のフィルター".repeat(40),
        "W".repeat(300),
        format!("a{}", "\u{301}".repeat(300)),
        "two words ".repeat(30),
        String::new(),
    ]
}

/// The row with every name in it replaced.
pub fn renamed(row: &Assessment, name: &str) -> Assessment {
    let mut row = row.clone();
    name.clone_into(&mut row.file);
    name.clone_into(&mut row.filter);
    name.clone_into(&mut row.build);
    let judged = &mut row;
    let section = &mut judged.section;
    for slab in section.trays.iter_mut().chain(section.floor.iter_mut()).flat_map(|s| &mut s.layers) {
        name.clone_into(&mut slab.name);
        name.clone_into(&mut slab.id);
    }
    for text in
        judged.leaks.iter_mut().map(|l| &mut l.at).chain(judged.head_budget.iter_mut().map(|p| &mut p.part))
    {
        name.clone_into(text);
    }
    for fault in &mut judged.faults {
        fault.costs = Costs::Figures {
            service: None,
            filtered: None,
            ammonia: None,
            shorter: None,
            shield: None,
            left: vec![(name.to_owned(), 1.0)],
        };
        for text in [&mut fault.at, &mut fault.says] {
            name.clone_into(text);
        }
    }
    judged.notes.push(cansift::assess::findings::Note::FreshwaterOnly { medium: name.to_owned() });
    judged.helps.iter_mut().for_each(|help| help.what = Mend::Order { left: vec![(name.to_owned(), 1.0)] });
    row
}

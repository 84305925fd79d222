//! The screens, as a table: number keys, Tab and the header read it.

/// A screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// The sortable table with the pictures of the build under the cursor.
    Builds,
    /// Some builds side by side.
    Diff,
    /// How builds stand for the tank.
    Ranking,
    /// The trays of one build as a list to work in.
    Restack,
    /// The tank as a form.
    Tank,
    /// Constants, cautions, and what is left out.
    Sources,
}

/// One row of the table of screens. Its place in the table is its number key.
#[derive(Clone, Copy, Debug)]
pub struct ScreenRow {
    /// Which.
    pub screen: Screen,
    /// Its name in the header.
    pub name: &'static str,
    /// What it is for, in help.
    pub says: &'static str,
}

/// The screens in the order of their keys.
pub const SCREENS: &[ScreenRow] = &[
    ScreenRow { screen: Screen::Builds, name: "Builds", says: "every build, one a row, and why it is so" },
    ScreenRow { screen: Screen::Diff, name: "Diff", says: "two to four builds side by side" },
    ScreenRow {
        screen: Screen::Ranking,
        name: "Ranking",
        says: "how the builds stand for this tank, and what to measure first",
    },
    ScreenRow {
        screen: Screen::Restack,
        name: "Restack",
        says: "work in the trays of a build; every measure moves at once",
    },
    ScreenRow {
        screen: Screen::Tank,
        name: "Tank",
        says: "the tank as a form; a change judges every build again",
    },
    ScreenRow {
        screen: Screen::Sources,
        name: "Sources",
        says: "every constant with its doubt and source, the cautions, and what the model leaves out",
    },
];

impl Screen {
    /// Its row.
    pub fn row(self) -> ScreenRow {
        SCREENS.iter().copied().find(|r| r.screen == self).unwrap_or(ScreenRow {
            screen: self,
            name: "",
            says: "",
        })
    }
    /// Its place in the table.
    pub fn number(self) -> usize {
        SCREENS.iter().position(|r| r.screen == self).unwrap_or(0)
    }
    /// The one so many places on, round and round.
    pub fn step(self, by: isize) -> Self {
        SCREENS.get(round(self.number(), by, SCREENS.len())).map_or(self, |r| r.screen)
    }
}

/// Cells that the header keeps for what it says beside the screens.
const BESIDE: usize = 44;

/// Below this width the numbers of screens stand close together.
const TIGHT: usize = 80;

/// The screens' labels in the header: where room is short only the one in view keeps its name.
pub fn tabs(now: Screen, w: usize) -> Vec<(Screen, String)> {
    let long = |i: usize, row: &ScreenRow| format!(" {} {} ", i + 1, row.name);
    let all: usize = SCREENS.iter().enumerate().map(|(i, row)| long(i, row).chars().count()).sum();
    let label = |(i, row): (usize, &ScreenRow)| {
        let whole = row.screen == now || all + BESIDE <= w;
        let short = if w < TIGHT { format!(" {}", i + 1) } else { format!(" {} ", i + 1) };
        (row.screen, if whole { long(i, row) } else { short })
    };
    SCREENS.iter().enumerate().map(label).collect()
}

/// A place so far on in a list, round and round.
pub(super) fn round(from: usize, by: isize, len: usize) -> usize {
    let len = len.max(1);
    let steps = by.unsigned_abs() % len;
    (from + if by < 0 { len - steps } else { steps }) % len
}

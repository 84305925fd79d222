//! The screens, as a table: number keys, Tab and the header read it; and the places in which keys mean things.

use super::list;

#[derive(Default, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tab {
    /// The sortable table with the pictures of the build under the cursor.
    #[default]
    Builds,
    Compare,
    Ranking,
    /// The trays of one build as a list to work in.
    Restack,
    /// What the profile of a build says.
    Filter,
    Tank,
    /// Constants, cautions, and what is left out.
    Sources,
}

/// One row of the table of screens. Its place in the table is its number key.
#[derive(Clone, Copy, Debug)]
pub struct TabRow {
    pub tab: Tab,
    pub name: &'static str,
}

/// The screens in the order of their keys.
pub const TABS: &[TabRow] = &[
    TabRow { tab: Tab::Builds, name: "Builds" },
    TabRow { tab: Tab::Compare, name: "Compare" },
    TabRow { tab: Tab::Ranking, name: "Ranking" },
    TabRow { tab: Tab::Restack, name: "Restack" },
    TabRow { tab: Tab::Filter, name: "Filter" },
    TabRow { tab: Tab::Tank, name: "Tank" },
    TabRow { tab: Tab::Sources, name: "Sources" },
];

impl Tab {
    pub fn row(self) -> TabRow {
        TABS.iter().copied().find(|r| r.tab == self).unwrap_or(TabRow { tab: self, name: "" })
    }
    pub fn number(self) -> usize {
        TABS.iter().position(|r| r.tab == self).unwrap_or(0)
    }
    /// The one so many places on, round and round.
    pub fn step(self, by: isize) -> Self {
        TABS.get(list::round(self.number(), by, TABS.len())).map_or(self, |r| r.tab)
    }
}

/// Below this width only the screen in view keeps its name.
const NAMED: usize = 80;

/// The screens' labels in the header.
pub fn tabs(now: Tab, w: usize) -> Vec<(Tab, String)> {
    let label = |(i, row): (usize, &TabRow)| {
        let whole = row.tab == now || w >= NAMED;
        (row.tab, if whole { format!(" {} {} ", i + 1, row.name) } else { format!(" {}", i + 1) })
    };
    TABS.iter().enumerate().map(label).collect()
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    Builds,
    Compare,
    Ranking,
    Restack,
    Picker,
    Proposals,
    Filter,
    Tank,
    /// Tank, with the list of tanks to start from in view.
    Tanks,
    Sources,
    Explain,
    Reply,
    Columns,
}

pub const ALL_PLACES: &[Place] = &[
    Place::Builds,
    Place::Compare,
    Place::Ranking,
    Place::Restack,
    Place::Picker,
    Place::Proposals,
    Place::Filter,
    Place::Tank,
    Place::Tanks,
    Place::Sources,
    Place::Explain,
    Place::Reply,
    Place::Columns,
];

//! The panes beside the table: their order, names, and which stand together.

/// What of Builds is in view where there is room for both: `v` turns it.
#[derive(Default, Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    List,
    #[default]
    Both,
    Pane,
}

impl View {
    pub const ALL: [Self; 3] = [Self::List, Self::Both, Self::Pane];

    pub fn word(self) -> &'static str {
        match self {
            Self::List => "list",
            Self::Both => "both",
            Self::Pane => "pane",
        }
    }
}

#[derive(Default, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    #[default]
    Table,
    Inside,
    Order,
    /// Where the pump's lift goes.
    Slows,
    Curve,
    /// Flow and bypass over the weeks.
    Opening,
    Suits,
    Notes,
}

impl Pane {
    /// All, in the order in which `p` turns them; the table first.
    pub const ALL: [Self; 8] = [
        Self::Table,
        Self::Inside,
        Self::Slows,
        Self::Order,
        Self::Curve,
        Self::Opening,
        Self::Suits,
        Self::Notes,
    ];
    pub const SIDE: [Self; 7] =
        [Self::Inside, Self::Slows, Self::Order, Self::Curve, Self::Opening, Self::Suits, Self::Notes];

    pub fn name(self) -> &'static str {
        match self {
            Self::Table => "Builds",
            Self::Inside => "Inside",
            Self::Order => "Media order",
            Self::Slows => "What slows the flow",
            Self::Curve => "Pump curve",
            Self::Opening => "When to open",
            Self::Suits => "Suits up to",
            Self::Notes => "Notes",
        }
    }
    pub fn says(self) -> &'static str {
        match self {
            Self::Table => {
                "One row a build; broken files stay at the end with `!`. A cell is middle low–high: 9 of 10 \
                 simulated cases lie between. A dash is a figure that cannot be told: below the table stands why, \
                 for the one under the cursor."
            }
            Self::Inside => {
                "The vessel cut open, heights to scale. Each role of media has a letter and a hatch. ◄ is a place \
                 where water slips past the finest layer, with its share of the water, now and (after the arrow) \
                 on the day before it should be opened."
            }
            Self::Order => {
                "Roles in the order in which the water meets them, and every rule of order that is broken, with \
                 what it costs by the model."
            }
            Self::Slows => {
                "What the pump could lift, and which part uses up how much of it at this flow, in the order of the \
                 water. The height of the cabinet does not load the pump: both hose ends are under the same water. \
                 Below it, what would gain most."
            }
            Self::Curve => {
                "What the pump gives over flow, and what hoses and vessel take, clean and on the day before it \
                 should be opened. It works where they cross."
            }
            Self::Opening => {
                "Flow and filtered flow over the weeks, bypass below. The upright line is the day on which it says: \
                 open it, and why."
            }
            Self::Suits => {
                "The largest tank it suits, by stocking and by what limits it: ammonia, and clearing often enough."
            }
            Self::Notes => "What to know about this build, how it is handled, and what was told here lately.",
        }
    }
    /// Its place in [`Self::ALL`].
    pub fn number(self) -> usize {
        Self::ALL.iter().position(|p| *p == self).unwrap_or(0)
    }
    /// The one so many places on, round and round.
    pub fn step(self, by: isize) -> Self {
        Self::ALL.get(super::list::round(self.number(), by, Self::ALL.len())).copied().unwrap_or(self)
    }
    /// The `count` side panes that stand together with it: pairs keep their place, so turning to the second of
    /// a pair moves nothing.
    pub fn group(self, count: usize) -> Vec<Self> {
        let count = count.clamp(1, Self::SIDE.len());
        let at = Self::SIDE.iter().position(|p| *p == self).unwrap_or(0);
        let first = (at / count * count).min(Self::SIDE.len() - count);
        Self::SIDE.iter().copied().skip(first).take(count).collect()
    }
}

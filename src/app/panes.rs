//! The panes beside the table: their order, names, and which stand together.

#[derive(Default, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    #[default]
    Table,
    Section,
    /// Order of the media and rules broken.
    Staging,
    /// Where the pump's head goes.
    Head,
    Curve,
    /// Flow and bypass over the weeks.
    Timeline,
    Notes,
}

impl Pane {
    /// All, in the order in which `p` turns them; the table first.
    pub const ALL: [Self; 7] =
        [Self::Table, Self::Section, Self::Staging, Self::Head, Self::Curve, Self::Timeline, Self::Notes];
    /// Those beside the table.
    pub const SIDE: [Self; 6] =
        [Self::Section, Self::Staging, Self::Head, Self::Curve, Self::Timeline, Self::Notes];

    pub fn name(self) -> &'static str {
        match self {
            Self::Table => "Builds",
            Self::Section => "Section",
            Self::Staging => "Staging",
            Self::Head => "Head budget",
            Self::Curve => "Curve",
            Self::Timeline => "Open by",
            Self::Notes => "Notes",
        }
    }
    /// What it shows, for its help.
    pub fn says(self) -> &'static str {
        match self {
            Self::Table => {
                "One row a build; broken files stay at the end with `!`. A dash is a figure that cannot be told: \
                 the line below the table says why for the one under the cursor."
            }
            Self::Section => {
                "The vessel cut open, heights to scale. Each role of media has a letter and a hatch. A mark at the \
                 side is a place where water slips past the finest mechanical stage, with its share of the water, \
                 now and (after the arrow) on the day before it should be opened."
            }
            Self::Staging => {
                "Roles in the order in which the water meets them, and every rule of order that is broken, with \
                 what it costs by the model."
            }
            Self::Head => {
                "What the pump gives at this flow, and which part takes how much of it, in the order of the water. \
                 The height of the cabinet does not load the pump: both hose ends are under the same water. Below \
                 it, what would help most."
            }
            Self::Curve => {
                "What the pump gives over flow, and what hoses and vessel take, clean and on the day before it \
                 should be opened. It works where they cross."
            }
            Self::Timeline => {
                "Filtered flow and flow over the weeks, bypass below. The upright line is the day on which it says: \
                 open it, and why."
            }
            Self::Notes => "What to know about this build, and how it is handled.",
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_side_pane_is_in_its_own_group() {
        for count in 1..=6 {
            for pane in Pane::SIDE {
                let group = pane.group(count);
                assert!(group.contains(&pane) && group.len() == count, "{pane:?} {count}");
            }
        }
        assert_eq!(Pane::Table.group(2), [Pane::Section, Pane::Staging]);
        assert_eq!(Pane::Staging.group(2), [Pane::Section, Pane::Staging]);
        assert_eq!(Pane::Notes.step(1), Pane::Table);
    }
}

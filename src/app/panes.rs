//! The panes beside the table: their order, names, and which stand together.

use crate::message::worded;

worded! {
    /// What of Builds is in view where there is room for both: `v` turns it.
    #[derive(Default)]
    View word: &'static str {
        List "list";
        #[default]
        Both "both";
        Pane "pane";
    }
}

worded! {
    /// In the order in which `p` turns them; the table first.
    #[derive(Default)]
    Pane /// Its name, and what it shows.
    row: (&'static str, &'static str) {
        #[default]
        Table (
            "Builds",
            "One row a build; broken files stay at the end with `!`. A cell is middle low–high: 9 of 10 \
             simulated cases lie between. A dash is a figure that cannot be told: below the table stands why, \
             for the one under the cursor.",
        );
        Inside (
            "Inside",
            "The vessel cut open, heights to scale. Each role of media has a letter and a hatch. ◄ is a place \
             where water slips past the finest layer, with its share of the water, now and (after the arrow) \
             on the day before it should be opened.",
        );
        /// Where the pump's lift goes.
        Slows (
            "What slows the flow",
            "What the pump could lift, and which part uses up how much of it at this flow, in the order of the \
             water. The height of the cabinet does not load the pump: both hose ends are under the same water. \
             Below it, what would gain most.",
        );
        Order (
            "Media order",
            "Roles in the order in which the water meets them, and every rule of order that is broken, with \
             what it costs by the model.",
        );
        Curve (
            "Pump curve",
            "What the pump gives over flow, and what hoses and vessel take, clean and on the day before it \
             should be opened. It works where they cross.",
        );
        /// Flow and bypass over the weeks.
        Opening (
            "When to open",
            "Flow and filtered flow over the weeks, bypass below. The upright line is the day on which it says: \
             open it, and why.",
        );
        Suits (
            "Suits up to",
            "The largest tank it suits, by stocking and by what limits it: ammonia, and clearing often enough.",
        );
        Notes (
            "Notes",
            "What to know about this build, how it is handled, and what was told here lately.",
        );
    }
}

impl Pane {
    pub fn name(self) -> &'static str {
        self.row().0
    }
    /// The `count` side panes that stand together with it: pairs keep their place, so turning to the second of
    /// a pair moves nothing.
    pub fn group(self, count: usize) -> Vec<Self> {
        let beside = Self::ALL.len() - 1;
        let count = count.clamp(1, beside);
        let at = (self as usize).saturating_sub(1);
        let first = (at / count * count).min(beside - count);
        Self::ALL.into_iter().skip(1 + first).take(count).collect()
    }
}

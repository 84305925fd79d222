//! The screens, as a table: number keys, Tab and the header read it; and the places in which keys mean things.

use crate::message::worded;

worded! {
    /// The place of a row is its number key.
    #[derive(Default)]
    Tab name: &'static str {
        /// The sortable table with the pictures of the build under the cursor.
        #[default]
        Builds "Builds";
        Compare "Compare";
        Ranking "Ranking";
        /// The trays of one build as a list to work in.
        Restack "Restack";
        /// What the profile of a build says.
        Filter "Filter";
        Tank "Tank";
        /// Constants, cautions, and what is left out.
        Sources "Sources";
    }
}

/// Below this width only the screen in view keeps its name.
const NAMED: usize = 80;

/// The screens' labels in the header.
pub fn tabs(now: Tab, w: usize) -> Vec<(Tab, String)> {
    let label = |(tab, number): (Tab, usize)| {
        let whole = tab == now || w >= NAMED;
        (tab, if whole { format!(" {number} {} ", tab.name()) } else { format!(" {number}") })
    };
    Tab::ALL.into_iter().zip(1..).map(label).collect()
}

worded! {
    /// Where keys mean things.
    Place /// As the list of keys calls it.
    title: &'static str {
        Builds "Builds";
        Compare "Compare";
        Ranking "Ranking";
        Restack "Restack";
        Picker "Picker, over a screen";
        Proposals "Proposals, over a screen";
        Filter "Filter";
        Tank "Tank";
        /// Tank, with the list of tanks to start from in view.
        Tanks "Tanks, over a screen";
        Sources "Sources";
        Explain "Explain, over a screen";
        Reply "Reply, over a screen";
        Columns "Columns, over a screen";
    }
}

pub const ALL_PLACES: &[Place] = &Place::ALL;

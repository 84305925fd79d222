//! What the Sources screen knows.

use std::sync::Arc;

use crate::app::List;
use crate::assumptions::{A, Kind};
use crate::measures::Measure;
use crate::message::worded;
use crate::report::figures::Units;
use crate::report::sources::{Entry, LEFT_OUT_HEAD, WORDS_HEAD};

worded! {
    Part name: &'static str {
        Constants "Constants and assumptions";
        Words WORDS_HEAD;
        Media "Media";
        Fittings "Fittings";
        Cautions "Cautions";
        LeftOut LEFT_OUT_HEAD;
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    pub part: Part,
    pub constant: Option<A>,
    /// Its entry; cautions and what is left out have none.
    pub entry: Option<Entry>,
    /// All its words: what it says, or what is searched.
    pub text: String,
}

#[derive(Clone, Debug, Default)]
pub struct Sources {
    pub items: Arc<Vec<Item>>,
    pub wanted: String,
    pub kind: Option<Kind>,
    /// Which of those left is under the cursor; the window is one of lines, heads with them.
    pub list: List,
    pub whole: bool,
    /// Which measures use which constants, once it is known.
    pub uses: Vec<(A, Measure)>,
    pub made_for: Option<(u64, Units)>,
    /// The round the uses were asked in.
    pub asked: Option<u64>,
    pub seen: (String, Option<Kind>),
}

//! Why two builds differ: the difference shared out over the groups that differ, adding up exactly.
//!
//! Shapley 1953, "A value for n-person games": a group's share is what swapping it changes, averaged over all
//! orders in which the groups could be swapped. All subsets are run, so the shares are exact.

/// Most groups that may differ at once: 2^8 runs of the model.
pub const MOST: usize = 8;

/// What is swapped together from the first build to the second.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its names; several where groups cannot be swapped alone.
    pub names: Vec<String>,
    /// Bits that the model's run is given when it is swapped; none when it does not differ.
    pub bits: u32,
}

impl Group {
    /// One group; `bits` 0 when the two builds do not differ in it.
    pub fn new(name: &str, bits: u32) -> Self {
        Self { names: vec![name.to_owned()], bits }
    }
    /// Groups that can only be swapped together.
    pub fn merged(groups: &[Self]) -> Self {
        Self {
            names: groups.iter().flat_map(|g| g.names.iter().cloned()).collect(),
            bits: groups.iter().fold(0, |bits, g| bits | g.bits),
        }
    }
    /// Its names in one line: `trays and stack`.
    pub fn label(&self) -> String {
        match self.names.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
            None => String::new(),
        }
    }
}

/// A group's share in the difference.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    pub group: Group,
    /// What it adds to the difference, in the measure's unit; exactly 0 when it does not differ.
    pub amount: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Why {
    pub first: f64,
    pub second: f64,
    /// The shares, in the order of the groups; they add to `second − first`.
    pub shares: Vec<Share>,
}

/// Why no shares can be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Untold {
    /// More than [`MOST`] groups differ: merge some.
    TooManyGroups(usize),
    /// The build in which these bits are swapped has no figure for the measure.
    NoFigure(u32),
}

/// Shares the difference out. `value` gives the measure of the first build with the groups of these bits taken
/// from the second, NaN or infinite where it cannot be told; it is asked once for each subset of the groups that
/// differ.
pub fn why(groups: Vec<Group>, mut value: impl FnMut(u32) -> f64) -> Result<Why, Untold> {
    let differ: Vec<u32> = groups.iter().map(|g| g.bits).filter(|bits| *bits != 0).collect();
    if differ.len() > MOST {
        return Err(Untold::TooManyGroups(differ.len()));
    }
    let values = (0..1_usize << differ.len())
        .map(|set| {
            let members = differ.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1);
            let bits = members.fold(0, |all, (_, bits)| all | bits);
            let x = value(bits);
            if x.is_finite() { Ok(x) } else { Err(Untold::NoFigure(bits)) }
        })
        .collect::<Result<Vec<f64>, Untold>>()?;
    let mut amounts = (0..differ.len()).map(|i| shapley(&values, differ.len(), i));
    let shares = groups
        .into_iter()
        .map(|group| {
            let amount = if group.bits == 0 { 0.0 } else { amounts.next().unwrap_or(0.0) };
            Share { group, amount }
        })
        .collect();
    let end = |x: Option<&f64>| x.copied().unwrap_or(f64::NAN);
    Ok(Why { first: end(values.first()), second: end(values.last()), shares })
}

/// The Shapley value of player `i` of `n`; `values` holds the game's value of each coalition, by its bits.
fn shapley(values: &[f64], n: usize, i: usize) -> f64 {
    let gain = |set: usize| Some(values.get(set | 1 << i)? - values.get(set)?);
    (0..values.len())
        .filter(|set| set >> i & 1 == 0)
        .filter_map(|set| Some(weight(set.count_ones() as usize, n) * gain(set)?))
        .sum()
}

/// Share of the orders of `n` players in which exactly the `before` players of one given set stand before one
/// given player: before! (n − 1 − before)!/n!.
fn weight(before: usize, n: usize) -> f64 {
    let factorial = |k: usize| (1..=k).map(|x| x as f64).product::<f64>();
    factorial(before) * factorial(n - 1 - before) / factorial(n)
}

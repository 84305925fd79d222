//! The search: every stack where there are few, else a beam over edits until nothing in it can be improved.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, Ordering};

use super::candidates::{MANY, SearchSpace, Stack};
use super::score::Scale;
use crate::assess::figures::{Figures, figures};
use crate::assess::{Case, Effort};
use crate::model::{Filter, Tank};
use crate::order::InOrder;
use crate::parallel::map;
use crate::uncertainty::Nominal;

/// Up to so many stacks each one is judged.
const FEW: usize = 6000;
/// Stacks of one kind (the same media in the same trays) that the beam holds at most.
const OF_A_KIND: usize = 2;
/// Stacks judged between two looks at the progress.
const BATCH: usize = 256;

#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    pub value: f64,
    pub stack: Stack,
}

pub struct Task<'a> {
    pub filter: &'a Filter,
    pub tank: &'a Tank,
    pub space: &'a SearchSpace<'a>,
    pub scale: &'a Scale,
    /// Stacks worked on at once.
    pub beam: usize,
    /// Stacks judged at most; the best one is still improved to the end.
    pub most: usize,
    pub stop: &'a AtomicBool,
    pub threads: usize,
}

/// Rooms and layers judged at most, over the stacks that are judged at most, before only the best is worked on, and
/// before that ends as well. What a stack costs goes with them: a search of many rooms is cut short, and says so.
const WIDE: usize = 15;
const LONG: usize = 22;

/// The best stacks first, at most `keep` kinds, looked for from plain stacks and from `more`; and whether it looked at
/// part of what it would have. None when it was stopped.
pub fn search(
    task: &Task<'_>,
    keep: usize,
    more: &[Stack],
    progress: &mut impl FnMut(f64),
) -> Option<(Vec<Found>, bool)> {
    let mut found: Vec<Found> = Vec::new();
    if let Some(all) = task.space.all(FEW) {
        let batches = all.chunks(BATCH);
        let count = batches.len().max(1) as f64;
        for (i, batch) in batches.enumerate() {
            found.extend(judged(task, batch, f64::NEG_INFINITY)?);
            progress((i + 1) as f64 / count);
        }
        return Some((best_kinds(found, keep, 1), false));
    }
    let mut seen: BTreeSet<Stack> = BTreeSet::new();
    let mut starts = task.space.plain();
    starts.extend_from_slice(more);
    starts.sort();
    starts.dedup();
    let work = |stacks: &[Stack]| stacks.iter().map(|stack| stack.len() + task.space.rooms()).sum::<usize>();
    let mut part = task.space.rooms() > MANY;
    // A third of the work goes into starts.
    let every = (work(&starts) * 3).div_ceil((task.most * LONG).max(1)).max(1);
    if every > 1 {
        part = true;
        starts = starts.into_iter().step_by(every).collect();
    }
    seen.extend(starts.iter().cloned());
    let wide = keep.max(task.beam);
    let mut bar = f64::NEG_INFINITY;
    for batch in starts.chunks(BATCH * 4) {
        found.extend(judged(task, batch, bar)?);
        found = best_kinds(found, wide, OF_A_KIND);
        bar = found.get(wide - 1).map_or(f64::NEG_INFINITY, |f| f.value);
    }
    let mut done: BTreeSet<Stack> = BTreeSet::new();
    let (mut count, mut worked) = (starts.len(), work(&starts));
    loop {
        found = best_kinds(found, wide, OF_A_KIND);
        // Past the limit only the best is worked on, until it is the best of its neighbours.
        let width = if count < task.most && worked < task.most * WIDE { task.beam } else { 1 };
        let open: Vec<Stack> =
            found.iter().take(width).map(|f| &f.stack).filter(|s| !done.contains(*s)).cloned().collect();
        let enough = worked >= task.most * LONG;
        if open.is_empty() || enough {
            return Some((best_kinds(found, keep, 1), part || enough));
        }
        // Nothing below the last of the beam can enter it.
        let bar = found.get(wide - 1).map_or(f64::NEG_INFINITY, |f| f.value);
        let mut fresh: Vec<Stack> = Vec::new();
        for stack in open {
            fresh.extend(task.space.edits(&stack).into_iter().filter(|next| seen.insert(next.clone())));
            done.insert(stack);
        }
        let room = (task.most * LONG).saturating_sub(worked) / (task.space.rooms() + 1);
        if fresh.len() > room.max(1) {
            part = true;
            let every = fresh.len().div_ceil(room.max(1));
            fresh = fresh.into_iter().step_by(every).collect();
        }
        worked += work(&fresh);
        for batch in fresh.chunks(BATCH) {
            found.extend(judged(task, batch, bar)?);
            count += batch.len();
            progress((count as f64 / task.most as f64).min(0.95));
        }
    }
}

/// The best `keep` kinds, best first, of each kind the best `each`.
fn best_kinds(mut found: Vec<Found>, keep: usize, each: usize) -> Vec<Found> {
    found.order_by(|a, b| {
        let layers = a.stack.len().cmp(&b.stack.len());
        b.value.total_cmp(&a.value).then(layers).then_with(|| a.stack.cmp(&b.stack))
    });
    let mut kinds = std::collections::BTreeMap::new();
    found.retain(|f| {
        let count = kinds.entry(SearchSpace::kind(&f.stack)).or_insert(0_usize);
        *count += 1;
        *count <= each
    });
    found.truncate(keep);
    found
}

/// Judges stacks, those aside that are no legal ones or cannot reach `bar`. None when it was stopped.
fn judged(task: &Task<'_>, stacks: &[Stack], bar: f64) -> Option<Vec<Found>> {
    let one = |stack: &Stack| {
        if task.stop.load(Ordering::Relaxed) {
            return None;
        }
        let Some(build) = task.space.lay(stack, super::WORKING_NAME) else { return Some(None) };
        let case = Case::new(task.filter, &build, Some(task.tank));
        let layers = super::layers(&build);
        if bar > f64::NEG_INFINITY {
            let clean: Figures<f64> = figures(&case, &Nominal, Effort { ageing: false, ..Effort::FULL });
            if task.scale.at_most(&clean, layers) < bar {
                return Some(None);
            }
        }
        let value = task.scale.value(&figures(&case, &Nominal, Effort::FULL), layers);
        Some(Some(Found { value, stack: stack.clone() }))
    };
    let all: Option<Vec<Option<Found>>> = map(task.threads, stacks, one).into_iter().collect();
    all.map(|all| all.into_iter().flatten().collect())
}

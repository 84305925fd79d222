//! Marks beside the section: each leak at its own row, or as near as there is room.

use super::super::super::text;
use super::scale::{Item, What};
use super::word;
use crate::assess::Leak;
use crate::assess::assessment::LeakPlace;
use crate::assess::findings::WORTH_MARKING;
use crate::assumptions::A;
use crate::order::InOrder;
use crate::report::figures;

pub struct Marks {
    leaks: Vec<(Leak, Option<usize>)>,
}

impl Marks {
    /// Gives each leak a row, the greatest first.
    pub fn place(leaks: &[Leak], items: &[Item<'_>]) -> Self {
        let mut leaks: Vec<Leak> = leaks.iter().filter(|l| l.share >= WORTH_MARKING).cloned().collect();
        leaks.order_by(|a, b| b.share.total_cmp(&a.share));
        let rows: usize = items.iter().map(|i| i.rows).sum();
        let mut taken = vec![false; rows];
        let leaks = leaks
            .into_iter()
            .map(|leak| {
                let row = wanted(&leak, items).and_then(|at| {
                    (0..rows)
                        .filter(|r| taken.get(*r) == Some(&false))
                        .min_by_key(|r| (r.abs_diff(at), *r < at))
                });
                if let Some(slot) = row.and_then(|r| taken.get_mut(r)) {
                    *slot = true;
                }
                (leak, row)
            })
            .collect();
        Self { leaks }
    }

    pub fn seal(&self, tray: usize) -> bool {
        self.leaks.iter().any(|(l, _)| l.place == LeakPlace::Seal { tray })
    }
    /// Whether water leaves the tube above that tray.
    pub fn joint(&self, tray: usize) -> bool {
        self.leaks.iter().any(|(l, _)| l.place == LeakPlace::Joint { tray })
    }

    /// What stands beside a row of the drawing, and whether that is more than a quarter of the water.
    pub fn said(&self, row: usize, room: usize) -> Option<(String, bool)> {
        let (leak, _) = self.leaks.iter().find(|(_, at)| *at == Some(row))?;
        let kind = word(leak.place);
        let share = figures::share(leak.share);
        let (long, short) = match late(leak) {
            Some(late) => {
                let bare = share.trim_end_matches(" %");
                (format!("◄ {kind} {share} → {late}"), format!("◄{kind} {bare}→{late}"))
            }
            None => (format!("◄ {kind} {share}"), String::new()),
        };
        let candidates = [
            long,
            short,
            format!("◄ {kind} {share}"),
            format!("◄{kind} {}", share.replace(' ', "")),
            format!("◄{}", share.replace(' ', "")),
        ];
        let much = leak.share.max(leak.share_at_service.unwrap_or(0.0)) > A::RiskyBypass.value();
        let said = candidates.into_iter().find(|c| !c.is_empty() && text::width(c) <= room);
        said.map(|said| (said, much))
    }

    /// Leaks without a row; all of them where there is no room beside the drawing.
    pub fn left_over(&self, all: bool) -> Vec<String> {
        self.leaks
            .iter()
            .filter(|(_, row)| all || row.is_none())
            .map(|(leak, _)| {
                let late = late(leak).map_or(String::new(), |l| format!(" → {l}"));
                format!("◄ {}: {}{late}", text::clean(&leak.at), figures::share(leak.share))
            })
            .collect()
    }
}

/// The share at service where it reads differently.
fn late(leak: &Leak) -> Option<String> {
    leak.share_at_service.map(figures::share).filter(|late| *late != figures::share(leak.share))
}

fn wanted(leak: &Leak, items: &[Item<'_>]) -> Option<usize> {
    let mut at = 0;
    let mut lowest_of_tray = None;
    for item in items {
        let here = match (leak.place, &item.what) {
            (LeakPlace::Slack { tray, layer }, What::Layer { layer: l, .. }) => {
                (layer == *l && tray == item.tray()).then_some(at)
            }
            // The hole is drawn in the middle of the pad.
            (LeakPlace::Hole { tray, layer }, What::Layer { layer: l, .. }) => {
                (layer == *l && tray == item.tray()).then_some(at + item.rows / 2)
            }
            (LeakPlace::Joint { tray }, _) => (item.first && item.tray() == Some(tray)).then_some(at),
            (LeakPlace::Seal { tray }, _) => {
                if item.tray() == Some(tray) {
                    lowest_of_tray = Some(at + item.rows - 1);
                }
                None
            }
            _ => None,
        };
        if here.is_some() {
            return here;
        }
        at += item.rows;
    }
    lowest_of_tray
}

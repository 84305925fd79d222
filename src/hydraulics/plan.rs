//! Which passages a build has and how they join: the one picture of the vessel that hydraulics, crossing,
//! dirt, nitrogen, the section drawing and the head budget all read. No figures yet, so all draws share it.

use std::sync::Arc;

use super::beds::OwnKeys;
use super::network::Graph;
use super::transport::{Stop, Walk};
use crate::model::filter::{Build, Filter, Way};
use crate::model::medium::Role;
use crate::model::tray::Layer;
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::Quantity;

/// What a passage is. Trays count from 0 at the bottom; layers as in [`Plan::layers`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Pump, hoses and outlet, from where the pump draws back to the inlet.
    Outside,
    /// First half of the down pipe in the water's order.
    TubeIn,
    /// Second half.
    TubeOut,
    /// Gap between tray and tray where they form the tube.
    Joint {
        /// The tray below it.
        tray: usize,
    },
    /// Floor grid of a tray.
    Grid { tray: usize },
    /// Gap of a tray's seal.
    Seal { tray: usize },
    /// Through the media of a layer.
    Media { layer: usize },
    /// Round the edge of a layer.
    Slack { layer: usize },
    /// Through a hole in a layer.
    Hole { layer: usize },
    /// Nothing in the way at all.
    Open,
}

/// A layer in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LayerAt {
    /// Which tray; none is the floor.
    pub tray: Option<usize>,
    /// Which layer of it, from the bottom.
    pub index: usize,
    pub role: Role,
    /// Its media's passage.
    pub media: usize,
    /// Passage round its edge.
    pub slack: Option<usize>,
    /// Passage through its hole.
    pub hole: Option<usize>,
}

impl LayerAt {
    /// The layer itself in its build.
    pub fn of(self, build: &Build) -> Option<&Layer> {
        match self.tray {
            None => build.floor.get(self.index),
            Some(tray) => build.trays.get(tray)?.get(self.index),
        }
    }
}

/// The vessel as a graph.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Nodes and passages.
    pub graph: Graph,
    /// What each passage is.
    pub what: Vec<What>,
    /// All layers in the order the water meets them.
    pub layers: Vec<LayerAt>,
    /// Nodes in the order the water meets them.
    pub walk: Walk,
    /// Position on the walk of the chamber below and above each tray, in the water's order.
    pub tray_ends: Vec<(usize, usize)>,
    /// Keys of the filter's own halves of the constants.
    pub own: Arc<OwnKeys>,
    /// The same vessel with every layer taken out; none where nothing at all stands in the water's way then.
    pub bare: Option<Arc<Self>>,
}

/// Is there a gap at all? One that is nothing without doubt is no passage.
fn gapes<Q: Quantity>(figure: Option<&Uncertain<Q>>) -> bool {
    figure.is_some_and(|f| f.si() > 0.0 || f.spread != Spread::Exact)
}

/// A passage between two positions along the water's way.
struct Link {
    from: usize,
    to: usize,
    what: What,
}

struct Drafting<'a> {
    links: Vec<Link>,
    layers: Vec<LayerAt>,
    rims: Vec<(usize, usize, usize)>,
    build: &'a Build,
    with_layers: bool,
    here: usize,
}

impl Drafting<'_> {
    fn link(&mut self, from: usize, to: usize, what: What) -> usize {
        self.links.push(Link { from, to, what });
        self.links.len() - 1
    }

    /// A passage onward to a new position.
    fn onward(&mut self, what: What) -> usize {
        let from = self.here;
        self.here += 1;
        self.link(from, from + 1, what)
    }

    fn space(&mut self, tray: Option<usize>, way: Way) {
        if !self.with_layers {
            return;
        }
        let build = self.build;
        let layers = match tray {
            None => build.floor.as_slice(),
            Some(t) => build.trays.get(t).map_or(&[][..], Vec::as_slice),
        };
        let order: Box<dyn Iterator<Item = usize>> = match way {
            Way::Rising => Box::new(0..layers.len()),
            Way::Falling => Box::new((0..layers.len()).rev()),
        };
        let mut rim_before = None;
        for index in order {
            let Some(layer) = layers.get(index) else { continue };
            let number = self.layers.len();
            let from = self.here;
            let media = self.onward(What::Media { layer: number });
            let to = self.here;
            let slack =
                gapes(layer.slack.as_ref()).then(|| self.link(from, to, What::Slack { layer: number }));
            let hole = gapes(layer.hole.as_ref()).then(|| self.link(from, to, What::Hole { layer: number }));
            if let (Some(before), Some(after)) = (rim_before, slack) {
                self.rims.push((from, before, after));
            }
            rim_before = slack;
            self.layers.push(LayerAt { tray, index, role: layer.medium.role, media, slack, hole });
        }
    }

    fn tube(&mut self) -> usize {
        self.onward(What::TubeIn);
        let middle = self.here;
        self.onward(What::TubeOut);
        middle
    }
}

impl Plan {
    /// The vessel of a build.
    pub fn new(filter: &Filter, build: &Build) -> Self {
        let own = Arc::new(OwnKeys::new(&filter.id));
        let bare = Self::draft(filter, build, false, Arc::clone(&own));
        let stands = bare.what.iter().any(|what| !matches!(what, What::Open | What::Outside));
        Self { bare: stands.then(|| Arc::new(bare)), ..Self::draft(filter, build, true, own) }
    }

    fn draft(filter: &Filter, build: &Build, with_layers: bool, own: Arc<OwnKeys>) -> Self {
        let mut d =
            Drafting { links: Vec::new(), layers: Vec::new(), rims: Vec::new(), build, with_layers, here: 0 };
        let tube = filter.body.down_tube.as_ref();
        let trays = filter.trays.len();
        let mut middle = None;
        let mut above = vec![0; trays];
        let mut tray_ends = vec![(0, 0); trays];
        let mut settles_at = None;
        if filter.way == Way::Rising {
            middle = tube.map(|_| d.tube());
            settles_at = Some(d.here);
            d.space(None, Way::Rising);
        }
        for step in 0..trays {
            let t = if filter.way == Way::Rising { step } else { trays - 1 - step };
            let Some(tray) = filter.trays.get(t) else { continue };
            let start = d.here;
            let grid = tray.grid.is_some();
            if grid && filter.way == Way::Rising {
                d.onward(What::Grid { tray: t });
            }
            d.space(Some(t), filter.way);
            if grid && filter.way == Way::Falling {
                d.onward(What::Grid { tray: t });
            }
            let end = d.here;
            if end > start && gapes(tray.seal.as_ref().map(|s| &s.gap)) {
                d.link(start, end, What::Seal { tray: t });
            }
            let rising = filter.way == Way::Rising;
            if let Some(a) = above.get_mut(t) {
                *a = if rising { end } else { start };
            }
            if let Some(e) = tray_ends.get_mut(t) {
                *e = (start, end);
            }
        }
        if filter.way == Way::Falling {
            settles_at = Some(d.here);
            d.space(None, Way::Falling);
            middle = tube.map(|_| d.tube());
        }
        if d.here == 0 {
            d.onward(What::Open);
        }
        let joints = middle.filter(|_| gapes(tube.and_then(|t| t.joint.as_ref())));
        if let Some(middle) = joints {
            for (t, &chamber) in above.iter().enumerate().take(trays.saturating_sub(1)) {
                let (from, to) =
                    if filter.way == Way::Rising { (middle, chamber) } else { (chamber, middle) };
                d.link(from, to, What::Joint { tray: t });
            }
        }
        let settles_at = settles_at.filter(|_| filter.body.floor.is_some());
        d.finish(joints, settles_at, tray_ends, own)
    }
}

impl Drafting<'_> {
    /// Numbers the nodes: the last position is node 0; the middle of a jointed tube comes last, so that
    /// eliminating it does not join every chamber to every other.
    fn finish(
        self,
        jointed: Option<usize>,
        settles_at: Option<usize>,
        tray_ends: Vec<(usize, usize)>,
        own: Arc<OwnKeys>,
    ) -> Plan {
        let last = self.here;
        let count = last + 1;
        let node = |position: usize| -> u16 {
            let number = match jointed {
                _ if position == last => 0,
                Some(middle) if position == middle => count - 1,
                Some(middle) if position > middle => position,
                _ => position + 1,
            };
            number as u16
        };
        let mut stops = vec![Stop::default(); count];
        for (p, link) in self.links.iter().enumerate() {
            if let Some(stop) = stops.get_mut(link.to) {
                stop.arriving.push(p as u16);
            }
            if let Some(stop) = stops.get_mut(link.from) {
                stop.leaving.push(p as u16);
            }
        }
        for &(at, before, after) in &self.rims {
            if let Some(stop) = stops.get_mut(at) {
                stop.rim = Some((before as u16, after as u16));
            }
        }
        if let Some(stop) = settles_at.and_then(|at| stops.get_mut(at)) {
            stop.settles = true;
        }
        let mut joins: Vec<(u16, u16)> = self.links.iter().map(|l| (node(l.from), node(l.to))).collect();
        let mut what: Vec<What> = self.links.iter().map(|l| l.what).collect();
        joins.push((0, node(0)));
        what.push(What::Outside);
        let (graph, walk) = (Graph::new(count, joins), Walk { stops });
        Plan { graph, what, layers: self.layers, walk, tray_ends, own, bare: None }
    }
}

impl Plan {
    /// The passage through pump and hoses: the last.
    pub fn outside(&self) -> usize {
        self.what.len().saturating_sub(1)
    }

    /// The finest mechanical role present, from coarse to polishing.
    pub fn finest(&self) -> Option<Role> {
        self.layers.iter().map(|l| l.role).filter(|r| r.fineness().is_some()).max_by_key(|r| r.fineness())
    }
}

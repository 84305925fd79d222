//! Pump, hoses, fittings, outlet.

use super::check::{Check, Owner};
use super::explain::nearest;
use super::schema;
use super::spanned::{At, List};
use crate::assumptions::A;
use crate::library::Part;
use crate::model::hoses::{Fitting, Hose, Outlet, Wall};
use crate::model::pump::{Curve, CurvePoint, Pump, Taken};
use crate::model::ranges as r;
use crate::uncertainty::key::Spot;
use crate::uncertainty::uncertain::{Provenance, Uncertain};
use crate::units::{Length, Plain};

/// Most fittings of one side.
const MAX_FITTINGS: usize = 40;
/// Most points of a pump curve.
const MAX_POINTS: usize = 200;

/// A strainer when nothing is said: 25 mm across, 80 mm long, 0.35 open.
const STRAINER: (f64, f64, f64) = (0.025, 0.080, 0.35);

/// What one entry of `suction` or `delivery` comes to.
pub enum Piece {
    /// Fitted into the hose.
    Fitting(Fitting),
    /// The end of the delivery side.
    Outlet(Outlet),
}

impl Check<'_, '_, '_> {
    /// The pump; all of it may be left out.
    pub fn pump(&mut self, at: Option<&At<schema::Pump>>) -> Option<Pump> {
        let Some(at) = at else {
            return Some(Pump { taken: Taken::AtPorts, curve: None, power: None, hz: None });
        };
        let (form, _) = self.form(at)?;
        let taken = match self.optional(form.taken.as_ref()) {
            Some(schema::Taken::AtImpeller) => Taken::AtImpeller,
            Some(schema::Taken::AtPorts) | None => Taken::AtPorts,
        };
        let curve = form.curve.as_ref().and_then(|at| self.curve(at));
        let power = self.figure(form.power.as_ref(), &r::PUMP_POWER, "pump/power");
        let hz = self.figure(form.hz.as_ref(), &r::HZ, "pump/hz");
        Some(Pump { taken, curve, power, hz })
    }

    fn curve(&mut self, at: &At<schema::Curve>) -> Option<Curve> {
        let (form, owner) = self.form(at)?;
        let list = match &form {
            schema::Curve::Ends { flow, head } => {
                let flow = self.needed(flow.as_ref(), &owner, "flow", &r::PUMP_FLOW, "pump/flow");
                let head = self.needed(head.as_ref(), &owner, "head", &r::PUMP_HEAD, "pump/head");
                return Some(Curve::Ends { flow: flow?, head: head? });
            }
            schema::Curve::Points(list) => list,
        };
        let points = self.reader.list(list, "a pump curve's `points`", MAX_POINTS)?;
        if points.len() < 2 {
            self.fault(
                list,
                format!("a pump curve needs two points or more, found {}", points.len()),
                "add the point without flow and the point without head, or write `ends(flow: …, head: …)`",
            );
            return None;
        }
        let mut read: Vec<CurvePoint> = Vec::new();
        for (i, point) in points.iter().enumerate() {
            let Some((flow, head)) = self.reader.pair(point, "a point", "(l_h(620), m(0.9))") else {
                continue;
            };
            let (flow_at, head_at) = (flow, head);
            let at = Spot::from("pump/points").item(i);
            let flow = self.figure(Some(&flow_at), &r::POINT_FLOW, at.part("flow"));
            let head = self.figure(Some(&head_at), &r::POINT_HEAD, at.part("head"));
            let (Some(mut flow), Some(mut head)) = (flow, head) else { continue };
            // What is printed is one curve: it is right or wrong as a whole.
            if flow.known == Provenance::Stated {
                flow.key = self.key("pump/flow", &r::PUMP_FLOW);
            }
            if head.known == Provenance::Stated {
                head.key = self.key("pump/head", &r::PUMP_HEAD);
            }
            if let Some(last) = read.last() {
                if flow.si() <= last.flow.si() {
                    self.fault(
                        &flow_at,
                        "the flow of this point is not above that of the point before",
                        "list the points from no flow to the most, each flow once",
                    );
                    continue;
                }
                if head.si() >= last.head.si() {
                    self.fault(
                        &head_at,
                        "the head of this point is not below that of the point before",
                        "a pump's head falls as its flow rises: check the two figures",
                    );
                    continue;
                }
            }
            read.push(CurvePoint { flow, head });
        }
        (read.len() == points.len()).then_some(Curve::Points(read))
    }

    /// The hose.
    pub fn hose(&mut self, at: Option<&At<schema::Hose>>, filter: &Owner) -> Option<Hose> {
        let (form, owner) = self.required(at, filter, "hose").and_then(|at| self.form(at))?;
        let bore = self.needed(form.bore.as_ref(), &owner, "bore", &r::HOSE_BORE, "hose/bore");
        let wall = match &form.wall {
            None => Some(Wall::Smooth),
            Some(at) => self.form(at).and_then(|(wall, owner)| match wall {
                schema::Wall::Smooth => Some(Wall::Smooth),
                schema::Wall::Ribbed { pitch } => self
                    .needed(pitch.as_ref(), &owner, "pitch", &r::RIB_PITCH, "hose/pitch")
                    .map(|pitch| Wall::Ribbed { pitch }),
            }),
        };
        Some(Hose { bore: bore?, wall: wall? })
    }

    /// The fittings of one side, and the outlet if this is the delivery side and names one.
    pub fn side(
        &mut self,
        at: Option<&At<List<schema::Part>>>,
        side: &'static str,
        may_end: bool,
    ) -> (Vec<Fitting>, Option<Outlet>) {
        let list = self.list(at, &format!("`{side}`"), MAX_FITTINGS);
        let (mut fittings, mut outlet) = (Vec::new(), None);
        let last = list.len().saturating_sub(1);
        for (i, at) in list.iter().enumerate() {
            match self.piece(at, &Spot::from(side).item(i), &"outlet".into()) {
                None => {}
                Some(Piece::Fitting(fitting)) => fittings.push(fitting),
                Some(Piece::Outlet(_)) if !may_end => self.fault(
                    at,
                    "an outlet stands on the suction side",
                    "the outlet belongs at the end of `delivery`",
                ),
                Some(Piece::Outlet(_)) if i != last => self.fault(
                    at,
                    "something stands behind the outlet",
                    "list fittings in the order the water meets them: the outlet comes last",
                ),
                Some(Piece::Outlet(found)) => outlet = Some(found),
            }
        }
        (fittings, outlet)
    }

    /// One entry of a side, with the keys its figures go under.
    pub fn piece(&mut self, at: &At<schema::Part>, key: &Spot, outlet_key: &Spot) -> Option<Piece> {
        let (form, owner) = self.form(at)?;
        let key = |field| key.part(field);
        let fitting = match &form {
            schema::Part::Strainer { diameter, length, open } => {
                let (across, long, share) = STRAINER;
                let diameter = self.or_assumed(
                    diameter.as_ref(),
                    &r::STRAINER_DIAMETER,
                    &key("diameter"),
                    Length::of(across),
                );
                let length =
                    self.or_assumed(length.as_ref(), &r::STRAINER_LENGTH, &key("length"), Length::of(long));
                let open = self.or_assumed(open.as_ref(), &r::OPEN_SHARE, &key("open"), Plain::of(share));
                Fitting::Strainer { diameter: diameter?, length: length?, open: open? }
            }
            schema::Part::Connector { bore, length } => {
                let (bore, length) = self.narrow(bore.as_ref(), length.as_ref(), &owner, &key);
                Fitting::Connector { bore: bore?, length: length? }
            }
            schema::Part::Tap { bore, length } => {
                let (bore, length) = self.narrow(bore.as_ref(), length.as_ref(), &owner, &key);
                Fitting::Tap { bore: bore?, length: length? }
            }
            schema::Part::Elbow(count) => {
                Fitting::Elbow { count: self.figure(Some(count), &r::ELBOWS, &key("count"))? }
            }
            schema::Part::Outlet(outlet) => return self.outlet(outlet, outlet_key).map(Piece::Outlet),
            schema::Part::Fitting(id) => return self.called(id),
        };
        Some(Piece::Fitting(fitting))
    }

    /// A fitting called by its id: what the library's entry holds stands here.
    fn called(&mut self, at: &At<String>) -> Option<Piece> {
        let id = self.reader.get(at)?;
        if let Some(named) = self.library.fitting(&id) {
            return Some(match &named.part {
                Part::Fitting(fitting) => Piece::Fitting(fitting.clone()),
                Part::Outlet(outlet) => Piece::Outlet(outlet.clone()),
            });
        }
        let help = nearest(&id, self.library.fittings().map(|named| named.id.as_str())).map_or_else(
            || {
                "write the fitting itself, such as `tap(bore: mm(12.5))`, or add it to a list of fittings"
                    .to_owned()
            },
            |near| format!("did you mean `{near}`?"),
        );
        self.fault(at, format!("no fitting is called `{id}`"), &help);
        None
    }

    fn narrow(
        &mut self,
        bore: Option<&At<Length>>,
        length: Option<&At<Length>>,
        owner: &Owner,
        key: &dyn Fn(&'static str) -> Spot,
    ) -> (Option<Uncertain<Length>>, Option<Uncertain<Length>>) {
        let usual = Length::of(A::FittingLength.entry().value);
        (
            self.needed(bore, owner, "bore", &r::FITTING_BORE, &key("bore")),
            self.or_assumed(length, &r::FITTING_LENGTH, &key("length"), usual),
        )
    }

    fn outlet(&mut self, at: &At<schema::Outlet>, key: &Spot) -> Option<Outlet> {
        let (form, owner) = self.form(at)?;
        let key = |field| key.part(field);
        match &form {
            schema::Outlet::Open => Some(Outlet::Open),
            schema::Outlet::Jet { bore } => self
                .needed(bore.as_ref(), &owner, "bore", &r::JET_BORE, &key("bore"))
                .map(|bore| Outlet::Jet { bore }),
            schema::Outlet::SprayBar { bore, holes, hole, pitch } => {
                let bore = self.needed(bore.as_ref(), &owner, "bore", &r::BAR_BORE, &key("bore"));
                if holes.is_none() {
                    self.missing(&owner, "holes", "20");
                }
                let holes = self.count(holes.as_ref(), &r::BAR_HOLES);
                let hole = self.needed(hole.as_ref(), &owner, "hole", &r::BAR_HOLE, &key("hole"));
                let pitch = self.needed(pitch.as_ref(), &owner, "pitch", &r::BAR_PITCH, &key("pitch"));
                Some(Outlet::SprayBar { bore: bore?, holes: holes?, hole: hole?, pitch: pitch? })
            }
        }
    }
}

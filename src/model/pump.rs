//! The pump as the box or a bucket tells it. Its laws stand in `hydraulics::pump`.

use super::fields::{Printed, choice, choice_field, form, row};
use crate::assumptions::A;
use crate::uncertainty::Uncertain;
use crate::units::{Flow, Length, Plain, Power};
use crate::ways;

form! {
    Pump "Pump" "a pump" "Pump(curve: ends(flow: l_h(1100), head: m(1.7)), power: w(18))" {
        taken: Taken = row("where a pump's figures were taken").label("figures taken").or_word("at_ports")
            .like("at_ports").says("`at_ports`: the empty vessel's own loss is inside; or `at_impeller`")
            .without("at_ports");
        curve: Option<Curve> = row("a pump curve").label("curve").keyless().like("ends(flow: l_h(1100), head: m(1.7))")
            .says("flow and head").or_made(A::LeftFlow);
        power: Option<Uncertain<Power>> = row("pump power").label("power").range(0.5, 500.0, "w").like("w(18)")
            .says("electrical power").or_made(A::LeftPower).measure("plug-in power meter");
        hz: Option<Uncertain<Plain>> = row("mains frequency (hertz)").label("mains, Hz").range(40.0, 70.0, "").exact()
            .like("50").says("mains the figures were taken on").without("mains play no part")
            .measure(ways::PLATE);
    }
}

choice! {
    #[derive(Copy, Eq, Default)]
    Taken "where a pump's figures were taken" "at_ports", {
        /// The empty vessel's own loss is inside.
        #[default]
        AtPorts "at_ports" "at the ports",
        AtImpeller "at_impeller" "at the impeller",
    }
}

choice! {
    Curve "a pump curve" "ends(flow: l_h(1100), head: m(1.7))", {
        Ends "ends" "between its ends" (named) {
            flow: Uncertain<Flow> = row("pump flow").label("flow without head").range(10.0, 20_000.0, "l_h")
                .printed(Printed::PumpFlow).like("l_h(1100)").says("against no head")
                .measure(ways::BUCKET);
            head: Uncertain<Length> = row("pump head").label("head without flow").range(0.1, 10.0, "m")
                .printed(Printed::PumpHead).like("m(1.7)").says("at no flow").or_made(A::LeftHead)
                .measure("raise the return hose until the flow stops, measure up from the water");
        },
        /// With rising flow and falling head, two or more.
        Points "points" "through points" (place) {
            points: Vec<CurvePoint> = row("a pump curve's `points`").label("points").most(200)
                .like("[(l_h(0), m(1.7)), (l_h(620), m(0.9))]").says("from no flow to the most, each flow once");
        },
    }
}

form! {
    CurvePoint "CurvePoint" "a point" "(l_h(620), m(0.9))" by place {
        flow: Uncertain<Flow> = row("flow of a curve's point").label("flow").range(0.0, 20_000.0, "l_h")
            .printed(Printed::PumpFlow).like("l_h(620)").measure("bucket and watch");
        head: Uncertain<Length> = row("head of a curve's point").label("head").range(0.0, 10.0, "m")
            .printed(Printed::PumpHead).like("m(0.9)")
            .measure("raise the return hose, measure up from the water");
    }
}
choice_field!(Taken, Curve);

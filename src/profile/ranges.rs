//! What a figure may plausibly be, and how doubtful it is when nobody says: one row a field.

pub use crate::model::fields::Printed;

/// One field of the files.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Its name in messages.
    pub name: &'static str,
    /// The unit of its bounds; empty for a bare number.
    pub unit: &'static str,
    /// Least plausible value.
    pub low: f64,
    /// Greatest plausible value.
    pub high: f64,
    /// Doubt when plain.
    pub printed: Printed,
}

macro_rules! fields {
    ($($name:ident $says:literal $low:literal to $high:literal $unit:literal $printed:ident;)+) => { $(
        #[doc = concat!("The ", $says, ".")]
        pub const $name: Field =
            Field { name: $says, unit: $unit, low: $low, high: $high, printed: Printed::$printed };
    )+
        /// Every field, for help and tests.
        pub const ALL: &[Field] = &[$($name),+];
    };
}

fields! {
    LABEL_FLOW "printed flow" 10.0 to 20_000.0 "l_h" PumpFlow;
    LABEL_TANK "printed tank volume" 5.0 to 20_000.0 "l" Usual;
    PUMP_FLOW "pump flow" 10.0 to 20_000.0 "l_h" PumpFlow;
    PUMP_HEAD "pump head" 0.1 to 10.0 "m" PumpHead;
    POINT_FLOW "flow of a curve's point" 0.0 to 20_000.0 "l_h" PumpFlow;
    POINT_HEAD "head of a curve's point" 0.0 to 10.0 "m" PumpHead;
    PUMP_POWER "pump power" 0.5 to 500.0 "w" Usual;
    HZ "mains frequency (hertz)" 40.0 to 70.0 "" Exact;
    HOSE_BORE "hose bore" 3.0 to 60.0 "mm" Usual;
    RIB_PITCH "pitch of the ribs" 0.5 to 30.0 "mm" Usual;
    FITTING_BORE "bore of a fitting" 2.0 to 60.0 "mm" Usual;
    FITTING_LENGTH "length of a fitting" 1.0 to 500.0 "mm" Usual;
    STRAINER_DIAMETER "diameter of a strainer" 5.0 to 200.0 "mm" Usual;
    STRAINER_LENGTH "length of a strainer" 5.0 to 500.0 "mm" Usual;
    OPEN_SHARE "open share of a strainer" 0.02 to 1.0 "" Usual;
    ELBOWS "number of elbows" 0.0 to 20.0 "" Exact;
    JET_BORE "bore of a jet" 2.0 to 60.0 "mm" Usual;
    BAR_BORE "bore of a spray bar" 3.0 to 60.0 "mm" Usual;
    BAR_HOLES "number of holes" 1.0 to 200.0 "" Exact;
    BAR_HOLE "diameter of a spray bar's hole" 0.5 to 20.0 "mm" Usual;
    BAR_PITCH "pitch of a spray bar's holes" 2.0 to 200.0 "mm" Usual;
    OUTSIDE "outside of a box" 20.0 to 3_000.0 "mm" Usual;
    DRY_MASS "dry mass" 0.1 to 100.0 "kg" Usual;
    FLOOR_HEIGHT "height of the floor" 1.0 to 600.0 "mm" Usual;
    TUBE_BORE "bore of the down-tube" 5.0 to 150.0 "mm" Usual;
    TUBE_LENGTH "length of the down-tube" 10.0 to 2_000.0 "mm" Usual;
    GAP "gap" 0.0 to 20.0 "mm" Usual;
    HEAD_SPACE "head space" 0.0 to 50.0 "l" Usual;
    TRAY_HEIGHT "tray height" 5.0 to 600.0 "mm" Usual;
    GRID "open share of a grid" 0.02 to 0.99 "" Usual;
    TRAY_WIDTH "width of an outline" 20.0 to 1_000.0 "mm" Usual;
    POST_WIDTH "width of what stands in a tray" 1.0 to 1_000.0 "mm" Usual;
    CORNER "radius of a corner" 0.0 to 500.0 "mm" Usual;
    ANGLE "angle of a sector (degrees)" 1.0 to 360.0 "" Usual;
    FILL_VOLUME "volume of a measured fill" 0.005 to 200.0 "l" Usual;
    PERIMETER "perimeter" 5.0 to 5_000.0 "mm" Usual;
    TRACED "traced coordinate (mm)" -5_000.0 to 5_000.0 "" Exact;
    LAMP_POWER "lamp power" 0.5 to 300.0 "w" Usual;
    LAMP_HOURS "hours of a lamp" 0.0 to 200_000.0 "h" Usual;
    SLEEVE "diameter of the sleeve" 5.0 to 150.0 "mm" Usual;
    SHELL "diameter of the UV chamber" 8.0 to 300.0 "mm" Usual;
    UV_LENGTH "lit length" 10.0 to 2_000.0 "mm" Usual;
    PRICE "price" 0.0 to 1_000_000.0 "" Exact;
    CLASPS "number of clasps" 0.0 to 20.0 "" Exact;
    AGE "age" 0.0 to 80.0 "year" Usual;
    IMPELLER "impeller share" 0.05 to 1.0 "" Usual;
    BUCKET_VOLUME "volume of a bucket test" 0.2 to 500.0 "l" Usual;
    BUCKET_TIME "time of a bucket test" 1.0 to 7_200.0 "s" Usual;
    RUN "length of a hose" 0.1 to 20.0 "m" Usual;
    BENDS "number of bends" 0.0 to 20.0 "" Exact;
    LAYER_DEPTH "depth of a layer" 1.0 to 600.0 "mm" Usual;
    LAYER_VOLUME "volume of a layer" 0.005 to 100.0 "l" Usual;
    LAYER_MASS "mass of a layer" 0.0005 to 100.0 "kg" Usual;
    SLACK "slack" 0.0 to 50.0 "mm" Usual;
    HOLE "hole" 0.5 to 1_000.0 "mm" Usual;
    SQUEEZED "share squeezed" 0.0 to 0.9 "" Usual;
    PPI "pores per inch" 5.0 to 100.0 "" Usual;
    VOID "void share" 0.05 to 0.995 "" Usual;
    FIBRE "fibre diameter" 1.0 to 2_000.0 "um" Usual;
    SOLIDITY "solid share" 0.001 to 0.5 "" Usual;
    PIECE "size of a piece" 0.2 to 150.0 "mm" Usual;
    SPHERICITY "sphericity" 0.1 to 1.0 "" Usual;
    RING "measure of a ring" 0.5 to 100.0 "mm" Usual;
    DRY "dry mass per litre" 0.005 to 5.0 "kg_l" Usual;
    SURFACE "surface per litre" 0.0 to 20.0 "m2_l" Usual;
    INNER "open pore share" 0.0 to 0.95 "" Usual;
    CAPTURE "capture coefficient (1/m)" 0.0 to 500.0 "" Capture;
    LIFE "life of a medium" 0.1 to 360.0 "month" Usual;
    TANK_VOLUME "tank volume" 2.0 to 50_000.0 "l" Usual;
    TEMPERATURE "water temperature" 1.0 to 40.0 "degc" Usual;
    PH "pH" 3.0 to 11.0 "" Usual;
    TAP_NITRATE "nitrate of the tap water (mg/l)" 0.0 to 500.0 "" Usual;
    DAILY_FEED "daily feed" 0.0 to 2_000.0 "g_day" Usual;
    PROTEIN "protein share" 0.02 to 0.95 "" Usual;
    PLANTS "nitrate that plants take (mg/l a day)" 0.0 to 2.0 "" Usual;
    OUTLET_ABOVE "height of the outlet above the water" 0.0 to 300.0 "cm" Usual;
    CHANGE_SHARE "share of a water change" 0.01 to 1.0 "" Usual;
    CHANGE_EVERY "time between water changes" 0.2 to 365.0 "day" Usual;
    POWER_PRICE "price of a kilowatt hour" 0.0 to 1_000.0 "" Exact;
    ON_HAND "volume on hand" 0.0 to 1_000.0 "l" Usual;
    AIM_TURNOVER "aim for the turnover (volumes an hour)" 0.1 to 50.0 "" Exact;
    AIM_NITRATE "aim for nitrate (mg/l)" 0.1 to 1_000.0 "" Exact;
    AIM_SERVICE "aim for the time between openings" 1.0 to 730.0 "day" Exact;
    LIMIT "limit of a must" 0.0 to 1_000_000.0 "" Exact;
    WEIGHT "weight" 0.0 to 1_000.0 "" Exact;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::kind_of_unit;

    #[test]
    fn every_row_has_a_unit_that_exists_and_bounds_in_order() {
        for field in ALL {
            assert!(field.low < field.high, "{}", field.name);
            assert!(field.unit.is_empty() || kind_of_unit(field.unit).is_some(), "{}", field.name);
        }
    }
}

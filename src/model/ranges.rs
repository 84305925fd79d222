//! What a figure may plausibly be, how doubtful it is when nobody says, and how it is measured: one row a field.

use crate::uncertainty::field::{self, Field, Printed};

macro_rules! how {
    () => {
        None
    };
    ($how:ident) => {
        Some(field::$how)
    };
}

macro_rules! fields {
    ($($name:ident $says:literal $low:literal to $high:literal $unit:literal $printed:ident $($how:ident)?;)+) => { $(
        #[doc = concat!("The ", $says, ".")]
        pub const $name: Field = Field {
            name: $says,
            unit: $unit,
            low: $low,
            high: $high,
            printed: Printed::$printed,
            measured_by: how!($($how)?),
        };
    )+
        /// Every field, for help and tests.
        pub const ALL: &[Field] = &[$($name),+];
    };
}

fields! {
    LABEL_FLOW "printed flow" 10.0 to 20_000.0 "l_h" PumpFlow BUCKET;
    LABEL_TANK "printed tank volume" 5.0 to 20_000.0 "l" Usual;
    PUMP_FLOW "pump flow" 10.0 to 20_000.0 "l_h" PumpFlow BUCKET;
    PUMP_HEAD "pump head" 0.1 to 10.0 "m" PumpHead RAISE;
    POINT_FLOW "flow of a curve's point" 0.0 to 20_000.0 "l_h" PumpFlow BUCKET;
    POINT_HEAD "head of a curve's point" 0.0 to 10.0 "m" PumpHead RAISE;
    PUMP_POWER "pump power" 0.5 to 500.0 "w" Usual METER;
    HZ "mains frequency (hertz)" 40.0 to 70.0 "" Exact PLATE;
    HOSE_BORE "hose bore" 3.0 to 60.0 "mm" Bore BORE;
    RIB_PITCH "pitch of the ribs" 0.5 to 30.0 "mm" Usual RULER;
    FITTING_BORE "bore of a fitting" 2.0 to 60.0 "mm" Bore BORE;
    FITTING_LENGTH "length of a fitting" 1.0 to 500.0 "mm" Length RULER;
    STRAINER_DIAMETER "diameter of a strainer" 5.0 to 200.0 "mm" Length RULER;
    STRAINER_LENGTH "length of a strainer" 5.0 to 500.0 "mm" Length RULER;
    OPEN_SHARE "open share of a strainer" 0.02 to 1.0 "" Usual SLOTS;
    ELBOWS "number of elbows" 0.0 to 20.0 "" Exact COUNT;
    JET_BORE "bore of a jet" 2.0 to 60.0 "mm" Bore BORE;
    BAR_BORE "bore of a spray bar" 3.0 to 60.0 "mm" Bore BORE;
    BAR_HOLES "number of holes" 1.0 to 200.0 "" Exact COUNT;
    BAR_HOLE "diameter of a spray bar's hole" 0.5 to 20.0 "mm" Bore BORE;
    BAR_PITCH "pitch of a spray bar's holes" 2.0 to 200.0 "mm" Length RULER;
    OUTSIDE "outside of a box" 20.0 to 3_000.0 "mm" Length RULER;
    DRY_MASS "dry mass" 0.1 to 100.0 "kg" Usual SCALES;
    FLOOR_HEIGHT "height of the floor" 1.0 to 600.0 "mm" Length RULER;
    TUBE_BORE "bore of the down-tube" 5.0 to 150.0 "mm" Bore BORE;
    TUBE_LENGTH "length of the down-tube" 10.0 to 2_000.0 "mm" Length RULER;
    GAP "gap" 0.0 to 20.0 "mm" LipGap GAP;
    BARE_GAP "gap" 0.0 to 20.0 "mm" EdgeGap GAP;
    HEAD_SPACE "head space" 0.0 to 50.0 "l" Usual FILL;
    TRAY_HEIGHT "tray height" 5.0 to 600.0 "mm" Length RULER;
    GRID "open share of a grid" 0.02 to 0.99 "" Usual SLOTS;
    TRAY_WIDTH "width of an outline" 20.0 to 1_000.0 "mm" Length RULER;
    POST_WIDTH "width of what stands in a tray" 1.0 to 1_000.0 "mm" Length RULER;
    CORNER "radius of a corner" 0.0 to 500.0 "mm" Length RULER;
    ANGLE "angle of a sector (degrees)" 1.0 to 360.0 "" Usual RULER;
    FILL_VOLUME "volume of a measured fill" 0.005 to 200.0 "l" Usual FILL;
    PERIMETER "perimeter" 5.0 to 5_000.0 "mm" Length RULER;
    TRACED "traced coordinate (mm)" -5_000.0 to 5_000.0 "" Exact RULER;
    LAMP_POWER "lamp power" 0.5 to 300.0 "w" Usual METER;
    LAMP_HOURS "hours of a lamp" 0.0 to 200_000.0 "h" Usual SELLER;
    SLEEVE "diameter of the sleeve" 5.0 to 150.0 "mm" Length RULER;
    SHELL "diameter of the UV chamber" 8.0 to 300.0 "mm" Length RULER;
    UV_LENGTH "lit length" 10.0 to 2_000.0 "mm" Length RULER;
    PRICE "price" 0.0 to 1_000_000.0 "" Exact PRICE;
    ASKING "price" 0.0 to 1_000_000.0 "" Exact SELLER;
    CLASPS "number of clasps" 0.0 to 20.0 "" Exact COUNT;
    AGE "age" 0.0 to 80.0 "year" Usual SELLER;
    IMPELLER "impeller share" 0.05 to 1.0 "" Usual BUCKET;
    BUCKET_VOLUME "volume of a bucket test" 0.2 to 500.0 "l" Usual BUCKET;
    BUCKET_TIME "time of a bucket test" 1.0 to 7_200.0 "s" Usual BUCKET;
    RUN "length of a hose" 0.1 to 20.0 "m" Length HOSE;
    BENDS "number of bends" 0.0 to 20.0 "" Exact COUNT;
    LAYER_DEPTH "depth of a layer" 1.0 to 600.0 "mm" Length RULER;
    LAYER_VOLUME "volume of a layer" 0.005 to 100.0 "l" Usual FILL;
    LAYER_MASS "mass of a layer" 0.0005 to 100.0 "kg" Usual SCALES;
    SLACK "slack" 0.0 to 50.0 "mm" EdgeGap GAP;
    HOLE "hole" 0.5 to 1_000.0 "mm" Length RULER;
    SQUEEZED "share squeezed" 0.0 to 0.9 "" Usual RULER;
    PPI "pores per inch" 5.0 to 100.0 "" Usual PORES;
    VOID "void share" 0.05 to 0.995 "" Usual POUR;
    FIBRE "fibre diameter" 1.0 to 2_000.0 "um" Usual;
    SOLIDITY "solid share" 0.001 to 0.5 "" Usual;
    PIECE "size of a piece" 0.2 to 150.0 "mm" Usual GRAINS;
    SPHERICITY "sphericity" 0.1 to 1.0 "" Usual;
    RING "measure of a ring" 0.5 to 100.0 "mm" Usual GRAINS;
    RING_BORE "measure of a ring" 0.5 to 100.0 "mm" Usual BORE;
    DRY "dry mass per litre" 0.005 to 5.0 "kg_l" Usual DRY;
    SURFACE "surface per litre" 0.0 to 20.0 "m2_l" Surface;
    INNER "open pore share" 0.0 to 0.95 "" Usual SOAK;
    CAPTURE "capture coefficient (1/m)" 0.0 to 500.0 "" Capture;
    LIFE "life of a medium" 0.1 to 360.0 "month" Usual;
    OUTLET_ABOVE "height of the outlet above the water" 0.0 to 300.0 "cm" Length RULER;
    LIMIT "limit of a must" 0.0 to 1_000_000.0 "" Exact;
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

//! How a doubtful figure is measured at home, told from the name of its key. Tools and ways are common practice,
//! no source.

/// What is said of keys that no tool at home can tell.
pub const NOT_AT_HOME: &str = "cannot be measured at home: an assumption of the model";

/// How to measure the figure of that key.
pub fn how_to_measure(key: &str) -> &'static str {
    find(key).unwrap_or(NOT_AT_HOME)
}

/// Can the figure of that key be measured at home?
pub fn at_home(key: &str) -> bool {
    find(key).is_some()
}

const GAP: &str = "feeler gauge at four places, lid off, unplugged";
const BORE: &str = "drill shank that just fits";
const BUCKET: &str = "bucket and watch, no media in the vessel, both hose ends level";
const RAISE: &str = "raise the delivery hose until the flow stops, measure up from the water";
const RULER: &str = "ruler";
const HOSE: &str = "tape measure along the hose";
const SCALES: &str = "kitchen scales";
const DRY: &str = "kitchen scales: a dry litre of it";
const SOAK: &str = "kitchen scales: dry, then soaked and shaken off";
const PORES: &str = "count the pores along an inch, at three places";
const GRAINS: &str = "lay twenty in a row along a ruler";
const POUR: &str = "fill a litre jug with it, measure the water that still goes in";
const FILL: &str = "fill it with water from a measuring jug";
const FOOD: &str = "kitchen scales: weigh a week's food";
const METER: &str = "plug-in power meter";
const SLOTS: &str = "count the openings and measure one";
const COUNT: &str = "count them";
const THERMOMETER: &str = "thermometer";
const TEST_KIT: &str = "test kit";
const SELLER: &str = "ask the seller";
const PRICE: &str = "look up what it costs today";
const BILL: &str = "the electricity bill";
const PLATE: &str = "read the rating plate, unplugged";
const CHANGE: &str = "count the buckets of the next water change";

fn find(key: &str) -> Option<&'static str> {
    let last = key.rsplit('/').next().unwrap_or(key);
    // The first part is a file's name, and may be any word.
    let has = |part: &str| key.split('/').skip(1).any(|p| p == part);
    let media = key.starts_with("media/") || has("media");
    if key.starts_with("model/") {
        // Stocking stands in for feed, and feed can be weighed.
        return last.starts_with("feed-").then_some(FOOD);
    }
    let pump = has("pump") || has("label") || has("curve");
    Some(match last {
        "seal" | "gap" | "slack" | "joint" => GAP,
        "impeller" | "k_q" | "flow" | "time" => BUCKET,
        "head" => RAISE,
        "volume" if has("bucket") => BUCKET,
        "bore" => BORE,
        "hole" if has("outlet") || has("spray_bar") => BORE,
        "outer" | "length" if media => GRAINS,
        "inner" if has("bed") || has("rings") => GRAINS,
        "inner" => SOAK,
        "size" => GRAINS,
        "suction" | "delivery" => HOSE,
        "depth" | "height" | "width" | "hole" | "diameter" | "radius" | "corner" | "pitch" | "length"
        | "sleeve" | "shell" | "squeezed" | "outlet_above_water" | "angle" | "perimeter" => RULER,
        "dry" => DRY,
        "mass" | "dry_mass" => SCALES,
        "ppi" => PORES,
        "void" => POUR,
        "feed" | "daily" | "stock" => FOOD,
        "power" | "lamp" => METER,
        "grid" | "open" => SLOTS,
        "bends" | "elbow" | "count" => COUNT,
        "temperature" => THERMOMETER,
        "ph" | "tap_nitrate" => TEST_KIT,
        "head_space" | "volume" => FILL,
        "share" | "every" => CHANGE,
        "power_price" => BILL,
        "hz" => PLATE,
        "asking" | "hours" | "age" => SELLER,
        "price" | "to_fix" => PRICE,
        // Points of a pump curve carry a number last.
        _ if pump && has("head") => RAISE,
        _ if pump => BUCKET,
        _ if has("to_fix") => PRICE,
        _ if has("on_hand") => FILL,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assumptions::A;

    #[test]
    fn keys_find_their_tool() {
        for (key, word) in [
            ("tamsin-1100/trays/3/seal", "feeler gauge"),
            ("tamsin-1100/trays/3/seal/gap", "feeler gauge"),
            ("tamsin-1100/builds/as bought/trays/1/1/slack", "feeler gauge"),
            ("tamsin-1100/hose/bore", "drill shank"),
            ("tamsin-1100/pump/curve/flow", "bucket"),
            ("tamsin-1100/pump/curve/head", "raise"),
            ("tamsin-1100/trays/2/height", "ruler"),
            ("tamsin-1100/body/dry_mass", "scales"),
            ("media/foam-20/ppi", "pores"),
            ("tank/feed", "week's food"),
            ("model/feed-normal", "week's food"),
            ("tank/hoses/suction", "tape measure"),
            ("tamsin-1100/unit/impeller", "bucket"),
        ] {
            assert!(at_home(key) && how_to_measure(key).contains(word), "{key}: {}", how_to_measure(key));
        }
    }

    #[test]
    fn what_no_tool_tells_is_said() {
        for a in A::ALL.into_iter().filter(|a| !a.entry().key.starts_with("model/feed-")) {
            assert!(!at_home(a.entry().key));
            assert_eq!(how_to_measure(a.entry().key), NOT_AT_HOME);
        }
        assert!(!at_home("media/foam-20/surface") && !at_home("media/foam-20/capture") && !at_home(""));
    }
}

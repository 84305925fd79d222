//! How figures are measured at home, or come by. Tools and ways are common practice, no source.

pub const BUCKET: &str = "bucket and watch, no media in the vessel, both hose ends level";
pub const BILL: &str = "the electricity bill";
pub const DRILL: &str = "drill shank that just fits";
pub const GAUGE: &str = "feeler gauge at four places, lid off, unplugged";
pub const OPENINGS: &str = "count the openings and measure one";
pub const PLATE: &str = "read the rating plate, unplugged";
pub const PRICE: &str = "look up what it costs today";
pub const SELLER: &str = "ask the seller";
pub const FOOD: &str = "kitchen scales: weigh a week's food";

//! A build, a tank and one draw of the assumptions go in; every measure comes out.

pub mod explain_types;
pub mod result;

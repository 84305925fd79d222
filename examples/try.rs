use cansift::library::Library;
use cansift::profile::*;
fn main() {
    let mut lib = Library::shipped().clone();
    for a in std::env::args().skip(1) {
        let p = std::path::Path::new(&a);
        let t = std::fs::read_to_string(p).unwrap();
        let r = match What::of(&t) {
            What::Filter => read_filter(p, &t, &lib).map(|_| ()),
            What::Tank => read_tank(p, &t, &lib).map(|_| ()),
            What::Media | What::Fittings => read_list(p, &t).map(|l| lib.extend(l)),
            w => {
                println!("{a}: {w:?}");
                continue;
            }
        };
        match r {
            Ok(()) => println!("{a}: ok"),
            Err(b) => {
                for p in b.problems {
                    println!("{}", p.rendered)
                }
            }
        }
    }
}

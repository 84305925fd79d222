use cansift::{judge::judge, library::Library, measures::*, profile};
fn main() {
    let tank = std::env::args().nth(1).map(|p| {
        let t = std::fs::read_to_string(&p).unwrap();
        match profile::read_tank(std::path::Path::new(&p), &t, Library::shipped()) {
            Ok(t) => t.tank,
            Err(b) => {
                for p in b.problems {
                    println!("{}", p.rendered);
                }
                panic!()
            }
        }
    });
    let mut files: Vec<_> = std::fs::read_dir("demo-data")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "ron"))
        .collect();
    files.sort();
    for f in files {
        let text = std::fs::read_to_string(&f).unwrap();
        match profile::read_filter(&f, &text, Library::shipped()) {
            Ok(s) => {
                for (i, b) in s.filter.builds.iter().enumerate() {
                    let j = judge(&s.filter, i, tank.as_deref());
                    print!("{:<22}{:<22}", s.filter.name, b.name);
                    for m in Measure::ALL {
                        match j.get(m) {
                            Outcome::Value(x) => print!("{}={:.3} ", m.row().head, x),
                            Outcome::Flag(b) => print!("{}={} ", m.row().head, b),
                            Outcome::Missing(w) => print!("{}=–({:?}) ", m.row().head, w),
                        }
                    }
                    println!();
                    if let Some(t) = &j.timeline {
                        println!(
                            "      opens {:?} points {} ; stages {} faults {}",
                            t.opens,
                            t.points.len(),
                            j.stages.iter().map(|r| r.letter()).collect::<String>(),
                            j.faults.iter().map(|f| f.rule.key()).collect::<Vec<_>>().join(",")
                        );
                    }
                    println!(
                        "      leaks {}",
                        j.leaks
                            .iter()
                            .map(|l| format!(
                                "{} {:.1}%->{:.1}%",
                                l.at,
                                l.share * 100.,
                                l.share_at_service.unwrap_or(0.) * 100.
                            ))
                            .collect::<Vec<_>>()
                            .join(", ")
                    );
                    println!(
                        "      budget {:?} {}",
                        j.pump_head,
                        j.head_budget
                            .iter()
                            .map(|l| format!("{} {:.3}", l.part, l.m))
                            .collect::<Vec<_>>()
                            .join(", ")
                    );
                }
            }
            Err(b) => {
                for p in b.problems {
                    println!("{}", p.rendered)
                }
            }
        }
    }
}

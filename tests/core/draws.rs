//! Keys, the generator, the cube of draws, and draws that are recorded or pinned.

mod key {

    use cansift::place::Space;
    use cansift::uncertainty::field::{self};
    use cansift::uncertainty::key::*;

    #[test]
    fn the_hash_is_the_published_one() {
        // FNV-1a test vectors of the function's own page (landon curt noll, from memory): "" and "a".
        assert_eq!(Key::named("").hash(), 0xcbf2_9ce4_8422_2325);
        assert_eq!(Key::named("a").hash(), 0xaf63_dc4c_8601_ec8c);
    }

    #[test]
    fn the_id_of_a_file_cannot_pass_for_another_source() {
        let pore = Key::new(Source::Library, Spot::from("media").id("pump").part("flow"), &field::NONE);
        for id in RESERVED {
            let key = Key::new(Source::Filter(id.into()), "pump/flow", &field::NONE);
            assert_eq!(key.name(), format!("file/{id}/pump/flow"));
            assert_ne!(key, pore);
        }
        let key = Key::new(Source::Filter("tamsin".into()), Space::Tray(2), &field::NONE);
        assert_eq!(key.name(), "tamsin/trays/3");
    }
}

mod recorder {
    use cansift::assumptions::A;
    use cansift::uncertainty::key::Key;
    use cansift::uncertainty::recorder::*;
    use cansift::uncertainty::uncertain::{Draw, Spread};

    #[test]
    fn only_doubtful_keys_are_noted_and_once() {
        let asked = KeyRecorder::new();
        let (b, a) = (Key::named("b"), Key::named("a"));
        assert_eq!(asked.spread(2.0, Spread::Normal { sd: 0.1 }, &b), 2.0);
        assert_eq!(asked.spread(2.0, Spread::Factor { factor: 2.0 }, &b), 2.0);
        assert_eq!(asked.spread(3.0, Spread::Uniform { low: 1.0, high: 5.0 }, &a), 3.0);
        assert_eq!(asked.spread(3.0, Spread::Exact, &Key::named("exact")), 3.0);
        assert_eq!(asked.constant(A::Gravity), A::Gravity.entry().value);
        assert_eq!(asked.constant(A::FoamA), A::FoamA.entry().value);
        assert_eq!(asked.keys(), [a, b, A::FoamA.key().clone()]);
    }
}

mod pinned {
    use cansift::assumptions::A;
    use cansift::simd::Real;

    use cansift::uncertainty::key::Key;

    use cansift::uncertainty::pinned::*;
    use cansift::uncertainty::sampling::{Batch, Draws};
    use cansift::uncertainty::uncertain::{Draw, Spread};

    #[test]
    fn one_figure_stands_still_and_the_others_move() {
        let draws = Draws::new(64, 3);
        let (held, free) = (Key::named("held"), Key::named("free"));
        let draw = PinnedDraw::new(&draws, 8, &held, 0.95);
        let spread = Spread::Uniform { low: 1.0, high: 3.0 };
        let still = draw.spread(2.0, spread, &held);
        for lane in 0..8 {
            assert!((still.draw(lane) - 2.9).abs() < 1e-12);
        }
        assert_eq!(draw.spread(2.0, spread, &free), Batch::new(&draws, 8).spread(2.0, spread, &free));
        assert_eq!(draw.constant(A::FoamA), Batch::new(&draws, 8).constant(A::FoamA));
        let foam = PinnedDraw::new(&draws, 8, A::FoamA.key(), 0.5).constant(A::FoamA);
        assert_eq!(foam.draw(0), foam.draw(7));
    }
}

mod generator {

    use cansift::uncertainty::generator::*;

    #[test]
    fn splitmix_gives_the_published_numbers() {
        // The first five numbers of splitmix64 for 1234567, as commonly listed (from memory).
        let mut state = 1_234_567;
        let told: Vec<u64> = (0..5).map(|_| splitmix(&mut state)).collect();
        let listed = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(told, listed);
    }

    #[test]
    fn xoshiro_gives_the_published_numbers() {
        // State 1, 2, 3, 4: the first numbers of the authors' C program, as commonly listed (from memory).
        let mut g = Generator { state: [1, 2, 3, 4] };
        let told: Vec<u64> = (0..5).map(|_| g.bits()).collect();
        assert_eq!(
            told,
            [41_943_041, 58_720_359, 3_588_806_011_781_223, 3_591_011_842_654_386, 9_228_616_714_210_784_205]
        );
    }

    #[test]
    fn numbers_below_are_even_and_in_range() {
        let mut g = Generator::new(1, 2);
        let mut counts = [0_u32; 7];
        for _ in 0..70_000 {
            counts[g.below(7)] += 1;
        }
        // Sd of a count is 93; five of them.
        assert!(counts.iter().all(|c| c.abs_diff(10_000) < 465), "{counts:?}");
        assert_eq!(g.below(0), 0);
        assert_eq!(g.below(1), 0);
    }

    #[test]
    fn a_shuffle_keeps_every_item_and_shares_add_to_one() {
        let mut g = Generator::new(3, 4);
        let mut items: Vec<usize> = (0..100).collect();
        g.shuffle(&mut items);
        assert_ne!(items, (0..100).collect::<Vec<_>>());
        items.sort_unstable();
        assert_eq!(items, (0..100).collect::<Vec<_>>());
        let w = g.simplex(6);
        assert!((w.iter().sum::<f64>() - 1.0).abs() < 1e-15 && w.iter().all(|x| *x > 0.0));
    }
}

mod sampling {
    use cansift::assumptions::A;
    use cansift::simd::{F64x8, Real};
    use cansift::uncertainty::distribution::Distribution;

    use cansift::uncertainty::key::Key;

    use cansift::uncertainty::sampling::*;
    use cansift::uncertainty::uncertain::{Draw, Spread};

    use std::sync::Arc;

    #[test]
    fn a_batch_and_its_draws_alone_agree_to_the_bit() {
        let draws = Draws::new(21, 7);
        let key = Key::named("tamsin-1100/trays/3/seal");
        let columns = draws.prefetch([&key]);
        let spreads = [
            Spread::Exact,
            Spread::Normal { sd: 0.1 },
            Spread::Factor { factor: 2.0 },
            Spread::Uniform { low: 1.0, high: 4.0 },
            Spread::TriangularLog { low: 0.5, high: 9.0 },
            Spread::Triangular { low: 0.0, high: 9.0 },
            Spread::CutNormal { sd: 1.5 },
        ];
        assert_eq!(draws.firsts().collect::<Vec<_>>(), [0, 8, 16]);
        for first in draws.firsts() {
            for spread in spreads {
                let plain = Batch::new(&draws, first).spread(2.0, spread, &key);
                let law = Distribution::new(2.0, spread);
                let drawn = F64x8::gather(|lane| draws.column(&key).at(law, first + lane));
                assert_eq!(plain, drawn, "also after the key was asked for with another spread");
                assert_eq!(plain, Batch::prefetched(&draws, &columns, first).spread(2.0, spread, &key));
                for lane in 0..8 {
                    let alone =
                        crate::one::One::new(&draws, (first + lane).min(20)).spread(2.0, spread, &key);
                    assert_eq!(plain.draw(lane).to_bits(), alone.to_bits());
                }
            }
            for a in A::ALL {
                let own = Batch::new(&draws, first).spread(a.entry().value, a.entry().spread, a.key());
                assert_eq!(Batch::new(&draws, first).constant(a), own);
                assert_eq!(crate::one::One::new(&draws, first).constant(a).to_bits(), own.draw(0).to_bits());
            }
        }
    }

    #[test]
    fn few_columns_are_kept_and_those_let_go_come_back_the_same() {
        let draws = Draws::new(4096, 3);
        let key = |i: usize| Key::named(&format!("filter-{i}/hose/bore"));
        let (first, shared) = (draws.normals(&key(0)), draws.normals(&Key::named("media/foam/ppi")));
        for i in 0..2000 {
            draws.normals(&key(i));
            assert!(
                Arc::ptr_eq(&shared, &draws.normals(&Key::named("media/foam/ppi"))),
                "asked for all along"
            );
        }
        assert!(draws.numbers_at_hand() <= AT_HAND);
        let again = draws.normals(&key(0));
        assert!(!Arc::ptr_eq(&first, &again) && first == again);
    }

    #[test]
    fn without_draws_the_median_stands() {
        let draws = Draws::new(0, 1);
        let key = Key::named("k");
        assert_eq!(crate::one::One::new(&draws, 0).spread(2.0, Spread::Normal { sd: 0.1 }, &key), 2.0);
        assert_eq!(draws.firsts().count(), 0);
    }
}

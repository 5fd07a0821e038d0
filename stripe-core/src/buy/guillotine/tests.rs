use super::*;
use crate::rng::Rng;

pub(super) fn order<'a>(
    rects: &'a [Rectangle],
    width: i64,
    turn: bool,
    stop: &'a (dyn Fn() -> bool + Sync),
) -> Order<'a> {
    Order {
        rects,
        width,
        turn: if turn { Turn::All } else { Turn::None },
        seed: 1,
        tries: 60_000,
        proof: 1_000_000,
        stop,
    }
}

fn rect(across: i64, along: i64) -> Rectangle {
    Rectangle { across, along }
}

/// Every piece once, inside the strip, clear of the others.
fn assert_sound(cutting: &Cutting, rects: &[Rectangle], width: i64) {
    let spots = cutting.pattern.spots(rects);
    let mut seen: Vec<usize> = spots.iter().map(|s| s.rect).collect();
    seen.sort_unstable();
    assert!(seen.iter().copied().eq(0..rects.len()));
    for (i, a) in spots.iter().enumerate() {
        let sides = (rects[a.rect].across, rects[a.rect].along);
        assert!((a.across, a.along) == sides || (a.along, a.across) == sides);
        assert!(a.x >= 0 && a.y >= 0);
        assert!(a.x + a.across <= width && a.y + a.along <= cutting.length);
        for b in &spots[..i] {
            assert!(
                a.x + a.across <= b.x
                    || b.x + b.across <= a.x
                    || a.y + a.along <= b.y
                    || b.y + b.along <= a.y
            );
        }
    }
    assert!(cutting.bound <= cutting.length);
}

/// A sheet cut at random from edge to edge: its own length is the optimum.
fn jigsaw(width: i64, length: i64, pieces: usize, seed: u64) -> Vec<Rectangle> {
    let mut rng = Rng::new(seed);
    let mut rects = vec![rect(width, length)];
    while rects.len() < pieces {
        let at = (0..rects.len())
            .max_by_key(|&i| rects[i].across * rects[i].along)
            .expect("a sheet");
        let whole = rects.swap_remove(at);
        let share = |side: i64, rng: &mut Rng| side / 4 + rng.below((side / 2) as usize) as i64;
        if whole.across > whole.along {
            let at = share(whole.across, &mut rng);
            rects.push(rect(at, whole.along));
            rects.push(rect(whole.across - at, whole.along));
        } else {
            let at = share(whole.along, &mut rng);
            rects.push(rect(whole.across, at));
            rects.push(rect(whole.across, whole.along - at));
        }
    }
    rects
}

#[test]
fn jigsaws_close_without_waste() {
    for seed in 0..6 {
        let rects = jigsaw(420, 360, 14, seed);
        let never = || false;
        let cutting = guillotine(&order(&rects, 420, false, &never)).unwrap();
        assert_sound(&cutting, &rects, 420);
        assert_eq!(cutting.length, 360, "seed {seed}");
        assert!(cutting.is_optimal());
    }
}

/// Every size that some pattern of a set has, by trying all of them: no staircase, no
/// limit, nothing shared with the search.
fn all_sizes(rects: &[Rectangle], set: usize, turn: bool) -> Vec<Rectangle> {
    if set.is_power_of_two() {
        let one = rects[set.trailing_zeros() as usize];
        let turned = rect(one.along, one.across);
        return if turn { vec![one, turned] } else { vec![one] };
    }
    let mut sizes = vec![];
    let mut part = (set - 1) & set;
    while part > 0 {
        for a in all_sizes(rects, part, turn) {
            for b in all_sizes(rects, set ^ part, turn) {
                sizes.push(rect(a.across.max(b.across), a.along + b.along));
                sizes.push(rect(a.across + b.across, a.along.max(b.along)));
            }
        }
        part = (part - 1) & set;
    }
    sizes.sort();
    sizes.dedup();
    sizes
}

#[test]
fn few_pieces_are_cut_as_short_as_can_be() {
    let mut rng = Rng::new(7);
    for case in 0..60 {
        let turn = case % 2 == 0;
        let side = |rng: &mut Rng| 3 + rng.below(17) as i64;
        let rects: Vec<Rectangle> = (0..5)
            .map(|_| rect(side(&mut rng), side(&mut rng)))
            .collect();
        let never = || false;
        let cutting = guillotine(&order(&rects, 30, turn, &never)).unwrap();
        assert_sound(&cutting, &rects, 30);
        let sizes = all_sizes(&rects, 31, turn);
        let shortest = sizes.iter().filter(|s| s.across <= 30).map(|s| s.along);
        assert_eq!(Some(cutting.length), shortest.min(), "{rects:?}, {turn}");
        assert!(cutting.is_optimal());
    }
}

#[test]
fn turned_pieces_stay_whole() {
    let rects = jigsaw(300, 300, 9, 3);
    let turned: Vec<Rectangle> = rects.iter().map(|r| rect(r.along, r.across)).collect();
    let never = || false;
    let cutting = guillotine(&order(&turned, 300, true, &never)).unwrap();
    assert_sound(&cutting, &turned, 300);
    assert!(cutting.length <= 315);
}

#[test]
fn one_by_one() {
    let never = || false;
    for rects in [vec![rect(3, 7)], vec![rect(3, 7), rect(2, 5)]] {
        let cutting = guillotine(&order(&rects, 5, false, &never)).unwrap();
        assert_sound(&cutting, &rects, 5);
        assert_eq!((cutting.length, cutting.bound), (7, 7));
    }
}

#[test]
fn the_same_order_gives_the_same_pattern() {
    let rects = jigsaw(200, 260, 20, 9);
    let never = || false;
    let run = || guillotine(&order(&rects, 200, true, &never)).unwrap();
    assert_eq!(run(), run());
}

/// More pieces than a table or the raising of the bound could do: beams find the way.
#[test]
fn large_jigsaws_nearly_close() {
    for seed in 0..3 {
        let rects = jigsaw(420, 360, 45, seed);
        let never = || false;
        let plan = Order {
            tries: 800_000,
            proof: 0,
            ..order(&rects, 420, true, &never)
        };
        let cutting = guillotine(&plan).unwrap();
        assert_sound(&cutting, &rects, 420);
        assert!(cutting.length <= 378, "seed {seed}: {}", cutting.length);
    }
}

#[test]
fn threads_change_nothing_and_seeds_do() {
    let rects = jigsaw(200, 260, 28, 5);
    let never = || false;
    let run = |threads, seed| {
        let plan = Order {
            seed,
            proof: 0,
            tries: 250_000,
            ..order(&rects, 200, true, &never)
        };
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().unwrap().install(|| guillotine(&plan).unwrap())
    };
    assert_eq!(run(1, 3), run(3, 3));
    assert_ne!(run(1, 3).pattern, run(1, 4).pattern);
}

#[test]
fn bad_orders_are_named() {
    let never = || false;
    let fault = |rects: &[Rectangle]| guillotine(&order(rects, 10, false, &never)).unwrap_err();
    assert_eq!(fault(&[]), GuillotineError::Nothing);
    assert_eq!(fault(&[rect(1, 1), rect(0, 3)]), GuillotineError::Side(2));
    assert_eq!(fault(&[rect(1, i64::MAX)]), GuillotineError::Side(1));
    assert!(matches!(
        fault(&[rect(11, 2)]),
        GuillotineError::TooWide { piece: 1, .. }
    ));
    assert_eq!(
        fault(&vec![rect(1, 1); 5000]),
        GuillotineError::TooMany(5000)
    );
}

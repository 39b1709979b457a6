//! Whole packs for an amount: which, and how many of each.

use crate::quantity::Exact;
use std::cmp::Ordering;

/// One size of pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PackSize {
    /// What it holds, in the unit of the need.
    pub holds: Exact,
    /// What it costs.
    pub price: Option<Exact>,
}

/// Finer than this part of the need, sizes are not told apart: half a million steps are more than any scale has.
const STEPS: i128 = 500_000;

/// The cheapest packs that hold enough; of those the ones that leave least over, then the fewest. While one of the sizes
/// has no price, prices do not count. One number for each size.
///
/// All sizes are whole multiples of their greatest common measure, and so is whatever they hold together. The best way to
/// hold exactly `n` of it is found for each `n` in turn up to the need: an exact search of a few thousand steps.
pub fn choose(need: Exact, sizes: &[PackSize]) -> Vec<usize> {
    let usable = |size: &&PackSize| size.holds > Exact::ZERO;
    let Some(measure) = sizes.iter().filter(usable).map(|size| size.holds).reduce(common_measure) else {
        return vec![0; sizes.len()];
    };
    // Sizes that have next to nothing in common are taken for a hair smaller than they are.
    let measure = measure.max(need / Exact::whole(STEPS));
    if need <= Exact::ZERO {
        return vec![0; sizes.len()];
    }
    let wanted = units(-((-need / measure).floor()));
    let priced = sizes.iter().all(|size| size.price.is_some());
    let steps: Vec<usize> = sizes.iter().map(|size| units((size.holds / measure).floor())).collect();
    let price = |at: usize| sizes[at].price.filter(|_| priced).unwrap_or(Exact::ZERO);
    let mut reached: Vec<Option<Reached>> = vec![None; wanted];
    let mut best: Option<(usize, Reached)> = None;
    for held in 0..wanted {
        let so_far = match (held, reached[held]) {
            (0, _) => Reached { cost: Exact::ZERO, count: 0, last: 0 },
            (_, Some(so_far)) => so_far,
            (_, None) => continue,
        };
        for (at, step) in steps.iter().enumerate().filter(|(_, step)| **step > 0) {
            let next = Reached { cost: so_far.cost + price(at), count: so_far.count + 1, last: at };
            let sum = held + step;
            if sum >= wanted {
                let better = best.is_none_or(|(other, was)| {
                    next.cost.cmp(&was.cost).then(sum.cmp(&other)).then(next.count.cmp(&was.count)) == Ordering::Less
                });
                if better {
                    best = Some((sum, next));
                }
            } else if reached[sum].is_none_or(|was| (next.cost, next.count) < (was.cost, was.count)) {
                reached[sum] = Some(next);
            }
        }
    }
    let mut counts = vec![0; sizes.len()];
    let mut at = best;
    while let Some((sum, step)) = at {
        counts[step.last] += 1;
        let before = sum - steps[step.last];
        at = reached.get(before).copied().flatten().filter(|_| before > 0).map(|step| (before, step));
    }
    counts
}

/// The best way to hold one sum: its last pack leads to the sum before.
#[derive(Debug, Clone, Copy)]
struct Reached {
    cost: Exact,
    count: usize,
    last: usize,
}

fn units(value: Exact) -> usize {
    usize::try_from(value.over()).unwrap_or(0)
}

/// The greatest value of which both are whole multiples.
fn common_measure(one: Exact, other: Exact) -> Exact {
    let (mut a, mut b) = (one, other);
    while !b.is_zero() {
        (a, b) = (b, a - (a / b).floor() * b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(holds: i128, pence: Option<i128>) -> PackSize {
        PackSize { holds: Exact::whole(holds), price: pence.map(|pence| Exact::new(pence, 100)) }
    }

    /// All ways to take up to so many of each, by brute force.
    fn by_force(need: i128, sizes: &[(i128, Option<i128>)]) -> (i128, i128, i128) {
        let priced = sizes.iter().all(|(_, price)| price.is_some());
        let mut ways = vec![(0, 0, 0)];
        for (holds, price) in sizes {
            let cost = price.filter(|_| priced).unwrap_or(0);
            let more = |way: &(i128, i128, i128)| {
                let way = *way;
                (0..=need / holds + 1).map(move |count| (way.0 + count * cost, way.1 + count * holds, way.2 + count))
            };
            ways = ways.iter().flat_map(more).collect();
        }
        ways.into_iter().filter(|way| way.1 >= need).min().unwrap()
    }

    #[test]
    fn the_search_finds_what_trying_all_ways_finds() {
        let sets: [&[(i128, Option<i128>)]; 6] = [
            &[(10, Some(115)), (20, Some(180))],
            &[(10, Some(115)), (20, Some(240))],
            &[(3, None), (7, None), (11, None)],
            &[(4, Some(50)), (6, Some(75)), (9, Some(60))],
            &[(5, Some(0)), (8, Some(0))],
            &[(6, Some(100)), (10, None)],
        ];
        for sizes in sets {
            let packs: Vec<PackSize> = sizes.iter().map(|(holds, price)| size(*holds, *price)).collect();
            let priced = sizes.iter().all(|(_, price)| price.is_some());
            for need in 1..60 {
                let counts = choose(Exact::whole(need), &packs);
                let sum = |of: &dyn Fn(&(i128, Option<i128>)) -> i128| -> i128 {
                    counts.iter().zip(sizes).map(|(count, size)| *count as i128 * of(size)).sum()
                };
                let cost = if priced { sum(&|size| size.1.unwrap_or(0)) } else { 0 };
                assert_eq!((cost, sum(&|size| size.0), sum(&|_| 1)), by_force(need, sizes), "{need} of {sizes:?}");
            }
        }
    }

    #[test]
    fn sizes_with_next_to_nothing_in_common_still_hold_enough() {
        let pound = PackSize { holds: Exact::parse("453.59237").unwrap(), price: Some(Exact::whole(1)) };
        let kilogram = PackSize { holds: Exact::whole(1000), price: Some(Exact::new(21, 10)) };
        // Six kilograms: 13 pounds are 5.897 kg, so 14 would be wanted for 14.00; 10 pounds and 2 kg hold 6.536 for 14.20.
        let counts = choose(Exact::whole(6000), &[pound, kilogram]);
        assert_eq!(counts, [14, 0]);
        assert_eq!(choose(Exact::ZERO, &[pound]), [0]);
        assert_eq!(choose(Exact::ONE, &[]), Vec::<usize>::new());
    }
}

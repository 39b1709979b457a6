//! Whole packs for an amount: which, and how many of each.

use crate::quantity::Exact;
use std::collections::BTreeMap;

/// One size of pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PackSize {
    /// What it holds, in the unit of the need.
    pub holds: Exact,
    /// What it costs.
    pub price: Option<Exact>,
}

/// So many of the largest size are told apart in every way; what is needed beyond that comes in the size that is best by
/// weight. Common practice: a hall that takes hundreds of sacks buys one sort.
const AT_HAND: i128 = 400;

/// The cheapest packs that hold enough; of those the ones that leave least over, then the fewest. While one of the sizes
/// has no price, prices do not count. One number for each size.
///
/// For each sum that packs can hold, the least first, the best way to hold it is found by one pack more: an exact search,
/// and short because sizes have much in common, so that few sums differ.
pub fn choose(need: Exact, sizes: &[PackSize]) -> Vec<usize> {
    let mut counts = vec![0; sizes.len()];
    let priced = sizes.iter().all(|size| size.price.is_some());
    let price = |at: usize| sizes[at].price.filter(|_| priced).unwrap_or(Exact::ZERO);
    let usable: Vec<usize> = (0..sizes.len()).filter(|at| sizes[*at].holds > Exact::ZERO).collect();
    let by_weight = |at: &usize| (price(*at) / sizes[*at].holds, -sizes[*at].holds);
    let Some(best) = usable.iter().copied().min_by_key(by_weight) else { return counts };
    let largest = usable.iter().map(|at| sizes[*at].holds).fold(Exact::ZERO, Exact::max);
    let beyond = ((need - largest * Exact::whole(AT_HAND)) / sizes[best].holds).floor();
    if beyond > Exact::ZERO {
        counts[best] = usize::try_from(beyond.over()).unwrap_or(0);
    }
    let need = need - sizes[best].holds * beyond.max(Exact::ZERO);
    if need <= Exact::ZERO {
        return counts;
    }
    let mut open = BTreeMap::from([(Exact::ZERO, Reached { cost: Exact::ZERO, count: 0, last: None })]);
    let mut done: BTreeMap<Exact, Reached> = BTreeMap::new();
    let mut enough: Option<(Exact, Exact, usize, usize)> = None;
    while let Some((held, so_far)) = open.pop_first() {
        done.insert(held, so_far);
        for at in &usable {
            let (sum, cost, count) = (held + sizes[*at].holds, so_far.cost + price(*at), so_far.count + 1);
            if sum >= need {
                let way = (cost, sum, count, *at);
                enough = Some(enough.map_or(way, |best| best.min(way)));
                continue;
            }
            let next = Reached { cost, count, last: Some(*at) };
            let known = open.entry(sum).or_insert(next);
            if (cost, count) < (known.cost, known.count) {
                *known = next;
            }
        }
    }
    let mut last = enough.map(|(_, sum, _, at)| (sum, at));
    while let Some((sum, at)) = last {
        counts[at] += 1;
        let before = sum - sizes[at].holds;
        last = done.get(&before).and_then(|reached| Some((before, reached.last?)));
    }
    counts
}

/// The best way to hold one sum, and its last pack, which leads to the sum before.
#[derive(Debug, Clone, Copy)]
struct Reached {
    cost: Exact,
    count: usize,
    last: Option<usize>,
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
            for need in 1..60 {
                let counts = choose(Exact::whole(need), &packs);
                assert_eq!(outcome(&counts, sizes), by_force(need, sizes), "{need} of {sizes:?}");
            }
        }
    }

    /// What a choice costs, in pence, what it holds and how many packs it is.
    fn outcome(counts: &[usize], sizes: &[(i128, Option<i128>)]) -> (i128, i128, i128) {
        let priced = sizes.iter().all(|(_, price)| price.is_some());
        counts.iter().zip(sizes).fold((0, 0, 0), |(cost, held, all), (count, (holds, price))| {
            let count = *count as i128;
            (cost + count * price.filter(|_| priced).unwrap_or(0), held + count * holds, all + count)
        })
    }

    /// Pounds at 1.00 and kilograms at 2.10 have next to nothing in common. 6 kg: six kilograms are 12.60, and the best
    /// way with pounds is 9 lb and 2 kg for 13.20. 5.897 kg: 2 lb and 5 kg hold 5.907 kg for 12.50.
    #[test]
    fn sizes_with_nothing_in_common_are_told_apart_exactly() {
        let sizes = [(45_359_237, Some(100)), (100_000_000, Some(210))];
        let packs = sizes.map(|(holds, price)| size(holds, price));
        assert_eq!(choose(Exact::whole(600_000_000), &packs), [0, 6]);
        assert_eq!(choose(Exact::whole(589_700_000), &packs), [2, 5]);
        for need in (1..60).map(|part| part * 11_000_003) {
            assert_eq!(outcome(&choose(Exact::whole(need), &packs), &sizes), by_force(need, &sizes), "{need}");
        }
    }

    #[test]
    fn a_huge_class_gets_enough_and_nothing_asks_for_nothing() {
        let sizes = [size(7, Some(25)), size(125, Some(190)), size(1000, Some(1400))];
        let counts = choose(Exact::whole(7_000_003), &sizes);
        let held: i128 = counts.iter().zip([7, 125, 1000]).map(|(count, holds)| *count as i128 * holds).sum();
        assert!((7_000_003..7_000_010).contains(&held), "{counts:?}");
        assert_eq!(choose(Exact::ZERO, &sizes), [0, 0, 0]);
        assert_eq!(choose(Exact::ONE, &[]), Vec::<usize>::new());
    }
}

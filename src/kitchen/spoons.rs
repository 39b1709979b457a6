//! Spoon and cup sets: a volume as a sum of at most three terms, such as ¼ cup + 3 tbsp.
//!
//! The sets sold (common practice): spoons of ⅛, ¼, ½ and 1 tsp and 1 tbsp; cups of ¼, ⅓, ½ and 1, with ⅔ and ¾ either
//! in the set or as two fillings. Half tablespoons are too rare to count on.

use super::measured::Part;
use crate::quantity::{Exact, UnitId};

/// A measure of the set and its size in mL.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scoop {
    pub unit: UnitId,
    pub size: Exact,
}

/// One kitchen's set, good for volumes up to `top`.
#[derive(Debug, Clone, Copy)]
pub(super) struct SpoonSet {
    pub teaspoon: Scoop,
    pub tablespoon: Scoop,
    /// Left out where larger amounts go into a jug with marks.
    pub cup: Option<Scoop>,
    /// US quarts and gallons, which hold 4 and 16 cups.
    pub vats: Option<(Scoop, Scoop)>,
    /// From here on, in mL, something else measures.
    pub top: Option<Exact>,
    /// Whether small spoons count in large amounts too: for a dose that cannot be weighed.
    pub fine: bool,
}

/// Which measures count for volumes of one size: the larger the amount, the coarser.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    /// In mL; `None` for the last.
    upto: Option<Exact>,
    /// The least step of teaspoons, in teaspoons; `None` where no teaspoon counts any more.
    teaspoons: Option<Exact>,
    /// Most tablespoons.
    tablespoons: i128,
    /// Parts of a cup that count.
    cups: &'static [(i128, i128)],
}

const NO_CUPS: &[(i128, i128)] = &[(0, 1)];
const CUPS: &[(i128, i128)] = &[(0, 1), (1, 4), (1, 3), (1, 2), (2, 3), (3, 4), (1, 1)];
const HALF_CUPS: &[(i128, i128)] = &[(0, 1), (1, 2), (1, 1)];
const WHOLE_CUPS: &[(i128, i128)] = &[(0, 1), (1, 1)];

/// So many cups, tablespoons and teaspoons.
#[derive(Debug, Clone, Copy)]
struct Sum {
    cups: Exact,
    tablespoons: Exact,
    teaspoons: Exact,
}

impl SpoonSet {
    /// The nearest volume the set can measure; halves go up. Never more than `top`.
    pub fn nearest(&self, volume: Exact) -> Exact {
        let stretch = self.stretch(volume);
        let upto = stretch.upto;
        let sums = self.sums(volume, &stretch).into_iter().map(|sum| self.value(sum));
        let within = sums.filter(|value| upto.is_none_or(|upto| *value <= upto)).chain(upto);
        within.min_by_key(|value| ((*value - volume).abs(), -*value)).unwrap_or(Exact::ZERO)
    }

    /// A volume that [`nearest`](Self::nearest) gave, with as few fillings and terms as may be.
    pub fn parts(&self, volume: Exact) -> Vec<Part> {
        let sums = self.sums(volume, &self.stretch(volume)).into_iter().filter(|sum| self.value(*sum) == volume);
        let lists = sums.map(|sum| (self.fillings(sum), self.list(sum)));
        lists
            .min_by_key(|(fillings, list)| *fillings + Exact::whole(list.len() as i128))
            .map(|(_, list)| list)
            .unwrap_or_default()
    }

    fn stretch(&self, volume: Exact) -> Stretch {
        let stretches = self.stretches();
        let at = stretches.iter().position(|stretch| stretch.upto.is_none_or(|upto| volume < upto));
        stretches[at.unwrap_or(stretches.len() - 1)]
    }

    fn stretches(&self) -> Vec<Stretch> {
        let part = |under: i128| Some(Exact::new(1, under));
        let (eighth, quarter, half, one) =
            if self.fine { (part(8), part(8), part(8), part(4)) } else { (part(8), part(4), part(2), part(1)) };
        let few = |upto, teaspoons| Stretch { upto: Some(upto), teaspoons, tablespoons: 0, cups: NO_CUPS };
        let mut list = vec![few(self.teaspoon.size, eighth), few(self.tablespoon.size, quarter)];
        let spoons = |upto: Option<Exact>| Stretch { upto, teaspoons: half, tablespoons: 5, cups: NO_CUPS };
        let Some(cup) = self.cup else {
            list.push(spoons(self.top));
            return list;
        };
        let cups = |count: i128| Some(cup.size * Exact::whole(count));
        list.push(spoons(Some(cup.size / Exact::whole(4))));
        list.push(Stretch { upto: cups(1), teaspoons: one, tablespoons: 5, cups: CUPS });
        let teaspoons = self.fine.then_some(Exact::ONE);
        list.push(Stretch { upto: cups(4), teaspoons, tablespoons: 3, cups: CUPS });
        if self.top.is_none() {
            for (upto, cups) in [(cups(16), CUPS), (cups(32), HALF_CUPS), (None, WHOLE_CUPS)] {
                list.push(Stretch { upto, teaspoons: None, tablespoons: 0, cups });
            }
        }
        list
    }

    /// For each choice of cups and tablespoons, the teaspoons that come nearest.
    fn sums(&self, volume: Exact, stretch: &Stretch) -> Vec<Sum> {
        let cup_size = self.cup.map_or(Exact::ZERO, |cup| cup.size);
        let whole =
            if cup_size.is_zero() || stretch.cups.len() == 1 { Exact::ZERO } else { (volume / cup_size).floor() };
        let full = self.tablespoon.size / self.teaspoon.size;
        let mut sums = Vec::new();
        for (over, under) in stretch.cups {
            let cups = whole + Exact::new(*over, *under);
            // Four and five tablespoons stand only where the quarter cup does not.
            let most = if cups.is_zero() { stretch.tablespoons } else { stretch.tablespoons.min(3) };
            for tablespoons in (0..=most).map(Exact::whole) {
                let left = volume - cups * cup_size - tablespoons * self.tablespoon.size;
                let teaspoons = match stretch.teaspoons {
                    Some(step) => {
                        let most = if stretch.tablespoons == 0 { full } else { full - step };
                        (left / self.teaspoon.size).round_to(step).clamp(Exact::ZERO, most)
                    }
                    None => Exact::ZERO,
                };
                sums.push(Sum { cups, tablespoons, teaspoons });
            }
        }
        sums
    }

    fn value(&self, sum: Sum) -> Exact {
        let cups = self.cup.map_or(Exact::ZERO, |cup| sum.cups * cup.size);
        cups + sum.tablespoons * self.tablespoon.size + sum.teaspoons * self.teaspoon.size
    }

    fn fillings(&self, sum: Sum) -> Exact {
        let scoops = |number: Exact| {
            let part = number - number.floor();
            let twice = [Exact::new(3, 4), Exact::new(2, 3)].contains(&part);
            number.floor() + if part.is_zero() { Exact::ZERO } else { Exact::whole(1 + i128::from(twice)) }
        };
        scoops(sum.cups) + sum.tablespoons + scoops(sum.teaspoons)
    }

    fn list(&self, sum: Sum) -> Vec<Part> {
        let part = |number, scoop: Scoop, bare| Part { number, unit: scoop.unit, bare };
        let mut list = Vec::new();
        if let Some(cup) = self.cup {
            let mut cups = sum.cups;
            // Below two quarts a cook counts cups.
            if let Some((quart, gallon)) = self.vats.filter(|_| cups >= Exact::whole(8)) {
                for (vat, holds) in [(gallon, Exact::whole(16)), (quart, Exact::whole(4))] {
                    let count = (cups / holds).floor();
                    list.push(part(count, vat, false));
                    cups = cups - count * holds;
                }
            }
            list.push(part(cups, cup, true));
        }
        list.push(part(sum.tablespoons, self.tablespoon, true));
        // ⅜ is no spoon: a quarter and an eighth.
        let eighth = Exact::new(1, 8);
        let odd = if sum.teaspoons.under() == 8 && sum.teaspoons > eighth { eighth } else { Exact::ZERO };
        list.push(part(sum.teaspoons - odd, self.teaspoon, true));
        list.push(part(odd, self.teaspoon, true));
        list.retain(|part| !part.number.is_zero());
        list
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Home, Units};
    use crate::reference::Reference;

    fn set(units: &Units, ids: [&str; 3]) -> SpoonSet {
        let [teaspoon, tablespoon, cup] = ids.map(|id| {
            let unit = units.find(id).unwrap();
            Scoop { unit, size: units.get(unit).size }
        });
        SpoonSet { teaspoon, tablespoon, cup: Some(cup), vats: None, top: None, fine: false }
    }

    const SETS: [[&str; 3]; 3] = [
        ["us-teaspoon", "us-tablespoon", "us-cup"],
        ["metric-teaspoon", "metric-tablespoon", "metric-cup"],
        ["metric-teaspoon", "australian-tablespoon", "metric-cup"],
    ];

    /// Every sum below four cups, each with the finest teaspoons that its size calls for; slow and plain.
    fn every_sum(set: &SpoonSet) -> Vec<Exact> {
        let (teaspoon, tablespoon, cup) = (set.teaspoon.size, set.tablespoon.size, set.cup.unwrap().size);
        let quarter_cup = cup / Exact::whole(4);
        let mut sums = Vec::new();
        for (cups, tablespoons, eighths) in
            (0..=48).flat_map(|c| (0..=5).flat_map(move |t| (0..=48).map(move |e| (c, t, e))))
        {
            let (cups, spoons) = (Exact::new(cups, 12), Exact::whole(tablespoons));
            let common = ["0", "1/4", "1/3", "1/2", "2/3", "3/4"]
                .iter()
                .any(|part| Exact::parse(part) == Some(cups - cups.floor()));
            let sum = cups * cup + spoons * tablespoon + Exact::new(eighths, 8) * teaspoon;
            let step = match sum {
                _ if sum <= teaspoon => 1,
                _ if sum <= tablespoon => 2,
                _ if sum <= quarter_cup => 4,
                _ if sum <= cup => 8,
                _ => 1000,
            };
            let few = cups.is_zero() || tablespoons <= 3;
            let small = Exact::new(eighths, 8) * teaspoon < tablespoon;
            if common && few && small && eighths % step == 0 && sum <= cup * Exact::whole(4) {
                sums.push(sum);
            }
        }
        sums
    }

    #[test]
    fn no_other_sum_of_the_set_comes_nearer() {
        let units = Reference::built_in(Home::Uk).units;
        for ids in SETS {
            let set = set(&units, ids);
            let sums = every_sum(&set);
            for twentieths in (1..400).chain((400..19_000).step_by(97)) {
                let volume = Exact::new(twentieths, 20);
                let nearest = set.nearest(volume);
                let best = sums.iter().map(|sum| (*sum - volume).abs()).min();
                assert_eq!(Some((nearest - volume).abs()), best, "{ids:?} {volume} mL as {nearest}");
            }
        }
    }

    #[test]
    fn the_parts_are_the_volume_and_few() {
        let units = Reference::built_in(Home::Uk).units;
        for ids in SETS {
            let set = set(&units, ids);
            for volume in (1..4000).map(|tenths| set.nearest(Exact::new(tenths, 4))) {
                let parts = set.parts(volume);
                assert_eq!(parts.iter().map(|part| part.base(&units)).sum::<Exact>(), volume, "{ids:?}");
                assert!(parts.len() <= 3, "{volume} mL of {ids:?}");
            }
        }
    }
}

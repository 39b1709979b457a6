//! How much heat a food takes, from what it is made of.

use super::fault::{SumFault, amount, positive, within};
use crate::reference::Food;

/// Composition as parts of 1, by weight.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fractions {
    /// Water.
    pub water: f64,
    /// Protein.
    pub protein: f64,
    /// Fat.
    pub fat: f64,
    /// Carbohydrate other than fibre; all of it, where fibre is not given apart.
    pub carbohydrate: f64,
    /// Fibre.
    pub fibre: f64,
    /// Ash.
    pub ash: f64,
}

impl Fractions {
    /// Of a row of the table, which is in parts of 100.
    pub fn of(food: &Food) -> Fractions {
        Fractions {
            water: food.water / 100.0,
            protein: food.protein / 100.0,
            fat: food.fat / 100.0,
            carbohydrate: food.carbohydrate / 100.0,
            fibre: food.fibre / 100.0,
            ash: food.ash / 100.0,
        }
    }

    fn parts(&self) -> [f64; 6] {
        [self.water, self.protein, self.fat, self.carbohydrate, self.fibre, self.ash]
    }

    /// The parts, if each is one and all make up the whole; analyses are off by a part in a hundred, no more.
    fn checked(&self) -> Result<[f64; 6], SumFault> {
        let parts = self.parts();
        let mut sum = 0.0;
        for part in parts {
            sum += within("part of the whole", part, 0.0, 1.0)?;
        }
        within("sum of the parts", sum, 0.98, 1.02)?;
        Ok(parts)
    }
}

/// kJ/(kg·K) as a + b t + c t², in the order of [`Fractions`].
const SPECIFIC_HEATS: [[f64; 3]; 6] = [
    [4.1762, -9.0864e-5, 5.4731e-6],
    [2.0082, 1.2089e-3, -1.3129e-6],
    [1.9842, 1.4733e-3, -4.8008e-6],
    [1.5488, 1.9625e-3, -5.9399e-6],
    [1.8459, 1.8306e-3, -4.6509e-6],
    [1.0926, 1.8896e-3, -3.6817e-6],
];

/// kg/m³ as a + b t + c t², in the same order.
const DENSITIES: [[f64; 3]; 6] = [
    [997.18, 3.1439e-3, -3.7574e-3],
    [1329.9, -5.1840e-1, 0.0],
    [925.59, -4.1757e-1, 0.0],
    [1599.1, -3.1046e-1, 0.0],
    [1311.5, -3.6589e-1, 0.0],
    [2423.8, -2.8063e-1, 0.0],
];

fn at([a, b, c]: [f64; 3], celsius: f64) -> f64 {
    a + b * celsius + c * celsius * celsius
}

/// Specific heat of a food, kJ/(kg·K): the sum of xᵢ cᵢ(t), after Choi and Okos.
///
/// 0 to 150 °C (the equations go down to −40 °C, but water freezes). Published coefficients (ASHRAE handbook, as
/// carried by programs that cite it). Two misprints go round: water as 4.1289 + 9.0864e−5 t − 5.4731e−6 t², and fat
/// with 1.4733e−4; they make whole milk 3.85 instead of 3.89. Other published sums give 3.86 to 3.92 for the same
/// milk, so 2 % is what a heating time can be trusted to. The melting of fat between about 15 and 35 °C is left out:
/// cream takes more.
pub fn specific_heat_kj(fractions: &Fractions, celsius: f64) -> Result<f64, SumFault> {
    within("temperature, °C", celsius, 0.0, 150.0)?;
    let parts = fractions.checked()?;
    let mut sum = 0.0;
    for (part, terms) in parts.into_iter().zip(SPECIFIC_HEATS) {
        sum += part * at(terms, celsius);
    }
    Ok(sum)
}

/// Density of a food without air in it, kg/m³: 1 over the sum of xᵢ/ρᵢ(t), after Choi and Okos.
///
/// 0 to 150 °C; published coefficients. It makes water and milk up to 0.7 % too light: where the pantry has a
/// density, that is better.
pub fn density_kg_per_m3(fractions: &Fractions, celsius: f64) -> Result<f64, SumFault> {
    within("temperature, °C", celsius, 0.0, 150.0)?;
    let parts = fractions.checked()?;
    let mut sum = 0.0;
    for (part, terms) in parts.into_iter().zip(DENSITIES) {
        sum += part / at(terms, celsius);
    }
    Ok(1.0 / sum)
}

/// Composition of foods put together: (kg, composition) of each. A balance of masses, exact.
pub fn blend(foods: &[(f64, Fractions)]) -> Result<Fractions, SumFault> {
    let mut total_kg = 0.0;
    let mut sums = [0.0; 6];
    for (kg, fractions) in foods {
        amount("mass, kg", *kg)?;
        total_kg += kg;
        for (sum, part) in sums.iter_mut().zip(fractions.checked()?) {
            *sum += kg * part;
        }
    }
    positive("mass of all, kg", total_kg)?;
    let [water, protein, fat, carbohydrate, fibre, ash] = sums.map(|sum| sum / total_kg);
    Ok(Fractions { water, protein, fat, carbohydrate, fibre, ash })
}

//! Scaling a written amount.

use crate::quantity::{Amount, Dimension, End, Exact, Number, Quantity};

/// Whether a measure grows with the batch. Temperatures, times, lengths and shares do not: half the milk is heated
/// as far, and how much sooner it gets there is no matter of proportion.
pub fn follows_scale(dimension: Dimension) -> bool {
    match dimension {
        Dimension::Mass | Dimension::Volume | Dimension::Count | Dimension::Energy => true,
        Dimension::Length
        | Dimension::Time
        | Dimension::Temperature
        | Dimension::Difference
        | Dimension::Share
        | Dimension::Power => false,
    }
}

/// `amount` for `k` times the batch: exact, in the form it was written; unchanged where scale does not touch it.
///
/// `None` when the result is too large to be held, which no kitchen's is.
pub fn scale(amount: &Amount, k: Exact) -> Option<Amount> {
    if !follows_scale(amount.dimension()) {
        return Some(*amount);
    }
    Some(Amount { low: scale_end(&amount.low, k)?, high: scale_end(&amount.high, k)?, ..*amount })
}

fn scale_end(end: &End, k: Exact) -> Option<End> {
    Some(End {
        quantity: Quantity::from_base(end.quantity.dimension(), end.quantity.base() * k)?,
        number: Number { value: end.number.value * k, ..end.number },
        ..*end
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Home, parse_amount, print};
    use crate::reference::Reference;

    #[test]
    fn a_scaled_amount_keeps_its_form_and_comes_back() {
        let units = Reference::built_in(Home::Uk).units;
        for (text, k, want) in [
            ("4 L", Exact::new(3, 4), "3 L"),
            ("½ tsp", Exact::new(3, 2), "¾ tsp"),
            ("1 lb 4 oz", Exact::whole(2), "2 lb 8 oz"),
            ("1 lb 4 oz", Exact::whole(4), "5 lb"),
            ("2–3 cups", Exact::new(1, 2), "1–1½ cups"),
            ("about 250 g", Exact::new(1, 3), "about 83.33 g"),
            ("92 °C", Exact::whole(2), "92 °C"),
            ("30 min", Exact::whole(2), "30 min"),
        ] {
            let amount = parse_amount(text, &units).unwrap();
            let scaled = scale(&amount, k).unwrap();
            let shown = print::amount(&scaled, &units, print::Style::default());
            assert_eq!(shown.replace(print::NO_BREAK, " "), want, "{text}");
            assert_eq!(scale(&scaled, Exact::ONE / k), Some(amount), "{text}");
        }
    }
}

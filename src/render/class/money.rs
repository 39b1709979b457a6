//! Prices as a course writes them.

use crate::quantity::print::NO_BREAK;
use crate::quantity::{Exact, Home};
use crate::recipe::Course;
use crate::reference::Reference;

/// How money is written.
pub(super) struct Money {
    currency: String,
    decimal: char,
}

impl Money {
    /// The course's own, or else that of where its author teaches.
    pub(super) fn of(course: &Course, reference: &Reference) -> Money {
        let at_home = match course.home {
            Home::Uk => "£",
            Home::Us | Home::Au | Home::Nz | Home::Ca => "$",
        };
        let own = course.class.as_ref().and_then(|class| class.currency.clone());
        Money { currency: own.unwrap_or_else(|| at_home.to_owned()), decimal: reference.units.style().decimal }
    }

    pub(super) fn currency(&self) -> &str {
        &self.currency
    }

    /// `£21.60`, `SEK 21.60`
    pub(super) fn written(&self, value: Exact) -> String {
        let figure = self.figure(value).replace('.', &self.decimal.to_string());
        match self.is_code() {
            true => format!("{}{NO_BREAK}{figure}", self.currency),
            false => format!("{}{figure}", self.currency),
        }
    }

    /// `21.60`, with a point: for other programs.
    pub(super) fn figure(&self, value: Exact) -> String {
        let hundredths = (value * Exact::whole(100)).round_to(Exact::ONE).over();
        format!("{}.{:02}", hundredths / 100, hundredths % 100)
    }

    /// How a student's part was rounded, in words.
    pub(super) fn rounded(&self) -> &'static str {
        match self.currency.as_str() {
            "£" | "GBP" => "rounded up to the penny",
            "$" | "€" | "USD" | "AUD" | "NZD" | "CAD" | "EUR" => "rounded up to the cent",
            _ => "rounded up to the hundredth",
        }
    }

    fn is_code(&self) -> bool {
        self.currency.chars().all(|letter| letter.is_ascii_alphabetic())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_has_two_places_and_the_sign_of_its_language() {
        for (currency, decimal, pence, want) in [
            ("£", '.', 2160, "£21.60"),
            ("£", '.', 5, "£0.05"),
            ("€", ',', 120_000, "€1200,00"),
            ("SEK", ',', 90, "SEK\u{A0}0,90"),
        ] {
            let money = Money { currency: currency.to_owned(), decimal };
            assert_eq!(money.written(Exact::new(pence, 100)), want);
        }
    }
}

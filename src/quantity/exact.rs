//! Exact numbers: a third of a cup stays a third.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, Zero};
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

/// What a sum stops with when its result does not fit in 128 bits.
struct TooLong;

/// Runs sums. `None` when one of them does not fit in 128 bits: an exact number is never rounded to make it fit, so all
/// that rests on it has no answer either.
///
/// Sums are written with `+` and `*` everywhere, and so cannot hand back a fault each: they unwind to here. Whoever calls
/// this throws away what the sums were to make, and says so in a finding.
pub fn reckoned<T>(sums: impl FnOnce() -> T) -> Option<T> {
    match catch_unwind(AssertUnwindSafe(sums)) {
        Ok(made) => Some(made),
        Err(cause) if cause.is::<TooLong>() => None,
        Err(cause) => resume_unwind(cause),
    }
}

/// The result of a sum, or the end of all sums up to [`reckoned`]. No panic is told of: this is no fault of ours.
fn fitting<T>(result: Option<T>) -> T {
    result.unwrap_or_else(|| resume_unwind(Box::new(TooLong)))
}

/// A ratio of two whole numbers.
///
/// Numbers that authors write are bounded when they are read (see [`Number`](super::Number)), so the few
/// multiplications that a comparison needs stay far inside 128 bits. A list of ingredients in unlike fractions does not:
/// see [`reckoned`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Exact(Ratio<i128>);

impl Exact {
    /// Nought.
    pub const ZERO: Exact = Exact(Ratio::new_raw(0, 1));
    /// One.
    pub const ONE: Exact = Exact(Ratio::new_raw(1, 1));

    /// `over / under`.
    ///
    /// # Panics
    /// When `under` is nought.
    pub fn new(over: i128, under: i128) -> Exact {
        Exact(Ratio::new(over, under))
    }

    /// A whole number.
    pub fn whole(value: i128) -> Exact {
        Exact(Ratio::from_integer(value))
    }

    /// Reads `12`, `0.035`, `5/9`, `-160/9`; nothing else. At most eighteen figures each, so that the ratio fits.
    pub fn parse(text: &str) -> Option<Exact> {
        if let Some((over, under)) = text.split_once('/') {
            // One stroke only: each part has so few figures that the ratio of two fits.
            let (over, under) = (Exact::parse_decimal(over.trim())?, Exact::parse_decimal(under.trim())?);
            return (!under.is_zero()).then(|| over / under);
        }
        Exact::parse_decimal(text)
    }

    fn parse_decimal(text: &str) -> Option<Exact> {
        let (negative, digits) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        if whole.is_empty() || whole.len() + fraction.len() > 18 {
            return None;
        }
        if !whole.bytes().chain(fraction.bytes()).all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let over: i128 = format!("{whole}{fraction}").parse().ok()?;
        let value = Exact::new(over, 10i128.pow(fraction.len() as u32));
        Some(if negative { -value } else { value })
    }

    /// Numerator, in lowest terms.
    pub fn over(self) -> i128 {
        *self.0.numer()
    }

    /// Denominator, in lowest terms, above nought.
    pub fn under(self) -> i128 {
        *self.0.denom()
    }

    /// Whether it is nought.
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Whether it is a whole number.
    pub fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    /// Without its sign.
    pub fn abs(self) -> Exact {
        Exact(self.0.abs())
    }

    /// The whole number at or below.
    pub fn floor(self) -> Exact {
        Exact::whole(self.over().div_euclid(self.under()))
    }

    /// Without what lies beyond the third place. Densities divide to long ratios; forty of them, added up exactly, do not
    /// fit in 128 bits.
    pub fn cut(self) -> Exact {
        let thousand = Exact::whole(1000);
        (self * thousand).floor() / thousand
    }

    /// The nearest multiple of `step`; halves go away from nought.
    ///
    /// # Panics
    /// When `step` is nought.
    pub fn round_to(self, step: Exact) -> Exact {
        (self / step).rounded() * step
    }

    /// The nearest whole number, halves away from nought.
    fn rounded(self) -> Exact {
        let (over, under) = (self.over().unsigned_abs(), self.under().unsigned_abs());
        let whole = over / under + u128::from(over % under >= under.div_ceil(2));
        let whole = fitting(i128::try_from(whole).ok());
        Exact::whole(if self.over() < 0 { -whole } else { whole })
    }

    /// For output only: the nearest float.
    pub fn to_f64(self) -> f64 {
        (self.over() as f64) / (self.under() as f64)
    }

    /// Decimal text with at most `places` digits after the point, halves away from nought, no trailing noughts.
    pub fn to_decimal(self, places: u32) -> String {
        let scale = 10i128.pow(places);
        let scaled = (self * Exact::whole(scale)).rounded().over();
        let (sign, scaled) = (if scaled < 0 { "−" } else { "" }, scaled.abs());
        let (whole, fraction) = (scaled / scale, scaled % scale);
        if fraction == 0 {
            return format!("{sign}{whole}");
        }
        let digits = format!("{fraction:0width$}", width = places as usize);
        format!("{sign}{whole}.{}", digits.trim_end_matches('0'))
    }
}

impl From<Ratio<i64>> for Exact {
    fn from(ratio: Ratio<i64>) -> Exact {
        Exact::new(i128::from(*ratio.numer()), i128::from(*ratio.denom()))
    }
}

macro_rules! arithmetic {
    ($($trait:ident $method:ident $checked:ident;)*) => {$(
        impl $trait for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                // Most numbers of a kitchen are whole, and need no common divisor.
                if self.is_whole() && other.is_whole() {
                    return Exact::whole(fitting(self.over().$checked(other.over())));
                }
                Exact(fitting(self.0.$checked(&other.0)))
            }
        }
    )*};
}
arithmetic! { Add add checked_add; Sub sub checked_sub; Mul mul checked_mul; }

impl Div for Exact {
    type Output = Exact;
    fn div(self, other: Exact) -> Exact {
        Exact(fitting(self.0.checked_div(&other.0)))
    }
}

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact(-self.0)
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(iter: I) -> Exact {
        iter.fold(Exact::ZERO, Add::add)
    }
}

impl fmt::Display for Exact {
    /// `3/2`, or `3` when whole.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_numbers_are_exact() {
        assert_eq!(Exact::parse("236.5882365"), Some(Exact::new(2_365_882_365, 10_000_000)));
        assert_eq!(Exact::parse("-160/9"), Some(Exact::new(-160, 9)));
        assert_eq!(Exact::parse("1/2/3"), None);
        assert_eq!(Exact::parse(&format!("1.{}", "0".repeat(18))), None);
        assert_eq!(Exact::parse("0.1").unwrap() + Exact::parse("0.2").unwrap(), Exact::new(3, 10));
        for bad in ["", ".", "1.", "1e3", "1/0", "½", "NaN", "1 000"] {
            assert!(bad == "1." || Exact::parse(bad).is_none(), "{bad}");
        }
    }

    #[test]
    fn decimals_round_half_away_from_nought() {
        assert_eq!(Exact::new(1, 3).to_decimal(2), "0.33");
        assert_eq!(Exact::new(5, 2).to_decimal(0), "3");
        assert_eq!(Exact::new(-5, 2).to_decimal(0), "−3");
        assert_eq!(Exact::new(9999, 1000).to_decimal(2), "10");
        assert_eq!(Exact::new(1, 8).round_to(Exact::new(1, 4)), Exact::new(1, 4));
    }

    #[test]
    fn a_sum_that_does_not_fit_has_no_answer_and_is_never_rounded() {
        let primes = [9973, 9967, 9949, 9941, 9931, 9929, 9923, 9907, 9901, 9887];
        let sum = || primes.into_iter().map(|under| Exact::new(1, under)).sum::<Exact>();
        assert_eq!(reckoned(sum), None);
        let huge = Exact::whole(i128::MAX);
        assert_eq!(reckoned(|| huge * huge), None);
        assert_eq!(reckoned(|| huge + Exact::ONE), None);
        assert_eq!(reckoned(|| huge.to_decimal(3)), None);
        assert_eq!(reckoned(|| Exact::new(1, i128::MAX).round_to(Exact::new(1, 3))), Some(Exact::ZERO));
        assert_eq!(reckoned(|| Exact::ONE + Exact::ONE), Some(Exact::whole(2)));
    }

    #[test]
    #[should_panic(expected = "another fault")]
    fn other_faults_pass_through() {
        reckoned(|| panic!("another fault"));
    }
}

//! Reading between the rows of a table, along straight lines.

use super::fault::{SumFault, within};

/// A row as `x` and `y`.
type Point = (f64, f64);

/// `y` at `x` from points in rising order of `x`. Outside of the table there is no answer.
pub(super) fn between(
    what: &'static str,
    points: impl Iterator<Item = Point> + Clone,
    x: f64,
) -> Result<f64, SumFault> {
    let [(x0, y0), (x1, y1)] = piece(what, points, x)?;
    if x1 <= x0 { Ok(y0) } else { Ok(y0 + (y1 - y0) * ((x - x0) / (x1 - x0))) }
}

/// The two points that `x` lies between.
pub(super) fn piece(
    what: &'static str,
    points: impl Iterator<Item = Point> + Clone,
    x: f64,
) -> Result<[Point; 2], SumFault> {
    let Some(first) = points.clone().next() else { return Err(SumFault::Impossible("the table has no rows")) };
    let last = points.clone().last().unwrap_or(first);
    within(what, x, first.0, last.0)?;
    let above = points.clone().find(|point| point.0 >= x).unwrap_or(last);
    let below = points.take_while(|point| point.0 < x).last().unwrap_or(above);
    Ok([below, above])
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: [Point; 3] = [(0.0, 10.0), (2.0, 20.0), (3.0, 0.0)];

    fn read(x: f64) -> Option<f64> {
        between("x", ROWS.into_iter(), x).ok()
    }

    #[test]
    fn rows_and_what_lies_between_them() {
        assert_eq!([0.0, 1.0, 2.0, 2.5, 3.0].map(read), [10.0, 15.0, 20.0, 10.0, 0.0].map(Some));
    }

    #[test]
    fn nothing_is_read_beyond_a_table_or_from_an_empty_one() {
        assert_eq!([-0.1, 3.1, f64::NAN].map(read), [None; 3]);
        assert!(between("x", [].into_iter(), 1.0).is_err());
        assert_eq!(between("x", [(1.0, 7.0)].into_iter(), 1.0), Ok(7.0));
    }
}

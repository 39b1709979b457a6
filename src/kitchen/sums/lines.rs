//! Reading between the rows of a table, along straight lines.

use super::fault::{SumFault, within};

/// `y` at `x` from points in rising order of `x`. Outside of the table there is no answer.
pub(super) fn between(
    what: &'static str,
    points: impl Iterator<Item = (f64, f64)> + Clone,
    x: f64,
) -> Result<f64, SumFault> {
    let ((x0, y0), (x1, y1)) = piece(what, points, x)?;
    if x1 <= x0 { Ok(y0) } else { Ok(y0 + (y1 - y0) * ((x - x0) / (x1 - x0))) }
}

/// The two points that `x` lies between.
pub(super) fn piece(
    what: &'static str,
    points: impl Iterator<Item = (f64, f64)> + Clone,
    x: f64,
) -> Result<((f64, f64), (f64, f64)), SumFault> {
    let Some(first) = points.clone().next() else { return Err(SumFault::Impossible("the table has no rows")) };
    let last = points.clone().last().unwrap_or(first);
    within(what, x, first.0, last.0)?;
    let above = points.clone().find(|point| point.0 >= x).unwrap_or(last);
    let below = points.take_while(|point| point.0 < x).last().unwrap_or(above);
    Ok((below, above))
}

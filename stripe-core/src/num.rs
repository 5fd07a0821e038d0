//! Tolerances and small numeric helpers that every layer shares.

/// Two points nearer than this (mm) are one point.
///
/// Polygon Booleans snap to a grid of about 5e-8 of the picture's size, some
/// 5e-5 mm on a metre of fabric: contact is never asked for more finely.
pub const POINT_TOL_MM: f64 = 1e-4;

/// Arcs are flattened with a chord error of at most this (mm).
///
/// A twentieth of a millimetre is below what chalk and scissors can follow.
pub const CHORD_TOL_MM: f64 = 0.05;

/// `x mod m` in `[0, m)`, for `m > 0`; never returns `m` itself.
#[inline]
pub fn wrap(x: f64, m: f64) -> f64 {
    let r = x.rem_euclid(m);
    if r >= m { 0.0 } else { r }
}

/// The signed distance from `x` to the nearest multiple of `m`, in `[-m/2, m/2]`.
#[inline]
pub fn nearest_multiple_gap(x: f64, m: f64) -> f64 {
    x - (x / m).round() * m
}

/// The least whole number that is not below `x`, for `x` in `[0, 2^53]`.
///
/// Counted, not asked of the machine: the least x86-64 has no instruction for [`f64::ceil`], and
/// the call took some per cent of the search's inner loops.
#[inline]
pub fn ceil_to_index(x: f64) -> usize {
    let whole = x as i64;
    (whole + i64::from(x > whole as f64)) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrap_stays_below_the_modulus() {
        assert_eq!(wrap(-1e-18, 3.0), 0.0);
        assert_eq!(wrap(7.0, 3.0), 1.0);
        assert_eq!(wrap(-1.0, 3.0), 2.0);
    }

    #[test]
    fn an_index_is_the_ceiling() {
        for x in [
            0.0,
            1e-300,
            0.5,
            1.0,
            1.0 + f64::EPSILON,
            7.999_999,
            4e9 + 0.25,
        ] {
            assert_eq!(ceil_to_index(x), x.ceil() as usize, "{x}");
        }
    }

    #[test]
    fn gap_is_signed() {
        assert!((nearest_multiple_gap(2.9, 3.0) + 0.1).abs() < 1e-12);
        assert!((nearest_multiple_gap(-2.9, 3.0) - 0.1).abs() < 1e-12);
    }
}

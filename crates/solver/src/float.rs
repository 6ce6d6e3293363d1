//! Elementary functions that give the same bits on a phone, a laptop and a terminal.
//!
//! The standard library calls the platform's own mathematics library, whose last digit differs from machine to
//! machine; a shared link must show the same digits everywhere, so everything here goes through `libm`.

/// Sorts a handful of items, the largest first; equal ones keep their order. By insertion: the standard library's sorts
/// for long lists weigh two kilobytes for every type in a phone's download.
pub fn sort_largest_first<T>(items: &mut [T], key: impl Fn(&T) -> f64) {
    for at in 1..items.len() {
        let mut place = at;
        while place > 0 && key(&items[place]).total_cmp(&key(&items[place - 1])).is_gt() {
            items.swap(place, place - 1);
            place -= 1;
        }
    }
}

/// Square root: correctly rounded on every machine by IEEE 754, and one instruction; `libm` would work it out in steps
/// where a browser has the instruction.
#[inline]
pub fn sqrt(x: f64) -> f64 {
    x.sqrt()
}

/// Square root in single precision.
#[inline]
pub fn sqrt_single(x: f32) -> f32 {
    x.sqrt()
}

/// Sine of an angle in radians.
#[inline]
pub fn sin(angle_rad: f64) -> f64 {
    libm::sin(angle_rad)
}

/// Cosine of an angle in radians.
#[inline]
pub fn cos(angle_rad: f64) -> f64 {
    libm::cos(angle_rad)
}

/// Sine and cosine of an angle in radians, in one call.
#[inline]
pub fn sin_cos(angle_rad: f64) -> (f64, f64) {
    libm::sincos(angle_rad)
}

/// Angle in radians whose tangent is `y / x`, in the quadrant of `(x, y)`.
#[inline]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Angle in radians from 0 to π whose cosine is `x`; `x` outside −1…1 is taken as the nearer end.
#[inline]
pub fn acos(x: f64) -> f64 {
    libm::acos(x.clamp(-1.0, 1.0))
}

/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// The exponential function.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// `base` raised to `exponent`.
#[inline]
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Error function, for probabilities of a normal distribution.
#[inline]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

//! The normal distribution, through `libm`.

/// The probability that a standard normal value lies at or below `z`.
pub fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / core::f64::consts::SQRT_2)
}

/// The density of a standard normal value at `z`.
pub fn density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / libm::sqrt(2.0 * core::f64::consts::PI)
}

/// The value at or below which a standard normal lies with probability `p`; `p` is brought to 1e-12 to
/// 1 - 1e-12.
pub fn quantile(p: f64) -> f64 {
    let p = p.clamp(1e-12, 1.0 - 1e-12);
    let (mut low, mut high) = (-8.0, 8.0);
    // Sixty halvings of an interval of sixteen end below the spacing of doubles near one.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The middle value; of an even number the mean of the two middle ones. `None` of nothing.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let high = *sorted.get(half)?;
    if sorted.len() % 2 == 1 {
        return Some(high);
    }
    sorted.get(half.checked_sub(1)?).map(|low| 0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_those_of_the_tables() {
        // Standard normal table: 90 %, 97.5 %, 99.5 %.
        for (p, z) in [(0.9, 1.281_551_565_545), (0.975, 1.959_963_984_540), (0.995, 2.575_829_303_549)] {
            assert!((quantile(p) - z).abs() < 1e-10, "{p}");
            assert!((quantile(1.0 - p) + z).abs() < 1e-10, "{p}");
            assert!((below(z) - p).abs() < 1e-10, "{p}");
        }
    }

    #[test]
    fn the_median_is_the_middle_or_the_mean_of_two() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), Some(2.5));
    }
}

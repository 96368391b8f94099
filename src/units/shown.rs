//! Numbers as text: the only rounding in the crate.

/// A number as somebody would write it, to at most six significant figures.
///
/// For a figure that comes out of a file: no zeros behind it, and an exponent only where there
/// would be many zeros.
///
/// ```
/// use crossbrace::units::brief;
/// assert_eq!(brief(-80.0), "-80");
/// assert_eq!(brief(1.5 * 25.4), "38.1");
/// assert_eq!(brief(2.5e-7), "2.5e-7");
/// assert_eq!(brief(1e300), "1e300");
/// ```
pub fn brief(value: f64) -> String {
    short(value, 6)
}

/// A number that arithmetic gave, for a sentence: three significant figures, and no zeros behind it.
///
/// ```
/// use crossbrace::units::rounded;
/// assert_eq!(rounded(0.068_445_9), "0.0684");
/// assert_eq!(rounded(0.5), "0.5");
/// ```
pub fn rounded(value: f64) -> String {
    short(value, 3)
}

fn short(value: f64, count: usize) -> String {
    let plain = |text: &str| match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text.to_owned(),
    };
    if value == 0.0 || (1e-4..1e9).contains(&value.abs()) {
        return plain(&figures(value, count));
    }
    let text = format!("{value:.*e}", count.saturating_sub(1));
    match text.split_once('e') {
        Some((number, exponent)) => format!("{}e{exponent}", plain(number)),
        None => text,
    }
}

/// A number in a sentence, to so many significant figures: from ten million on as a power of ten,
/// since nobody counts more digits.
///
/// ```
/// use crossbrace::units::spoken;
/// assert_eq!(spoken(1234.56, 3), "1235");
/// assert_eq!(spoken(-1.76e24, 3), "-1.76 × 10^24");
/// assert_eq!(spoken(9_999_999.0, 3), "9999999");
/// ```
pub fn spoken(value: f64, count: usize) -> String {
    const MANY: f64 = 1e7;
    if value.abs() < MANY {
        return figures(value, count);
    }
    let text = format!("{value:.*e}", count.saturating_sub(1));
    text.replacen('e', " × 10^", 1)
}

/// A number to so many significant figures, without exponent; `-0` becomes `0`.
///
/// ```
/// use crossbrace::units::figures;
/// assert_eq!(figures(1234.56, 3), "1235");
/// assert_eq!(figures(0.012345, 3), "0.0123");
/// assert_eq!(figures(-0.0, 3), "0");
/// assert_eq!(figures(9.996, 3), "10.0");
/// ```
pub fn figures(value: f64, count: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    decimals(value, decimals_for(value, count))
}

/// A number in full, as JSON writes it: the shortest text that reads back as the same number.
///
/// ```
/// use crossbrace::units::in_full;
/// assert_eq!(in_full(330.0), "330");
/// assert_eq!(in_full(-0.0), "0");
/// assert_eq!(in_full(1e-20), "1e-20");
/// ```
pub fn in_full(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if (1e-5..1e17).contains(&value.abs()) { value.to_string() } else { format!("{value:e}") }
}

/// The shortest decimal number that is within `tolerance` of a value; in full where none is.
///
/// ```
/// use crossbrace::units::shortest;
/// assert_eq!(shortest(1.1 * 25.4, 1e-9), "27.94");
/// assert_eq!(shortest(1e-12, 1e-9), "0");
/// ```
pub fn shortest(value: f64, tolerance: f64) -> String {
    (0..=15)
        .map(|digits| decimals(value, digits))
        .find(|text| text.parse::<f64>().is_ok_and(|read| (read - value).abs() <= tolerance))
        .unwrap_or_else(|| in_full(value))
}

/// Two numbers that are not the same, to as many significant figures as tell them apart: three at
/// least. `None` where they differ by less than a millionth.
///
/// ```
/// use crossbrace::units::told_apart;
/// assert_eq!(told_apart(812.3, 640.0), Some(["812".to_owned(), "640".to_owned()]));
/// assert_eq!(told_apart(420.3, 420.027), Some(["420.3".to_owned(), "420.0".to_owned()]));
/// assert_eq!(told_apart(420.027_000_1, 420.027), None);
/// ```
pub fn told_apart(one: f64, other: f64) -> Option<[String; 2]> {
    if (one - other).abs() <= 1e-6 * one.abs().max(other.abs()) {
        return None;
    }
    (3..9).map(|count| [figures(one, count), figures(other, count)]).find(|[one, other]| one != other)
}

/// How many digits after the point show `value` to `count` significant figures.
pub fn decimals_for(value: f64, count: usize) -> usize {
    let exponential = format!("{:.*e}", count.saturating_sub(1), value.abs());
    let exponent: i32 = exponential.split_once('e').and_then(|(_, exponent)| exponent.parse().ok()).unwrap_or(0);
    let wanted = i32::try_from(count).unwrap_or(i32::MAX).saturating_sub(1).saturating_sub(exponent);
    usize::try_from(wanted.clamp(0, 12)).unwrap_or(0)
}

/// A number with so many digits after the point; a rounded `-0` becomes `0`.
pub fn decimals(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| byte == b'0' || byte == b'.') => rest.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_round_half_away_only_at_the_digit_shown() {
        assert_eq!(figures(0.000_123_4, 3), "0.000123");
        assert_eq!(figures(99_950.0, 3), "99950");
        assert_eq!(figures(-1.005, 3), "-1.00");
        assert_eq!(decimals(-0.0004, 3), "0.000");
    }
}

//! Decimal numbers, exactly: a route's promise is about the digits that were written, not about the nearest binary fraction.

use rust_decimal::{Decimal, prelude::ToPrimitive};

/// Why a text is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NotANumber {
    /// It isn't written as one.
    Form,
    /// NaN or an infinity.
    NotFinite,
    /// It is beyond anything that can be meant, or has more than 20 digits.
    Long,
}

/// A decimal number counted in units of a negative power of ten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Counts(Decimal);

impl Counts {
    /// The number in `text` in units of 10^-digits.
    pub(crate) fn parse(text: &str, digits: u32) -> Result<Self, NotANumber> {
        let text = text.trim().replace('_', "");
        let bare = text.trim_start_matches(['+', '-']).to_lowercase();
        if ["nan", "inf", "infinity"].contains(&bare.as_str()) {
            return Err(NotANumber::NotFinite);
        }
        // More digits than any number here needs: the decimal type would begin to round.
        if bare.chars().filter(char::is_ascii_digit).count() > 20 {
            return Err(NotANumber::Long);
        }
        let parsed = if bare.contains('e') { Decimal::from_scientific(&text) } else { Decimal::from_str_exact(&text) };
        let value = parsed.map_err(|_| NotANumber::Form)?;
        value.checked_mul(Decimal::from(10_i64.pow(digits))).map(Self).ok_or(NotANumber::Long)
    }

    pub(crate) fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    pub(crate) fn floor(self) -> Option<i64> {
        self.0.floor().to_i64()
    }

    pub(crate) fn ceil(self) -> Option<i64> {
        self.0.ceil().to_i64()
    }

    pub(crate) fn nearest(self) -> Option<i64> {
        self.0.round().to_i64()
    }
}

/// `counts` units of 10^-digits as a decimal with at least one digit after the point where there is a point.
pub(crate) fn written(counts: i64, digits: u32) -> String {
    let text = Decimal::new(counts, digits).normalize().to_string();
    if digits > 0 && !text.contains('.') { format!("{text}.0") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_count_and_not_the_nearest_fraction() {
        let counts = Counts::parse("47.3977420", 7).unwrap();
        assert!(counts.is_whole());
        assert_eq!(counts.floor(), Some(473_977_420));
        assert_eq!(Counts::parse("-0.005", 2).unwrap().floor(), Some(-1));
        assert_eq!(Counts::parse("-0.005", 2).unwrap().ceil(), Some(0));
        assert_eq!(Counts::parse("1.5e1", 2).unwrap().floor(), Some(1500));
        assert_eq!(Counts::parse("1_000", 0).unwrap().floor(), Some(1000));
    }

    #[test]
    fn what_is_no_number_is_told_apart() {
        assert_eq!(Counts::parse("nan", 2), Err(NotANumber::NotFinite));
        assert_eq!(Counts::parse("-inf", 2), Err(NotANumber::NotFinite));
        assert_eq!(Counts::parse("47,5", 2), Err(NotANumber::Form));
        assert_eq!(Counts::parse("1e400", 2), Err(NotANumber::Form));
        assert_eq!(Counts::parse("1.00000000000000000000000000000000001", 2), Err(NotANumber::Long));
    }

    #[test]
    fn a_number_is_written_as_people_do() {
        assert_eq!(written(1500, 2), "15.0");
        assert_eq!(written(-33, 2), "-0.33");
        assert_eq!(written(5000, 0), "5000");
    }
}

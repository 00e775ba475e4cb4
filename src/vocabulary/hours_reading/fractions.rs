//! Exact parts of an hour: halves, decimals, sums of them.
//!
//! Words of number and unit are read in `one_duration`.

/// A number of hours or minutes as a fraction, exact.
#[derive(Clone, Copy, Debug)]
pub(super) struct Amount {
    pub(super) over: u64,
    pub(super) under: u64,
    /// Written with two decimals that may be minutes: "1.30".
    pub(super) clocklike: Option<u32>,
}

impl Amount {
    pub(super) const fn new(over: u64, under: u64) -> Amount {
        Amount {
            over,
            under,
            clocklike: None,
        }
    }

    pub(super) fn plus(self, other: Amount) -> Amount {
        Amount::new(
            self.over * other.under + other.over * self.under,
            self.under * other.under,
        )
    }

    pub(super) fn times(self, minutes: u64) -> Option<u32> {
        let sum = self
            .over
            .checked_mul(minutes)?
            .checked_add(self.under / 2)?;
        u32::try_from(sum / self.under).ok()
    }
}

/// `2`, `2.5`, `2,5`, `1.30`.
pub(super) fn decimal(number: &str) -> Option<Amount> {
    let number = number.replace(',', ".");
    let (whole, part) = number.split_once('.').unwrap_or((&number, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if whole.len() > 6 || part.len() > 4 || !digits(whole) || !digits(part) {
        return None;
    }
    let hours: u64 = if whole.is_empty() {
        0
    } else {
        whole.parse().ok()?
    };
    let scale = 10_u64.pow(u32::try_from(part.len()).ok()?);
    let over = hours * scale
        + if part.is_empty() {
            0
        } else {
            part.parse::<u64>().ok()?
        };
    let minutes: u64 = part.parse().unwrap_or(0);
    // A quarter, a half, a third: decimals. "1.30" may be an hour and thirty.
    let clocklike =
        part.len() == 2 && minutes < 60 && !matches!(minutes, 0 | 25 | 33 | 50) && hours > 0;
    let clock = u32::try_from(hours * 60 + minutes)
        .ok()
        .filter(|_| clocklike);
    Some(Amount {
        over,
        under: scale,
        clocklike: clock,
    })
}

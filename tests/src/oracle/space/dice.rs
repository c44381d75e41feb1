//! Random numbers from a seed: SplitMix64 (Steele, Lea, Flood 2014), the same everywhere.

/// A source of random numbers.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// The dice of one case of a campaign.
    #[must_use]
    pub const fn of(seed: u64, case: u64) -> Self {
        let mut dice = Self(seed ^ case.wrapping_mul(0xD134_2543_DE82_EF95));
        dice.bits();
        dice
    }

    /// 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits")]
    pub const fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Between two numbers.
    pub const fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }

    /// A whole number between two, both included.
    #[expect(clippy::cast_possible_truncation, reason = "the rest of a division by a number below 2^32")]
    pub const fn whole(&mut self, low: i32, high: i32) -> i32 {
        let count = high.abs_diff(low) as u64 + 1;
        low.wrapping_add((self.bits() % count) as i32)
    }

    /// Whether something happens that does so this often.
    pub const fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// One of some values.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        #[expect(clippy::cast_possible_truncation, reason = "the rest of a division by a small number")]
        let number = (self.bits() % from.len() as u64) as usize;
        from[number]
    }

    /// A length, every order of magnitude as likely as the next.
    pub fn magnitude(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.share())
    }
}

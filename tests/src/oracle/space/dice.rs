//! Random numbers from a seed: SplitMix64 (Steele, Lea, Flood 2014), the same everywhere.

use std::collections::VecDeque;

/// A source of random numbers.
#[derive(Clone, Debug)]
pub struct Dice {
    state: u64,
    /// Numbers that come before those of the seed.
    given: VecDeque<u32>,
}

impl Dice {
    /// The dice of one case of a campaign.
    #[must_use]
    pub fn of(seed: u64, case: u64) -> Self {
        let state = seed ^ case.wrapping_mul(0xD134_2543_DE82_EF95);
        let mut dice = Self { state, given: VecDeque::new() };
        dice.bits();
        dice
    }

    /// Dice whose first numbers are given: eight bytes of a seed, then four for each number.
    #[must_use]
    pub fn given(bytes: &[u8]) -> Self {
        let (seed, given) = bytes.split_at(bytes.len().min(8));
        let mut state = [0; 8];
        state[..seed.len()].copy_from_slice(seed);
        let word = |bytes: &[u8]| bytes.iter().fold(0, |word, byte| word << 8 | u32::from(*byte));
        Self { state: u64::from_le_bytes(state), given: given.chunks(4).map(word).collect() }
    }

    /// 64 bits.
    pub fn bits(&mut self) -> u64 {
        if let Some(word) = self.given.pop_front() {
            return u64::from(word) << 32 | u64::from(word);
        }
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.state ^ (self.state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits")]
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.share() * (high - low)
    }

    /// A whole number between two, both included.
    #[expect(clippy::cast_possible_truncation, reason = "the rest of a division by a number below 2^32")]
    pub fn whole(&mut self, low: i32, high: i32) -> i32 {
        let count = high.abs_diff(low) as u64 + 1;
        low.wrapping_add((self.bits() % count) as i32)
    }

    /// Whether something happens that does so this often.
    pub fn chance(&mut self, share: f64) -> bool {
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

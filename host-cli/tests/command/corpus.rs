//! Every input of the text formats that fuzzing keeps, and changes of them by chance, without a fuzzer.

use std::{env, time::Duration};

use pinfold_tests::fuzz::{Target, kept};

fn number(name: &str, otherwise: u64) -> u64 {
    env::var(name).ok().and_then(|value| value.parse().ok()).unwrap_or(otherwise)
}

#[test]
fn what_is_read_packs_and_reads_again() {
    for (name, run) in pinfold::fuzz::TARGETS {
        let target = Target { name, run };
        kept::replay(target);
        let time = Duration::from_secs(number("PINFOLD_FUZZ_SECONDS", 1));
        assert!(kept::vary(target, number("PINFOLD_FUZZ_SEED", 1), time) > 0);
    }
}

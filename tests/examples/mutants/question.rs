/// Which change is chosen.
#[doc(hidden)]
#[allow(missing_docs)]
pub mod mutants {
    extern crate std;

    use core::sync::atomic::{AtomicBool, Ordering};
    use std::{env, fs, io::Write, panic, path::PathBuf, process, sync::OnceLock};

    struct Asked {
        chosen: usize,
        reached: Option<PathBuf>,
    }

    static REACHED: [AtomicBool; 0 /* how many */] = [const { AtomicBool::new(false) }; 0 /* how many */];
    static ASKED: OnceLock<Asked> = OnceLock::new();

    fn asked() -> Asked {
        let number = env::var("PINFOLD_MUTANT").ok().and_then(|number| number.parse().ok());
        if number.is_some() {
            // The first test that fails is enough.
            panic::set_hook(std::boxed::Box::new(|_| process::exit(101)));
        }
        Asked { chosen: number.unwrap_or(usize::MAX), reached: env::var_os("PINFOLD_MUTANTS_REACHED").map(PathBuf::from) }
    }

    pub fn is(number: usize) -> bool {
        let asked = ASKED.get_or_init(asked);
        if let Some(path) = &asked.reached
            && !REACHED[number].swap(true, Ordering::Relaxed)
        {
            let mut file = fs::OpenOptions::new().create(true).append(true).open(path).expect("a file");
            file.write_all(&u32::try_from(number).expect("a number").to_le_bytes()).expect("written");
        }
        asked.chosen == number
    }
}

//! Writes the odd files kit: `odd FOLDER`. The folder must not be there yet.

use std::{collections::BTreeMap, env, fmt::Write as _, fs, path::Path};

use pinfold_tests::odd::{kit, texts};

fn main() {
    let folder = env::args_os().nth(1).expect("usage: odd FOLDER");
    let folder = Path::new(&folder);
    fs::create_dir(folder).expect("a folder that isn't there yet");
    let mut files = Files { folder, written: BTreeMap::new() };
    let mut index = String::from("limits\troute\texpected\tprovokes\n");
    for odd in kit() {
        let (limits, route) = (files.name(&odd.name, "limits", odd.limits), files.name(&odd.name, "route", odd.route));
        writeln!(index, "{limits}\t{route}\t{}\t{}", odd.expected, odd.provokes).expect("memory");
    }
    for text in texts::routes() {
        let name = files.name(&format!("texts/{}", text.name), "", text.bytes);
        writeln!(index, "-\t{name}\tunusable: exit code 2\t{}", text.provokes).expect("memory");
    }
    fs::write(folder.join("INDEX.tsv"), index).expect("the index");
    println!("{} files in {}; INDEX.tsv says what must come of them", files.written.len(), folder.display());
}

/// The files so far: what is the same is written once.
struct Files<'a> {
    folder: &'a Path,
    written: BTreeMap<Vec<u8>, String>,
}

impl Files<'_> {
    /// Where these bytes are.
    fn name(&mut self, case: &str, kind: &str, bytes: Vec<u8>) -> String {
        let written = self.written.entry(bytes);
        written
            .or_insert_with_key(|bytes| {
                let name = if kind.is_empty() { case.to_owned() } else { format!("{case}.{kind}") };
                let path = self.folder.join(&name);
                fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
                fs::write(path, bytes).expect("a file");
                name
            })
            .clone()
    }
}

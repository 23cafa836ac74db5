//! Jobs at random, from a generator of our own, so that each number gives the same job for ever.

use std::fmt::Write;

/// A generator of numbers that look random (SplitMix64; S. Vigna, public domain).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `low` to `high`.
    fn from(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }

    /// True once in `times`.
    fn once_in(&mut self, times: u64) -> bool {
        self.next().is_multiple_of(times)
    }

    fn one_of<'w>(&mut self, words: &[&'w str]) -> &'w str {
        words[(self.next() % words.len() as u64) as usize]
    }

    /// A length in sixteenths of an inch, as text.
    fn inches(&mut self, low: u64, high: u64) -> String {
        format!("\"{} {}/16 in\"", self.from(low, high - 1), self.from(0, 15))
    }

    fn words(&mut self, count: u64) -> String {
        const WORDS: [&str; 16] = [
            "Harbour",
            "at",
            "dusk",
            "Öl",
            "auf",
            "Leinwand",
            "Łódź",
            "étude",
            "№",
            "7",
            "“Garten”",
            "Grandmother's",
            "Donaudampfschifffahrtsgesellschaftskapitänsbild",
            "Ёлка",
            "1921",
            "W",
        ];
        (0..count).map(|_| self.one_of(&WORDS)).collect::<Vec<_>>().join(" ")
    }
}

const SHAPES: [&str; 5] = ["rectangle", "ellipse", "circle", "arch", "star"];
const COLOURS: [&str; 6] = ["cream", "burgundy", "dark grey", "#7a1f2b", "4-ply", "8-ply"];

/// Writes a job; not every one can be cut.
pub(crate) fn random_job(seed: u64) -> String {
    let mut dice = Dice(seed);
    let mut job = String::new();
    let words = dice.from(1, 9);
    let name: String = dice.words(words).chars().take(180).collect();
    writeln!(job, "name = '''{name}'''\nunit = '{}'", dice.one_of(&["in", "mm", "cm"])).unwrap();
    writeln!(job, "quantity = {}", dice.from(1, 40)).unwrap();
    if dice.once_in(3) {
        let note = |_| {
            let count = dice.from(1, 60);
            format!("'''{}'''", dice.words(count))
        };
        let notes: Vec<String> = (0..6).map(note).collect();
        writeln!(job, "notes = [{}]", notes.join(", ")).unwrap();
    }
    if dice.once_in(3) {
        writeln!(job, "limits = {{ border = \"4 in\", bar = \"4 in\" }}").unwrap();
    }
    let by_hand = dice.once_in(4);
    if by_hand {
        writeln!(job, "outer = [{}, {}]", dice.inches(20, 40), dice.inches(20, 60)).unwrap();
    } else {
        writeln!(
            job,
            "border = {{ left = {}, right = {}, top = {}, bottom = {} }}",
            dice.inches(1, 5),
            dice.inches(1, 5),
            dice.inches(1, 5),
            dice.inches(1, 6)
        )
        .unwrap();
    }
    if dice.once_in(3) {
        writeln!(job, "bevel = '{}'", dice.one_of(&["standard", "reverse", "straight"])).unwrap();
    }
    // Many curves in many boards take long to check and look no different.
    let (rows_of, columns) = if dice.once_in(3) { (1, 1) } else { (dice.from(1, 5), dice.from(1, 6)) };
    let many = !by_hand && rows_of * columns > 6;
    layers(&mut dice, if many { 2 } else { 4 }, &mut job);
    if by_hand {
        placed(&mut dice, &mut job)
    } else {
        rows(&mut dice, rows_of, columns, &mut job)
    }
    job
}

fn layers(dice: &mut Dice, most: u64, job: &mut String) {
    let boards = dice.from(1, most);
    let mut layers = Vec::new();
    for index in 0..boards {
        let reveal = if index == 0 { String::new() } else { format!(", reveal = {}", dice.inches(0, 1)) };
        let board = if dice.once_in(4) {
            format!("{{ name = '''{}''', thickness = '{} mm' }}", dice.words(5), dice.from(1, 4))
        } else {
            format!("'{}'", dice.one_of(&COLOURS))
        };
        layers.push(format!("{{ board = {board}{reveal} }}"));
    }
    writeln!(job, "layer = [{}]", layers.join(", ")).unwrap();
}

fn rows(dice: &mut Dice, rows: u64, columns: u64, job: &mut String) {
    let shape = if rows * columns > 6 { "rectangle" } else { dice.one_of(&SHAPES) };
    writeln!(job, "arrangement = {{ rows = {rows}, columns = {columns}, gap = {} }}", dice.inches(0, 3)).unwrap();
    writeln!(job, "[opening]\nshape = '{shape}'\nsize = [{}, {}]", dice.inches(1, 12), dice.inches(1, 12)).unwrap();
}

fn placed(dice: &mut Dice, job: &mut String) {
    for _ in 0..dice.from(1, 6) {
        writeln!(
            job,
            "[[opening]]\nshape = '{}'\nsize = [{}, {}]\nat = {{ left = {}, top = {} }}",
            dice.one_of(&SHAPES),
            dice.inches(1, 6),
            dice.inches(1, 6),
            dice.inches(1, 25),
            dice.inches(1, 35)
        )
        .unwrap();
    }
}

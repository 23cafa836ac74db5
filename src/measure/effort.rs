//! Steps of the loops that could grow faster than a file, counted in tests: a clock would measure whatever else the machine does.

#[cfg(test)]
std::thread_local! {
    static STEPS: std::cell::Cell<u64> = const { std::cell::Cell::new(0) };
}

/// Counts a step in tests, and does nothing otherwise.
#[inline]
pub(super) fn step() {
    #[cfg(test)]
    STEPS.with(|steps| steps.set(steps.get() + 1));
}

/// Returns how many steps some work takes.
#[cfg(test)]
pub(super) fn steps_of(work: impl FnOnce()) -> u64 {
    STEPS.with(|steps| steps.set(0));
    work();
    STEPS.with(std::cell::Cell::get)
}

#[cfg(test)]
mod tests {
    use super::steps_of;
    use crate::formats::{self, reading::ReadDrawing};
    use crate::measure::{Found, Wanted};
    use kurbo::{Line, Point, Vec2};

    use crate::formats::reading::{ReadPath, ReadSegment};

    /// Lines in rows, each near the ends of others as strokes with over-run are, on so many layers.
    fn lines(count: usize, layers: usize) -> String {
        let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
        for line in 0..count {
            let (x, y) = (9 * (line % 80), 7 * (line / 80));
            let (to_x, to_y) = if line % 2 == 0 { (x + 12, y) } else { (x - 1, y + 9) };
            text += &format!("0\nLINE\n8\nL{}\n10\n{x}\n20\n{y}\n11\n{to_x}\n21\n{to_y}\n", line % layers);
        }
        text + "0\nENDSEC\n0\nEOF\n"
    }

    fn read(text: &str) -> ReadDrawing {
        formats::read(text.as_bytes(), "dxf", None).unwrap_or_else(|error| panic!("{error}"))
    }

    /// Twice as much may take a little more than twice the steps, as the last of a row has fewer neighbours.
    fn assert_linear(name: &str, steps: impl Fn(usize) -> u64) {
        let (once, twice) = (steps(2_000), steps(4_000));
        println!("{name}: {once} {twice}");
        assert!(once > 2_000, "{name}: only {once} steps are counted");
        assert!(twice as f64 <= 2.2 * once as f64, "{name}: {once} steps become {twice}");
    }

    /// 80,000 layers once took a minute: each line looked through all of them.
    #[test]
    fn twice_the_lines_or_layers_take_twice_the_steps() {
        let found = |reading: &ReadDrawing| steps_of(|| drop(Found::new("file", reading)));
        assert_linear("lines on a few layers", |count| found(&read(&lines(count, 3))));
        assert_linear("lines on as many layers", |count| found(&read(&lines(count, count / 2))));
        assert_linear("the same lines again and again", |count| {
            let mut reading = read(&lines(200, 3));
            let paths = reading.paths.clone();
            (1..count / 200).for_each(|_| reading.paths.extend(paths.iter().cloned()));
            found(&reading)
        });
        // A chain of sides that cross, each at the next, and never come back.
        assert_linear("a long zigzag", |count| {
            let mut reading = read(&lines(1, 1));
            let model = reading.paths.remove(0);
            for side in 0..count {
                let from = Point::new(10.0 * side as f64, if side % 2 == 0 { 0.0 } else { 30.0 });
                let to = Point::new(10.0 * side as f64 + 10.0, 30.0 - from.y);
                let on = 0.05 * (to - from);
                let pieces = vec![ReadSegment::Line(Line::new(from - on, to + on))];
                reading.paths.push(ReadPath { pieces, ..model.clone() });
            }
            found(&reading)
        });
    }

    #[test]
    fn a_file_twice_as_long_takes_twice_the_steps_to_compare() {
        let text = "unit = 'mm'\nouter = [400, 300]\nboard = '4-ply'\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n            [[opening]]\nshape = 'oval'\nsize = [90, 60]\nat = { left = 240, top = 190 }\n";
        let mat = crate::Job::parse(text).and_then(|job| job.mat()).unwrap_or_else(|error| panic!("{error}"));
        let machine = crate::machine::Machine::starter("flatbed-cutter-back").unwrap_or_else(|| panic!("no machine"));
        let Some(program) = machine.plan(&mat, &mat.layers()[0]).value else { panic!("no program") };
        let wanted = Wanted::of_program(&program);
        assert_linear("a file against a program", |count| {
            let mut reading = read(&lines(count, 3));
            reading.transform(kurbo::Affine::translate(Vec2::new(30.0, -200.0)));
            steps_of(|| {
                let comparison = wanted.compare_fitted(&reading).unwrap_or_else(|| panic!("no fit"));
                let run = wanted.compare_run(&reading, &comparison, 0.05);
                drop(run);
            })
        });
    }
}

//! Any bytes as a profile of a machine, a hand cutter or a printer, or as a record of test pieces: resolved and used.

use std::sync::LazyLock;

use backline::bench::{Assembly, CalibrationRecord, Cutter, Settings, WrittenCutter};
use backline::job::{Syntax, WrittenJob};
use backline::length::{Ruler, Unit};
use backline::machine::WrittenMachine;
use backline::mat::Mat;
use backline::measure::{is_read_back, verify_program};
use backline::paper::WrittenPrinter;

const JOBS: [&str; 2] = [
    "unit = 'mm'\nouter = [400, 500]\n[[opening]]\nsize = [120, 150]\nat = { left = 40, top = 50 }\n\
     [[opening]]\nshape = 'ellipse'\nsize = [90, 70]\nat = { left = 240, top = 300 }\n",
    "unit = 'in'\nouter = [16, 20]\nopening.size = [8, 10]\nbevel = 'reverse'\n",
];

static MATS: LazyLock<Vec<Mat>> = LazyLock::new(|| {
    JOBS.iter().filter_map(|text| WrittenJob::read(text, Syntax::Toml).ok()?.resolve().value).collect()
});

fn machine(text: &str, syntax: Syntax) {
    let Some(machine) = WrittenMachine::read(text, syntax).ok().and_then(|written| written.resolve("fuzz").value)
    else {
        return;
    };
    let Some(format) = machine.format().value else {
        return;
    };
    for mat in MATS.iter() {
        let planned = machine.plan(mat, &mat.layers()[0]).value;
        let Some(program) = planned.filter(|program| !program.passes.is_empty()) else { continue };
        let Ok(written) = format.write(&program) else {
            continue;
        };
        if is_read_back(format.extension()) {
            let verified = verify_program(&written.bytes, format.extension(), &program);
            assert!(verified.as_ref().is_ok_and(|verified| verified.agrees()), "{verified:?}");
        }
    }
}

fn cutter(text: &str, syntax: Syntax) {
    if let Some(cutter) = WrittenCutter::read(text, syntax).ok().and_then(|written| written.resolve().value) {
        let again = WrittenCutter::read(&cutter.to_toml(&[]), Syntax::Toml).map(|written| written.resolve());
        assert!(again.as_ref().is_ok_and(|again| again.value.is_some()), "{again:?}");
        for mat in MATS.iter() {
            let _ = Settings::new(mat, &cutter, Assembly::Taped);
        }
    }
}

pub fn run(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for syntax in [Syntax::Toml, Syntax::Json] {
        machine(text, syntax);
        cutter(text, syntax);
        if let Ok(printer) = WrittenPrinter::read(text, syntax) {
            let _ = printer.resolve();
        }
        if let Ok(record) = CalibrationRecord::read(text, syntax)
            && let Some(calibration) = record.calibrate(&Cutter::usual(Ruler::usual(Unit::Inch))).value
        {
            let _ = (calibration.describe(), calibration.cutter.to_toml(&calibration.remarks()));
        }
    }
}

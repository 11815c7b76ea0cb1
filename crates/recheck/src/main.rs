//! `recheck PLAN RESULT`: checks a result as JSON against its plan file; exit 0 all promises hold, 1 some do not, 2
//! nothing could be checked.
#![allow(clippy::print_stdout)]

use std::process::ExitCode;

fn main() -> ExitCode {
    let names: Vec<_> = std::env::args_os().skip(1).collect();
    let [plan, result] = names.as_slice() else {
        eprintln!("recheck: name a plan file and the result of `startrow lay PLAN --json FILE`");
        return ExitCode::from(2);
    };
    let read = |name: &std::ffi::OsString| {
        std::fs::read_to_string(name).map_err(|error| format!("{}: {error}", name.to_string_lossy()))
    };
    let checked = read(plan).and_then(|plan| Ok((plan, read(result)?))).and_then(|(plan, result)| {
        startrow_recheck::recheck(&plan, &result).map_err(|error| error.to_string())
    });
    match checked {
        Ok(report) => {
            print!("{report}");
            ExitCode::from(u8::from(!report.complaints.is_empty()))
        }
        Err(error) => {
            eprintln!("recheck: {error}");
            ExitCode::from(2)
        }
    }
}

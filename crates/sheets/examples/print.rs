//! Writes the sheets of a plan file: `cargo run -p startrow-sheets --example print PLAN OUT [a4|a3|letter|tabloid]`.

use startrow_sheets::{Paper, SetOptions, write_set};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [plan, out, rest @ ..] = args.as_slice() else { return Err("say PLAN and OUT".into()) };
    let paper = match rest.first().map(String::as_str) {
        Some("a3") => Paper::A3,
        Some("letter") => Paper::Letter,
        Some("tabloid") => Paper::Tabloid,
        _ => Paper::A4,
    };
    let text = std::fs::read_to_string(plan)?;
    let plan = plan::read(&text).map_err(|errors| format!("{errors:?}"))?;
    let house = pipeline::run(&plan).map_err(|problems| format!("{problems:?}"))?;
    let revision = Some(startrow_sheets::revision(&text));
    let set = write_set(&house, &SetOptions { paper, date: None, revision })?;
    std::fs::create_dir_all(out)?;
    std::fs::write(format!("{out}/sheets.pdf"), set.pdf)?;
    std::fs::write(format!("{out}/floor.svg"), set.floor_svg)?;
    std::fs::write(format!("{out}/floor.png"), set.floor_png)?;
    Ok(())
}

//! Room outlines of other programs' drawings, made into a plan.

use crate::args::{Import, Unit};
use crate::load;
use anyhow::Context;
use import::{Ask, FileKind};
use plan::Plan;
use std::fmt::Write as _;
use std::path::Path;

/// Reads the drawing and writes the plan, or lists the layers; what is said about it.
pub(crate) fn import(asked: &Import) -> anyhow::Result<String> {
    let name = asked.file.to_string_lossy();
    let kind = FileKind::of_name(&name).with_context(|| {
        format!("{name}: its ending says nothing; call it .dxf, .svg or .geojson, as it is written")
    })?;
    let bytes = load::read(&asked.file)
        .map_err(|error| anyhow::anyhow!(load::unread(&asked.file, "drawing", &error)))?;
    let named = |error: import::ImportError| {
        let lines: Vec<String> = error.faults.iter().map(|fault| format!("{name}: {fault}")).collect();
        anyhow::anyhow!(lines.join("\n          "))
    };
    if asked.list {
        return Ok(listed(&import::contents(&bytes, kind).map_err(named)?));
    }
    let ask = Ask {
        layers: asked.layer.clone(),
        names: asked.names.clone(),
        unit: asked.unit.map(unit),
        scale: asked.scale,
        flatten: asked.flatten,
        ..Ask::new(kind)
    };
    let outlines = import::outlines(&bytes, &ask).map_err(named)?;
    let mut plan = match &asked.into {
        Some(path) => load::plan(path)?,
        None => Plan::new(title(&asked.file)),
    };
    outlines.add_to(&mut plan);
    if asked.into.is_some() {
        // Among themselves they are sound; with what was there they may not be.
        load::sound(&plan)?;
    }
    let mut said = String::new();
    if let Some(out) = &asked.out {
        load::save(out, &plan::write(&plan))?;
        if out != Path::new("-") {
            let (rooms, columns) = (outlines.rooms.len(), outlines.fixtures.len());
            // Writing to a String cannot fail.
            let _ = writeln!(said, "{}: {rooms} rooms, {columns} columns", out.display());
            for note in &outlines.notes {
                let _ = writeln!(said, "  {note}");
            }
        }
    }
    Ok(said)
}

/// A plan's name from its drawing's: one line, not too long, never empty.
fn title(file: &Path) -> String {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let words: String = stem.chars().map(|c| if c.is_control() { ' ' } else { c }).take(100).collect();
    if words.trim().is_empty() { "New house".into() } else { words.trim().into() }
}

fn unit(unit: Unit) -> import::Unit {
    match unit {
        Unit::Mm => import::Unit::Millimetre,
        Unit::Cm => import::Unit::Centimetre,
        Unit::M => import::Unit::Metre,
        Unit::In => import::Unit::Inch,
        Unit::Ft => import::Unit::Foot,
    }
}

fn listed(contents: &import::Contents) -> String {
    let mut out = format!("unit: {}\n", contents.unit.map_or("not said", import::Unit::key));
    for layer in &contents.layers {
        let name = if layer.name.is_empty() { "(none)" } else { &layer.name };
        let _ = writeln!(
            out,
            "{:>5} closed, {:>4} open, {:>4} {}  {name}",
            layer.closed,
            layer.open,
            layer.writing,
            if layer.writing == 1 { "piece of writing " } else { "pieces of writing" }
        );
    }
    out
}

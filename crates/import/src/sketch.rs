//! What a reader makes of a file: rings, writing and what it passed over.

use crate::limits::{FLATTEN_RANGE, GREATEST_FILE};
use crate::ring::Ring;
use crate::{Ask, Fault, FaultKind, FileKind, ImportError, Unit, dxf, geojson, svg};
use kurbo::Point;
use std::collections::BTreeMap;

/// Most points read of a file, of all its layers; those of one file's plain corners are always fewer.
const MOST_READ: usize = 2_000_000;
/// What a fault counts for, points.
const FAULT_COST: usize = 500;

/// Writing at a point, mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Writing {
    pub(crate) layer: String,
    pub(crate) at: Point,
    pub(crate) text: String,
}

/// A file read. Where its unit is not known, a unit of 1 mm was taken.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Sketch {
    /// The unit that the file names.
    pub(crate) unit: Option<Unit>,
    /// Whether lengths are known: from the file, or from what was asked.
    pub(crate) is_sized: bool,
    pub(crate) rings: Vec<Ring>,
    pub(crate) writing: Vec<Writing>,
    /// Outlines that do not close, by layer.
    pub(crate) open: BTreeMap<String, usize>,
    /// Other things that were passed over, by kind.
    pub(crate) passed_over: BTreeMap<&'static str, usize>,
    /// Outlines that cannot be taken, with their layers.
    pub(crate) faults: Vec<(String, Fault)>,
    /// Points read so far, on all layers.
    pub(crate) spent: usize,
}

impl Sketch {
    pub(crate) fn pass_over(&mut self, what: &'static str) {
        *self.passed_over.entry(what).or_default() += 1;
    }

    /// Whether the file has more than is read: its reader stops here.
    pub(crate) fn is_spent(&self) -> bool {
        self.spent > MOST_READ
    }

    /// Takes a ring, or its fault.
    pub(crate) fn take(&mut self, ring: Result<Ring, (String, Fault)>) {
        // What makes a fault of an outline has cost as much as an outline may.
        self.spent += ring.as_ref().map_or(FAULT_COST, |ring| 1 + ring.point_count());
        match ring {
            Ok(ring) => match ring.fault() {
                None => self.rings.push(ring),
                Some(fault) => self.faults.push((ring.layer, fault)),
            },
            Err(fault) => self.faults.push(fault),
        }
    }
}

/// What a file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Contents {
    /// The unit it names, if it does.
    pub unit: Option<Unit>,
    /// Layers with outlines or writing, by name.
    pub layers: Vec<LayerContents>,
}

/// What a layer holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayerContents {
    /// Its name as the file spells it; empty for things on none.
    pub name: String,
    /// Closed outlines.
    pub closed: usize,
    /// Outlines that do not close.
    pub open: usize,
    /// Pieces of writing.
    pub writing: usize,
}

/// What a file holds, layer by layer, for choosing from.
///
/// # Errors
/// When it cannot be read as one of its kind, or is too long.
pub fn contents(bytes: &[u8], kind: FileKind) -> Result<Contents, ImportError> {
    let sketch = read(bytes, &Ask::new(kind))?;
    let mut layers: BTreeMap<&str, LayerContents> = BTreeMap::new();
    fn of<'a>(layers: &'a mut BTreeMap<&str, LayerContents>, name: &str) -> Option<&'a mut LayerContents> {
        layers.get_mut(name)
    }
    let names = sketch.rings.iter().map(|ring| &ring.layer);
    let names = names.chain(sketch.writing.iter().map(|writing| &writing.layer)).chain(sketch.open.keys());
    for name in names.chain(sketch.faults.iter().map(|(layer, _)| layer)) {
        let empty = LayerContents { name: name.clone(), closed: 0, open: 0, writing: 0 };
        layers.entry(name.as_str()).or_insert(empty);
    }
    for layer in
        sketch.rings.iter().map(|ring| &ring.layer).chain(sketch.faults.iter().map(|(layer, _)| layer))
    {
        if let Some(layer) = of(&mut layers, layer) {
            layer.closed += 1;
        }
    }
    for (layer, count) in &sketch.open {
        if let Some(layer) = of(&mut layers, layer) {
            layer.open = *count;
        }
    }
    for writing in &sketch.writing {
        if let Some(layer) = of(&mut layers, &writing.layer) {
            layer.writing += 1;
        }
    }
    Ok(Contents { unit: sketch.unit, layers: layers.into_values().collect() })
}

/// Reads a file with its own reader.
pub(crate) fn read(bytes: &[u8], ask: &Ask) -> Result<Sketch, ImportError> {
    if bytes.len() > GREATEST_FILE {
        return Err(ImportError::one(
            FaultKind::TooLong,
            "the file",
            format!("it has {} bytes, more than {GREATEST_FILE}", bytes.len()),
            "save the outlines alone to a file of their own",
        ));
    }
    if !FLATTEN_RANGE.contains(&ask.flatten) {
        return Err(ImportError::one(
            FaultKind::Asked,
            "curves",
            format!("they cannot be made straight to within {} mm", ask.flatten),
            format!("give a distance from {} to {} mm", FLATTEN_RANGE.start(), FLATTEN_RANGE.end()),
        ));
    }
    if ask.scale.is_some_and(|scale| !(0.001..=100_000.0).contains(&scale)) {
        return Err(ImportError::one(
            FaultKind::Asked,
            "the scale",
            "it is no scale that a drawing has",
            "give 50 for a drawing at 1:50",
        ));
    }
    match ask.kind {
        FileKind::Dxf => dxf::sketch(bytes, ask),
        FileKind::Svg => svg::sketch(bytes, ask),
        FileKind::GeoJson => geojson::sketch(bytes, ask),
    }
}

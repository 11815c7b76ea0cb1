//! DXF: closed polylines and circles, with the writing that names them.

use crate::arc::bulged;
use crate::guard::{guarded, unreadable};
use crate::limits::MOST_POINTS;
use crate::ring::{Ring, Side, far, is_near};
use crate::sketch::{Sketch, Writing};
use crate::{Ask, Fault, FaultKind, FileKind, ImportError, Unit, text};
use ::dxf::entities::{Circle, Entity, EntityType, LwPolyline, Polyline};
use ::dxf::enums::{AcadVersion, Units};
use ::dxf::{Drawing, Vector};
use encoding_rs::{Encoding, WINDOWS_1252};
use kurbo::Point;
use std::collections::BTreeMap;

/// A drawing's plane is seen from above where its normal is this near to upright.
const UPRIGHT: f64 = 1e-6;

/// Reads the outlines and the writing of a DXF file's model space.
pub(crate) fn sketch(bytes: &[u8], ask: &Ask) -> Result<Sketch, ImportError> {
    let drawing = load(bytes)?;
    let unit = unit(drawing.header.default_drawing_units);
    let known = ask.unit.or(unit);
    let mut reader = Reader {
        sketch: Sketch { unit, is_sized: known.is_some(), ..Sketch::default() },
        scale: known.map_or(1.0, Unit::millimetres),
        flatten: ask.flatten,
        counts: BTreeMap::new(),
    };
    for entity in drawing.entities().filter(|entity| !entity.common.is_in_paper_space) {
        reader.entity(entity);
        if reader.sketch.is_spent() {
            break;
        }
    }
    Ok(reader.sketch)
}

/// Reads the file; one older than 2007 with the code page it names.
fn load(bytes: &[u8]) -> Result<Drawing, ImportError> {
    let with = |encoding| {
        let mut reader = bytes;
        guarded(FileKind::Dxf, || {
            Drawing::load_with_encoding(&mut reader, encoding)
                .map_err(|error| unreadable(FileKind::Dxf, error))
        })
    };
    if bytes.is_empty() {
        return Err(unreadable(FileKind::Dxf, "it is empty"));
    }
    let drawing = with(WINDOWS_1252)?;
    let page = drawing.header.drawing_code_page.to_ascii_lowercase().replace("ansi_", "windows-");
    match Encoding::for_label(page.as_bytes()) {
        Some(encoding) if encoding != WINDOWS_1252 && drawing.header.version < AcadVersion::R2007 => {
            with(encoding)
        }
        _ => Ok(drawing),
    }
}

/// The unit that `$INSUNITS` names; none for a drawing without, or in one that no house is drawn in.
fn unit(units: Units) -> Option<Unit> {
    match units {
        Units::Millimeters => Some(Unit::Millimetre),
        Units::Centimeters => Some(Unit::Centimetre),
        Units::Meters => Some(Unit::Metre),
        Units::Inches => Some(Unit::Inch),
        Units::Feet => Some(Unit::Foot),
        _ => None,
    }
}

/// Vertices with bulges, in the file's unit.
type Vertices = Vec<(f64, f64, f64)>;

struct Reader {
    sketch: Sketch,
    /// Millimetres to a unit of the file.
    scale: f64,
    flatten: f64,
    /// Entities so far, by kind, for naming them.
    counts: BTreeMap<&'static str, usize>,
}

impl Reader {
    fn entity(&mut self, entity: &Entity) {
        let layer = &entity.common.layer;
        match &entity.specific {
            EntityType::LwPolyline(line) => self.light(layer, line),
            EntityType::Polyline(line) => self.heavy(layer, line),
            EntityType::Circle(circle) => self.circle(layer, circle),
            EntityType::Text(writing) => {
                self.writing(layer, &writing.location, text::plain(&writing.value));
            }
            EntityType::MText(writing) => {
                let all: String =
                    writing.extended_text.iter().map(String::as_str).chain([&*writing.text]).collect();
                self.writing(layer, &writing.insertion_point, text::rich(&all));
            }
            EntityType::Insert(_) => self.sketch.pass_over("block inserts"),
            EntityType::Line(_) => self.sketch.pass_over("lines"),
            EntityType::Arc(_) => self.sketch.pass_over("arcs"),
            EntityType::Spline(_) => self.sketch.pass_over("splines"),
            EntityType::Ellipse(_) => self.sketch.pass_over("ellipses"),
            _ => self.sketch.pass_over("other entities"),
        }
    }

    /// What an entity is called: its kind, its number among them, its layer.
    fn place(&mut self, kind: &'static str, layer: &str) -> String {
        let count = self.counts.entry(kind).or_default();
        *count += 1;
        format!("{kind} {count} on layer {layer}")
    }

    fn writing(&mut self, layer: &str, at: &::dxf::Point, text: String) {
        let at = Point::new(at.x * self.scale, at.y * self.scale);
        if is_near(at) && !text.trim().is_empty() {
            self.sketch.writing.push(Writing { layer: layer.into(), at, text });
        }
    }

    fn light(&mut self, layer: &str, line: &LwPolyline) {
        let place = self.place("polyline", layer);
        let vertices: Vertices = line.vertices.iter().map(|v| (v.x, v.y, v.bulge)).collect();
        self.outline(place, layer, vertices, line.is_closed(), &line.extrusion_direction);
    }

    fn heavy(&mut self, layer: &str, line: &Polyline) {
        let place = self.place("polyline", layer);
        // Flags 8, 16 and 64: a line in space, a mesh, many faces. None lies flat.
        if line.flags & (8 | 16 | 64) != 0 {
            self.sketch.pass_over("polylines in space");
            return;
        }
        // Vertices with flag 16 only steer a spline.
        let vertices =
            line.vertices().filter(|v| v.flags & 16 == 0).map(|v| (v.location.x, v.location.y, v.bulge));
        self.outline(place, layer, vertices.collect(), line.is_closed(), &line.normal);
    }

    fn circle(&mut self, layer: &str, circle: &Circle) {
        let place = self.place("circle", layer);
        let (x, y, r) = (circle.center.x, circle.center.y, circle.radius);
        let halves = vec![(x - r, y, 1.0), (x + r, y, 1.0)];
        self.outline(place, layer, halves, true, &circle.normal);
    }

    /// Takes an outline, or says why not.
    fn outline(
        &mut self,
        place: String,
        layer: &str,
        mut vertices: Vertices,
        is_closed: bool,
        normal: &Vector,
    ) {
        let fault =
            |kind, what: &str, mend: &str| Err((layer.to_owned(), Fault::new(kind, &*place, what, mend)));
        if normal.x.abs() > UPRIGHT || normal.y.abs() > UPRIGHT {
            let what = "it does not lie flat in the drawing's plane";
            self.sketch.take(fault(FaultKind::NotFlat, what, "lay it flat, seen from above"));
            return;
        }
        if normal.z < 0.0 {
            // Seen from below: x runs the other way, and so do the arcs (DXF reference, arbitrary axis algorithm).
            vertices.iter_mut().for_each(|v| *v = (-v.0, v.1, -v.2));
        }
        let scaled: Vec<(Point, f64)> =
            vertices.iter().map(|v| (Point::new(v.0 * self.scale, v.1 * self.scale), v.2)).collect();
        if scaled.iter().any(|(p, bulge)| !is_near(*p) || !bulge.is_finite()) {
            self.sketch.take(Err((layer.to_owned(), far(&place))));
            return;
        }
        let mut scaled = scaled;
        let meets = |a: Point, b: Point| (b - a).hypot2() <= crate::limits::NEAR * crate::limits::NEAR;
        let ends_meet = match (scaled.first(), scaled.last()) {
            (Some(first), Some(last)) => scaled.len() > 2 && meets(first.0, last.0),
            _ => false,
        };
        if ends_meet {
            // The last vertex is the first again; its bulge leads nowhere.
            scaled.pop();
        } else if !is_closed {
            *self.sketch.open.entry(layer.to_owned()).or_default() += 1;
            return;
        }
        let mut sides: Vec<Side> = Vec::new();
        let mut count = 0;
        for (i, (a, bulge)) in scaled.iter().enumerate() {
            let (b, _) = scaled[(i + 1) % scaled.len()];
            let more = bulged(*a, b, *bulge, self.flatten);
            count += more.iter().flatten().map(|side| 1 + side.through.len()).sum::<usize>();
            let Some(more) = more.filter(|_| count <= MOST_POINTS) else {
                let what = "its arcs take more straight pieces than can be read";
                self.sketch.take(fault(
                    FaultKind::TooManyPoints,
                    what,
                    "let curves be made straight more coarsely",
                ));
                return;
            };
            sides.extend(more);
        }
        self.sketch.take(Ok(Ring { place, layer: layer.into(), name: None, sides }));
    }
}

//! DXF: a drawing on layers in plan millimetres, for programs that draw on.

use crate::font::{self, CAP_HEIGHT};
use crate::layer::{LAYERS, layer_of};
use crate::page::clean;
use crate::{Layer, SheetError};
use ::dxf::entities::{Entity, EntityType, Line, LwPolyline, Text};
use ::dxf::enums::{
    AcadVersion, DrawingUnits, HorizontalTextJustification, Units, VerticalTextJustification,
};
use ::dxf::tables::{Layer as LayerEntry, Style};
use ::dxf::{Color, LwPolylineVertex, Point as DxfPoint};
use chrono::{DateTime, Local, TimeZone, Utc};
use drawing::{
    Anchor, Drawing, Item, Label, Options, PlateKind, Shape, floor_drawing, paper_ink, plate_path,
};
use kurbo::{Affine, BezPath, PathEl, Point};
use pipeline::House;

/// Curves (rings and discs behind figures only) become straight pieces no farther off than this, plan mm.
const FLATTEN: f64 = 0.5;
/// Transparency of what is not seen through: the flag of a value of its own, and 255 (DXF reference, group code 440).
const OPAQUE: i32 = 0x0200_00FF;
/// The font of the writing: a TrueType one, since the stroke fonts of most readers hold few letters.
const FONT: &str = "arial.ttf";

/// The floor with the layers of `options` as a DXF file (text form, AC1021, UTF-8) in plan millimetres, y up.
/// Writing is as high as it would be on paper at 1:`options.scale`.
///
/// # Errors
/// [`SheetError::Dxf`] when the writer refuses something.
pub fn floor_dxf(house: &House, options: &Options) -> Result<Vec<u8>, SheetError> {
    font::check()?;
    let scale = if options.scale > 0.0 && options.scale.is_finite() { options.scale } else { 100.0 };
    dxf(&floor_drawing(house, options), scale)
}

/// A drawing as DXF; its writing as high as on paper at 1:`scale`.
fn dxf(drawing: &Drawing, scale: f64) -> Result<Vec<u8>, SheetError> {
    let mut file = empty_file(drawing);
    for item in &drawing.items {
        match item {
            Item::Shape(shape) => add_shape(&mut file, shape),
            Item::Label(label) => add_label(&mut file, label, scale),
        }
    }
    let mut bytes = Vec::new();
    file.save(&mut bytes).map_err(|error| SheetError::Dxf(error.to_string()))?;
    Ok(bytes)
}

/// A file with units, layers and no entity. What the library takes from the clock and from chance is set to
/// fixed values, so that the same drawing gives the same bytes.
fn empty_file(drawing: &Drawing) -> ::dxf::Drawing {
    let mut file = ::dxf::Drawing::new();
    let header = &mut file.header;
    header.version = AcadVersion::R2007;
    header.default_drawing_units = Units::Millimeters;
    header.drawing_units = DrawingUnits::Metric;
    // The library counts days from the first of 1900; at that instant the count is the same in every time zone.
    if let Some(start) = Local.with_ymd_and_hms(1900, 1, 1, 0, 0, 0).earliest() {
        header.creation_date = start;
        header.update_date = start;
    }
    header.creation_date_universal = DateTime::<Utc>::UNIX_EPOCH;
    header.update_date_universal = DateTime::<Utc>::UNIX_EPOCH;
    header.fingerprint_guid = Default::default();
    header.version_guid = Default::default();
    if let Some(bounds) = drawing.bounds() {
        header.minimum_drawing_extents = DxfPoint::new(bounds.x0, bounds.y0, 0.0);
        header.maximum_drawing_extents = DxfPoint::new(bounds.x1, bounds.y1, 0.0);
    }
    for Layer { name, colour } in LAYERS {
        let color = Color::from_index(colour);
        file.add_layer(LayerEntry { name: name.into(), color, ..LayerEntry::default() });
    }
    for style in file.styles_mut() {
        if style.name.eq_ignore_ascii_case("standard") {
            *style = Style { primary_font_file_name: FONT.into(), ..style.clone() };
        }
    }
    file
}

fn add(file: &mut ::dxf::Drawing, layer: Layer, specific: EntityType) {
    let mut entity = Entity::new(specific);
    entity.common.layer = layer.name.into();
    entity.common.transparency = OPAQUE;
    file.add_entity(entity);
}

fn add_shape(file: &mut ::dxf::Drawing, shape: &Shape) {
    add_path(file, layer_of(shape.role), &shape.path);
}

/// Every ring of a path as a closed polyline, every open stretch as a line or an open polyline.
fn add_path(file: &mut ::dxf::Drawing, layer: Layer, path: &BezPath) {
    let mut stretches: Vec<(Vec<Point>, bool)> = Vec::new();
    kurbo::flatten(path, FLATTEN, |element| match element {
        PathEl::MoveTo(p) => stretches.push((vec![p], false)),
        PathEl::LineTo(p) => {
            if let Some((points, _)) = stretches.last_mut() {
                points.push(p);
            }
        }
        PathEl::ClosePath => {
            if let Some((points, closed)) = stretches.last_mut() {
                *closed = true;
                if points.len() > 1 && points.first() == points.last() {
                    points.pop();
                }
            }
        }
        // Flattening leaves no curves.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    for (points, closed) in stretches {
        match points.as_slice() {
            [] | [_] => {}
            [a, b] => {
                let end = |p: &Point| DxfPoint::new(p.x, p.y, 0.0);
                add(file, layer, EntityType::Line(Line::new(end(a), end(b))));
            }
            _ => {
                let vertex = |p: &Point| LwPolylineVertex { x: p.x, y: p.y, ..LwPolylineVertex::default() };
                let mut line =
                    LwPolyline { vertices: points.iter().map(vertex).collect(), ..LwPolyline::default() };
                line.set_is_closed(closed);
                add(file, layer, EntityType::LwPolyline(line));
            }
        }
    }
}

fn add_label(file: &mut ::dxf::Drawing, label: &Label, scale: f64) {
    let text = clean(&label.text);
    if text.trim().is_empty() {
        return;
    }
    let layer = layer_of(label.role);
    let width = font::width(&text, label.size, paper_ink(label.role).bold);
    // A clear plate only keeps lines off the writing: it is no line itself.
    if label.role.plate() != PlateKind::Clear
        && let Some(plate) = plate_path(label, width)
    {
        add_path(file, layer, &(Affine::translate(label.at.to_vec2()) * Affine::scale(scale) * plate));
    }
    let at = label.at + label.shift * scale;
    let at = DxfPoint::new(at.x, at.y, 0.0);
    add(
        file,
        layer,
        EntityType::Text(Text {
            location: at.clone(),
            second_alignment_point: at,
            text_height: label.size * CAP_HEIGHT * scale,
            value: escaped(&text),
            rotation: label.turn,
            horizontal_text_justification: match label.anchor {
                Anchor::Start => HorizontalTextJustification::Left,
                Anchor::Middle => HorizontalTextJustification::Center,
                Anchor::End => HorizontalTextJustification::Right,
            },
            vertical_text_justification: VerticalTextJustification::Middle,
            ..Text::default()
        }),
    );
}

/// Writing in which nothing is read as a code: two percent signs begin one (`%%d` is a degree sign), and three
/// of them are one percent sign; a backslash before `U+` begins another.
fn escaped(text: &str) -> String {
    text.replace("%%", "%%%%%%").replace("\\U+", "\\ U+").replace("\\M+", "\\ M+")
}

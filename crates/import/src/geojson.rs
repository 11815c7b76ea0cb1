//! GeoJSON with planar coordinates: polygons, their names and layers as properties.

use crate::guard::unreadable;
use crate::ring::{Ring, Side, far, is_near};
use crate::sketch::Sketch;
use crate::{Ask, FileKind, ImportError, Unit, text};
use ::geojson::{Feature, GeoJson, Geometry, GeometryValue, JsonObject, Position};
use kurbo::Point;

/// Reads the polygons of a GeoJSON text. RFC 7946 means degrees; what is read here is a plane by agreement, as its
/// section 4 allows, so the unit is always asked for.
pub(crate) fn sketch(bytes: &[u8], ask: &Ask) -> Result<Sketch, ImportError> {
    let json: GeoJson =
        serde_json::from_slice(bytes).map_err(|error| unreadable(FileKind::GeoJson, error))?;
    let mut reader = Reader {
        sketch: Sketch { is_sized: ask.unit.is_some(), ..Sketch::default() },
        scale: ask.unit.map_or(1.0, Unit::millimetres),
        count: 0,
    };
    match &json {
        GeoJson::Geometry(geometry) => reader.geometry(geometry, None),
        GeoJson::Feature(feature) => reader.feature(feature),
        GeoJson::FeatureCollection(all) => all.features.iter().for_each(|feature| reader.feature(feature)),
    }
    Ok(reader.sketch)
}

struct Reader {
    sketch: Sketch,
    scale: f64,
    count: usize,
}

/// A property's text.
fn property(properties: Option<&JsonObject>, key: &str) -> Option<String> {
    properties?.get(key)?.as_str().map(str::to_owned)
}

impl Reader {
    fn feature(&mut self, feature: &Feature) {
        match &feature.geometry {
            Some(geometry) => self.geometry(geometry, feature.properties.as_ref()),
            None => self.sketch.pass_over("features without a shape"),
        }
    }

    fn geometry(&mut self, geometry: &Geometry, properties: Option<&JsonObject>) {
        match &geometry.value {
            GeometryValue::Polygon { coordinates } => self.polygon(coordinates, properties),
            GeometryValue::MultiPolygon { coordinates } => {
                coordinates.iter().for_each(|polygon| self.polygon(polygon, properties));
            }
            // The parser's own limit on nesting holds here, too.
            GeometryValue::GeometryCollection { geometries } => {
                geometries.iter().for_each(|geometry| self.geometry(geometry, properties));
            }
            GeometryValue::LineString { .. } | GeometryValue::MultiLineString { .. } => {
                let layer = property(properties, "layer").unwrap_or_default();
                *self.sketch.open.entry(layer).or_default() += 1;
            }
            GeometryValue::Point { .. } | GeometryValue::MultiPoint { .. } => self.sketch.pass_over("points"),
        }
    }

    fn polygon(&mut self, rings: &[Vec<Position>], properties: Option<&JsonObject>) {
        self.count += 1;
        let layer = property(properties, "layer").unwrap_or_default();
        for (i, positions) in rings.iter().enumerate() {
            let mut place = format!("polygon {}", self.count);
            if i > 0 {
                place = format!("{place}, hole {i}");
            }
            if !layer.is_empty() {
                place = format!("{place} on layer {layer}");
            }
            let name = property(properties, "name").filter(|_| i == 0).and_then(|name| text::name(&name));
            let corner = |position: &Position| match position.as_slice() {
                [x, y, ..] => Point::new(x * self.scale, y * self.scale),
                _ => Point::new(f64::NAN, f64::NAN),
            };
            let mut corners: Vec<Point> = positions.iter().map(corner).collect();
            // A ring's last position repeats its first (RFC 7946, section 3.1.6).
            if corners.len() > 1 && corners.first() == corners.last() {
                corners.pop();
            }
            let ring = match corners.iter().all(|p| is_near(*p)) {
                true => Ok(Ring {
                    sides: corners.into_iter().map(Side::straight).collect(),
                    place,
                    layer: layer.clone(),
                    name,
                }),
                false => Err((layer.clone(), far(&place))),
            };
            self.sketch.take(ring);
        }
    }
}

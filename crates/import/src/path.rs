//! Path data of SVG as curves, and curves as sides.

use crate::limits::{FARTHEST, LARGEST, MOST_POINTS};
use crate::ring::{Side, bounds, far, is_near};
use crate::{Fault, FaultKind};
use kurbo::{Arc, BezPath, PathEl, PathSeg, Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

/// Path data as a path, its arcs as curves within `flatten` of them; `None` for what breaks the grammar or holds
/// numbers out of range.
pub(crate) fn parsed(data: &str, flatten: f64) -> Option<BezPath> {
    let mut pen = Pen { path: BezPath::new(), at: Point::ZERO, start: Point::ZERO, steer: None, flatten };
    for segment in PathParser::from(data) {
        pen.draw(segment.ok()?)?;
    }
    Some(pen.path)
}

/// The control point a smooth curve takes up.
#[derive(Clone, Copy)]
enum Steer {
    Quad(Point),
    Cubic(Point),
}

struct Pen {
    path: BezPath,
    at: Point,
    /// Where the outline being drawn begins.
    start: Point,
    steer: Option<Steer>,
    flatten: f64,
}

impl Pen {
    fn point(&self, is_absolute: bool, x: f64, y: f64) -> Option<Point> {
        let p = if is_absolute { Point::new(x, y) } else { self.at + Vec2::new(x, y) };
        (p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST).then_some(p)
    }

    /// After a closed outline the next begins where that one did.
    fn begin(&mut self) {
        if matches!(self.path.elements().last(), None | Some(PathEl::ClosePath)) {
            self.path.move_to(self.at);
            self.start = self.at;
        }
    }

    fn line(&mut self, to: Point) {
        self.begin();
        self.path.line_to(to);
        (self.at, self.steer) = (to, None);
    }

    fn quad(&mut self, control: Point, to: Point) {
        self.begin();
        self.path.quad_to(control, to);
        (self.at, self.steer) = (to, Some(Steer::Quad(control)));
    }

    fn cubic(&mut self, first: Point, second: Point, to: Point) {
        self.begin();
        self.path.curve_to(first, second, to);
        (self.at, self.steer) = (to, Some(Steer::Cubic(second)));
    }

    /// One segment (SVG 1.1, section 8.3).
    fn draw(&mut self, segment: PathSegment) -> Option<()> {
        let mirrored = |control: Point, at: Point| at + (at - control);
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                let to = self.point(abs, x, y)?;
                self.path.move_to(to);
                (self.at, self.start, self.steer) = (to, to, None);
            }
            PathSegment::LineTo { abs, x, y } => {
                let to = self.point(abs, x, y)?;
                self.line(to);
            }
            PathSegment::HorizontalLineTo { abs, x } => {
                let to = self.point(abs, x, if abs { self.at.y } else { 0.0 })?;
                self.line(to);
            }
            PathSegment::VerticalLineTo { abs, y } => {
                let to = self.point(abs, if abs { self.at.x } else { 0.0 }, y)?;
                self.line(to);
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let (first, second) = (self.point(abs, x1, y1)?, self.point(abs, x2, y2)?);
                let to = self.point(abs, x, y)?;
                self.cubic(first, second, to);
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = match self.steer {
                    Some(Steer::Cubic(control)) => mirrored(control, self.at),
                    _ => self.at,
                };
                let (second, to) = (self.point(abs, x2, y2)?, self.point(abs, x, y)?);
                self.cubic(first, second, to);
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let (control, to) = (self.point(abs, x1, y1)?, self.point(abs, x, y)?);
                self.quad(control, to);
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let control = match self.steer {
                    Some(Steer::Quad(control)) => mirrored(control, self.at),
                    _ => self.at,
                };
                let to = self.point(abs, x, y)?;
                self.quad(control, to);
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let to = self.point(abs, x, y)?;
                if rx.abs() > FARTHEST || ry.abs() > FARTHEST {
                    return None;
                }
                let arc = SvgArc {
                    from: self.at,
                    to,
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                self.begin();
                match Arc::from_svg_arc(&arc) {
                    Some(arc) => self.path.extend(arc.append_iter(self.flatten)),
                    None => self.path.line_to(to),
                }
                (self.at, self.steer) = (to, None);
            }
            PathSegment::ClosePath { .. } => {
                if !self.path.elements().is_empty() {
                    self.path.close_path();
                }
                (self.at, self.steer) = (self.start, None);
            }
        }
        Some(())
    }
}

/// One outline of a path.
pub(crate) struct PathOutline {
    pub(crate) segments: Vec<PathSeg>,
    /// Closed by command, or by ending where it began.
    pub(crate) is_closed: bool,
}

/// The outlines of a path, one a move; those without extent are left out.
pub(crate) fn outlines(path: &BezPath) -> Vec<PathOutline> {
    let mut outlines = Vec::new();
    let mut at = 0;
    let elements = path.elements();
    while at < elements.len() {
        let next = elements[at + 1..].iter().position(|e| matches!(e, PathEl::MoveTo(_)));
        let end = next.map_or(elements.len(), |next| at + 1 + next);
        let segments: Vec<PathSeg> = kurbo::segments(elements[at..end].iter().copied()).collect();
        let by_command = elements[at..end].iter().any(|e| matches!(e, PathEl::ClosePath));
        let ends_meet = match (segments.first(), segments.last()) {
            (Some(first), Some(last)) => {
                use kurbo::ParamCurve as _;
                (last.end() - first.start()).hypot2() <= crate::limits::NEAR * crate::limits::NEAR
            }
            _ => false,
        };
        if !segments.is_empty() {
            outlines.push(PathOutline { segments, is_closed: by_command || ends_meet });
        }
        at = end;
    }
    outlines
}

/// The sides of an outline, each curve made straight to within `flatten`.
pub(crate) fn sides(segments: &[PathSeg], flatten: f64, place: &str) -> Result<Vec<Side>, Fault> {
    let controls = || {
        segments.iter().flat_map(|segment| match *segment {
            PathSeg::Line(line) => vec![line.p0, line.p1],
            PathSeg::Quad(quad) => vec![quad.p0, quad.p1, quad.p2],
            PathSeg::Cubic(cubic) => vec![cubic.p0, cubic.p1, cubic.p2, cubic.p3],
        })
    };
    if !controls().all(is_near) {
        return Err(far(place));
    }
    let extent = bounds(controls());
    if extent.width().max(extent.height()) > 2.0 * LARGEST {
        let what = format!("it is {:.0} mm long, more than a kilometre", extent.width().max(extent.height()));
        return Err(Fault::new(
            FaultKind::OutOfRange,
            place,
            what,
            "name the unit in which the file is drawn",
        ));
    }
    let mut sides: Vec<Side> = Vec::new();
    let mut count = 0;
    for segment in segments {
        let mut points = Vec::new();
        let start = match *segment {
            PathSeg::Line(line) => line.p0,
            PathSeg::Quad(quad) => quad.p0,
            PathSeg::Cubic(cubic) => cubic.p0,
        };
        let curve = [PathEl::MoveTo(start), segment.as_path_el()];
        kurbo::flatten(curve, flatten, |element| {
            if let PathEl::LineTo(p) = element {
                points.push(p);
            }
        });
        // The last point is the next side's first.
        points.pop();
        count += points.len() + 1;
        if count > MOST_POINTS {
            let what = format!("it takes more than {MOST_POINTS} points");
            let mend = "draw it with fewer corners, or let curves be made straight more coarsely";
            return Err(Fault::new(FaultKind::TooManyPoints, place, what, mend));
        }
        sides.push(Side { from: start, through: points });
    }
    Ok(sides)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape as _;

    /// Against kurbo's own reader of path data, by area and length.
    #[test]
    fn path_data_is_read_as_another_reader_reads_it() {
        for data in [
            "M0 0 H100 V50 h-100 z",
            "m10,10 l90,0 0,40 -90,0 z m5 5 h10 v10 h-10 z",
            "M0 0 C10 0 20 10 20 20 S30 40 40 40 Q50 40 50 30 T50 10 z",
            "M0,0 c10,0 20,10 20,20 s10,20 20,20 q10,0 10,-10 t0,-20 z",
            "M100 100 A50 50 0 0 1 200 100 a50 30 20 1 0 -100 0 z L0 0 10 0 z",
        ] {
            let ours = parsed(data, 1e-4).expect("a path");
            let theirs = BezPath::from_svg(data).expect("a path");
            assert!((ours.area() - theirs.area()).abs() < 1.0, "{data}: {} {}", ours.area(), theirs.area());
            assert!((ours.perimeter(0.01) - theirs.perimeter(0.01)).abs() < 1.0, "{data}");
            assert_eq!(outlines(&ours).len(), outlines(&theirs).len(), "{data}");
        }
        for data in ["M0 0 L1e300 0 z", "M0 0 A1e300 1 0 0 1 5 5", "M0 0 L x", "L5"] {
            assert!(parsed(data, 0.1).is_none() || data == "L5", "{data}");
        }
    }
}

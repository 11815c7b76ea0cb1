//! The same boards cut out of the floor in two ways: by row slices, and each by a general clipper.

use geo::{Area, BooleanOps, LineString, MultiPolygon, Polygon, Rect, coord};
use lay::{Floor, Outline, slice, slice_run};
use plan::Plan;
use site::{Region, Uv};

/// Areas count as the same within this, mm²: the clipper works on a grid.
const SAME: f64 = 1.0;

/// One region with the places of its rows and joints.
#[derive(Debug)]
struct Job {
    rings: Vec<Vec<Uv>>,
    polygon: Polygon,
    rows: Vec<f64>,
    /// Cuts across each run: row, run in the row from the left, places from end to end.
    cuts: Vec<Vec<Vec<f64>>>,
    /// The whole rectangle of each board's stretch of its row.
    stretches: Vec<Rect>,
}

/// A laid floor, ready to be cut again.
#[derive(Debug)]
pub struct Cutting(Vec<Job>);

impl Cutting {
    /// Takes rows and joints from a plan's floor, and sees to it that both ways give the same areas.
    ///
    /// # Panics
    /// When the plan has problems or the two ways differ.
    pub fn new(plan: &Plan) -> Self {
        let house = pipeline::run(plan).unwrap_or_else(|problems| panic!("{}: {problems:?}", plan.name));
        let regions = house.site.regions.iter().enumerate();
        let cutting = Self(regions.map(|(index, region)| job(&house.floor, index, region)).collect());
        let (sliced, clipped) = (cutting.areas_by_slicing(), cutting.areas_by_clipping());
        assert_eq!(sliced.len(), clipped.len());
        for (a, b) in sliced.iter().zip(&clipped) {
            assert!((a - b).abs() < SAME, "{}: {a} mm² by slices, {b} mm² by clipping", plan.name);
        }
        cutting
    }

    /// How many stretches are cut.
    pub fn len(&self) -> usize {
        self.0.iter().map(|job| job.stretches.len()).sum()
    }

    /// Whether there is nothing to cut.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Cuts every region into rows and every run at its joints, as laying does.
    pub fn by_slicing(&self) -> Vec<Vec<(usize, Outline)>> {
        let mut out = Vec::with_capacity(self.0.iter().flat_map(|job| &job.cuts).map(Vec::len).sum());
        for job in &self.0 {
            for (outlines, cuts) in slice(&job.rings, &job.rows).iter().zip(&job.cuts) {
                for (outline, cuts) in outlines.iter().zip(cuts) {
                    out.push(slice_run(outline, cuts));
                }
            }
        }
        out
    }

    /// Clips every board's rectangle with the region.
    pub fn by_clipping(&self) -> Vec<MultiPolygon> {
        let clip = |job: &Job| -> Vec<MultiPolygon> {
            job.stretches.iter().map(|stretch| stretch.to_polygon().intersection(&job.polygon)).collect()
        };
        self.0.iter().flat_map(clip).collect()
    }

    fn areas_by_slicing(&self) -> Vec<f64> {
        let runs = self.0.iter().flat_map(|job| job.cuts.iter().flatten());
        let of_run = |(cuts, pieces): (&Vec<f64>, Vec<(usize, Outline)>)| {
            let mut areas = vec![0.0; cuts.len().saturating_sub(1)];
            pieces.iter().for_each(|(stretch, outline)| areas[*stretch] += outline.area());
            areas
        };
        runs.zip(self.by_slicing()).flat_map(of_run).collect()
    }

    fn areas_by_clipping(&self) -> Vec<f64> {
        self.by_clipping().iter().map(Area::unsigned_area).collect()
    }
}

fn job(floor: &Floor, index: usize, region: &Region) -> Job {
    let rings: Vec<Vec<Uv>> = region.rings().map(|ring| ring.edges.iter().map(|e| e.a).collect()).collect();
    let line = |ring: &Vec<Uv>| -> LineString { ring.iter().map(|p| coord! { x: p.u, y: p.v }).collect() };
    let polygon = Polygon::new(line(&rings[0]), rings[1..].iter().map(line).collect());
    let (low, high) = rings[0]
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.v), high.max(p.v)));
    let (zero, pitch) = (floor.row_low(index, 0), floor.pitch);
    let first = ((low - zero) / pitch - 1e-9).floor() as i32;
    let last = ((high - zero) / pitch + 1e-9).ceil() as i32;
    let rows: Vec<f64> = (first..=last).map(|row| floor.row_low(index, row)).collect();
    let mut joints: Vec<Vec<f64>> = vec![Vec::new(); rows.len()];
    for joint in floor.joints.iter().filter(|joint| floor.boards[joint.left].region == index) {
        joints[(joint.row - first) as usize].push(joint.u);
    }
    let (mut cuts, mut stretches) = (Vec::new(), Vec::new());
    for (row, outlines) in slice(&rings, &rows).iter().enumerate() {
        joints[row].sort_by(f64::total_cmp);
        joints[row].dedup();
        let mut of_row = Vec::new();
        for outline in outlines {
            let (left, right) = outline
                .outer
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), p| (l.min(p.u), r.max(p.u)));
            let inside = joints[row].iter().copied().filter(|u| *u > left + 1.0 && *u < right - 1.0);
            let places: Vec<f64> = [left - 1.0].into_iter().chain(inside).chain([right + 1.0]).collect();
            stretches.extend(places.windows(2).map(|pair| {
                Rect::new(coord! { x: pair[0], y: rows[row] }, coord! { x: pair[1], y: rows[row] + pitch })
            }));
            of_row.push(places);
        }
        cuts.push(of_row);
    }
    Job { rings, polygon, rows, cuts, stretches }
}

//! What fills the movement joints: length and volume by section.

use fit::JointLaid;
use plan::{Plan, Units, format_run, format_small};

/// Joints of one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillerLine {
    /// Visible width, mm.
    pub width: f64,
    /// Depth: the boards' thickness, mm. Over a backing rod less is needed.
    pub depth: f64,
    /// Length of the joints, m.
    pub length: f64,
    /// Volume, L: width · depth · length.
    pub litres: f64,
}

impl FillerLine {
    /// The arithmetic: `10 mm × 15 mm × 6.32 m = 0.95 L`. In feet and inches the millimetres stand beside them, as cartridges
    /// are sold by the litre.
    pub fn arithmetic(&self, units: Units) -> String {
        let (width, depth) = (format_small(self.width, units), format_small(self.depth, units));
        format!("{width} × {depth} × {} = {:.2} L", format_run(self.length * 1000.0, units), self.litres)
    }
}

/// The filler of a plan's joints as they lie, narrowest section first. A joint is filled as far as there is floor on
/// either of its sides.
pub(crate) fn filler(plan: &Plan, joints: &[JointLaid]) -> Vec<FillerLine> {
    let mut lines: Vec<FillerLine> = Vec::new();
    for joint in joints.iter().filter(|joint| joint.length > 0.0) {
        match lines.iter_mut().find(|line| line.width == joint.width) {
            Some(line) => line.length += joint.length / 1000.0,
            None => lines.push(FillerLine {
                width: joint.width,
                depth: plan.stock.thickness,
                length: joint.length / 1000.0,
                litres: 0.0,
            }),
        }
    }
    for line in &mut lines {
        // mm · mm · m is mL.
        line.litres = line.width * line.depth * line.length / 1000.0;
    }
    lines.sort_by(|a, b| a.width.total_cmp(&b.width));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{MovementJoint, Point, Room};

    #[test]
    fn filler_is_width_times_depth_times_length() {
        let mut plan = Plan::new("t");
        let corners = [(0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0)];
        plan.rooms.push(Room::boarded("Hall", corners.map(Point::from)));
        let joint = |a: (f64, f64), b: (f64, f64)| MovementJoint::new(a.into(), b.into());
        plan.joints.push(joint((0.0, 2000.0), (6000.0, 2000.0)));
        plan.joints.push(MovementJoint { width: 12.0, ..joint((3000.0, 500.0), (3000.0, 1500.0)) });
        let site = site::survey(&plan);
        let floor = lay::lay(&plan, &site, &setout::set_out(&plan, &site));
        let lines = filler(&plan, &fit::joints(&plan, &site, &floor));
        // 5.98 m between the gaps of 10: 10 · 15 · 5.98 = 897 mL. The other ends in the floor: 1 m, 12 · 15 = 180 mL.
        assert_eq!(lines.len(), 2);
        assert!((lines[0].length - 5.98).abs() < 1e-6 && (lines[0].litres - 0.897).abs() < 1e-6, "{lines:?}");
        assert!((lines[1].length - 1.0).abs() < 1e-6 && (lines[1].litres - 0.18).abs() < 1e-6, "{lines:?}");
        assert_eq!(lines[0].arithmetic(Units::Metric), "10 mm × 15 mm × 5.98 m = 0.90 L");
    }
}

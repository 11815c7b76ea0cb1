//! Keeps writing apart: boxes taken on the paper, first come first served.

use crate::{Label, label_extent, rough_width};
use kurbo::{Rect, Vec2};

/// Boxes already taken, in paper mm, y up, plan origin at the paper origin.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    scale: f64,
    boxes: Vec<Rect>,
}

impl Taken {
    /// Nothing taken yet, at `scale` plan mm to a paper mm.
    pub(crate) fn new(scale: f64) -> Self {
        Self { scale, boxes: Vec::new() }
    }

    /// The upright box that a label covers on paper.
    pub(crate) fn box_of(&self, label: &Label) -> Rect {
        label_extent(label, rough_width(&label.text, label.size)) + label.at.to_vec2() / self.scale
    }

    /// Whether a box is free.
    pub(crate) fn is_free(&self, area: Rect) -> bool {
        self.boxes.iter().all(|taken| !overlaps(*taken, area))
    }

    /// Takes a box, free or not.
    pub(crate) fn take(&mut self, area: Rect) {
        self.boxes.push(area);
    }

    /// Takes the first place that is free; `None` if none is.
    pub(crate) fn first_free(&mut self, places: impl IntoIterator<Item = Label>) -> Option<Label> {
        let label = places.into_iter().find(|label| self.is_free(self.box_of(label)))?;
        self.take(self.box_of(&label));
        Some(label)
    }

    /// Takes the first place of a pennant whose cloth and pole are free; `None` if none is.
    pub(crate) fn first_free_pole(&mut self, places: impl IntoIterator<Item = Label>) -> Option<Label> {
        let label = places.into_iter().find(|label| {
            let cloth = self.box_of(label);
            self.is_free(cloth) && self.is_free(self.pole_of(label, cloth))
        })?;
        let cloth = self.box_of(&label);
        self.take(self.pole_of(&label, cloth));
        self.take(cloth);
        Some(label)
    }

    /// The upright box round a pennant's pole, without its foot.
    fn pole_of(&self, label: &Label, cloth: Rect) -> Rect {
        let foot = label.at.to_vec2() / self.scale;
        let (near, far) =
            if label.shift.y > 0.0 { (1.0, cloth.y0 - foot.y) } else { (cloth.y1 - foot.y, -1.0) };
        let (left, right) = (label.shift.x.min(0.0) - 0.3, label.shift.x.max(0.0) + 0.3);
        Rect::new(left, near.min(far), right, far.max(near)) + foot
    }

    /// Takes the first free place, or the first of all where none is free.
    pub(crate) fn first_free_or_first(&mut self, places: &[Label]) -> Option<Label> {
        let free = self.first_free(places.iter().cloned());
        free.or_else(|| {
            let label = places.first()?.clone();
            self.take(self.box_of(&label));
            Some(label)
        })
    }
}

fn overlaps(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Shifts of a pennant on its pole, the likeliest first, paper mm.
pub(crate) fn pole_shifts() -> impl Iterator<Item = Vec2> {
    [6.0, 11.0, -6.0, 16.0, -11.0]
        .into_iter()
        .flat_map(|y| [0.0, -5.0, 5.0].into_iter().map(move |x| Vec2::new(x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Role;
    use kurbo::Point;

    #[test]
    fn two_figures_on_one_spot_are_parted() {
        let mut taken = Taken::new(50.0);
        let spots = [0.0, 0.0, 1000.0].map(|x| Label::new(Role::RipFigure, "115", Point::new(x, 0.0)));
        let first = taken.first_free(spots.clone());
        let second = taken.first_free(spots);
        assert_eq!(first.map(|l| l.at.x), Some(0.0));
        assert_eq!(second.map(|l| l.at.x), Some(1000.0));
    }
}

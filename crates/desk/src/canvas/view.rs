//! Between plan (mm, y up) and screen (points, y down).

use egui::{Pos2, Rect, Vec2, pos2};
use plan::{Plan, Point, Room};

/// Zoom's bounds, points per mm: a whole street, and a tenth of a millimetre.
const SCALE_RANGE: (f64, f64) = (0.002, 8.0);

/// On a table narrower than this a card has no room on both sides of what stands in the middle, points.
const SMALL_TABLE: f32 = 860.0;
/// Where on a small table a thing stands that is gone to, part of its width.
const ASIDE: f32 = 0.23;

/// A card in a corner of the canvas stands so far from its edges, and so far over its foot, points.
const CORNER: f32 = 14.0;
const FOOT: f32 = 50.0;
/// A card stands so far off what it does not cover, points: the figures at a room's edge lie outside of it.
const APART: f32 = 12.0;
/// In so many steps of a fiftieth a floor is made smaller for a card beside it.
const SMALLER: u32 = 20;

/// Round a floor that is shown whole there is room at its sides for the pulls' figures, at its head for rings and pennants, and
/// at its foot for the hint and the rings of an outer doorway over it, points.
const SIDE: f32 = 76.0;
const HEAD: f32 = 34.0;
const FOOT_ROOM: f32 = 64.0;

/// The way in which something lies, across and up.
trait Signs {
    fn map_signs(self) -> Self;
}

impl Signs for Vec2 {
    fn map_signs(self) -> Self {
        Self::new(self.x.signum(), self.y.signum())
    }
}

/// A rectangle of the plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    pub(crate) min: Point,
    pub(crate) max: Point,
}

impl Span {
    /// The smallest span round some points.
    pub(crate) fn of(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(Self { min: first, max: first }, |span, p| Self {
            min: Point::new(span.min.x.min(p.x), span.min.y.min(p.y)),
            max: Point::new(span.max.x.max(p.x), span.max.y.max(p.y)),
        }))
    }

    /// A room with its walls.
    pub(crate) fn of_room(room: &Room) -> Option<Self> {
        Self::of(room.outline().into_iter().map(|(point, _)| point))
    }

    /// All that is drawn.
    pub(crate) fn of_plan(plan: &Plan) -> Option<Self> {
        let corners = plan.rooms.iter().flat_map(|room| room.outline().into_iter().map(|(point, _)| point));
        let outlines = plan.fixtures.iter().flat_map(|fixture| fixture.outline.iter().copied());
        let picture = || plan.backdrop.as_ref().and_then(|backdrop| Self::of(backdrop.corners()));
        Self::of(corners.chain(outlines)).or_else(picture)
    }

    /// What an empty table shows: room for a room.
    pub(crate) fn of_empty_table() -> Self {
        Self { min: Point::new(-1000.0, -1000.0), max: Point::new(9000.0, 6000.0) }
    }

    /// A span this far (mm) round a point.
    pub(crate) fn round(p: Point, mm: f64) -> Self {
        Self { min: p.moved(-mm, -mm), max: p.moved(mm, mm) }
    }

    /// The span with a margin (mm) all round.
    pub(crate) fn grown(&self, mm: f64) -> Self {
        Self { min: self.min.moved(-mm, -mm), max: self.max.moved(mm, mm) }
    }

    /// The smallest span round both.
    pub(crate) fn with(&self, other: &Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Whether two spans have anything in common.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }

    /// Whether a span lies within this one.
    pub(crate) fn holds(&self, other: &Self) -> bool {
        self.min.x <= other.min.x
            && self.min.y <= other.min.y
            && other.max.x <= self.max.x
            && other.max.y <= self.max.y
    }

    pub(crate) fn centre(&self) -> Point {
        self.min.lerp(self.max, 0.5)
    }
}

/// Which part of the plan is seen, and where on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// The point of the plan in the middle.
    pub(crate) centre: Point,
    /// Points of the screen per mm.
    pub(crate) scale: f64,
    /// The canvas on the screen.
    pub(crate) rect: Rect,
}

impl Default for View {
    fn default() -> Self {
        Self { centre: Point::new(4000.0, 2500.0), scale: 0.08, rect: Rect::ZERO }
    }
}

impl View {
    pub(crate) fn screen_from_plan(&self, p: Point) -> Pos2 {
        let middle = self.rect.center();
        pos2(
            middle.x + ((p.x - self.centre.x) * self.scale) as f32,
            middle.y - ((p.y - self.centre.y) * self.scale) as f32,
        )
    }

    pub(crate) fn plan_from_screen(&self, pos: Pos2) -> Point {
        let from_middle = pos - self.rect.center();
        self.centre.moved(f64::from(from_middle.x) / self.scale, -f64::from(from_middle.y) / self.scale)
    }

    /// So many points of the screen as mm of the plan.
    pub(crate) fn mm(&self, points: f32) -> f64 {
        f64::from(points) / self.scale
    }

    /// So many mm of the plan as points of the screen.
    pub(crate) fn points(&self, mm: f64) -> f32 {
        (mm * self.scale) as f32
    }

    /// What of the plan is seen.
    pub(crate) fn seen(&self) -> Span {
        Span {
            min: self.plan_from_screen(self.rect.left_bottom()),
            max: self.plan_from_screen(self.rect.right_top()),
        }
    }

    pub(crate) fn pan(&mut self, by: Vec2) {
        self.centre = self.centre.moved(-self.mm(by.x), self.mm(by.y));
    }

    /// Zooms by a factor, what is under `pos` staying there.
    pub(crate) fn zoom_at(&mut self, pos: Pos2, factor: f64) {
        let fixed = self.plan_from_screen(pos);
        self.scale = (self.scale * factor).clamp(SCALE_RANGE.0, SCALE_RANGE.1);
        let now = self.plan_from_screen(pos);
        self.centre = self.centre.moved(fixed.x - now.x, fixed.y - now.y);
    }

    /// Shows all of a span with a margin.
    pub(crate) fn fit(&mut self, span: Span) {
        let room = Vec2::new(
            (self.rect.width() - 2.0 * SIDE).max(50.0),
            (self.rect.height() - HEAD - FOOT_ROOM).max(50.0),
        );
        let size = (span.max.x - span.min.x, span.max.y - span.min.y);
        let scale = (f64::from(room.x) / size.0.max(1.0)).min(f64::from(room.y) / size.1.max(1.0));
        self.scale = scale.clamp(SCALE_RANGE.0, SCALE_RANGE.1);
        self.centre = span.centre().moved(0.0, self.mm((HEAD - FOOT_ROOM) / 2.0));
    }

    /// What is free right of a span and over it where it is shown whole at this scale, points; less than none where it is larger
    /// than the canvas.
    pub(super) fn free_round(&self, span: Span) -> (f64, f64) {
        let size = (span.max.x - span.min.x, span.max.y - span.min.y);
        let side = (self.rect.width() - self.points(size.0)) / 2.0;
        let head = HEAD + (self.rect.height() - HEAD - FOOT_ROOM - self.points(size.1)) / 2.0;
        (side.into(), head.into())
    }

    /// Shows all of a span beside a card in a corner of the canvas that lies over none of these: as large as that goes, and
    /// as near to the middle. The card's upper left corner; `None` where it would take too much of the size.
    pub(crate) fn fit_beside(&mut self, span: Span, card: Vec2, things: &[Span]) -> Option<Pos2> {
        let mut whole = *self;
        whole.fit(span);
        let least = self.rect.min + Vec2::new(SIDE, HEAD);
        let room = Rect::from_min_max(least, (self.rect.max - Vec2::new(SIDE, FOOT_ROOM)).max(least));
        let corners = self.corners_for(card);
        for step in 0..=SMALLER {
            let mut view = Self { scale: whole.scale * (1.0 - 0.02 * f64::from(step)), ..whole };
            let size = Vec2::new(view.points(span.max.x - span.min.x), view.points(span.max.y - span.min.y));
            let slack = ((room.size() - size) / 2.0).max(Vec2::ZERO);
            for corner in corners {
                let card = Rect::from_min_size(corner, card).expand(APART);
                // Away from the card as far as there is room, across, up, or both.
                let away = (room.center() - card.center()).map_signs();
                for by in [Vec2::ZERO, Vec2::new(away.x, 0.0), Vec2::new(0.0, away.y), away] {
                    view.centre = whole.centre;
                    view.pan(by * slack);
                    let is_free = things.iter().all(|thing| {
                        let ends = [thing.min, thing.max].map(|end| view.screen_from_plan(end));
                        !Rect::from_two_pos(ends[0], ends[1]).intersects(card)
                    });
                    if is_free {
                        *self = view;
                        return Some(corner);
                    }
                }
            }
        }
        None
    }

    /// Where a card's upper left corner lies in each corner of the canvas: over the hint at its foot.
    pub(crate) fn corners_for(&self, card: Vec2) -> [Pos2; 4] {
        let least = self.rect.min + Vec2::splat(CORNER);
        let most = self.rect.max - card - Vec2::new(CORNER, FOOT);
        let room = Rect::from_min_max(least, most.max(least));
        [room.left_top(), room.right_top(), room.right_bottom(), room.left_bottom()]
    }

    /// The largest part of the canvas at one side of a card.
    pub(crate) fn free_of(&self, card: Option<Rect>) -> Rect {
        let Some(card) = card.filter(|card| card.intersects(self.rect)) else { return self.rect };
        let table = self.rect;
        let sides = [
            Rect::from_min_max(table.min, pos2(card.left(), table.bottom())),
            Rect::from_min_max(pos2(card.right(), table.top()), table.max),
            Rect::from_min_max(table.min, pos2(table.right(), card.top())),
            Rect::from_min_max(pos2(table.left(), card.bottom()), table.max),
        ];
        let room = |side: &Rect| side.width().max(0.0) * side.height().max(0.0);
        // One of four is the largest.
        sides.into_iter().max_by(|a, b| room(a).total_cmp(&room(b))).unwrap_or(table)
    }

    /// Brings a span into view with the least change: no nearer than it was, unless the span is small. On a small table
    /// it stands to one side, so that its card has the other.
    pub(crate) fn look_at(&mut self, span: Span) {
        let before = self.scale;
        self.fit(span);
        self.scale = self.scale.min(before.max(0.2));
        self.centre = span.centre();
        if self.rect.width() < SMALL_TABLE {
            self.pan(Vec2::new(-self.rect.width() * (0.5 - ASIDE), 0.0));
        }
    }

    /// Brings a span into view without coming nearer.
    pub(crate) fn keep_in_sight(&mut self, span: Span) {
        let before = self.scale;
        self.fit(span);
        self.scale = self.scale.min(before);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_on_an_empty_table_stand_beside_the_card() {
        let view =
            View { rect: Rect::from_min_size(pos2(0.0, 60.0), Vec2::new(600.0, 390.0)), ..View::default() };
        let card = Rect::from_min_size(pos2(14.0, 74.0), Vec2::new(320.0, 215.0));
        let free = view.free_of(Some(card));
        // Right of it are 266 × 390, under it 600 × 161.
        assert_eq!(free, Rect::from_min_max(pos2(334.0, 60.0), pos2(600.0, 450.0)));
        assert_eq!(view.free_of(None), view.rect);
        assert_eq!(view.free_of(Some(card.translate(Vec2::new(900.0, 0.0)))), view.rect);
    }

    #[test]
    fn zoom_keeps_what_is_under_the_pointer() {
        let rect = Rect::from_min_size(pos2(10.0, 20.0), egui::vec2(800.0, 600.0));
        let mut view = View { rect, ..View::default() };
        let pos = pos2(200.0, 500.0);
        let before = view.plan_from_screen(pos);
        view.zoom_at(pos, 3.0);
        assert!(view.plan_from_screen(pos).distance(before) < 1e-6);
        assert!((view.screen_from_plan(before) - pos).length() < 1e-3);
    }

    #[test]
    fn fit_shows_the_whole_span() {
        let rect = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(800.0, 600.0));
        let mut view = View { rect, ..View::default() };
        let span = Span { min: Point::new(-100.0, 50.0), max: Point::new(15_000.0, 9000.0) };
        view.fit(span);
        assert!(rect.contains(view.screen_from_plan(span.min)));
        assert!(rect.contains(view.screen_from_plan(span.max)));
    }
}

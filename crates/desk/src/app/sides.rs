//! The job at the floor's side and the strip under it: how large they are, and whether they are folded away.

use crate::palette::Palette;
use egui::{
    Context, Frame, IdSalt, InnerResponse, Panel, Rangef, Rect, Ui, Vec2, containers::panel::PanelState, vec2,
};

/// A window narrower than this has no room for the floor and the job side by side, points.
const NARROW: f32 = 700.0;
/// A window lower than this has no room for the strip under the floor, points.
const LOW: f32 = 420.0;

/// What stands beside the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// The job, at the right.
    Job,
    /// The strip, under the floor.
    Strip,
}

/// What is kept of one of them.
#[derive(Debug, Clone, Copy, Default)]
struct Kept {
    /// The size the hand gave it, points; none until it did.
    size: Option<f32>,
    /// Whether it was opened or folded by hand, in a roomy window and in a tight one.
    open: [Option<bool>; 2],
}

/// The sizes of what stands beside the floor, and what is folded away.
#[derive(Debug, Default)]
pub(crate) struct Sides {
    job: Kept,
    strip: Kept,
    window: Vec2,
}

impl Sides {
    /// With the sizes kept from the last time, points.
    pub(crate) fn of(job: Option<u16>, strip: Option<u16>) -> Self {
        let kept = |size: Option<u16>| Kept { size: size.map(f32::from), ..Kept::default() };
        Self { job: kept(job), strip: kept(strip), window: vec2(1600.0, 1000.0) }
    }

    /// Takes note of how large the window is.
    pub(crate) fn measure(&mut self, ctx: &Context) {
        self.window = ctx.content_rect().size();
    }

    /// Whether the window is too narrow for the floor and the job side by side: the header then goes over both.
    pub(crate) fn is_narrow(&self) -> bool {
        self.window.x < NARROW
    }

    fn is_tight(&self, side: Side) -> bool {
        match side {
            Side::Job => self.is_narrow(),
            Side::Strip => self.window.y < LOW,
        }
    }

    fn kept(&mut self, side: Side) -> &mut Kept {
        match side {
            Side::Job => &mut self.job,
            Side::Strip => &mut self.strip,
        }
    }

    /// Whether it is shown: by what the hand chose, else by whether there is room.
    pub(crate) fn is_open(&self, side: Side) -> bool {
        let (kept, is_tight) = match side {
            Side::Job => (self.job, self.is_tight(side)),
            Side::Strip => (self.strip, self.is_tight(side)),
        };
        kept.open[usize::from(is_tight)].unwrap_or(!is_tight)
    }

    /// Shows it, or folds it away.
    pub(crate) fn set_open(&mut self, side: Side, open: bool) {
        let is_tight = self.is_tight(side);
        self.kept(side).open[usize::from(is_tight)] = Some(open);
    }

    /// The size the hand gave it, points, to be kept for the next time.
    pub(crate) fn size(&self, side: Side) -> Option<u16> {
        let size = match side {
            Side::Job => self.job.size,
            Side::Strip => self.strip.size,
        };
        size.map(|size| size.round().clamp(0.0, f32::from(u16::MAX)) as u16)
    }

    /// Least, usual and greatest size, points. With everything at three times its size the floor still keeps its share.
    fn sizes(&self, side: Side) -> (f32, f32, f32) {
        let Vec2 { x, y } = self.window;
        match side {
            Side::Job if self.is_tight(side) => {
                let all = (0.66 * x).clamp(200.0, 300.0);
                (all, all, all)
            }
            Side::Job => {
                let widest = (0.42 * x).clamp(240.0, 620.0);
                (widest.min(300.0), (0.28 * x).clamp(300.0, 392.0), widest)
            }
            Side::Strip if self.is_tight(side) => (104.0, 104.0, 104.0),
            Side::Strip => {
                let highest = (0.36 * y).clamp(110.0, 460.0);
                (highest.min(120.0), (0.24 * y).clamp(150.0, 232.0), highest)
            }
        }
    }

    /// Shows it in its place. The window library keeps only the size it last had, so that one squeezed by a small window
    /// would stay small in a large one: what the hand chose is kept here instead, and handed over each time.
    pub(crate) fn show<R>(
        &mut self,
        side: Side,
        ui: &mut Ui,
        frame: Frame,
        add: impl FnOnce(&mut Ui) -> R,
    ) -> InnerResponse<R> {
        let (least, usual, greatest) = self.sizes(side);
        let (salt, panel) = match side {
            Side::Job => ("job", Panel::right("job")),
            Side::Strip => ("set-out strip", Panel::bottom("set-out strip")),
        };
        let id = ui.scope_id().with_salt(IdSalt::new(salt));
        let wanted = self.kept(side).size.unwrap_or(usual).clamp(least, greatest);
        let state = PanelState { outer_rect: Rect::from_min_size(egui::Pos2::ZERO, Vec2::splat(wanted)) };
        ui.data_mut(|data| data.insert_persisted(id, state));
        let shown =
            panel.default_size(wanted).size_range(Rangef::new(least, greatest)).frame(frame).show(ui, add);
        // What it has now and was not given, the hand has dragged.
        let now = PanelState::load(ui.ctx(), id).map_or(wanted, |state| match side {
            Side::Job => state.size().x,
            Side::Strip => state.size().y,
        });
        if (now - wanted).abs() > 1.5 && least < greatest {
            self.kept(side).size = Some(now);
        }
        shown
    }
}

/// The ground of a panel.
pub(crate) fn ground(ctx: &Context, side: Side) -> Frame {
    let palette = Palette::current(ctx);
    match side {
        Side::Job => Frame::new().fill(palette.panel).inner_margin(egui::Margin {
            left: 22,
            right: 14,
            top: 8,
            bottom: 0,
        }),
        Side::Strip => Frame::new().fill(palette.strip),
    }
}

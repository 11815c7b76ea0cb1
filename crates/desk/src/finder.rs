//! Finding a command by its words.

use crate::action::Actions;
use crate::command::Command;
use crate::palette::Palette;
use egui::{Align2, Context, Id, Key, Modal, Modifiers, RichText, Sense, TextEdit, vec2};

/// Commands listed at most.
const LISTED: usize = 12;

/// The finder, open or not.
#[derive(Default)]
pub(crate) struct Finder {
    open: bool,
    typed: String,
    at: usize,
}

impl Finder {
    pub(crate) fn open(&mut self) {
        *self = Self { open: true, ..Self::default() };
    }

    pub(crate) fn is_open(&self) -> bool {
        self.open
    }

    fn found(&self) -> Vec<Command> {
        let mut found: Vec<_> =
            Command::all().filter_map(|command| Some((command.answers_to(&self.typed)?, command))).collect();
        // A stable sort: commands that answer equally well keep the table's order.
        found.sort_by_key(|(rank, _)| *rank);
        found.into_iter().map(|(_, command)| command).take(LISTED).collect()
    }

    pub(crate) fn show(&mut self, ctx: &Context, actions: &mut Actions) {
        if !self.open {
            return;
        }
        let (down, up, enter, escape) = ctx.input_mut(|input| {
            (
                input.consume_key(Modifiers::NONE, Key::ArrowDown),
                input.consume_key(Modifiers::NONE, Key::ArrowUp),
                input.consume_key(Modifiers::NONE, Key::Enter),
                input.consume_key(Modifiers::NONE, Key::Escape),
            )
        });
        let found = self.found();
        let last = found.len().saturating_sub(1);
        if down {
            self.at = (self.at + 1).min(last);
        }
        if up {
            self.at = self.at.saturating_sub(1);
        }
        let mut chosen = enter.then(|| found.get(self.at).copied()).flatten();
        let palette = Palette::current(ctx);
        let window = ctx.content_rect().size();
        let moved = down || up;
        let modal = Modal::new(Id::unique("find a command"))
            .backdrop_color(egui::Color32::from_black_alpha(50))
            .area(
                Modal::default_area(Id::unique("find a command"))
                    .anchor(Align2::CENTER_TOP, vec2(0.0, (0.09 * window.y).min(90.0))),
            )
            .show(ctx, |ui| {
                ui.set_width((window.x - 56.0).clamp(160.0, 480.0));
                let field = ui
                    .add(
                        TextEdit::singleline(&mut self.typed)
                            .hint_text("find a command")
                            .desired_width(f32::INFINITY),
                    )
                    .accessible_name("find a command");
                field.request_focus();
                if field.changed() {
                    self.at = 0;
                }
                ui.add_space(4.0);
                let highest = (0.91 * window.y - 110.0).max(60.0);
                egui::ScrollArea::vertical().max_height(highest).min_scrolled_height(highest).show(
                    ui,
                    |ui| {
                        for (index, command) in self.found().into_iter().enumerate() {
                            let (rect, response) =
                                ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
                            let is_at = index == self.at;
                            response.widget_info(|| {
                                egui::WidgetInfo::selected(egui::Role::Button, true, is_at, command.name())
                            });
                            if is_at || response.hovered() {
                                ui.painter().rect_filled(rect, 3.0, palette.chalk_wash);
                            }
                            let painter = ui.painter_at(rect);
                            let inner = rect.shrink2(vec2(8.0, 0.0));
                            let name = painter.text(
                                inner.left_center(),
                                Align2::LEFT_CENTER,
                                command.name(),
                                egui::FontId::proportional(14.0),
                                palette.ink,
                            );
                            let keys = painter.text(
                                inner.right_center(),
                                Align2::RIGHT_CENTER,
                                command.keys_text(ui.ctx()),
                                egui::FontId::proportional(12.0),
                                palette.weak,
                            );
                            let at = name.right_center() + vec2(10.0, 0.0);
                            // What has no room ends in an ellipsis; all of it is told by the pointer.
                            let mut about = egui::text::LayoutJob::simple_singleline(
                                command.about().to_owned(),
                                egui::FontId::proportional(12.0),
                                palette.weak,
                            );
                            about.wrap = egui::text::TextWrapping::truncate_at_width(
                                (keys.left() - 10.0 - at.x).max(0.0),
                            );
                            let about = painter.layout_job(about);
                            painter.galley(at - vec2(0.0, about.size().y / 2.0), about, palette.weak);
                            let response = response.on_hover_text(command.about());
                            if is_at && moved {
                                response.scroll_to_me(None);
                            }
                            if response.clicked() {
                                chosen = Some(command);
                            }
                        }
                    },
                );
                if self.found().is_empty() {
                    ui.label(RichText::new("No command has these words.").weak());
                }
            });
        if let Some(command) = chosen {
            self.open = false;
            actions.run(command);
        } else if escape || modal.should_close() {
            self.open = false;
        }
    }
}

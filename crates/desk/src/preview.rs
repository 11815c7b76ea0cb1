//! The sheets looked at before they are printed: every page small at the side, one of them large.
//!
//! Pages are drawn off the window's thread, from the same marks as those of the PDF. What was asked for last is drawn
//! first; what nobody waits for any more is not drawn.

use crate::palette::{Palette, strong_font};
use crate::viewer;
use crate::writing::today;
use egui::{
    Align, ColorImage, Context, Id, Key, Layout, Modal, Modifiers, RichText, ScrollArea, Sense,
    TextureHandle, TextureOptions, Ui, pos2, vec2,
};
use pipeline::House;
use sheets::{Page, SetOptions};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};

/// Width of a small page, points; its picture has twice as many pixels, so that it stays clear on a fine screen.
const SMALL: f32 = 116.0;
const SMALL_PIXELS: u32 = 232;
/// Of more pages than this each picture has a quarter of the pixels, so that a thousand of them stay under 80 MB.
const MANY: usize = 200;
/// Least and greatest width of the picture of the large page, pixels.
const LARGE_PIXELS: (u32, u32) = (600, 2400);
/// How often a page may be enlarged beyond fitting the window.
const ENLARGED: [f32; 3] = [1.0, 1.6, 2.4];

/// What comes back from the threads that draw.
enum Drawn {
    Pages(Arc<Vec<Page>>),
    Small(usize, ColorImage),
    Large(usize, u32, ColorImage),
    Trouble(String),
}

/// A page by its sheet: pages come and go before it as the plan changes.
struct Place {
    title: String,
    /// How many pages of that sheet stand before it.
    within: usize,
}

impl Place {
    fn of(pages: &[Page], at: usize) -> Option<Self> {
        let title = pages.get(at)?.title.clone();
        let within = pages.iter().take(at).filter(|page| page.title == title).count();
        Some(Self { title, within })
    }

    /// The page of the same sheet, or its last; the first of all where the sheet is gone.
    fn among(&self, pages: &[Page]) -> usize {
        let own = pages.iter().enumerate().filter(|(_, page)| page.title == self.title);
        own.map(|(at, _)| at).take(self.within + 1).last().unwrap_or(0)
    }
}

/// The pages on show.
#[derive(Default)]
pub(crate) struct Preview {
    open: bool,
    /// The house and options whose pages these are.
    shown: Option<(Arc<House>, SetOptions)>,
    pages: Arc<Vec<Page>>,
    at: usize,
    /// The page that was looked at before these are drawn.
    place: Option<Place>,
    enlarged: usize,
    small: BTreeMap<usize, TextureHandle>,
    large: Option<(usize, u32, TextureHandle)>,
    /// The large picture that is being drawn.
    asked: Option<(usize, u32)>,
    threads: Vec<Receiver<Drawn>>,
    trouble: Option<String>,
    said: Option<String>,
    /// Whether the small pages are to be moved so that the chosen one is seen.
    follow: bool,
}

impl Preview {
    pub(crate) fn is_open(&self) -> bool {
        self.open
    }

    /// Opens the pages of a house.
    pub(crate) fn open(&mut self, house: Arc<House>, options: SetOptions, at_once: bool, ctx: &Context) {
        let options = SetOptions { date: options.date.or_else(today), ..options };
        self.open = true;
        self.said = None;
        let is_same = self.shown.as_ref().is_some_and(|(shown, with)| {
            Arc::ptr_eq(shown, &house) && *with == options && !self.pages.is_empty()
        });
        // The one in view is to be seen among the small ones, whatever room they have now.
        self.follow = true;
        if is_same {
            return;
        }
        *self = Self {
            open: true,
            place: self.place.take().or_else(|| Place::of(&self.pages, self.at)),
            enlarged: self.enlarged,
            shown: Some((house.clone(), options.clone())),
            follow: true,
            ..Self::default()
        };
        let all = move |send: &dyn Fn(Drawn) -> bool| {
            let pages = Arc::new(sheets::set(&house, &options));
            if !send(Drawn::Pages(pages.clone())) {
                return;
            }
            let pixels = if pages.len() > MANY { SMALL_PIXELS / 2 } else { SMALL_PIXELS };
            for (index, page) in pages.iter().enumerate() {
                let drawn = match picture(page, pixels) {
                    Ok(image) => Drawn::Small(index, image),
                    Err(trouble) => Drawn::Trouble(trouble),
                };
                if !send(drawn) {
                    return;
                }
            }
        };
        self.start("pages", at_once, ctx, all);
    }

    /// Draws on a thread, or now; `send` tells whether anybody still waits.
    fn start(
        &mut self,
        name: &str,
        at_once: bool,
        ctx: &Context,
        draw: impl FnOnce(&dyn Fn(Drawn) -> bool) + Send + 'static,
    ) {
        let (sender, receiver): (Sender<Drawn>, _) = channel();
        self.threads.push(receiver);
        if at_once {
            draw(&|drawn| sender.send(drawn).is_ok());
            return;
        }
        let ctx = ctx.clone();
        let spawned = std::thread::Builder::new().name(name.into()).spawn(move || {
            draw(&|drawn| {
                let is_awaited = sender.send(drawn).is_ok();
                ctx.request_repaint();
                is_awaited
            });
        });
        if let Err(error) = spawned {
            self.trouble = Some(format!("the pages could not be started: {error}"));
        }
    }

    fn poll(&mut self, ctx: &Context) {
        let mut threads = std::mem::take(&mut self.threads);
        threads.retain(|receiver| {
            loop {
                match receiver.try_recv() {
                    Ok(drawn) => self.take(drawn, ctx),
                    Err(TryRecvError::Empty) => return true,
                    Err(TryRecvError::Disconnected) => return false,
                }
            }
        });
        self.threads.append(&mut threads);
    }

    fn take(&mut self, drawn: Drawn, ctx: &Context) {
        let texture = |name: String, image| ctx.load_texture(name, image, TextureOptions::LINEAR);
        match drawn {
            Drawn::Pages(pages) => {
                self.at = self.place.take().map_or(0, |place| place.among(&pages));
                self.pages = pages;
            }
            Drawn::Small(index, image) => {
                self.small.insert(index, texture(format!("small page {index}"), image));
            }
            Drawn::Large(index, width, image) => {
                if self.asked == Some((index, width)) {
                    self.asked = None;
                }
                if index == self.at {
                    self.large = Some((index, width, texture("large page".into(), image)));
                }
            }
            Drawn::Trouble(trouble) => self.trouble = Some(trouble),
        }
    }

    /// Shows the pages over the table.
    pub(crate) fn show(&mut self, ctx: &Context, at_once: bool) {
        if !self.open {
            return;
        }
        self.poll(ctx);
        self.keys(ctx);
        let window = ctx.content_rect().size() - vec2(72.0, 84.0);
        let modal = Modal::new(Id::unique("sheets"))
            .backdrop_color(egui::Color32::from_black_alpha(70))
            .show(ctx, |ui| {
                ui.set_width(window.x.max(320.0));
                ui.set_height(window.y.max(240.0));
                self.head(ui);
                ui.separator();
                ui.horizontal_top(|ui| {
                    self.strip(ui);
                    ui.separator();
                    self.page(ui, at_once);
                });
            });
        if modal.should_close() {
            self.open = false;
        }
    }

    fn keys(&mut self, ctx: &Context) {
        let steps = [(Key::PageDown, 1), (Key::ArrowDown, 1), (Key::PageUp, -1), (Key::ArrowUp, -1)];
        for (key, step) in steps {
            if ctx.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
                self.go(step);
            }
        }
    }

    fn go(&mut self, step: isize) {
        let last = self.pages.len().saturating_sub(1);
        self.at = self.at.saturating_add_signed(step).min(last);
        self.follow = true;
    }

    fn head(&mut self, ui: &mut Ui) {
        let palette = Palette::current(ui.ctx());
        ui.horizontal(|ui| {
            let title = self.pages.get(self.at).map_or("Sheets", |page| page.title.as_str());
            ui.label(RichText::new(title).font(strong_font(17.0)));
            if !self.pages.is_empty() {
                ui.label(RichText::new(format!("page {} of {}", self.at + 1, self.pages.len())).weak());
            }
            if let Some(scale) = self.pages.get(self.at).and_then(|page| page.scale.as_deref()) {
                ui.label(RichText::new(scale).weak());
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if ui.button("Close").clicked() {
                    self.open = false;
                }
                let ready = !self.pages.is_empty();
                let print = ui.add_enabled(ready, egui::Button::new("Print…"));
                if print
                    .on_hover_text("Opens all pages as a PDF in the system's viewer, which prints them")
                    .clicked()
                {
                    self.print();
                }
                if ui.add_enabled(self.enlarged + 1 < ENLARGED.len(), egui::Button::new("larger")).clicked() {
                    self.enlarged += 1;
                }
                if ui.add_enabled(self.enlarged > 0, egui::Button::new("smaller")).clicked() {
                    self.enlarged -= 1;
                }
            });
        });
        if let Some(trouble) = &self.trouble {
            ui.add(egui::Label::new(RichText::new(trouble).color(palette.fault)).wrap());
        } else if let Some(said) = &self.said {
            ui.add(egui::Label::new(RichText::new(said).weak()).wrap());
        }
    }

    fn print(&mut self) {
        let Some((house, _)) = &self.shown else { return };
        match viewer::print(&self.pages, &house.plan.name) {
            Ok(said) => (self.said, self.trouble) = (Some(said), None),
            Err(trouble) => self.trouble = Some(trouble),
        }
    }

    /// Every page, small.
    fn strip(&mut self, ui: &mut Ui) {
        let palette = Palette::current(ui.ctx());
        let height = ui.available_height();
        ui.allocate_ui_with_layout(vec2(SMALL + 26.0, height), Layout::top_down(Align::Min), |ui| {
            ScrollArea::vertical().id_salt("small pages").auto_shrink(false).show(ui, |ui| {
                if self.pages.is_empty() {
                    ui.label(RichText::new("drawing the pages…").weak());
                }
                let pages = self.pages.clone();
                for (index, page) in pages.iter().enumerate() {
                    let tall = SMALL * (page.height / page.width.max(1.0)) as f32;
                    // A caption takes as many lines as its words need.
                    let words = format!("{} {}", index + 1, page.names());
                    let font = egui::FontId::proportional(11.0);
                    let caption = ui.painter().layout(words, font, palette.ink, SMALL);
                    let (rect, response) = ui.allocate_exact_size(
                        vec2(SMALL + 8.0, tall + caption.size().y + 10.0),
                        Sense::click(),
                    );
                    let is_at = index == self.at;
                    let name = format!("page {}: {}", index + 1, page.names());
                    response
                        .widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, is_at, &name));
                    if is_at && self.follow {
                        response.scroll_to_me(None);
                    }
                    if response.clicked() {
                        self.at = index;
                    }
                    if is_at || response.hovered() || response.has_focus() {
                        ui.painter().rect_filled(rect, 3.0, palette.chalk_wash);
                    }
                    if !ui.is_rect_visible(rect) {
                        continue;
                    }
                    let paper = egui::Rect::from_min_size(rect.min + vec2(4.0, 4.0), vec2(SMALL, tall));
                    paint(ui, paper, self.small.get(&index));
                    let at = pos2(paper.left(), paper.bottom() + 3.0);
                    ui.painter().galley(at, caption, palette.ink);
                }
                // While they are being drawn there is none to be seen yet.
                self.follow &= pages.is_empty();
            });
        });
    }

    /// The chosen page, large.
    fn page(&mut self, ui: &mut Ui, at_once: bool) {
        let pages = self.pages.clone();
        let Some(page) = pages.get(self.at) else { return };
        let room = ui.available_size() - vec2(16.0, 10.0);
        let shape = (page.height / page.width.max(1.0)) as f32;
        let fit = room.x.min(room.y / shape.max(0.01)).max(80.0);
        let size = vec2(fit, fit * shape) * ENLARGED[self.enlarged.min(ENLARGED.len() - 1)];
        let pixels = (size.x * ui.ctx().pixels_per_point()).round().clamp(80.0, 10_000.0) as u32;
        // Sizes in steps: a window drawn larger does not draw the page anew at each pixel.
        let pixels = (pixels.div_ceil(200) * 200).clamp(LARGE_PIXELS.0, LARGE_PIXELS.1);
        self.ask(pixels, at_once, ui.ctx());
        ScrollArea::both().id_salt("large page").auto_shrink(false).show(ui, |ui| {
            let across = (room.x - size.x).max(0.0) / 2.0;
            ui.horizontal(|ui| {
                ui.add_space(across);
                let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
                let words = words_of(page);
                response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, &words));
                let texture = match &self.large {
                    Some((index, _, texture)) if *index == self.at => Some(texture),
                    _ => self.small.get(&self.at),
                };
                paint(ui, rect, texture);
            });
        });
    }

    /// Asks for the chosen page at a width, unless it is there or on its way.
    fn ask(&mut self, pixels: u32, at_once: bool, ctx: &Context) {
        let wanted = (self.at, pixels);
        let is_there = self.large.as_ref().is_some_and(|(index, width, _)| (*index, *width) == wanted);
        if is_there || self.asked.is_some() {
            return;
        }
        self.asked = Some(wanted);
        let (pages, at) = (self.pages.clone(), self.at);
        self.start("page", at_once, ctx, move |send| {
            let drawn = match pages.get(at).map(|page| picture(page, pixels)) {
                Some(Ok(image)) => Drawn::Large(at, pixels, image),
                Some(Err(trouble)) => Drawn::Trouble(trouble),
                None => return,
            };
            send(drawn);
        });
        if at_once {
            self.poll(ctx);
        }
    }
}

/// A page as a picture.
fn picture(page: &Page, width: u32) -> Result<ColorImage, String> {
    let picture = sheets::page_picture(page, width).map_err(|error| error.to_string())?;
    let size = [picture.width as usize, picture.height as usize];
    Ok(ColorImage::from_rgba_unmultiplied(size, &picture.rgba))
}

/// Paper with its picture, or bare until that is drawn.
fn paint(ui: &Ui, rect: egui::Rect, texture: Option<&TextureHandle>) {
    let palette = Palette::current(ui.ctx());
    ui.painter().rect_filled(rect, 0.0, egui::Color32::WHITE);
    if let Some(texture) = texture {
        let whole = egui::Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(texture.id(), rect, whole, egui::Color32::WHITE);
    }
    ui.painter().rect_stroke(rect, 0.0, egui::Stroke::new(1.0, palette.rule), egui::StrokeKind::Outside);
}

/// A page in words, for a screen reader: what stands on it, no longer than anybody listens.
fn words_of(page: &Page) -> String {
    const MOST: usize = 600;
    let mut words = String::new();
    for mark in &page.marks {
        if let sheets::Mark::Text { text, .. } = mark {
            if words.chars().count() + text.chars().count() > MOST {
                break;
            }
            if !words.is_empty() {
                words.push_str(", ");
            }
            words.push_str(text);
        }
    }
    words
}

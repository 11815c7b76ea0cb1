//! Colours, fonts and widget style: paper and ink in light, slate and pale ink in dark.

use egui::{Color32, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle, Theme, Visuals};

const fn rgb(hex: u32) -> Color32 {
    Color32::from_rgb((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// Every colour the desk uses, for one theme. Fault and look differ in lightness as well as in hue,
/// and pennants differ in shape, so that nothing hangs on colour alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Palette {
    /// The table the floor lies on.
    pub(crate) paper: Color32,
    /// Faint lines of the grid.
    pub(crate) grid: Color32,
    /// The set-out strip's ground.
    pub(crate) strip: Color32,
    /// The job's ground.
    pub(crate) panel: Color32,
    /// Fields and cards.
    pub(crate) card: Color32,
    /// Lines between steps, borders of cards.
    pub(crate) rule: Color32,
    /// Writing and drawn lines.
    pub(crate) ink: Color32,
    /// Lesser writing.
    pub(crate) weak: Color32,
    /// The start line and whatever can be acted on.
    pub(crate) chalk: Color32,
    /// A wash of chalk behind what is selected.
    pub(crate) chalk_wash: Color32,
    /// Faults.
    pub(crate) fault: Color32,
    /// Writing on a fault's pennant.
    pub(crate) on_fault: Color32,
    /// Worth a look.
    pub(crate) look: Color32,
    /// Under the least rip.
    pub(crate) band: Color32,
    /// Bodies of walls.
    pub(crate) wall: Color32,
    /// Faces of walls.
    pub(crate) wall_face: Color32,
    /// Floors that are not boarded.
    pub(crate) other_floor: Color32,
    /// Bare floor of a boarded room, seen in the gaps.
    pub(crate) bare_floor: Color32,
    /// Glazed doors and windows to the floor.
    pub(crate) glazing: Color32,
    /// Fixtures that stand on the floor.
    pub(crate) fixture: Color32,
    /// Low spots and rebates.
    pub(crate) under: Color32,
    /// Joints between boards.
    pub(crate) seam: Color32,
    /// What fills movement joints.
    pub(crate) joint: Color32,
    /// Shades of the boards' lots.
    pub(crate) wood: [Color32; 8],
}

const LIGHT: Palette = Palette {
    paper: rgb(0xf5f0e5),
    grid: rgb(0xe9e2d2),
    strip: rgb(0xfcf9f2),
    panel: rgb(0xefe7d9),
    card: rgb(0xfdfaf4),
    rule: rgb(0xd9cdb9),
    ink: rgb(0x2a2723),
    weak: rgb(0x70675b),
    chalk: rgb(0x2b67b2),
    chalk_wash: Color32::from_rgba_premultiplied(9, 20, 34, 46),
    fault: rgb(0xb2451d),
    on_fault: rgb(0xfff7ef),
    look: rgb(0x7d6414),
    band: rgb(0xf4e7da),
    wall: rgb(0x46423d),
    wall_face: rgb(0x2a2723),
    other_floor: rgb(0xe6eaea),
    bare_floor: rgb(0xd8cfbf),
    glazing: rgb(0xa9c9e0),
    fixture: rgb(0xf2ebdd),
    under: rgb(0x5d7f94),
    seam: rgb(0x7d5a33),
    joint: rgb(0x9c9182),
    wood: [
        rgb(0xd6ae78),
        rgb(0xcda36b),
        rgb(0xdab784),
        rgb(0xc59a62),
        rgb(0xd1a872),
        rgb(0xc89f69),
        rgb(0xdcb680),
        rgb(0xbf945d),
    ],
};

const DARK: Palette = Palette {
    paper: rgb(0x20262b),
    grid: rgb(0x2a3137),
    strip: rgb(0x1b2125),
    panel: rgb(0x282f35),
    card: rgb(0x303840),
    rule: rgb(0x414b53),
    ink: rgb(0xe4e6e1),
    weak: rgb(0x9ba5aa),
    chalk: rgb(0x9ccaf5),
    chalk_wash: Color32::from_rgba_premultiplied(34, 44, 53, 56),
    fault: rgb(0xee8f68),
    on_fault: rgb(0x1d1512),
    look: rgb(0xe0c36a),
    band: rgb(0x372c2a),
    wall: rgb(0x0f1316),
    wall_face: rgb(0xc9cfcd),
    other_floor: rgb(0x39444b),
    bare_floor: rgb(0x2c3338),
    glazing: rgb(0x5f86a0),
    fixture: rgb(0x333b42),
    under: rgb(0x8fb4c8),
    seam: rgb(0x3d2b19),
    joint: rgb(0x59626a),
    wood: [
        rgb(0x9a7a51),
        rgb(0x917148),
        rgb(0xa08058),
        rgb(0x8a6a42),
        rgb(0x95754d),
        rgb(0x8d6e46),
        rgb(0xa38257),
        rgb(0x85663f),
    ],
};

/// Paper with hard contrast: for weak eyes, bad screens and sunlight.
const LIGHT_HARD: Palette = Palette {
    paper: rgb(0xffffff),
    grid: rgb(0xdcdcdc),
    strip: rgb(0xffffff),
    panel: rgb(0xffffff),
    card: rgb(0xffffff),
    rule: rgb(0x5c5c5c),
    ink: rgb(0x000000),
    weak: rgb(0x2e2e2e),
    chalk: rgb(0x0a3f8f),
    fault: rgb(0x8f1f00),
    on_fault: rgb(0xffffff),
    look: rgb(0x4c3b00),
    wall: rgb(0x000000),
    wall_face: rgb(0x000000),
    seam: rgb(0x3a2208),
    ..LIGHT
};

/// Slate with hard contrast.
const DARK_HARD: Palette = Palette {
    paper: rgb(0x000000),
    grid: rgb(0x2c2c2c),
    strip: rgb(0x000000),
    panel: rgb(0x000000),
    card: rgb(0x101010),
    rule: rgb(0xa8a8a8),
    ink: rgb(0xffffff),
    weak: rgb(0xd6d6d6),
    chalk: rgb(0xb8dcff),
    fault: rgb(0xff9d73),
    on_fault: rgb(0x000000),
    look: rgb(0xffdf70),
    wall: rgb(0x4a4a4a),
    wall_face: rgb(0xffffff),
    ..DARK
};

impl Palette {
    /// Boards so far off that they cannot be told apart: the middle of their shades.
    pub(crate) fn wood_from_afar(&self) -> Color32 {
        let count = self.wood.len().max(1) as u32;
        let mean = |part: fn(&Color32) -> u8| {
            (self.wood.iter().map(|wood| u32::from(part(wood))).sum::<u32>() / count) as u8
        };
        Color32::from_rgb(mean(Color32::r), mean(Color32::g), mean(Color32::b))
    }

    /// The colours of a theme, hard or as usual.
    pub(crate) fn of(theme: Theme, hard: bool) -> &'static Self {
        match (theme, hard) {
            (Theme::Light, false) => &LIGHT,
            (Theme::Dark, false) => &DARK,
            (Theme::Light, true) => &LIGHT_HARD,
            (Theme::Dark, true) => &DARK_HARD,
        }
    }

    /// The colours in force.
    pub(crate) fn current(ctx: &egui::Context) -> &'static Self {
        Self::of(ctx.theme(), ctx.data(|data| data.get_temp(hard_id())).unwrap_or(false))
    }

    /// The colours of things as they are in daylight, whatever the table: for the owner's view.
    pub(crate) fn daylight() -> &'static Self {
        &LIGHT
    }
}

fn hard_id() -> egui::Id {
    egui::Id::unique("hard contrast")
}

/// Takes hard contrast, or the usual.
pub(crate) fn set_hard(ctx: &egui::Context, hard: bool) {
    ctx.data_mut(|data| data.insert_temp(hard_id(), hard));
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| set_style(style, theme, hard));
    }
}

/// The family of headings and figures.
pub(crate) fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// Heading and figure font at a size.
pub(crate) fn strong_font(size: f32) -> FontId {
    FontId::new(size, strong())
}

/// Text font at a size.
pub(crate) fn text_font(size: f32) -> FontId {
    FontId::proportional(size)
}

/// Puts fonts and both themes' styles in place.
pub(crate) fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    let faces: [(&str, &'static [u8]); 2] = [
        ("inter", include_bytes!("../../../assets/fonts/Inter-Regular.otf")),
        ("inter-semibold", include_bytes!("../../../assets/fonts/Inter-SemiBold.otf")),
    ];
    for (name, bytes) in faces {
        fonts.font_data.insert(name.into(), FontData::from_static(bytes).into());
    }
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let with =
        |first: &str| std::iter::once(first.to_owned()).chain(fallback.iter().cloned()).collect::<Vec<_>>();
    fonts.families.insert(strong(), with("inter-semibold"));
    fonts.families.insert(FontFamily::Proportional, with("inter"));
    ctx.set_fonts(fonts);

    set_hard(ctx, false);
}

fn set_style(style: &mut egui::Style, theme: Theme, hard: bool) {
    let palette = Palette::of(theme, hard);
    style.text_styles = [
        (TextStyle::Small, text_font(12.0)),
        (TextStyle::Body, text_font(13.5)),
        (TextStyle::Button, text_font(13.5)),
        (TextStyle::Monospace, FontId::monospace(13.0)),
        (TextStyle::Heading, strong_font(17.0)),
    ]
    .into();
    style.spacing.item_spacing = egui::vec2(8.0, 6.0);
    style.spacing.button_padding = egui::vec2(8.0, 3.0);
    style.spacing.interact_size = egui::vec2(28.0, 24.0);
    style.spacing.scroll = egui::style::ScrollStyle::thin();
    style.spacing.menu_width = 260.0;
    style.spacing.window_margin = egui::Margin::same(16);
    style.spacing.menu_margin = egui::Margin::same(7);
    style.animation_time = 0.08;
    style.visuals = visuals(palette, theme);
}

fn visuals(palette: &Palette, theme: Theme) -> Visuals {
    let mut visuals = match theme {
        Theme::Light => Visuals::light(),
        Theme::Dark => Visuals::dark(),
    };
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(palette.weak);
    visuals.hyperlink_color = palette.chalk;
    visuals.faint_bg_color = palette.panel;
    visuals.extreme_bg_color = palette.card;
    visuals.text_edit_bg_color = Some(palette.card);
    visuals.code_bg_color = palette.card;
    visuals.warn_fg_color = palette.look;
    visuals.error_fg_color = palette.fault;
    visuals.window_fill = palette.card;
    visuals.window_stroke = Stroke::new(1.0, palette.rule);
    visuals.panel_fill = palette.panel;
    visuals.selection.bg_fill = palette.chalk.gamma_multiply(if theme == Theme::Light { 0.28 } else { 0.34 });
    visuals.selection.stroke = Stroke::new(1.0, palette.ink);
    visuals.window_shadow =
        egui::Shadow { offset: [0, 3], blur: 14, spread: 0, color: Color32::from_black_alpha(38) };
    visuals.popup_shadow = visuals.window_shadow;
    for (widget, ground, edge, ink) in [
        (&mut visuals.widgets.noninteractive, palette.panel, palette.rule, palette.ink),
        (&mut visuals.widgets.inactive, palette.card, palette.rule, palette.ink),
        (&mut visuals.widgets.hovered, palette.card, palette.chalk, palette.ink),
        (&mut visuals.widgets.active, palette.strip, palette.chalk, palette.chalk),
        (&mut visuals.widgets.open, palette.card, palette.chalk, palette.ink),
    ] {
        widget.bg_fill = ground;
        widget.weak_bg_fill = ground;
        widget.bg_stroke = Stroke::new(1.0, edge);
        widget.fg_stroke = Stroke::new(1.0, ink);
        widget.corner_radius = egui::CornerRadius::same(3);
        widget.expansion = 0.0;
    }
    visuals
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast of two colours as WCAG 2.1 defines it: (lighter + 0.05) / (darker + 0.05) of relative luminances. The
    /// formula is set down from memory.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let part = |value: u8| {
            let value = f64::from(value) / 255.0;
            if value <= 0.03928 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        let luminance = |c: Color32| 0.2126 * part(c.r()) + 0.7152 * part(c.g()) + 0.0722 * part(c.b());
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// WCAG 2.1: 4.5 for writing (1.4.3, level AA), 7 for enhanced contrast (1.4.6, level AAA).
    #[test]
    fn writing_stands_out_from_its_ground() {
        for theme in [Theme::Light, Theme::Dark] {
            for (hard, least) in [(false, 4.5), (true, 7.0)] {
                let palette = Palette::of(theme, hard);
                for ground in [palette.paper, palette.panel, palette.card, palette.strip] {
                    for ink in [palette.ink, palette.weak, palette.chalk, palette.fault, palette.look] {
                        let found = contrast(ink, ground);
                        assert!(found >= least, "{theme:?} {hard} {ink:?} on {ground:?}: {found:.2}");
                    }
                }
                assert!(contrast(palette.on_fault, palette.fault) >= least, "{theme:?} {hard} pennant");
            }
        }
    }
}

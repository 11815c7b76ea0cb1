//! SVG: closed paths and plain shapes, groups as layers.
//!
//! Read are `path`, `polygon`, `polyline`, `rect`, `circle`, `ellipse` and `text` with their own and their groups'
//! transforms. What other elements copy, clip or hide is passed over: a room is drawn plainly.

use crate::guard::unreadable;
use crate::path;
use crate::ring::{Ring, far};
use crate::sketch::{Sketch, Writing};
use crate::{Ask, FileKind, ImportError, Unit, text};
use kurbo::{Affine, BezPath, Point, Shape as _};
use roxmltree::{Document, Node, ParsingOptions};
use std::rc::Rc;
use std::str::FromStr;
use svgtypes::{Length, LengthUnit, PointsParser, Transform, ViewBox};

/// Most elements and texts of a file.
const MOST_NODES: u32 = 1_000_000;
/// Name space of the layer marks that general vector editors write.
const EDITOR: &str = "http://www.inkscape.org/namespaces/inkscape";

/// Reads the outlines of an SVG.
pub(crate) fn sketch(bytes: &[u8], ask: &Ask) -> Result<Sketch, ImportError> {
    let xml = std::str::from_utf8(bytes).map_err(|_| unreadable(FileKind::Svg, "it is not text in UTF-8"))?;
    let options = ParsingOptions { nodes_limit: MOST_NODES, allow_dtd: true, ..ParsingOptions::default() };
    let document =
        Document::parse_with_options(xml, options).map_err(|error| unreadable(FileKind::Svg, error))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        let what = format!("it begins with `{}`", root.tag_name().name());
        return Err(unreadable(FileKind::Svg, what));
    }
    let sized = millimetres(root, ask);
    let scale = sized.unwrap_or(1.0);
    let base = view(root).map_or((0.0, 0.0), |view| (view.x, view.y + view.h));
    // SVG's y runs down, the plan's up.
    let plan_from_user = Affine::new([scale, 0.0, 0.0, -scale, -scale * base.0, scale * base.1]);
    let mut reader = Reader {
        sketch: Sketch { is_sized: sized.is_some(), ..Sketch::default() },
        flatten: ask.flatten,
        count: 0,
    };
    let mut groups = vec![Group::root(plan_from_user)];
    // Step by step instead of by recursion: a file may be nested as deep as it is long.
    let mut next = root.first_child();
    while let Some(node) = next.filter(|_| !reader.sketch.is_spent()) {
        let is_entered = node.is_element() && !reader.is_passed_over(node);
        if is_entered {
            let group = groups.last().map_or_else(|| Group::root(plan_from_user), |group| group.within(node));
            reader.element(node, &group);
            groups.push(group);
        }
        next = node.first_child().filter(|_| is_entered);
        if next.is_none() {
            if is_entered {
                groups.pop();
            }
            next = after(node, root, &mut groups);
        }
    }
    Ok(reader.sketch)
}

/// The node that follows one and all in it; the groups of what ends there are left.
fn after<'a, 'x>(
    mut node: Node<'a, 'x>,
    root: Node<'a, 'x>,
    groups: &mut Vec<Group>,
) -> Option<Node<'a, 'x>> {
    loop {
        if let Some(sibling) = node.next_sibling() {
            return Some(sibling);
        }
        node = node.parent().filter(|parent| *parent != root)?;
        groups.pop();
    }
}

/// Millimetres to a user unit; `None` where neither the file nor the asker tells.
fn millimetres(root: Node<'_, '_>, ask: &Ask) -> Option<f64> {
    if let Some(unit) = ask.unit {
        return Some(unit.millimetres());
    }
    let scale = ask.scale?;
    let width = Length::from_str(root.attribute("width")?).ok()?;
    let paper = match width.unit {
        LengthUnit::Mm => 1.0,
        LengthUnit::Cm => 10.0,
        LengthUnit::In => Unit::Inch.millimetres(),
        LengthUnit::Pt => Unit::Inch.millimetres() / 72.0,
        LengthUnit::Pc => Unit::Inch.millimetres() / 6.0,
        // CSS pixels: 96 to an inch.
        LengthUnit::Px | LengthUnit::None => Unit::Inch.millimetres() / 96.0,
        _ => return None,
    } * width.number;
    let across = view(root).map_or(width.number, |view| view.w);
    let unit = paper / across * scale;
    (unit.is_finite() && unit > 0.0).then_some(unit)
}

fn view(root: Node<'_, '_>) -> Option<ViewBox> {
    let view = ViewBox::from_str(root.attribute("viewBox")?).ok()?;
    [view.x, view.y, view.w, view.h].iter().all(|v| v.is_finite()).then_some(view)
}

/// Where an element stands.
struct Group {
    plan_from_user: Affine,
    layer: Rc<str>,
    /// Whether the layer is one by an editor's own mark, which a plain group within it does not change.
    is_marked: bool,
}

impl Group {
    fn root(plan_from_user: Affine) -> Self {
        Self { plan_from_user, layer: "".into(), is_marked: false }
    }

    /// The group for an element in this one.
    fn within(&self, node: Node<'_, '_>) -> Self {
        let own = node.attribute("transform").and_then(|text| Transform::from_str(text).ok());
        let own = own.map_or(Affine::IDENTITY, |t| Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]));
        let is_layer = node.attribute((EDITOR, "groupmode")) == Some("layer");
        let name = node.attribute((EDITOR, "label")).or_else(|| node.attribute("id"));
        let is_group = node.tag_name().name() == "g" && (is_layer || !self.is_marked);
        let layer = match name.filter(|_| is_group) {
            Some(name) => name.into(),
            None => self.layer.clone(),
        };
        Self { plan_from_user: self.plan_from_user * own, layer, is_marked: self.is_marked || is_layer }
    }
}

struct Reader {
    sketch: Sketch,
    flatten: f64,
    /// Shapes so far.
    count: usize,
}

impl Reader {
    /// Whether an element and all in it is not read; what would have shown is counted.
    fn is_passed_over(&mut self, node: Node<'_, '_>) -> bool {
        match node.tag_name().name() {
            "use" => self.sketch.pass_over("copies by `use`"),
            "image" => self.sketch.pass_over("pictures"),
            "svg" | "switch" | "foreignObject" => self.sketch.pass_over("drawings within the drawing"),
            "defs" | "symbol" | "clipPath" | "mask" | "marker" | "pattern" | "metadata" | "style"
            | "script" => {}
            _ => return is_hidden(node),
        }
        true
    }

    fn element(&mut self, node: Node<'_, '_>, group: &Group) {
        let path = match node.tag_name().name() {
            "path" => path::parsed(node.attribute("d").unwrap_or_default(), self.own_flatten(group)),
            "polygon" => Some(corners(node, true)),
            "polyline" => Some(corners(node, false)),
            "rect" => rect(node),
            "circle" | "ellipse" => round(node, self.own_flatten(group)),
            "line" => return self.sketch.pass_over("lines"),
            "text" => return self.writing(node, group),
            _ => return,
        };
        self.count += 1;
        let kind = node.tag_name().name();
        let mut place = match node.attribute("id") {
            Some(id) => format!("{kind} `{id}`"),
            None => format!("{kind}, shape {}", self.count),
        };
        if !group.layer.is_empty() {
            place = format!("{place} in group {}", group.layer);
        }
        let layer = group.layer.to_string();
        let Some(path) = path else {
            self.sketch.pass_over("shapes that could not be read");
            return;
        };
        let path = group.plan_from_user * path;
        if !path.is_finite() {
            self.sketch.take(Err((layer, far(&place))));
            return;
        }
        let name = named(node);
        for (i, outline) in path::outlines(&path).into_iter().enumerate() {
            let place = if i == 0 { place.clone() } else { format!("{place}, part {}", i + 1) };
            if !outline.is_closed {
                *self.sketch.open.entry(layer.clone()).or_default() += 1;
                continue;
            }
            let ring = path::sides(&outline.segments, self.flatten, &place).map(|sides| Ring {
                place,
                layer: layer.clone(),
                name: name.clone().filter(|_| i == 0),
                sides,
            });
            self.sketch.take(ring.map_err(|fault| (layer.clone(), fault)));
            if self.sketch.is_spent() {
                return;
            }
        }
    }

    /// The tolerance in the element's own unit for arcs that become curves.
    fn own_flatten(&self, group: &Group) -> f64 {
        let stretch = libm::sqrt(group.plan_from_user.determinant().abs());
        let own = self.flatten / 4.0 / stretch;
        if own.is_finite() && own > 0.0 { own } else { self.flatten }
    }

    fn writing(&mut self, node: Node<'_, '_>, group: &Group) {
        let first = |key| number(node.attribute(key).unwrap_or("0").split([' ', ',']).next().unwrap_or("0"));
        let (Some(x), Some(y)) = (first("x"), first("y")) else { return };
        let words: String = node.descendants().filter(Node::is_text).filter_map(|node| node.text()).collect();
        let at = group.plan_from_user * Point::new(x, y);
        if at.is_finite() && !words.trim().is_empty() {
            let text = words.chars().take(1000).collect();
            self.sketch.writing.push(Writing { layer: group.layer.to_string(), at, text });
        }
    }
}

/// Whether an element is not to be seen.
fn is_hidden(node: Node<'_, '_>) -> bool {
    let style = node.attribute("style").unwrap_or_default();
    let declared = |key: &str| {
        let of_style = style.split(';').filter_map(|part| part.split_once(':'));
        let styled =
            of_style.filter(|(name, _)| name.trim() == key).map(|(_, value)| value.trim()).next_back();
        styled.or_else(|| node.attribute(key).map(str::trim))
    };
    declared("display") == Some("none") || declared("visibility") == Some("hidden")
}

/// The name a person gave an element: its label, its title, or an id that is no editor's number.
fn named(node: Node<'_, '_>) -> Option<String> {
    let title =
        || node.children().find(|child| child.tag_name().name() == "title").and_then(|title| title.text());
    let id = || node.attribute("id").filter(|id| !is_numbered(id));
    let words = node.attribute((EDITOR, "label")).or_else(title).or_else(id)?;
    text::name(words).filter(|name| text::is_name(name))
}

/// `path1234`, `rect-7`, `polygon`: an id that some editor counted up.
fn is_numbered(id: &str) -> bool {
    let stem = id.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '-' | '_'));
    matches!(
        stem,
        "path" | "rect" | "polygon" | "polyline" | "circle" | "ellipse" | "shape" | "g" | "use" | ""
    )
}

/// A plain number within the range that is read.
fn number(text: &str) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    matches!(length.unit, LengthUnit::None | LengthUnit::Px)
        .then_some(length.number)
        .filter(|number| number.abs() <= crate::limits::FARTHEST)
}

fn attribute(node: Node<'_, '_>, key: &str) -> Option<f64> {
    number(node.attribute(key).unwrap_or("0"))
}

fn corners(node: Node<'_, '_>, is_closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (x, y) in PointsParser::from(node.attribute("points").unwrap_or_default()) {
        match path.elements().is_empty() {
            true => path.move_to((x, y)),
            false => path.line_to((x, y)),
        }
    }
    if is_closed && !path.elements().is_empty() {
        path.close_path();
    }
    path
}

fn rect(node: Node<'_, '_>) -> Option<BezPath> {
    let (x, y) = (attribute(node, "x")?, attribute(node, "y")?);
    let (w, h) = (attribute(node, "width")?, attribute(node, "height")?);
    Some(kurbo::Rect::new(x, y, x + w, y + h).to_path(1.0))
}

fn round(node: Node<'_, '_>, flatten: f64) -> Option<BezPath> {
    let centre = (attribute(node, "cx")?, attribute(node, "cy")?);
    let radii = match node.attribute("r") {
        Some(_) => (attribute(node, "r")?, attribute(node, "r")?),
        None => (attribute(node, "rx")?, attribute(node, "ry")?),
    };
    Some(kurbo::Ellipse::new(centre, radii, 0.0).to_path(flatten))
}

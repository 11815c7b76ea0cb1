//! Finds the line of a plan file at which a place of the plan stands, and the place at a line.
//!
//! The file is scanned for brackets, keys and commas only, so that a file edited by hand (other
//! order, comments, everything on one line) and a broken one can be searched alike.

use crate::Place;
use std::ops::Range;

/// Values nested deeper than this are not told apart; the plan's own values end well above it.
const DEPTH: usize = 12;

/// One value of the file: an entry of a list or a field with its key.
#[derive(Debug, Default)]
struct Item {
    key: Option<Range<usize>>,
    start: usize,
    end: usize,
    bracket: u8,
    items: Vec<Item>,
}

/// The values of a plan file with where each stands.
#[derive(Debug)]
pub(crate) struct Outline<'a> {
    text: &'a str,
    plan: Option<Item>,
}

enum Step {
    Key(&'static str),
    Index(usize),
}

impl<'a> Outline<'a> {
    /// Scans the text. Never fails: what cannot be made out is left out.
    pub(crate) fn new(text: &'a str) -> Self {
        // An attribute such as `#![enable(...)]` comes before the plan; it has a square bracket.
        let plan = scan(text).into_iter().find(|item| item.bracket == b'(');
        Self { text, plan }
    }

    /// Whether there is a plan at all: something in round brackets.
    pub(crate) fn has_plan(&self) -> bool {
        self.plan.is_some()
    }

    /// The text of a field of the plan and its line.
    pub(crate) fn field(&self, key: &'static str) -> Option<(&'a str, usize)> {
        let item = self.child(self.plan.as_ref()?, &Step::Key(key))?;
        Some((self.value(item), line_at(self.text, item.start)))
    }

    /// The line, from 1, at which a place stands; that of what holds it where it is not written.
    pub(crate) fn line_of(&self, place: &Place) -> usize {
        use Step::{Index, Key};
        let steps = match *place {
            Place::Plan(field) => vec![Key(field)],
            Place::Stock(field) => vec![Key("stock"), Key(field)],
            Place::Rules(field) => vec![Key("rules"), Key(field)],
            Place::Slab(field) => vec![Key("slab"), Key(field)],
            Place::Materials(field) => vec![Key("materials"), Key(field)],
            Place::Stage(stage) => vec![Key("stages"), Index(stage)],
            Place::Waits(field) => vec![Key("waits"), Key(field)],
            Place::Room(room) => vec![Key("rooms"), Index(room)],
            Place::Wall(room, wall) => vec![Key("rooms"), Index(room), Key("walls"), Index(wall)],
            Place::Doorway(doorway) => vec![Key("doorways"), Index(doorway)],
            Place::Fixture(fixture) => vec![Key("fixtures"), Index(fixture)],
            Place::Joint(joint) => vec![Key("joints"), Index(joint)],
            Place::Dimension(dimension) => vec![Key("dimensions"), Index(dimension)],
        };
        let Some(mut item) = self.plan.as_ref() else { return 1 };
        for step in &steps {
            match self.child(item, step) {
                Some(child) => item = child,
                None => break,
            }
        }
        line_at(self.text, item.start)
    }

    /// The word that ends at a line and column (from 1, in characters), blanks between them passed over; empty where there
    /// is none.
    pub(crate) fn word_before(&self, line: usize, column: usize) -> &'a str {
        let offset = offset_of(self.text, line, column);
        let before = self.text.get(..offset).unwrap_or_default().trim_end();
        let rest = before.trim_end_matches(|sign: char| sign.is_alphanumeric() || sign == '_');
        &before[rest.len()..]
    }

    /// The place in words at a line and column (from 1, in characters), and the innermost value in
    /// round brackets that holds it, in words and with the line at which it starts.
    pub(crate) fn place_at(&self, line: usize, column: usize) -> (String, (String, usize)) {
        let offset = offset_of(self.text, line, column);
        let Some(plan) = &self.plan else { return (String::new(), (String::new(), line)) };
        let mut words: Vec<String> = Vec::new();
        let (mut item, mut holder, mut list) = (plan, (String::new(), plan.start), "");
        while let Some((index, child)) =
            item.items.iter().enumerate().find(|(_, c)| c.start <= offset && offset <= c.end)
        {
            let key = child.key.clone().map_or("", |key| &self.text[key]);
            match (item.bracket, list) {
                (b'[', "rooms") => words = vec![self.name_or(child, "room", index)],
                (b'[', "doorways") => words = vec![self.name_or(child, "doorway", index)],
                (b'[', "fixtures") => words = vec![self.name_or(child, "fixture", index)],
                (b'[', "stages") => words = vec![self.name_or(child, "stage", index)],
                (b'[', "joints") => words = vec![self.name_or(child, "movement joint", index)],
                (b'[', "dimensions") => words = vec![format!("dimension {}", index + 1)],
                (b'[', "walls") => words.push(format!("wall {}", index + 1)),
                (b'[', "outline") => words.push(format!("point {}", index + 1)),
                (b'[', _) => words.push(format!("entry {}", index + 1)),
                (_, _)
                    if matches!(
                        key,
                        "" | "rooms" | "doorways" | "fixtures" | "joints" | "walls" | "stages" | "dimensions"
                    ) => {}
                (_, _) => words.push(key.replace('_', " ")),
            }
            if child.bracket == b'(' {
                // In words now: a list of rooms where none belongs begins the words anew.
                holder = (words.join(", "), child.start);
            }
            if !key.is_empty() {
                list = key;
            }
            item = child;
        }
        (words.join(", "), (holder.0, line_at(self.text, holder.1)))
    }

    /// Whether nothing more stands in the text from a line and column on.
    pub(crate) fn is_end(&self, line: usize, column: usize) -> bool {
        self.text[offset_of(self.text, line, column)..].trim().is_empty()
    }

    fn child<'b>(&self, item: &'b Item, step: &Step) -> Option<&'b Item> {
        match *step {
            Step::Index(index) => item.items.get(index),
            Step::Key(key) => {
                item.items.iter().find(|child| child.key.clone().is_some_and(|k| &self.text[k] == key))
            }
        }
    }

    fn value(&self, item: &Item) -> &'a str {
        let whole = &self.text[item.start..item.end];
        match item.key {
            Some(_) => whole.split_once(':').map_or("", |(_, value)| value.trim()),
            None => whole,
        }
    }

    fn name_or(&self, item: &Item, kind: &str, index: usize) -> String {
        let quoted = self.child(item, &Step::Key("name")).map_or("", |name| self.value(name));
        let name = match (quoted.find('"'), quoted.rfind('"')) {
            (Some(from), Some(to)) if from < to => &quoted[from + 1..to],
            _ => "",
        };
        if name.is_empty() { format!("{kind} {}", index + 1) } else { name.to_owned() }
    }
}

fn line_at(text: &str, offset: usize) -> usize {
    1 + text.bytes().take(offset).filter(|&byte| byte == b'\n').count()
}

fn offset_of(text: &str, line: usize, column: usize) -> usize {
    let start = match line {
        0 | 1 => 0,
        _ => text.match_indices('\n').nth(line - 2).map_or(text.len(), |(at, _)| at + 1),
    };
    text[start..].char_indices().nth(column.saturating_sub(1)).map_or(text.len(), |(at, _)| start + at)
}

/// An open bracket with the values found in it so far.
#[derive(Default)]
struct Open {
    items: Vec<Item>,
    current: Option<Item>,
}

impl Open {
    fn item(&mut self, start: usize) -> &mut Item {
        self.current.get_or_insert_with(|| Item { start, end: start, ..Item::default() })
    }

    fn finish(mut self) -> Vec<Item> {
        self.items.extend(self.current);
        self.items
    }
}

fn scan(text: &str) -> Vec<Item> {
    let bytes = text.as_bytes();
    let mut outer: Vec<Open> = Vec::new();
    let mut open = Open::default();
    let mut deeper = 0_usize;
    let mut word = 0..0;
    let mut at = 0;
    while at < bytes.len() {
        let end = token_end(bytes, at);
        match bytes[at] {
            byte if byte.is_ascii_whitespace() => {}
            b'/' if matches!(bytes.get(at + 1), Some(b'/' | b'*')) => {}
            b'(' | b'[' | b'{' => {
                let item = open.item(at);
                item.end = end;
                if outer.len() < DEPTH {
                    item.bracket = bytes[at];
                    outer.push(std::mem::take(&mut open));
                } else {
                    deeper += 1;
                }
            }
            b')' | b']' | b'}' if deeper > 0 => deeper -= 1,
            b')' | b']' | b'}' => {
                if let Some(holder) = outer.pop() {
                    let items = std::mem::replace(&mut open, holder).finish();
                    let item = open.item(at);
                    item.items.extend(items);
                    item.end = end;
                    if outer.is_empty() {
                        // Nothing separates an attribute from the plan that follows it.
                        open.items.extend(open.current.take());
                    }
                }
            }
            _ if deeper > 0 => {}
            b',' => open.items.extend(open.current.take()),
            b':' => {
                let item = open.item(at);
                if item.key.is_none() {
                    item.key = Some(word.clone());
                }
                item.end = end;
            }
            _ => {
                word = at..end;
                open.item(at).end = end;
            }
        }
        at = end;
    }
    // A file that breaks off: what is open ends where the text does.
    while let Some(holder) = outer.pop() {
        let items = std::mem::replace(&mut open, holder).finish();
        let item = open.item(text.len());
        item.items.extend(items);
        item.end = text.len();
    }
    open.finish()
}

/// End of the token that starts at `at`: a run of white space, a comment, a string, a word or one sign.
fn token_end(bytes: &[u8], at: usize) -> usize {
    let run = |from: usize, test: fn(u8) -> bool| {
        from + bytes[from..].iter().take_while(|&&byte| test(byte)).count()
    };
    let is_word =
        |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'.' | b'+' | b'-') || byte > 127;
    match bytes[at] {
        byte if byte.is_ascii_whitespace() => run(at, |byte| byte.is_ascii_whitespace()),
        b'/' if bytes.get(at + 1) == Some(&b'/') => run(at, |byte| byte != b'\n'),
        b'/' if bytes.get(at + 1) == Some(&b'*') => comment_end(bytes, at + 2),
        b'"' => string_end(bytes, at + 1),
        b'\'' => char_end(bytes, at),
        b'r' | b'b' if raw_string_end(bytes, at).is_some() => raw_string_end(bytes, at).unwrap_or(at + 1),
        byte if is_word(byte) => run(at, is_word),
        _ => at + 1,
    }
}

/// Block comments nest.
fn comment_end(bytes: &[u8], mut at: usize) -> usize {
    let mut depth = 1;
    while depth > 0 && at < bytes.len() {
        match &bytes[at..bytes.len().min(at + 2)] {
            b"/*" => (depth, at) = (depth + 1, at + 2),
            b"*/" => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
    }
    at.min(bytes.len())
}

fn string_end(bytes: &[u8], mut at: usize) -> usize {
    while at < bytes.len() {
        match bytes[at] {
            b'"' => return at + 1,
            b'\\' => at += 2,
            _ => at += 1,
        }
    }
    bytes.len()
}

fn char_end(bytes: &[u8], at: usize) -> usize {
    let from = if bytes.get(at + 1) == Some(&b'\\') { at + 3 } else { at + 2 };
    match bytes.iter().skip(from).take(4).position(|&byte| byte == b'\'') {
        Some(more) => from + more + 1,
        None => at + 1,
    }
}

fn raw_string_end(bytes: &[u8], at: usize) -> Option<usize> {
    let mut from = at + usize::from(bytes[at] == b'b');
    if bytes.get(from) != Some(&b'r') {
        return None;
    }
    from += 1;
    let hashes = bytes[from..].iter().take_while(|&&byte| byte == b'#').count();
    from += hashes;
    if bytes.get(from) != Some(&b'"') {
        return None;
    }
    from += 1;
    let closes = |quote: &usize| {
        bytes[*quote] == b'"' && bytes[quote + 1..].iter().take_while(|&&byte| byte == b'#').count() >= hashes
    };
    Some((from..bytes.len()).find(closes).map_or(bytes.len(), |quote| quote + 1 + hashes))
}

#[cfg(test)]
mod tests {
    use super::*;

    const BY_HAND: &str = r##"#![enable(implicit_some)]
// a comment with ( and "
Plan(
    format: 1, name: "Shed (old)", /* stock: ( /* nested */ */
    stock: (kerf: 3.0,
        tongue: 6.0),
    fixtures: [
        (name: r#"a "stone"" ("#, kind: Island,
         outline: [(0, 0), (1, 0), (1, 1)]),
        (name: "Post",
         outline: []),
    ],
    rooms: [
        (name: "Hall", walls: [(corner: (0, 0)),
            (corner: (9, 0), bow: [(along: 1, back: 2)]),
        ]),
        (walls: [
            (corner: (1, 1)),
        ]),
    ],
)"##;

    #[test]
    fn finds_lines_in_a_file_edited_by_hand() {
        let outline = Outline::new(BY_HAND);
        let lines = [
            (Place::Plan("name"), 4),
            (Place::Stock("kerf"), 5),
            (Place::Stock("tongue"), 6),
            (Place::Fixture(0), 8),
            (Place::Fixture(1), 10),
            (Place::Room(0), 14),
            (Place::Wall(0, 0), 14),
            (Place::Wall(0, 1), 15),
            (Place::Room(1), 17),
            (Place::Wall(1, 0), 18),
        ];
        for (place, line) in lines {
            assert_eq!(outline.line_of(&place), line, "{place:?}");
        }
        assert_eq!(outline.field("format"), Some(("1", 4)));
    }

    #[test]
    fn a_place_that_is_not_written_is_found_at_what_holds_it() {
        let outline = Outline::new(BY_HAND);
        assert_eq!(outline.line_of(&Place::Stock("price")), 5);
        assert_eq!(outline.line_of(&Place::Wall(1, 7)), 17);
        assert_eq!(outline.line_of(&Place::Rules("least_rip")), 3);
    }

    #[test]
    fn names_the_place_at_a_line() {
        let outline = Outline::new(BY_HAND);
        assert_eq!(
            outline.place_at(15, 20),
            ("Hall, wall 2, corner".into(), ("Hall, wall 2, corner".into(), 15))
        );
        assert_eq!(outline.place_at(18, 15).0, "room 2, wall 1, corner");
        assert_eq!(outline.place_at(9, 38).0, "a \"stone\"\" (, outline, point 3");
        assert_eq!(outline.place_at(5, 14).0, "stock, kerf");
    }

    #[test]
    fn broken_and_hostile_text_is_scanned_without_harm() {
        let deep = "(".repeat(1_000_000);
        for text in
            ["", ")", "(((", "\"", "'", "r#\"", "/*", "(a:(b:[", "(a:,,:,)", "é(ü: 'é', ", deep.as_str()]
        {
            let outline = Outline::new(text);
            assert!(outline.line_of(&Place::Wall(3, 4)) >= 1);
            assert_eq!(outline.place_at(1, 1).1.1, 1);
            assert!(outline.place_at(99, 99).1.1 >= 1);
        }
    }
}

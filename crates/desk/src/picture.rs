//! The picture under the plan: read on a thread of its own, shown as a texture, told when it is missing or changed.

mod decode;

use decode::{MOST_SIDE, decode};
use egui::{ColorImage, Context, TextureHandle, TextureOptions};
use plan::{Backdrop, Plan};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// Longest picture file, bytes.
const GREATEST_FILE: u64 = 64 << 20;

/// A picture read from its file.
#[derive(Clone)]
pub(crate) struct Shown {
    /// Its own size.
    pub(crate) pixels: (u32, u32),
    /// A mark of its bytes.
    pub(crate) mark: String,
    image: ColorImage,
}

/// Why a picture cannot be shown, and what would mend it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Trouble {
    pub(crate) what: String,
    pub(crate) mend: String,
}

impl Trouble {
    fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into() }
    }

    fn of_file(path: &Path, error: &std::io::Error) -> Self {
        let name = path.display();
        match error.kind() {
            std::io::ErrorKind::NotFound => {
                Self::new(format!("there is no {name}"), "put it back, or choose the picture again")
            }
            _ => Self::new(format!("{name} cannot be read: {error}"), "check that you may read it"),
        }
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}; {}", self.what, self.mend)
    }
}

/// Reads a picture.
pub(crate) fn read(path: &Path) -> Result<Shown, Trouble> {
    let name = path.display();
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(|error| Trouble::of_file(path, &error))?;
    file.take(GREATEST_FILE + 1).read_to_end(&mut bytes).map_err(|error| Trouble::of_file(path, &error))?;
    if bytes.len() as u64 > GREATEST_FILE {
        return Err(Trouble::new(format!("{name} has more than {GREATEST_FILE} bytes"), "save it smaller"));
    }
    let decoded = decode(&bytes).map_err(|error| {
        Trouble::new(
            format!("{name} cannot be read as a picture: {error}"),
            format!("save it as PNG or JPEG, no larger than {MOST_SIDE} pixels to a side"),
        )
    })?;
    let size = [decoded.shown.width() as usize, decoded.shown.height() as usize];
    let image = ColorImage::from_rgba_unmultiplied(size, decoded.shown.as_raw());
    Ok(Shown { pixels: decoded.pixels, mark: sheets::mark(&bytes), image })
}

/// Where a backdrop's picture is: beside the plan's file unless its path is whole.
pub(crate) fn place(file: &str, plan_path: Option<&Path>) -> PathBuf {
    let file = Path::new(file);
    match plan_path.and_then(Path::parent) {
        Some(folder) if file.is_relative() => folder.join(file),
        _ => file.to_owned(),
    }
}

/// The path to note for a picture: from the plan's folder where it lies in it, else whole.
pub(crate) fn noted(picture: &Path, plan_path: Option<&Path>) -> String {
    let whole = std::path::absolute(picture).unwrap_or_else(|_| picture.to_owned());
    let folder = plan_path.and_then(|path| std::path::absolute(path).ok());
    let folder = folder.as_deref().and_then(Path::parent);
    let noted = folder.and_then(|folder| whole.strip_prefix(folder).ok()).unwrap_or(&whole);
    // One sign between folders on every system.
    noted.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/")
}

/// The picture that is shown.
#[derive(Default)]
pub(crate) struct Picture {
    /// The file it is of.
    path: Option<PathBuf>,
    under_way: Option<Receiver<Result<Shown, Trouble>>>,
    texture: Option<TextureHandle>,
    pixels: (u32, u32),
    mark: String,
    trouble: Option<Trouble>,
}

impl Picture {
    /// Keeps to the plan's backdrop: a picture of another file is read anew.
    pub(crate) fn follow(&mut self, plan: &Plan, plan_path: Option<&Path>, at_once: bool, ctx: &Context) {
        let wanted = plan.backdrop.as_ref().map(|backdrop| place(&backdrop.file, plan_path));
        if wanted != self.path {
            *self = Self { path: wanted, ..Self::default() };
            self.again(at_once, ctx);
        }
        self.poll(ctx);
    }

    /// Shows a picture that was just read.
    pub(crate) fn put(&mut self, path: PathBuf, read: Shown, ctx: &Context) {
        *self = Self { path: Some(path), ..Self::default() };
        self.take(Ok(read), ctx);
    }

    /// Reads the file again.
    pub(crate) fn again(&mut self, at_once: bool, ctx: &Context) {
        let Some(path) = self.path.clone() else { return };
        self.trouble = None;
        if at_once {
            self.take(read(&path), ctx);
            return;
        }
        let (sender, receiver) = channel();
        let their_ctx = ctx.clone();
        let spawned = std::thread::Builder::new().name("picture".into()).spawn(move || {
            let _ = sender.send(read(&path));
            their_ctx.request_repaint();
        });
        match spawned {
            Ok(_) => self.under_way = Some(receiver),
            Err(error) => {
                self.trouble =
                    Some(Trouble::new(format!("the picture could not be read: {error}"), "try again"));
            }
        }
    }

    fn poll(&mut self, ctx: &Context) {
        let Some(receiver) = &self.under_way else { return };
        let read = match receiver.try_recv() {
            Ok(read) => read,
            Err(TryRecvError::Disconnected) => {
                Err(Trouble::new("the picture could not be read", "save it anew as PNG"))
            }
            Err(TryRecvError::Empty) => return,
        };
        self.under_way = None;
        self.take(read, ctx);
    }

    fn take(&mut self, read: Result<Shown, Trouble>, ctx: &Context) {
        match read {
            Ok(read) => {
                self.texture = Some(ctx.load_texture("backdrop", read.image, TextureOptions::LINEAR));
                (self.pixels, self.mark) = (read.pixels, read.mark);
            }
            Err(trouble) => {
                self.texture = None;
                self.trouble = Some(trouble);
            }
        }
    }

    /// The texture, while there is one.
    pub(crate) fn texture(&self) -> Option<&TextureHandle> {
        self.texture.as_ref()
    }

    /// What is wrong with the picture of this backdrop, and what would mend it; nothing in the plan is lost by it.
    pub(crate) fn trouble(&self, backdrop: &Backdrop) -> Option<Trouble> {
        if self.trouble.is_some() || self.texture.is_none() {
            return self.trouble.clone();
        }
        let (w, h) = self.pixels;
        if self.pixels != backdrop.pixels {
            let (before_w, before_h) = backdrop.pixels;
            let what = format!(
                "the picture has {w} × {h} pixels now, {before_w} × {before_h} when it was set to scale"
            );
            return Some(Trouble::new(what, "set it to scale anew"));
        }
        let is_changed = !backdrop.mark.is_empty() && backdrop.mark != self.mark;
        is_changed.then(|| {
            Trouble::new(
                "the picture has changed since it was set to scale",
                "check a length you know, and take it as it is now",
            )
        })
    }

    /// Size and mark of what is shown, for noting that it is taken as it is.
    pub(crate) fn as_it_is(&self) -> Option<((u32, u32), String)> {
        self.texture.as_ref().map(|_| (self.pixels, self.mark.clone()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_noted_from_the_plans_folder() {
        let folder = tempfile::tempdir().expect("a folder");
        let plan = folder.path().join("house.ron");
        let inside = folder.path().join("scans").join("ground.png");
        assert_eq!(noted(&inside, Some(&plan)), "scans/ground.png");
        assert_eq!(place("scans/ground.png", Some(&plan)), inside);
        let outside = std::env::temp_dir().join("elsewhere.png");
        assert!(Path::new(&noted(&outside, Some(&plan))).is_absolute());
        assert_eq!(place(&noted(&outside, Some(&plan)), Some(&plan)), outside);
        assert!(Path::new(&noted(&inside, None)).is_absolute());
    }

    #[test]
    fn what_is_no_picture_is_told() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("scan.png");
        let said = read(&path).err().expect("missing").to_string();
        assert!(said.starts_with("there is no ") && said.contains("choose the picture again"), "{said}");
        std::fs::write(&path, b"no picture").expect("written");
        assert!(read(&path).err().expect("no picture").mend.contains("save it as PNG or JPEG"));
        // A PNG's head that claims a hundred thousand pixels to a side.
        let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        bytes.extend([0, 1, 0x86, 0xA0, 0, 1, 0x86, 0xA0, 8, 2, 0, 0, 0, 0, 0, 0, 0]);
        std::fs::write(&path, bytes).expect("written");
        assert!(read(&path).is_err());
    }
}

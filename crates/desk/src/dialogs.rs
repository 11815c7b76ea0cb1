//! The system's file dialogs, waited for off the window's thread.

use rfd::AsyncFileDialog;
use std::future::Future;
use std::path::{Path, PathBuf};
use std::pin::pin;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::task::{Context, Poll, Wake, Waker};
use std::thread::Thread;

/// What a dialog was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    Open,
    Save,
    SheetsFolder,
    Outlines,
    Picture,
}

/// At most one dialog at a time.
#[derive(Default)]
pub(crate) struct Dialogs {
    waiting: Option<(Purpose, Receiver<Option<PathBuf>>)>,
}

impl Dialogs {
    /// Shows a dialog, unless one is up.
    pub(crate) fn ask(&mut self, purpose: Purpose, near: Option<&Path>, name: &str, ctx: &egui::Context) {
        if self.waiting.is_some() {
            return;
        }
        let mut dialog = AsyncFileDialog::new();
        if let Some(folder) = near.and_then(Path::parent).filter(|folder| folder.is_dir()) {
            dialog = dialog.set_directory(folder);
        }
        // The dialog must be made on the window's thread; only the waiting happens elsewhere.
        let (sender, receiver) = channel();
        let ctx = ctx.clone();
        let spawned = match purpose {
            Purpose::Open => {
                let chosen =
                    dialog.set_title("Open a plan").add_filter("Startrow plan", &["ron"]).pick_file();
                wait(async move { chosen.await.map(|file| file.path().to_owned()) }, sender, ctx)
            }
            Purpose::Save => {
                let dialog = dialog.set_title("Save the plan").add_filter("Startrow plan", &["ron"]);
                let chosen = dialog.set_file_name(format!("{name}.ron")).save_file();
                wait(async move { chosen.await.map(|file| file.path().to_owned()) }, sender, ctx)
            }
            Purpose::Outlines => {
                let dialog = dialog.set_title("Bring in outlines from a drawing");
                let chosen = dialog.add_filter("Drawing", &["dxf", "svg", "geojson", "json"]).pick_file();
                wait(async move { chosen.await.map(|file| file.path().to_owned()) }, sender, ctx)
            }
            Purpose::Picture => {
                let dialog = dialog.set_title("Lay a picture under the plan");
                let chosen = dialog.add_filter("Picture", &["png", "jpg", "jpeg"]).pick_file();
                wait(async move { chosen.await.map(|file| file.path().to_owned()) }, sender, ctx)
            }
            Purpose::SheetsFolder => {
                let chosen = dialog.set_title("Folder for the sheets").pick_folder();
                wait(async move { chosen.await.map(|file| file.path().to_owned()) }, sender, ctx)
            }
        };
        if spawned {
            self.waiting = Some((purpose, receiver));
        }
    }

    /// What a dialog gave, once it has: the path, or `None` if it was left.
    pub(crate) fn poll(&mut self) -> Option<(Purpose, Option<PathBuf>)> {
        use std::sync::mpsc::TryRecvError;
        let (purpose, receiver) = self.waiting.as_ref()?;
        let answer = match receiver.try_recv() {
            Ok(path) => (*purpose, path),
            Err(TryRecvError::Disconnected) => (*purpose, None),
            Err(TryRecvError::Empty) => return None,
        };
        self.waiting = None;
        Some(answer)
    }
}

fn wait(
    answer: impl Future<Output = Option<PathBuf>> + Send + 'static,
    sender: std::sync::mpsc::Sender<Option<PathBuf>>,
    ctx: egui::Context,
) -> bool {
    std::thread::Builder::new()
        .name("file dialog".into())
        .spawn(move || {
            let _ = sender.send(block_on(answer));
            ctx.request_repaint();
        })
        .is_ok()
}

struct Unpark(Thread);

impl Wake for Unpark {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

/// Waits for a future on this thread.
fn block_on<T>(future: impl Future<Output = T>) -> T {
    let mut future = pin!(future);
    let waker = Waker::from(Arc::new(Unpark(std::thread::current())));
    let mut context = Context::from_waker(&waker);
    loop {
        match future.as_mut().poll(&mut context) {
            Poll::Ready(value) => return value,
            Poll::Pending => std::thread::park(),
        }
    }
}

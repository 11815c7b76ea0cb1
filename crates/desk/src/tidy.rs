//! Letting go of what is large: a floor of many thousand boards takes longer to be freed than a frame may, so that a thread
//! of its own does it.

use std::any::Any;
use std::sync::OnceLock;
use std::sync::mpsc::{Sender, channel};

type Left = Box<dyn Any + Send>;

/// Frees something on the thread that is there for it, or here where no thread can be had.
pub(crate) fn let_go(what: impl Send + 'static) {
    static TIDIER: OnceLock<Option<Sender<Left>>> = OnceLock::new();
    let tidier = TIDIER.get_or_init(|| {
        let (sender, left) = channel::<Left>();
        let free = move || left.into_iter().for_each(drop);
        std::thread::Builder::new().name("tidying".into()).spawn(free).ok().map(|_| sender)
    });
    if let Some(sender) = tidier {
        // Where that thread is gone, what comes back is freed here.
        drop(sender.send(Box::new(what)));
    }
}

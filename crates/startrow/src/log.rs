//! The log: off unless it is asked for, on standard error alone.

use tracing_subscriber::filter::LevelFilter;

/// Turns the log on where `STARTROW_LOG` names how much: `error`, `warn`, `info`, `debug` or `trace`.
pub(crate) fn install() {
    let Some(level) = std::env::var("STARTROW_LOG").ok().and_then(|level| level.parse::<LevelFilter>().ok())
    else {
        return;
    };
    // A second one cannot be set, and none other is.
    let _ = tracing_subscriber::fmt()
        .with_max_level(level)
        .with_writer(std::io::stderr)
        .with_ansi(false)
        .try_init();
}

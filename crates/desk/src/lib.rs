//! The drawing table: canvas, set-out strip and the job in order.

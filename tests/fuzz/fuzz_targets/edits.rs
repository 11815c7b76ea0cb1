//! Any bytes as edits of a plan, with gestures kept and dropped, undo and redo, on the desk's own document. What is
//! refused leaves the plan as it was; after every step that changed it the plan can be written and read; undo leads
//! back to the first plan and redo to the last.
#![no_main]
#![allow(dead_code)]

#[path = "../../../crates/desk/src/document.rs"]
mod document;
mod hand;

use document::Document;
use hand::{Hand, STARTS, change};
use plan::Plan;
use std::sync::Arc;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let hand = &mut Hand(bytes);
    let start = &STARTS[hand.byte() % 3];
    let mut document = Document::new(start.clone(), None);
    while !hand.0.is_empty() {
        let before = document.plan().clone();
        match hand.byte() % 12 {
            0 => drop(document.undo()),
            1 => drop(document.redo()),
            2 => document.begin("drag"),
            3 => document.keep(),
            4 => document.drop_gesture(),
            which => {
                let mut changed = Plan::clone(&before);
                if let Err(problem) = change(&mut changed, hand) {
                    assert_eq!(changed, *before, "refused, and changed all the same: {problem:?}");
                } else if which < 7 {
                    document.live(changed);
                } else {
                    let done = document.edit("change", |plan| {
                        *plan = changed;
                        Ok(())
                    });
                    assert_eq!(done, Ok(()));
                }
            }
        }
        let plan = document.plan();
        if !Arc::ptr_eq(plan, &before) {
            assert_eq!(plan::read_unchecked(&plan::write(plan)).as_ref(), Ok(&**plan));
            let _ = plan.problems();
        }
    }
    document.keep();
    let last = document.plan().clone();
    let steps = std::iter::from_fn(|| document.undo()).count();
    assert_eq!(**document.plan(), *start, "undone");
    for _ in 0..steps {
        document.redo();
    }
    assert_eq!(**document.plan(), *last, "done again");
});

//! End-to-end and property tests on the whole of Startrow.

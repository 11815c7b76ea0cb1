//! Files read back.

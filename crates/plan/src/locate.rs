//! Finds the line of a plan file at which a place of the plan stands.

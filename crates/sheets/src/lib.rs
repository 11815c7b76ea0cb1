//! Paper and files: PDF, SVG and PNG from the one drawing.

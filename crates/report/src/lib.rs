//! A small document model, its rendering to text and HTML, and SVG plots.

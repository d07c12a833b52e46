//! Parts that screens are made of.

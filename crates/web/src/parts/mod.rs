//! Parts that screens are made of.

pub mod about;
pub mod act;
pub mod blocks;
pub mod dom;
pub mod field;
pub mod figure;
pub mod frame;
pub mod icon;
pub mod keys;
pub mod mark;
pub mod ring;
pub mod sheet;
pub mod undo;

//! The shop's server: takes what the phones recorded, once, complete, and shows the owner what is due.

//! The use cases: one function for each question a screen can ask; plain data in and out.

//! The whole way in a real browser: phone, server, and the way between.

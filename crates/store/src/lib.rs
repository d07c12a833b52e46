//! The shop's store: events, pictures, people and devices; SQLite and PostgreSQL behind one trait.

//! The append-only log of a job: events, merging, sync messages.

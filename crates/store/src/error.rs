//! What can go wrong, in sentences a person can act on.

use std::fmt;
use uuid::Uuid;

/// The result of a call of the store.
pub type Result<T> = std::result::Result<T, Error>;

/// Why an object of a request is no event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventFault {
    /// It lacks what every event has, or has it in another shape.
    Shape,
    /// Its line is longer than the limit.
    TooLong {
        /// Its length in bytes.
        bytes: usize,
    },
}

/// An object of a request that is no event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAnEvent {
    /// Its place in the request, from 0.
    pub index: usize,
    /// Its id, where it has a readable one.
    pub id: Option<Uuid>,
    /// What is wrong.
    pub fault: EventFault,
}

/// Why the store did not do what it was asked. Nothing is changed then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Error {
    /// Other content stands under these ids.
    Refused {
        /// The ids.
        ids: Vec<Uuid>,
    },
    /// Some of the request are no events.
    NotEvents {
        /// Which.
        faults: Vec<NotAnEvent>,
    },
    /// More events in one request than the limit.
    TooMany {
        /// How many came.
        given: usize,
        /// The limit.
        most: usize,
    },
    /// The name is taken.
    NameTaken {
        /// The name.
        name: String,
    },
    /// What was named is not here.
    NotFound {
        /// What it is, such as `person`.
        what: &'static str,
    },
    /// The name of a picture is not the hexadecimal SHA-256 of a file.
    NotAHash {
        /// What came, shortened.
        given: String,
    },
    /// The piece does not continue the picture.
    Offset {
        /// Where the next piece must begin.
        expected: u64,
        /// Where the piece that came begins.
        given: u64,
    },
    /// The piece is larger than the limit for a piece.
    ChunkTooLarge {
        /// Its size in bytes.
        given: usize,
        /// The limit.
        most: usize,
    },
    /// The picture is larger than the limit for a picture.
    PictureTooLarge {
        /// The size it would have.
        given: u64,
        /// The limit.
        most: u64,
    },
    /// The bytes that came are not those the picture is named after. They are thrown away; it begins anew at 0.
    HashMismatch {
        /// The name.
        named: String,
        /// The hash of what came.
        found: String,
    },
    /// The store was written by a newer program.
    Newer {
        /// The version of its tables.
        found: i64,
        /// The newest version this program knows.
        known: i64,
    },
    /// There is something in the store already, and the call wants an empty one.
    NotEmpty,
    /// The database is busy with somebody else's writing, for longer than we wait.
    Busy,
    /// A backup or export is not whole.
    Backup {
        /// What is wrong with it.
        why: String,
    },
    /// The database or the disk failed.
    Failed {
        /// What it said.
        why: String,
    },
}

impl Error {
    pub(crate) fn failed(why: impl fmt::Display) -> Self {
        Error::Failed { why: why.to_string() }
    }

    pub(crate) fn at(path: &std::path::Path) -> impl Fn(std::io::Error) -> Error + '_ {
        move |e| Error::Failed { why: format!("{}: {e}", path.display()) }
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::Refused { ids } => {
                write!(f, "{} event(s) of the request have ids under which other content stands", ids.len())?;
                ids.iter().try_for_each(|id| write!(f, "; {id}"))
            }
            Error::NotEvents { faults } => {
                write!(f, "{} object(s) of the request are no events", faults.len())?;
                faults.iter().take(5).try_for_each(|one| match one.fault {
                    EventFault::Shape => write!(
                        f,
                        "; number {} lacks one of id, job, kind, stamp, body, or has it in another shape",
                        one.index + 1
                    ),
                    EventFault::TooLong { bytes } => write!(
                        f,
                        "; number {} has {bytes} bytes, at most {} are taken",
                        one.index + 1,
                        record::sync::LINE_BYTES
                    ),
                })
            }
            Error::TooMany { given, most } => {
                write!(f, "{given} events in one request; at most {most} are taken")
            }
            Error::NameTaken { name } => write!(f, "the name {name} is taken"),
            Error::NotFound { what } => write!(f, "there is no such {what}"),
            Error::NotAHash { given } => {
                write!(f, "a picture is named by its SHA-256, 64 hexadecimal digits; seen: {given}")
            }
            Error::Offset { expected, given } => {
                write!(f, "the piece begins at byte {given}; the picture continues at byte {expected}")
            }
            Error::ChunkTooLarge { given, most } => {
                write!(f, "a piece of {given} bytes; at most {most} are taken")
            }
            Error::PictureTooLarge { given, most } => {
                write!(f, "a picture of {given} bytes or more; at most {most} are taken")
            }
            Error::HashMismatch { named, found } => {
                write!(f, "the picture named {named} has the hash {found}; send it again from byte 0")
            }
            Error::Newer { found, known } => write!(
                f,
                "the data were written by a newer program (version {found} of the tables, this program knows \
                 {known}); use the newer program"
            ),
            Error::NotEmpty => write!(f, "there are data here already; give an empty place"),
            Error::Busy => write!(f, "the database is busy; try again"),
            Error::Backup { why } => write!(f, "the backup is not whole: {why}"),
            Error::Failed { why } => write!(f, "the store failed: {why}"),
        }
    }
}

impl std::error::Error for Error {}

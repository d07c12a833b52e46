//! What the head of every screen says: what is saved, what waits, when it was last sent.

use crate::store::OpenFault;

/// How the exchange with the shop stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Reach {
    /// This phone is not joined to a shop; everything stays here.
    #[default]
    Alone,
    /// All went well the last time.
    Fine,
    /// It is being tried now.
    Trying,
    /// The shop cannot be reached; it is tried again by itself.
    Away,
    /// The shop no longer knows this phone: pair it again. Entries are kept as before.
    PairAgain,
    /// The shop answers, but not as it should; its words.
    Trouble(String),
}

/// Whether the phone's own store is open.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Opening {
    /// Not yet.
    #[default]
    Waiting,
    /// It is.
    Open,
    /// It cannot be; nothing can be saved.
    Failed(OpenFault),
}

/// What the head of every screen says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Status {
    /// Whether the phone's own store is open.
    pub store: Opening,
    /// Events on this phone.
    pub events: u32,
    /// Events that wait to be sent.
    pub waiting: u32,
    /// Events that stand at the shop with other content; kept, shown, exported.
    pub held: u32,
    /// Pictures that wait to be sent.
    pub pictures: u32,
    /// When something was last saved here, in milliseconds since 1970.
    pub saved_ms: Option<i64>,
    /// When everything had last been sent, in milliseconds since 1970.
    pub sent_ms: Option<i64>,
    /// How the exchange stands.
    pub reach: Reach,
    /// Whether the browser has promised to keep what is stored; absent where it does not tell.
    pub persistent: Option<bool>,
    /// Whether the larger part of the program could not be loaded; it is tried again by itself.
    pub engine_missing: bool,
    /// Whether a newer program is ready to be taken.
    pub update_ready: bool,
}

//! The book of law: the duties that ship, and those that a user or shop adds.

use crate::duty::{Duty, Origin, Status};
use crate::facts::{Facts, Missing, Owner, Place};
use crate::gas::{Basis, Gases};
use crate::read::{DutyFault, read_duty};
use std::sync::OnceLock;

include!(concat!(env!("OUT_DIR"), "/law.rs"));

/// All duties and gases that a question is answered from.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    duties: Vec<Duty>,
    gases: Gases,
}

/// A file that could not be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileFault {
    /// Its name.
    pub file: String,
    /// What is wrong with it.
    pub fault: DutyFault,
}

impl Book {
    /// Returns the book that ships with the program.
    ///
    /// # Panics
    /// Never: the same files are read in the tests. An unreadable one would be left out here.
    #[must_use]
    pub fn shipped() -> &'static Self {
        static BOOK: OnceLock<Book> = OnceLock::new();
        BOOK.get_or_init(|| Self::read_shipped().0)
    }

    /// Returns the shipped book with every file that could not be read.
    #[must_use]
    pub fn read_shipped() -> (Self, Vec<FileFault>) {
        let mut faults = Vec::new();
        let gases = Gases::read(COMPONENTS, REFRIGERANTS).unwrap_or_else(|fault| {
            faults.push(FileFault { file: "refrigerants.toml".to_owned(), fault });
            Gases::none()
        });
        let mut book = Self { duties: Vec::new(), gases };
        for (file, text) in DUTY_FILES {
            if let Err(fault) = read_duty(text, Origin::Shipped).and_then(|duty| book.push(duty)) {
                faults.push(FileFault { file: (*file).to_owned(), fault });
            }
        }
        (book, faults)
    }

    /// Adds the duty that a user's or shop's file describes.
    ///
    /// Such a duty can ask for something or forbid it. It never makes an answer a yes.
    ///
    /// # Errors
    /// [`DutyFault`] with what is wrong in the file, or that its id is taken.
    pub fn add(&mut self, text: &str) -> Result<(), DutyFault> {
        self.push(read_duty(text, Origin::Added)?)
    }

    fn push(&mut self, duty: Duty) -> Result<(), DutyFault> {
        if self.duties.iter().any(|known| known.id == duty.id) {
            return Err(DutyFault::DuplicateId(duty.id));
        }
        self.duties.push(duty);
        Ok(())
    }

    /// Returns all duties.
    #[must_use]
    pub fn duties(&self) -> &[Duty] {
        &self.duties
    }

    /// Returns the duty with this id.
    #[must_use]
    pub fn duty(&self, id: &str) -> Option<&Duty> {
        self.duties.iter().find(|duty| duty.id == id)
    }

    /// Returns the gases.
    #[must_use]
    pub fn gases(&self) -> &Gases {
        &self.gases
    }

    /// Returns whether anything was read of this jurisdiction.
    #[must_use]
    pub fn knows(&self, jurisdiction: &str) -> bool {
        self.duties.iter().any(|duty| duty.jurisdiction == jurisdiction)
    }
}

/// A jurisdiction that a place stands under.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Jurisdiction {
    /// Its id, such as `ca-on`.
    pub id: String,
    /// Set where it is itself not confirmed that this law governs the place.
    pub reach: Option<Status>,
    /// The fact that decides whether this law governs, where it is not known.
    pub wanting: Option<Missing>,
}

/// Member states of the European Union, by ISO 3166 code.
const MEMBER_STATES: &[&str] = &[
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT",
    "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
];

/// Returns the jurisdictions that the place and the owner stand under; none if the place is not known.
///
/// In Canada federal owners and federal or aboriginal land stand under federal law, SOR/2022-110 section 2, everyone else
/// under the province's. That Northern Ireland follows the European regulation is recalled.
#[must_use]
pub fn jurisdictions(facts: &Facts) -> Vec<Jurisdiction> {
    let firm = |id: String| Jurisdiction { id, reach: None, wanting: None };
    let Some(Place { country, region }) = &facts.place else { return Vec::new() };
    let lower = country.to_ascii_lowercase();
    let regional = region.as_ref().map(|region| format!("{lower}-{}", region.to_ascii_lowercase()));
    let mut list = Vec::new();
    match country.as_str() {
        "CA" => {
            let wanting = if facts.owner.is_none() { Some(Missing::Owner) } else { None };
            if facts.owner != Some(Owner::Private) {
                list.push(Jurisdiction { id: "ca-federal".to_owned(), reach: None, wanting });
            }
            if matches!(facts.owner, None | Some(Owner::Private)) {
                match regional {
                    Some(id) => list.push(Jurisdiction { id, reach: None, wanting }),
                    None => list.push(Jurisdiction {
                        id: "ca-province".to_owned(),
                        reach: None,
                        wanting: Some(Missing::Region),
                    }),
                }
            }
        }
        "GB" => match region.as_deref() {
            Some("NIR") => {
                list.push(Jurisdiction { id: "eu".to_owned(), reach: Some(Status::Recalled), wanting: None });
            }
            Some(_) => list.push(firm("gb".to_owned())),
            None => {
                list.push(Jurisdiction { id: "gb".to_owned(), reach: None, wanting: Some(Missing::Region) });
            }
        },
        code => {
            if MEMBER_STATES.contains(&code) {
                list.push(firm("eu".to_owned()));
            }
            list.push(firm(lower));
            list.extend(regional.map(firm));
        }
    }
    list
}

/// Returns the list of warming potentials that a jurisdiction's thresholds are counted by.
#[must_use]
pub fn basis_of(jurisdiction: &str) -> Basis {
    match jurisdiction {
        "es" | "gb" => Basis::Reg517,
        id if id == "us" || id.starts_with("us-") || id.starts_with("ca-") => Basis::Ar4,
        _ => Basis::Eu,
    }
}

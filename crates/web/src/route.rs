//! Where one is: the part of the address behind `#`, so that the browser's own way back works.

use uuid::Uuid;

/// A screen, with what it is about.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Screen {
    /// The jobs on this phone.
    #[default]
    Jobs,
    /// A new visit; of a system visited before, the job it follows.
    NewVisit(Option<Uuid>),
    /// The place one stands at: box, roof, van; without a name the one the visit is at.
    Place(Uuid, Option<String>),
    /// The list of stages.
    Stages(Uuid),
    /// One stage, by its key.
    Stage(Uuid, String),
    /// An entry being made, by the key of its kind and, where it is asked from a stage, what it is about.
    Entry(Uuid, String, Option<String>),
    /// An entry made earlier, to be read or corrected.
    Past(Uuid, Uuid),
    /// A number taken apart: the stage it stands in, and its place there.
    Opened(Uuid, String, String),
    /// Every entry of the job, struck out ones too.
    Record(Uuid),
    /// A table taken into the job.
    Take(Uuid),
    /// The report.
    Report(Uuid),
    /// The customer's choice, signed.
    Sign(Uuid),
    /// The circuit.
    Circuit(Uuid),
    /// Pictures not read yet.
    Pictures,
    /// What is on the van.
    Van,
    /// The quick questions, or one of them.
    Ask(Option<String>),
    /// What waits to be sent, what is held, when it was last sent.
    Waiting,
    /// This phone joined to the shop; with the code of the link that opened it.
    Pair(Option<String>),
    /// The settings.
    Settings,
    /// What this is, its version, its licences.
    About,
    /// The owner's pages, by the rest of the address.
    Office(String),
}

impl Screen {
    /// Returns the address of the screen, with its `#`.
    #[must_use]
    pub fn hash(&self) -> String {
        let words: Vec<String> = match self {
            Screen::Jobs => vec![],
            Screen::NewVisit(None) => vec!["new".into()],
            Screen::NewVisit(Some(follows)) => vec!["new".into(), follows.to_string()],
            Screen::Place(job, None) => vec!["job".into(), job.to_string()],
            Screen::Place(job, Some(place)) => job_words(job, &["place", place]),
            Screen::Stages(job) => job_words(job, &["stages"]),
            Screen::Stage(job, stage) => job_words(job, &["stage", stage]),
            Screen::Entry(job, kind, None) => job_words(job, &["entry", kind]),
            Screen::Entry(job, kind, Some(about)) => job_words(job, &["entry", kind, about]),
            Screen::Past(job, entry) => job_words(job, &["past", &entry.to_string()]),
            Screen::Opened(job, stage, number) => job_words(job, &["opened", stage, number]),
            Screen::Record(job) => job_words(job, &["record"]),
            Screen::Take(job) => job_words(job, &["take"]),
            Screen::Report(job) => job_words(job, &["report"]),
            Screen::Sign(job) => job_words(job, &["sign"]),
            Screen::Circuit(job) => job_words(job, &["circuit"]),
            Screen::Pictures => vec!["pictures".into()],
            Screen::Van => vec!["van".into()],
            Screen::Ask(None) => vec!["ask".into()],
            Screen::Ask(Some(question)) => vec!["ask".into(), escape(question)],
            Screen::Waiting => vec!["waiting".into()],
            Screen::Pair(None) => vec!["pair".into()],
            Screen::Pair(Some(code)) => vec!["pair".into(), escape(code)],
            Screen::Settings => vec!["settings".into()],
            Screen::About => vec!["about".into()],
            Screen::Office(rest) if rest.is_empty() => vec!["office".into()],
            Screen::Office(rest) => vec!["office".into(), rest.clone()],
        };
        format!("#/{}", words.join("/"))
    }

    /// Returns the screen of an address; an address that names none is that of the jobs.
    #[must_use]
    pub fn from_hash(hash: &str) -> Screen {
        let path = hash.trim_start_matches('#').trim_start_matches('/');
        let words: Vec<String> = path.split('/').filter(|word| !word.is_empty()).map(unescape).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words.as_slice() {
            ["new"] => Screen::NewVisit(None),
            ["new", follows] => Screen::NewVisit(follows.parse().ok()),
            ["job", job, rest @ ..] => job.parse().ok().and_then(|job| of_job(job, rest)).unwrap_or_default(),
            ["pictures"] => Screen::Pictures,
            ["van"] => Screen::Van,
            ["ask"] => Screen::Ask(None),
            ["ask", question] => Screen::Ask(Some((*question).to_owned())),
            ["waiting"] => Screen::Waiting,
            ["pair"] => Screen::Pair(None),
            ["pair", code] => Screen::Pair(Some((*code).to_owned())),
            ["settings"] => Screen::Settings,
            ["about"] => Screen::About,
            ["office", ..] => {
                Screen::Office(path.trim_start_matches("office").trim_start_matches('/').to_owned())
            }
            _ => Screen::Jobs,
        }
    }

    /// Returns the screen that this one belongs to.
    #[must_use]
    pub fn above(&self) -> Screen {
        match self {
            Screen::Place(..) => Screen::Jobs,
            Screen::Opened(job, stage, _) => Screen::Stage(*job, stage.clone()),
            other => other.job().map_or(Screen::Jobs, |job| Screen::Place(job, None)),
        }
    }

    /// Returns the job the screen is about.
    #[must_use]
    pub fn job(&self) -> Option<Uuid> {
        match self {
            Screen::Place(job, _)
            | Screen::Stages(job)
            | Screen::Stage(job, _)
            | Screen::Entry(job, _, _)
            | Screen::Past(job, _)
            | Screen::Opened(job, _, _)
            | Screen::Record(job)
            | Screen::Take(job)
            | Screen::Report(job)
            | Screen::Sign(job)
            | Screen::Circuit(job) => Some(*job),
            _ => None,
        }
    }
}

fn job_words(job: &Uuid, rest: &[&str]) -> Vec<String> {
    let mut words = vec!["job".to_owned(), job.to_string()];
    words.extend(rest.iter().map(|word| escape(word)));
    words
}

fn of_job(job: Uuid, rest: &[&str]) -> Option<Screen> {
    let own = |text: &&str| (*text).to_owned();
    Some(match rest {
        [] => Screen::Place(job, None),
        ["place", place] => Screen::Place(job, Some(own(place))),
        ["stages"] => Screen::Stages(job),
        ["stage", stage] => Screen::Stage(job, own(stage)),
        ["entry", kind] => Screen::Entry(job, own(kind), None),
        ["entry", kind, about] => Screen::Entry(job, own(kind), Some(own(about))),
        ["past", entry] => Screen::Past(job, entry.parse().ok()?),
        ["opened", stage, number] => Screen::Opened(job, own(stage), own(number)),
        ["record"] => Screen::Record(job),
        ["take"] => Screen::Take(job),
        ["report"] => Screen::Report(job),
        ["sign"] => Screen::Sign(job),
        ["circuit"] => Screen::Circuit(job),
        _ => return None,
    })
}

/// Writes a word so that it can stand between two strokes of an address (RFC 3986, section 2).
fn escape(word: &str) -> String {
    let mut out = String::with_capacity(word.len());
    for byte in word.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            _ => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// Reads what [`escape`] wrote; anything else stays as it stands.
fn unescape(word: &str) -> String {
    let bytes = word.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let code = bytes.get(at + 1..at + 3).and_then(|pair| core::str::from_utf8(pair).ok());
        match code.filter(|_| byte == b'%').and_then(|pair| u8::from_str_radix(pair, 16).ok()) {
            Some(read) => {
                out.push(read);
                at += 3;
            }
            None => {
                out.push(byte);
                at += 1;
            }
        }
    }
    String::from_utf8(out).unwrap_or_else(|_| word.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_screen_comes_back_from_its_address() {
        let job = Uuid::from_u128(7);
        let screens = [
            Screen::Jobs,
            Screen::NewVisit(None),
            Screen::NewVisit(Some(job)),
            Screen::Place(job, None),
            Screen::Place(job, Some("plant room / deck".into())),
            Screen::Stages(job),
            Screen::Stage(job, "charge".into()),
            Screen::Entry(job, "leak check".into(), None),
            Screen::Entry(job, "reading".into(), Some("Zufuhr-Ø 100 %".into())),
            Screen::Past(job, job),
            Screen::Opened(job, "prove".into(), "3".into()),
            Screen::Record(job),
            Screen::Take(job),
            Screen::Report(job),
            Screen::Sign(job),
            Screen::Circuit(job),
            Screen::Pictures,
            Screen::Van,
            Screen::Ask(None),
            Screen::Ask(Some("superheat".into())),
            Screen::Waiting,
            Screen::Pair(None),
            Screen::Pair(Some("K7F-2Q9".into())),
            Screen::Settings,
            Screen::About,
            Screen::Office(String::new()),
            Screen::Office("systems/room-7".into()),
        ];
        for screen in screens {
            assert_eq!(Screen::from_hash(&screen.hash()), screen, "{}", screen.hash());
        }
    }

    #[test]
    fn the_way_up_ends_at_the_list_of_jobs() {
        let job = Uuid::from_u128(7);
        let mut screen = Screen::Opened(job, "prove".into(), "3".into());
        let mut way = Vec::new();
        while screen != Screen::Jobs {
            screen = screen.above();
            way.push(screen.clone());
        }
        assert_eq!(way, [Screen::Stage(job, "prove".into()), Screen::Place(job, None), Screen::Jobs]);
        assert_eq!(Screen::Settings.above(), Screen::Jobs);
    }

    #[test]
    fn an_address_that_names_nothing_is_the_list_of_jobs() {
        for hash in ["", "#", "#/", "#/job/no-uuid/stage/charge", "#/nowhere", "#/job/%ZZ", "#/%C3/%"] {
            assert_eq!(Screen::from_hash(hash), Screen::Jobs, "{hash}");
        }
    }
}

//! What is due as a calendar (RFC 5545): whole days, and nothing else.

use axum::http::HeaderValue;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use job::shop::DueLine;
use units::Date;

/// A calendar.
#[derive(Clone, Debug)]
pub struct Calendar(String);

/// The most bytes of a line, its end left out (RFC 5545, 3.1).
const LINE: usize = 75;

impl Calendar {
    /// Returns the calendar of what has a day, as written on `written`; what has none stays in the list.
    ///
    /// An event keeps its name from one reading to the next, so that a calendar that reads again changes its entry.
    #[must_use]
    pub fn of(due: &[DueLine], written: Date, say: &dyn Fn(&DueLine) -> String) -> Calendar {
        let mut out = Calendar(String::new());
        for line in ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//gastight//due//EN", "METHOD:PUBLISH"] {
            out.line(line);
        }
        let mut names: Vec<String> = Vec::new();
        for line in due {
            let Some(day) = line.what.day else { continue };
            let id = line.id.map(|id| id.simple().to_string()).unwrap_or_default();
            let law = line.what.law.as_ref().map(|law| law.id.as_str()).unwrap_or_default();
            let place = line.what.place.as_deref().unwrap_or_default();
            let mut name = named(&[&id, line.what.kind.as_str(), law, &line.what.of, place]);
            while names.contains(&name) {
                name.push('+');
            }
            names.push(name.clone());
            out.line("BEGIN:VEVENT");
            out.line(&format!("UID:{name}@gastight"));
            out.line(&format!("DTSTAMP:{}T000000Z", compact(written)));
            out.line(&format!("DTSTART;VALUE=DATE:{}", compact(day)));
            out.line(&format!("SUMMARY:{}", escaped(&say(line))));
            if let Some(law) = &line.what.law {
                out.line(&format!(
                    "DESCRIPTION:{}",
                    escaped(&format!("{}, {}", law.instrument, law.section))
                ));
            }
            if let Some(site) = &line.site {
                out.line(&format!("LOCATION:{}", escaped(site)));
            }
            out.line("TRANSP:TRANSPARENT");
            out.line("END:VEVENT");
        }
        out.line("END:VCALENDAR");
        out
    }

    /// A content line, folded between letters.
    fn line(&mut self, text: &str) {
        let mut room = LINE;
        for c in text.chars() {
            if c.len_utf8() > room {
                self.0.push_str("\r\n ");
                room = LINE - 1;
            }
            self.0.push(c);
            room -= c.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

/// A name that the same thing gets again: FNV-1a, 64 bits, in hexadecimal.
fn named(parts: &[&str]) -> String {
    let bytes = parts.iter().flat_map(|part| part.bytes().chain(core::iter::once(0)));
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}")
}

fn compact(day: Date) -> String {
    day.to_string().replace('-', "")
}

/// A text value: what would end it or begin another is escaped, control characters are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(c);
            }
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

impl IntoResponse for Calendar {
    fn into_response(self) -> Response {
        let mut response = self.0.into_response();
        let headers = response.headers_mut();
        headers.insert(CONTENT_TYPE, HeaderValue::from_static("text/calendar; charset=utf-8"));
        headers.insert(CONTENT_DISPOSITION, HeaderValue::from_static("attachment; filename=\"due.ics\""));
        response
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::shop::{Due, DueKind, When};

    fn line(kind: DueKind, day: Option<&str>, of: &str) -> DueLine {
        let day = day.map(|day| day.parse().expect("a day"));
        let what = Due { kind, when: When::By, day, since: None, of: of.to_owned(), place: None, law: None };
        DueLine {
            id: None,
            job: None,
            name: None,
            site: Some("Dock C; Wrenford".to_owned()),
            overdue: false,
            what,
        }
    }

    #[test]
    fn what_has_a_day_stands_in_it_whole_and_folded() {
        let long = "rosé, ".repeat(30);
        let due = [
            line(DueKind::FollowUp, Some("2031-06-07"), &long),
            line(DueKind::FollowUp, Some("2031-06-07"), &long),
            line(DueKind::Visit, Some("2031-06-08"), "warm box\r\nEND:VCALENDAR"),
            line(DueKind::Part, None, "a nut"),
        ];
        let on = "2031-05-08".parse().expect("a day");
        let Calendar(text) = Calendar::of(&due, on, &|line| line.what.of.clone());
        assert!(text.split("\r\n").all(|line| line.len() <= LINE && !line.contains(['\r', '\n'])), "{text}");
        assert_eq!(text.matches("BEGIN:VEVENT").count(), 3);
        assert_eq!(text.matches("\r\nEND:VCALENDAR").count(), 1, "what was typed ends nothing");
        assert!(text.contains("DTSTART;VALUE=DATE:20310607") && text.contains("LOCATION:Dock C\\; Wrenford"));
        let unfolded = text.replace("\r\n ", "");
        assert!(unfolded.contains(&format!("SUMMARY:{}", escaped(&long))));
        let ids: Vec<&str> = unfolded.lines().filter(|line| line.starts_with("UID:")).collect();
        assert_eq!(ids.len(), 3);
        assert!(ids[0] != ids[1] && ids[1] != ids[2]);
        // Another day, another writing: the same names.
        let later = [line(DueKind::Visit, Some("2031-06-09"), "warm box\r\nEND:VCALENDAR")];
        let Calendar(again) = Calendar::of(&later, on, &|line| line.what.of.clone());
        assert!(again.contains(ids[2]));
    }
}

//! The marks of verdicts: each a silhouette of its own, always with its word.

use leptos::prelude::*;
use report::VerdictMark;

const fn drawing(mark: VerdictMark) -> &'static str {
    match mark {
        VerdictMark::Met => {
            r#"<circle cx="16" cy="16" r="15" fill="currentColor"/><path d="M8.5 16.5 14 22 24 10.5" fill="none" stroke="var(--paper)" stroke-width="4.4"/>"#
        }
        VerdictMark::Breached => {
            r#"<path d="M0 9.5H19L32 16 19 22.5H0Z" fill="currentColor"/><path d="M12 0V32" stroke="var(--paper)" stroke-width="9"/><path d="M12 0V32" stroke="currentColor" stroke-width="4"/>"#
        }
        VerdictMark::NotResolved => {
            r#"<path d="M1.5 16H30.5" stroke="currentColor" stroke-width="4"/><path d="M2 8V24M30 8V24" stroke="currentColor" stroke-width="3.6"/><path d="M16 0V32" stroke="var(--paper)" stroke-width="9"/><path d="M16 0V32" stroke="currentColor" stroke-width="4.4"/>"#
        }
        VerdictMark::Due => {
            r#"<path d="M6 1V32" stroke="currentColor" stroke-width="4"/><path d="M7 4 29 11.5 7 19Z" fill="none" stroke="currentColor" stroke-width="3.4"/>"#
        }
        VerdictMark::Unknown => {
            r#"<path d="M3 3H29V29H3Z" fill="none" stroke="currentColor" stroke-width="3.6" stroke-dasharray="6.4 4" stroke-dashoffset="3.2"/>"#
        }
        VerdictMark::Doubtful => {
            r#"<path d="M16 2 30 16 16 30 2 16Z" fill="none" stroke="currentColor" stroke-width="3.4"/><path d="M9.5 17.5C12 12.5 14 13 16 16S20 19.5 22.5 14.5" fill="none" stroke="currentColor" stroke-width="3.4"/>"#
        }
        VerdictMark::Nothing => r#"<path d="M9 16H23" stroke="currentColor" stroke-width="4"/>"#,
    }
}

/// Returns the mark, hidden from readers: the word beside it speaks.
pub fn mark(of: VerdictMark) -> impl IntoView {
    let class = match of {
        VerdictMark::Met => "mark good",
        VerdictMark::Breached => "mark bad-word",
        _ => "mark",
    };
    view! {
        <svg class=class viewBox="0 0 32 32" aria-hidden="true" focusable="false" inner_html=drawing(of)></svg>
    }
}

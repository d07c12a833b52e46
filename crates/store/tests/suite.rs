//! What every store must do, run on each kind of database.
#![allow(clippy::unwrap_used)]

mod cases;

use store::{Opening, PostgresStore, SqliteStore};

macro_rules! on_both {
    ($($name:ident,)*) => {
        mod sqlite {
            $(#[test]
            fn $name() {
                let dir = super::cases::Folder::new(concat!("sqlite-", stringify!($name)));
                let store = super::SqliteStore::open(dir.path(), &super::opening()).unwrap();
                super::cases::$name(&store);
            })*
        }
        mod postgres {
            $(#[test]
            fn $name() {
                let dir = super::cases::Folder::new(concat!("postgres-", stringify!($name)));
                let url = super::cases::cluster::Cluster::shared().database();
                let store = super::PostgresStore::open(&url, dir.path(), &super::opening()).unwrap();
                super::cases::$name(&store);
            })*
        }
    };
}

fn opening() -> Opening {
    Opening { epoch: cases::id(7), now: cases::NOW, durable: true }
}

on_both! {
    an_event_comes_in_once,
    other_content_is_refused_whole,
    a_device_reads_what_others_sent,
    what_a_newer_program_wrote_comes_back_as_it_was,
    what_is_no_event_is_refused_by_its_place,
    the_first_stamp_stands_for_everybody,
    a_clock_a_day_ahead_is_told_and_taken,
    a_cursor_of_another_history_starts_again,
    a_long_record_comes_in_pages,
    erasing_reaches_what_is_stored,
    erasing_reaches_what_comes_later,
    erased_anywhere_is_erased_everywhere,
    a_job_lists_its_events_in_their_order,
    summaries_know_when_they_are_old,
    many_at_once_lose_nothing,
    people_have_names_of_their_own,
    a_revoked_device_stays_known,
    a_pairing_code_works_once,
    sessions_end,
    a_passkey_is_used_by_one_at_a_time,
    the_audit_only_grows,
    settings_are_kept,
    a_list_of_watched_systems_takes_the_place_of_the_one_before,
    a_picture_comes_in_pieces,
    a_picture_must_be_what_it_is_named,
    erasing_takes_the_picture_along,
    a_backup_brings_everything_back,
    an_export_comes_in_again,
}

-- Every event, in the order it came. Never deleted; erasing replaces the line by its hash, in place.
CREATE TABLE events (
    seq {int} PRIMARY KEY,
    id {id} NOT NULL UNIQUE,
    job {id} NOT NULL,
    kind {text} NOT NULL,
    erases {id},
    stamp_ms {int} NOT NULL,
    stamp_n {int} NOT NULL,
    received {int} NOT NULL,
    device {id},
    hash {bytes} NOT NULL,
    line {text} NOT NULL
) {end};
CREATE INDEX events_of_job ON events (job, stamp_ms, stamp_n, id);
CREATE INDEX events_that_erase ON events (erases) WHERE erases IS NOT NULL;

-- Numbers that an event left when it was given a new one, so that everybody reads it again.
CREATE TABLE moved (
    seq {int} PRIMARY KEY,
    event {id} NOT NULL
) {end};

CREATE TABLE jobs (
    job {id} PRIMARY KEY,
    first {int} NOT NULL UNIQUE,
    last {int} NOT NULL,
    events {int} NOT NULL,
    from_ms {int} NOT NULL,
    to_ms {int} NOT NULL,
    stale {int} NOT NULL,
    through {int},
    system {id},
    title {text},
    summary {text}
) {end};
CREATE INDEX jobs_stale ON jobs (first) WHERE stale = 1;
CREATE INDEX jobs_of_system ON jobs (system, first) WHERE system IS NOT NULL;

CREATE TABLE words (
    word {text} NOT NULL,
    job {id} NOT NULL,
    PRIMARY KEY (word, job)
) {keyed};
CREATE INDEX words_of_job ON words (job);

-- Which event speaks of which picture.
CREATE TABLE pictures (
    sha256 {text} NOT NULL,
    event {id} NOT NULL,
    PRIMARY KEY (sha256, event)
) {keyed};
CREATE INDEX pictures_of_event ON pictures (event);

CREATE TABLE people (
    id {id} PRIMARY KEY,
    name {text} NOT NULL,
    folded {text} NOT NULL UNIQUE,
    role {text} NOT NULL,
    password {text},
    active {int} NOT NULL,
    created {int} NOT NULL
) {end};

CREATE TABLE devices (
    id {id} PRIMARY KEY,
    person {id} NOT NULL,
    name {text} NOT NULL,
    token {bytes} NOT NULL UNIQUE,
    created {int} NOT NULL,
    seen {int},
    revoked {int}
) {end};

CREATE TABLE pairings (
    code {bytes} PRIMARY KEY,
    person {id} NOT NULL,
    expires {int} NOT NULL
) {end};

CREATE TABLE sessions (
    token {bytes} PRIMARY KEY,
    person {id} NOT NULL,
    created {int} NOT NULL,
    expires {int} NOT NULL
) {end};
CREATE INDEX sessions_of_person ON sessions (person);

CREATE TABLE audits (
    number {int} PRIMARY KEY,
    at {int} NOT NULL,
    person {id},
    device {id},
    what {text} NOT NULL,
    subject {text},
    detail {text}
) {end};

CREATE TABLE settings (
    name {text} PRIMARY KEY,
    value {text} NOT NULL
) {end};

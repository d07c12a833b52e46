-- Passkeys of the people of the office: what each browser or key gave to be known by, as JSON.
CREATE TABLE passkeys (
    id {id} PRIMARY KEY,
    person {id} NOT NULL,
    name {text} NOT NULL,
    credential {text} NOT NULL,
    created {int} NOT NULL,
    used {int}
) {end};
CREATE INDEX passkeys_of_person ON passkeys (person);

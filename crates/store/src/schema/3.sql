-- The list of systems that drift, as it was handed in last: place 0 is what stands above it, from 1 on each system, as JSON.
CREATE TABLE watched (
    place {int} PRIMARY KEY,
    line {text} NOT NULL
) {end};

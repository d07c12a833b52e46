# Saturation of many readings at once.

cli-batch = Answer a question for every row of a table
cli-batch-saturation = Bubble and dew for every row of a table of refrigerants and readings
cli-batch-input = A table of comma-separated values with the columns refrigerant and given (25F, 62.5psig, 3bar abs)
cli-batch-output = Where the table with the answers goes
batch-no-read = The table cannot be read: { $why }.
batch-same-file = The answers would be written over the readings. Name another file.
batch-no-columns = The first line must name the columns refrigerant and given. Seen: { $head }.
batch-more = { $count } more rows have no answer; each says why in the column error.
batch-done = { $rows } rows written to { $path }, { $bad } of them without an answer.

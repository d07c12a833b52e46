# Why a question cannot be answered as asked: what is wrong, what was seen, what would be sensible.

refused-empty = { $field } is empty. Such as: { $sensible }
refused-no-number = { $field }: there is no number in “{ $given }”. Such as: { $sensible }
refused-ambiguous-comma = { $field }: is the comma in “{ $given }” a decimal mark or a thousands mark? Write { $sensible }
refused-missing-unit = { $field }: “{ $given }” has no unit. Such as: { $sensible }
refused-unknown-unit = { $field }: the unit in “{ $given }” is not one for this. Such as: { $sensible }
refused-gauge-or-absolute = { $field }: “{ $given }” does not say gauge or absolute. Write { $sensible }
refused-ambiguous-unit = { $field }: the unit in “{ $given }” stands for several. Such as: { $sensible }
refused-below-zero = { $field }: “{ $given }” is less than there can be. Such as: { $sensible }
refused-beyond-vacuum = { $field }: “{ $given }” is beyond vacuum; inches of mercury alone are vacuum, without a minus. Such as: { $sensible }
refused-division-by-zero = { $field }: “{ $given }” divides by zero. Such as: { $sensible }
refused-too-large = { $field }: “{ $given }” is too large to be meant. Such as: { $sensible }
refused-unknown-refrigerant = { $given } is not a refrigerant known here. Near it: { $sensible }
refused-composition-form = { $field }: “{ $given }” is not of the form NAME=PART,NAME=PART. Such as: { $sensible }
refused-composition-sum = { $field }: the parts add up to { $given }, not to 1.
refused-composition-component = { $field }: { $given } has no equation of state here. Known: { $sensible }
refused-altitude = { $field }: { $given } is not a place to work. Sensible: { $sensible }
refused-barometer = { $field }: { $given } is no weather on earth at that height. Sensible: { $sensible }
refused-above-critical = { $field }: at { $given } there is no saturation; the critical point is at { $sensible }. Ask for the state instead.
refused-solid = { $field }: at { $given } it would be solid; the triple point is at { $sensible }.
refused-out-of-range = { $field }: { $given } is outside what the equations cover. Sensible: { $sensible }
refused-not-converged = { $field }: no state was found at { $given }. Nearby values may work; please keep the command and report it.
refused-two-liquids = { $field }: at { $given } the liquid of this blend would part in two, and no bubble point of it exists. Ask at a higher temperature or pressure.
refused-not-positive = { $field } must be more than nothing; seen: { $given }. Such as: { $sensible }
refused-not-a-part = { $field } must lie between 0 and 1; seen: { $given }. Such as: { $sensible }
refused-order = { $field }: { $given } does not fit the rest. Sensible: { $sensible }
refused-not-a-row = { $field }: “{ $given }” is not a reading. Sensible: { $sensible }

# Job files: each line is one problem.
problem-empty = The file is empty. Begin with gastight = 1 and a [system].
problem-not-text = This is not a text: byte { $byte } belongs to none. A job file is TOML in UTF-8.
problem-too-large = The file has { $size }; at most { $limit } are read.
problem-quotes = “{ $given }”: a value with a unit or a word stands in quotes. Such as: { $sensible }
problem-key-twice = “{ $given }”: the same key stands twice.
problem-not-closed = “{ $given }”: a bracket, brace or quote is not closed.
problem-syntax-moment = “{ $given }”: this is no date or time as TOML writes it. Such as 2031-05-06T08:10:00
problem-syntax = “{ $given }”: this line is not TOML.
problem-not-a-job = The line gastight = 1 is missing at the top, so this is no job file.
problem-newer = The file is of format { $given }; this program reads up to { $newest }.
problem-unknown-key = { $field }: nobody reads this key. Meant: { $sensible }?
problem-missing = { $field } is missing. Such as: { $sensible }
problem-type = { $field }: { $found } stands here (“{ $given }”). Such as: { $sensible }
problem-found-text = a text
problem-found-number = a number without unit
problem-found-truth = a yes or no
problem-found-moment = a date or time
problem-found-list = a list
problem-found-table = a group of keys
problem-word = { $field }: “{ $given }” is not one of the words for this. Sensible: { $sensible }
problem-kind = { $field }: “{ $given }” is no kind of entry. Sensible: { $sensible }
problem-range = { $field }: “{ $given }” cannot be here. Sensible: { $sensible }
problem-range-order = { $field }: “{ $given }” begins with the larger value.
problem-moment = { $field }: “{ $given }” is no date or time. Such as: { $sensible }
problem-no-such-moment = { $field }: no calendar or clock shows “{ $given }”. Such as: { $sensible }
problem-year = { $field }: the year of “{ $given }” lies outside 1950 to 2199.
problem-offset-missing = { $field }: “{ $given }” is a local time, and site.offset is missing. Such as: { $sensible }
problem-date-missing = { $field }: “{ $given }” is a time of day, and visit.date is missing. Such as: { $sensible }
problem-offset = { $field }: “{ $given }” is no offset from UTC. Such as: { $sensible }
problem-order = { $field }: “{ $given }” lies before the entry above it. Entries stand in the order they happened. { $sensible }
problem-end = { $field }: “{ $given }” lies before the start. { $sensible }
problem-name = { $field }: no instrument or cylinder here is called “{ $given }”. Listed: { $sensible }
problem-name-twice = { $field }: “{ $given }” stands twice; first on line { $line }.
problem-count = { $field }: “{ $given }” is no whole number from zero up. Such as: { $sensible }
problem-money = { $field }: “{ $given }” is no amount of money with its currency. Such as: { $sensible }
problem-blank = { $field } is empty. Such as: { $sensible }
problem-sum = { $field }: the parts add up to { $sum }, not to 1.
problem-one-of-two = { $field }: this and { $other } say the same thing two ways; give one.
refused-share = { $field } is a share of { $sensible }; seen: { $given }.
cli-missing = { $field } is missing. { $sensible }
batch-bad-row = Line { $line }: { $why }

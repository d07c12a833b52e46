## What is on the van: things counted, gas by cylinder, tools with their checks

entry-kind-tool-check = Check of a tool
entry-kind-stock = Count on the van
entry-field-against = Against what
entry-field-tool-shown = It showed
entry-field-tool-check-result = It agreed
van-wanted = Ought to be there
entry-word-zero = nothing on it (zero)
entry-word-known-weight = a known weight
entry-word-known-pressure = a known pressure
entry-word-ice-water = ice water
entry-word-whiff = a whiff of gas
entry-word-another-instrument = another instrument
van-title = On the van
van-fetch = Fetch or mend before the next call
van-short = { $what }: { $count } short
van-mend = { $tool } failed its check on { $date }
van-things = Things
van-left = Left
van-by-count = By the count
van-counted = { $count } on { $date }, { $taken } taken since
van-gas = Gas
van-gross = Gross weight, of a cylinder
van-net = Net
van-weighed-on = Weighed on
van-not-weighed = not weighed
van-tools = Tools
van-tool = Tool
van-last-check = Last check
van-never-checked = never checked
van-checked = passed on { $date } against { $against }
van-checked-leak = found its test leak on { $date }
van-check-failed = failed its check on { $date }: do not rely on it
van-nothing = Nothing of a van stands in these files: no count, no cylinder, no tool.
van-cli = What is on the van: things counted less what visits took since, gas by cylinder, tools with their last check. Name the van’s own log and every visit since its count
van-cli-format = How: text, html, csv (the things), pdf
van-cli-files = Files that tell what is on the van, for the load list; may be said several times
load-both = { $first }; { $then }
load-on-van = { $count } on the van
load-too-few = { $count } on the van, { $needed } needed: fetch
load-gas-held = { $count ->
    [one] { $mass } on the van, in one cylinder
   *[other] { $mass } on the van, in { $count } cylinders
}
load-gas-short = only { $mass } on the van
load-gas-none = none on the van
load-gas-not-weighed = on the van, not weighed

## A table from elsewhere

take-cli-kind = The kind of entry that each row is: reading where nothing is said
take-cli-set = A field that is the same in each row, such as change=removed; may be said several times
take-bad-set = “{ $given }” sets no field of such an entry: write the field, then = and what it is, such as change=removed.
take-no-row = The row cannot be read.

## The van and tables on the phone

van-row = Things, gas, tools and their checks
van-log = Van
van-log-of = Van of { $who }
van-empty = Nothing is counted yet. Count what matters once; what visits take is taken off by itself.
van-add = Put down
van-weigh = Weigh a cylinder
van-weigh-why = its gross weight; what visits weigh counts as well
van-cylinder-why = its name, what is in it, its tare
van-instrument-why = its name and what it measures
take-app-title = Take a table in
take-app-row = A logger’s readings, a paper log typed up
take-app-what = A table with a head, as a logger or probe exports it, or a paper log typed up. Say once which column is what.
take-app-file = Choose the file
take-app-keep = Take in
take-app-first = Choose a file, the column with day and time, and one column more.
take-app-rows-are = Each row is
take-app-days = The sixth of May is written
take-app-columns = Columns
take-app-none = leave out
take-app-time = day and time
take-app-unit = Unit of { $head }
take-app-unit-short = unit
take-app-would = { $taken } to take in, { $bad } that cannot be read

## For who comes next

sheet-read-last = Last read while running, and the settings as left

## The office

office-prices-of = { $shop }: { $count } prices. The phones of technicians get them by themselves.

## What a leak leaves of a blend, asked on the phone

app-ask-fractionation = What a leak leaves of a blend
app-asked-lost = Part of the charge that was lost
app-asked-stood-at = It stood at
app-asked-leaked = What leaked
app-asked-vapour-share = Vapour at the start, else 20 %
entry-word-vapour = vapour

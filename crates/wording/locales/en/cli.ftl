# The command line: what each command and option says of itself.

cli-about = Finds out why a refrigeration system loses its charge or its temperature, and keeps the record of putting it right.
cli-after =
    Pressures say gauge or absolute: 62.5 psig, 450 kPa abs, 3.2 bar gauge, 12 inHg (vacuum), 500 micron.
    Every command takes --json (SI values). Exit codes: 0 answered; 1 it ran, and rows or checks failed; 2 bad input.
    Nameplate, local code and licensed practice come first.
cli-example = Example: { $example }
cli-json = Answer as JSON, in SI units
cli-explain = Open every number: inputs, method, doubts, source
cli-units = Units of the answer; without it, those of what you typed
cli-refrigerant = Refrigerant, such as R-448A
cli-altitude = Altitude of the gauge, such as 1500m or 5000ft
cli-barometer = Barometer at the gauge, not reduced to sea level, such as 84.5kPa
cli-gauge-accuracy = Accuracy of the gauge, as half-width, such as 0.5psi
cli-gauge-u = Standard uncertainty of the gauge
cli-probe-accuracy = Accuracy of the temperature probe, as half-width, such as 1F
cli-probe-u = Standard uncertainty of the temperature probe
cli-composition = Composition by mass instead of the designated one, such as "R-32=0.26,R-125=0.26,..."
cli-saturation = Bubble and dew point at a temperature or a pressure
cli-at = A temperature or a pressure; may be given several times
cli-pipe = What a liquid or suction line takes, and how far that moves the saturation temperature
cli-pipe-pressure = Pressure at the near end, gauge or absolute
cli-pipe-temperature = Temperature of the line at the near end
cli-pipe-mass-flow = Flow as mass, such as 50 g/s
cli-pipe-capacity = Flow as heat taken up, of a suction line, such as 12000 Btu/h
cli-pipe-liquid = Temperature of the liquid before the valve, with --capacity
cli-pipe-tube = Outside diameter of the copper tube, such as "7/8 in"
cli-pipe-inside = Inside diameter, where it is no such tube
cli-pipe-length = Length; fittings as the straight pipe that loses as much
cli-pipe-rise = How much higher the far end lies; negative where lower
cli-state = The state at a pressure and one more: temperature, enthalpy, entropy or quality
cli-state-pressure = Pressure, gauge or absolute
cli-state-temperature = Temperature
cli-state-enthalpy = Enthalpy, 200 kJ/kg for saturated liquid at 0 °C
cli-state-entropy = Entropy, 1 kJ/(kg K) for saturated liquid at 0 °C
cli-state-quality = Part of the mass that is vapour, 0 to 1
cli-superheat = Superheat: the line's temperature above dew at the pressure of that place
cli-suction = Pressure where the line's temperature is taken
cli-line = Temperature of the line
cli-at-least = Smallest value aimed at, for a verdict
cli-at-most = Largest value aimed at, for a verdict
cli-subcooling = Subcooling: bubble at the pressure of that place less the line's temperature
cli-liquid = Pressure of the liquid where the line's temperature is taken
cli-hold = A nitrogen hold: is it tight, and what is the smallest leak this test could have seen?
cli-working = Pressure at which the leak would work later
cli-working-temperature = Temperature of the vapour there; without it, saturated vapour
cli-start = Pressure and gas temperature at the start, such as 300psig@70F
cli-end = Pressure and gas temperature at the end, such as 286psig@50F
cli-volume = Volume under test, such as 20L
cli-hours = Hours from start to end
cli-gauge-resolution = Smallest step the gauge shows
cli-temperature-accuracy = Accuracy of the gas temperature, as half-width
cli-temperature-u = Standard uncertainty of the gas temperature
cli-wanted = Smallest leak that must not be missed, such as 50g/yr
cli-settled = Time between the end of filling and the start reading; under 30 min the test is void
cli-liquid-present = Liquid refrigerant may be in the volume: the test is void
cli-rise = A vacuum rise test: leak, moisture or outgassing?
cli-rise-file = CSV of minutes and micron, with a line of headings: minute,micron
cli-coldest-wall = Temperature of the coldest wall in the volume
cli-rise-limit = Pressure that must not be passed by the end, such as 500micron
cli-cylinder = How much a recovery cylinder may hold, and when it would be full of liquid
cli-water-capacity = Water capacity on the collar, such as 47.7lb
cli-tare = Tare weight on the collar, such as 27lb
cli-gross = Weight now: says what room is left
cli-receiver = What the receiver holds on the hottest day
cli-receiver-volume = Volume of the receiver
cli-hottest = Hottest temperature around it
cli-fill = Part of the volume that liquid may fill; 0.8 without it (common practice)
cli-receiver-charge = Charge that must go in: says whether it fits
cli-winter = The charge that floods the condenser on the coldest day
cli-condenser-volume = Inside volume of the condenser
cli-design-split = Condensing above ambient at design
cli-head-setting = Condensing temperature that the head-pressure control holds
cli-coldest-day = Coldest ambient
cli-winter-liquid = Temperature of the liquid in the condenser; without it, the mean of setting and coldest
cli-refrigerants = Every refrigerant known here, with the grade of its mixing model
cli-job = A visit described in a file
cli-job-file = Job file (TOML, at most 10 MB) or log (one JSON object a line); of several the visits to one system
cli-job-id = The job that is meant, where a log holds several; with those it follows
cli-job-check = Reads the file and says what is wrong in it, line by line
cli-job-report = What the visit shows, as a report to hand over
cli-job-events = The visit as events, one JSON object a line
cli-format = Form of the report
cli-output = Write it there; without it, to the screen
cli-completions = A completion script for a shell
cli-completions-shell = Shell

# What is wrong with the words of the command itself.
cli-unknown-option = { $given } is not an option here. Did you mean { $sensible }?
cli-unknown-option-plain = { $given } is not an option here. See --help.
cli-conflict = { $given } cannot go with { $sensible }: give one of them.
cli-no-command = { $given } is not a command. Commands: { $sensible }
cli-bad-choice = { $field } cannot be { $given }. It can be { $sensible }.
cli-no-value = { $field } needs a value, such as { $sensible }.
cli-twice = { $field } was given more than once.
cli-words = The words of the command do not fit: { $given }. See --help.
cli-no-file = { $given } cannot be read: { $why }. Such as: { $sensible }
cli-no-write = { $given } cannot be written: { $why }.
cli-written = Written: { $path }
cli-check-good = { $file }: good, { $count } events. { $doubtful ->
    [0] Nothing in it is doubtful.
    [one] One reading is doubtful; the report says which.
   *[other] { $doubtful } readings are doubtful; the report says which.
}
cli-check-bad = { $problems }
cli-check-more = { $count ->
    [one] and one more problem.
   *[other] and { $count } more problems.
}
cli-log-several = The log holds { $given } jobs that do not follow each other. Name one by --job, such as: { $sensible }
cli-log-no-job = No job { $given } is in it. Such as: { $sensible }
cli-log-large = { $given } is too large a log. At most: { $sensible }
cli-log-newer = { $file }: written by a newer program. What could be read of it is used.
cli-log-torn = { $file }:{ $line }: the last line was never wholly written; it is left out.
cli-log-aside = { $file }:{ $line }: { $count ->
    [one] this line is no entry of a record; it is left out.
   *[other] { $count } lines from here on are no entries of a record; they are left out.
}
cli-log-clash = { $count ->
    [one] One id stands over two different entries: somebody wrote an entry twice.
   *[other] { $count } ids stand over different entries: somebody wrote entries twice.
}
cli-not-text = { $given } is not a text. Such as: { $sensible }

# Headings of the help.
cli-heading-usage = Usage:
cli-heading-options = Options
cli-heading-arguments = Arguments
cli-heading-commands = Commands
cli-help = Print this help
cli-version = Print the version
cli-language = Language of the answer; without it, that of the machine
ask-viscosity = Viscosity in µPa s (standard doubt { $u } %)
ask-conductivity = Heat conductivity in mW/(m K) (standard doubt { $u } %)
ask-surface-tension = Surface tension of the liquid in mN/m
pipe-title = What the line takes: { $refrigerant }, { $phase }
pipe-friction = Lost by friction
pipe-head = Weight of the column
pipe-saturation = Saturation temperature falls by
pipe-subcooling = Subcooling left at the far end
pipe-end = Pressure at the far end
pipe-speed = Speed
pipe-flow = Flow in kg/h
pipe-how = By Darcy and Weisbach with the friction factor of Churchill for drawn copper, no heat to or from the line; good to some 15 %. Fittings count as the straight pipe that loses as much: add it to the length.
pipe-boils = The liquid boils before the far end: the valve there gets vapour, and more pressure is lost than stands here.
pipe-rough = More than a tenth of the pressure is lost: the density is not the same along the line, and this is rough.
pipe-two-phases = { $field }: at { $given } liquid and vapour stand together there. This asks about a line with one of them.
pipe-no-viscosity = No viscosity is published for a part of { $given }.
pipe-no-pressure = The line would take { $given }, more than there is. Check the flow, the tube and the length.
pipe-no-tube = { $field }: no copper tube of this outside diameter is listed; seen: “{ $given }”. Listed: { $sensible }. An inside diameter may be given instead.
pipe-no-suction = { $field } goes with a suction line; at this pressure and temperature there is no vapour. Give the flow as mass instead.
ask-sources = Where composition, equations and pairs were published
fault-cli = Say what is probably wrong, for cases in a file, one JSON object a line (docs/diagnose.md)
fault-cli-input = The cases
fault-cli-output = Where the predictions go, one line for each case
fault-cli-done = { $predicted ->
    [one] 1 case predicted
   *[other] { $predicted } cases predicted
  }, { $refused ->
    [one] 1 line refused
   *[other] { $refused } lines refused
  }: { $file }. Simulated systems only stand behind these chances: no openly available measured faults of walk-ins, so accuracy on real systems will be lower.
fault-cli-line = Line { $line }: { $said }
fault-cli-file = One job file or several: the last readings of the running system, against an earlier visit of the same system
watch-cli = Watch many systems by their controllers' logs: which one drifts, and why
watch-cli-input = The log: CSV or Parquet; - reads a CSV from the standard input
watch-cli-listen = Listen to a broker instead, such as mqtt://127.0.0.1:1883 (not encrypted: on this machine, or through a tunnel)
watch-cli-topic = The topic to listen to, such as shop/+/readings
watch-cli-during = How long to listen
watch-cli-messages = Stop after so many messages
watch-cli-map = Which column is what: a columns.toml
watch-cli-refrigerant = The refrigerant of every system that none is stated for
watch-cli-systems = A CSV with system and refrigerant, and if you like proved: the day from which the baseline counts
watch-cli-system = The name of the system, where no column names it
watch-cli-keep = A Parquet file that keeps what was seen, so that tomorrow's log adds to it
watch-cli-parquet = Write the readings as Parquet too
watch-cli-bad = Write every bad row's line and reason to this file
watch-cli-output = Write the whole list as CSV
watch-cli-alarms = False alarms accepted, such as "1 per 100" systems and year
watch-cli-memory = Memory of the reduction, in MB; beyond it goes to disk
watch-cli-plan = Print the plan of the reduction and stop
watch-cli-no-fleet = This program was built without watching: build it with --features fleet.
watch-cli-one-input = Give --input or --listen.
watch-cli-bad-alarms = False alarms are stated as "1 per 100" (systems and years), between 1 per 100000 and 10 per 1. Seen: { $given }.
watch-cli-bad-systems = The list of systems has no usable line { $line }: { $given }. Its heads are system, refrigerant and proved.
watch-file = { $file }: { $why }.
watch-engine = The reduction stopped: { $why }.
watch-no-layout = The heads do not say which column is what: { $heads }. State it with --map columns.toml, or name the columns time, system, suction_pressure psig and so on.
watch-bad-map = The map of columns cannot be read: { $why }.
watch-no-table = No table of the map fits. The log's heads: { $heads }. Lacking: { $lacking }.
watch-no-field = "{ $given }" is not a field to watch. There are: { $fields }.
watch-no-unit = "{ $given }" is not a unit for { $head }. Sensible: { $sensible }.
watch-no-refrigerant = "{ $given }" is not a refrigerant known here. Near it: { $sensible }.
watch-no-column = The file has no column { $head }.
watch-no-order = Row { $given } is out of the order in which the log began, and a pipe cannot be read twice. Give the log as a file.
watch-bad-broker = "{ $given }" is not an address of a broker. Sensible: { $sensible }.
watch-no-broker = No answer from the broker { $given }: { $why }.
watch-row-time = "{ $given }" is not a day and time
watch-row-system = "{ $given }" is not a name of a system
watch-row-value = "{ $given }" in { $head } is not a value that can be
watch-row-refrigerant = "{ $given }" is not a refrigerant known here
watch-row-clock = "{ $given }" is ten years or more from the first row: a clock that was reset
watch-odd-pressures = Systems whose pressures cannot be those of their refrigerant: { $count }, such as { $name }. Look at the unit, gauge or absolute, and the refrigerant; until then believe nothing said of them.
watch-bad-row = Line { $line } left out: { $why }.
watch-rows = Rows taken { $taken }, taken before { $again }, without a reading { $empty }, left out { $bad }.
watch-sum = Systems { $systems }: alarms { $alarms }, without an alarm { $quiet }, too early to say { $early }.
watch-no-gas = Systems without a refrigerant: { $count }, such as { $name }. Their pressures say nothing; state it with --systems or --refrigerant.
watch-line = { $rank }. { $system }: { $headline }
watch-early-line = { $system }: too early; { $days } of { $needed } days with steady running.

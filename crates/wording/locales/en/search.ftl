# The search for the leak.

# Places
spot-compressor-body = compressor, gaskets and terminals
spot-suction-service-valve = suction service valve, stem and cap
spot-discharge-service-valve = discharge service valve, stem and cap
spot-discharge-line = discharge line, joints
spot-low-control-outside = low-pressure control, from outside
spot-low-control-inside = low-pressure control, inside
spot-high-control-outside = high-pressure control, from outside
spot-high-control-inside = high-pressure control, inside
spot-fan-control-inside = fan control, inside
spot-control-lines = small lines of the controls
spot-condenser-face = condenser coil, face
spot-condenser-bends = condenser, return bends and headers
spot-head-valve = head-pressure valve, joints
spot-receiver = receiver, valves and plugs
spot-relief = relief valve
spot-drier = filter drier, joints
spot-glass = sight glass
spot-access-high = access valve, high side
spot-access-low = access valve, low side
spot-liquid-line = liquid line, joints under insulation
spot-liquid-line-chafe = liquid line, clamps and chafed spots
spot-lines-in-wall = lines in the wall or ground
spot-suction-line = suction line, joints under insulation
spot-solenoid-inlet = solenoid valve, inlet joint
spot-solenoid-outlet = solenoid valve, outlet joint and stem
spot-valve-inlet = expansion valve, inlet joint
spot-valve-body = expansion valve, body and bulb line
spot-metering = capillary or orifice
spot-distributor = distributor and its small tubes
spot-coil-face = coil, face
spot-coil-bends = coil, return bends
spot-coil-header = coil, header and suction joint
spot-access-coil = access valve at the coil

# Explanations
seek-leak-at = leak: { $place }
seek-leak-elsewhere = { $count ->
    [one] leak: one other place
   *[other] leak: one of { $count } other places
}
seek-two = two leaks
seek-winter = no leak: filled without the winter's share
seek-service = no leak: lost by hoses and purging
seek-books = no leak: the books are wrong

# What to do
seek-do = Check next: { $place }, with { $method }.
seek-do-open = Take the cover or insulation off and check: { $place }, with { $method }.
seek-look = { $place }, with { $method }
seek-look-open = { $place }, cover or insulation off, with { $method }
seek-if-you-must = If you must look: { $what }.
seek-why = { $chance } that this look shows the leak, { $hour } within an hour by looking on; { $minutes } with the way there; { $state }.
seek-nothing-left = Every place was looked at in every way at hand.
seek-state-off = system off, both sides come together
seek-state-running = system running
seek-state-defrost = in a defrost
seek-opened = cover or insulation off
seek-alternative = If you cannot do that: { $what }.
seek-enter = What it gave
seek-stop-winter = Stop looking for a leak, look at the charge first: { $chance } that there is no leak, most likely the winter's share was never put in.
seek-stop-service = Stop looking for a leak, look at the hoses and the purging first: { $chance } that there is no leak, most likely each visit took the gas.
seek-stop-books = Stop looking for a leak, put the books right first: { $chance } that there is no leak, most likely an entry is wrong or missing.
seek-isolate-receiver = Shut in a section first: from the receiver outlet to the suction service valve, and watch it for an hour. Found within two hours: { $with }, against { $without } by looking on.
seek-isolate-low = Shut in a section first: from the liquid-line valve to the suction service valve, and watch it for an hour. Found within two hours: { $with }, against { $without } by looking on.
seek-wait-cold = Looking on now finds little: what is left shows in the cold. Come back on a cold day.
seek-wait-hot = Looking on now finds little: what is left shows in the heat. Come back on a hot day.
seek-wait-defrost = Looking on now finds little: what is left shows in a defrost. Start one and look.
seek-pressure-test = Looking on finds little: { $chance } within an hour. Test with pressure instead.
seek-caution-first = Nitrogen only into an empty section.
seek-caution-rest = Refrigerant recovered or shut off first. Regulator and relief in the line, never above the lowest nameplate pressure. Controls and relief valves shut off where they are rated lower.

# Found
seek-explains = The leak found explains the loss: yes ({ $chance }). Place: { $place }.
seek-explains-not = The leak found explains less than half of the loss ({ $chance } that it is the one): keep looking. Place: { $place }.
seek-explains-open = A leak is found, and its size is not known well enough to say whether it explains the loss ({ $chance }). Bag it or count bubbles, then look on. Place: { $place }.

# Behind it
seek-title = Search for the leak
seek-section = Search for the leak
seek-places = What remains, by place
seek-picture = Chance of a leak left, by part of the circuit
seek-picture-says = The chance that a leak is left there. In the picture: the denser the hatch and the longer the bar, the more is left; white corner: looked at; black corner and dashes: ruled out; heavy frame: look there next; frame in a frame: found.
seek-block-found = found
seek-place = place
seek-chance = chance
seek-looked = looked at
seek-ruled-out = ruled out
seek-yes = yes
seek-within = within
seek-plan-chance = Chance that these looks find it
seek-loss = If it is a leak it loses { $rate } now, somewhere from { $from } to { $to }.
seek-then-mend = Mend it, then prove it before any new gas goes in.
seek-then-prove = Now prove the repair: own liquid back, sniff and soap the joint, only then new gas.
seek-order = The next looks, in this order:
seek-loss-was = Before the repair it lost { $rate }, somewhere from { $from } to { $to }.
seek-ratio = That is some { $times } times what your detector is rated to see ({ $rated }). So it was not leaking when it was checked, it was hidden, or it is not there: ask when and where, not with which better detector.
seek-ratio-before = That is some { $times } times what your detector is rated to see ({ $rated }): at the right place, while it leaks, it cannot be missed. Ask when and where, not with which better detector.
seek-ratio-usual = That is some { $times } times what a usual detector is rated to see ({ $rated } assumed). So it was not leaking when it was checked, it was hidden, or it is not there: ask when and where, not with which better detector.
seek-ratio-usual-before = That is some { $times } times what a usual detector is rated to see ({ $rated } assumed): at the right place, while it leaks, it cannot be missed. Ask when and where, not with which better detector.
seek-days = { $from } to { $to }
seek-under-one = under 1 %
seek-over-99 = over 99 %
seek-returns = Not mended, it is short again { $warm } days after the last refill in warm weather, { $cold } days in the cold.
seek-no-history = No dates of refills are known: the size of the loss is a guess. Two dates with amounts would sharpen it most.
seek-charge-assumed = The full charge is not known; { $charge } is assumed.
seek-over-reserve = A refill is larger than the system can lose before it shows: an amount or a date is doubtful.
seek-voided = { $count ->
    [one] One electronic check of today counts for nothing: the detector failed its own check.
   *[other] { $count } electronic checks of today count for nothing: the detector failed its own check.
}
seek-place-added = Place added by this record: { $place }.
seek-place-changed = Place changed by this record: { $place }.
seek-place-not-there = Place that this circuit does not have: { $place }.
seek-learnt = { $count ->
    [one] The beliefs about places hold one confirmed leak of this shop beside a starter that weighs { $weight }.
   *[other] The beliefs about places hold { $count } confirmed leaks of this shop beside a starter that weighs { $weight }.
}
seek-app-learn = Learn from own finds
seek-app-learn-what = { $count ->
    [one] One leak that was confirmed and mended on another job of this phone teaches where to look.
   *[other] { $count } leaks that were confirmed and mended on other jobs of this phone teach where to look.
}
seek-judgement = The chances of places and ways of looking are judgement, not statistics; your own confirmed leaks replace them.
seek-method-prior = Before any look: a belief about places, sizes of leak and explanations, held against the dates and amounts of the refills.
seek-method-looks = Each clean look lowers its place by how surely it would have seen this loss there; looks in the same way and state share their wind and their person, and what hides a leak once hides it again.
seek-method-order = The next look is the one with the greatest chance for its minutes, ways counted, and what belongs together done together.

# The loss as a leak
seek-loss-number = Loss, if it is a leak
seek-mean = mean
seek-charge = full charge
seek-assumed = assumed
seek-stretches = stretches between refills that speak
seek-method-loss = From the dates and amounts of the refills: what the system can lose before it shows, over the time it took, with the doubt of scales and of how full it was left. The interval holds 95 %.
seek-source-judgement = Shares of the charge that can be lost before it shows: judgement, in the data with their reasons.
seek-hole-high = Hole that loses as much, high side
seek-hole-low = Hole that loses as much, low side
seek-fine-high = Fine path that loses as much, high side
seek-fine-low = Fine path that loses as much, low side
seek-method-hole = Choked flow of saturated vapour, discharge coefficient 0.8, weighted by running and off time.
seek-source-hole = The nozzle equations of any gas dynamics textbook, with the real vapour’s density and speed of sound; the coefficient is a convention.
seek-method-fine = Laminar flow of the vapour through a round path of 5 mm, weighted by running and off time.
seek-source-fine = The law of Poiseuille for a gas, as EN 1779 and ISO 20485 use it (cited, not seen).
seek-run-share = share of the time running
seek-where-when = side and state
seek-pressure = pressure
seek-as-hole = passes as a hole
seek-as-fine = as a fine path
seek-high = high side, { $when }
seek-low = low side, { $when }
seek-when-running = running
seek-when-off = standing
seek-when-defrost = in a defrost
seek-when-nitrogen = under nitrogen at the nameplate
seek-when-hottest = on the hottest day
seek-passes = What one leak as large as the loss passes there
seek-passes-liquid = A rate is what would leave in a year at that pressure. Nitrogen is told as the refrigerant of the same volume. Where liquid stands behind the leak, the opening is smaller still: liquid passes some 5 to 10 times the mass (rule of practice, no source).
seek-detectors = The loss against your detector
seek-detector = detector
seek-rated = rated
seek-times-rated = times rated
seek-times-field = times, in the field
seek-usual-detector = usual detector, assumed

# Pressure
seek-at = { $pressure } at { $temperature }
seek-stand-read = Stop it, let it stand, and read both pressures with the air at the box and at the unit: only against those does a standing pressure say whether liquid is left.
seek-stand-liquid-both = Both sides stand at { $pressure }. Liquid would hold from { $least } to { $most }: liquid is left, and the pressure does not say how much. It says nothing of the loss.
seek-stand-liquid-low = The low side stands at { $pressure }. Liquid would hold from { $least } to { $most }: it agrees with liquid left there, and does not say how much.
seek-stand-liquid-high = The high side stands at { $pressure }. Liquid would hold from { $least } to { $most }: it agrees with liquid left there, and does not say how much. It says nothing of the loss.
seek-stand-gas-both = Both sides stand at { $pressure }, less than liquid would hold ({ $least }): no liquid is left, it is nearly empty or holds another refrigerant.
seek-stand-gas-low = The low side stands at { $pressure }, less than liquid would hold there ({ $least }): no liquid on that side. It is pumped down or shut off, or nearly empty.
seek-stand-gas-high = The high side stands at { $pressure }, less than liquid would hold there ({ $least }): no liquid on that side. It is shut off or nearly empty, or holds another refrigerant.
seek-stand-warm-both = Both sides stand at { $pressure }, more than liquid would hold at the warmest place read ({ $most }), but the compressor ran less than an hour before. Let it settle and read again: still above would mean another gas in it, or another refrigerant.
seek-stand-warm-low = The low side stands at { $pressure }, more than liquid would hold at the warmest place read ({ $most }), but the compressor ran less than an hour before. Let it settle and read again: still above would mean another gas in it, or another refrigerant.
seek-stand-warm-high = The high side stands at { $pressure }, more than liquid would hold at the warmest place read ({ $most }), but the compressor ran less than an hour before. Let it settle and read again: still above would mean another gas in it, or another refrigerant.
seek-stand-above-both = Both sides stand at { $pressure }, more than liquid would hold even at the warmest place read ({ $most }): air or another gas is in it, the refrigerant is another or mixed, or some place is warmer than those read.
seek-stand-above-low = The low side stands at { $pressure }, more than liquid would hold even at the warmest place read there ({ $most }): another gas is in it, the refrigerant is another or mixed, some place is warmer, or the high side leaks over.
seek-stand-above-high = The high side stands at { $pressure }, more than liquid would hold even at the warmest place read there ({ $most }): air or another gas is in it, the refrigerant is another or mixed, or some place is warmer (sun on the condenser, a unit just stopped).
seek-pressure-enough = The pressure there is enough ({ $pressure }): a leak of this size, once laid open, would be seen { $chance } of the time. More pressure gains little.
seek-pressure-equalise = The pressure there is low for it ({ $pressure }, seen { $chance } of the time). Stop it and let it equalise first: { $better }, { $then }.
seek-pressure-warm = The pressure there is low for it ({ $pressure }, seen { $chance } of the time). Let the box warm up first: { $better }, { $then }.
seek-pressure-run = The pressure there is low for it ({ $pressure }, seen { $chance } of the time). Look while it runs: { $better }, { $then }.
seek-raised = What more pressure would show at the next place
seek-way = way
seek-seen = seen, if it is there
seek-way-now = as it stands now
seek-way-equalised = off, sides together
seek-way-running = running
seek-way-warm = box warmed to the outdoor air
seek-way-nitrogen = nitrogen at the nameplate, with soap

# Halves
seek-half-receiver = To halve the circuit, shut in from the receiver outlet to the suction service valve: { $chance } of what is left lies in it.
seek-half-low = To halve the circuit, shut in from the liquid-line valve to the suction service valve: { $chance } of what is left lies in it.
seek-half-leaks-by = { $name } is recorded as leaking by: it does not bound a section until it holds.
seek-half-hold = While liquid is in it a section keeps its pressure, leak or not. Empty and under nitrogen at { $pressure }, hold it at least { $time } to tell the halves apart, for a leak of { $rate } or more.
seek-half-no-volume = While liquid is in it a section keeps its pressure, leak or not: empty it first. How long it must be held needs its inside volume and both nameplate pressures on record.

# Of what was found
seek-found-about = What was found loses about { $rate } ({ $from } to { $to }), by what was read of it.
seek-found-least = What was found loses at least { $rate }, since it foamed or hissed at once.
seek-found-unknown = How large it is nobody measured: note the rate that the detector shows, or the size of the bubbles and the time between them.
seek-prove-own = Once mended, prove it, with the system's own gas first: let its own liquid back, sniff and soap the joint at that pressure, and only then weigh in new gas.
seek-prove-table = What a clean sniff with your detector rules out there
seek-rules-out = leak ruled out, a year
seek-prove-nitrogen = Or with nitrogen, the section empty of refrigerant: at { $pressure } hold it at least { $time }. A leak of { $rate }, a tenth of the loss, would then be seen.
seek-prove-nitrogen-unknown = Or with nitrogen, the section empty of refrigerant: how long it must hold needs its inside volume and both nameplate pressures on record.

# The command
seek-cli = Where the leak may be, and where to look next
seek-cli-status = How the search stands: the loss, what explains it, what remains
seek-cli-next = The next look, in a sentence
seek-cli-explain = The same with everything it was made of
seek-cli-log = Add a look to the record, and tell the next one
seek-cli-log-file = A job file or a log; the look is written at its end
seek-cli-place = The place, in words
seek-cli-method = electronic, soap, ultrasonic, dye, tracer gas, isolation, bagging, visual, listening
seek-cli-result = clean, hit or not done
seek-cli-state = What the system was doing: running, off, defrost
seek-cli-pressure = The pressure there
seek-cli-minutes = How long it took, such as 4 min
seek-cli-repeated = Of a hit: yes where it came again
seek-cli-gone = Of a hit: yes where it went away when the probe was moved
seek-cli-spoilt = What may have spoilt it: wind, fans, sun, gas in the air
seek-cli-except = Of a sweep: a place that was left out; may be given again
seek-cli-change = Of a place of the circuit: added, changed, not there
seek-cli-side = Of a place: low side, high side
seek-cli-access = Of a place: bare joint, coil face, under insulation, inside a cover, underground
seek-cli-region = Of a place: unit, box, lines
seek-cli-opening = Of a place: how long it takes to open and close it, such as 5 min
seek-cli-vibrates = Of a place: yes where it shakes
seek-cli-opened-on = Of a place: the day it was opened last
seek-cli-age = Of a place: how old it is, such as 12 years
seek-cli-cap = Of a place: yes where its cap is missing
seek-cli-surroundings = Of a place: acid goods, salty goods, cleaning agents, sea air
seek-cli-either = A look needs --method and --result; a place of the circuit takes --change, --side, --access and the like. Give one of the two.
seek-cli-shop = A job file, a log or a folder of them: leaks confirmed and mended there teach where to look; may be given again
seek-cli-no-learning = Leave out what --shop teaches
seek-cli-kept = Kept in { $file }.

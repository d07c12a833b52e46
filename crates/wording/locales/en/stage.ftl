# What each stage of a visit shows, the places, and the list of jobs.

stage-arrive = Arrive
stage-diagnose = Diagnose
stage-search = Search
stage-decide = Decide
stage-test = Test
stage-evacuate = Evacuate
stage-charge = Charge
stage-set = Set
stage-prove = Prove
stage-close = Close
stage-history = What it lost, and when it was filled
stage-system = This system

# Big numbers
head-suction = Suction saturation (dew)
head-condensing = Condensing saturation (dew)
head-bubble = Condensing saturation (bubble)
head-moved = Moved, temperature taken out
head-vacuum = Last read
method-dew = The dew temperature at the pressure read.
method-bubble = The bubble temperature at the pressure read.

# Arrive
arrive-refrigerant = Name the refrigerant. The first pressure then gives its saturation.
arrive-refrigerant-why = Nothing else is needed to begin.
arrive-read = Read suction pressure, head pressure and the air of the box.
arrive-saturation = At the suction pressure read it boils at { $saturation } (dew).
arrive-saturation-why = Read the suction line at the same place: that makes it a superheat.
arrive-short = Expect it { $low } to { $high } short today.
sharpen-refrigerant = the refrigerant

# Search
search-found = Leak at { $place }. Decide how to open it, then mend it.
search-found-why = A mended leak is looked at again, under pressure, before it is called tight.
search-again = Hit at { $place }. Clear the air, come back: does it come again?
search-again-why = One hit may be drift, gas in the air, or another place upwind.
search-move = It came again at { $place }. Move the probe away: does it go?
search-move-why = Only what goes when the probe is moved, and comes back with it, belongs to that spot.
search-mended-look = Mended at { $place }. Look at it again.
search-mended-clean = { $place }: mended, and clean since.
search-other-places = A second leak is a place of its own: look at the others before you leave.
search-refuted = The hit at { $place } did not hold. Go on looking.
search-refuted-why = It did not come again, or did not go when the probe was moved.
search-clean = { $count ->
    [one] One check clean, no hit.
   *[other] { $count } checks clean, no hit.
}
search-clean-why = A clean check lowers the chance of a place; it does not rule the place out by itself.
search-skipped = { $count ->
    [one] One place was not done.
   *[other] { $count } places were not done.
}
search-detector-failed = The detector did not find its test leak. What it calls clean says nothing.
search-begin = Begin with your eyes: oil, rub marks, caps, insulation that is wet or torn.
search-begin-why = Check the detector on its test leak first; write down the pressure at each check.
search-no-place = a place without a name
search-log = Looked at so far
search-earlier = Earlier searches
search-spots = The circuit, place by place
search-covered = Covered
search-visits = Visits
search-state = Looked at
search-hit-row = Hit at { $place }, by { $method }
looked-not = not looked at
looked-clean = clean
looked-hit = hit
looked-mended = mended
looked-mended-clean = mended, clean since
part-compressor = Compressor
part-condenser = Condenser
part-receiver = Receiver
part-drier = Drier
part-solenoid = Solenoid
part-valve = Valve
part-capillary = Capillary
part-coil = Coil
part-suction = Suction
part-controls = Controls
sharpen-check-pressure = the pressure at each check
sharpen-sensitivity = the smallest leak the detector is rated to find

# Decide
decide-chosen = Chosen: { $option }
decide-chosen-by = Chosen by { $who }.
decide-chosen-nobody = Who chose is not on record.
decide-fits = The charge of { $charge } fits the receiver: it can be pumped down.
decide-fits-why = On the hottest day too, to the part that liquid may fill. Shut the receiver's outlet and watch the suction.
decide-does-not-fit = The charge of { $charge } does not fit the receiver.
decide-recover-first = Recover a part into a cylinder before you pump down.
decide-fit-not-resolved = Whether the charge of { $charge } fits the receiver is not resolved.
decide-offer = Name the options, and what each costs, leaves and risks. The customer chooses.
decide-fit-unknown = Whether the charge fits the receiver is not known: its volume, the charge and the hottest day are wanted.
decide-nothing = Nothing has to be opened yet.
decide-nothing-why = No leak was found that waits to be mended. What else was seen can be offered here.
decide-found = Found
decide-charge = Does the charge fit?
decide-shut = Where it can be shut
decide-valves = How to enclose it
valves-pump-down = { $place }: the compressor can empty this section.
valves-room = See first that the whole charge finds room in the receiver on the hottest day.
valves-try = Nobody has tried whether { $valve } closes: shut it, stop, and watch whether the low side rises.
valves-shut = Shut { $valve }.
valves-run = Run until the low side stands a little above zero; stop before it goes below, and lock the compressor off.
valves-then = Shut { $valve }: the section stays small while it is open.
valves-watch = Watch the gauge for some minutes. What rises comes past a valve or out of the oil: run once more, or recover.
valves-recover = { $place }: the compressor pumps to this place, or nothing before it closes. Recover it.
valves-between = Shut { $first } and { $second }: then only what stands between them has to be recovered.
valves-which-side = { $place }: whether this is on the high or the low side is not clear from its name. Name the part it is on.
caution-trapped-first = Never shut in a line full of liquid.
caution-trapped-rise = Full between two shut valves, its pressure rises { $rise } for 10 °F more. Run it empty before you shut the second valve.
caution-trapped-rest = Full between two shut valves, it bursts as it warms. Run it empty before you shut the second valve.
decide-cylinders = Recovery cylinders
decide-opening = Before you open it
decide-options = Options
decide-besides = What else can be offered
decide-option-chosen = { $option }: chosen
decide-option-not = { $option }: offered, not chosen
decide-holds = closes
decide-leaks-by = leaks by
decide-holds-unknown = not known
decide-point = Point
decide-closes = Closes
decide-weigh-first = weigh it first
sharpen-hottest = the warmest air that the receiver sees

# Test
test-running = Hold: { $section }
test-running-unnamed = Hold
test-begun = The hold runs since { $since }. Read pressure and temperature of the metal.
test-begun-no-time = The hold runs. Read pressure and temperature of the metal.
test-begun-why = A second reading tells how small a leak it can see, and by when.
test-settling = Let it settle until { $until }, then read the start anew.
test-settling-why = In the first 30 min after filling the gas comes to the temperature of the metal.
test-moved = With temperature taken out, the pressure moved { $moved }.
test-leaking-why = Sniff and soap while it is under pressure, then let it off before you tighten anything.
test-can-end = It holds. Read the end and write it down.
test-wait = Not resolved yet. Wait until { $until } to see { $wanted }.
test-wait-long = Not resolved. It would take { $time } more to see { $wanted }.
test-read-now = Read it now: it has run long enough to see { $wanted }.
test-no-limit = No leak seen. So far it could have seen { $smallest }.
test-no-rate = No drop is seen. How small a leak that means cannot be said without volume and working pressure.
test-void = This hold says nothing.
test-held = It held. The smallest leak it could have seen: { $smallest }.
test-not-shown = It shows no leak, and does not show it tight. The smallest leak it could have seen: { $smallest }.
test-mend-first = A leak was hit and is not mended. Mend it, then test.
test-mend-first-why = A section that leaks where you know of it hides what you do not know of.
test-nothing = Nothing is shut in yet.
test-nothing-why = The gas that is in it comes first: sniff at this pressure. Nitrogen only where the charge is out, or the section is shut off and empty.
test-order-nitrogen = Nitrogen into the opened section, in steps, soap at each step; then shut it in and hold.
test-order-after = Let it off, evacuate, charge; sniff again with the system's own gas.
test-order-own = Own gas: put back what liquid belongs there, stop the unit, let pressures even out.
test-order-sniff = Sniff at this pressure; compare with the pressure when it runs and on the hottest day.
test-order-out = Nitrogen only after the charge is recovered, or in a section shut off and emptied.
test-so-far = What this hold shows so far
test-ended = Holds ended
test-order = In which order
test-answer = { $at }
test-figure = Change after correction, { $unit }
test-figure-says = { $count } readings; with temperature taken out it moved { $moved }.
caution-pressure-first = { $pressure } in this section.
caution-over-plate = That is above the lowest plate, { $plate }. Let it down unless that part is shut off.
caution-under-plate = Lowest plate: { $plate }. Do not tighten under pressure.
caution-no-plate = The lowest plate of this section is not on record: read it first, and stay below it.
caution-plate-first = Never above the lowest plate.
caution-plate-limit = Lowest plate on record: { $plate }. Drier, controls and coil may have lower ones of their own.
sharpen-working-pressure = the pressure at which a leak is to be told
sharpen-filled = when filling ended
sharpen-plate = the pressure limits on the nameplate

# Evacuate
evacuate-running = Rise: { $section }
evacuate-running-unnamed = Rise
evacuate-begin = Evacuate what was opened. Then shut the pump off and watch the rise.
evacuate-begin-why = The rise tells leak from moisture; a low reading with the pump on tells neither.
evacuate-nothing = Nothing was opened: nothing calls for a vacuum.
evacuate-nothing-why = A rise is read from the moment the pump is shut off.
evacuate-leak = The rise shows a leak. Find it before you charge.
evacuate-leak-why = Look at hoses, cores and the pump's valve too: they are under the same vacuum.
evacuate-no-leak = No leak seen in the rise.
evacuate-wait = Watch on until { $until } to tell leak from moisture.
evacuate-read-now = Read it now: it was watched long enough to tell leak from moisture.
evacuate-too-short = The rise was too short by { $time }.
evacuate-go-on = Go on reading: leak and moisture cannot be told apart yet.
evacuate-not-told = The rise does not tell leak from moisture.
evacuate-rises = Rise, and its parts
caution-vacuum-first = Under vacuum.
caution-vacuum-rest = Leave the compressor off: its windings can arc. Break the vacuum with refrigerant or dry nitrogen, never with air.
sharpen-coldest = the temperature of the coldest wall under vacuum
sharpen-vacuum-gauge = which vacuum gauge read it

# Charge
charge-owed-why = Until then what went in is not known.
charge-short = By its losses it was { $low } to { $high } short.
charge-more = Weigh in { $more } more, then stop and read the glass.
charge-within = { $net } is in. That is within what was missing: stop, read the glass and the head.
charge-over = { $net } is in, more than its losses explain. Stop.
charge-over-plate = { $net } is in, more than the nameplate says. Stop.
charge-in = { $net } is in. Read suction, head and glass before more.
charge-in-read = { $net } is in, and it was read since. See below what the readings say.
charge-in-why = How much it holds is known only from empty, or from readings that may speak.
charge-find-first = It loses, and nothing is mended. Find the leak before adding more.
charge-expected = It was { $low } to { $high } short when you came. Weigh the cylinder, then begin.
charge-weigh-before = Weigh the cylinder before you open it.
charge-weigh-first = What is not weighed before and after is not known.
charge-ledger = What went in and out
charge-head = Condensing
charge-head-held = The head is held: the split says nothing of the charge.
charge-head-unknown = What holds the head up in the cold is not known: the split may say nothing. Name it first.
charge-no-air = Read the outdoor air: where it should condense follows from it.
charge-no-head = Read the head pressure: it is compared with where it should condense in this air.
charge-above-target = Condensing above where it should be
charge-above-means = Too high in this air: too much charge, air in the circuit, a dirty coil, or a fan that stands.
charge-below-means = Too low in this air: short of charge, little load, or more fan than needed.
method-above-target = Condensing dew temperature less the one aimed at; within 3 K either way is taken as there (common practice, no source).
charge-glass = Sight glass
charge-glass-receiver = Clear. On a receiver that says: liquid reaches the outlet. How much stands above it, it does not say.
charge-glass-clear = Clear: liquid there. Without a receiver more charge floods the condenser; read the subcooling.
charge-glass-bubbles = Bubbles: short of liquid there, or a pressure drop before it, or a head that is falling.
charge-glass-empty = Empty: no liquid there, or full of clear liquid. Shade it, and see whether a bubble moves.
charge-vessels = Receiver and winter
sharpen-split = how far above the air it condenses at design

# Set
set-left-owed = { $what }: write down what you leave it at.
set-why-owed = { $what } was changed: write down why.
set-why-owed-why = Who comes next must know whether to turn it back.
set-nothing = Read each setting before you touch it.
set-nothing-why = As found, as left, and why: a pair each. A picture of the old setting will do for now.
set-recorded = { $count ->
    [one] One setting on record.
   *[other] { $count } settings on record.
}
set-control-unknown = The low-pressure control is not judged: its job, cut-in and cut-out are wanted.
set-fails-one = The low-pressure control fails one rule of its job: “{ $rule }”.
set-fails = The low-pressure control fails { $count } rules of its job.
set-not-resolved = Whether the low-pressure control does its job is not resolved.
set-holds-so-far = The low-pressure control holds by the rules that can be judged.
set-holds = The low-pressure control does its job by every rule.
set-means = It starts at { $in } and stops at { $out } (dew).
set-pairs = As found, as left
set-control = Low-pressure control
sharpen-control-job = what the low-pressure control is there for
sharpen-coldest-ambient = the coldest air that the unit sees

# Prove
prove-read = Read pressure and line at the coil's outlet, and the air of the box.
prove-read-why = With the box at its temperature and the unit running for some minutes.
prove-doubtful = The last readings cannot be right as they stand.
prove-not-running = The last readings were taken while it did not run.
prove-box-warm = The box is { $above } above what is wanted. Read again when it is down.
prove-box-warm-why = A warm box loads the coil: superheat and TD speak of the pull-down, not of the valve.
prove-subcooling-only = Only the liquid was read. Read pressure and line at the coil's outlet.
prove-below-dew = The suction line is colder than dew.
prove-may-be-wet = Superheat { $superheat }: the gas may be wet.
prove-may-be-wet-why = It is nearer to dew than the instruments can tell.
prove-valve-wanted = That is the gas at the compressor. The valve is judged at the coil's outlet.
prove-no-limit = No superheat is named as wanted, and the kind of box is not known.
prove-right-settled = Superheat { $superheat } is right, and has settled.
prove-right-moving = Superheat { $superheat } is right, and still moving.
prove-right = Superheat { $superheat } is right.
prove-outside = Superheat { $superheat } is not what is wanted.
prove-outside-moving = Superheat { $superheat } is not what is wanted, and still moving.
prove-not-resolved = Superheat { $superheat }: not resolved.
prove-not-resolved-moving = Superheat { $superheat }: not resolved, and still moving. Wait, then read again.
prove-settled-at = settled
prove-wanted = Wanted: { $limit }.
prove-wanted-practice = Usual for such a box: { $limit } (common practice, no source).
prove-last = The last readings
prove-settling = Does it hold still?
prove-settled = Settled: it moved { $by } in { $over }.
prove-falling = Still falling: { $by } in { $over }.
prove-rising = Still rising: { $by } in { $over }.
prove-moving-unknown = It moved { $by } in { $over }: whether it still moves cannot be told. Read again.
prove-read-again = Read again at { $at }: two readings tell whether it holds still.
prove-shown = Controller beside your gauges
compared-pressure = Suction pressure
compared-superheat = Superheat
compared-shown = Controller
compared-found = Your gauges and probe
compared-reconcile = Before you blame one: same refrigerant set, same curve, same tap? Stop the unit, let it stand, read both.
method-compared = What the controller shows less what gauges and probe give at the same time. Where nobody stated it, a transducer is taken as good to 2.5 psi (a judgement).
sharpen-box-target = the temperature wanted in the box

# Close
close-open = { $count ->
    [one] One thing is open.
   *[other] { $count } things are open.
}
close-ask-now = Ask about this before you leave: { $what }
close-unasked = { $count ->
    [one] One thing that was seen has no answer yet.
   *[other] { $count } things that were seen have no answer yet.
}
close-empty = Nothing is on record yet.
close-choice = Nothing is owed. Read the report with the customer, and write down the choice.
close-done = Nothing is owed. Read the report, then hand it over.
close-second-visit = { $count ->
    [one] One part is to be ordered: a second visit follows.
   *[other] { $count } parts are to be ordered: a second visit follows.
}
close-owed = Open
close-besides = Offered, and what was said to it
close-state = Left in this state
close-left-shut = Shut, and left shut: { $what }
close-parts = Parts by place
close-no-place = no place named
close-part-order = { $place }: order { $part }
close-part-stock = { $place }: from the van, { $part }
close-refrigerant = Refrigerant
close-report = The report will say

# Places
place-box = Box
place-roof = Roof
place-unit = Condensing unit
place-van = Van
owed-hold = A hold runs: read its end.
owed-reading-charged = Read suction, head and glass after what was weighed in.
owed-check = Mended, and not looked at since: { $place }
carry-used-last = used last
carry-gauges = gauges
carry-clamp = clamp and air probe
carry-detector = detector and its test leak
carry-vacuum-gauge = vacuum gauge
carry-scale = scale
carry-nitrogen = nitrogen, regulator, soap
carry-pump = vacuum pump, short hoses, core tools
carry-why-test = what was mended is not tested yet
carry-why-evacuate = what was opened is not evacuated yet
carry-why-part = for the repair
caution-roof-first = Ladder and roof.
caution-roof-rest = Tie the ladder off, hands free, tools on a line. Not in lightning, ice or high wind.
caution-walk-in-first = Before you go in.
caution-walk-in-rest = Try the inside release of the door. Tell somebody that you are in there.
caution-gas-rest = Try the inside release of the door. Refrigerant may have leaked and lies in low places: air the room first.

# What can be entered
offer-ambient = Outdoor air
offer-suction = Suction
offer-discharge = Head
offer-liquid = Liquid pressure
offer-box-air = Box air
offer-glass = Glass
offer-fans = Fans
offer-condenser-air = Air onto condenser
offer-refrigerant = Refrigerant
offer-first-readings = First readings
offer-arrival = I am at
offer-box-kind = Kind of box
offer-nameplate = Picture of the nameplate
offer-charge = Charge on the nameplate
offer-complaint = Complaint
offer-past = Filled before
offer-earlier-search = Searched before
offer-came-again = Came again
offer-not-again = Did not come again
offer-gone-moved = Gone when moved
offer-stays-moved = Stays when moved
offer-clean = Clean
offer-hit = Hit
offer-not-done = Not done
offer-sweep = A region, clean
offer-sweep-why = One entry for all of it; name what you left out.
offer-detector = Check the detector
offer-detector-why = A detector that misses its test leak makes every clean check worthless.
offer-opened = Opened something
offer-closed = Closed again
offer-picture = Picture
offer-picture-read = Number typed up
offer-choice = Customer's choice
offer-recover = Recover into { $cylinder }
offer-shut = Shut a valve
offer-finding = Something else seen
offer-receiver = Volume of the receiver
offer-shut-off = A point to shut
offer-hold-reading = Reading
offer-hold-end = End of the hold
offer-hold-nitrogen = Hold with nitrogen
offer-hold-nitrogen-why = Where the charge is out, or the section is shut off and empty.
offer-hold-own = Hold with its own gas
offer-hold-own-why = Only gas may be shut in: liquid makes up for what leaks.
offer-volume = Volume under test
offer-working-pressure = Working pressure
offer-wanted = Leak it must see
offer-filled-at = When filling ended
offer-check = Leak check
offer-gauge-picture = Picture of the gauge
offer-rise = Pump shut off: start the rise
offer-rise-why = Read at the moment the pump is shut off, then every minute at first.
offer-rise-point = Reading
offer-coldest = Coldest wall
offer-nitrogen-break = Broke the vacuum with nitrogen
offer-weight-after = Weight after
offer-weigh-after = { $cylinder }: weight after
offer-weigh-cylinder = { $cylinder }: weight before
offer-weigh-before-why = On the ground, before you carry it up.
offer-cylinder = A cylinder
offer-scale-picture = Picture of the scale
offer-reading = Reading
offer-as-left = { $what }: as left
offer-low-cut-out = Low cut-out
offer-low-cut-in = Low cut-in
offer-head-pressure = Head pressure
offer-fan-on = Fan on
offer-fan-off = Fan off
offer-defrost-interval = Time between defrosts
offer-defrost-length = Longest defrost
offer-defrost-end = Defrost ends at
offer-high-cut-out = High cut-out
offer-valve-superheat = Superheat of the valve
offer-setting-picture = Picture of the old setting
offer-reading-coil = At the coil's outlet
offer-reading-liquid = Liquid, air, glass
offer-controller = What the controller shows
offer-controller-why = With your gauges read at the same moment.
offer-answer = Answer: { $what }
offer-part = A part
offer-departure = Leave { $place }

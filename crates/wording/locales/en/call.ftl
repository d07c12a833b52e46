# Quote and invoice.

bill-invoice = Invoice
bill-quote = Quote
bill-owner = What this call leaves
bill-number = Number { $number }
bill-draft = Draft, without a number
bill-corrects = Corrects and replaces { $number }
bill-to-pay = To pay: { $total }.
bill-to = For
bill-site = Place of work
bill-nobody = No customer is recorded: enter the name before this goes out.
bill-order = Your order { $order }
bill-lines = What was done
bill-would-cost = What it would cost
bill-what = What
bill-quantity = Quantity
bill-unit = Unit
bill-price = Price
bill-amount = Amount
bill-net = Before tax
bill-tax = { $tax } on { $base }
bill-total = Total in { $currency }
bill-notes = To be known
bill-terms = Terms
bill-against = Beside quote { $number }, before tax
bill-quoted = Quoted
bill-actual = Came to
bill-cost = Cost
bill-margin = Left
bill-cost-unknown = { $count ->
    [one] One line has no cost on the list; it is not counted in what is left.
   *[other] { $count } lines have no cost on the list; they are not counted in what is left.
}
bill-touches = { $trips ->
    [one] One trip
   *[other] { $trips } trips
}, { $climbs ->
    [0] no climb
    [one] one climb
   *[other] { $climbs } climbs
}, { $entries } entries with a time.
bill-besides = Seen besides
bill-before-tax = Before tax
bill-answer = Answer
bill-no-price-yet = not priced yet
bill-option-chosen = { $option } (chosen)
bill-planned = { $what } ({ $work })
bill-after-hours = { $work }, outside working hours
bill-gas = Refrigerant { $gas }, weighed
bill-gas-taken = Refrigerant { $gas }, taken away
bill-unit-each = each
bill-unit-trip = trip
bill-unit-call = call
bill-work-travel = Travel
bill-work-search = Finding the cause
bill-work-repair = Repair
bill-work-test = Testing
bill-work-charge = Recovering and charging
bill-work-set = Settings
bill-work-prove = Proving it
bill-work-close = Talking and writing
bill-warranty-hours = Warranty, hours: { $place }, mended on { $date }
bill-warranty-gas = Warranty, refrigerant: { $place }, mended on { $date }
bill-warranty-parts = Warranty, parts: { $place }, mended on { $date }
bill-gap = { $hours } h without an entry, and nobody left or came: not counted. If somebody worked, say when they came and left.
bill-rounding = Quantities have two decimals. The amount of each line is rounded to the currency, and each tax once on the sum of its lines; halves go away from zero. The total is the sum of what stands here.

# What keeps a bill from being right.

bill-lacks = { $first }{ $more ->
    [0] {""}
    [one] {" "}One more price or fact is missing.
   *[other] {" "}{ $more } more prices or facts are missing.
}
bill-no-hour = The price list has no hour for “{ $work }”, and none for every kind of work.
bill-no-gas = The price list has no price for { $gas }.
bill-no-part = No price for the part “{ $part }”: name its line of the price list (item), or its price.
bill-no-finding = No single price for “{ $what }”: name its line of the price list (item), or one price.
bill-no-plan = No price for “{ $what }”: name its time, its refrigerant, its line of the price list (item), or its price.
bill-no-code = The price list has no line “{ $code }”.
bill-no-place = Taxes go by place, and the record does not say where the site is.
bill-no-day = Taxes go by date, and the record does not say the day of the visit.
bill-not-accepted = “{ $what }” was put right, and the record does not say that it was accepted.
bill-currency = This price is not in the currency of the price list.
bill-gas-unnamed = Nothing says which refrigerant is in cylinder { $cylinder }.
bill-gas-inexact = The weights of cylinder { $cylinder } cannot be read exactly.
bill-nothing-planned = Nothing is planned: no work, no parts.
bill-number-taken = This number was given before. A number is given once.
bill-nothing-to-correct = No document { $corrects } of this kind was sent.
bill-must-correct = Invoice { $before } was sent for this visit. It stays as it is: a new one must say that it corrects it.

# The command line.

bill-cli-quote = What the planned work would cost, option by option
bill-cli-invoice = Hours, refrigerant and parts as an invoice
bill-cli-prices = The shop's price list. Without it: prices.toml beside FILE, or in the folder above
bill-cli-number = Give the document this number and keep a frozen copy of it in FILE
bill-cli-corrects = The number of the sent document that this one corrects
bill-cli-option = Of a quote with options: the one that gets the number
bill-cli-whole = Bill the earlier visits too that no invoice was sent for
bill-cli-owner = What each line leaves, for the owner alone
bill-cli-format = text, html, pdf, csv or json
bill-cli-no-prices = No price list: neither --prices, nor prices.toml beside the file or in the folder above.
bill-cli-not-prices = The price list cannot be used:
    { $problems }
bill-cli-one-file = A number is kept in one file: name that file alone.
bill-cli-which-option = Several options: say which one gets the number.
bill-cli-sent = { $number } is in { $file }; it does not change any more.
bill-cli-frozen = Document { $number } in the record does not add up: its lines and taxes are { $sum }, its total { $total }.
bill-cli-unread = Document { $number } in the record has an amount that is no decimal number.

# The follow-up of a repair.

follow-title = Follow-up
follow-come = Come back on { $date }: { $place }.
follow-passed = Closed: { $place } was clean on { $date }, late enough to have seen it.
follow-failed = It leaks again: { $place }, seen on { $date }.
follow-rate = The leak lost { $rate }. If the repair did nothing, that goes on; a look can see it only once enough is gone.
follow-rate-bound = The leak lost at least { $rate }; more is not known. If the repair did nothing, that goes on.
follow-caption = How often each look would see a repair that failed
follow-look = Look
follow-day = After 24 h
follow-month = After 30 days
follow-tenth = A tenth left, 30 days
follow-sure = 95 times in 100
follow-what = What could be seen, and when
follow-under-one = under 1 %
follow-over-99 = over 99 %
follow-days = { $count ->
    [one] after one day
   *[other] after { $count } days
}
follow-any-day = any day
follow-never = not in ten years
follow-way-glass = Glass or subcooling, a warm day
follow-way-box = The box, as the customer notices it
follow-way-night = The first night below { $below }, glass and head
follow-way-phone = Receiver level by telephone, against the level at the end of the job
follow-way-level = Receiver level read there
follow-way-there = Detector or soap at the mended place
follow-law = By law, the next day is { $date }: { $asks }
follow-wanting = Would say more, if known: { $field }.
follow-judgement = Judgement: 9 of 10 leaks within the detector's rating are found at the place itself; a level is told within 15 % of the receiver by telephone and read within 5 %. The reserve is what was missing when earlier refills were made. Of nothing lost, a level shows 5 times in 100 what looks like a loss.
follow-entry = Follow-up: { $system }, { $place }
follow-entry-look = { $look }: sees a failed repair { $chance } of the time
follow-cli = When to come back after a repair, and what that could see
follow-cli-ics = Write the appointment as a calendar file
follow-none = No follow-up: nothing was mended, or nothing is known of the loss.

# Single sheets.

sheet-customer = What we found and did
sheet-label = At this unit
sheet-leaks = Leak log
sheet-cylinders = Cylinder account
sheet-handover = For who comes next
sheet-cli = A single sheet: for the customer, for the unit, the leak log, the cylinders, for who comes next
sheet-cli-what = customer, label, leaks, cylinders, handover or load
sheet-wrong = What was wrong
sheet-did = What was done
sheet-as-it-is = How it is now
sheet-besides = What else was seen
sheet-next = What comes next
sheet-detail = Behind the first page: what was read, tested and computed, as in the service report.
sheet-called = You called: “{ $words }”
sheet-lost = It had been losing refrigerant: about { $rate }.
sheet-lost-least = It had been losing refrigerant: at least { $rate }.
sheet-leaked = It leaked at: { $place }.
sheet-held = Under pressure it held: no leak as large as the one looked for.
sheet-held-not = Under pressure it did not hold: it still leaks.
sheet-held-open = The pressure test could not tell; the detail says why.
sheet-filled = { $mass } of refrigerant weighed in.
sheet-set = { $what } changed from { $found } to { $left }.
sheet-box = Air in the box: { $air } at { $at }.
sheet-now = wants doing now
sheet-soon = wants doing soon
sheet-watch = to be watched
sheet-unanswered = your answer, please
sheet-saw = { $what }: { $urgency }; before tax { $price }; { $answer }.
sheet-chose = You chose: { $option }.
sheet-back = We come back on { $date } to see whether it holds.
sheet-ordered = To be ordered: { $part }
sheet-winter = { $mass }, reckoned for { $coldest } outdoors
sheet-not-known = not known
sheet-weighed = Weighed in less taken out on this visit
sheet-at = { $what }, { $place }
sheet-as-left = As left
sheet-entries = Entries
sheet-see-report = see the report
sheet-gas = Refrigerant
sheet-before = Before
sheet-after = After
sheet-owed = owed
sheet-state = How it was left
sheet-off = The system is off.
sheet-do-not-start = Do not start it, and do not open what is shut, before you have read why.
sheet-trapped = Liquid shut in between two valves bursts a line as it warms: look for a pressure that rises.
sheet-something-open = Something is open that is to be closed; it stands below.
sheet-normal = What is normal here
sheet-read-at = Running, read at { $at }:
sheet-value = { $what }: { $value }
sheet-last-read = Last read while running; not what is normal

# What was seen besides.

side-of = { $what }: { $said }
side-danger = Somebody can be hurt: do not leave it without saying so in writing.
side-likelier = A place like this leaks about { $times } times as often as one without it (judgement, as the search weighs it).
side-look-there = Look there with detector or soap before you leave; the search counts it as a place.
side-bare-line = Left as it is, it takes up { $low } to { $high } W on the hottest day, and the gas comes { $from } to { $to } warmer to the compressor (heat transfer from memory, by still and moving air).
side-bare-wanting = What it costs cannot be said without: { $field }.
side-runs-longer = The box runs longer for the same cold; the readings under load say how much.
side-head-rises = The head rises on the first hot day, and with it the power and the heat on the compressor.
side-keep-bare = Closed cells, glued joints, and a cover against sun and birds where it is outdoors.
side-keep-joint = Nitrogen flowing while it is brazed, and a hold before the gas goes in.
side-keep-cap = A metal cap with its seal on every valve; the cap is the seal that holds.
side-keep-chafing = A clamp with a lining at every metre of a line that moves, and none where metal touches metal.
side-keep-condenser = A date for cleaning in the calendar, before the first hot week.
side-keep-corrosion = A coated coil, or goods and cleaners that do not eat it, and rinsing after cleaning.

# Parts by function.

parts-title = Parts
parts-function = Function
parts-shop = On the shop's list
parts-order = To order
parts-must = What each must satisfy here
parts-of = { $part }: { $said }
parts-gas-oil = fit for { $gas } and { $oil } oil.
parts-gas = fit for { $gas }; the oil is not known.
parts-rated = rated for { $pressure } or more, the limit on the nameplate.
parts-size = to fit { $size }.
parts-capacity = for { $capacity } at the design of this system.
parts-opens-against = opens against the full difference of head and suction; the coil for the voltage that is there.
parts-superheat = can be set to { $superheat } of superheat; equalised as the old one is.
parts-range = a range from { $low } or less to { $high } or more, so that the settings left are not at its end.
parts-reset-self = resets by itself: a pump-down needs it.
parts-reset-code = the reset that the local code and the nameplate ask for.
parts-fan = the same turning, speed, power and mounting; fit for the weather.
parts-insulation = closed cells, 19 mm or more for a suction line (common practice), fit for sun where it is outdoors.
parts-wanting = cannot be said without: { $field }.
parts-with-drier = bring as well: nitrogen to flow, caps for the new ends, a label with the date.
parts-with-opened = bring as well: a filter drier (the circuit is opened), valve cores, seals and caps, nitrogen, a label.
parts-with-control = bring as well: a connection with its seal, and a label with the settings as left.
parts-with-insulation = bring as well: glue, tape, and a cover where it is outdoors.
parts-listed = { $code }, { $what }; on the van: { $on_van }
parts-not-listed = not on it
parts-cli = Parts: what a replacement must satisfy, what the shop has, the order

# Before the call.

load-before = Before the call
load-intake = What was said
load-title = Load
load-said = “{ $words }”
load-booked = Booked for: { $kind }
load-urgency = How soon: { $urgency }
load-at-risk = At risk: { $goods }
load-hours = Can come in: { $hours }
load-access = The way in: { $access }
load-item = { $what }: { $why }
load-check-gauges = zero them in the open air first
load-check-detector = try it on a test leak first
load-check-scale = put a known weight on it first
load-check-vacuum = try it on the pump alone first
load-compare = last compared on { $date }, more than a year ago: compare it first
load-gas-most = the largest refill took { $mass }
load-retest-past = its retest was due on { $date }: do not fill it
load-recovery-cylinder = recovery cylinder with room

# Place by place.
places-title = Place by place
places-take = Take { $what }.
places-take-for = Take { $what }: { $why }
places-weigh = Weigh cylinder { $cylinder } first.
places-touched = Touched
places-stands = How it stands
places-owed = Owed: { $what }
places-way = The way
touched-open = open
touched-closed-again = opened, closed again
touched-shut = shut, left shut
touched-left-as-found = left as found, { $left }
touched-changed = found { $found }, left { $left }
touched-left = left { $left }
touched-found-only = found { $found }; how it was left is not written
touched-cylinder = Cylinder { $name }
touched-weighed = { $before } before, { $after } after
touched-weigh-after = { $before } before; weigh it after
touched-picture = Picture: { $name }
touched-unread = its number is not typed up
touched-taken = taken
touched-take-along = used here: take it along
load-declined = Declined before, ask again: { $what }.
load-declined-by = Declined on { $date } by { $who }, ask again: { $what }.

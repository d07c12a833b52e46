# The words of the phone's screens.

## What stands on every screen
app-back = Back
app-foot = Acts
app-stages = Stages
app-undo = Undo
app-undo-named = Undo: { $name }
app-undo-correction = correction of { $name }
app-undo-settlement = choice between entries that differ
app-undo-signature = signature
app-undo-withdrawal = an entry taken back
app-undo-question = Take back: { $name }?
app-undo-stays = It stays in the record, struck out.
app-leave-it = Leave it
app-open-waiting = opens what waits to be sent
app-saved-here = Saved on this phone { $time }
app-saved-entries = { $count ->
    [one] One entry on this phone
   *[other] { $count } entries on this phone
}
app-saved-nothing = Nothing entered yet
app-saved-opening = Opening
app-saved-not-possible = Nothing can be kept here
app-saved-to-send = { $count ->
    [one] Saved { $time }, 1 to send
   *[other] Saved { $time }, { $count } to send
}
app-to-send = { $count ->
    [one] 1 entry to send
   *[other] { $count } entries to send
}
app-all-sent = All sent { $time }
app-nothing-to-send = Nothing to send
app-update-ready = A newer program is ready. It waits until you take it; your entries stay.
app-update-take = Take it now
app-opening = Opening

## The jobs
app-jobs = Jobs
app-no-jobs = No job yet. Touch New: a refrigerant is enough to begin.
app-no-name = No name yet
app-last-entry = last entry { $day } { $time }
app-unsettled = entries differ
app-without-job = Without a job
app-ask = Quick questions
app-ask-what = Saturation, superheat, cylinder, opening, recovery, vacuum, winter charge …
app-pictures = Pictures to read
app-pictures-what = Numbers still to be typed up
app-pictures-why = Taken on the job, to be typed up in the van. Until then what depends on them says it is not read yet.
app-no-pictures = Every picture is read.
app-shop = The shop
app-shop-what = Systems, what is due, refrigerant, devices
app-settings = Settings
app-settings-what = Light or dark, language, units, your name
app-new = New
app-half-typed = Typed and not kept, { $kind }: { $text }
app-drop = Drop it
app-carry-on = Carry on

## A new visit
app-new-place = Name of the place
app-new-refrigerant = Refrigerant
app-new-refrigerant-why = One touch begins the visit. Nothing else is needed.
app-new-other = Another refrigerant
app-new-known = Been there before
app-new-start = Begin
app-again = Next visit to { $name }. What is known of the system comes along.
app-again-open = Left open by the last visit
app-again-row = Next visit
app-again-what = Begins with what this one leaves open

## Where one stands
app-place = Where you are
app-place-what = Box, roof, van: what is owed, what to carry
app-places = Other places
app-i-am-here = I am here
app-you-are-here = You are here
app-leave = Leave
app-entries = { $count ->
    [one] One entry
   *[other] { $count } entries
}
app-owed = Still owed
app-owed-here = Owed here before you leave
app-carry = Carry
app-weigh-first = Weigh first, on the ground
app-picture-now = Picture now, number later

## A stage
app-asks-arrive = What is it, what was done to it, is it safe to start?
app-asks-diagnose = What is probably wrong with it as it runs?
app-asks-search = Where to look next, and how?
app-asks-decide = Recover, isolate, or shut off?
app-asks-test = Is it tight?
app-asks-evacuate = Is it dry and tight?
app-asks-charge = How much, how fast, when to stop?
app-asks-set = Cut-in, cut-out, fans, head pressure
app-asks-prove = Is it right now, and would you see it if it were not?
app-asks-close = What must be written, what is left open?
app-quick = Read again
app-not-yet = not yet
app-enter = Enter
app-behind = What stands behind these numbers
app-so-far = So far
app-answer-at = Answer at
app-minutes = { $minutes } min
app-hours = { $hours } h { $minutes } min
app-law = May I add refrigerant now?
app-next-check = Look here next
app-clean = Clean
app-hit = Hit
app-not-done = Not done
app-check-more = Enter more of this check
app-ring-touch = Touch a part to enter a check of it.
app-ring-room = Inside { $room }: the lower row.
app-sweep = Sweep of a region, with what was left out
app-hand-over = Hand over
app-report = Report
app-report-what = The page to print or share
app-sign = Sign the choice
app-sign-what = By name, drawn, or by telephone
app-record = Record
app-record-what = Every entry, struck out ones too
app-more = More
app-any-entry = Any kind of entry

## An entry
app-keep = Keep
app-next = Next
app-done = Done
app-more-fields = More fields
app-one-more = One more: { $name }
app-fewer-fields = Fewer fields
app-nothing-typed = Nothing is typed yet.
app-doubtful-keep = Keep it as it is by touching Keep again.
app-no-such-entry = There is no entry of the kind { $kind }.
app-last = Last: { $value }
app-point-time = Time since the pump was shut off
app-point-time-began = Time since it began
app-point-pressure = Pressure
app-unit = Unit: { $unit }. The next one at a touch.
app-keep-as-typed = Keep { $text } as typed
app-about-so-much = About
app-as-told = As told
app-not-known = Not known
app-no-instrument = no instrument named
app-instrument = With { $name }
app-another-name = Another
app-keys = Keys
app-key-delete = Delete
app-numbers-of-picture = The numbers of this picture

## Entries made earlier
app-correct = Correct
app-corrected = Corrected: { $name }
app-take-back = Take it back
app-take-back-why = An entry taken back stays in the record, struck out.
app-taken-back = An entry taken back
app-struck-out = struck out
app-erased = Erased
app-settled = Chosen between entries that differ
app-entry-gone = This entry does not stand any more.
app-differ = Entries that differ
app-choose = Two people say different things. Which one holds?
app-signed-by = Signed by { $who }

## Signing
app-sign-no-choice = Enter first what the customer chose.
app-chosen = Chosen
app-sign-bound = The signature is bound to the report as it stands now.
app-sign-name = Name of who chose
app-sign-name-first = Type the name of who chose first.
app-sign-by-name = Signed by name
app-sign-by-phone = Agreed by phone
app-sign-draw = Draw the name
app-sign-clear = Wipe it off
app-sign-drawn = Signed as drawn
app-sign-not-drawn = Nothing is drawn yet.

## The report
app-print = Print
app-save-file = Save as a file

## Pictures
app-type-up = Type it up
app-nothing-to-read = Nothing to read
app-report-pictures = Pictures
app-picture-alt = The picture as it was taken
app-picture-coming = The picture is on its way from another phone.

## Quick questions
app-ask-saturation = Saturation
app-ask-superheat = Superheat
app-ask-subcooling = Subcooling
app-ask-hold = Hold with nitrogen
app-ask-opening = Opening a section
app-ask-recovery = Recovery
app-ask-evacuation = Evacuation
app-ask-pulldown = Will not pull down
app-ask-box = The box without its plant
app-ask-displays = Two displays that differ
app-ask-cylinder = Recovery cylinder
app-ask-receiver = Receiver on the hottest day
app-ask-winter = Winter charge
app-ask-waits = The answer stands here as soon as enough is typed.
app-keep-into-job = Keep into the job
app-keep-no-job = There is no job yet to keep it into.

## Settings
app-theme = Light
app-theme-sun = For the sun
app-theme-plant = For plant rooms
app-language = Language
app-own-name = Your name, as it stands in the record
app-units = Units first shown
app-decimal = Decimal sign shown; both are read
app-keeping = What this phone keeps
app-persistent-yes = The browser has promised to keep what is entered here.
app-persistent-no = The browser may clear what is entered here when room is short. Put the app on the home screen, and send often.
app-persistent-unknown = This browser does not say whether it keeps what is entered here. Send often.
app-ask-to-keep = Ask it to keep
app-files = Files
app-files-what = Export everything, take a file in
app-export = Export the record
app-export-pictures = Export the pictures
app-take-in = Take a file in
app-taken-in = { $count ->
    [0] Nothing new in it.
    [one] One entry taken in.
   *[other] { $count } entries taken in.
}

## Sending
app-waiting = Saved and sent
app-waiting-what = What waits, when it was last sent
app-send-now = Send now
app-count-entries = Entries on this phone
app-count-waiting = Waiting to be sent
app-count-pictures = Pictures waiting
app-count-held = Held back
app-last-saved = Last saved
app-last-sent = All sent at
app-held-why = The shop has another text under the same name. Both are kept; the office must look at it. Export the record to be safe.
app-not-keeping-why = This browser keeps nothing, as in a private window. Open the app in an ordinary window.
app-reach-alone = This phone is not joined to a shop. Everything stays here, and works.
app-reach-fine = The shop has everything.
app-reach-trying = Sending.
app-reach-away = The shop cannot be reached. It is tried again by itself; go on working.
app-reach-pair-again = The shop does not know this phone any more. Pair it again; nothing is lost meanwhile.
app-reach-trouble = The shop answers: { $words }
app-lost-phone = A lost phone: whoever can unlock it can read what is on it. Lock the phone itself, and have the office strike it off; what was sent is safe at the shop.
app-pair = Join a shop
app-pair-what = By the code that the office shows
app-pair-how = Type the code that the office shows, or open its picture with the camera.
app-pair-code = Code
app-pair-name = Name of this phone
app-pair-join = Join
app-pair-failed = Not joined. { $words }
app-pair-away = Not joined: the shop cannot be reached. { $words }
app-pair-code-refused = Not joined: the shop does not take this code. Ask the office for a new one; each serves once, and not for long.
app-pair-busy = Not joined: the shop asks to wait. Try again in a minute.
app-paired = Joined to { $shop }, for { $person }.
app-leave-shop = Leave this shop

## About
app-about = About
app-about-what = gastight finds why a cold room loses its charge or its temperature, proves the repair and keeps the record. It computes on this phone and needs no network.
app-about-cautions = The nameplate, the local code and licensed practice come first. It never gives a test pressure above the nameplate.
app-licences = Licences
app-licences-what = gastight: MIT or Apache-2.0. Letters: B612, SIL Open Font License. Coefficients of the refrigerants: their publications, named with each number.
app-still = Still { $value }

## What the quick questions ask
app-asked-pressure = Pressure
app-asked-temperature = Temperature
app-asked-suction = Suction pressure
app-asked-liquid = Liquid pressure
app-asked-line = Temperature of the line there
app-asked-working = Pressure the part works at
app-asked-start-pressure = Pressure at the start
app-asked-start-temperature = Temperature at the start
app-asked-end-pressure = Pressure at the end
app-asked-end-temperature = Temperature at the end
app-asked-lasted = Time between
app-asked-volume = Volume shut in
app-asked-wanted = Leak it must be able to see
app-asked-section = Volume of the section
app-asked-walls = Temperature of its walls
app-asked-bore = Bore that is open
app-asked-open-for = Open for, as rehearsed
app-asked-stands-at = Pressure it stands at
app-asked-cores = Valve cores left in, how many
app-asked-wet = Water in it
app-asked-rise-over = Time each rise was watched
app-asked-water = Water capacity of the cylinder
app-asked-tare = Tare of the cylinder
app-asked-gross = Cylinder on the scale now
app-asked-receiver = Volume of the receiver
app-asked-hottest = Hottest it gets there
app-asked-fill = How full it may be
app-asked-charge = Charge to go in
app-asked-condenser = Volume of the condenser
app-asked-split = Condensing above the air, at design
app-asked-head = What the head-pressure control holds
app-asked-coldest = Coldest air of the year
app-in-group = { $group }: { $name }
app-new-cylinder = { $name } is new: it joins the cylinders of this job.

app-prices = The shop's prices
app-prices-take = Take a price list in
app-prices-none = None here. With the shop’s price list the ways to go on have costs, and quote and invoice stand beside the report.
app-prices-of = { $shop }: { $count } prices. Quote and invoice stand beside the report; both are drafts here, numbers are given in the office.
app-prices-wrong = The price list was not taken. Line { $line }: { $why }

# What the law asks: the answer, what is due, what must be written.

law-title = What the law asks
law-no-advice = Not legal advice. The law's own text, the nameplate and the local authority decide. A verdict is firm only where the law's text was read; everything else says "not confirmed", and what to read.
law-how-read = How the record was read: a hit is a leak test that found a leak; a clean check counts as a leak test of the system only where it says so, or at the place that was mended; a hold counts where it is tight within its limit. Days are days by the clock of the site. Holidays are not counted.
law-list = { $list }; { $next }

# The answer
law-may-add = May refrigerant be added now?
law-word-yes = yes
law-word-yes-with-duties = yes, with duties
law-word-no-until = not yet
law-word-emergency = emergency only
law-word-unknown = not known
law-answer-yes = Refrigerant may be added now, by the law as read.
law-answer-yes-with-duties = Refrigerant may be added now, and duties come with it.
law-answer-no-until = Do not add refrigerant yet. First: { $until }.
law-answer-no = Do not add refrigerant.
law-answer-emergency-only = Add only against the immediate danger, and only while it lasts.
law-answer-no-ban-found = No ban on adding was found in what was read. That is not a permission.
law-answer-nothing-speaks = Nothing that was read forbids or permits adding to this system. That is not a permission: ask the local authority.
law-answer-not-read = The law of this place was not read. Ask the local authority before adding.
law-answer-missing = Whether refrigerant may be added depends on what is not known: { $facts }.
law-answer-unknown = Whether refrigerant may be added cannot be said.
law-because = { $sections }
law-not-confirmed = Not confirmed ({ $status }): read { $instrument }, { $section }.
law-rests-on = { $instrument }, { $section }: { $asks } ({ $status })
law-act-line = { $act } { $why }
law-depends = It holds here or not by { $facts }: { $instrument }, { $section }, read in the law.
law-exception = Where there is an immediate danger, or stopping would endanger life or health, an exception may hold: { $instrument }, { $section }. Say so in the record.
law-would-decide = This would decide:
law-governed-by = Asked: the law of { $laws }.
law-governed-by-owner = Asked: the law of { $laws }. Whose it is: { $owner }.
law-governed-by-none = No law was asked: the place is not known.

law-until-leak-test = a leak test for this addition
law-until-leak-located = the leak located
law-until-leak-repaired = the leak repaired
law-until-owner-told = the owner told of the leak
law-until-verification = the verification test after the repair passed
law-until-treated-gas = reclaimed or recycled gas at hand, no new gas
law-until-reclaimed-gas = reclaimed gas at hand
law-until-recovered-treated = the recovered gas recycled or reclaimed
law-until-other-gas = another gas: this one may not be used
law-until-no-net-gain = no more than was recovered
law-until-other-purpose = another purpose than a leak test
law-until-certified = a certified person to do it

law-act-tested-and-repaired = Act as if: no adding before a leak test, and none before a found leak is repaired.
law-act-located-and-repaired = Act as if: no adding before the leak is located and repaired.
law-act-known-leak = Act as if: no adding while a leak is known.
law-act-verification = Act as if: no adding before the test after the repair is passed.
law-act-leak-test = Act as if: no adding to test for leaks.
law-act-no-net-gain = Act as if: no more than was recovered.
law-act-no-virgin-gas = Act as if: no new gas.
law-act-reclaimed-only = Act as if: reclaimed gas only.
law-act-treated = Act as if: recovered gas only after it was recycled or reclaimed.
law-act-no-gas = Act as if: this gas may not be used.
law-act-certified = Act as if: a certified person must do it.
law-act-duties = Act as if the duty held.

law-fact-place = the place whose law holds
law-fact-region = the province, state or nation
law-fact-owner = whose the system is
law-fact-use = what the system is for
law-fact-refrigerant = the refrigerant
law-fact-gwp = a warming potential of this refrigerant in the law's list
law-fact-refrigerant-scope = whether the law covers this kind of refrigerant
law-fact-equipment-scope = whether the law covers this kind of equipment
law-fact-full-charge = the full charge
law-fact-rated-power = the rated power
law-fact-hermetic = whether it is labelled hermetically sealed
law-fact-detection = whether a fixed leak detection system is there
law-fact-installed = the day it was put in
law-fact-special-use = a special use, or none
law-fact-previous-check = the last leak test before
law-fact-previous-detection-check = the last check of the detection system
law-fact-previous-addition = when refrigerant was last added before
law-fact-added-mass = how much was added
law-fact-released-mass = how much got away
law-fact-method = the leak rate method of the facility
law-fact-process-shutdown = whether an industrial process must be shut down
law-fact-evacuated = whether the part had been emptied for the repair
law-fact-return-to-normal = when it was back at normal operation
law-fact-leak-test-before = a leak test before this addition
law-fact-leak-test-result = what the leak test showed
law-fact-owner-told = that the owner was told
law-fact-certified = the certificate of who does the work
law-fact-stopping-endangers = whether stopping would endanger life or health
law-fact-reason = why refrigerant is added
law-fact-gas-from = where the gas comes from
law-fact-time-of-day = the time of day

law-status-read = read in the law
law-status-silence = no ban found in the sections read
law-status-guide = read in the authority's guidance
law-status-secondary = from a page about the law
law-status-recalled = recalled, nothing read
law-status-told = read in the law; rests on what was told
law-status-not-firm = read in the law; left open there, or rests on what was told
law-status-open = the law's text leaves it open

law-owner-federal = federal
law-owner-federal-land = on federal or aboriginal land
law-owner-private = private
law-owner-not-said = not on record

law-place-ca-federal = Canada, federal
law-place-ca-on = Ontario
law-place-ca-qc = Quebec
law-place-ca-mb = Manitoba
law-place-ca-province = a Canadian province
law-place-us = the United States
law-place-us-ca = California
law-place-eu = the European Union
law-place-es = Spain
law-place-fr = France
law-place-gb = Great Britain
law-place-other = { $code }
law-place-none = The record does not say whose law holds. Write it under the site, such as "Ontario, Canada".
law-place-unknown = "{ $typed }" is no place that is known here. Write it like "Ontario, Canada", "CA-ON", "Spain" or "New York, USA".
law-place-ambiguous = "{ $typed }" is more than one place. Write "{ $write }" if that is meant.
law-place-two = Two places are named, { $one } and { $two }. Write the one whose law holds.

# Gas by its origin
law-gas-caption = Which gas may be used
law-gas-virgin = new
law-gas-reclaimed = reclaimed
law-gas-recycled = recycled
law-gas-recovered = recovered, untreated
law-gas-not-said = origin not on record
law-gas-no-ban = no ban found in what was read
law-gas-banned = banned
law-gas-act-as-if-banned = act as if banned; not confirmed
law-gas-unknown = not known

# Sections
law-section-charging = May I add refrigerant?
law-section-due = What is due
law-section-written = What must be written
law-section-rates = Leak rates by law
law-section-account = Refrigerant account by year
law-section-notice = Notice for the equipment
law-section-standing = Always
law-section-sources = Where it stands

# What is due
law-due-caption = Due, overdue, and choices that are open
law-breached-caption = Breaches on record, ended
law-due-at-once = at once
law-due-without-delay = without undue delay
law-due-before-adding = before refrigerant is added
law-due-open = open
law-overdue = overdue
law-overdue-since = overdue; last day { $day }
law-choice = A choice: { $asks }
law-nothing-due = Nothing is due by what is on record.
law-wanting = Not to be judged for want of:
law-wanting-line = { $fact }: { $count ->
    [one] { $sections }
   *[other] { $count } sections ({ $sections })
 }
law-event = { $kind } { $day }
law-event-at = { $kind } { $day }, { $place }
law-remark-use = What the system is for was taken from the kind of box.
law-remark-days = { $count ->
    [one] One entry has no day: the law could not count it.
   *[other] { $count } entries have no day: the law could not count them.
 }
law-remark-put-back = { $mass } were recovered and put back on the same visit; they are not counted as added.
law-remark-told = Rests on what was told or said about: { $facts }.
law-remark-not-read = Nothing was read of the law of { $law }.

# What must be written
law-records-caption = Records that the law asks for
law-fields-complete = complete in this record
law-fields-missing = missing: { $fields }
law-fields-not-read = which fields it must have was not read
law-kept = { $years ->
    [one] one year
   *[other] { $years } years
 }
law-kept-by = { $years ->
    [one] one year, { $by }
   *[other] { $years } years, { $by }
 }
law-kept-not-read = not read

law-field-system = which system
law-field-owner = owner or operator
law-field-responsible-person = responsible person
law-field-address = address
law-field-location = where it stands
law-field-serial-number = serial number
law-field-equipment-type = kind of equipment
law-field-full-charge = full charge
law-field-full-charge-method = how the full charge was found
law-field-full-charge-range = range and midpoint of the full charge
law-field-full-charge-revisions = revisions of the full charge
law-field-date = day
law-field-activity = kind of activity
law-field-parts-serviced = parts worked on
law-field-work-done = what was done
law-field-person = who did it
law-field-employer = employer
law-field-certificate-number = number of the certificate
law-field-refrigerant = refrigerant
law-field-amount-added = amount added
law-field-amount-at-installation = amount added at installation
law-field-reason-added = why it was added
law-field-amount-recovered = amount recovered
law-field-gas-origin = where the gas came from
law-field-leak-rate = leak rate
law-field-leak-rate-method = leak rate method
law-field-check-method = how leaks were looked for
law-field-leak-locations = where leaks were found
law-field-all-parts = that all visible and accessible parts were inspected
law-field-test-type = kind of test
law-field-test-result = result of the test
law-field-check-dates = days of checks
law-field-repair-dates = days of repairs
law-field-decommissioning = decommissioning, and what became of the gas

# Leak rates
law-rates-caption = Leak rate after the latest addition
law-rate-at-least = at least { $percent } (not known: { $fact })
law-rate-wants = not known for want of: { $fact }
law-rate-none = cannot be counted
law-rate-over = over { $limit } %
law-rate-not-over = not over { $limit } %
law-rate-limit = limit { $limit } %
law-rate-no-limit = no limit in the law that was read
law-charge-tonnes = { $law }: full charge { $tonnes } t CO2 equivalent, by GWP { $gwp } ({ $basis })

# The account
law-account-caption = What went in, came out and got away
law-account-from = { $gas }: { $mass }
law-account-unweighed = { $count ->
    [one] one entry without a mass: the sums are floors
   *[other] { $count } entries without a mass: the sums are floors
 }
law-releases-caption = Releases
law-release-none = 10 kg or less: no report under SOR/2022-110
law-release-half-year = SOR/2022-110 section 25, where it holds: with the half-year's report by { $day }
law-release-large = SOR/2022-110 section 24, where it holds: first report within 24 hours, full report by { $day }

# The notice
law-notice-system = System: { $system }
law-notice-refrigerant = Refrigerant: { $refrigerant }, full charge { $charge }
law-notice-date = Leak test on { $day }
law-notice-person = By { $person }, certificate { $certificate }, valid until ________
law-notice-employer = Employer: { $employer }
law-notice-found = Result: leak found at { $places }
law-notice-clean = Result: no leak found in { $count ->
    [one] one check
   *[other] { $count } checks
 } at { $places }
law-notice-do-not-add = Do not add refrigerant until the leak is repaired.
law-notice-blank = ________
law-notice-ontario = Fields as in the Ontario ministry's guidance on vehicle air conditioning ({ $status }); for stationary equipment O. Reg. 463/10 was not read.
law-notice-practice = Common practice, no source; the law of this place may ask for another form.

# Columns
law-column-gas = Gas
law-column-may = May it be used?
law-column-section = Section
law-column-by = By
law-column-asks = What
law-column-law = Law and section
law-column-known = How it is known
law-column-evidence = From
law-column-days = Days
law-column-record = Record
law-column-kept = Kept
law-column-state = In this record
law-column-method = Method
law-column-rate = Rate a year
law-column-threshold = Threshold
law-column-year = Year
law-column-added = Added
law-column-removed = Taken out
law-column-released = Got away
law-column-of-it = Of it
law-column-day = Day
law-column-tonnes = t CO2 equivalent
law-column-release-report = Report
law-column-system = System
law-source = { $id }: { $title }, { $article }; { $href }; looked at { $on }: { $by }

# Across systems
law-calendar-title = What is due, by law
law-calendar-caption = Due across systems
law-systems-caption = Whether refrigerant may be added, system by system
law-calendar-now = { $systems ->
    [one] One system
   *[other] { $systems } systems
 }: { $lines } due, { $overdue } of them overdue.

law-entry = { $system }: { $asks }
law-entry-overdue = Overdue: { $system }: { $asks }
law-entry-choice = Choice: { $system }: { $asks }
law-entry-not-confirmed = Not confirmed: { $system }: { $asks }
law-entry-behind = { $instrument }, { $section }. How it is known: { $known }. Not legal advice.

# The command
law-cli = What the law asks of a system, or of all systems of a folder or log: may refrigerant be added, what is due, what must be written.
law-cli-file = A job file, a log, several of them, or a folder of them; - reads the standard input
law-cli-on = The day asked about; today if not given
law-cli-within = Show as due only what falls due within so long, such as 60d; what is overdue is always shown
law-cli-format = As text, or as one page to print
law-cli-ics = Write what is due as a calendar file
law-cli-law = A duty of your own, as a file like those under data/law/duties; may be given several times
law-refused-date = { $field } must be a day; seen: "{ $given }". Such as: { $sensible }
law-refused-within = { $field } must be a time of at most 40,000 days; seen: "{ $given }". Such as: { $sensible }
law-refused-folder = { $given } holds no job file and no log. Such as: { $sensible }
law-refused-toml = { $field } cannot be read as a duty: { $given }
law-refused-key = { $field }: a duty must say "{ $sensible }", and this one does not.
law-refused-unknown-key = { $field }: no duty has a key "{ $given }".
law-refused-value = { $field }: "{ $given }" is not what "{ $sensible }" takes.
law-refused-version = { $field }: a duty needs at least one [[version]] with its status and its source.
law-refused-twice = { $field }: a duty with the id "{ $given }" is there already.

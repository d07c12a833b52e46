# The words of the document renderers.

report-verdict-met = met
report-verdict-breached = breached
report-verdict-not-resolved = not resolved
report-verdict-due = due
report-verdict-unknown = unknown
report-verdict-doubtful = doubtful
report-verdict-nothing = not entered

# Columns and headings.
report-verdict = verdict
report-what = what
report-value = value ± 95 %
report-limit = limit
report-number = Number
report-from-what = From what
report-how = How
report-doubt = Where the doubt comes from
report-source = Source
report-inputs-methods-sources = Inputs, methods, sources

# The foot.
report-mark-demo = Demo: the data are invented.
report-mark-answer = Computed from what was asked.
report-mark-real = Made from what was recorded on this job.
report-not-legal-advice = Not legal advice: the nameplate, the local code and the local authority decide.

report-caution = Caution:

# Chances.
report-something-else = something else
report-under-one-percent = under 1 %

# Pictures.
report-nothing-to-draw = Nothing to draw: no reading here is a number that fits on an axis.
report-left-out = { $count ->
    [one] One value is not a number that fits on an axis, and is not drawn.
   *[other] { $count } values are not numbers that fit on an axis, and are not drawn.
 }
report-rows-shown = { $shown } of { $all } rows shown.
report-numbers-of-picture = The numbers of this picture
report-point = point
report-place = place
report-half-width = ± 95 %
report-chance-left = chance of a leak left
report-looked-at = looked at
report-block-found = leak found
report-block-ruled-out = ruled out
report-block-looked = looked at
report-date = date
report-charge-before = { $unit } before
report-charge-added = { $unit } added
report-charge-after = { $unit } after
report-expected-if-tight = here if tight
report-season-cold = cold
report-season-warm = warm
report-strip-point = point
report-strip-closes = closes
report-strip-section = section
report-strip-shut-in = shut in

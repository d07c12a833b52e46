# The words of the document renderers.

report-verdict-met = met
report-verdict-breached = breached
report-verdict-not-resolved = not resolved
report-verdict-due = due
report-verdict-unknown = unknown
report-verdict-doubtful = doubtful
report-verdict-nothing = not entered

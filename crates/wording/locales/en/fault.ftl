# Faults by the model: cases from a file.
fault-unreadable = { $field }: “{ $given }” cannot be read: { $sensible }
fault-unwritable = { $field }: “{ $given }” cannot be written: { $sensible }
fault-line-long = { $field }: { $given } bytes are too many for one case. At most { $sensible }
fault-not-json = { $field }: this is not JSON: { $given }. Such as: { $sensible }
fault-refrigerant = { $field }: “{ $given }” is not a refrigerant this knows. Such as: { $sensible }
fault-object = { $field }: “{ $given }” is not an object. Such as: { $sensible }
fault-key = { $field }: “{ $given }” is not a name used here. Known: { $sensible }
fault-value = { $field }: “{ $given }” does not fit. Sensible: { $sensible }
fault-missing = { $field } is missing (“{ $given }”). Sensible: { $sensible }

# Faults by the model: a visit.
fault-none = nothing is wrong
fault-under = too little charge
fault-over = too much charge
fault-condenser-dirt = dirt on the condenser
fault-condenser-fan = a condenser fan down
fault-coil-ice = ice on the coil
fault-coil-fan = a coil fan down
fault-restriction = a restriction in drier or liquid line
fault-underfeed = the valve feeds too little
fault-overfeed = the valve feeds too much
fault-valve-leak = leaking compressor valves
fault-non-condensable = gas that does not condense
fault-gauge = a gauge that is off
fault-head-low = a head control that does not hold
fault-head-high = a head control that holds too much
fault-something-else = something else
fault-both = { $first }, with { $second }
fault-reads-low = the suction pressure
fault-reads-high = the head pressure
fault-reads-suction-line = the suction line at the compressor
fault-reads-liquid-line = the liquid line
fault-reads-discharge = the discharge line
fault-reads-coil-air = the air off the coil
fault-reads-condenser-air = the air off the condenser
fault-reads-after-drier = the liquid line after the drier
fault-reads-power = the compressor's power
fault-reads-glass = the glass
fault-reads-coil-fans = the coil's fans
fault-reads-condenser-fans = the condenser's fans
fault-probably = Most probable: { $cause }, { $percent } %.
fault-by-visit = Against what was kept as normal here on an earlier visit.
fault-by-plate = By the plate alone: nothing was kept as normal here before, so sizes are in doubt.
fault-chance = { $percent } %: { $cause }
fault-not-apart = These readings do not tell apart: { $first } and { $second }.
fault-next = Read next: { $reading }, about { $minutes } min.
fault-charge-between = The charge is { $low } to { $high } % of the usual one (9 times in 10).
fault-charge-least = The charge is at least { $low } % of the usual one; the liquid stands in the receiver, more cannot be seen.
fault-unseen = Cannot be seen with these readings: { $fault }. This would show it: { $reading }.
fault-unseen-by-any = Cannot be seen here today: { $fault }.
fault-honest = Tried on simulated systems only. No openly available measured faults of walk-ins: accuracy on real systems will be lower. Nameplate, local code and licensed practice come first.
fault-restricted-before = The liquid cools on its way to the place after the drier: look for the restriction before that place, the drier first.
fault-restricted-past = The liquid does not cool on its way to the place after the drier: look for the restriction past that place.
fault-restricted-unclear = The liquid cools a little on its way to the place after the drier: before or past it is not told by these readings.
fault-restricted-unread = Whether the restriction lies before the drier's end or past it is not told: read the liquid line at the condenser or receiver and after the drier.
fault-moving = The superheat still moves: the readings are taken with twice their doubt. Read again when it stands.

# The stage, and its part of the report.
offer-reading-model = Readings of the running system
diagnose-read = Read the running system: one pressure at least, box air and outdoor air.
diagnose-read-why = Wait until it runs steadily. Readings in defrost, pull-down or pump-down say nothing here.
diagnose-chances = What is probably wrong
diagnose-against = Measured, and what the healthy system would show
diagnose-against-note = The band is where nineteen of twenty healthy systems would read, the doubt of instrument, plate and model in it.
diagnose-expected = { $measured }, expected { $value }
diagnose-within = as expected
diagnose-off = off
diagnose-besides = What else these readings say
diagnose-assumed = { $count ->
    [one] 1 fact of the plate was assumed. Enter it, and the answer gets surer.
   *[other] { $count } facts of the plate were assumed. Enter them, and the answer gets surer.
  }
diagnose-caution = Live parts, hot lines and turning fans.
diagnose-caution-rest = Eye protection and gloves at the ports. Keep clear of fans that start by themselves. Nameplate, local code and licensed practice come first.

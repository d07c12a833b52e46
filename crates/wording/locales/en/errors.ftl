# Why a question cannot be answered as asked: what is wrong, what was seen, what would be sensible.

refused-empty = { $field } is empty. Such as: { $sensible }
refused-no-number = { $field }: there is no number in “{ $given }”. Such as: { $sensible }
refused-ambiguous-comma = { $field }: is the comma in “{ $given }” a decimal mark or a thousands mark? Write { $sensible }
refused-missing-unit = { $field }: “{ $given }” has no unit. Such as: { $sensible }
refused-unknown-unit = { $field }: the unit in “{ $given }” is not one for this. Such as: { $sensible }
refused-gauge-or-absolute = { $field }: “{ $given }” does not say gauge or absolute. Write { $sensible }
refused-ambiguous-unit = { $field }: the unit in “{ $given }” stands for several. Such as: { $sensible }
refused-below-zero = { $field }: “{ $given }” is less than there can be. Such as: { $sensible }
refused-beyond-vacuum = { $field }: “{ $given }” is beyond vacuum; inches of mercury alone are vacuum, without a minus. Such as: { $sensible }
refused-division-by-zero = { $field }: “{ $given }” divides by zero. Such as: { $sensible }
refused-too-large = { $field }: “{ $given }” is too large to be meant. Such as: { $sensible }
refused-unknown-refrigerant = { $given } is not a refrigerant known here. Near it: { $sensible }
refused-composition-form = { $field }: “{ $given }” is not of the form NAME=PART,NAME=PART. Such as: { $sensible }
refused-composition-sum = { $field }: the parts add up to { $given }, not to 1.
refused-composition-component = { $field }: { $given } has no equation of state here. Known: { $sensible }
refused-altitude = { $field }: { $given } is not a place to work. Sensible: { $sensible }
refused-barometer = { $field }: { $given } is no weather on earth at that height. Sensible: { $sensible }
refused-above-critical = { $field }: at { $given } there is no saturation; the critical point is at { $sensible }. Ask for the state instead.
refused-solid = { $field }: at { $given } it would be solid; the triple point is at { $sensible }.
refused-out-of-range = { $field }: { $given } is outside what the equations cover. Sensible: { $sensible }
refused-not-converged = { $field }: no state was found at { $given }. Nearby values may work; please keep the command and report it.
refused-not-positive = { $field } must be more than nothing; seen: { $given }. Such as: { $sensible }
refused-not-a-part = { $field } must lie between 0 and 1; seen: { $given }. Such as: { $sensible }
refused-order = { $field }: { $given } does not fit the rest. Sensible: { $sensible }

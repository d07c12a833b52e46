# The owner's pages in the office.

office-to-phone = To the jobs on this device
office-pages = Pages of the shop
office-page-systems = Systems
office-page-account = Refrigerant
office-page-due = Due
office-page-jobs = Jobs
office-page-find = Find
office-page-devices = Phones
office-page-people = People
office-page-audit = Who did what
office-page-passkeys = Passkeys
office-signed-in = { $person }, { $shop }
office-sign-out = Sign out
office-sign-in = Sign in
office-sign-in-passkey = Sign in with a passkey
office-sign-in-why = These pages show the whole shop. Work on a phone needs no sign-in.
office-name = Name
office-password = Password
office-wait = Asking the shop's server.
office-not-in = Not signed in, or not any more. Sign in again.
office-not-allowed = This person may not see or do this. Ask the owner.
office-away = The shop's server cannot be reached. Nothing was changed.
office-busy = The shop's server is busy, or was asked too often. Try again in a moment.
office-said = The server says: { $words }
office-csv = Take this along as CSV
office-more = More
office-invented = Some of what stands here is invented, for trying things out.
office-unnamed = Without a name

office-now = Now
office-now-empty = Nothing here yet. Pair a phone, and what it records comes here.
office-now-none = No system here is known to lose refrigerant.
office-now-loses = { $system } loses { $loss }.
office-now-loses-share = { $system } loses { $loss }, { $percent } of its charge.
office-now-overdue = { $count ->
    [0] Nothing is overdue.
    [one] One thing is overdue.
   *[other] { $count } things are overdue.
  }
office-now-sum = By their refills the systems lose { $sum } together; { $count ->
    [0] of none is it beyond doubt
    [one] of one it is beyond doubt
   *[other] of { $count } it is beyond doubt
  }. A refill shows a loss, not yet a leak.
office-no-systems = No systems yet. A visit that names a site or a system makes one.
office-systems-by-loss = Systems, by what they lose
office-axis = 0 to { $end } of the charge a year
office-more-systems = { $count ->
    [one] One more system
   *[other] { $count } more systems
  }
office-column-standing = Stands
office-column-system = System
office-column-loss = Loss a year
office-column-next = Next due
office-standing-late = overdue
office-standing-due = due
office-standing-open = open, or to be read first
office-standing-nothing = nothing due
office-loss-none = no refill on record
office-loss-unknown = cannot be told yet
office-loss-least = at least { $least }
office-share-of-charge = { $percent } of the charge a year.
office-counted = Counted from { $from } to { $to }.
office-unknown-refills = { $count ->
    [one] Of one refill nobody knows the amount.
   *[other] Of { $count } refills nobody knows the amount.
  }
office-trend-faster = It is getting faster.
office-trend-slower = It is getting slower.
office-trend-unknown = Whether it is getting faster cannot be told.
office-rate = { $formula }: { $percent } of the full charge a year.
office-rate-annualizing = Leak rate, annualizing method, 40 CFR 82.152
office-rate-rolling = Leak rate, rolling average, 40 CFR 82.152
office-visits = Visits
office-weighed = Weighed in and out

office-due-by-date = Due, by date
office-due-all = { $count ->
    [0] All that is due
    [one] All that is due: one thing
   *[other] All that is due: { $count } things
  }
office-due-none = Nothing is due.
office-due-more = There is more. The table to take along has all of it.
office-due-opened = { $of } was opened and is not closed
office-due-weight = weight after of { $of }
office-due-hold = a hold runs; read its end
office-due-reading = take readings after charging
office-due-check = look again at { $of }, which was mended
office-due-picture = type up the picture: { $of }
office-due-answer = ask the customer: { $of }
office-due-later = ask again: { $of }
office-due-part = order { $of }
office-due-retest = test the cylinder { $of } again
office-due-unsettled = two entries differ; choose one
office-due-unsettled-field = two values for { $of }; choose one
office-due-law = { $of }
office-due-visit = visit
office-due-visit-for = visit: { $of }
office-due-follow-up = follow-up: { $of }
office-shared = The same at other systems
office-shared-at = { $seen }: { $at }.
office-shared-look = Look at { $at } too.
office-calendar = Take it along as a calendar
office-due-choice = choose: { $of }
office-when-at-once = At once
office-when-without-delay = Without undue delay
office-when-before-adding = Before refrigerant is added
office-when-open = Open
office-today = Today
office-overdue = overdue
office-overdue-since = Overdue since { $day }
office-open-since = open since { $day }
office-law-unread = not confirmed: read { $section }

office-account-how = The account counts what was weighed in and out. It closes where a cylinder weighs before a job what it weighed after the last one, within the doubts of the scales (k = 2). What was bought is not in the record; a refilled cylinder shows as a gap.
office-account-by-refrigerant = Account by refrigerant
office-account-by-cylinder = Account by cylinder
office-account-by-year = Account by year
office-account-of-year = { $year }, with doubts (k = 2)
office-account-of-all = All years, with doubts (k = 2)
office-account-nothing = Nothing was weighed.
office-no-refrigerant = refrigerant not stated
office-no-day = no day stated
office-all-years = All years
office-years = Years
office-column-refrigerant = Refrigerant
office-column-cylinder = Cylinder
office-column-year = Year
office-column-charged = Charged
office-column-recovered = Recovered
office-column-net = Net into systems
office-column-gap = Gap between weighings
office-column-closes = Account
office-column-gross = Last gross weight
office-column-holds = Holds
office-column-retest = Test by
office-column-from = Weighed
office-column-to = Weighed again
office-column-mass = Mass
office-column-what = Way
office-not-weighed-again = not weighed again
office-weights-owed = { $count ->
    [one] one weight is owed
   *[other] { $count } weights are owed
  }
office-recovery = recovery
office-supply = supply
office-closes = closes
office-closes-not = does not close
office-closes-open = not resolved
office-gaps = Gaps that the scales do not explain
office-gaps-how = Below zero refrigerant went missing, above zero some appeared. Open both jobs and look for a weighing that nobody entered.

office-no-jobs = No jobs.
office-column-day = Day
office-column-job = Job
office-column-by = By
office-column-entries = Entries
office-column-due = Due
office-column-report = Report
office-report = Report
office-report-of = Report of { $job }, { $day }
office-find-what = Any words of a job: a place, a part, a name, a cylinder
office-find = Find

office-entries = Entries of the job
office-erase-how = An entry that holds personal data can be erased. Erase only that: a correction keeps the record whole.
office-erase = Erase personal data
office-erase-of = Erase personal data: { $entry }
office-erase-does = This erases the words of the entry here and on every phone at its next exchange. Only their hash stays, to show that something stood there and when. Nobody can bring them back, and what was computed from them changes. Backups made before keep them until they are deleted.
office-erase-do = Erase it for good
office-keep = Keep it

office-role = May do
office-role-of = What { $name } may do
office-role-owner = Owner: everything
office-role-office = Office: jobs, reports, accounts
office-role-technician = Technician: jobs, by phone
office-password-new = New password
office-password-of = New password of { $name }
office-password-optional = Password, 10 characters or more; a technician with a phone needs none
office-set = Set
office-belongs = Belongs to the shop
office-person-add = Add a person
office-person-out = Take out of the shop
office-person-out-does = This person can sign in no more, and the phones paired for them are let in no more. What they recorded stays. They can be let back in.
office-person-keep = Leave it
office-person-back = Let back in
office-can-sign-in = can sign in

office-passkeys-why = A passkey lets you in here without the password: this device, or a key you carry, holds it, and asks for your finger, your face or a PIN. The password goes on working. When the owner sets a new password for you, your passkeys go; add them again then.
office-passkeys-no-domain = This server takes no passkeys yet, since a passkey binds to a domain. Start it with --public-url https:// and a domain name; docs/server.md tells how. A server known by a number alone keeps to passwords.
office-no-passkeys = You have no passkey here yet.
office-column-added = Added
office-column-used = Used last
office-passkey-add = Add a passkey
office-passkey-name = What to call it, such as the device that holds it
office-passkey-remove = Remove
office-passkey-remove-of = Remove the passkey { $name }
office-passkey-not-here = This browser has no passkeys to add.
office-passkey-none = The browser gave no passkey: it was cancelled, took too long, or there is none for this shop.
office-passkey-there = This device holds a passkey of yours for this shop already.

office-no-devices = No phone is paired yet.
office-column-phone = Phone
office-column-whose = Whose
office-column-seen = Here last
office-column-may = Let in
office-not-seen = not yet
office-paired-on = paired { $time }
office-revoked = not since { $time }
office-revoke = Let in no more
office-revoke-of = Let { $phone } in no more
office-revoke-does = From now on the server takes nothing from this phone and gives it nothing. What is on it stays on it until it is erased there; what it has not sent can still be exported on it.
office-revoke-do = Let it in no more
office-lost-phone = A lost phone: let it in no more here, at once. What was on it is protected only by the lock of the phone.
office-pair = Pair a phone
office-pair-how = The code holds once, for a quarter of an hour. Open the phone's camera on the picture, or type the code under Settings.
office-pair-make = Make a code
office-pair-until = Holds until { $time }
office-pair-picture = Picture of the link that pairs a phone; the same link stands beside it

office-audit-how = The newest 200. Every reading of a report and every change is written down, and nothing takes it away.
office-column-when = When
office-column-who = Who
office-column-act = Act
office-column-of = Of what
office-nobody = nobody known
office-by-phone = by phone

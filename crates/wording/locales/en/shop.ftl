# The shop: an apprentice's work, customers and prices, numbered documents.

apprentice-waits = { $what }: an apprentice did it; it waits for a licensed technician's word.
apprentice-waits-by = { $what }: { $who } did it as an apprentice; it waits for a licensed technician's word.
office-due-word = a licensed technician's word on the work of { $of }, apprentice
office-due-word-some = a licensed technician's word on an apprentice's work
server-not-an-apprentices = Some entries are not an apprentice’s to make: a quote, an invoice, a customer’s choice, a signature, a settlement, or a change to what somebody else entered.
shell-not-an-apprentices = An apprentice’s phone does not make this entry: a licensed technician does.
app-word = An apprentice’s work
app-word-give = I answer for all of it
app-word-name = To answer for it, put your name into the settings first.
office-role-apprentice = Apprentice: jobs, by phone, without money

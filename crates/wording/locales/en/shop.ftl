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
customers-row = Line { $line }: { $why }
customers-none-taken = { $count ->
    [one] One row is no customer; nothing was taken.
   *[other] { $count } rows are no customers; nothing was taken.
}
customers-no-field = No column can be “{ $field }”. Sensible: { $fields }.
customers-no-column = There is no column “{ $head }”. The table has: { $heads }.
customers-no-name = Which column is the customer’s name? Say it once, as “Column = customer.name”. The table has: { $heads }.
customers-too-many = { $count } rows; at most { $most } are taken.
customers-twice = “{ $name }” stands in line { $first } already. One line for each customer and site.
customers-too-long = “{ $given }…” is too long; at most 500 characters.
customers-nameless = no customer’s name, where the row says “{ $given }”. Give a name, or take the row out.
prices-line = Line { $line }: { $why }
server-list-refused = The list was not taken.
server-lines = { $first }
    { $rest }
server-no-prices = There is no price list here yet.
office-page-lists = Customers, prices
office-customers = Customers
office-customer = Customer
office-address = Address
office-jurisdiction = Law of
office-reached = Reached by
office-customers-none = None here yet. Phones offer the shop’s customers when a visit begins, so that nobody types an address twice.
office-customers-shown = { $shown } of { $count } are shown; the table has all.
office-customers-how = A table with a head takes the place of the list. Say once which column is which; it is remembered. A row that is wrong is told with its line, and then nothing is taken.
office-customers-columns = Columns, one a line, such as: Client = customer.name
office-list-take = Take a file in its place
office-prices-none = None here yet. With the shop’s price list jobs have quotes and invoices.
shelf-which-option = Which option gets the number? There are: { $names }.
server-not-made = That document cannot be made yet.
server-no-paper = No document of this job has the number { $number }.
server-paper-broken = The amounts of that document do not add up to its total. It is shown to nobody until somebody has looked at the record.
server-number-taken = The number { $number } was given to a document of another job. A number is given once.
office-job = The job
office-building = The same building’s other systems
office-last-visit = Last visit
office-invoice-now = As it would be now
office-paper-page = Open it as a page
office-papers = Numbered documents
office-papers-none = None yet.
office-paper-number = Number
office-paper-state = How it stands
office-paper-broken = does not add up: look at the record
office-paper-corrected = corrected by { $number }
office-paper-give = Number
office-paper-option = Option
office-paper-freeze = Give it this number

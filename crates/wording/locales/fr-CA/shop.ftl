# L'entreprise : le travail d'un apprenti, clients et prix, documents numérotés.

apprentice-waits = { $what } : fait par un apprenti; attend la parole d’un frigoriste certifié.
apprentice-waits-by = { $what } : fait par { $who }, apprenti; attend la parole d’un frigoriste certifié.
office-due-word = la parole d’un frigoriste certifié sur le travail de { $of }, apprenti
office-due-word-some = la parole d’un frigoriste certifié sur le travail d’un apprenti
server-not-an-apprentices = Certaines entrées ne reviennent pas à un apprenti : une soumission, une facture, le choix d’un client, une signature, un arbitrage, ou un changement à ce qu’un autre a entré.
shell-not-an-apprentices = Le téléphone d’un apprenti ne fait pas cette entrée : un frigoriste certifié la fait.
app-word = Le travail d’un apprenti
app-word-give = J’en réponds en entier
app-word-name = Pour en répondre, inscrivez d’abord votre nom dans les réglages.
office-role-apprentice = Apprenti : travaux, par téléphone, sans argent
customers-row = Ligne { $line } : { $why }
customers-none-taken = { $count ->
    [one] Une ligne n’est pas un client; rien n’a été pris.
   *[other] { $count } lignes ne sont pas des clients; rien n’a été pris.
}
customers-no-field = Aucune colonne ne peut être « { $field } ». Sensé : { $fields }.
customers-no-column = Il n’y a pas de colonne « { $head } ». Le tableau a : { $heads }.
customers-no-name = Quelle colonne est le nom du client? Dites-le une fois : « Colonne = customer.name ». Le tableau a : { $heads }.
customers-too-many = { $count } lignes; on en prend { $most } au plus.
customers-twice = « { $name } » est déjà à la ligne { $first }. Une ligne par client et par lieu.
customers-too-long = « { $given }… » est trop long; 500 caractères au plus.
customers-nameless = pas de nom de client, là où la ligne dit « { $given } ». Donnez un nom, ou ôtez la ligne.
prices-line = Ligne { $line } : { $why }
server-list-refused = La liste n’a pas été prise.
server-lines = { $first }
    { $rest }
server-no-prices = Il n’y a pas encore de liste de prix ici.
office-page-lists = Clients, prix
office-customers = Clients
office-customer = Client
office-address = Adresse
office-jurisdiction = Loi de
office-reached = Se joint par
office-customers-none = Aucun ici. Les téléphones proposent les clients de l’entreprise au début d’une visite, pour que personne ne tape une adresse deux fois.
office-customers-shown = { $shown } sur { $count } sont montrés; le tableau les a tous.
office-customers-how = Un tableau avec une tête prend la place de la liste. Dites une fois quelle colonne est quoi; c’est retenu. Une ligne fautive est dite avec son numéro, et rien n’est alors pris.
office-customers-columns = Colonnes, une par ligne, par exemple : Client = customer.name
office-list-take = Prendre un fichier à sa place
office-prices-none = Aucune ici. Avec la liste de prix de l’entreprise, les travaux ont soumissions et factures.
shelf-which-option = Quelle option reçoit le numéro? Il y a : { $names }.
server-not-made = Ce document ne peut pas encore être fait.
server-no-paper = Aucun document de ce travail ne porte le numéro { $number }.
server-paper-broken = Les montants de ce document ne donnent pas son total. Il n’est montré à personne tant que quelqu’un n’a pas regardé le dossier.
server-number-taken = Le numéro { $number } a été donné à un document d’un autre travail. Un numéro se donne une fois.
office-job = Le travail
office-building = Les autres systèmes du même bâtiment
office-last-visit = Dernière visite
office-invoice-now = Telle qu’elle serait maintenant
office-paper-page = L’ouvrir comme page
office-papers = Documents numérotés
office-papers-none = Aucun encore.
office-paper-number = Numéro
office-paper-state = État
office-paper-broken = ne donne pas son total : voyez le dossier
office-paper-corrected = corrigée par { $number }
office-paper-give = Numéro
office-paper-option = Option
office-paper-freeze = Lui donner ce numéro

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

# Les pages du propriétaire, au bureau.

office-to-phone = Aux travaux de cet appareil
office-pages = Pages de l’atelier
office-page-systems = Systèmes
office-page-account = Frigorigène
office-page-due = Dû
office-page-jobs = Travaux
office-page-find = Trouver
office-page-devices = Téléphones
office-page-people = Personnes
office-page-audit = Qui a fait quoi
office-page-passkeys = Clés d’accès
office-signed-in = { $person }, { $shop }
office-sign-out = Se déconnecter
office-sign-in = Se connecter
office-sign-in-passkey = Se connecter avec une clé d’accès
office-sign-in-why = Ces pages montrent tout l’atelier. Le travail au téléphone ne demande aucune connexion.
office-name = Nom
office-password = Mot de passe
office-wait = Demande au serveur de l’atelier.
office-not-in = Pas connecté, ou plus maintenant. Connectez-vous de nouveau.
office-not-allowed = Cette personne ne peut ni voir ni faire cela. Demandez au propriétaire.
office-away = Le serveur de l’atelier est hors d’atteinte. Rien n’a changé.
office-busy = Le serveur de l’atelier est occupé, ou a été trop sollicité. Réessayez dans un instant.
office-said = Le serveur dit : { $words }
office-csv = Emporter ceci en CSV
office-more = Plus
office-invented = Une partie de ce qui est ici est inventée, pour essayer.
office-unnamed = Sans nom

office-now = Maintenant
office-now-empty = Rien encore. Joignez un téléphone, et ce qu’il inscrit arrive ici.
office-now-none = Aucun système d’ici n’est connu pour perdre du frigorigène.
office-now-loses = { $system } perd { $loss }.
office-now-loses-share = { $system } perd { $loss }, { $percent } de sa charge.
office-now-overdue = { $count ->
    [0] Rien n’est en retard.
    [one] Une chose est en retard.
   *[other] { $count } choses sont en retard.
  }
office-now-sum = Les pertes connues font { $sum } ; { $count ->
    [0] d’aucun système il n’est certain qu’il fuit
    [one] d’un système il est certain qu’il fuit
   *[other] de { $count } systèmes il est certain qu’ils fuient
  }.
office-no-systems = Aucun système encore. Une visite qui nomme un lieu ou un système en fait un.
office-systems-by-loss = Systèmes, selon ce qu’ils perdent
office-axis = 0 à { $end } de la charge par an
office-more-systems = { $count ->
    [one] Un système de plus
   *[other] { $count } systèmes de plus
  }
office-column-standing = État
office-column-system = Système
office-column-loss = Perte par an
office-column-next = Prochain dû
office-standing-late = en retard
office-standing-due = dû
office-standing-open = ouvert, ou à lire d’abord
office-standing-nothing = rien de dû
office-loss-none = aucun appoint au dossier
office-loss-unknown = ne peut encore se dire
office-loss-least = au moins { $least }
office-share-of-charge = { $percent } de la charge par an.
office-counted = Compté du { $from } au { $to }.
office-unknown-refills = { $count ->
    [one] D’un appoint, personne ne sait la quantité.
   *[other] De { $count } appoints, personne ne sait la quantité.
  }
office-trend-faster = Cela s’accélère.
office-trend-slower = Cela ralentit.
office-trend-unknown = On ne peut dire si cela s’accélère.
office-rate = { $formula } : { $percent } de la charge complète par an.
office-rate-annualizing = Taux de fuite, méthode annualisée, 40 CFR 82.152
office-rate-rolling = Taux de fuite, moyenne mobile, 40 CFR 82.152
office-visits = Visites
office-weighed = Pesé vers le système et hors de lui

office-due-by-date = Dû, par date
office-due-all = { $count ->
    [0] Tout ce qui est dû
    [one] Tout ce qui est dû : une chose
   *[other] Tout ce qui est dû : { $count } choses
  }
office-due-none = Rien n’est dû.
office-due-more = Il y en a plus. Le tableau à emporter contient tout.
office-due-opened = { $of } a été ouvert et n’est pas refermé
office-due-weight = poids après de { $of }
office-due-hold = une tenue court ; lisez sa fin
office-due-reading = prendre des lectures après la charge
office-due-check = regarder de nouveau { $of }, réparé
office-due-picture = taper le nombre de la photo : { $of }
office-due-answer = demander au client : { $of }
office-due-later = redemander : { $of }
office-due-part = commander { $of }
office-due-retest = réépreuve de la bouteille { $of }
office-due-unsettled = deux inscriptions diffèrent ; choisissez-en une
office-due-unsettled-field = deux valeurs pour { $of } ; choisissez-en une
office-due-law = { $of }
office-due-visit = visite
office-due-visit-for = visite : { $of }
office-due-follow-up = suivi : { $of }
office-shared = La même chose à d’autres systèmes
office-shared-at = { $seen } : { $at }.
office-shared-look = Regardez aussi { $at }.
office-calendar = L’emporter comme calendrier
office-due-choice = choisir : { $of }
office-when-at-once = Tout de suite
office-when-without-delay = Sans retard indu
office-when-before-adding = Avant d’ajouter du frigorigène
office-when-open = Ouvert
office-today = Aujourd’hui
office-overdue = en retard
office-overdue-since = En retard depuis le { $day }
office-open-since = ouvert depuis le { $day }
office-law-unread = non confirmé : lisez { $section }

office-account-how = Le compte additionne ce qui a été pesé vers les systèmes et hors d’eux. Il ferme là où une bouteille pèse avant un travail ce qu’elle pesait après le précédent, dans les doutes des balances (k = 2). Ce qui a été acheté n’est pas au dossier ; une bouteille remplie paraît comme un écart.
office-account-by-refrigerant = Compte par frigorigène
office-account-by-cylinder = Compte par bouteille
office-account-by-year = Compte par année
office-account-of-year = { $year }, avec les doutes (k = 2)
office-account-of-all = Toutes les années, avec les doutes (k = 2)
office-account-nothing = Rien n’a été pesé.
office-no-refrigerant = frigorigène non dit
office-no-day = jour non dit
office-all-years = Toutes les années
office-years = Années
office-column-refrigerant = Frigorigène
office-column-cylinder = Bouteille
office-column-year = Année
office-column-charged = Chargé
office-column-recovered = Récupéré
office-column-net = Net vers les systèmes
office-column-gap = Écart entre pesées
office-column-closes = Compte
office-column-gross = Dernier poids brut
office-column-holds = Contient
office-column-retest = Réépreuve avant le
office-column-from = Pesée
office-column-to = Pesée de nouveau
office-column-mass = Masse
office-column-what = Sens
office-not-weighed-again = pas pesée de nouveau
office-weights-owed = { $count ->
    [one] un poids est dû
   *[other] { $count } poids sont dus
  }
office-recovery = récupération
office-supply = approvisionnement
office-closes = ferme
office-closes-not = ne ferme pas
office-closes-open = non tranché
office-gaps = Écarts que les balances n’expliquent pas
office-gaps-how = Sous zéro, du frigorigène manque ; au-dessus, il en est apparu. Ouvrez les deux travaux et cherchez une pesée que personne n’a inscrite.

office-no-jobs = Aucun travail.
office-column-day = Jour
office-column-job = Travail
office-column-by = Par
office-column-entries = Inscriptions
office-column-due = Dû
office-column-report = Rapport
office-report = Rapport
office-report-of = Rapport de { $job }, { $day }
office-find-what = N’importe quels mots d’un travail : un endroit, une pièce, un nom, une bouteille
office-find = Trouver

office-entries = Inscriptions du travail
office-erase-how = Une inscription qui contient des données personnelles peut être effacée. N’effacez que cela : une correction garde le dossier entier.
office-erase = Effacer des données personnelles
office-erase-of = Effacer des données personnelles : { $entry }
office-erase-does = Ceci efface les mots de l’inscription ici et sur chaque téléphone à son prochain échange. Seule leur empreinte reste, pour montrer que quelque chose était là et quand. Personne ne peut les ramener, et ce qui en était calculé change. Les sauvegardes faites avant les gardent jusqu’à leur suppression.
office-erase-do = L’effacer pour de bon
office-keep = La garder

office-role = Peut
office-role-of = Ce que { $name } peut faire
office-role-owner = Propriétaire : tout
office-role-office = Bureau : travaux, rapports, comptes
office-role-technician = Frigoriste : travaux, par téléphone
office-password-new = Nouveau mot de passe
office-password-of = Nouveau mot de passe de { $name }
office-password-optional = Mot de passe, 10 caractères ou plus ; un frigoriste avec téléphone n’en a pas besoin
office-set = Fixer
office-belongs = Fait partie de l’atelier
office-person-add = Ajouter une personne
office-person-out = Sortir de l’atelier
office-person-back = Laisser revenir
office-can-sign-in = peut se connecter

office-passkeys-why = Une clé d’accès vous laisse entrer ici sans le mot de passe : cet appareil, ou une clé que vous portez, la détient et demande votre doigt, votre visage ou un NIP. Le mot de passe continue de fonctionner. Quand le propriétaire vous donne un nouveau mot de passe, vos clés d’accès disparaissent ; ajoutez-les alors de nouveau.
office-passkeys-no-domain = Ce serveur n’accepte encore aucune clé d’accès, car une clé d’accès est liée à un domaine. Démarrez-le avec --public-url https:// et un nom de domaine ; docs/server.md dit comment. Un serveur connu par un numéro seulement s’en tient aux mots de passe.
office-no-passkeys = Vous n’avez encore aucune clé d’accès ici.
office-column-added = Ajoutée
office-column-used = Dernier usage
office-passkey-add = Ajouter une clé d’accès
office-passkey-name = Comment l’appeler, par exemple l’appareil qui la détient
office-passkey-remove = Retirer
office-passkey-remove-of = Retirer la clé d’accès { $name }
office-passkey-not-here = Ce navigateur n’a pas de clés d’accès à ajouter.
office-passkey-none = Le navigateur n’a donné aucune clé d’accès : c’était annulé, trop long, ou il n’y en a aucune pour cet atelier.
office-passkey-there = Cet appareil détient déjà une de vos clés d’accès pour cet atelier.

office-no-devices = Aucun téléphone n’est encore joint.
office-column-phone = Téléphone
office-column-whose = À qui
office-column-seen = Vu la dernière fois
office-column-may = Admis
office-not-seen = pas encore
office-paired-on = joint { $time }
office-revoked = plus depuis { $time }
office-revoke = Ne plus admettre
office-revoke-of = Ne plus admettre { $phone }
office-revoke-does = Désormais le serveur ne prend rien de ce téléphone et ne lui donne rien. Ce qu’il contient y reste jusqu’à être effacé sur lui ; ce qu’il n’a pas envoyé peut encore y être exporté.
office-revoke-do = Ne plus l’admettre
office-lost-phone = Téléphone perdu : ne l’admettez plus ici, tout de suite. Ce qu’il contient n’est protégé que par son verrou.
office-pair = Joindre un téléphone
office-pair-how = Le code vaut une fois, un quart d’heure. Visez l’image avec l’appareil photo du téléphone, ou tapez le code sous Réglages.
office-pair-make = Faire un code
office-pair-until = Vaut jusqu’à { $time }
office-pair-picture = Image du lien qui joint un téléphone ; le même lien est à côté

office-audit-how = Les 200 plus récents. Chaque lecture d’un rapport et chaque changement est écrit, et rien ne l’enlève.
office-column-when = Quand
office-column-who = Qui
office-column-act = Geste
office-column-of = De quoi
office-nobody = personne de connu
office-by-phone = par téléphone
office-person-out-does = Cette personne ne peut plus se connecter, et les téléphones joints pour elle ne sont plus admis. Ce qu’ils ont inscrit reste. On peut la laisser revenir.
office-person-keep = Laisser

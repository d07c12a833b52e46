# Pourquoi une question n’a pas de réponse telle que posée : ce qui cloche, ce qui a été vu, ce qui aurait du sens.

refused-empty = { $field } est vide. Par exemple : { $sensible }
refused-no-number = { $field } : il n’y a pas de nombre dans « { $given } ». Par exemple : { $sensible }
refused-ambiguous-comma = { $field } : la virgule de « { $given } » est-elle décimale, ou sépare-t-elle les milliers ? Écrivez { $sensible }
refused-missing-unit = { $field } : « { $given } » n’a pas d’unité. Par exemple : { $sensible }
refused-unknown-unit = { $field } : l’unité de « { $given } » ne convient pas ici. Par exemple : { $sensible }
refused-gauge-or-absolute = { $field } : « { $given } » ne dit pas si c’est au manomètre ou absolu. Écrivez { $sensible }
refused-ambiguous-unit = { $field } : l’unité de « { $given } » en désigne plusieurs. Par exemple : { $sensible }
refused-below-zero = { $field } : « { $given } » est moins que ce qui peut exister. Par exemple : { $sensible }
refused-beyond-vacuum = { $field } : « { $given } » dépasse le vide ; des pouces de mercure seuls sont du vide, sans signe moins. Par exemple : { $sensible }
refused-division-by-zero = { $field } : « { $given } » divise par zéro. Par exemple : { $sensible }
refused-too-large = { $field } : « { $given } » est trop grand pour être voulu. Par exemple : { $sensible }
refused-unknown-refrigerant = { $given } n’est pas un frigorigène connu ici. Proche : { $sensible }
refused-composition-form = { $field } : « { $given } » n’a pas la forme NOM=PART,NOM=PART. Par exemple : { $sensible }
refused-composition-sum = { $field } : la somme des parts est { $given }, et non 1.
refused-composition-component = { $field } : { $given } n’a pas d’équation d’état ici. Connus : { $sensible }
refused-altitude = { $field } : { $given } n’est pas un endroit où travailler. Plausible : { $sensible }
refused-barometer = { $field } : { $given } n’est d’aucun temps sur terre à cette hauteur. Plausible : { $sensible }
refused-above-critical = { $field } : à { $given }, il n’y a pas de saturation ; le point critique est à { $sensible }. Demandez plutôt l’état.
refused-solid = { $field } : à { $given }, ce serait solide ; le point triple est à { $sensible }.
refused-out-of-range = { $field } : { $given } est hors de ce que couvrent les équations. Plausible : { $sensible }
refused-not-converged = { $field } : aucun état n’a été trouvé à { $given }. Des valeurs voisines peuvent aller ; gardez la commande et signalez-la.
refused-two-liquids = { $field } : à { $given }, le liquide de ce mélange se séparerait en deux, et il n’a pas de point de bulle. Demandez à une température ou une pression plus haute.
refused-not-positive = { $field } doit être plus que rien ; vu : { $given }. Par exemple : { $sensible }
refused-not-a-part = { $field } doit être entre 0 et 1 ; vu : { $given }. Par exemple : { $sensible }
refused-order = { $field } : { $given } ne va pas avec le reste. Plausible : { $sensible }
refused-not-a-row = { $field } : « { $given } » n’est pas une lecture. Plausible : { $sensible }

# Fichiers de travail : chaque ligne est un problème.
problem-empty = Le fichier est vide. Commencez par gastight = 1 et une section [system].
problem-not-text = Ceci n’est pas un texte : l’octet { $byte } n’en fait pas partie. Un fichier de travail est du TOML en UTF-8.
problem-too-large = Le fichier fait { $size } ; on en lit au plus { $limit }.
problem-quotes = « { $given } » : une valeur avec unité, ou un mot, se met entre guillemets droits. Par exemple : { $sensible }
problem-key-twice = « { $given } » : la même clé figure deux fois.
problem-not-closed = « { $given } » : un crochet, une accolade ou un guillemet n’est pas fermé.
problem-syntax-moment = « { $given } » : ce n’est ni une date ni une heure comme TOML l’écrit. Par exemple 2031-05-06T08:10:00
problem-syntax = « { $given } » : cette ligne n’est pas du TOML.
problem-not-a-job = La ligne gastight = 1 manque en tête : ce n’est pas un fichier de travail.
problem-newer = Le fichier est au format { $given } ; ce programme lit jusqu’au format { $newest }.
problem-unknown-key = { $field } : personne ne lit cette clé. Vouliez-vous dire { $sensible } ?
problem-missing = { $field } manque. Par exemple : { $sensible }
problem-type = { $field } : il y a ici { $found } (« { $given } »). Par exemple : { $sensible }
problem-found-text = un texte
problem-found-number = un nombre sans unité
problem-found-truth = un oui ou un non
problem-found-moment = une date ou une heure
problem-found-list = une liste
problem-found-table = un groupe de clés
problem-word = { $field } : « { $given } » n’est pas un des mots prévus. Plausible : { $sensible }
problem-kind = { $field } : « { $given } » n’est pas une sorte d’inscription. Plausible : { $sensible }
problem-range = { $field } : « { $given } » ne peut pas être ici. Plausible : { $sensible }
problem-range-order = { $field } : « { $given } » commence par la plus grande valeur.
problem-moment = { $field } : « { $given } » n’est ni une date ni une heure. Par exemple : { $sensible }
problem-no-such-moment = { $field } : aucun calendrier ni aucune horloge ne montre « { $given } ». Par exemple : { $sensible }
problem-year = { $field } : l’année de « { $given } » est hors de 1950 à 2199.
problem-offset-missing = { $field } : « { $given } » est une heure locale, et site.offset manque. Par exemple : { $sensible }
problem-date-missing = { $field } : « { $given } » est une heure du jour, et visit.date manque. Par exemple : { $sensible }
problem-offset = { $field } : « { $given } » n’est pas un décalage par rapport à UTC. Par exemple : { $sensible }
problem-order = { $field } : « { $given } » vient avant l’inscription du dessus. Les inscriptions suivent l’ordre où elles sont arrivées. { $sensible }
problem-end = { $field } : « { $given } » vient avant le début. { $sensible }
problem-name = { $field } : aucun instrument ni aucune bouteille d’ici ne s’appelle « { $given } ». Dans la liste : { $sensible }
problem-name-twice = { $field } : « { $given } » figure deux fois ; d’abord à la ligne { $line }.
problem-count = { $field } : « { $given } » n’est pas un nombre entier à partir de zéro. Par exemple : { $sensible }
problem-money = { $field } : « { $given } » n’est pas une somme d’argent avec sa monnaie. Par exemple : { $sensible }
problem-blank = { $field } est vide. Par exemple : { $sensible }
problem-sum = { $field } : la somme des parts est { $sum }, et non 1.
problem-one-of-two = { $field } : ceci et { $other } disent la même chose de deux façons ; donnez-en une.
refused-share = { $field } est une part de { $sensible } ; vu : { $given }.
cli-missing = { $field } manque. { $sensible }
batch-bad-row = Ligne { $line } : { $why }

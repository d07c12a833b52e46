# La recherche de la fuite.

# Endroits
spot-compressor-body = compresseur, joints et bornes
spot-suction-service-valve = robinet de service d’aspiration, tige et bouchon
spot-discharge-service-valve = robinet de service de refoulement, tige et bouchon
spot-discharge-line = conduite de refoulement, joints
spot-low-control-outside = pressostat basse pression, de l’extérieur
spot-low-control-inside = pressostat basse pression, intérieur
spot-high-control-outside = pressostat haute pression, de l’extérieur
spot-high-control-inside = pressostat haute pression, intérieur
spot-fan-control-inside = commande de ventilateur, intérieur
spot-control-lines = petites conduites des pressostats
spot-condenser-face = serpentin du condenseur, face
spot-condenser-bends = condenseur, coudes de retour et collecteurs
spot-head-valve = vanne de haute pression, joints
spot-receiver = réservoir de liquide, robinets et bouchons
spot-relief = soupape de sûreté
spot-drier = filtre déshydrateur, joints
spot-glass = voyant de liquide
spot-access-high = prise, haute pression
spot-access-low = prise, basse pression
spot-liquid-line = conduite de liquide, joints sous isolant
spot-liquid-line-chafe = conduite de liquide, colliers et points frottés
spot-lines-in-wall = conduites dans le mur ou le sol
spot-suction-line = conduite d’aspiration, joints sous isolant
spot-solenoid-inlet = électrovanne, joint d’entrée
spot-solenoid-outlet = électrovanne, joint de sortie et tige
spot-valve-inlet = détendeur, joint d’entrée
spot-valve-body = détendeur, corps et capillaire du bulbe
spot-metering = capillaire ou orifice
spot-distributor = distributeur et ses petits tubes
spot-coil-face = serpentin, face
spot-coil-bends = serpentin, coudes de retour
spot-coil-header = serpentin, collecteur et joint d’aspiration
spot-access-coil = prise au serpentin

# Explications
seek-leak-at = fuite : { $place }
seek-leak-elsewhere = { $count ->
    [one] fuite : un autre endroit
   *[other] fuite : un de { $count } autres endroits
}
seek-two = deux fuites
seek-winter = pas de fuite : rempli sans la part d’hiver
seek-service = pas de fuite : perdu par les boyaux et les purges
seek-books = pas de fuite : les comptes sont faux

# Quoi faire
seek-do = Cherchez ensuite : { $place }, avec { $method }.
seek-do-open = Retirez le couvercle ou l’isolant et cherchez : { $place }, avec { $method }.
seek-look = { $place }, avec { $method }
seek-look-open = { $place }, couvercle ou isolant retiré, avec { $method }
seek-if-you-must = S’il faut chercher : { $what }.
seek-why = { $chance } que cette recherche montre la fuite ; { $minutes } avec le chemin ; { $state }.
seek-nothing-left = Chaque endroit a été regardé de toutes les façons disponibles.
seek-state-off = système à l’arrêt, les deux côtés se rejoignent
seek-state-running = système en marche
seek-state-defrost = en dégivrage
seek-opened = couvercle ou isolant retiré
seek-alternative = Si vous ne pouvez pas : { $what }.
seek-enter = Ce que cela a donné
seek-equalise = À l’arrêt, une fuite fine à cet endroit laisse passer { $times } fois plus qu’en marche : laissez d’abord égaliser.
seek-stop-winter = Cessez de chercher une fuite, regardez d’abord la charge : { $chance } qu’il n’y ait pas de fuite ; le plus probable, la part d’hiver n’a jamais été mise.
seek-stop-service = Cessez de chercher une fuite, regardez d’abord les boyaux et les purges : { $chance } qu’il n’y ait pas de fuite ; le plus probable, chaque visite a pris du gaz.
seek-stop-books = Cessez de chercher une fuite, corrigez d’abord les comptes : { $chance } qu’il n’y ait pas de fuite ; le plus probable, une entrée est fausse ou manque.
seek-isolate-receiver = Enfermez d’abord une section : de la sortie du réservoir au robinet de service d’aspiration, et surveillez-la une heure. Trouvée en deux heures : { $with }, contre { $without } en continuant à chercher.
seek-isolate-low = Enfermez d’abord une section : de la vanne de liquide au robinet de service d’aspiration, et surveillez-la une heure. Trouvée en deux heures : { $with }, contre { $without } en continuant à chercher.
seek-wait-cold = Chercher encore maintenant trouve peu : ce qui reste se montre au froid. Revenez un jour froid.
seek-wait-hot = Chercher encore maintenant trouve peu : ce qui reste se montre à la chaleur. Revenez un jour chaud.
seek-wait-defrost = Chercher encore maintenant trouve peu : ce qui reste se montre en dégivrage. Lancez-en un et regardez.
seek-pressure-test = Chercher encore trouve peu : { $chance } en une heure. Essayez plutôt sous pression.
seek-caution-first = L’azote seulement dans une section vide.
seek-caution-rest = Frigorigène récupéré ou isolé d’abord. Régulateur et soupape sur la conduite, jamais au-dessus de la plaque la plus basse. Isolez pressostats et soupapes cotés plus bas.

# Trouvée
seek-explains = La fuite trouvée explique la perte : oui ({ $chance }). Endroit : { $place }.
seek-explains-not = La fuite trouvée explique moins de la moitié de la perte ({ $chance } que ce soit elle) : continuez à chercher. Endroit : { $place }.
seek-explains-open = Une fuite est trouvée, et sa taille n’est pas assez connue pour dire si elle explique la perte ({ $chance }). Ensachez-la ou comptez les bulles, puis cherchez encore. Endroit : { $place }.

# Derrière
seek-title = Recherche de la fuite
seek-section = Recherche de la fuite
seek-places = Ce qui reste, par endroit
seek-picture = Chance de fuite qui reste, par partie du circuit
seek-picture-says = Plus les hachures sont serrées et la barre longue, plus il en reste là. Coin blanc : regardé. Coin noir et tirets : écarté. Cadre épais : cherchez là ensuite. Cadre dans un cadre : trouvée.
seek-block-found = trouvée
seek-place = endroit
seek-chance = chance
seek-looked = regardé
seek-ruled-out = écarté
seek-yes = oui
seek-within = d’ici
seek-plan-chance = Chance que ces recherches la trouvent
seek-loss = Si c’est une fuite, elle perd { $rate } maintenant, quelque part de { $from } à { $to }.
seek-ratio = C’est quelque { $times } fois ce que votre détecteur est censé voir ({ $rated }). Elle ne fuyait donc pas quand on a cherché, elle était cachée, ou elle n’est pas là : demandez quand et où, non avec quel meilleur détecteur.
seek-ratio-before = C’est quelque { $times } fois ce que votre détecteur est censé voir ({ $rated }) : au bon endroit, pendant qu’elle fuit, elle ne peut être manquée. Demandez quand et où, non avec quel meilleur détecteur.
seek-ratio-usual = C’est quelque { $times } fois ce qu’un détecteur courant est censé voir ({ $rated } supposé). Elle ne fuyait donc pas quand on a cherché, elle était cachée, ou elle n’est pas là : demandez quand et où, non avec quel meilleur détecteur.
seek-ratio-usual-before = C’est quelque { $times } fois ce qu’un détecteur courant est censé voir ({ $rated } supposé) : au bon endroit, pendant qu’elle fuit, elle ne peut être manquée. Demandez quand et où, non avec quel meilleur détecteur.
seek-days = { $from } à { $to }
seek-under-one = moins de 1 %
seek-over-99 = plus de 99 %
seek-returns = Non réparé, il en manquera de nouveau { $warm } jours après le dernier appoint par temps chaud, { $cold } jours par temps froid.
seek-no-history = Aucune date d’appoint n’est connue : la taille de la perte est une supposition. Deux dates avec quantités préciseraient le plus.
seek-charge-assumed = La charge complète n’est pas connue ; { $charge } est supposé.
seek-over-reserve = Un appoint dépasse ce que le système peut perdre avant de le montrer : une quantité ou une date est douteuse.
seek-voided = { $count ->
    [one] Une recherche électronique d’aujourd’hui ne compte pas : le détecteur a manqué sa propre vérification.
   *[other] { $count } recherches électroniques d’aujourd’hui ne comptent pas : le détecteur a manqué sa propre vérification.
}
seek-judgement = Les chances des endroits et des façons de chercher sont un jugement, pas une statistique ; vos propres fuites confirmées les remplacent.
seek-method-prior = Avant toute recherche : une croyance sur les endroits, les tailles et les explications, confrontée aux dates et quantités des appoints.
seek-method-looks = Chaque recherche sans rien abaisse son endroit selon la sûreté avec laquelle elle y aurait vu cette perte ; des recherches de même façon et de même état partagent leur vent et leur personne, et ce qui cache une fuite une fois la cache encore.
seek-method-order = La recherche suivante est celle qui a la plus grande chance pour ses minutes, chemins comptés, et ce qui va ensemble se fait ensemble.
seek-cli = Où la fuite peut être, et où chercher ensuite
seek-cli-status = Où en est la recherche : la perte, ce qui l’explique, ce qui reste
seek-cli-next = La recherche suivante, en une phrase
seek-cli-explain = La même, avec tout ce dont elle est faite
seek-cli-log = Ajouter une recherche au dossier, et dire la suivante
seek-cli-log-file = Un fichier de travail ou un journal ; la recherche s’écrit à sa fin
seek-cli-place = L’endroit, en mots
seek-cli-method = electronic, soap, ultrasonic, dye, tracer gas, isolation, bagging, visual, listening
seek-cli-result = clean, hit ou not done
seek-cli-state = Ce que faisait le système : running, off, defrost
seek-cli-pressure = La pression à cet endroit
seek-cli-minutes = Combien de temps cela a pris, par exemple 4 min
seek-cli-repeated = D’une détection : yes si elle est revenue
seek-cli-gone = D’une détection : yes si elle est partie quand la sonde s’est éloignée
seek-cli-spoilt = Ce qui a pu la gâter : vent, ventilateurs, soleil, gaz dans l’air
seek-cli-except = D’un balayage : un endroit laissé de côté ; peut être redonné
seek-cli-kept = Gardé dans { $file }.

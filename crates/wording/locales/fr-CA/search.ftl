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
seek-why = { $chance } que cette recherche montre la fuite, { $hour } en une heure en continuant ; { $minutes } avec le chemin ; { $state }.
seek-nothing-left = Chaque endroit a été regardé de toutes les façons disponibles.
seek-state-off = système à l’arrêt, les deux côtés se rejoignent
seek-state-running = système en marche
seek-state-defrost = en dégivrage
seek-opened = couvercle ou isolant retiré
seek-alternative = Si vous ne pouvez pas : { $what }.
seek-enter = Ce que cela a donné
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
seek-picture-says = La chance qu’une fuite y reste. Dans l’image : plus les hachures sont serrées et la barre longue, plus il en reste ; coin blanc : regardé ; coin noir et tirets : écarté ; cadre épais : cherchez là ensuite ; cadre dans un cadre : trouvée.
seek-block-found = trouvée
seek-place = endroit
seek-chance = chance
seek-looked = regardé
seek-ruled-out = écarté
seek-yes = oui
seek-within = d’ici
seek-plan-chance = Chance que ces recherches la trouvent
seek-loss = Si c’est une fuite, elle perd { $rate } maintenant, quelque part de { $from } à { $to }.
seek-then-mend = Réparez-la, puis prouvez-le avant d’ajouter du gaz neuf.
seek-then-prove = Prouvez maintenant la réparation : son propre liquide d’abord, flairez et savonnez le joint, seulement alors du gaz neuf.
seek-order = Les recherches suivantes, dans cet ordre :
seek-loss-was = Avant la réparation elle perdait { $rate }, quelque part de { $from } à { $to }.
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
seek-place-added = Endroit ajouté par ce dossier : { $place }.
seek-place-changed = Endroit changé par ce dossier : { $place }.
seek-place-not-there = Endroit que ce circuit n’a pas : { $place }.
seek-learnt = { $count ->
    [one] La croyance sur les endroits tient une fuite confirmée de cet atelier, à côté d’un départ qui pèse { $weight }.
   *[other] La croyance sur les endroits tient { $count } fuites confirmées de cet atelier, à côté d’un départ qui pèse { $weight }.
}
seek-app-learn = Apprendre de ses propres trouvailles
seek-app-learn-what = { $count ->
    [one] Une fuite confirmée et réparée lors d’un autre travail de ce téléphone enseigne où chercher.
   *[other] { $count } fuites confirmées et réparées lors d’autres travaux de ce téléphone enseignent où chercher.
}
seek-judgement = Les chances des endroits et des façons de chercher sont un jugement, pas une statistique ; vos propres fuites confirmées les remplacent.
seek-method-prior = Avant toute recherche : une croyance sur les endroits, les tailles et les explications, confrontée aux dates et quantités des appoints.
seek-method-looks = Chaque recherche sans rien abaisse son endroit selon la sûreté avec laquelle elle y aurait vu cette perte ; des recherches de même façon et de même état partagent leur vent et leur personne, et ce qui cache une fuite une fois la cache encore.
seek-method-order = La recherche suivante est celle qui a la plus grande chance pour ses minutes, chemins comptés, et ce qui va ensemble se fait ensemble.

# La perte comme fuite
seek-loss-number = Perte, si c’est une fuite
seek-mean = moyenne
seek-charge = charge complète
seek-assumed = supposé
seek-stretches = intervalles entre appoints qui parlent
seek-method-loss = Des dates et quantités des appoints : ce que le système peut perdre avant de le montrer, sur le temps que cela a pris, avec le doute des balances et du remplissage laissé. L’intervalle contient 95 %.
seek-source-judgement = Parts de la charge qui peuvent se perdre avant de se montrer : jugement, dans les données avec leurs raisons.
seek-hole-high = Trou qui perd autant, côté haut
seek-hole-low = Trou qui perd autant, côté bas
seek-fine-high = Passage fin qui perd autant, côté haut
seek-fine-low = Passage fin qui perd autant, côté bas
seek-method-hole = Écoulement sonique de vapeur saturée, coefficient de décharge 0,8, pondéré par la marche et l’arrêt.
seek-source-hole = Les équations de tuyère de tout manuel de dynamique des gaz, avec la masse volumique et la vitesse du son de la vapeur réelle ; le coefficient est une convention.
seek-method-fine = Écoulement laminaire de la vapeur par un passage rond de 5 mm, pondéré par la marche et l’arrêt.
seek-source-fine = La loi de Poiseuille pour un gaz, telle que l’emploient EN 1779 et ISO 20485 (citées, non vues).
seek-run-share = part du temps en marche
seek-where-when = côté et état
seek-pressure = pression
seek-as-hole = passe comme trou
seek-as-fine = comme passage fin
seek-high = côté haut, { $when }
seek-low = côté bas, { $when }
seek-when-running = en marche
seek-when-off = à l’arrêt
seek-when-defrost = en dégivrage
seek-when-nitrogen = sous azote à la plaque
seek-when-hottest = le jour le plus chaud
seek-passes = Ce que laisse passer là une fuite aussi grande que la perte
seek-passes-liquid = Un débit est ce qui partirait en un an à cette pression. L’azote est dit comme le frigorigène de même volume. Si du liquide se tient derrière la fuite, l’ouverture est encore plus petite : le liquide passe quelque 5 à 10 fois la masse (règle de pratique, sans source).
seek-detectors = La perte face à votre détecteur
seek-detector = détecteur
seek-rated = coté
seek-times-rated = fois la cote
seek-times-field = fois, sur place
seek-usual-detector = détecteur courant, supposé

# Pression
seek-at = { $pressure } à { $temperature }
seek-stand-read = Arrêtez, laissez reposer, et lisez les deux pressions avec l’air à la chambre et à l’unité : ce n’est que face à eux qu’une pression au repos dit s’il reste du liquide.
seek-stand-liquid-both = Les deux côtés reposent à { $pressure }. Du liquide tiendrait de { $least } à { $most } : il reste du liquide, et la pression ne dit pas combien. Elle ne dit rien de la perte.
seek-stand-liquid-low = Le côté bas repose à { $pressure }. Du liquide tiendrait de { $least } à { $most } : cela s’accorde avec du liquide qui y reste, sans dire combien.
seek-stand-liquid-high = Le côté haut repose à { $pressure }. Du liquide tiendrait de { $least } à { $most } : cela s’accorde avec du liquide qui y reste, sans dire combien. Elle ne dit rien de la perte.
seek-stand-gas-both = Les deux côtés reposent à { $pressure }, moins que ne tiendrait du liquide ({ $least }) : il n’y a plus de liquide, c’est presque vide ou c’est un autre frigorigène.
seek-stand-gas-low = Le côté bas repose à { $pressure }, moins que n’y tiendrait du liquide ({ $least }) : pas de liquide de ce côté. Il est tiré au vide, isolé, ou presque vide.
seek-stand-gas-high = Le côté haut repose à { $pressure }, moins que n’y tiendrait du liquide ({ $least }) : pas de liquide de ce côté. Il est isolé ou presque vide, ou c’est un autre frigorigène.
seek-stand-warm-both = Les deux côtés reposent à { $pressure }, plus que ne tiendrait du liquide à l’endroit le plus chaud lu ({ $most }), mais le compresseur tournait moins d’une heure avant. Laissez reposer et relisez : encore au-dessus voudrait dire un autre gaz, ou un autre frigorigène.
seek-stand-warm-low = Le côté bas repose à { $pressure }, plus que ne tiendrait du liquide à l’endroit le plus chaud lu ({ $most }), mais le compresseur tournait moins d’une heure avant. Laissez reposer et relisez : encore au-dessus voudrait dire un autre gaz, ou un autre frigorigène.
seek-stand-warm-high = Le côté haut repose à { $pressure }, plus que ne tiendrait du liquide à l’endroit le plus chaud lu ({ $most }), mais le compresseur tournait moins d’une heure avant. Laissez reposer et relisez : encore au-dessus voudrait dire un autre gaz, ou un autre frigorigène.
seek-stand-above-both = Les deux côtés reposent à { $pressure }, plus que ne tiendrait du liquide même à l’endroit le plus chaud lu ({ $most }) : de l’air ou un autre gaz s’y trouve, le frigorigène est autre ou mélangé, ou un endroit est plus chaud que ceux lus.
seek-stand-above-low = Le côté bas repose à { $pressure }, plus que n’y tiendrait du liquide même à l’endroit le plus chaud lu ({ $most }) : un autre gaz s’y trouve, le frigorigène est autre ou mélangé, un endroit est plus chaud, ou le côté haut passe.
seek-stand-above-high = Le côté haut repose à { $pressure }, plus que n’y tiendrait du liquide même à l’endroit le plus chaud lu ({ $most }) : de l’air ou un autre gaz s’y trouve, le frigorigène est autre ou mélangé, ou un endroit est plus chaud (soleil sur le condenseur, unité qui vient de s’arrêter).
seek-pressure-enough = La pression y suffit ({ $pressure }) : une fuite de cette taille, mise à nu, serait vue { $chance } du temps. Plus de pression gagne peu.
seek-pressure-equalise = La pression y est faible pour cela ({ $pressure }, vue { $chance } du temps). Arrêtez et laissez d’abord égaliser : { $better }, { $then }.
seek-pressure-warm = La pression y est faible pour cela ({ $pressure }, vue { $chance } du temps). Laissez d’abord la chambre se réchauffer : { $better }, { $then }.
seek-pressure-run = La pression y est faible pour cela ({ $pressure }, vue { $chance } du temps). Cherchez en marche : { $better }, { $then }.
seek-raised = Ce que plus de pression montrerait au prochain endroit
seek-way = façon
seek-seen = vue, si elle y est
seek-way-now = comme c’est maintenant
seek-way-equalised = à l’arrêt, côtés réunis
seek-way-running = en marche
seek-way-warm = chambre réchauffée à l’air extérieur
seek-way-nitrogen = azote à la plaque, avec du savon

# Moitiés
seek-half-receiver = Pour couper le circuit en deux, enfermez de la sortie du réservoir au robinet de service d’aspiration : { $chance } de ce qui reste s’y trouve.
seek-half-low = Pour couper le circuit en deux, enfermez de la vanne de liquide au robinet de service d’aspiration : { $chance } de ce qui reste s’y trouve.
seek-half-leaks-by = { $name } est noté comme laissant passer : il ne borne aucune section tant qu’il ne tient pas.
seek-half-hold = Tant que du liquide s’y trouve, une section garde sa pression, fuite ou non. Vide et sous azote à { $pressure }, tenez-la au moins { $time } pour distinguer les moitiés, pour une fuite de { $rate } ou plus.
seek-half-no-volume = Tant que du liquide s’y trouve, une section garde sa pression, fuite ou non : videz-la d’abord. Combien de temps la tenir demande son volume intérieur et les deux pressions de plaque au dossier.

# De ce qui fut trouvé
seek-found-about = Ce qui fut trouvé perd environ { $rate } ({ $from } à { $to }), d’après ce qu’on en a lu.
seek-found-least = Ce qui fut trouvé perd au moins { $rate }, puisque cela moussa ou siffla aussitôt.
seek-found-unknown = Personne n’a mesuré sa taille : notez le débit que montre le détecteur, ou la taille des bulles et le temps entre elles.
seek-prove-own = Une fois réparé, prouvez-le, d’abord avec le gaz du système : laissez revenir son propre liquide, flairez et savonnez le joint à cette pression, et pesez seulement alors du gaz neuf.
seek-prove-table = Ce qu’un passage sans détection y exclut
seek-rules-out = fuite exclue, par an
seek-prove-nitrogen = Ou à l’azote, la section vide de frigorigène : à { $pressure }, tenez au moins { $time }. Une fuite de { $rate }, un dixième de la perte, se verrait alors.
seek-prove-nitrogen-unknown = Ou à l’azote, la section vide de frigorigène : combien de temps tenir demande son volume intérieur et les deux pressions de plaque au dossier.

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
seek-cli-change = D’un endroit du circuit : added, changed, not there
seek-cli-side = D’un endroit : low side, high side
seek-cli-access = D’un endroit : bare joint, coil face, under insulation, inside a cover, underground
seek-cli-region = D’un endroit : unit, box, lines
seek-cli-opening = D’un endroit : combien de temps pour l’ouvrir et le refermer, par exemple 5 min
seek-cli-vibrates = D’un endroit : yes s’il vibre
seek-cli-opened-on = D’un endroit : le jour où il fut ouvert la dernière fois
seek-cli-age = D’un endroit : son âge, par exemple 12 years
seek-cli-cap = D’un endroit : yes si son bouchon manque
seek-cli-surroundings = D’un endroit : acid goods, salty goods, cleaning agents, sea air
seek-cli-either = Une recherche demande --method et --result ; un endroit du circuit prend --change, --side, --access et autres. Donnez l’un des deux.
seek-cli-shop = Un fichier de travail, un journal ou un dossier de ceux-ci : les fuites confirmées et réparées là enseignent où chercher ; peut être redonné
seek-cli-no-learning = Laisser de côté ce que --shop enseigne
seek-cli-kept = Gardé dans { $file }.

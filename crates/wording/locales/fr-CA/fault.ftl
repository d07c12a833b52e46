# Défauts d’après le modèle : cas d’un fichier.
fault-unreadable = { $field } : « { $given } » ne peut pas être lu : { $sensible }
fault-unwritable = { $field } : « { $given } » ne peut pas être écrit : { $sensible }
fault-line-long = { $field } : { $given } octets, c’est trop pour un cas. Au plus { $sensible }
fault-not-json = { $field } : ceci n’est pas du JSON : { $given }. Par exemple : { $sensible }
fault-refrigerant = { $field } : « { $given } » n’est pas un frigorigène connu ici. Par exemple : { $sensible }
fault-object = { $field } : « { $given } » n’est pas un objet. Par exemple : { $sensible }
fault-key = { $field } : « { $given } » n’est pas un nom utilisé ici. Connus : { $sensible }
fault-value = { $field } : « { $given } » ne convient pas. Raisonnable : { $sensible }
fault-missing = { $field } manque (« { $given } »). Raisonnable : { $sensible }

# Défauts d’après le modèle : une visite.
fault-none = rien d’anormal
fault-under = charge insuffisante
fault-over = charge excessive
fault-condenser-dirt = condenseur encrassé
fault-condenser-fan = un ventilateur du condenseur arrêté
fault-coil-ice = givre sur l’évaporateur
fault-coil-fan = un ventilateur de l’évaporateur arrêté
fault-restriction = un étranglement du déshydrateur ou de la conduite de liquide
fault-underfeed = le détendeur alimente trop peu
fault-overfeed = le détendeur alimente trop
fault-valve-leak = clapets du compresseur qui fuient
fault-non-condensable = gaz non condensables
fault-gauge = un manomètre faux
fault-head-low = une régulation de haute pression qui ne tient pas
fault-head-high = une régulation de haute pression qui tient trop haut
fault-something-else = autre chose
fault-both = { $first }, avec { $second }
fault-reads-low = la pression d’aspiration
fault-reads-high = la haute pression
fault-reads-suction-line = la conduite d’aspiration au compresseur
fault-reads-liquid-line = la conduite de liquide
fault-reads-discharge = la conduite de refoulement
fault-reads-coil-air = l’air à la sortie de l’évaporateur
fault-reads-condenser-air = l’air à la sortie du condenseur
fault-reads-after-drier = la conduite de liquide après le déshydrateur
fault-reads-power = la puissance du compresseur
fault-reads-glass = le voyant
fault-reads-coil-fans = les ventilateurs de l’évaporateur
fault-reads-condenser-fans = les ventilateurs du condenseur
fault-probably = Le plus probable : { $cause }, { $percent } %.
fault-by-visit = Par rapport à ce qui a été gardé comme normal ici lors d’une visite antérieure.
fault-by-plate = D’après la plaque seule : rien n’a encore été gardé comme normal ici, les grandeurs sont donc incertaines.
fault-chance = { $percent } % : { $cause }
fault-not-apart = Ces relevés ne départagent pas : { $first } et { $second }.
fault-next = À lire ensuite : { $reading }, environ { $minutes } min.
fault-charge-between = La charge est de { $low } à { $high } % de l’habituelle (9 fois sur 10).
fault-charge-least = La charge est d’au moins { $low } % de l’habituelle ; le liquide est dans le réservoir, on n’en voit pas plus.
fault-unseen = Ne se voit pas avec ces relevés : { $fault }. Ceci le montrerait : { $reading }.
fault-unseen-by-any = Ne peut se voir ici aujourd’hui : { $fault }.
fault-honest = Essayé sur des systèmes simulés seulement. Aucun défaut mesuré de chambre froide n’est librement accessible : l’exactitude sur des systèmes réels sera moindre. La plaque, le code local et la pratique autorisée passent d’abord.
fault-restricted-before = Le liquide refroidit jusqu'au point après le déshydrateur : cherchez l'étranglement avant ce point, le déshydrateur d'abord.
fault-restricted-past = Le liquide ne refroidit pas jusqu'au point après le déshydrateur : cherchez l'étranglement au-delà de ce point.
fault-restricted-unclear = Le liquide refroidit un peu jusqu'au point après le déshydrateur : ces relevés ne disent pas si c'est avant ou au-delà.
fault-restricted-unread = Rien ne dit si l'étranglement est avant la sortie du déshydrateur ou au-delà : relevez la conduite de liquide au condenseur ou au réservoir et après le déshydrateur.
fault-moving = La surchauffe bouge encore : les relevés comptent avec un doute double. Relisez quand elle est stable.

# L’étape, et sa partie du rapport.
offer-reading-model = Relevés du système en marche
diagnose-read = Relevez le système en marche : une pression au moins, l’air de la chambre et l’air extérieur.
diagnose-read-why = Attendez une marche stable. Des relevés en dégivrage, en descente en température ou en tirage au vide ne disent rien ici.
diagnose-chances = Ce qui ne va probablement pas
diagnose-against = Mesuré, et ce que montrerait le système sain
diagnose-against-note = La bande est celle où liraient dix-neuf systèmes sains sur vingt, avec le doute de l’instrument, de la plaque et du modèle.
diagnose-expected = { $measured }, attendu { $value }
diagnose-within = comme attendu
diagnose-off = écarté
diagnose-besides = Ce que ces relevés disent encore
diagnose-assumed = { $count ->
    [one] 1 donnée de la plaque a été supposée. Entrez-la, et la réponse sera plus sûre.
   *[other] { $count } données de la plaque ont été supposées. Entrez-les, et la réponse sera plus sûre.
  }
diagnose-caution = Pièces sous tension, conduites chaudes, ventilateurs en marche.
diagnose-caution-rest = Lunettes et gants aux raccords. Restez loin des ventilateurs qui démarrent seuls. La plaque, le code local et la pratique autorisée passent d’abord.

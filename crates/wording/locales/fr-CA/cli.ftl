# La ligne de commande : ce que chaque commande et chaque option dit d’elle-même.

cli-about = Trouve pourquoi un système de réfrigération perd sa charge ou sa température, et tient le dossier de sa remise en état.
cli-after =
    Les pressions disent manomètre ou absolu : 62.5 psig, 450 kPa abs, 3.2 bar gauge, 12 inHg (vide), 500 micron.
    Chaque commande prend --json (valeurs SI). Codes de sortie : 0, répondu ; 1, exécuté, mais des lignes ou des vérifications ont échoué ; 2, mauvaise entrée.
    La plaque signalétique, le code local et la pratique sous licence passent d’abord.
cli-example = Exemple : { $example }
cli-json = Répondre en JSON, en unités SI
cli-explain = Ouvrir chaque nombre : données, méthode, doutes, source
cli-units = Unités de la réponse ; sinon, celles que vous avez tapées
cli-refrigerant = Frigorigène, par exemple R-448A
cli-altitude = Altitude du manomètre, par exemple 1500m ou 5000ft
cli-barometer = Baromètre au manomètre, non ramené au niveau de la mer, par exemple 84.5kPa
cli-gauge-accuracy = Exactitude du manomètre, en demi-largeur, par exemple 0.5psi
cli-gauge-u = Incertitude type du manomètre
cli-probe-accuracy = Exactitude de la sonde de température, en demi-largeur, par exemple 1F
cli-probe-u = Incertitude type de la sonde de température
cli-composition = Composition massique au lieu de la nominale, par exemple "R-32=0.26,R-125=0.26,..."
cli-saturation = Points de bulle et de rosée à une température ou à une pression
cli-at = Une température ou une pression ; peut être donné plusieurs fois
cli-pipe = Ce que prend une conduite de liquide ou d’aspiration, et de combien la température de saturation en bouge
cli-pipe-pressure = Pression au premier bout, au manomètre ou absolue
cli-pipe-temperature = Température de la conduite au premier bout
cli-pipe-mass-flow = Débit en masse, par exemple 50 g/s
cli-pipe-capacity = Débit en chaleur reçue, d’une conduite d’aspiration, par exemple 12000 Btu/h
cli-pipe-liquid = Température du liquide avant la vanne, avec --capacity
cli-pipe-tube = Diamètre extérieur du tube de cuivre, par exemple « 7/8 in »
cli-pipe-inside = Diamètre intérieur, si ce n’est pas un tel tube
cli-pipe-length = Longueur ; les raccords comme le tube droit qui perd autant
cli-pipe-rise = De combien l’autre bout est plus haut ; négatif s’il est plus bas
cli-state = L’état à une pression et une autre grandeur : température, enthalpie, entropie ou titre
cli-state-pressure = Pression, au manomètre ou absolue
cli-state-temperature = Température
cli-state-enthalpy = Enthalpie, 200 kJ/kg pour le liquide saturé à 0 °C
cli-state-entropy = Entropie, 1 kJ/(kg K) pour le liquide saturé à 0 °C
cli-state-quality = Part de la masse qui est vapeur, de 0 à 1
cli-superheat = Surchauffe : température de la conduite au-dessus de la rosée à la pression de cet endroit
cli-suction = Pression là où la température de la conduite est prise
cli-line = Température de la conduite
cli-at-least = Plus petite valeur visée, pour un verdict
cli-at-most = Plus grande valeur visée, pour un verdict
cli-subcooling = Sous-refroidissement : bulle à la pression de cet endroit moins la température de la conduite
cli-liquid = Pression du liquide là où la température de la conduite est prise
cli-hold = Tenue sous azote : est-ce étanche, et quelle est la plus petite fuite que cet essai aurait pu voir ?
cli-working = Pression à laquelle la fuite travaillerait ensuite
cli-working-temperature = Température de la vapeur à cet endroit ; sinon, vapeur saturée
cli-start = Pression et température du gaz au début, par exemple 300psig@70F
cli-end = Pression et température du gaz à la fin, par exemple 286psig@50F
cli-volume = Volume à l’essai, par exemple 20L
cli-hours = Heures du début à la fin
cli-gauge-resolution = Plus petit pas montré par le manomètre
cli-temperature-accuracy = Exactitude de la température du gaz, en demi-largeur
cli-temperature-u = Incertitude type de la température du gaz
cli-wanted = Plus petite fuite à ne pas manquer, par exemple 50g/yr
cli-settled = Temps entre la fin du remplissage et la lecture de départ ; sous 30 min, l’essai est nul
cli-liquid-present = Du frigorigène liquide peut être dans le volume : l’essai est nul
cli-rise = Remontée de pression sous vide : fuite, humidité ou dégazage ?
cli-rise-file = CSV de minutes et de microns, avec une ligne de titres : minute,micron
cli-coldest-wall = Température de la paroi la plus froide du volume
cli-rise-limit = Pression à ne pas dépasser à la fin, par exemple 500micron
cli-cylinder = Ce qu’une bouteille de récupération peut contenir, et quand elle serait pleine de liquide
cli-water-capacity = Capacité en eau marquée au collet, par exemple 47.7lb
cli-tare = Tare marquée au collet, par exemple 27lb
cli-gross = Poids actuel : dit la place qui reste
cli-receiver = Ce que contient le réservoir de liquide le jour le plus chaud
cli-receiver-volume = Volume du réservoir de liquide
cli-hottest = Température la plus chaude autour de lui
cli-fill = Part du volume que le liquide peut remplir ; sinon 0.8 (pratique courante)
cli-receiver-charge = Charge qui doit y entrer : dit si elle tient
cli-winter = La charge qui noie le condenseur le jour le plus froid
cli-condenser-volume = Volume intérieur du condenseur
cli-design-split = Condensation au-dessus de l’air ambiant, à la conception
cli-head-setting = Température de condensation que tient la régulation de haute pression
cli-coldest-day = Air ambiant le plus froid
cli-winter-liquid = Température du liquide dans le condenseur ; sinon, la moyenne du réglage et du plus froid
cli-refrigerants = Chaque frigorigène connu ici, avec la note de son modèle de mélange
cli-job = Une visite décrite dans un fichier
cli-job-file = Fichier de travail (TOML), 10 Mo au plus
cli-job-check = Lit le fichier et dit ce qui y cloche, ligne par ligne
cli-job-report = Ce que montre la visite, en rapport à remettre
cli-job-events = La visite en événements, un objet JSON par ligne
cli-format = Forme du rapport
cli-output = L’écrire là ; sinon, à l’écran
cli-completions = Un script de complétion pour un interpréteur de commandes
cli-completions-shell = Interpréteur de commandes

# Ce qui cloche dans les mots de la commande elle-même.
cli-unknown-option = { $given } n’est pas une option ici. Vouliez-vous dire { $sensible } ?
cli-unknown-option-plain = { $given } n’est pas une option ici. Voyez --help.
cli-conflict = { $given } ne va pas avec { $sensible } : donnez l’un des deux.
cli-no-command = { $given } n’est pas une commande. Commandes : { $sensible }
cli-bad-choice = { $field } ne peut pas être { $given }. Ce peut être { $sensible }.
cli-no-value = { $field } demande une valeur, par exemple { $sensible }.
cli-twice = { $field } a été donné plus d’une fois.
cli-words = Les mots de la commande ne vont pas : { $given }. Voyez --help.
cli-no-file = { $given } ne peut pas être lu : { $why }. Par exemple : { $sensible }
cli-no-write = { $given } ne peut pas être écrit : { $why }.
cli-written = Écrit : { $path }
cli-check-good = { $file } : bon, { $count } événements. { $doubtful ->
    [0] Rien n’y est douteux.
    [one] Une lecture est douteuse ; le rapport dit laquelle.
   *[other] { $doubtful } lectures sont douteuses ; le rapport dit lesquelles.
}
cli-check-bad = { $problems }
cli-check-more = { $count ->
    [one] et un problème de plus.
   *[other] et { $count } problèmes de plus.
}
cli-not-text = { $given } n’est pas un texte. Par exemple : { $sensible }

# Titres de l’aide.
cli-heading-usage = Utilisation :
cli-heading-options = Options
cli-heading-arguments = Arguments
cli-heading-commands = Commandes
cli-help = Montrer cette aide
cli-version = Montrer la version
cli-language = Langue de la réponse ; sinon, celle de la machine

# Journaux de plusieurs travaux.
cli-job-id = Le travail visé, là où un journal en contient plusieurs ; avec ceux qu’il suit
cli-log-several = Le journal contient { $given } travaux qui ne se suivent pas. Nommez-en un par --job, par exemple : { $sensible }
cli-log-no-job = Il n’y a pas de travail { $given } dedans. Par exemple : { $sensible }
cli-log-large = { $given } est un journal trop grand. Au plus : { $sensible }
cli-log-newer = { $file } : écrit par un programme plus récent. Ce qui a pu s’en lire sert.
cli-log-torn = { $file }:{ $line } : la dernière ligne n’a jamais été écrite en entier ; elle est laissée de côté.
cli-log-aside = { $file }:{ $line } : { $count ->
    [one] cette ligne n’est pas une inscription d’un dossier ; elle est laissée de côté.
   *[other] { $count } lignes à partir d’ici ne sont pas des inscriptions d’un dossier ; elles sont laissées de côté.
}
cli-log-clash = { $count ->
    [one] Un identifiant figure sur deux inscriptions différentes : quelqu’un a écrit une inscription deux fois.
   *[other] { $count } identifiants figurent sur des inscriptions différentes : quelqu’un a écrit des inscriptions deux fois.
}
ask-viscosity = Viscosité en µPa s (doute type { $u } %)
ask-conductivity = Conductivité thermique en mW/(m K) (doute type { $u } %)
ask-surface-tension = Tension superficielle du liquide en mN/m
pipe-title = Ce que prend la conduite : { $refrigerant }, { $phase }
pipe-friction = Perdu par frottement
pipe-head = Poids de la colonne
pipe-saturation = La température de saturation baisse de
pipe-subcooling = Sous-refroidissement restant à l’autre bout
pipe-end = Pression à l’autre bout
pipe-speed = Vitesse
pipe-flow = Débit en kg/h
pipe-how = Selon Darcy et Weisbach, avec le coefficient de frottement de Churchill pour le cuivre étiré, sans chaleur reçue ni cédée ; bon à quelque 15 %. Les raccords comptent comme le tube droit qui perd autant : ajoutez-le à la longueur.
pipe-boils = Le liquide bout avant l’autre bout : la vanne y reçoit de la vapeur, et il se perd plus de pression qu’il n’est dit ici.
pipe-rough = Plus d’un dixième de la pression se perd : la masse volumique n’est pas la même le long de la conduite, et ceci est approximatif.
pipe-two-phases = { $field } : à { $given }, liquide et vapeur y sont ensemble. Cette question porte sur une conduite où il n’y a que l’un des deux.
pipe-no-viscosity = Aucune viscosité n’est publiée pour une partie de { $given }.
pipe-no-pressure = La conduite prendrait { $given }, plus qu’il n’y a. Vérifiez le débit, le tube et la longueur.
pipe-no-tube = { $field } : aucun tube de cuivre de ce diamètre extérieur n’est listé ; vu : « { $given } ». Listés : { $sensible }. On peut donner un diamètre intérieur à la place.
pipe-no-suction = { $field } va avec une conduite d’aspiration ; à cette pression et cette température, il n’y a pas de vapeur. Donnez le débit en masse.
ask-sources = Où composition, équations et paires ont été publiées
fault-cli = Dire ce qui ne va probablement pas, pour les cas d’un fichier, un objet JSON par ligne (docs/diagnose.md)
fault-cli-input = Les cas
fault-cli-output = Où vont les prédictions, une ligne par cas
fault-cli-done = { $predicted ->
    [one] 1 cas prédit
   *[other] { $predicted } cas prédits
  }, { $refused ->
    [one] 1 ligne refusée
   *[other] { $refused } lignes refusées
  } : { $file }. Ces probabilités reposent sur des systèmes simulés : aucun défaut mesuré de chambre froide n’est librement accessible, l’exactitude sur des systèmes réels sera donc moindre.
fault-cli-line = Ligne { $line } : { $said }
fault-cli-file = Un dossier ou plusieurs : les derniers relevés du système en marche, contre une visite plus ancienne du même système
watch-cli = Surveiller plusieurs systèmes par les journaux de leurs régulateurs : lequel dérive, et pourquoi
watch-cli-input = Le journal : CSV ou Parquet; - lit un CSV de l'entrée standard
watch-cli-listen = Écouter plutôt un serveur de messages, comme mqtt://127.0.0.1:1883 (non chiffré : sur cette machine, ou par un tunnel)
watch-cli-topic = Le sujet à écouter, comme shop/+/readings
watch-cli-during = Combien de temps écouter
watch-cli-messages = Arrêter après ce nombre de messages
watch-cli-map = Ce qu'est chaque colonne : un columns.toml
watch-cli-refrigerant = Le frigorigène de tout système pour lequel aucun n'est indiqué
watch-cli-systems = Un CSV avec system et refrigerant et, au besoin, proved : le jour à partir duquel la référence compte
watch-cli-system = Le nom du système, si aucune colonne ne le nomme
watch-cli-keep = Un fichier Parquet qui garde ce qui a été vu, pour que le journal de demain s'y ajoute
watch-cli-parquet = Écrire aussi les lectures en Parquet
watch-cli-bad = Écrire dans ce fichier la ligne et la raison de chaque mauvaise rangée
watch-cli-output = Écrire la liste entière en CSV
watch-cli-alarms = Fausses alarmes acceptées, comme « 1 per 100 » systèmes et années
watch-cli-memory = Mémoire de la réduction, en Mo; au-delà, elle va sur le disque
watch-cli-plan = Imprimer le plan de la réduction et arrêter
watch-cli-no-fleet = Ce programme a été construit sans la surveillance : construisez-le avec --features fleet.
watch-cli-one-input = Donnez --input ou --listen.
watch-cli-bad-alarms = Les fausses alarmes s'écrivent « 1 per 100 » (systèmes et années), entre 1 per 100000 et 10 per 1. Vu : { $given }.
watch-cli-bad-systems = La ligne { $line } de la liste des systèmes est inutilisable : { $given }. Ses en-têtes sont system, refrigerant et proved.
watch-file = { $file } : { $why }.
watch-engine = La réduction s'est arrêtée : { $why }.
watch-no-layout = Les en-têtes ne disent pas ce qu'est chaque colonne : { $heads }. Dites-le par --map columns.toml, ou nommez les colonnes time, system, suction_pressure psig et ainsi de suite.
watch-bad-map = La carte des colonnes ne peut être lue : { $why }.
watch-no-table = Aucune table de la carte ne convient. En-têtes du journal : { $heads }. Il manque : { $lacking }.
watch-no-field = « { $given } » n'est pas une grandeur à surveiller. Il y a : { $fields }.
watch-no-unit = « { $given } » n'est pas une unité pour { $head }. Plausible : { $sensible }.
watch-no-refrigerant = « { $given } » n'est pas un frigorigène connu ici. Proches : { $sensible }.
watch-no-column = Le fichier n'a pas de colonne { $head }.
watch-no-order = La rangée { $given } sort de l'ordre dans lequel le journal a commencé, et une conduite ne peut être lue deux fois. Donnez le journal comme fichier.
watch-bad-broker = « { $given } » n'est pas une adresse de serveur de messages. Plausible : { $sensible }.
watch-no-broker = Pas de réponse du serveur de messages { $given } : { $why }.
watch-row-time = « { $given } » n'est pas un jour et une heure
watch-row-system = « { $given } » n'est pas un nom de système
watch-row-value = « { $given } » dans { $head } n'est pas une valeur possible
watch-row-refrigerant = « { $given } » n'est pas un frigorigène connu ici
watch-row-clock = « { $given } » est à dix ans ou plus de la première ligne : une horloge remise à zéro
watch-odd-pressures = Systèmes dont les pressions ne peuvent pas être celles de leur frigorigène : { $count }, par exemple { $name }. Vérifiez l'unité, relative ou absolue, et le frigorigène; d'ici là, ne croyez rien de ce qui en est dit.
watch-bad-row = Ligne { $line } laissée de côté : { $why }.
watch-rows = Rangées prises { $taken }, déjà prises { $again }, sans lecture { $empty }, laissées de côté { $bad }.
watch-sum = Systèmes { $systems } : alarmes { $alarms }, sans alarme { $quiet }, trop tôt pour le dire { $early }.
watch-no-gas = Systèmes sans frigorigène : { $count }, comme { $name }. Leurs pressions ne disent rien; indiquez-le par --systems ou --refrigerant.
watch-line = { $rank }. { $system } : { $headline }
watch-early-line = { $system } : trop tôt; { $days } jours sur { $needed } avec une marche stable.

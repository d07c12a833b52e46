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
cli-missing = { $field } manque. { $sensible }
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

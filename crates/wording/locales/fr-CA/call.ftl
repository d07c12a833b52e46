# Soumission et facture.

bill-invoice = Facture
bill-quote = Soumission
bill-owner = Ce que cet appel laisse
bill-number = Numéro { $number }
bill-draft = Ébauche, sans numéro
bill-corrects = Corrige et remplace { $number }
bill-to-pay = À payer : { $total }.
bill-to = Pour
bill-site = Lieu du travail
bill-nobody = Aucun client n’est inscrit : inscrivez le nom avant l’envoi.
bill-order = Votre commande { $order }
bill-lines = Ce qui a été fait
bill-would-cost = Ce que ça coûterait
bill-what = Quoi
bill-quantity = Quantité
bill-unit = Unité
bill-price = Prix
bill-amount = Montant
bill-net = Avant taxes
bill-tax = { $tax } sur { $base }
bill-total = Total en { $currency }
bill-notes = À savoir
bill-terms = Conditions
bill-against = À côté de la soumission { $number }, avant taxes
bill-quoted = Soumis
bill-actual = Réel
bill-cost = Coût
bill-margin = Reste
bill-cost-unknown = { $count ->
    [one] Une ligne n'a pas de coût dans la liste; elle n'est pas comptée dans ce qui reste.
   *[other] { $count } lignes n'ont pas de coût dans la liste; elles ne sont pas comptées dans ce qui reste.
}
bill-touches = { $trips ->
    [one] Un déplacement
   *[other] { $trips } déplacements
}, { $climbs ->
    [0] aucune montée
    [one] une montée
   *[other] { $climbs } montées
}, { $entries } inscriptions avec une heure.
bill-besides = Vu aussi
bill-before-tax = Avant taxes
bill-answer = Réponse
bill-no-price-yet = pas encore de prix
bill-option-chosen = { $option } (choisie)
bill-planned = { $what } ({ $work })
bill-after-hours = { $work }, hors des heures de travail
bill-gas = Frigorigène { $gas }, pesé
bill-gas-taken = Frigorigène { $gas }, repris
bill-unit-each = chacun
bill-unit-trip = déplacement
bill-unit-call = appel
bill-work-travel = Route
bill-work-search = Recherche de la cause
bill-work-repair = Réparation
bill-work-test = Essais
bill-work-charge = Récupération et charge
bill-work-set = Réglages
bill-work-prove = Vérification
bill-work-close = Échanges et écritures
bill-warranty-hours = Garantie, heures : { $place }, réparé le { $date }
bill-warranty-gas = Garantie, frigorigène : { $place }, réparé le { $date }
bill-warranty-parts = Garantie, pièces : { $place }, réparé le { $date }
bill-gap = { $hours } h sans inscription, ni départ ni arrivée : non comptées. Si quelqu'un a travaillé, inscrivez l'arrivée et le départ.
bill-rounding = Les quantités ont deux décimales. Le montant de chaque ligne est arrondi à la monnaie, et chaque taxe une fois sur la somme de ses lignes; les moitiés s'éloignent de zéro. Le total est la somme de ce qui est écrit ici.

# Ce qui empêche une facture d'être juste.

bill-lacks = { $first }{ $more ->
    [0] {""}
    [one] {" "}Il manque encore un prix ou un fait.
   *[other] {" "}Il manque encore { $more } prix ou faits.
}
bill-no-hour = La liste de prix n'a pas d'heure pour « { $work } », ni pour tous les travaux.
bill-no-gas = La liste de prix n'a pas de prix pour { $gas }.
bill-no-part = Pas de prix pour la pièce « { $part } » : nommez sa ligne de la liste (item) ou son prix.
bill-no-finding = Pas de prix unique pour « { $what } » : nommez sa ligne de la liste (item) ou un seul prix.
bill-no-plan = Pas de prix pour « { $what } » : nommez sa durée, son frigorigène, sa ligne de la liste (item) ou son prix.
bill-no-code = La liste de prix n'a pas de ligne « { $code } ».
bill-no-place = Les taxes suivent le lieu, et le dossier ne dit pas où est le site.
bill-no-day = Les taxes suivent la date, et le dossier ne dit pas le jour de la visite.
bill-not-accepted = « { $what } » a été corrigé, et le dossier ne dit pas que c'était accepté.
bill-currency = Ce prix n'est pas dans la monnaie de la liste de prix.
bill-gas-unnamed = Rien ne dit quel frigorigène est dans la bouteille { $cylinder }.
bill-gas-inexact = Les poids de la bouteille { $cylinder } ne se lisent pas exactement.
bill-nothing-planned = Rien n'est prévu : ni travail ni pièce.
bill-number-taken = Ce numéro a déjà été donné. Un numéro sert une seule fois.
bill-nothing-to-correct = Aucun document { $corrects } de cette sorte n'a été envoyé.
bill-must-correct = La facture { $before } a été envoyée pour cette visite. Elle reste telle quelle : une nouvelle doit dire qu'elle la corrige.

# La ligne de commande.

bill-cli-quote = Ce que coûterait le travail prévu, option par option
bill-cli-invoice = Heures, frigorigène et pièces en facture
bill-cli-prices = La liste de prix de l'atelier. Sinon : prices.toml à côté de FILE, ou dans le dossier au-dessus
bill-cli-number = Donner ce numéro au document et en garder une copie figée dans FILE
bill-cli-corrects = Le numéro du document envoyé que celui-ci corrige
bill-cli-option = D'une soumission à options : celle qui reçoit le numéro
bill-cli-whole = Facturer aussi les visites d'avant pour lesquelles aucune facture n'a été envoyée
bill-cli-owner = Ce que laisse chaque ligne, pour le propriétaire seul
bill-cli-format = text, html, pdf, csv ou json
bill-cli-no-prices = Pas de liste de prix : ni --prices, ni prices.toml à côté du fichier ou dans le dossier au-dessus.
bill-cli-not-prices = La liste de prix ne peut pas servir :
    { $problems }
bill-cli-one-file = Un numéro est gardé dans un seul fichier : nommez ce fichier seul.
bill-cli-which-option = Plusieurs options : dites laquelle reçoit le numéro.
bill-cli-sent = { $number } est dans { $file }; il ne change plus.
bill-cli-frozen = Le document { $number } du dossier ne balance pas : ses lignes et taxes font { $sum }, son total { $total }.
bill-cli-unread = Le document { $number } du dossier a un montant qui n'est pas un nombre décimal.

# Le suivi d'une réparation.

follow-title = Suivi
follow-come = Revenir le { $date } : { $place }.
follow-passed = Clos : { $place } était sans fuite le { $date }, assez tard pour l'avoir vue.
follow-failed = La fuite est revenue : { $place }, vue le { $date }.
follow-rate = La fuite perdait { $rate }. Si la réparation n'a rien fait, cela continue; on ne le voit qu'une fois assez perdu.
follow-rate-bound = La fuite perdait au moins { $rate }; on n'en sait pas plus. Si la réparation n'a rien fait, cela continue.
follow-caption = Combien de fois chaque regard verrait une réparation manquée
follow-look = Regard
follow-day = Après 24 h
follow-month = Après 30 jours
follow-tenth = Un dixième resté, 30 jours
follow-sure = 95 fois sur 100
follow-what = Ce qui se verrait, et quand
follow-under-one = moins de 1 %
follow-over-99 = plus de 99 %
follow-days = { $count ->
    [one] après un jour
   *[other] après { $count } jours
}
follow-any-day = n'importe quel jour
follow-never = pas en dix ans
follow-way-glass = Voyant ou sous-refroidissement, un jour chaud
follow-way-box = La chambre, quand le client s'en aperçoit
follow-way-night = La première nuit sous { $below }, voyant et haute pression
follow-way-phone = Niveau du réservoir par téléphone, contre le niveau à la fin du travail
follow-way-level = Niveau du réservoir lu sur place
follow-way-there = Détecteur ou savon à l'endroit réparé
follow-law = Selon la loi, le prochain jour est le { $date } : { $asks }
follow-wanting = En dirait plus, si connu : { $field }.
follow-judgement = Jugement : 9 fuites sur 10 dans la portée du détecteur sont trouvées à l'endroit même; un niveau est dit à 15 % du réservoir près par téléphone et lu à 5 % près. La réserve est ce qui manquait aux recharges d'avant. Sans perte, un niveau montre 5 fois sur 100 ce qui ressemble à une perte.
follow-entry = Suivi : { $system }, { $place }
follow-entry-look = { $look } : voit une réparation manquée { $chance } du temps
follow-cli = Quand revenir après une réparation, et ce que cela pourrait voir
follow-cli-ics = Écrire le rendez-vous en fichier de calendrier
follow-none = Pas de suivi : rien n'a été réparé, ou rien n'est connu de la perte.

# Feuilles simples.

sheet-customer = Ce que nous avons trouvé et fait
sheet-label = Sur cette unité
sheet-leaks = Registre des fuites
sheet-cylinders = Compte des bouteilles
sheet-handover = Pour qui vient ensuite
sheet-cli = Une feuille : pour le client, pour l'unité, le registre des fuites, les bouteilles, pour qui vient ensuite
sheet-cli-what = customer, label, leaks, cylinders, handover ou load
sheet-wrong = Ce qui n'allait pas
sheet-did = Ce qui a été fait
sheet-as-it-is = Comment c'est maintenant
sheet-besides = Ce qui a été vu aussi
sheet-next = La suite
sheet-detail = Derrière la première page : ce qui a été lu, essayé et calculé, comme au rapport de service.
sheet-called = Vous avez appelé : « { $words } »
sheet-lost = Il se perdait du frigorigène : environ { $rate }.
sheet-lost-least = Il se perdait du frigorigène : au moins { $rate }.
sheet-leaked = La fuite était à : { $place }.
sheet-held = Sous pression, ça a tenu : pas de fuite aussi grande que celle cherchée.
sheet-held-not = Sous pression, ça n'a pas tenu : il y a encore une fuite.
sheet-held-open = L'essai sous pression n'a pas pu le dire; le détail dit pourquoi.
sheet-filled = { $mass } de frigorigène pesé et ajouté.
sheet-set = { $what } : de { $found } à { $left }.
sheet-box = Air de la chambre : { $air } à { $at }.
sheet-now = à faire maintenant
sheet-soon = à faire bientôt
sheet-watch = à surveiller
sheet-unanswered = votre réponse, s'il vous plaît
sheet-saw = { $what } : { $urgency }; avant taxes { $price }; { $answer }.
sheet-chose = Vous avez choisi : { $option }.
sheet-back = Nous revenons le { $date } pour voir si ça tient.
sheet-ordered = À commander : { $part }
sheet-winter = { $mass }, calculé pour { $coldest } dehors
sheet-not-known = pas connu
sheet-weighed = Ajouté moins retiré à cette visite
sheet-at = { $what }, { $place }
sheet-as-left = Laissé à
sheet-entries = Inscriptions
sheet-see-report = voir le rapport
sheet-gas = Frigorigène
sheet-before = Avant
sheet-after = Après
sheet-owed = dû
sheet-state = Comment c'est laissé
sheet-off = Le système est arrêté.
sheet-do-not-start = Ne le démarrez pas, et n'ouvrez pas ce qui est fermé, avant d'avoir lu pourquoi.
sheet-trapped = Du liquide enfermé entre deux vannes crève une conduite en se réchauffant : cherchez une pression qui monte.
sheet-something-open = Quelque chose est ouvert qui doit être fermé; c'est plus bas.
sheet-normal = Ce qui est normal ici
sheet-read-at = En marche, lu à { $at } :
sheet-value = { $what } : { $value }
sheet-last-read = Lu en dernier en marche; pas ce qui est normal

# Ce qui a été vu aussi.

side-of = { $what } : { $said }
side-danger = Quelqu'un peut se blesser : ne le laissez pas sans le dire par écrit.
side-likelier = Un tel endroit fuit environ { $times } fois plus souvent qu'un autre (jugement, comme la recherche le pèse).
side-look-there = Cherchez là au détecteur ou au savon avant de partir; la recherche le compte comme un endroit.
side-bare-line = Laissée ainsi, elle prend { $low } à { $high } W le jour le plus chaud, et le gaz arrive { $from } à { $to } plus chaud au compresseur (transfert de chaleur de mémoire, air calme et en mouvement).
side-bare-wanting = Ce que cela coûte ne peut se dire sans : { $field }.
side-runs-longer = La chambre tourne plus longtemps pour le même froid; les lectures en charge disent combien.
side-head-rises = La haute pression monte au premier jour chaud, et avec elle la puissance et la chaleur au compresseur.
side-keep-bare = Cellules fermées, joints collés, et une protection contre le soleil et les oiseaux dehors.
side-keep-joint = De l'azote qui coule pendant le brasage, et un essai de tenue avant le gaz.
side-keep-cap = Un bouchon de métal avec son joint sur chaque vanne; c'est le bouchon qui tient.
side-keep-chafing = Une attache doublée à chaque mètre d'une conduite qui bouge, et aucune où le métal touche le métal.
side-keep-condenser = Une date de nettoyage au calendrier, avant la première semaine chaude.
side-keep-corrosion = Un serpentin enduit, ou des produits qui ne le rongent pas, et un rinçage après le nettoyage.

# Pièces par fonction.

parts-title = Pièces
parts-function = Fonction
parts-shop = Dans la liste de l'atelier
parts-order = À commander
parts-must = Ce que chacune doit satisfaire ici
parts-of = { $part } : { $said }
parts-gas-oil = bonne pour { $gas } et l'huile { $oil }.
parts-gas = bonne pour { $gas }; l'huile n'est pas connue.
parts-rated = prévue pour { $pressure } ou plus, la limite de la plaque.
parts-size = pour { $size }.
parts-capacity = pour { $capacity } aux conditions prévues de ce système.
parts-opens-against = ouvre contre toute la différence entre haute et basse pression; la bobine pour la tension qui est là.
parts-superheat = réglable à { $superheat } de surchauffe; égalisation comme l'ancienne.
parts-range = une plage de { $low } ou moins à { $high } ou plus, pour que les réglages laissés ne soient pas au bout.
parts-reset-self = se réarme seule : l'arrêt par vidange en a besoin.
parts-reset-code = le réarmement que demandent le code local et la plaque.
parts-fan = même sens, vitesse, puissance et montage; bon pour le temps qu'il fait.
parts-insulation = cellules fermées, 19 mm ou plus pour une aspiration (pratique courante), bon au soleil dehors.
parts-wanting = ne peut se dire sans : { $field }.
parts-with-drier = apporter aussi : de l'azote à faire couler, des bouchons pour les bouts neufs, une étiquette avec la date.
parts-with-opened = apporter aussi : un déshydrateur (le circuit est ouvert), des obus de valve, joints et bouchons, de l'azote, une étiquette.
parts-with-control = apporter aussi : un raccord avec son joint, et une étiquette avec les réglages laissés.
parts-with-insulation = apporter aussi : colle, ruban, et une protection si c'est dehors.
parts-listed = { $code }, { $what }; dans le camion : { $on_van }
parts-not-listed = n'y est pas
parts-cli = Pièces : ce qu'un remplacement doit satisfaire, ce que l'atelier a, la commande

# Avant l'appel.

load-before = Avant l'appel
load-intake = Ce qui a été dit
load-title = Charger
load-said = « { $words } »
load-booked = Réservé pour : { $kind }
load-urgency = Quand : { $urgency }
load-at-risk = À risque : { $goods }
load-hours = On peut entrer : { $hours }
load-access = L'accès : { $access }
load-item = { $what } : { $why }
load-check-gauges = les mettre à zéro à l'air libre d'abord
load-check-detector = l'essayer sur une fuite étalon d'abord
load-check-scale = y poser un poids connu d'abord
load-check-vacuum = l'essayer sur la pompe seule d'abord
load-compare = comparé la dernière fois le { $date }, il y a plus d'un an : comparez-le d'abord
load-gas-most = la plus grande recharge a pris { $mass }
load-retest-past = son épreuve était due le { $date } : ne la remplissez pas
load-recovery-cylinder = bouteille de récupération avec de la place

# Endroit par endroit.
places-title = Endroit par endroit
places-take = Emportez { $what }.
places-take-for = Emportez { $what } : { $why }
places-weigh = Pesez d’abord la bouteille { $cylinder }.
places-touched = Touché
places-stands = Dans quel état
places-owed = Dû : { $what }
places-way = Le trajet
touched-open = ouvert
touched-closed-again = ouvert, refermé
touched-shut = fermé, laissé fermé
touched-left-as-found = laissé tel que trouvé, { $left }
touched-changed = trouvé à { $found }, laissé à { $left }
touched-left = laissé à { $left }
touched-found-only = trouvé à { $found } ; comment il a été laissé n’est pas écrit
touched-cylinder = Bouteille { $name }
touched-weighed = { $before } avant, { $after } après
touched-weigh-after = { $before } avant ; pesez-la après
touched-picture = Photo : { $name }
touched-unread = son chiffre n’est pas saisi
touched-taken = prise
touched-take-along = utilisé ici : reprenez-le
load-declined = Refusé auparavant, redemandez : { $what }.
load-declined-by = Refusé le { $date } par { $who }, redemandez : { $what }.

## Ce qui est au camion : choses comptées, gaz par bouteille, outils et leurs vérifications

entry-kind-tool-check = Vérification d’un outil
entry-kind-stock = Compte au camion
entry-field-against = Par rapport à quoi
entry-field-tool-shown = Il a indiqué
entry-field-tool-check-result = Il concorde
van-wanted = Devrait y être
entry-word-zero = rien dessus (zéro)
entry-word-known-weight = un poids connu
entry-word-known-pressure = une pression connue
entry-word-ice-water = eau glacée
entry-word-whiff = une bouffée de gaz
entry-word-another-instrument = un autre instrument
van-title = Au camion
van-fetch = À prendre ou à réparer avant le prochain appel
van-short = { $what } : il en manque { $count }
van-mend = { $tool } a échoué à sa vérification le { $date }
van-things = Choses
van-left = Reste
van-by-count = D’après le compte
van-counted = { $count } le { $date }, { $taken } pris depuis
van-gas = Gaz
van-gross = Poids brut, d’une bouteille
van-net = Net
van-weighed-on = Pesée le
van-not-weighed = pas pesée
van-tools = Outils
van-tool = Outil
van-last-check = Dernière vérification
van-never-checked = jamais vérifié
van-checked = réussie le { $date }, par rapport à : { $against }
van-checked-leak = a trouvé sa fuite étalon le { $date }
van-check-failed = échec à la vérification le { $date } : ne pas s’y fier
van-nothing = Ces fichiers ne disent rien d’un camion : aucun compte, aucune bouteille, aucun outil.
van-cli = Ce qui est au camion : choses comptées moins ce que les visites ont pris depuis, gaz par bouteille, outils et leur dernière vérification. Nommez le journal du camion et toutes les visites depuis son compte
van-cli-format = Comment : text, html, csv (les choses), pdf
van-cli-files = Fichiers qui disent ce qui est au camion, pour la liste de chargement; peut être dit plusieurs fois
load-both = { $first }; { $then }
load-on-van = { $count } au camion
load-too-few = { $count } au camion, { $needed } nécessaires : à prendre
load-gas-held = { $count ->
    [one] { $mass } au camion, dans une bouteille
   *[other] { $mass } au camion, dans { $count } bouteilles
}
load-gas-short = seulement { $mass } au camion
load-gas-none = aucun au camion
load-gas-not-weighed = au camion, pas pesé

## A table from elsewhere

take-cli-kind = Le genre d’inscription de chaque rangée : lecture si rien n’est dit
take-cli-set = Un champ qui est le même à chaque rangée, comme change=removed; peut être dit plusieurs fois
take-bad-set = « { $given } » ne fixe aucun champ d’une telle inscription : écrivez le champ, puis = et ce qu’il vaut, comme change=removed.
take-no-row = La rangée ne se lit pas.

## Le camion et les tableaux au téléphone

van-row = Choses, gaz, outils et leurs vérifications
van-log = Camion
van-log-of = Camion de { $who }
van-empty = Rien n’est encore compté. Comptez une fois ce qui importe; ce que les visites prennent s’en retire de soi-même.
van-add = Inscrire
van-weigh = Peser une bouteille
van-weigh-why = son poids brut; les pesées des visites comptent aussi
van-cylinder-why = son nom, ce qu’elle contient, sa tare
van-instrument-why = son nom et ce qu’il mesure
take-app-title = Prendre un tableau
take-app-row = Les lectures d’un enregistreur, un registre papier recopié
take-app-what = Un tableau avec un en-tête, tel qu’un enregistreur ou une sonde l’exporte, ou un registre papier recopié. Dites une fois ce qu’est chaque colonne.
take-app-file = Choisir le fichier
take-app-keep = Prendre
take-app-first = Choisissez un fichier, la colonne du jour et de l’heure, et une colonne de plus.
take-app-rows-are = Chaque rangée est
take-app-days = Le six mai s’écrit
take-app-columns = Colonnes
take-app-none = laisser
take-app-time = jour et heure
take-app-unit = Unité de { $head }
take-app-unit-short = unité
take-app-would = { $taken } à prendre, { $bad } illisibles

## Pour qui vient ensuite

sheet-read-last = Dernière lecture en marche, et les réglages tels que laissés

## The office

office-prices-of = { $shop } : { $count } prix. Les téléphones des techniciens les reçoivent d’eux-mêmes.

## What a leak leaves of a blend, asked on the phone

app-ask-fractionation = Ce qu’une fuite laisse d’un mélange
app-asked-lost = Part de la charge perdue
app-asked-stood-at = Il se trouvait à
app-asked-leaked = Ce qui a fui
app-asked-vapour-share = Vapeur au début, sinon 20 %
entry-word-vapour = vapeur

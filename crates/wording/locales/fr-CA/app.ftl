# Les mots des écrans du téléphone.

## Ce qui se trouve sur chaque écran
app-back = Retour
app-foot = Gestes
app-stages = Étapes
app-undo = Annuler
app-undo-named = Annuler : { $name }
app-undo-correction = correction de { $name }
app-undo-settlement = choix entre des inscriptions qui diffèrent
app-undo-signature = signature
app-undo-withdrawal = une inscription reprise
app-undo-question = Reprendre : { $name } ?
app-undo-stays = Elle reste au dossier, rayée.
app-leave-it = Laisser
app-open-waiting = ouvre ce qui attend d’être envoyé
app-saved-here = Gardé sur ce téléphone { $time }
app-saved-entries = { $count ->
    [one] Une inscription sur ce téléphone
   *[other] { $count } inscriptions sur ce téléphone
}
app-saved-nothing = Rien d’inscrit encore
app-saved-opening = Ouverture
app-saved-not-possible = Rien ne peut être gardé ici
app-saved-to-send = { $count ->
    [one] Gardé { $time }, 1 à envoyer
   *[other] Gardé { $time }, { $count } à envoyer
}
app-to-send = { $count ->
    [one] 1 inscription à envoyer
   *[other] { $count } inscriptions à envoyer
}
app-all-sent = Tout envoyé { $time }
app-nothing-to-send = Rien à envoyer
app-update-ready = Un programme plus récent est prêt. Il attend que vous le preniez ; vos inscriptions restent.
app-update-take = Le prendre
app-opening = Ouverture

## Les travaux
app-jobs = Travaux
app-no-jobs = Aucun travail encore. Touchez Nouveau : un frigorigène suffit pour commencer.
app-no-name = Sans nom encore
app-last-entry = dernière inscription { $day } { $time }
app-unsettled = des inscriptions diffèrent
app-without-job = Sans travail
app-ask = Questions rapides
app-ask-what = Saturation, surchauffe, bouteille, ouverture, récupération, vide, charge d’hiver …
app-pictures = Photos à lire
app-pictures-what = Nombres encore à taper
app-pictures-why = Prises sur place, à taper dans le camion. D’ici là, ce qui en dépend dit qu’elles ne sont pas lues.
app-no-pictures = Toutes les photos sont lues.
app-shop = L’atelier
app-shop-what = Systèmes, ce qui est dû, frigorigène, appareils
app-settings = Réglages
app-settings-what = Clair ou sombre, langue, unités, votre nom
app-new = Nouveau
app-half-typed = Tapé et pas gardé, { $kind } : { $text }
app-drop = Laisser tomber
app-carry-on = Continuer

## Une nouvelle visite
app-new-place = Nom de l’endroit
app-new-refrigerant = Frigorigène
app-new-refrigerant-why = Un geste commence la visite. Rien d’autre n’est exigé.
app-new-other = Un autre frigorigène
app-new-known = Déjà visité
app-new-start = Commencer
app-again = Prochaine visite à { $name }. Ce qu’on sait du système suit.
app-again-open = Laissé ouvert par la dernière visite
app-again-row = Prochaine visite
app-again-what = Commence par ce que celle-ci laisse ouvert

## Où l’on est
app-place = Où vous êtes
app-place-what = Chambre, toit, camion : ce qui est dû, ce qu’il faut emporter
app-places = Autres endroits
app-i-am-here = J’y suis
app-you-are-here = Vous êtes ici
app-leave = Partir
app-entries = { $count ->
    [one] Une inscription
   *[other] { $count } inscriptions
}
app-owed = Encore dû
app-owed-here = Dû ici avant de partir
app-carry = À emporter
app-weigh-first = À peser d’abord, au sol
app-picture-now = Photo maintenant, nombre plus tard

## Une étape
app-asks-arrive = Qu’est-ce, qu’a-t-on fait, est-ce sûr de commencer ?
app-asks-diagnose = Qu’est-ce qui cloche probablement, d’après sa marche ?
app-asks-search = Où chercher ensuite, et comment ?
app-asks-decide = Récupérer, isoler ou fermer ?
app-asks-test = Est-ce étanche ?
app-asks-evacuate = Est-ce sec et étanche ?
app-asks-charge = Combien, à quelle vitesse, quand arrêter ?
app-asks-set = Enclenchement, coupure, ventilateurs, haute pression
app-asks-prove = Est-ce bon maintenant, et le verriez-vous sinon ?
app-asks-close = Que faut-il écrire, que reste-t-il ouvert ?
app-quick = Relire
app-not-yet = pas encore
app-enter = Inscrire
app-behind = Ce qu’il y a derrière ces nombres
app-so-far = Jusqu’ici
app-answer-at = Réponse à
app-minutes = { $minutes } min
app-hours = { $hours } h { $minutes } min
app-law = Puis-je ajouter du frigorigène maintenant ?
app-next-check = Cherchez ici ensuite
app-clean = Rien
app-hit = Détectée
app-not-done = Pas faite
app-check-more = Inscrire plus sur cette recherche
app-ring-touch = Touchez une partie pour y inscrire une recherche.
app-ring-room = Dans { $room } : la rangée du bas.
app-sweep = Balayage d’une région, avec ce qui a été laissé
app-hand-over = Remettre
app-report = Rapport
app-report-what = La page à imprimer ou à partager
app-sign = Signer le choix
app-sign-what = Par nom, dessiné ou au téléphone
app-record = Dossier
app-record-what = Chaque inscription, les rayées aussi
app-more = Plus
app-any-entry = Toute sorte d’inscription

## Une inscription
app-keep = Garder
app-next = Suivant
app-done = Fini
app-more-fields = Plus de champs
app-one-more = Encore un : { $name }
app-fewer-fields = Moins de champs
app-nothing-typed = Rien n’est encore tapé.
app-doubtful-keep = Gardez-la telle quelle en touchant encore Garder.
app-no-such-entry = Il n’y a pas d’inscription de la sorte { $kind }.
app-last = Dernière : { $value }
app-point-time = Temps depuis l’arrêt de la pompe
app-point-time-began = Temps depuis le début
app-point-pressure = Pression
app-unit = Unité : { $unit }. La suivante d’un geste.
app-keep-as-typed = Garder { $text } tel que tapé
app-about-so-much = Environ
app-as-told = D’après ce qu’on dit
app-not-known = Pas connu
app-no-instrument = aucun instrument nommé
app-instrument = Avec { $name }
app-another-name = Un autre
app-keys = Touches
app-key-delete = Effacer
app-numbers-of-picture = Les nombres de cette image

## Inscriptions antérieures
app-correct = Corriger
app-corrected = Corrigé : { $name }
app-take-back = La reprendre
app-take-back-why = Une inscription reprise reste au dossier, rayée.
app-taken-back = Une inscription reprise
app-struck-out = rayée
app-erased = Effacée
app-settled = Choisi entre des inscriptions qui diffèrent
app-entry-gone = Cette inscription ne tient plus.
app-differ = Inscriptions qui diffèrent
app-choose = Deux personnes disent des choses différentes. Laquelle tient ?
app-signed-by = Signé par { $who }

## Signer
app-sign-no-choice = Inscrivez d’abord ce que le client a choisi.
app-chosen = Choisi
app-sign-bound = La signature est liée au rapport tel qu’il est maintenant.
app-sign-name = Nom de qui a choisi
app-sign-name-first = Tapez d’abord le nom de qui a choisi.
app-sign-by-name = Signé par nom
app-sign-by-phone = Convenu au téléphone
app-sign-draw = Dessinez le nom
app-sign-clear = L’essuyer
app-sign-drawn = Signé tel que dessiné
app-sign-not-drawn = Rien n’est encore dessiné.

## Le rapport
app-print = Imprimer
app-save-file = Garder en fichier

## Photos
app-type-up = Taper le nombre
app-nothing-to-read = Rien à lire
app-report-pictures = Photos
app-picture-alt = La photo telle que prise
app-picture-coming = La photo arrive d’un autre téléphone.

## Questions rapides
app-ask-saturation = Saturation
app-ask-superheat = Surchauffe
app-ask-subcooling = Sous-refroidissement
app-ask-hold = Tenue sous azote
app-ask-opening = Ouverture d’une section
app-ask-recovery = Récupération
app-ask-evacuation = Tirage au vide
app-ask-pulldown = Ne descend pas en pression
app-ask-box = La chambre sans son installation
app-ask-displays = Deux affichages qui diffèrent
app-ask-cylinder = Bouteille de récupération
app-ask-receiver = Réservoir le jour le plus chaud
app-ask-winter = Charge d’hiver
app-ask-waits = La réponse paraît ici dès qu’assez est tapé.
app-keep-into-job = Garder dans le travail
app-keep-no-job = Il n’y a pas encore de travail où le garder.

## Réglages
app-theme = Lumière
app-theme-sun = Pour le soleil
app-theme-plant = Pour les salles de machines
app-language = Langue
app-own-name = Votre nom, tel qu’au dossier
app-units = Unités montrées d’abord
app-decimal = Signe décimal montré ; les deux se lisent
app-keeping = Ce que ce téléphone garde
app-persistent-yes = Le navigateur a promis de garder ce qui est inscrit ici.
app-persistent-no = Le navigateur peut effacer ce qui est inscrit ici quand la place manque. Mettez l’application à l’écran d’accueil, et envoyez souvent.
app-persistent-unknown = Ce navigateur ne dit pas s’il garde ce qui est inscrit ici. Envoyez souvent.
app-ask-to-keep = Lui demander de garder
app-files = Fichiers
app-files-what = Tout exporter, prendre un fichier
app-export = Exporter le dossier
app-export-pictures = Exporter les photos
app-take-in = Prendre un fichier
app-taken-in = { $count ->
    [0] Rien de nouveau dedans.
    [one] Une inscription prise.
   *[other] { $count } inscriptions prises.
}

## Envoyer
app-waiting = Gardé et envoyé
app-waiting-what = Ce qui attend, quand c’est parti
app-send-now = Envoyer
app-count-entries = Inscriptions sur ce téléphone
app-count-waiting = En attente d’envoi
app-count-pictures = Photos en attente
app-count-held = Retenues
app-last-saved = Gardé la dernière fois
app-last-sent = Tout envoyé à
app-held-why = L’atelier a un autre texte sous le même nom. Les deux sont gardés ; le bureau doit regarder. Exportez le dossier par sûreté.
app-not-keeping-why = Ce navigateur ne garde rien, comme dans une fenêtre privée. Ouvrez l’application dans une fenêtre ordinaire.
app-reach-alone = Ce téléphone n’est joint à aucun atelier. Tout reste ici, et fonctionne.
app-reach-fine = L’atelier a tout.
app-reach-trying = Envoi.
app-reach-away = L’atelier est hors d’atteinte. L’essai reprend tout seul ; continuez.
app-reach-pair-again = L’atelier ne connaît plus ce téléphone. Joignez-le de nouveau ; rien ne se perd entre-temps.
app-reach-trouble = L’atelier répond : { $words }
app-lost-phone = Téléphone perdu : qui peut le déverrouiller peut lire ce qu’il contient. Verrouillez le téléphone lui-même et faites-le rayer par le bureau ; ce qui a été envoyé est en sûreté à l’atelier.
app-pair = Joindre un atelier
app-pair-what = Par le code que montre le bureau
app-pair-how = Tapez le code que montre le bureau, ou ouvrez son image avec l’appareil photo.
app-pair-code = Code
app-pair-name = Nom de ce téléphone
app-pair-join = Joindre
app-pair-failed = Pas joint. { $words }
app-paired = Joint à { $shop }, pour { $person }.
app-leave-shop = Quitter cet atelier

## À propos
app-about = À propos
app-about-what = gastight trouve pourquoi une chambre froide perd sa charge ou sa température, prouve la réparation et tient le dossier. Il calcule sur ce téléphone et n’a besoin d’aucun réseau.
app-about-cautions = La plaque signalétique, le code local et la pratique sous licence passent d’abord. Il ne donne jamais de pression d’essai au-dessus de la plaque.
app-licences = Licences
app-licences-what = gastight : MIT ou Apache-2.0. Lettres : B612, SIL Open Font License. Coefficients des frigorigènes : leurs publications, nommées avec chaque nombre.
app-still = Toujours { $value }
app-pair-away = Non jumelé : l’atelier est injoignable. { $words }
app-pair-code-refused = Non jumelé : l’atelier n’accepte pas ce code. Demandez-en un nouveau au bureau; chacun sert une fois, et peu de temps.
app-pair-busy = Non jumelé : l’atelier demande d’attendre. Réessayez dans une minute.

## Ce que demandent les questions rapides
app-asked-pressure = Pression
app-asked-temperature = Température
app-asked-suction = Pression d’aspiration
app-asked-liquid = Pression du liquide
app-asked-line = Température de la conduite à cet endroit
app-asked-working = Pression de service de la section
app-asked-start-pressure = Pression au début
app-asked-start-temperature = Température au début
app-asked-end-pressure = Pression à la fin
app-asked-end-temperature = Température à la fin
app-asked-lasted = Temps écoulé
app-asked-volume = Volume enfermé
app-asked-wanted = Fuite que l’essai doit pouvoir voir
app-asked-section = Volume de la section
app-asked-walls = Température de ses parois
app-asked-bore = Diamètre ouvert
app-asked-open-for = Durée d’ouverture, en répétition
app-asked-stands-at = Pression à laquelle elle se trouve
app-asked-cores = Obus laissés en place, combien
app-asked-wet = Eau présente
app-asked-rise-over = Durée d’observation de chaque remontée
app-asked-water = Capacité en eau de la bouteille
app-asked-tare = Tare de la bouteille
app-asked-gross = Bouteille sur la balance maintenant
app-asked-receiver = Volume du réservoir
app-asked-hottest = Température la plus haute à cet endroit
app-asked-fill = Remplissage permis
app-asked-charge = Charge à y mettre
app-asked-condenser = Volume du condenseur
app-asked-split = Condensation au-dessus de l’air, au calcul
app-asked-head = Ce que tient le réglage de haute pression
app-asked-coldest = Air le plus froid de l’année
app-in-group = { $group } : { $name }
app-new-cylinder = { $name } est nouvelle : elle rejoint les bouteilles de ce travail.

app-prices = Les prix de l’atelier
app-prices-take = Prendre une liste de prix
app-prices-none = Aucun ici. Avec la liste de prix de l’atelier, les façons de poursuivre ont un coût, et devis et facture se trouvent à côté du rapport.
app-prices-of = { $shop } : { $count } prix. Devis et facture se trouvent à côté du rapport; ici ce sont des brouillons, le numéro se donne au bureau.
app-prices-wrong = La liste de prix n’a pas été prise. Ligne { $line } : { $why }

# Ce que la loi demande : la réponse, ce qui est dû, ce qui doit être écrit.

law-title = Ce que la loi demande
law-no-advice = Ceci n’est pas un avis juridique. Le texte de la loi, la plaque signalétique et l’autorité locale décident. Un verdict n’est ferme que là où le texte de la loi a été lu ; tout le reste dit « non confirmé », et ce qu’il faut lire.
law-how-read = Comment le dossier a été lu : une détection est un essai de fuite qui a trouvé une fuite ; une recherche sans rien ne compte comme essai du système que là où elle le dit, ou à l’endroit réparé ; une tenue compte si elle est étanche dans sa limite. Les jours sont ceux de l’horloge du lieu. Les jours fériés ne sont pas comptés.
law-list = { $list } ; { $next }

# La réponse
law-may-add = Peut-on ajouter du frigorigène maintenant ?
law-word-yes = oui
law-word-yes-with-duties = oui, avec des obligations
law-word-no-until = pas encore
law-word-emergency = urgence seulement
law-word-unknown = pas connu
law-answer-yes = On peut ajouter du frigorigène maintenant, d’après la loi lue.
law-answer-yes-with-duties = On peut ajouter du frigorigène maintenant, et des obligations s’ensuivent.
law-answer-no-until = N’ajoutez pas encore de frigorigène. D’abord : { $until }.
law-answer-no = N’ajoutez pas de frigorigène.
law-answer-emergency-only = N’ajoutez que contre le danger immédiat, et seulement tant qu’il dure.
law-answer-no-ban-found = Aucune interdiction d’ajouter n’a été trouvée dans ce qui a été lu. Ce n’est pas une permission.
law-answer-nothing-speaks = Rien de ce qui a été lu n’interdit ni ne permet d’ajouter à ce système. Ce n’est pas une permission : demandez à l’autorité locale.
law-answer-not-read = La loi de cet endroit n’a pas été lue. Demandez à l’autorité locale avant d’ajouter.
law-answer-missing = Savoir si l’on peut ajouter dépend de ce qui n’est pas connu : { $facts }.
law-answer-unknown = On ne peut dire si l’on peut ajouter du frigorigène.
law-because = { $sections }
law-not-confirmed = Non confirmé ({ $status }) : lisez { $instrument }, { $section }.
law-rests-on = { $instrument }, { $section } : { $asks } ({ $status })
law-act-line = { $act } { $why }
law-depends = Cela vaut ici ou non selon { $facts } : { $instrument }, { $section }, lu dans la loi.
law-exception = Là où il y a danger immédiat, ou si arrêter mettait en danger la vie ou la santé, une exception peut valoir : { $instrument }, { $section }. Dites-le au dossier.
law-would-decide = Ceci trancherait :
law-governed-by = Interrogé : la loi de { $laws }.
law-governed-by-owner = Interrogé : la loi de { $laws }. À qui il est : { $owner }.
law-governed-by-none = Aucune loi n’a été interrogée : l’endroit n’est pas connu.

law-until-leak-test = un essai de fuite pour cet ajout
law-until-leak-located = la fuite localisée
law-until-leak-repaired = la fuite réparée
law-until-owner-told = le propriétaire avisé de la fuite
law-until-verification = l’essai de vérification après réparation réussi
law-until-treated-gas = du gaz régénéré ou recyclé en main, pas de gaz neuf
law-until-reclaimed-gas = du gaz régénéré en main
law-until-recovered-treated = le gaz récupéré recyclé ou régénéré
law-until-other-gas = un autre gaz : celui-ci ne peut pas servir
law-until-no-net-gain = pas plus que ce qui a été récupéré
law-until-other-purpose = un autre but qu’un essai de fuite
law-until-certified = une personne certifiée pour le faire

law-act-tested-and-repaired = Faites comme si : pas d’ajout avant un essai de fuite, ni avant qu’une fuite trouvée soit réparée.
law-act-located-and-repaired = Faites comme si : pas d’ajout avant que la fuite soit localisée et réparée.
law-act-known-leak = Faites comme si : pas d’ajout tant qu’une fuite est connue.
law-act-verification = Faites comme si : pas d’ajout avant que l’essai d’après réparation soit réussi.
law-act-leak-test = Faites comme si : pas d’ajout pour chercher une fuite.
law-act-no-net-gain = Faites comme si : pas plus que ce qui a été récupéré.
law-act-no-virgin-gas = Faites comme si : pas de gaz neuf.
law-act-reclaimed-only = Faites comme si : du gaz régénéré seulement.
law-act-treated = Faites comme si : le gaz récupéré seulement après recyclage ou régénération.
law-act-no-gas = Faites comme si : ce gaz ne peut pas servir.
law-act-certified = Faites comme si : une personne certifiée doit le faire.
law-act-duties = Faites comme si l’obligation valait.

law-fact-place = l’endroit dont la loi vaut
law-fact-region = la province, l’État ou la nation
law-fact-owner = à qui est le système
law-fact-use = à quoi sert le système
law-fact-refrigerant = le frigorigène
law-fact-gwp = un potentiel de réchauffement de ce frigorigène dans la liste de la loi
law-fact-refrigerant-scope = si la loi couvre cette sorte de frigorigène
law-fact-equipment-scope = si la loi couvre cette sorte d’équipement
law-fact-full-charge = la charge complète
law-fact-rated-power = la puissance nominale
law-fact-hermetic = s’il est étiqueté hermétiquement scellé
law-fact-detection = s’il y a une détection de fuite à demeure
law-fact-installed = le jour de la pose
law-fact-special-use = un usage particulier, ou aucun
law-fact-previous-check = l’essai de fuite précédent
law-fact-previous-detection-check = la dernière vérification de la détection
law-fact-previous-addition = quand du frigorigène a été ajouté la dernière fois
law-fact-added-mass = combien a été ajouté
law-fact-released-mass = combien s’est échappé
law-fact-method = la méthode de taux de fuite de l’établissement
law-fact-process-shutdown = si un procédé industriel doit être arrêté
law-fact-evacuated = si la pièce avait été vidée pour la réparation
law-fact-return-to-normal = quand il est revenu à la marche normale
law-fact-leak-test-before = un essai de fuite avant cet ajout
law-fact-leak-test-result = ce que l’essai de fuite a montré
law-fact-owner-told = que le propriétaire a été avisé
law-fact-certified = le certificat de qui fait le travail
law-fact-stopping-endangers = si l’arrêter mettrait en danger la vie ou la santé
law-fact-reason = pourquoi du frigorigène est ajouté
law-fact-gas-from = d’où vient le gaz
law-fact-time-of-day = l’heure du jour

law-status-read = lu dans la loi
law-status-silence = aucune interdiction trouvée dans les articles lus
law-status-guide = lu dans les directives de l’autorité
law-status-secondary = d’une page sur la loi
law-status-recalled = de mémoire, rien n’a été lu
law-status-told = lu dans la loi ; repose sur ce qui a été dit
law-status-open = le texte de la loi le laisse ouvert

law-owner-federal = fédéral
law-owner-federal-land = sur un terrain fédéral ou autochtone
law-owner-private = privé
law-owner-not-said = pas au dossier

law-place-ca-federal = Canada, fédéral
law-place-ca-on = Ontario
law-place-ca-qc = Québec
law-place-ca-mb = Manitoba
law-place-ca-province = une province canadienne
law-place-us = États-Unis
law-place-us-ca = Californie
law-place-eu = Union européenne
law-place-es = Espagne
law-place-fr = France
law-place-gb = Grande-Bretagne
law-place-other = { $code }
law-place-none = Le dossier ne dit pas quelle loi vaut. Écrivez-le sous le lieu, par exemple « Ontario, Canada ».
law-place-unknown = « { $typed } » n’est pas un endroit connu ici. Écrivez par exemple « Ontario, Canada », « CA-ON », « Spain » ou « New York, USA ».
law-place-ambiguous = « { $typed } » désigne plus d’un endroit. Écrivez « { $write } » si c’est ce que vous voulez dire.
law-place-two = Deux endroits sont nommés, { $one } et { $two }. Écrivez celui dont la loi vaut.

# Le gaz selon son origine
law-gas-caption = Quel gaz peut servir
law-gas-virgin = neuf
law-gas-reclaimed = régénéré
law-gas-recycled = recyclé
law-gas-recovered = récupéré, non traité
law-gas-not-said = origine absente du dossier
law-gas-no-ban = aucune interdiction trouvée dans ce qui a été lu
law-gas-banned = interdit
law-gas-act-as-if-banned = faites comme si interdit ; non confirmé
law-gas-unknown = pas connu

# Sections
law-section-charging = Puis-je ajouter du frigorigène ?
law-section-due = Ce qui est dû
law-section-written = Ce qui doit être écrit
law-section-rates = Taux de fuite selon la loi
law-section-account = Compte de frigorigène par année
law-section-notice = Avis pour l’équipement
law-section-standing = Toujours
law-section-sources = Où c’est écrit

# Ce qui est dû
law-due-caption = Dû, en retard, et choix ouverts
law-breached-caption = Manquements au dossier, terminés
law-due-at-once = tout de suite
law-due-without-delay = sans retard indu
law-due-before-adding = avant d’ajouter du frigorigène
law-due-open = ouvert
law-overdue = en retard
law-overdue-since = en retard ; dernier jour { $day }
law-choice = Un choix : { $asks }
law-nothing-due = Rien n’est dû d’après le dossier.
law-wanting = Ne peut être jugé, faute de :
law-wanting-line = { $fact } : { $count ->
    [one] { $sections }
   *[other] { $count } articles ({ $sections })
 }
law-event = { $kind } { $day }
law-event-at = { $kind } { $day }, { $place }
law-remark-use = L’usage du système a été pris de la sorte de chambre.
law-remark-days = { $count ->
    [one] Une inscription est sans jour : la loi n’a pas pu la compter.
   *[other] { $count } inscriptions sont sans jour : la loi n’a pas pu les compter.
 }
law-remark-put-back = { $mass } ont été récupérés et remis à la même visite ; ils ne sont pas comptés comme ajoutés.
law-remark-told = Repose sur ce qui a été dit de : { $facts }.
law-remark-not-read = Rien n’a été lu de la loi de { $law }.

# Ce qui doit être écrit
law-records-caption = Registres que la loi demande
law-fields-complete = complet dans ce dossier
law-fields-missing = manque : { $fields }
law-fields-not-read = les champs exigés n’ont pas été lus
law-kept = { $years ->
    [one] un an
   *[other] { $years } ans
 }
law-kept-by = { $years ->
    [one] un an, { $by }
   *[other] { $years } ans, { $by }
 }
law-kept-not-read = pas lu

law-field-system = quel système
law-field-owner = propriétaire ou exploitant
law-field-responsible-person = personne responsable
law-field-address = adresse
law-field-location = où il se trouve
law-field-serial-number = numéro de série
law-field-equipment-type = sorte d’équipement
law-field-full-charge = charge complète
law-field-full-charge-method = comment la charge complète a été trouvée
law-field-full-charge-range = plage et milieu de la charge complète
law-field-full-charge-revisions = révisions de la charge complète
law-field-date = jour
law-field-activity = sorte d’activité
law-field-parts-serviced = pièces touchées
law-field-work-done = ce qui a été fait
law-field-person = qui l’a fait
law-field-employer = employeur
law-field-certificate-number = numéro du certificat
law-field-refrigerant = frigorigène
law-field-amount-added = quantité ajoutée
law-field-amount-at-installation = quantité ajoutée à la pose
law-field-reason-added = pourquoi elle a été ajoutée
law-field-amount-recovered = quantité récupérée
law-field-gas-origin = d’où vient le gaz
law-field-leak-rate = taux de fuite
law-field-leak-rate-method = méthode de taux de fuite
law-field-check-method = comment les fuites ont été cherchées
law-field-leak-locations = où des fuites ont été trouvées
law-field-all-parts = que toutes les pièces visibles et accessibles ont été inspectées
law-field-test-type = sorte d’essai
law-field-test-result = résultat de l’essai
law-field-check-dates = jours des vérifications
law-field-repair-dates = jours des réparations
law-field-decommissioning = mise hors service, et sort du gaz

# Taux de fuite
law-rates-caption = Taux de fuite après le dernier ajout
law-rate-at-least = au moins { $percent } (pas connu : { $fact })
law-rate-wants = pas connu, faute de : { $fact }
law-rate-none = ne peut être compté
law-rate-over = au-dessus de { $limit } %
law-rate-not-over = pas au-dessus de { $limit } %
law-rate-limit = limite { $limit } %
law-rate-no-limit = aucune limite dans la loi lue
law-charge-tonnes = { $law } : charge complète { $tonnes } t équivalent CO2, par PRP { $gwp } ({ $basis })

# Le compte
law-account-caption = Ce qui est entré, sorti et s’est échappé
law-account-from = { $gas } : { $mass }
law-account-unweighed = { $count ->
    [one] une inscription sans masse : les sommes sont des planchers
   *[other] { $count } inscriptions sans masse : les sommes sont des planchers
 }
law-releases-caption = Rejets
law-release-none = 10 kg ou moins : pas de rapport selon DORS/2022-110
law-release-half-year = DORS/2022-110 article 25, là où il vaut : avec le rapport du semestre, au plus tard le { $day }
law-release-large = DORS/2022-110 article 24, là où il vaut : premier rapport dans les 24 heures, rapport complet au plus tard le { $day }

# L’avis
law-notice-system = Système : { $system }
law-notice-refrigerant = Frigorigène : { $refrigerant }, charge complète { $charge }
law-notice-date = Essai de fuite le { $day }
law-notice-person = Par { $person }, certificat { $certificate }, valide jusqu’au ________
law-notice-employer = Employeur : { $employer }
law-notice-found = Résultat : fuite trouvée à { $places }
law-notice-clean = Résultat : aucune fuite trouvée dans { $count ->
    [one] une recherche
   *[other] { $count } recherches
 } à { $places }
law-notice-do-not-add = N’ajoutez pas de frigorigène avant que la fuite soit réparée.
law-notice-blank = ________
law-notice-ontario = Champs comme dans les directives du ministère ontarien sur la climatisation des véhicules ({ $status }) ; pour l’équipement fixe, le Règl. de l’Ont. 463/10 n’a pas été lu.
law-notice-practice = Pratique courante, sans source ; la loi de cet endroit peut demander une autre forme.

# Colonnes
law-column-gas = Gaz
law-column-may = Peut-il servir ?
law-column-section = Article
law-column-by = Par
law-column-asks = Quoi
law-column-law = Loi et article
law-column-known = Connu comment
law-column-evidence = D’après
law-column-days = Jours
law-column-record = Registre
law-column-kept = Gardé
law-column-state = Dans ce dossier
law-column-method = Méthode
law-column-rate = Taux par an
law-column-threshold = Seuil
law-column-year = Année
law-column-added = Ajouté
law-column-removed = Retiré
law-column-released = Échappé
law-column-of-it = Dont
law-column-day = Jour
law-column-tonnes = t équivalent CO2
law-column-release-report = Rapport
law-column-system = Système
law-source = { $id } : { $title }, { $article } ; { $href } ; regardé le { $on } : { $by }

# À travers les systèmes
law-calendar-title = Ce qui est dû, selon la loi
law-calendar-caption = Dû à travers les systèmes
law-systems-caption = Peut-on ajouter du frigorigène, système par système
law-calendar-now = { $systems ->
    [one] Un système
   *[other] { $systems } systèmes
 } : { $lines } dus, dont { $overdue } en retard.

# La commande
law-cli = Ce que la loi demande d’un système, ou de tous ceux d’un dossier ou d’un journal : peut-on ajouter du frigorigène, ce qui est dû, ce qui doit être écrit.
law-cli-file = Un fichier de travail, un journal, plusieurs, ou un dossier qui en contient ; - lit l’entrée standard
law-cli-on = Le jour demandé ; aujourd’hui sinon
law-cli-within = Ne montrer comme dû que ce qui l’est d’ici là, par exemple 60d ; ce qui est en retard est toujours montré
law-cli-ics = Écrire ce qui est dû en fichier de calendrier
law-cli-law = Une obligation à vous, en fichier comme ceux de data/law/duties ; peut être donné plusieurs fois
law-refused-date = { $field } doit être un jour ; vu : « { $given } ». Par exemple : { $sensible }
law-refused-within = { $field } doit être un temps d’au plus 40 000 jours ; vu : « { $given } ». Par exemple : { $sensible }
law-refused-folder = { $given } ne contient ni fichier de travail ni journal. Par exemple : { $sensible }
law-refused-toml = { $field } ne se lit pas comme une obligation : { $given }
law-refused-key = { $field } : une obligation doit dire « { $sensible } », et celle-ci ne le dit pas.
law-refused-unknown-key = { $field } : aucune obligation n’a de clé « { $given } ».
law-refused-value = { $field } : « { $given } » n’est pas ce que prend « { $sensible } ».
law-refused-version = { $field } : une obligation demande au moins une [[version]] avec son état et sa source.
law-refused-twice = { $field } : une obligation d’identifiant « { $given } » est déjà là.
law-cli-format = En texte, ou en une page à imprimer
law-status-not-firm = lu dans la loi ; laissé ouvert là, ou repose sur ce qui a été dit
law-entry = { $system } : { $asks }
law-entry-overdue = En retard : { $system } : { $asks }
law-entry-choice = Choix : { $system } : { $asks }
law-entry-not-confirmed = Non confirmé : { $system } : { $asks }
law-entry-behind = { $instrument }, { $section }. Connu comment : { $known }. Ceci n’est pas un avis juridique.

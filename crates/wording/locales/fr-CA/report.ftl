# Les mots du rendu des documents.

report-verdict-met = respecté
report-verdict-breached = dépassé
report-verdict-not-resolved = non tranché
report-verdict-due = à faire
report-verdict-unknown = inconnu
report-verdict-doubtful = douteux
report-verdict-nothing = non inscrit

# Colonnes et titres.
report-verdict = verdict
report-what = quoi
report-value = valeur ± 95 %
report-limit = limite
report-number = Nombre
report-from-what = À partir de quoi
report-how = Comment
report-doubt = D’où vient le doute
report-source = Source
report-inputs-methods-sources = Données, méthodes, sources

# Le pied de page.
report-mark-demo = Démonstration : les données sont inventées.
report-mark-answer = Calculé à partir de ce qui a été demandé.
report-mark-real = Fait à partir de ce qui a été inscrit pour ce travail.
report-not-legal-advice = Ceci n’est pas un avis juridique : la plaque signalétique, le code local et l’autorité locale décident.

report-caution = Attention :

# Chances.
report-something-else = autre chose
report-under-one-percent = moins de 1 %

# Images.
report-nothing-to-draw = Rien à tracer : aucune lecture d’ici n’est un nombre qui tient sur un axe.
report-left-out = { $count ->
    [one] Une valeur n’est pas un nombre qui tient sur un axe et n’est pas tracée.
   *[other] { $count } valeurs ne sont pas des nombres qui tiennent sur un axe et ne sont pas tracées.
 }
report-rows-shown = { $shown } lignes montrées sur { $all }.
report-numbers-of-picture = Les nombres de cette image
report-point = point
report-place = endroit
report-half-width = ± 95 %
report-chance-left = chance de fuite qui reste
report-looked-at = regardé
report-block-found = fuite trouvée
report-block-ruled-out = écarté
report-block-looked = regardé
report-date = date
report-charge-before = { $unit } avant
report-charge-added = { $unit } ajouté
report-charge-after = { $unit } après
report-expected-if-tight = ici si étanche
report-season-cold = froid
report-season-warm = chaud
report-strip-point = point
report-strip-closes = ferme
report-strip-section = section
report-strip-shut-in = enfermé

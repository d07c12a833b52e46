# Saturation pour de nombreux relevés à la fois.

cli-batch = Répondre à une question pour chaque ligne d'un tableau
cli-batch-saturation = Bulle et rosée pour chaque ligne d'un tableau de fluides et de relevés
cli-batch-input = Un tableau à valeurs séparées par des virgules, avec les colonnes refrigerant et given (25F, 62.5psig, 3bar abs)
cli-batch-output = Où écrire le tableau des réponses
batch-no-read = Le tableau ne peut pas être lu : { $why }.
batch-same-file = Les réponses remplaceraient les relevés. Nommez un autre fichier.
batch-no-columns = La première ligne doit nommer les colonnes refrigerant et given. Vu : { $head }.
batch-more = { $count } autres lignes sont sans réponse; chacune dit pourquoi dans la colonne error.
batch-done = { $rows } lignes écrites dans { $path }, dont { $bad } sans réponse.

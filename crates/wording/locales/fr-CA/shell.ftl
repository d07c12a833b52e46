# Ce que l’application dit d’elle-même : garder, envoyer, photos.

shell-not-saved = Pas gardé. Ce que vous avez tapé est toujours là. Gardez de nouveau, ou exportez un fichier. Le téléphone dit : { $words }
shell-not-saved-full = Pas gardé : le téléphone n’a plus de place. Ce que vous avez tapé est toujours là. Faites de la place et gardez de nouveau, ou exportez un fichier.
shell-not-saved-closed = Pas gardé : ce navigateur ne laisse rien garder, comme dans une fenêtre privée. Ouvrez l’application dans une fenêtre ordinaire, ou exportez un fichier.
shell-nothing-to-undo = Il n’y a rien à annuler ici.
shell-picture-unreadable = Cette photo ne se lit pas. Reprenez-la, ou choisissez-en une autre. Le téléphone dit : { $words }
shell-engine-missing = La plus grande partie de l’application n’a pas pu être chargée. L’essai reprend tout seul ; il faut le réseau une fois.

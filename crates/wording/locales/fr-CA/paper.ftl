# Documents imprimés.

paper-cli-format = En texte, en une page à imprimer, ou en PDF
paper-cli-size = Format des feuilles d’un PDF
paper-not-built = Ce programme a été construit sans PDF. Prenez html et imprimez-le, ou construisez-le avec : cargo build --release --features pdf
paper-no-output = Un PDF va dans un fichier : dites lequel avec --output
paper-fault = Le PDF n’a pas pu être composé, c’est un défaut de ce programme : { $why }
paper-missing = Aucune police d’ici n’a ces lettres, elles restent des cases vides : { $letters }

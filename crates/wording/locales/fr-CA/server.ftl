# Ce que le serveur de l’atelier répond et imprime.

server-not-let-in = Entrée refusée. Connectez-vous, ou joignez ce téléphone de nouveau.
server-wrong-code = Le code n’est pas connu, a servi, ou date de plus d’un quart d’heure. Demandez-en un nouveau.
server-wrong-password = Le nom ou le mot de passe est faux.
server-wrong-passkey = Cette clé d’accès ne laisse entrer personne ici. Connectez-vous avec le mot de passe, et voyez sous Clés d’accès lesquelles existent.
server-passkey-not-built = Ce serveur n’accepte aucune clé d’accès : il a été compilé sans elles. Connectez-vous avec le mot de passe.
server-passkey-no-domain = Ce serveur n’accepte aucune clé d’accès, car une clé d’accès est liée à un domaine. Démarrez-le avec --public-url https:// et un nom de domaine (ou http://localhost, pour cette machine seulement) ; docs/server.md dit comment. Le mot de passe continue de fonctionner.
server-passkey-not-made = Cette clé d’accès n’a pas été ajoutée : elle est arrivée trop tard, ou n’est pas ce qui était demandé. Recommencez.
server-passkey-enough = Une personne a au plus { $most } clés d’accès. Retirez-en une d’abord.
server-passkey-in-a-browser = Les clés d’accès s’ajoutent et se retirent dans un navigateur, une fois connecté, non par un téléphone jumelé.
server-no-passkey = Aucune clé d’accès de cette personne n’a cet identifiant.
server-not-allowed = Cette personne ne peut pas faire cela.
server-not-our-page = Un changement venu d’un navigateur doit venir de l’application elle-même, avec l’en-tête X-Gastight: 1.
server-missing = Cela n’existe pas ici.
server-no-address = Rien n’a cette adresse.
server-no-person = Aucune personne n’a cet identifiant.
server-no-device = Aucun téléphone n’a cet identifiant.
server-no-system = Aucun système n’a cet identifiant.
server-no-job = Aucun travail n’a cet identifiant.
server-no-picture = Cette photo n’est pas ici. Elle est peut-être en route.
server-no-authority = Ce serveur n’a pas sa propre autorité de certification.
server-conflict = Ceci contredit ce qui est ici.
server-refused = Un autre contenu figure sous { $count ->
    [one] l’identifiant d’un événement
   *[other] les identifiants de { $count } événements
  } de cette demande. Rien de la demande n’a été gardé.
server-last-owner = C’est le dernier propriétaire. Nommez-en d’abord un autre.
server-unreadable = Ce qui a été envoyé ne se lit pas.
server-unreadable-why = Ce qui a été envoyé ne se lit pas : { $why }.
server-store-said = L’entrepôt dit : { $why }.
server-not-events = Une partie de ce qui a été envoyé n’est pas un événement. Rien de la demande n’a été gardé.
server-too-large = Ce qui a été envoyé est trop grand.
server-too-large-most = On prend ici au plus { $most } octets.
server-other-hash = La photo n’est pas celle dont elle porte le nom.
server-not-taken = Cette forme de corps n’est pas prise.
server-not-taken-wanted = Voulu ici : { $wanted }, non comprimé.
server-too-often = Trop souvent.
server-too-often-wait = Attendez { $seconds ->
    [one] une seconde
   *[other] { $seconds } secondes
  }, puis réessayez.
server-too-slow = La demande a pris trop de temps.
server-no-such-method = Cette adresse ne prend pas cette méthode.
server-busy = Occupé. Réessayez dans un instant.
server-our-fault = Le serveur a failli. Ce qui est arrivé est dans son journal.

server-start = L’atelier est à { $url }
server-start-nobody = Personne ne peut encore se connecter. Ajoutez le propriétaire : gastight-server --data { $data } person add owner --role owner
server-start-loopback = Seule cette machine l’atteint. Les téléphones ont besoin de HTTPS pour travailler sans signal : démarrez avec --listen 0.0.0.0:8470 --tls-self, ou mettez devant un mandataire inverse avec certificat ; docs/server.md guide dans les deux cas.
server-start-plain = Attention : cette adresse est ouverte au réseau sans HTTPS. Un téléphone ne travaillera pas ici sans signal, et les mots de passe peuvent se lire en chemin. Employez --tls-self, ou un mandataire inverse avec certificat et --public-url ; docs/server.md guide dans les deux cas.
server-start-own = HTTPS avec l’autorité propre de cet atelier, pour { $names }. Chaque téléphone lui fait confiance une fois : ouvrez { $trust } sur le téléphone et suivez docs/server.md.

server-backup = { $files } fichiers, { $bytes } octets, écrits dans { $into } et vérifiés.
server-restore = Restauré : { $events } événements, { $jobs } travaux. Les téléphones renvoient ce qui est venu après la sauvegarde.
server-verify = { $events } événements et { $pictures } photos examinés ; { $owed } photos en route ; défauts : { $faults }.
server-export = { $events } événements et { $pictures } photos écrits dans { $into }.
server-import = { $new } événements étaient nouveaux, { $known } étaient déjà ici ; { $pictures } photos.
server-import-refused = Non pris, car un autre contenu figure sous ces identifiants : { $ids }
server-import-aside = Lignes qui ne sont pas des événements, non prises : { $lines }
server-import-pictures = Non pris, car ces fichiers ne sont pas ceux dont ils portent le nom : { $names }
server-person-added = Ajouté : { $name }, { $role }.
server-person-password = { $name } a un nouveau mot de passe, et est déconnecté partout.
server-pair = Pour un téléphone de { $name } : balayez l’image, ouvrez { $link }, ou tapez le code. Il vaut une fois, un quart d’heure.
server-demo = Un atelier inventé : ni lieu, ni entreprise, ni personne n’existe. Connectez-vous à { $url } comme l’une d’elles.
server-watch-refused = { $field } : vu « { $given } ». Valeur sensée : { $sensible }.
server-watch-once = chaque système une seule fois

title = Vos raquettes
ready-count = { $count ->
    [one] { $count } raquette prête
   *[other] { $count } raquettes prêtes
}
where = Lieu de retrait
about = vers { $time }, très probablement avant { $safe }
day-time = { $time } ({ $day ->
    [mon] lun.
    [tue] mar.
    [wed] mer.
    [thu] jeu.
    [fri] ven.
    [sat] sam.
   *[sun] dim.
})
state-ready = prête
state-waiting = en attente
state-working = sur la machine
state-checking = au contrôle
state-out = remise
state-held = en pause : adressez-vous au comptoir
state-cancelled = ne sera pas cordée : adressez-vous au comptoir
play-stopped = Le jeu est interrompu sur { $court } : votre match peut commencer plus tard.
play-expected = La reprise est prévue vers { $time }.
stop-moves = Si votre match est décalé, cette heure peut l’être aussi.
stop-holds = Cette raquette est déjà commencée : l’interruption ne change pas son heure.
stop-ready = Elle reste ici, prête pour vous.
empty = Nous n’avons aucune raquette à vous pour l’instant.
empty-hint = Dès que vous en déposez une, elle apparaît ici.
local-times = Les heures sont celles du lieu du tournoi.
as-of = État à { $time }.
reloads = Cette page s’actualise chaque minute.
reload-off = Désactiver l’actualisation automatique
reload-on = Actualiser chaque minute
load-again = Actualiser
back = Retour à vos raquettes
pickup-code = Code de retrait
pickup-hint = Montrez ce code au comptoir.
pickup-until = Valable jusqu’à { $time }.
language = Langue
ended = Ce lien n’est plus valable.
ended-hint = Demandez un nouveau ticket au comptoir.
ticket = Ticket
ready-by = Prête avant
price = Prix
condition = État au dépôt
condition-good = les quatre points en bon état
condition-marked = dommage relevé
scan-me = Scannez pour savoir quand elle est prête
delegate = Une autre personne viendra
delegate-name = Son nom
delegate-hint = Le comptoir remettra vos raquettes à cette personne.
delegate-done = Peut aussi retirer : { $names }
change = Demander un changement
change-which = Quelle raquette ?
change-words = Que souhaitez-vous changer ?
change-hint = C’est le personnel du comptoir qui décide ; rien ne change automatiquement.
change-done = Le comptoir a reçu votre demande pour la raquette { $racket }.
send = Envoyer
calendar = Ajouter ces heures à votre agenda
calendar-ready = Raquette { $racket } prête
withdraw = Retirer
withdraw-done = Cette personne ne peut plus venir les chercher.
wrong-name = Écrivez un nom, 120 caractères au plus.
wrong-change = Écrivez ce que vous souhaitez changer, 120 caractères au plus.
wrong-which = Choisissez une raquette qui est encore chez nous.
wrong-many = Cinq personnes sont déjà nommées. Retirez-en d’abord une.
wrong-often = { $count ->
    [one] Trop de demandes depuis cette page. Réessayez dans { $count } seconde ou adressez-vous au comptoir.
   *[other] Trop de demandes depuis cette page. Réessayez dans { $count } secondes ou adressez-vous au comptoir.
}

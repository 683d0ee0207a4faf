title = Vos raquettes
ready-count = { $count ->
    [one] { $count } raquette prête
   *[other] { $count } raquettes prêtes
}
where = À retirer : { $place }
about = vers { $time }, très probablement avant { $safe }
state-ready = prête
state-waiting = en attente
state-working = sur la machine
state-checking = au contrôle
state-out = remise
state-ask = adressez-vous au comptoir
empty = Nous n’avons aucune raquette à vous pour l’instant.
empty-hint = Dès que vous en déposez une, elle apparaît ici.
local-times = Les heures sont celles du lieu du tournoi.
as-of = État à { $time }. Cette page se recharge seule chaque minute.
load-again = Recharger
pickup-code = Code de retrait
pickup-hint = Montrez ce code au comptoir.
language = Langue
ended = Ce lien n’est plus valable.
ended-hint = Demandez un nouveau ticket au comptoir.
ticket = Ticket
ready-by = Prête avant
price = Prix
condition = État au dépôt
scan-me = Scannez pour savoir quand elle est prête
delegate = Une autre personne viendra
delegate-name = Son nom
delegate-hint = Le comptoir remettra vos raquettes à cette personne.
delegate-done = Peut aussi retirer : { $names }
change = Demander un changement
change-which = Quelle raquette ?
change-words = Que faut-il changer ?
change-hint = Une personne du comptoir décide ; rien ne change tout seul.
change-done = Le comptoir a reçu votre demande.
send = Envoyer

title = Le sue racchette
ready-count = { $count ->
    [one] 1 racchetta pronta
   *[other] { $count } racchette pronte
}
where = Ritiro: { $place }
about = verso le { $time }, molto probabilmente entro le { $safe }
state-ready = pronta
state-waiting = in attesa
state-working = sulla macchina
state-checking = in controllo
state-out = consegnata
state-ask = chieda al banco
empty = Al momento non abbiamo sue racchette.
empty-hint = Quando ne consegna una, appare qui.
local-times = Gli orari sono quelli del luogo del torneo.
as-of = Situazione alle { $time }. La pagina si aggiorna da sola ogni minuto.
load-again = Aggiorna
pickup-code = Codice di ritiro
pickup-hint = Mostri questo codice al banco.
language = Lingua
ended = Questo link non è più valido.
ended-hint = Chieda un nuovo scontrino al banco.
ticket = Scontrino
ready-by = Pronta entro le
price = Prezzo
condition = Stato alla consegna
scan-me = Inquadri il codice per sapere quando è pronta
delegate = Ritira un’altra persona
delegate-name = Il suo nome
delegate-hint = Il banco consegna le sue racchette a questa persona.
delegate-done = Può ritirare anche: { $names }
change = Chiedere una modifica
change-which = Quale racchetta?
change-words = Che cosa deve cambiare?
change-hint = Decide una persona al banco; nulla cambia da solo.
change-done = Il banco ha ricevuto la sua richiesta.
send = Invia

title = Le sue racchette
ready-count = { $count ->
    [one] 1 racchetta pronta
   *[other] { $count } racchette pronte
}
where = Luogo di ritiro
about = verso le { $time }, molto probabilmente entro le { $safe }
day-time = { $time } ({ $day ->
    [mon] lun
    [tue] mar
    [wed] mer
    [thu] gio
    [fri] ven
    [sat] sab
   *[sun] dom
})
state-ready = pronta
state-waiting = in attesa
state-working = sulla macchina
state-checking = in controllo
state-out = consegnata
state-held = in pausa: chieda al banco
state-cancelled = non verrà incordata: chieda al banco
play-stopped = Il gioco è sospeso su { $court }: la sua partita può iniziare più tardi.
play-expected = La ripresa è prevista verso le { $time }.
stop-moves = Se la sua partita si sposta, può spostarsi anche questo orario.
stop-holds = Questa racchetta è già in lavorazione: l’interruzione non cambia il suo orario.
stop-ready = Resta qui, pronta per lei.
empty = Al momento non abbiamo sue racchette.
empty-hint = Quando ne consegna una, appare qui.
local-times = Gli orari sono quelli del luogo del torneo.
as-of = Situazione alle { $time }.
reloads = La pagina si aggiorna ogni minuto.
reload-off = Disattiva l’aggiornamento automatico
reload-on = Aggiorna ogni minuto
load-again = Aggiorna
back = Torna alle sue racchette
pickup-code = Codice di ritiro
pickup-hint = Mostri questo codice al banco.
pickup-until = Valido fino alle { $time }.
language = Lingua
ended = Questo link non è più valido.
ended-hint = Chieda un nuovo tagliando al banco.
ticket = Tagliando
ready-by = Pronta entro le
price = Prezzo
condition = Stato alla consegna
condition-good = i quattro punti in buono stato
condition-marked = danno annotato
scan-me = Inquadri il codice per sapere quando è pronta
delegate = Ritira un’altra persona
delegate-name = Il suo nome
delegate-hint = Il banco consegna le sue racchette a questa persona.
delegate-done = Può ritirare anche: { $names }
change = Richiedi una modifica
change-which = Quale racchetta?
change-words = Che cosa desidera cambiare?
change-hint = Decide il personale del banco; nulla cambia automaticamente.
change-done = Il banco ha ricevuto la sua richiesta per la racchetta { $racket }.
send = Invia
calendar = Aggiungi questi orari al calendario
calendar-ready = Racchetta { $racket } pronta
withdraw = Rimuovi
withdraw-done = Questa persona non può più ritirare.
wrong-name = Scriva un nome, al massimo 120 caratteri.
wrong-change = Scriva che cosa desidera cambiare, al massimo 120 caratteri.
wrong-which = Scelga una racchetta che è ancora da noi.
wrong-many = Sono già indicate cinque persone. Ne rimuova prima una.
wrong-often = { $count ->
    [one] Troppe richieste da questa pagina. Riprovi tra 1 secondo o chieda al banco.
   *[other] Troppe richieste da questa pagina. Riprovi tra { $count } secondi o chieda al banco.
}

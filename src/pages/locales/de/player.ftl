title = Ihre Schläger
ready-count = { $count ->
    [one] 1 Schläger fertig
   *[other] { $count } Schläger fertig
}
where = Abholen: { $place }
about = etwa { $time }, sehr wahrscheinlich bis { $safe }
state-ready = fertig
state-waiting = wartet
state-working = auf der Maschine
state-checking = wird geprüft
state-out = ausgegeben
state-ask = bitte am Schalter fragen
empty = Zurzeit haben wir keine Schläger von Ihnen.
empty-hint = Sobald Sie einen abgeben, erscheint er hier.
local-times = Alle Zeiten sind Ortszeit am Turnierort.
as-of = Stand { $time }. Diese Seite lädt sich jede Minute neu.
load-again = Neu laden
pickup-code = Abholcode
pickup-hint = Zeigen Sie diesen Code am Schalter.
language = Sprache
ended = Dieser Link gilt nicht mehr.
ended-hint = Bitte am Schalter einen neuen Abholschein holen.
ticket = Abholschein
ready-by = Fertig bis
price = Preis
condition = Zustand bei der Abgabe
scan-me = Scannen und sehen, wann er fertig ist
delegate = Jemand anderes holt ab
delegate-name = Name
delegate-hint = Der Schalter gibt Ihre Schläger dieser Person.
delegate-done = Darf auch abholen: { $names }
change = Um eine Änderung bitten
change-which = Welcher Schläger?
change-words = Was soll anders sein?
change-hint = Am Schalter entscheidet ein Mensch; von selbst ändert sich nichts.
change-done = Der Schalter hat Ihre Bitte.
send = Senden

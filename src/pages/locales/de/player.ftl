title = Ihre Schläger
ready-count = { $count ->
    [one] 1 Schläger fertig
   *[other] { $count } Schläger fertig
}
where = Abholort
about = etwa { $time }, sehr wahrscheinlich bis { $safe }
day-time = { $day ->
    [mon] Mo
    [tue] Di
    [wed] Mi
    [thu] Do
    [fri] Fr
    [sat] Sa
   *[sun] So
} { $time }
state-ready = fertig
state-waiting = wartet
state-working = auf der Maschine
state-checking = wird geprüft
state-out = ausgegeben
state-held = angehalten: bitte am Schalter fragen
state-cancelled = wird nicht bespannt: bitte am Schalter fragen
play-stopped = Auf { $court } ist das Spiel unterbrochen: Ihr Match kann später beginnen.
play-expected = Es soll gegen { $time } weitergehen.
stop-moves = Verschiebt sich Ihr Match, kann sich auch diese Zeit verschieben.
stop-holds = Dieser Schläger ist schon in Arbeit: Die Unterbrechung ändert seine Zeit nicht.
stop-ready = Er liegt hier für Sie bereit.
empty = Zurzeit haben wir keine Schläger von Ihnen.
empty-hint = Sobald Sie einen abgeben, erscheint er hier.
local-times = Alle Zeiten sind Ortszeit am Turnierort.
as-of = Stand { $time }.
reloads = Diese Seite lädt jede Minute neu.
reload-off = Automatisches Neuladen ausschalten
reload-on = Jede Minute neu laden
load-again = Neu laden
back = Zurück zu Ihren Schlägern
pickup-code = Abholcode
pickup-hint = Zeigen Sie diesen Code am Schalter.
pickup-until = Gültig bis { $time }.
language = Sprache
ended = Dieser Link gilt nicht mehr.
ended-hint = Bitte am Schalter einen neuen Abholschein holen.
ticket = Abholschein
ready-by = Fertig bis
price = Preis
condition = Zustand bei der Abgabe
condition-good = alle vier Stellen in Ordnung
condition-marked = Schaden vermerkt
scan-me = Scannen und sehen, wann er fertig ist
delegate = Jemand anderes holt ab
delegate-name = Name
delegate-hint = Am Schalter werden Ihre Schläger dieser Person ausgehändigt.
delegate-done = Darf auch abholen: { $names }
change = Um eine Änderung bitten
change-which = Welcher Schläger?
change-words = Was möchten Sie ändern?
change-hint = Am Schalter entscheidet ein Mensch; von selbst ändert sich nichts.
change-done = Ihre Bitte zu Schläger { $racket } ist am Schalter angekommen.
send = Senden
calendar = Diese Zeiten in Ihren Kalender übernehmen
calendar-ready = Schläger { $racket } fertig
withdraw = Entfernen
withdraw-done = Diese Person darf nicht mehr abholen.
wrong-name = Bitte einen Namen eingeben, höchstens 120 Zeichen.
wrong-change = Bitte schreiben Sie, was geändert werden soll, höchstens 120 Zeichen.
wrong-which = Bitte wählen Sie einen Schläger, der noch bei uns ist.
wrong-many = Es sind schon fünf Personen genannt. Entfernen Sie zuerst eine.
wrong-often = { $count ->
    [one] Zu viele Anfragen von dieser Seite. Versuchen Sie es in 1 Sekunde wieder, oder fragen Sie am Schalter.
   *[other] Zu viele Anfragen von dieser Seite. Versuchen Sie es in { $count } Sekunden wieder, oder fragen Sie am Schalter.
}

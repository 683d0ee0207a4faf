title = Your rackets
ready-count = { $count ->
    [one] 1 racket ready
   *[other] { $count } rackets ready
}
where = Where to collect
about = about { $time }, very likely by { $safe }
day-time = { $day ->
    [mon] Mon
    [tue] Tue
    [wed] Wed
    [thu] Thu
    [fri] Fri
    [sat] Sat
   *[sun] Sun
} { $time }
state-ready = ready
state-waiting = waiting
state-working = on the machine
state-checking = being checked
state-out = handed out
state-held = paused: please ask at the desk
state-cancelled = not being strung: please ask at the desk
play-stopped = Play is stopped on { $court }: your match may start later.
play-expected = It is expected to go on at about { $time }.
stop-moves = If your match moves, this time may move with it.
stop-holds = We have begun this racket: the stop does not move its time.
stop-ready = It stays here, ready for you.
empty = No rackets with us now.
empty-hint = When you hand one in, it appears here.
local-times = Times are local time at the venue.
as-of = As of { $time }.
reloads = This page reloads every minute.
reload-off = Stop reloading
reload-on = Reload every minute
load-again = Reload
back = Back to your rackets
pickup-code = Pickup code
pickup-hint = Show this code at the desk.
pickup-until = Valid until { $time }.
language = Language
ended = This link has ended.
ended-hint = Ask at the desk for a new ticket.
ticket = Ticket
ready-by = Ready by
price = Price
condition = Condition at hand-in
condition-good = all four places fine
condition-marked = damage was noted
scan-me = Scan to see when it is ready
delegate = Someone else will collect
delegate-name = Their name
delegate-hint = The desk gives your rackets to this person.
delegate-done = May also collect: { $names }
change = Ask for a change
change-which = Which racket?
change-words = What would you like changed?
change-hint = A person at the desk decides; nothing changes by itself.
change-done = The desk has your request for racket { $racket }.
send = Send
calendar = Put these times in your calendar
calendar-ready = Racket { $racket } ready
withdraw = Remove
withdraw-done = This person may no longer collect.
wrong-name = Write a name, up to 120 characters.
wrong-change = Write what you would like changed, up to 120 characters.
wrong-which = Choose one of the rackets that are still with us.
wrong-many = Five people are named already. Remove one first.
wrong-often = { $count ->
    [one] Too many requests from this page. Try again in 1 second, or ask at the desk.
   *[other] Too many requests from this page. Try again in { $count } seconds, or ask at the desk.
}

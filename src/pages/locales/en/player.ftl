title = Your rackets
ready-count = { $count ->
    [one] 1 racket ready
   *[other] { $count } rackets ready
}
where = Collect at { $place }
about = about { $time }, very likely by { $safe }
state-ready = ready
state-waiting = waiting
state-working = on the machine
state-checking = being checked
state-out = handed out
state-ask = please ask at the desk
empty = No rackets with us now.
empty-hint = When you hand one in, it appears here.
local-times = Times are local time at the venue.
as-of = As of { $time }. This page loads itself again every minute.
load-again = Load again
pickup-code = Pickup code
pickup-hint = Show this code at the desk.
language = Language
ended = This link has ended.
ended-hint = Ask at the desk for a new ticket.
ticket = Ticket
ready-by = Ready by
price = Price
condition = Condition at hand-in
scan-me = Scan to see when it is ready
delegate = Someone else will collect
delegate-name = Their name
delegate-hint = The desk gives your rackets to this person.
delegate-done = May also collect: { $names }
change = Ask for a change
change-which = Which racket?
change-words = What shall be different?
change-hint = A person at the desk decides; nothing changes by itself.
change-done = The desk has your request.
send = Send

title = Sus raquetas
ready-count = { $count ->
    [one] 1 raqueta lista
   *[other] { $count } raquetas listas
}
where = Recoja en { $place }
about = hacia las { $time }, muy probablemente antes de las { $safe }
state-ready = lista
state-waiting = en espera
state-working = en la máquina
state-checking = en revisión
state-out = entregada
state-ask = pregunte en el mostrador
empty = No tenemos raquetas suyas ahora.
empty-hint = Cuando entregue una, aparecerá aquí.
local-times = Las horas son las locales de la sede.
as-of = Estado a las { $time }. Esta página se actualiza sola cada minuto.
load-again = Actualizar
pickup-code = Código de recogida
pickup-hint = Muestre este código en el mostrador.
language = Idioma
ended = Este enlace ya no es válido.
ended-hint = Pida un nuevo resguardo en el mostrador.
ticket = Resguardo
ready-by = Lista antes de las
price = Precio
condition = Estado al entregarla
scan-me = Escanee para ver cuándo está lista
delegate = Recogerá otra persona
delegate-name = Su nombre
delegate-hint = El mostrador entregará sus raquetas a esta persona.
delegate-done = También puede recoger: { $names }
change = Pedir un cambio
change-which = ¿Qué raqueta?
change-words = ¿Qué debe ser distinto?
change-hint = Decide una persona del mostrador; nada cambia por sí solo.
change-done = El mostrador ha recibido su petición.
send = Enviar

title = Sus raquetas
ready-count = { $count ->
    [one] 1 raqueta lista
   *[other] { $count } raquetas listas
}
where = Lugar de recogida
about = hacia las { $time }, muy probablemente antes de las { $safe }
day-time = { $time } ({ $day ->
    [mon] lun
    [tue] mar
    [wed] mié
    [thu] jue
    [fri] vie
    [sat] sáb
   *[sun] dom
})
state-ready = lista
state-waiting = en espera
state-working = en la máquina
state-checking = en revisión
state-out = entregada
state-held = en pausa: pregunte en el mostrador
state-cancelled = no se encordará: pregunte en el mostrador
play-stopped = El juego está detenido en { $court }: su partido puede empezar más tarde.
play-expected = Se espera que se reanude hacia las { $time }.
stop-moves = Si su partido se retrasa, esta hora también puede cambiar.
stop-holds = Ya hemos empezado con esta raqueta: la interrupción no cambia su hora.
stop-ready = Se queda aquí, lista para usted.
empty = No tenemos raquetas suyas ahora.
empty-hint = Cuando entregue una, aparecerá aquí.
local-times = Las horas son las locales de la sede.
as-of = Estado a las { $time }.
reloads = Esta página se actualiza cada minuto.
reload-off = Desactivar la actualización automática
reload-on = Actualizar cada minuto
load-again = Actualizar
back = Volver a sus raquetas
pickup-code = Código de recogida
pickup-hint = Muestre este código en el mostrador.
pickup-until = Válido hasta las { $time }.
language = Idioma
ended = Este enlace ya no es válido.
ended-hint = Pida un nuevo resguardo en el mostrador.
ticket = Resguardo
ready-by = Lista antes de las
price = Precio
condition = Estado al entregarla
condition-good = los cuatro puntos en buen estado
condition-marked = se anotaron daños
scan-me = Escanee para ver cuándo está lista
delegate = Recogerá otra persona
delegate-name = Su nombre
delegate-hint = El mostrador entregará sus raquetas a esta persona.
delegate-done = También puede recoger: { $names }
change = Pedir un cambio
change-which = ¿Qué raqueta?
change-words = ¿Qué desea cambiar?
change-hint = Lo decide el personal del mostrador; nada cambia automáticamente.
change-done = El mostrador ha recibido su petición para la raqueta { $racket }.
send = Enviar
calendar = Añadir estas horas a su calendario
calendar-ready = Raqueta { $racket } lista
withdraw = Quitar
withdraw-done = Esa persona ya no puede recoger.
wrong-name = Escriba un nombre, 120 caracteres como máximo.
wrong-change = Escriba qué desea cambiar, 120 caracteres como máximo.
wrong-which = Elija una de las raquetas que aún tenemos.
wrong-many = Ya hay cinco personas nombradas. Quite primero una.
wrong-often = { $count ->
    [one] Demasiadas peticiones desde esta página. Inténtelo de nuevo en 1 segundo o pregunte en el mostrador.
   *[other] Demasiadas peticiones desde esta página. Inténtelo de nuevo en { $count } segundos o pregunte en el mostrador.
}

title = As suas raquetes
ready-count = { $count ->
    [one] 1 raquete pronta
   *[other] { $count } raquetes prontas
}
where = Levantamento: { $place }
about = por volta das { $time }, muito provavelmente até às { $safe }
state-ready = pronta
state-waiting = à espera
state-working = na máquina
state-checking = em verificação
state-out = entregue
state-ask = pergunte no balcão
empty = Neste momento não temos raquetes suas.
empty-hint = Quando entregar uma, ela aparece aqui.
local-times = As horas são as do local do torneio.
as-of = Situação às { $time }. Esta página atualiza-se sozinha a cada minuto.
load-again = Atualizar
pickup-code = Código de levantamento
pickup-hint = Mostre este código no balcão.
language = Idioma
ended = Esta ligação já não é válida.
ended-hint = Peça um novo talão no balcão.
ticket = Talão
ready-by = Pronta até às
price = Preço
condition = Estado na entrega
scan-me = Leia o código para saber quando está pronta
delegate = Outra pessoa vem buscar
delegate-name = O nome dela
delegate-hint = O balcão entrega as suas raquetes a esta pessoa.
delegate-done = Também pode levantar: { $names }
change = Pedir uma alteração
change-which = Que raquete?
change-words = O que deve ser diferente?
change-hint = Uma pessoa no balcão decide; nada muda sozinho.
change-done = O balcão recebeu o seu pedido.
send = Enviar

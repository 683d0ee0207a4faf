title = As suas raquetes
ready-count = { $count ->
    [one] 1 raquete pronta
   *[other] { $count } raquetes prontas
}
where = Local de levantamento
about = por volta das { $time }, muito provavelmente até às { $safe }
day-time = { $time } ({ $day ->
    [mon] seg.
    [tue] ter.
    [wed] qua.
    [thu] qui.
    [fri] sex.
    [sat] sáb.
   *[sun] dom.
})
state-ready = pronta
state-waiting = à espera
state-working = na máquina
state-checking = em verificação
state-out = entregue
state-held = em pausa: pergunte no balcão
state-cancelled = não será encordoada: pergunte no balcão
play-stopped = O jogo está interrompido em { $court }: o seu encontro pode começar mais tarde.
play-expected = Prevê-se que recomece por volta das { $time }.
stop-moves = Se o seu encontro mudar de hora, esta hora também pode mudar.
stop-holds = Já começámos esta raquete: a interrupção não altera a sua hora.
stop-ready = Fica aqui, pronta para si.
empty = Neste momento não temos raquetes suas.
empty-hint = Quando entregar uma, ela aparece aqui.
local-times = As horas são as do local do torneio.
as-of = Situação às { $time }.
reloads = Esta página atualiza-se a cada minuto.
reload-off = Desativar a atualização automática
reload-on = Atualizar a cada minuto
load-again = Atualizar
back = Voltar às suas raquetes
pickup-code = Código de levantamento
pickup-hint = Mostre este código no balcão.
pickup-until = Válido até às { $time }.
language = Idioma
ended = Esta ligação já não é válida.
ended-hint = Peça um novo talão no balcão.
ticket = Talão
ready-by = Pronta até às
price = Preço
condition = Estado na entrega
condition-good = os quatro pontos em bom estado
condition-marked = dano anotado
scan-me = Leia o código para saber quando está pronta
delegate = Outra pessoa vem buscar
delegate-name = O nome dela
delegate-hint = O balcão entrega as suas raquetes a esta pessoa.
delegate-done = Também pode levantar: { $names }
change = Pedir uma alteração
change-which = Que raquete?
change-words = O que pretende alterar?
change-hint = A decisão é do pessoal do balcão; nada muda automaticamente.
change-done = O balcão recebeu o seu pedido para a raquete { $racket }.
send = Enviar
calendar = Adicionar estas horas ao seu calendário
calendar-ready = Raquete { $racket } pronta
withdraw = Remover
withdraw-done = Esta pessoa já não pode levantar.
wrong-name = Escreva um nome, no máximo 120 caracteres.
wrong-change = Escreva o que pretende alterar, no máximo 120 caracteres.
wrong-which = Escolha uma raquete que ainda esteja connosco.
wrong-many = Já há cinco pessoas indicadas. Remova primeiro uma.
wrong-often = { $count ->
    [one] Demasiados pedidos desta página. Tente de novo dentro de { $count } segundo ou pergunte no balcão.
   *[other] Demasiados pedidos desta página. Tente de novo dentro de { $count } segundos ou pergunte no balcão.
}

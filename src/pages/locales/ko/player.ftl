title = 고객님의 라켓
ready-count = { $count ->
   *[other] 라켓 { $count }자루 준비됨
}
where = 수령 장소
about = { $time }경, 늦어도 { $safe }까지 예상
day-time = { $day ->
    [mon] 월
    [tue] 화
    [wed] 수
    [thu] 목
    [fri] 금
    [sat] 토
   *[sun] 일
}요일 { $time }
state-ready = 준비됨
state-waiting = 대기 중
state-working = 작업 중
state-checking = 검사 중
state-out = 전달됨
state-held = 잠시 중단: 접수대에 문의하세요
state-cancelled = 작업 취소: 접수대에 문의하세요
play-stopped = { $court }의 경기가 중단되었습니다. 경기 시작이 늦어질 수 있습니다.
play-expected = { $time }경에 재개될 예정입니다.
stop-moves = 경기 시간이 바뀌면 이 시간도 바뀔 수 있습니다.
stop-holds = 이 라켓은 이미 작업을 시작했습니다. 중단되어도 이 시간은 바뀌지 않습니다.
stop-ready = 준비된 상태로 여기에 보관합니다.
empty = 지금 보관 중인 라켓이 없습니다.
empty-hint = 라켓을 맡기시면 여기에 표시됩니다.
local-times = 모든 시각은 경기장 현지 시각입니다.
as-of = { $time } 기준.
reloads = 이 페이지는 1분마다 자동으로 새로 고쳐집니다.
reload-off = 자동 새로 고침 끄기
reload-on = 1분마다 새로 고침
load-again = 새로 고침
back = 라켓 목록으로 돌아가기
pickup-code = 수령 코드
pickup-hint = 접수대에서 이 코드를 보여 주세요.
pickup-until = { $time }까지 유효합니다.
language = 언어
ended = 이 링크는 더 이상 쓸 수 없습니다.
ended-hint = 접수대에서 새 접수증을 받으세요.
ticket = 접수증
ready-by = 완료 예정
price = 가격
condition = 맡길 때의 상태
condition-good = 네 곳 모두 이상 없음
condition-marked = 손상 기록됨
scan-me = 스캔하면 완료 시각을 볼 수 있습니다
delegate = 다른 사람이 수령합니다
delegate-name = 그분의 이름
delegate-hint = 접수대에서 이분께 라켓을 드립니다.
delegate-done = 수령할 수 있는 분: { $names }
change = 변경 요청
change-which = 어느 라켓인가요?
change-words = 무엇을 바꾸고 싶으신가요?
change-hint = 접수대 직원이 결정하며 저절로 바뀌지 않습니다.
change-done = 라켓 { $racket } 변경 요청을 접수대에서 받았습니다.
send = 보내기
calendar = 이 시각을 캘린더에 추가
calendar-ready = 라켓 { $racket } 준비됨
withdraw = 삭제
withdraw-done = 이분은 더 이상 수령할 수 없습니다.
wrong-name = 이름을 120자 이내로 입력하세요.
wrong-change = 무엇을 바꿀지 120자 이내로 입력하세요.
wrong-which = 지금 보관 중인 라켓을 선택하세요.
wrong-many = 이미 다섯 분이 지정되어 있습니다. 먼저 한 분을 삭제하세요.
wrong-often = { $count ->
   *[other] 이 페이지에서 보낸 요청이 너무 많습니다. { $count }초 후에 다시 시도하거나 접수대에 문의하세요.
}

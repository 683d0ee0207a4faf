title = お客様のラケット
ready-count = { $count ->
   *[other] { $count }本できあがりました
}
where = お受け取り場所
about = { $time }頃、遅くとも{ $safe }までの見込み
day-time = { $day ->
    [mon] 月
    [tue] 火
    [wed] 水
    [thu] 木
    [fri] 金
    [sat] 土
   *[sun] 日
}曜日 { $time }
state-ready = できあがり
state-waiting = 順番待ち
state-working = 張り替え中
state-checking = 検査中
state-out = お渡し済み
state-held = 一時停止中：受付でお尋ねください
state-cancelled = 張り替えなし：受付でお尋ねください
play-stopped = { $court }の試合は中断しています。お客様の試合の開始が遅れることがあります。
play-expected = { $time }頃に再開の見込みです。
stop-moves = 試合の時刻が変わると、この時刻も変わることがあります。
stop-holds = このラケットは作業を始めています。中断によってこの時刻は変わりません。
stop-ready = お渡しできる状態でお預かりしています。
empty = 現在お預かりしているラケットはありません。
empty-hint = お預けになるとここに表示されます。
local-times = 時刻はすべて会場の現地時間です。
as-of = { $time }現在。
reloads = このページは1分ごとに自動で更新されます。
reload-off = 自動更新を止める
reload-on = 1分ごとに自動更新
load-again = 更新
back = ラケットの一覧に戻る
pickup-code = 受け取りコード
pickup-hint = 受付でこのコードをお見せください。
pickup-until = { $time }まで有効です。
language = 言語
ended = このリンクは無効になりました。
ended-hint = 受付で新しい控えをお受け取りください。
ticket = お預かり控え
ready-by = できあがり時刻
price = 料金
condition = お預かり時の状態
condition-good = 4か所とも異常なし
condition-marked = 傷みの記録あり
scan-me = 読み取るとできあがり時刻がわかります
delegate = 代わりの方が受け取ります
delegate-name = その方のお名前
delegate-hint = 受付ではこの方にラケットをお渡しします。
delegate-done = 受け取りできる方：{ $names }
change = 変更のご依頼
change-which = どのラケットですか？
change-words = どのような変更をご希望ですか？
change-hint = 受付の担当者が判断します。自動では変わりません。
change-done = ラケット { $racket } のご依頼を受け付けました。
send = 送信
calendar = この時刻をカレンダーに登録
calendar-ready = ラケット { $racket } できあがり
withdraw = 削除
withdraw-done = この方は受け取れなくなりました。
wrong-name = お名前を120文字以内で入力してください。
wrong-change = 変更したい内容を120文字以内で入力してください。
wrong-which = お預かり中のラケットをお選びください。
wrong-many = すでに5名が登録されています。先にお一人を削除してください。
wrong-often = { $count ->
   *[other] このページからの送信が多すぎます。{ $count }秒後にもう一度お試しになるか、受付でお尋ねください。
}

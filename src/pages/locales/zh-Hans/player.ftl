title = 您的球拍
ready-count = { $count ->
   *[other] { $count } 支球拍已穿好
}
where = 领取地点
about = 约 { $time }，极有可能在 { $safe } 前完成
day-time = 周{ $day ->
    [mon] 一
    [tue] 二
    [wed] 三
    [thu] 四
    [fri] 五
    [sat] 六
   *[sun] 日
} { $time }
state-ready = 可领取
state-waiting = 等待中
state-working = 穿线中
state-checking = 检查中
state-out = 已领取
state-held = 已暂停：请到服务台询问
state-cancelled = 不再穿线：请到服务台询问
play-stopped = { $court } 的比赛已暂停，您的比赛可能会推迟开始。
play-expected = 预计 { $time } 左右恢复。
stop-moves = 如果您的比赛时间变动，此时间也可能随之变动。
stop-holds = 这支球拍已开始穿线，暂停不会影响此时间。
stop-ready = 球拍已备好，留在这里等您领取。
empty = 目前没有您的球拍。
empty-hint = 您交来球拍后，会显示在这里。
local-times = 时间均为赛场当地时间。
as-of = 截至 { $time }。
reloads = 本页每分钟自动刷新。
reload-off = 停止自动刷新
reload-on = 每分钟刷新
load-again = 刷新
back = 返回您的球拍
pickup-code = 领取码
pickup-hint = 请在服务台出示此码。
pickup-until = 有效至 { $time }。
language = 语言
ended = 此链接已失效。
ended-hint = 请到服务台领取新的凭条。
ticket = 凭条
ready-by = 完成时间
price = 价格
condition = 交拍时状况
condition-good = 四处均完好
condition-marked = 已记录损伤
scan-me = 扫码查看何时可取
delegate = 由他人代领
delegate-name = 对方姓名
delegate-hint = 服务台会把您的球拍交给此人。
delegate-done = 也可代领：{ $names }
change = 请求更改
change-which = 哪支球拍？
change-words = 您想更改什么？
change-hint = 由服务台人员决定，不会自动更改。
change-done = 服务台已收到您对球拍 { $racket } 的请求。
send = 发送
calendar = 将这些时间加入日历
calendar-ready = 球拍 { $racket } 可领取
withdraw = 移除
withdraw-done = 此人不能再代领。
wrong-name = 请输入姓名，最多120个字符。
wrong-change = 请写明您想更改什么，最多120个字符。
wrong-which = 请选择一支仍在我们这里的球拍。
wrong-many = 已指定五人，请先移除一人。
wrong-often = { $count ->
   *[other] 此页面的请求过多。请在 { $count } 秒后重试，或到服务台询问。
}

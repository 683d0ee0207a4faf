title = مضاربك
ready-count = { $count ->
    [zero] لا مضارب جاهزة
    [one] مضرب واحد جاهز
    [two] مضربان جاهزان
    [few] { $count } مضارب جاهزة
    [many] { $count } مضربًا جاهزًا
   *[other] { $count } مضرب جاهز
}
where = مكان الاستلام
about = حوالي { $time }، ومن المرجّح جدًا قبل { $safe }
day-time = { $time } ({ $day ->
    [mon] الإثنين
    [tue] الثلاثاء
    [wed] الأربعاء
    [thu] الخميس
    [fri] الجمعة
    [sat] السبت
   *[sun] الأحد
})
state-ready = جاهز
state-waiting = في الانتظار
state-working = على الآلة
state-checking = قيد الفحص
state-out = تم تسليمه
state-held = متوقف مؤقتًا: يرجى السؤال في المكتب
state-cancelled = لن يُشدّ: يرجى السؤال في المكتب
empty = لا توجد مضارب لدينا الآن.
empty-hint = عندما تسلّم مضربًا يظهر هنا.
local-times = الأوقات بالتوقيت المحلي لمكان البطولة.
as-of = الحالة عند { $time }.
reloads = تُحدَّث هذه الصفحة كل دقيقة.
reload-off = إيقاف التحديث التلقائي
reload-on = تحديث كل دقيقة
load-again = تحديث
back = العودة إلى مضاربك
pickup-code = رمز الاستلام
pickup-hint = أظهر هذا الرمز في المكتب.
pickup-until = صالح حتى { $time }.
language = اللغة
ended = انتهت صلاحية هذا الرابط.
ended-hint = اطلب تذكرة جديدة من المكتب.
ticket = تذكرة
ready-by = جاهز قبل
price = السعر
condition = حالة المضرب عند استلامنا له
condition-good = المواضع الأربعة سليمة
condition-marked = سُجِّل ضرر
scan-me = امسح الرمز لمعرفة موعد الجهوزية
delegate = شخص آخر سيستلم
delegate-name = اسمه
delegate-hint = يسلّم المكتب مضاربك إلى هذا الشخص.
delegate-done = يمكنه الاستلام أيضًا: { $names }
change = طلب تغيير
change-which = أي مضرب؟
change-words = ما الذي تريد تغييره؟
change-hint = يقرر ذلك موظف المكتب، ولا يتغير شيء تلقائيًا.
change-done = وصل إلى المكتب طلبك بشأن المضرب { $racket }.
send = إرسال
calendar = أضف هذه الأوقات إلى تقويمك
calendar-ready = المضرب { $racket } جاهز
withdraw = إزالة
withdraw-done = لم يعد بإمكان هذا الشخص الاستلام.
wrong-name = اكتب اسمًا لا يتجاوز 120 حرفًا.
wrong-change = اكتب ما الذي تريد تغييره في 120 حرفًا كحد أقصى.
wrong-which = اختر مضربًا لا يزال لدينا.
wrong-many = سمّيت خمسة أشخاص بالفعل. أزل واحدًا أولًا.
wrong-often = { $count ->
    [one] طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد ثانية واحدة، أو اسأل في المكتب.
    [two] طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد ثانيتين، أو اسأل في المكتب.
    [few] طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد { $count } ثوانٍ، أو اسأل في المكتب.
    [many] طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد { $count } ثانية، أو اسأل في المكتب.
   *[other] طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد { $count } ثانية، أو اسأل في المكتب.
}

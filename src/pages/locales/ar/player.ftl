title = مضاربك
ready-count = { $count ->
    [zero] لا مضارب جاهزة
    [one] مضرب واحد جاهز
    [two] مضربان جاهزان
    [few] { $count } مضارب جاهزة
    [many] { $count } مضربًا جاهزًا
   *[other] { $count } مضرب جاهز
}
where = الاستلام من { $place }
about = حوالي { $time }، وعلى الأرجح قبل { $safe }
state-ready = جاهز
state-waiting = في الانتظار
state-working = على الآلة
state-checking = قيد الفحص
state-out = تم تسليمه
state-ask = يرجى السؤال في المكتب
empty = لا توجد مضارب لدينا الآن.
empty-hint = عندما تسلّم مضربًا يظهر هنا.
local-times = الأوقات بالتوقيت المحلي لمكان البطولة.
as-of = الحالة عند { $time }.
reloads = تُحدَّث هذه الصفحة كل دقيقة.
reload-off = إيقاف التحديث التلقائي
reload-on = تحديث كل دقيقة
load-again = تحديث
pickup-code = رمز الاستلام
pickup-hint = أظهر هذا الرمز في المكتب.
language = اللغة
ended = انتهت صلاحية هذا الرابط.
ended-hint = اطلب تذكرة جديدة من المكتب.
ticket = تذكرة
ready-by = جاهز قبل
price = السعر
condition = الحالة عند التسليم
scan-me = امسح الرمز لمعرفة موعد الجهوزية
delegate = شخص آخر سيستلم
delegate-name = اسمه
delegate-hint = يسلّم المكتب مضاربك إلى هذا الشخص.
delegate-done = يمكنه الاستلام أيضًا: { $names }
change = طلب تغيير
change-which = أي مضرب؟
change-words = ما الذي تريد تغييره؟
change-hint = يقرر ذلك موظف المكتب، ولا يتغير شيء تلقائيًا.
change-done = وصل طلبك إلى المكتب.
send = إرسال
calendar = أضف هذه الأوقات إلى تقويمك
calendar-ready = المضرب { $racket } جاهز
withdraw = إلغاء
withdraw-done = لم يعد بإمكان هذا الشخص الاستلام.
wrong-name = اكتب اسمًا لا يتجاوز 120 حرفًا.
wrong-change = اكتب ما الذي تريد تغييره في 120 حرفًا كحد أقصى.
wrong-many = سمّيت خمسة أشخاص بالفعل. ألغِ واحدًا أولًا.
wrong-often = طلبات كثيرة من هذه الصفحة. حاول مرة أخرى بعد { $seconds } ثانية، أو اسأل في المكتب.

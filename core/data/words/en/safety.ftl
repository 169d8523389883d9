### Flags, screening and limits.

## Flags. Each is a sign, said as a lifter would say it; confirming one touches this very line again.

flag-chest-pressure = Pressure or pain in the chest, jaw or arm
flag-fainting = Fainted, or nearly
flag-unusual-breathlessness = Out of breath in a way that is not usual for me
flag-heartbeat-with-symptoms = Irregular or racing heartbeat, and I feel unwell with it
flag-sudden-worst-headache = A sudden headache, the worst I have had
flag-face-limb-or-speech = Drooping face, a weak arm or leg, or trouble speaking
flag-saddle-bladder-or-both-legs = Numb between the legs, new loss of bladder or bowel control, or both legs weak
flag-deformity = A limb or joint has a shape that it should not have
flag-head-injury-with-symptoms = A blow to the head, and I feel it: dizzy, sick, confused or a headache
flag-calf-with-breathlessness = A swollen or painful calf, and out of breath
flag-pop-with-lost-strength = A pop, and the strength is gone
flag-no-weight-bearing = I cannot put weight on it
flag-spreading-numbness = Numbness that spreads
flag-hot-swollen-joint = A hot, swollen joint
flag-fever = Fever
flag-one-calf-swelling = One calf is swollen
flag-dark-urine-with-muscle-pain = Dark urine, and strong muscle pain
flag-maternity-bleeding = Bleeding
flag-maternity-fluid = Fluid is leaking
flag-maternity-contractions = Regular, painful contractions
flag-maternity-headache-or-sight = Strong headache, or my sight is disturbed
flag-maternity-reduced-movement = The baby moves less
flag-locking = It locks
flag-giving-way = It gives way
flag-night-pain = It hurts at night
flag-worsening-pain = It hurts more from session to session
flag-lasting-joint-pain-in-a-minor = A joint has hurt for more than a week

## What to do

flag-care-emergency = Stop now. Call the local emergency number.
flag-care-same-day = Stop. See licensed care today.
flag-care-maternity = Stop. Contact your maternity care now.
flag-care-before-region = Stop what loads it. See licensed care before you train it again.
flag-confirm = Touch again to confirm: { $flag }
flag-confirm-region = Touch again to confirm: { $flag } ({ $region })
flag-let-go = Not this
flag-session-closed = What you did is saved. The session is closed, and there is no going on today.
flag-region-out = What loads the { $region } is out of the session and of the week until you record a return.
flag-not-dismissed = A confirmed sign stays. Only a return that you record answers it.
flag-dial = Call { $number }
flag-address = You are here: { $address }

## The return. It is recorded and not judged.

return-title = Return after: { $flag }
return-advised-by = Who advised you?
return-advised-on = On which day?
return-limits = What limits were set?
return-no-limits = No limits were set
return-regions-still-out = What stays out?
return-recorded = Recorded: advised by { $by } on { $date }.

## Why no session begins

barred-same-day = You reported a sign today that ends training for the day. If it is there again, call the local emergency number or see licensed care.
barred-no-return = Before you train again, see licensed care and record who advised you, when, and with what limits.
barred-clearance-first = Your answers advise asking licensed care before you train. Record what was advised, and the week opens.
barred-no-guardian = Under { $age }, training here needs a guardian's grant.
barred-no-adult = An adult has to be here. Ask one to confirm it.

## Screening

screening-intro = Three questions. They do not say whether you are healthy; they say when to ask licensed care first. Until they are answered, the week is light to moderate.
screening-question-regular-exercise = Have you trained, or moved with some effort, for half an hour on three days a week, for the last three months?
screening-question-known-disease = Has a doctor told you of a disease of the heart, the blood vessels or the kidneys, or of diabetes?
screening-question-signs-or-symptoms = Do you have any of these: pain or pressure in the chest, neck, jaw or arms; out of breath at rest or with little effort; dizzy spells or fainting; trouble breathing when lying flat; swollen ankles; a racing or irregular heartbeat; leg cramps when walking that pass at rest; a known heart murmur; unusual tiredness with everyday things?
screening-question-breath = Has a doctor told you of high blood pressure, or of trouble with the heart, an eye, or a hernia?
screening-not-regular-none = Nothing in your answers advises asking licensed care first. Start light to moderate; harder work may follow step by step.
screening-not-regular-disease = Your answers advise asking licensed care before you start. After that: light to moderate, and more as you tolerate it.
screening-not-regular-symptoms = Your answers advise asking licensed care before you start. After that: light to moderate, and more as you tolerate it.
screening-regular-none = Nothing in your answers advises asking licensed care first. Go on as you train now, and build up.
screening-regular-disease = Go on with moderate work. Before hard work, your answers advise asking licensed care; that advice holds for twelve months.
screening-regular-symptoms = Stop training for now, and ask licensed care. Come back after that.
screening-open = Not all questions are answered: light to moderate work only.
screening-advised-by = Who in licensed care advised you?
screening-advised-on = On which day?
screening-advised-what = What did they allow?

## Pain

pain-usual = My usual
pain-new-or-worse = New or worse
pain-ease = It goes on easier: { $reps } repetitions or more, leaving { $reserve } or more.
pain-replace = This movement asks too much of it. Another takes its place.
pain-stop = Stop this movement. What loads the { $region } stays out until licensed care was taken.

## Cautions

caution-minor-no-singles = Under { $age } there are no maximal lifts: leave two or more in reserve.
caution-maternity-stop-signs = Stop and contact your maternity care for bleeding, leaking fluid, regular painful contractions, a strong headache or disturbed sight, or if the baby moves less.
caution-maternity-review-past = The day of review has passed. Until new limits are entered, the careful default holds.
caution-maternity-birth = After a birth what was allowed before no longer holds. Ask your maternity care, and enter what they advise.
caution-breathe-through = Breathe out through the effort. No long breath-hold.
caution-care-limits = Limits were set for this region: { $limits }
caution-usual-discomfort = This loads where it usually hurts. Ease it; if it is new or worse, stop.
caution-bail-out-first = Before the first set, learn how to get out from under the bar, and try it with the empty bar.
caution-alone-shoulders = You lift alone without safeties. Leave three or more in reserve, and know how to put the bar down.
caution-safeties-height-shoulders = Set the safeties just below the lowest point of the bar. Check the height with the empty bar.
caution-safeties-height-chest = Set the safeties so that they hold the bar off your neck when you flatten your chest. Check it with the empty bar.
caution-safeties-height-noted = Safeties: { $height }
caution-spotter-agree = Agree with your spotter when to take the bar, before you begin.
caution-heavy-ramp-first = Heavy: do the whole ramp first, and stop if a set of it feels wrong.
caution-first-loads = First loads rise in small steps. Stop when fewer than { $reserve } are left, when your form changes, or when it hurts.
caution-lighter-bar = The bar alone weighs { $bar }. That may be too much: there are lighter ways in.
caution-start-light = Start light to moderate, and build up from there.
caution-light-only = Light to moderate only: stop while several good repetitions are left.
caution-collars-off = No collars here: with nothing to catch the bar, tipping it must stay possible.
caution-collars-on = Collars on.
caution-unload-in-turn = Take discs off left and right in turn: a bar stripped on one side tips.

## Why the heaviest work is not offered

heaviest-barred = No session begins now.
heaviest-not-offered = This movement is not offered to you now.
heaviest-minor = The heaviest work is for adults.
heaviest-age-unknown = The heaviest work is for adults, and your age is not entered.
heaviest-flag-open = A sign that you reported has no recorded return.
heaviest-limit-of-care = Licensed care set limits.
heaviest-maternity = In pregnancy and after a birth there are no maximal lifts.
heaviest-breath-hold = The heaviest work takes a long breath-hold, which is to be avoided.
heaviest-screening = Your screening is open, or allows less for now.
heaviest-discomfort = It loads where it hurts.
heaviest-ramp-not-done = Do the ramp first.
heaviest-nothing-catches = Confirm safeties or a spotter for this session.
heaviest-instead = Instead: an estimate from fewer kilograms, with its interval.

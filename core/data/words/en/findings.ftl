### What the log adds up to.

## Why a load is proposed. $load is the last one, $day its day.
next-away = { $days ->
    [one] One day
   *[other] { $days } days
} since { $load } on { $day }: { $percent } % less to begin again.
next-deload-plan = A lighter week by the plan; last { $load } on { $day }.
next-deload-tired = A lighter session: { $sessions ->
    [one] one session was
   *[other] { $sessions } sessions in a row were
} begun tired. Last { $load } on { $day }.
next-deload-reset = A lighter session: { $days ->
    [one] a day
   *[other] { $days } days
} after the load was taken down, the repetitions fell short again. Last { $load } on { $day }.
next-reset = Two sessions fell short ({ $older }, then { $newer } { $newer ->
    [one] rep
   *[other] reps
}) at { $load }: { $percent } % less.
next-below-once = The same again: { $fewest } { $fewest ->
    [one] rep
   *[other] reps
} at { $load } on { $day } fell short of the range.
next-over-twice = { $over ->
    [one] One rep
   *[other] { $over } reps
} above the range on two sessions in a row with { $load }: more load.
next-top = Every set reached the top of the range with { $load } on { $day }: more load.
next-top-twice = Two sessions at the top of the range with { $load }: more load.
next-reserve-above = { $by ->
    [one] One rep more was
   *[other] { $by } reps more were
} left than asked with { $load } on { $day }: more load.
next-reserve-below = { $by ->
    [one] One rep fewer was
   *[other] { $by } reps fewer were
} left than asked with { $load } on { $day }: less load.
next-more = One rep more with { $load }, as on { $day }.
next-held-step = The next load there is, { $next }, would be { $percent } % more: more reps first.
next-held-top = The kit has nothing heavier.
next-held-lightest = The kit has nothing lighter: fewer reps.
next-held-lacks = The kit of today cannot make { $wanted }.
next-held-no-rise = No rise is offered now, as your limits ask.
next-held-beginner = A first rise is at most { $step }.

## The page

find-head = What the log adds up to, { $day }
find-nothing = Nothing is logged yet: the findings begin with the first set.
find-silent = Plateaus, sessions and scores are not told in pregnancy and after a birth.
find-hidden = Its loads hold body mass, which is not shown: neither are its maximum and its bests.
find-holds-body = Its maximum and its bests hold body mass; what is proposed does not.
find-load-added = body mass and { $load }
find-between = { $low } to { $high }
find-chance = { $n } in { $of }
find-chance-more = more than 9 in 10
find-chance-less = fewer than 1 in 10

## The estimated maximum. Masses are said with their unit.

find-maximum = One-repetition maximum: about { $middle }; eight times in ten between { $low } and { $high }. An estimate, not a load to try.
find-maximum-partly = One-repetition maximum: about { $middle }; eight times in ten between { $low } and { $high }. On some days the reps left were not reported, so the interval is wider. An estimate, not a load to try.
find-maximum-unsaid = One-repetition maximum: at least about { $low }, perhaps up to { $high }. The reps left were not reported: say them, and it narrows. An estimate, not a load to try.
find-maximum-basis = { $n ->
    [one] From one set
   *[other] From the first heaviest set of { $n } days
}, the newest { $load } for { $reps } { $reps ->
    [one] rep
   *[other] reps
} with { $left } left on { $day }.
find-maximum-basis-unsaid = { $n ->
    [one] From one set
   *[other] From the first heaviest set of { $n } days
}, the newest { $load } for { $reps } { $reps ->
    [one] rep
   *[other] reps
}, reps left not reported, on { $day }.
find-maximum-equations = { $n ->
    [one] The one published equation whose range holds that set says { $low }.
   *[other] The { $n } published equations whose range holds that set say { $low } to { $high }.
}
find-maximum-sources = The intervals of the maxima hold how the equations disagree, how people differ (Nuzzo et al. 2024), how reps left are misjudged (Halperin et al. 2022, Hackett et al. 2017) and the spread from day to day (Grgic et al. 2020).
find-needs-set = No maximum can be told: no working set of reps in the last { $days ->
    [one] day
   *[other] { $days } days
}. It needs sets on two days.
find-needs-load = No maximum can be told: the loads have no number. It needs a load in kilograms or pounds, or the body mass of that time.
find-needs-near = No maximum can be told: the sets are too far from the most that you could do. It needs sets with at most { $reps } reps, those left included, and at most { $reserve } left.
find-needs-days = No maximum can be told yet: { $have ->
    [one] one day
   *[other] { $have } days
} of { $need } that it needs, within four weeks.
find-needs-narrow = No maximum can be told yet: the interval is too wide to be of use. Sets with fewer reps, and the reps left reported, narrow it.
find-needs-tables = No maximum can be told: the built-in tables are damaged. Install Plinth again.

## Bests

find-best = Most yet for { $reps ->
    [one] one rep
   *[other] { $reps } reps
}: { $load }; before, { $before } on { $day }.
find-best-first = Most yet for { $reps ->
    [one] one rep
   *[other] { $reps } reps
}: { $load }; so many reps were not done before.

## Gain and plateau

find-gaining = Gaining: { $chance } that the gain over { $weeks } weeks is under { $percent } %; read from { $days } days.
find-plateau = A plateau: { $chance } that the gain over { $weeks } weeks is under { $percent } %; read from { $days } days.
find-cannot-tell = Gain or plateau cannot be told yet: { $chance } that the gain over { $weeks } weeks is under { $percent } %; read from { $days } days. { $needed ->
    [one] One week more
   *[other] { $needed } weeks more
} of such training would tell a plateau.
find-cannot-tell-long = Gain or plateau cannot be told: { $chance } that the gain over { $weeks } weeks is under { $percent } %; read from { $days } days. At this pace it would take more than half a year to tell.
find-too-few = Gain or plateau cannot be told yet: { $have ->
    [one] one day
   *[other] { $have } days
} of { $need } that it needs since the last pause, and { $needed ->
    [one] one week more
   *[other] { $needed } weeks more
} at the least.
find-trend = The middle slope of the last twelve weeks is { $slope } % a week, 19 times in 20 between { $low } and { $high } (Theil-Sen); deloads, illness and pregnancy are left out.

## Sides

find-sides-few = Left and right cannot be compared yet: { $have ->
    [one] one day
   *[other] { $have } days
} of { $need } on which both worked and the reps left were reported.
find-sides-alike = Left and right: no difference beyond what measuring makes ({ $percent } %, within { $within } %; { $days } days; { $formula }).
find-sides-left = The left side did more: { $percent } %, where measuring makes { $within } % ({ $days } days; { $formula }). Nothing is to be done about it for its own sake.
find-sides-right = The right side did more: { $percent } %, where measuring makes { $within } % ({ $days } days; { $formula }). Nothing is to be done about it for its own sake.

## Next loads and rest

find-next = Next: { $load } for { $reps } { $reps ->
    [one] rep
   *[other] reps
}, leave { $reserve }.
find-next-half = Next: { $load } for { $reps } { $reps ->
    [one] rep
   *[other] reps
}, leave { $reserve }, half of the sets.
find-next-acsm = The rule of the next load: ACSM 2009, 2 to 10 % more after reps over the target on two sessions.
find-next-helms = The rule of the next load: about 4 % for each rep of reserve (Helms et al. 2018, from memory).
find-next-common = The rule of the next load: common practice, no source.
find-rest = Rest: { $rest } keeps your reps with a chance of { $chance } (from { $n } pairs of sets).
find-rest-floor = Rest: { $rest }, the least for so heavy a lift; it keeps your reps with a chance of { $chance } (from { $n } pairs of sets).

## Weekly sets

find-week-so-far = Sets this week so far (from { $day })
find-week = Sets in the week from { $day }
find-week-below = { $sets } below
find-week-above = { $sets } above
find-week-note = Hard sets: four or fewer reps left, or not reported. A shared set counts a half (Pelland et al. 2025); a set of one side half a set. The aim is the programme's.
find-week-easy = Working sets that were not hard are not counted.
find-week-unknown = { $n ->
    [one] One hard set is of a movement that the catalogue does not know
   *[other] { $n } hard sets are of movements that the catalogue does not know
}; their muscles cannot be told.

## Sessions. What is silent is not counted as absent.

find-sessions = { $done } of { $n ->
    [one] one session
   *[other] { $n } sessions
} done.
find-sessions-unheard = { $done } of { $n ->
    [one] one session
   *[other] { $n } sessions
} done; { $unheard } not heard from.
find-sessions-off = { $n } called off.
find-sessions-nothing = { $n } with nothing logged.
find-sessions-beside = { $n } beside the plan.
find-sessions-to-come = { $n } to come.

## Body mass

find-body = { $mass } on { $day }.
find-body-few = { $n ->
    [one] One measurement
   *[other] { $n } measurements
} in eight weeks; a trend needs four.
find-body-trend = { $slope } kg a week, 19 times in 20 between { $low } and { $high } (Theil-Sen, { $n } measurements).

## Published scores

find-score-cycle = { $name }, cycle { $cycle }
find-lift-single = { $movement }: { $load }, a single on { $day }.
find-lift-estimate = { $movement }: about { $load }, an estimate between { $low } and { $high }.
find-score-basis = Body mass { $body }; classic equipment is taken, since no log says otherwise. The points between are those of all low ends and of all high ends together, which is wider than eight times in ten.
find-score-meaning = A score compares totals; it says nothing of health.

## The command and its charts

head-day = day
head-best = most
head-muscle = muscle
head-before = weeks before
head-score = score
head-between = between
head-read-in = read in
find-page-sessions = Sessions
find-page-body = Body mass
find-page-scores = Published scores
find-page-foot = Not medical advice. Loads are offers: your own limits, and who supervises the place, come first.
find-charts = { $n ->
    [one] One chart was written to { $folder }.
   *[other] { $n } charts were written to { $folder }.
}
chart-maximum = { $movement }: estimated maximum
chart-maximum-about = Hatched: where the estimate lies eight times in ten. The line is its middle. Marks: one for each day, read from its sets by the mean of all people alone.
chart-now = now about { $mass }
chart-curve = { $movement }: the most for each number of reps
chart-curve-about = Each mark is a set that no other beats in both load and reps.
chart-best = { $load } x { $reps }
chart-reps = reps
chart-week = Weekly sets, week from { $day }
chart-week-about = A long stroke is a direct set, a short one half a shared set. Hatched: the aim of the programme.
chart-body = Body mass
chart-body-about = Each mark is a measurement; the line is the middle slope.
chart-kilograms = kg

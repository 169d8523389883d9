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

### The plan: programme, notices, reasons, adaptation, a session re-planned.

## Counts

times = { $n ->
    [one] { $n } time
   *[other] { $n } times
}
points = { $n ->
    [one] { $n } point
   *[other] { $n } points
}
others = { $n ->
    [one] { $n } other
   *[other] { $n } others
}
muscle-sets = { $muscle } { $sets }
# Text of the catalogue that exists in English only.
untranslated = { $text }

## The programme

claim-best = Proved: under these wishes and limits no week is better.
claim-within = Proved within { $percent } % of the best possible week.
claim-no-single-change = No single change improves this week.
claim-unfinished = The best week found so far; the search was cut short.
prescription-repetitions = { $sets } x { $low }-{ $high }, leave { $reserve }
prescription-hold = { $sets } x { $low }-{ $high } s, stop before it breaks
prescription-carry = { $sets } x { $low }-{ $high } m, stop before it breaks

## Base groups, as subjects of a sentence

group-knee = squats and lunges
group-hinge = hip hinges
group-horizontal-press = horizontal presses
group-vertical-press = vertical presses
group-horizontal-pull = rows
group-vertical-pull = vertical pulls

## What a brief brings up

notice-required-and-forbidden = { $movement } is both wanted and forbidden: forbidding wins.
notice-more-than-days = { $movement }: { $asked } sessions asked, { $possible } possible, since the week has no more training days.
notice-more-than-week = { $movement }: { $asked } sessions asked, { $possible } possible, since it is not done more often in a week.
notice-target-order = { $muscle }: the weekly sets asked are out of order (minimum, target, maximum); the larger number is used for those below it.
notice-every-muscle-first = Every muscle is a priority, which is the same as none.
notice-time = Session { $day }: the minutes hold a warm-up but no movement; from { $minutes } minutes on one fits.
notice-carrying = { $movement } cannot carry the programme: safety, kit or a wish keeps it out.
notice-care-first = Much is severely sore. See licensed care first; what is planned loads only what is left, and nothing here says that training is right for you.
notice-nothing-left = Almost no movement is left. Lift a forbidden pattern or movement, or name more kit; limits of safety stay.
notice-light = Light to moderate work only: the self-screening is open or asks for it.
notice-group-by-choice = { $group }: none can be done by your choice.
notice-group-by-limits = { $group }: none can be done with this kit and these limits.
notice-muscle = { $muscle }: nothing that is left trains it.
notice-alone = { $movement } is not offered to a lifter alone without safeties: a failed repetition can trap you. A dumbbell or press-up form is.
notice-required-but-out = { $movement } is required but left out: { $barrier }.
notice-weekdays = { $days } training days are asked but only { $named } weekdays named; the others were chosen to keep days apart.

## What a week's points count, as something of which there is more

term-exposure-missing = wanted sessions of a movement missing
term-group-missing = a basic pattern visited too seldom
term-below-minimum = muscles below their weekly minimum
term-below-target = muscles below their weekly target
term-above-maximum = muscles above their weekly maximum
term-day-missing = major muscles trained on too few days
term-near-muscle = the same muscles within 48 hours
term-near-axial = load down the spine within 48 hours
term-near-heavy = heavy squats and heavy pulls from the floor on neighbouring days
term-push-pull = pushes and pulls out of balance
term-sets = tiring, disliked or uncomfortable sets
term-sessions = movements that suit the goal or the lifter less
term-distinct = more different movements
term-few-movements = sessions with few movements
term-no-carrying = sessions without a movement that carries the programme
term-longest = a longer longest session
term-time = more training time
term-points = { $term } ({ $points })

## What a change is worth

verdict-tie = a tie: as good by the points
verdict-worse = { $points } worse
verdict-worse-by = { $points } worse ({ $term }, { $by })
verdict-better = { $points } better
verdict-better-by = { $points } better (less of: { $term }, { $by })
difference-more = more for { $muscles }
difference-less = less for { $muscles }
week-longer = the week { $time } longer
week-shorter = the week { $time } shorter
line-gained = { $day } gains { $movement } ({ $sets })
line-lost = { $day } loses { $movement }
line-changed = { $day } { $movement } { $before } to { $sets }

## What stands in the way

barrier-discomfort-mild = the mild discomfort: { $region }
barrier-discomfort-moderate = the moderate discomfort: { $region }
barrier-discomfort-severe = the severe discomfort: { $region }
barrier-new-discomfort = the new or worse discomfort ({ $region }): left out until care was taken
barrier-after-surgery = the operation ({ $region }) whose written limits are not entered
barrier-region-out = the { $region }, which stays out until a return is recorded
barrier-on-back = lying on the back is to be left out
barrier-on-front = lying on the front is to be left out
barrier-alone = a barbell over the chest is not offered to someone alone without safeties
barrier-kit = the kit at hand
barrier-kit-missing = kit that is not at hand: { $kit }
barrier-forbidden = the lifter forbids it
barrier-skill = its technique comes later
barrier-dominated = the { $movement } does the same at no greater cost
barrier-time = the minutes of the session
barrier-movements = the number of movements in a session
barrier-single-joint = the number of single-joint movements in a session
barrier-single-joint-compounds = single-joint movements may not outnumber the compounds of a session
barrier-single-joint-third = single-joint work takes at most a third of a session's sets
barrier-trunk = the number of trunk and carry movements in a session
barrier-pattern = the number of movements of one pattern in a session ({ $pattern })
barrier-axial-three = one movement that loads the spine most in a session
barrier-heavy-pair = no heavy squat and heavy pull from the floor in one session
barrier-axial = the load down the spine in a session
barrier-fatigue = the fatigue of a session
barrier-grip = the demand on the grip in a session
barrier-muscle = the work of one muscle in a session ({ $muscle })
barrier-most-per-week = the most sessions a week of a movement
barrier-most-per-week-of = { $movement } at most { $times } a week
barrier-sets-range = { $movement } is done with { $fewest } to { $most } sets
barrier-repeated = it is in that session already
barrier-not-there = it is not in that session

## What is demanded, and what would give

demand-required = { $movement } required{ $details }
demand-asked = { $movement } asked for{ $details }
demand-times = { $n ->
    [one] { $n } time a week
   *[other] { $n } times a week
}
demand-day = on { $day }
demand-sets = { $n ->
    [one] with { $n } set
   *[other] with { $n } sets
}
demand-days = { $n ->
    [one] { $n } training day a week
   *[other] { $n } training days a week
}
demand-minutes = sessions of { $minutes } minutes
demand-forbidden = { $what } forbidden
step-in-turn = do movements in turn
step-safeties = set safeties on the rack
step-more-minutes = { $n } minutes more for each session
step-more-days = { $n ->
    [one] { $n } more training day a week
   *[other] { $n } more training days a week
}
step-fewer-times = { $n ->
    [one] ask { $movement } { $n } time a week
   *[other] ask { $movement } { $n } times a week
}
step-let-go = let go of { $movement }
step-stand-in = ask for { $instead } in place of { $movement }
step-kit = have { $kit }
step-allow = allow { $what } again

## Why a line is there

asked-carrying-named = it was named to carry the programme
asked-carrying-default = it carries the programme by default for this kit
asked-required = it was required ({ $times } a week)
asked-preferred = it was preferred ({ $times } a week)
asked-priority = it trains what comes first: { $muscles }
line-asked = { $movement }: { $reasons }
without-movement = without { $movement }
without-lost = without { $movement } the week has less for { $muscles }
without-rises = it would have { $terms }
without-worse = in all { $points } worse
without-same = in all as good
without-better = in all { $points } better
held-up = the rest of the session leans on it: { $barriers }
here-only-day = the week has one training day
here-every-day = it is done on every training day
here-no-other = no other day allows it ({ $blocked })
here-other = the best other day is { $day }: { $verdict }
here-exchanged = the best other day is { $day } in exchange for { $movement }: { $verdict }
blocked-day = { $day }: { $barriers }
displaced = next best in its place: { $movements }
displaced-one = { $movement } ({ $sets }): { $verdict }

## What stops more on a day

stops-time = { $used } of { $available } used
stops-muscle = { $n ->
    [one] { $used } of { $n } set
   *[other] { $used } of { $n } sets
}
stops-count = { $used } of { $available }
stops-barrier = { $barrier } ({ $numbers })
stops-none = no limit is used up
stops-full = used up: { $barriers }
stops-no-more = nothing more fits
stops-next = the next best addition that fits is { $movement } ({ $sets }): { $verdict }
stops-day = { $day }: { $full }; { $next }

## What the week lacks

short-minimum = { $muscle }: { $sets } a week, below its minimum of { $aim }
short-minimum-unavailable = { $muscle }: { $sets } a week, below its minimum of { $aim }; no movement that is left trains it
short-target = { $muscle }: { $sets } a week, below its target of { $aim }
short-target-unavailable = { $muscle }: { $sets } a week, below its target of { $aim }; no movement that is left trains it
short-days = { $n ->
    [one] { $muscle }: at least two sets on { $n } day of { $wanted } wanted
   *[other] { $muscle }: at least two sets on { $n } days of { $wanted } wanted
}
short-group-by-choice = { $group } are unavailable by your choice
short-group-by-limits = { $group } are unavailable with this kit and these limits
short-group = { $group } come { $times } a week of { $wanted } wanted
wish-avoid = { $movement }, to be avoided, comes { $times } a week
wish-require = { $movement }, required, comes { $times } of { $asked } a week
wish-prefer = { $movement }, preferred, comes { $times } of { $asked } a week
wish-carry = { $movement }, which carries the programme, comes { $times } of { $asked } a week
wish-out = { $what }: { $barrier }
wish-conflict = { $what }: { $demands } cannot be kept together
wish-outweighed = { $what }; once more would mean: { $difference }
wish-outweighed-avoid = { $what }; leaving it out would mean: { $difference }
wish-open = { $what }; no week with it was found, and none was proved impossible

## What would bring it

remedy-wish = { $movement } { $before } to { $after } a week
remedy-group = { $group } { $before } to { $after } a week
remedy-gains = { $step } would bring { $gains }
remedy-gains-losses = { $step } would bring { $gains }, and take { $losses }
remedy-lacking = lacking in all { $after } instead of { $before }

## The price of a change

change-force-day = { $movement } on { $day }
change-force = { $movement } in the week
change-forbid = no { $movement }
change-move = { $movement } from { $from } to { $to }
change-sets = { $n ->
    [one] { $movement } with { $n } set on { $day }
   *[other] { $movement } with { $n } sets on { $day }
}
price-priced = { $change }: { $difference }
price-already = { $change }: it is so already
price-not-offered = { $change }: not offered, { $barrier }
price-forbidden = { $change }: impossible, { $demands } cannot be kept together
price-not-found = { $change }: no week with it was found, and none was proved impossible

## What cannot be had

impossible-open = { $movement } comes { $times } of { $asked } a week; no week with it was found, and none was proved impossible
impossible-irreducible = { $movement } comes { $times } of { $asked } a week: { $demands } cannot be kept together; any one of them less, and the others can
impossible-conflict = { $movement } comes { $times } of { $asked } a week: { $demands } cannot be kept together
way-out = { $n ->
    [one] way out: { $steps }; then { $movement } is there on { $n } day
   *[other] way out: { $steps }; then { $movement } is there on { $n } days
}
no-way-out = No way out was found that leaves health first.

## A published programme adapted

adapt-day-left-out = This day is left out: { $because }.
adapt-weekday = On { $to } instead of { $from }: { $because }.
adapt-folded = { $movement } is done on day { $day } instead: { $because }.
adapt-left-out = { $movement } is left out: { $because }.
adapt-left-out-keep = { $movement } is left out, though it is marked to stay: { $because }.
adapt-replaced = { $to } stands in for { $from }: { $because }; { $near }.
adapt-replaced-keep = { $to } stands in for { $from }, which is marked to stay: { $because }; { $near }.
adapt-near-pattern = it is of the same pattern
adapt-near-left = it is the nearest that is left
adapt-sets = { $to } instead of { $from }: { $because }.
adapt-prescribed = { $to } instead of { $from }: { $because }.
adapt-ramp = { $to } ramp sets instead of { $from }: { $because }.
adapt-kept = { $movement } stays though you forbid it: { $because }. Leave the line out, or ask the coach for another mark.
adapt-done-repetitions = { $low }-{ $high } repetitions, { $reserve } in reserve, { $rest } s of rest
adapt-done-hold = { $low }-{ $high } s, { $reserve } in reserve, { $rest } s of rest
adapt-done-carry = { $low }-{ $high } m, { $reserve } in reserve, { $rest } s of rest

## Reasons, each a clause after a colon

reason-eased = safety asks for lighter work or a longer rest
reason-kit = kit is missing ({ $kit })
reason-forbidden = you forbid it
reason-skill = its technique comes later
reason-minutes = more would not fit the { $minutes } minutes
reason-too-often = it is done at most { $most } times a week
reason-fewer-days = the programme has { $published } days and you train on { $days }
reason-already-there = the day has this movement already
reason-weekdays = it suits your weekdays
reason-unknown = the catalogue on this device does not know the movement
reason-stand-in = this is how the stand-in is done
reason-keep = the coach marked it to stay
limit-time = more would not fit the minutes
limit-axial = more would load the spine above this lifter's limit for a session
limit-heavy-pair = a heavy squat and a heavy pull from the floor do not go in one session
limit-fatigue = more would be above this lifter's limit of fatigue for a session
limit-grip = more would ask too much of the grip in one session
limit-muscle = more would be above the cap on hard sets for { $muscle } in one session
limit-other = it would break a limit of the session

## Why safety keeps a movement out, each a clause after a colon

refusal-discomfort = it loads the { $region } too much for your discomfort
refusal-new-discomfort = the discomfort of the { $region } is new or worse: what loads it waits until licensed care was taken
refusal-after-surgery = it loads the { $region }, and the surgeon's written limits are not entered yet
refusal-region-out = it loads the { $region }, which stays out until a return is recorded
refusal-on-back = it is done lying on the back, which your limits leave out
refusal-on-front = it is done lying on the front, which your limits leave out
refusal-alone = alone without safeties a failed repetition can trap you under the bar

## A session under way

session-protected = Ramps and rests are never shortened. Set the safeties anew for what is new.
session-all-done = { $movement }: all its sets are done
session-no-stand-in = nothing that fits now can stand in for { $movement } ({ $sets } left); leaving it out is an answer too
session-in-place = In the place of { $movement } ({ $sets } left):
session-left-out = { $movement } is left out: { $why }
session-cut = { $movement }: { $sets } instead of { $from }: { $why }
session-worth-less = the week is worth more so
session-no-day = no day of the week is left to take it
session-folded = { $n ->
    [one] { $movement }: { $n } set of { $planned } go to { $day }
   *[other] { $movement }: { $n } sets of { $planned } go to { $day }
}
session-time = { $time } of work and rest
session-time-best = { $time } of work and rest. No other choice of these lines is better
session-better = better still, with another movement: { $movements }
session-brought = { $movement } ({ $sets })
session-dropped = { $movement } is dropped, and not carried into the next week
session-on-day = { $day }: { $cut }
caution-of = { $movement }: { $caution }
caution-none = { $movement }: no cautions are written for it; ask who added it.

## How fast a repetition is done, as the coach says.
tempo = Tempo: { $parts }.
tempo-lower = lower for { $n } s
tempo-turn = hold still for { $n } s at the turn
tempo-raise = raise for { $n } s

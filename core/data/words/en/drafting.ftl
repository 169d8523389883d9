### The coach's desk: drafting.

draft-begin = Begin a draft
draft-from = From what
draft-from-nothing = sensible answers, to be changed
draft-from-lifter = the brief of { $who }, with the bests of their log
draft-from-about = A lifter's brief is there where the log and discomforts are granted. What limits them today is not in it: their phone knows, and says what it changes.
draft-begin-do = Begin
draft-all = Drafts
draft-none = There is no draft yet.
draft-delete = Delete { $title }
draft-brief = The brief
draft-becomes = What it becomes
draft-working = Solving…
draft-done = Solved.
draft-failed = The host did not answer. The last good answer stays; try again.
draft-wrong = Not kept yet, because it cannot be read. What you see beside it is the last good answer.
draft-before = This is of the brief as it was before.
draft-no-answer = There is no answer yet. Solve it.
draft-solve = Solve

## The brief

draft-days = Training days a week
draft-minutes = Minutes for each session
draft-minutes-note = One number, or one for each day: 60, 45, 60
draft-weeks = Weeks of the block
draft-weekdays = Days that suit; none means any
draft-goal = What it is for, in parts
draft-goal-strength = strength
draft-goal-size = muscle size
draft-goal-health = health
draft-age-of-training = Experience
draft-age-novice = under about half a year
draft-age-intermediate = from about half a year
draft-age-advanced = from about three years
draft-years = Age in years, if known
draft-body-mass = Body mass, if known
draft-screening = Self-screening
draft-screening-unanswered = open: light to moderate work only
draft-screening-answered-no-limit = answered, no limit
draft-screening-answered-light-to-moderate = answered, light to moderate work only
draft-company = Company
draft-is-alone = trains alone
draft-is-safeties = safeties on the rack
draft-is-in-turn = sets may be done in turn
draft-wishes = Wishes, the first before the second
draft-wishes-about = A movement that is required, preferred, avoided or never brought in; how often a week, if more than once.
draft-wish-n = Wish { $n }
draft-wish-require = required
draft-wish-prefer = preferred
draft-wish-avoid = avoided
draft-wish-forbid = never
draft-wish-times = times a week
draft-discomforts = Discomforts
draft-discomforts-about = They ease or take out what loads a region. They diagnose nothing; what is new or worse belongs to licensed care.
draft-region-n = Region { $n }
draft-severity = How bad
draft-severity-mild = a little
draft-severity-moderate = it disturbs
draft-severity-severe = it hinders
draft-nature = Whether it is known
draft-nature-usual = the usual
draft-nature-new-or-worse = new or worse
draft-limits = Limits
draft-limits-about = What licensed care, the law of the place or prudence sets.
draft-limit-stiff-ankles = stiff ankles
draft-limit-no-lying-on-back = no lying on the back
draft-limit-no-lying-on-front = no lying on the front
draft-limit-no-long-breath-hold = no long breath-holds
draft-limit-no-maximal-lifts = no maximal lifts
draft-limit-minor = a minor
draft-kit = Kit at hand ({ $n })
draft-priorities = Muscles that should get more
draft-bests = Recent bests ({ $n })
draft-best-load = load
draft-best-reps = reps
draft-best-reserve = reps left
draft-document = The brief as a document
draft-document-about = All of it, with what the form does not ask: discs and bars, own movements, own weekly sets, what carries the programme. Its form: plinth schema brief.
draft-document-label = JSON
draft-document-take = Take this document

## What it becomes

draft-claim-held = The best that was found with your decisions in it.
draft-publish = Publish
draft-day-minutes = about { $used } of { $of } minutes
draft-day-empty = Nothing fits into this day.
draft-decided = What you decided
draft-not-held = It cannot be held beside the rest, and is left out of this week.
draft-let-go = Let it go
draft-cue-is = Your cue: { $cue }
draft-decide = Decide on { $movement }
draft-ask-price = Ask what it costs, before anything changes:
draft-more = { $n } sets, one more
draft-fewer = { $n ->
    [one] one set, one fewer
   *[other] { $n } sets, one fewer
}
draft-move = to { $day }
draft-off-day = off this day
draft-off-week = out of the week
draft-mark = What may happen to it on a phone
draft-mark-keep = keep
draft-mark-may-bend = may bend
draft-mark-never = never (out of the week, and not brought in)
draft-cue = A cue of your own
draft-line-keep = Keep this
draft-price = What it costs
draft-do = Do it
draft-leave = Leave it
draft-missing = What could not be met
draft-help = Work out what would help
draft-help-is = What would help
draft-muscle = Muscle
draft-strokes = Against its range

### The session at hand.

## Parts of sentences

floor-amount = { $measure ->
    [hold] { $n } s
    [carry] { $n } m
   *[repetitions] { $n ->
        [one] { $n } rep
       *[other] { $n } reps
    }
}
floor-load-each = { $mass } in each hand
floor-load-added = body mass plus { $mass }
floor-load-assisted = body mass less { $mass }
floor-load-body = body mass
floor-load-band = band
floor-load-band-named = band { $band }
floor-what-load = { $amount } at { $load }
floor-leave = leave { $n }
floor-side-left = left
floor-side-right = right

## The set at hand

floor-working = Set { $n } of { $of }
floor-ramp = Warm-up set { $n } of { $of }
floor-search = Finding your load, set { $n } of at most { $of }
floor-set = { $count }: { $what }.
floor-made = wanted { $wanted }, made { $made }
floor-load-open = Choose a load that leaves { $reserve } in reserve.
floor-too-heavy = The lightest load was too much. Choose a lighter way to begin.
floor-one-sided = One side, then the other: { $first } first, then as many { $second }.
floor-in-turn = In turn with { $movement }.
floor-eased = Lighter than written, as your limits ask.
floor-kit-taken = The kit for this is marked as taken.
floor-discs = Each side: { $discs }
floor-discs-none = The bar alone
floor-bar = { $bar }, { $mass }
floor-bar-collars = { $bar }, { $mass } with collars
floor-disc-on = Put { $disc } on each side
floor-disc-off = Take { $disc } off each side
floor-hold-end = Hold the other end down meanwhile.
floor-blocks = Raise the bar on blocks or pins to the height of a full disc.
floor-partner-on = Your partner's { $load } is on the bar now.
floor-because-proposed = { $why }
floor-because-best = From your recent best.
floor-because-found = The load you found today.
floor-because-as-done = As you last loaded it.
floor-because-eased = Made lighter, as your limits ask.
floor-caution = Caution
floor-coach-cue = Your coach: { $cue }
floor-then = Then { $movement }
floor-rest = Rest
floor-rest-over = rest over
floor-under-floor = A heavy set asks for two minutes of rest.
floor-time-left = { $time } left

## Stages

floor-before = Before you begin
floor-warm-up-general = Easy movement, { $time }
floor-warm-up-ankle_mobility = Ankle mobility, { $time }
floor-finished = All sets are done
floor-paused = Paused
floor-ended-lifter = Session closed
floor-ended-forgotten = Session closed at the time of its last set
floor-ended-flag = Session saved and closed
floor-sum = { $done ->
    [one] { $done } set done
   *[other] { $done } sets done
}{ $left ->
    [0] .
   *[other] ; { $left } not done.
}
floor-forgotten = Nothing was logged since { $time }.
floor-ends = ends at { $time }
floor-barred = No session can begin now. { $because }

## Questions before

floor-row-days = Which day?
floor-row-company = Alone or with a spotter?
floor-row-safeties = Safeties on the rack?
floor-row-adult = Is the adult here?
floor-row-feeling = How do you feel?
floor-row-minutes = Minutes at hand
floor-row-places = Where?
floor-row-loads = Load
floor-row-all_loads = Every load your kit makes
floor-row-amounts = { $measure ->
    [hold] Seconds: one touch records
    [carry] Metres: one touch records
   *[repetitions] Reps: one touch records
}
floor-row-reserve = How many more good reps?
floor-row-missed = The last one
floor-row-ago = When did it end?
floor-row-sides = Sides
floor-row-other = Something else
floor-row-sets = Correct
floor-row-remove = Take off the log
floor-row-offers = Instead
floor-row-kit = What is taken?
floor-row-wrong = What is it?
floor-row-regions = Where?
floor-row-nature = Do you know it?
floor-row-severity = How much?
floor-row-flags = Which of these?
floor-row-confirm = Confirm
floor-row-lines = Go to
floor-row-extra = One set more
floor-row-late = Done before, not logged
floor-row-movements = Add
floor-row-partner = Your partner's load
floor-row-search = How many more good reps were left?
floor-row-lighter = A lighter way to begin

## Forms

floor-form-not_as_written = Not as written
floor-form-correct = Correct this set
floor-form-late = A set done before
floor-form-other_side = The other side
floor-form-all_loads = Which load?
floor-form-all_amounts = How many?
floor-form-reserves = How many more good reps?
floor-form-sets = Sets done
floor-form-stand_ins = Instead of { $movement }
floor-form-stand_ins-none = Nothing fits instead of { $movement } here and now.
floor-form-kit = Kit
floor-form-minutes = How many minutes are left?
floor-form-minutes_answer = With the minutes left
floor-form-wrong = Something is wrong
floor-form-where = Where does it hurt?
floor-form-how = { $region }
floor-form-much = { $region }: how much?
floor-form-unwell = I feel unwell
floor-form-flag_where = Where?
floor-form-confirm = Touch again to confirm. This cannot be undone.
floor-form-lines = Movements today
floor-form-movements = Add a movement
floor-form-sharing = Share the bar
floor-answer-seconds = About { $time } are left to do.
floor-side-asked = { $side } side

## Buttons

floor-begin-day = Begin { $weekday }: { $movements }
floor-begin-free = Begin a session without a programme
floor-day = { $weekday }: { $movements }
floor-day-free = Without a programme
floor-company-alone = Alone
floor-company-spotted = With a spotter
floor-now-alone = I am alone now
floor-now-spotted = I have a spotter now
floor-safeties-yes = Safeties set
floor-safeties-no = No safeties
floor-adult-yes = An adult is here
floor-adult-no = No adult is here
floor-feeling-well = Well
floor-feeling-usual = As usual
floor-feeling-tired = Tired
floor-minutes-planned = As planned
floor-warm-up-done = Done: { $what }
floor-warm-up-skip = Leave the easy part out
floor-done = Done: { $amount }
floor-done-load = Done: { $amount } at { $load }
floor-missed = Missed the last: { $amount }
floor-missed-load = Missed the last: { $amount } at { $load }
floor-record-other = { $done }, other side { $n }
floor-record-reserve = { $done }, { $n } left
floor-record-ago = { $done }, { $n } min ago
floor-search-left = { $n ->
    [5] 5 or more left
   *[other] { $n } left
}
floor-search-form = The form changed
floor-hold-begin = Start the hold
floor-not-as-written = Not as written
floor-sets-done = Sets done
floor-reserve-none = Not told
floor-reserve-n = { $n ->
    [5] 5 or more
   *[other] { $n }
}
floor-missed-yes = I missed it
floor-missed-no = I did not miss it
floor-ago-now = Just now
floor-ago = { $n ->
    [one] A minute ago
   *[other] { $n } minutes ago
}
floor-sides-apart = Each side by itself
floor-sides-together = Both sides the same
floor-turn-loads = Another load
floor-turn-amounts = Another number
floor-turn-near = Back to the near ones
floor-turn-reserves = Tell what was left
floor-back = Back
floor-longer = Longer
floor-ready = Ready now
floor-ended-earlier = Ended a minute ago
floor-stand-ins = Stand-in
floor-stand-ins-for = Instead of { $movement }
floor-offer = { $movement }: { $what }
floor-offer-search = first load to be found
floor-kit = Kit is taken
floor-taken = { $item }: taken
floor-free = { $item }: free again
floor-minutes-left = Minutes left
floor-minutes-take = Do it so
floor-minutes-take-other = With other movements
floor-wrong = Something is wrong
floor-hurts = It hurts
floor-unwell = I feel unwell
floor-nature-usual = My usual
floor-nature-new_or_worse = New or worse
floor-severity-mild = A little
floor-severity-moderate = It disturbs
floor-severity-severe = It hinders
floor-confirm = Yes: { $flag }
floor-confirm-where = Yes: { $flag }, { $region }
floor-dial = Call the emergency number
floor-lines = Movements today
floor-line = { $movement }: { $done } of { $sets } done
floor-line-out = { $movement }: left out, { $because }
floor-extra = One set more: { $movement }
floor-late = Log a set of { $movement }
floor-movements = Add a movement
floor-lighter-bar = { $bar }, { $mass }
floor-lighter-dumbbells = Two dumbbells of { $mass }
floor-lighter-kettlebell = A kettlebell of { $mass }
floor-lighter-unloaded = Without a load
floor-sharing = Share the bar
floor-partner-none = No partner
floor-partner = Partner: { $load }
floor-pause = Pause
floor-more = More
floor-resume = Go on
floor-close = Close session
floor-close-forgotten = Close it as of { $time }
floor-speak = Say it
floor-note = Note
floor-remove = Take off: { $what }
floor-logged = { $movement }: { $what }

## Undo

floor-undo = Undo: { $what }
floor-undo-begun = the beginning
floor-undo-warmed_up = the warm-up
floor-undo-logged = { $what } of { $movement }
floor-undo-corrected = the correction of { $movement }
floor-undo-removed = taking off a set of { $movement }
floor-undo-hold_begun = the start of the hold
floor-undo-longer = the longer rest
floor-undo-ready = ready now
floor-undo-ended_earlier = ended a minute ago
floor-undo-stood_in = the stand-in { $movement }
floor-undo-taken = { $item } taken or free
floor-undo-minutes = cut to { $n } min
floor-undo-sore = what hurts
floor-undo-went_to = going to { $movement }
floor-undo-extra_set = one set more of { $movement }
floor-undo-added = adding { $movement }
floor-undo-lighter = the lighter way
floor-undo-partner = the partner's load
floor-undo-circumstances = the change of who is here
floor-undo-closed = the close
floor-undo-noted = the note

## What is told

floor-told-cut = { $movement }: { $to } of { $from } sets, for want of minutes.
floor-told-cut-out = { $movement } is left out, for want of minutes.
floor-told-out = { $movement } is left out: { $because }.
floor-told-eased = { $movement } is made lighter, as your limits ask.
floor-told-brought_in = { $movement } comes in with { $sets ->
    [one] { $sets } set
   *[other] { $sets } sets
}.
floor-told-load_kept = { $movement } goes on with { $load }.
floor-told-found = { $movement }: work with { $load } today.
floor-told-too_heavy = { $movement }: begin lighter.
floor-out-discomfort = your { $region } is sore
floor-out-new_discomfort = your { $region } is new or worse; have it looked at first
floor-out-region_out = your { $region } stays out until a return is recorded
floor-out-after_surgery = the surgeon's limits for your { $region } are not entered
floor-out-lying_on_back = lying on the back is to be left out
floor-out-lying_on_front = lying on the front is to be left out
floor-out-alone_without_safeties = you are alone without safeties
floor-out-unknown_movement = this catalogue does not know it
floor-out-minutes = no minutes are left for it
floor-out-hurt = it hurt
floor-out-stood_in = another movement stands in

## Refused

floor-refused-not_now = That cannot be done here.
floor-refused-doubled = Pressed twice; it counts once.
floor-refused-field = { $field }: choose one that is offered.
floor-refused-company = Say first whether you are alone.
floor-refused-safeties = Say first whether there are safeties.
floor-refused-adult = An adult must be here first.
floor-refused-flag_stands = What you confirmed stands and cannot be undone.
floor-refused-plan = The plan cannot answer: { $fault }

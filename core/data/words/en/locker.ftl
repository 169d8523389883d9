### The pages of the locker that ask something: the brief, the screening, the profile, limits and kit.

## What is typed

typed-save = Keep
typed-note-date = Written as 2026-05-03 or 3.5.2026.
typed-note-mass = A number such as 72.5; a unit may follow it.
typed-unit = Unit of a mass written without one
typed-empty = { $what }: nothing is written; write something, or leave it as it is.
typed-long = { $what }: { $n } characters are too many; write at most { $most }.
typed-control = { $what }: it has characters that cannot be shown; write plain text.
typed-date = { $what }: "{ $text }" is no day; write it as 2026-05-03 or 3.5.2026.
typed-future = { $what }: { $date } is still to come; write a day up to today.
typed-whole = { $what }: that is not possible; write a whole number from { $low } to { $high }.
typed-mass = { $what }: "{ $text }" is no mass; write a number such as 72.5, or one with its unit, such as 160 lb.
typed-body-mass = { $what }: that is not possible; write a mass from { $low } to { $high } kg.
typed-telephone = { $what }: "{ $text }" is no telephone number; write its digits, such as 112.
answer-yes = Yes
answer-no = No

## The brief

pages-brief = What the week is made from
brief-intro = These answers will do to begin with. Change what is different for you.
brief-change = Change first what it is made from
brief-days = Training days a week
brief-minutes = Minutes for a session
brief-minutes-each = For each day: { $minutes }. A choice here holds for all days.
brief-shorter = { $n } min less
brief-longer = { $n } min more
brief-place = What is there to train with?
brief-place-note = Take the nearest; pieces, discs and steps are corrected under the kit of your places.
brief-goal = What is it for?
brief-goal-balanced = A bit of each
brief-goal-strength = Strength first
brief-goal-size = Muscle size first
brief-goal-health = Health first
brief-experience = How long have you trained regularly?
brief-experience-novice = Less than half a year
brief-experience-intermediate = Half a year or more
brief-experience-advanced = Three years or more
brief-alone-note = Alone and without safeties no barbell is planned over the chest.
brief-make-next = Make the next week
brief-from-today = The new week begins today. What you follow now ends with yesterday and stays in the record.
body-mass = Body mass, if you like

begin-place-nothing = Nothing but the floor
begin-place-dumbbells = Dumbbells at home
begin-place-home-barbell = Barbell at home
begin-place-small-gym = Small gym
begin-place-large-gym = Large gym
begin-place-gym-in-pounds = Gym in pounds

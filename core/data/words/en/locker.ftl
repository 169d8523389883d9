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

locker-keep = Keep this
locker-kept = Kept.
locker-missing = Not answered yet: { $what } Answer it, then keep.
typed-early = { $what }: { $date } is before { $after }; write a later day.
typed-born = { $what }: nobody is that old; check the year.
step-fewer = { $n } less
step-more = { $n } more

## Screening

pages-screening = When to ask licensed care first
screening-why-regular-exercise = What a body is used to decides how hard it may begin.
screening-why-known-disease = With one of these, hard work is first a question for licensed care.
screening-why-signs-or-symptoms = These can be signs of a disease that nobody has found yet.
screening-outcome = What your answers advise
screening-source = Logic: { $source }
screening-allowed-none = Nothing yet
screening-allowed-light = Light to moderate work
screening-allowed-any = Any work
screening-not-held = It does not open the week: it is older than your answers, or older than such advice holds. Ask again.
screening-week-after = The week that you follow stays as it is until you make the next one.

## Profile

pages-profile = About you
profile-intro = Nothing here is needed to train. What you leave open counts as the more careful.
profile-name = What do you want to be called?
profile-born-on = When were you born?
profile-age-of-the-place = An adult from the age of { $age } where you train
profile-age-note = The law or the house may ask for more than 18, never for less.
profile-minor = Are you under { $age }?
profile-minor-what = No maximal singles and no goals of losing mass; body mass is not shown. An adult confirms each session.
profile-sex = Sex, for the published scores
profile-sex-note = The scores were published for women and for men apart. Nothing else asks for it.
profile-sex-female = Female
profile-sex-male = Male
profile-sex-open = Leave open
profile-grant = The guardian's grant
profile-granted = { $by } granted training here on { $date }.
profile-withdraw = The guardian withdraws it
profile-guardian = Name of the guardian
profile-guardian-note = The guardian writes it, here and in person. It holds until it is withdrawn.
profile-grant-it = I grant training here
profile-emergency = Emergency number where you train
profile-emergency-note = The screen of an emergency dials it, also without a connection.

## Limits

pages-limits = Limits
limits-intro = What is left out or eased. A change holds at once, in the session too; the week takes it in when the next one is made.
limits-out = Out until a return or licensed care gives it back: { $regions }
limits-after-surgery = Not loaded until the surgeon's written limits are entered: { $regions }
limits-breath-why = With any of these there is no long breath-hold, and the cues say how to breathe instead.
limits-blood-pressure = High blood pressure
limits-heart = Heart
limits-eye = An eye
limits-hernia = A hernia
limits-stiff-ankles = Do your ankles lack bend?
limits-no-lying-on-back = Leave out lying on the back?
limits-no-lying-on-front = Leave out lying on the front?
limits-no-long-breath-hold = Leave out long breath-holds?
limits-no-maximal-lifts = Leave out maximal lifts?
limits-regions = Leave out whatever loads
limits-regions-note = A second touch takes the region in again.

## What hurts

pages-discomfort = What hurts
discomfort-intro = My usual and mild eases a movement or takes another in its place. What is new or worse stops it.
discomfort-another = Something else hurts
discomfort-since = Since { $date }
discomfort-over = It is over
discomfort-over-or-care = It is over, or licensed care was taken
discomfort-of-brief = Named in what the week is made from.
discomfort-something-wrong = For a sign that needs care now, touch "Something is wrong" in the session, or call for help.

## Operations

pages-surgeries = Operations
surgery-intro = Nothing loads the region until the surgeon's written limits are entered. There are no timelines of ours.
surgery-add = Enter an operation
surgery-region = Which region?
surgery-on = Day of the operation
surgery-limits = The surgeon's written limits
surgery-limits-note = They count as a whole: who wrote them, when, and what they say. Leave all of it open until you have them.
surgery-limits-entered = Limits are entered.
surgery-limits-missing = Limits are not entered: nothing loads the region.
surgery-still-out = Do the limits forbid loading the region?
surgery-remove = Take this operation off the list
surgery-remove-sure = Touch again, and it is off the list: { $region }

## Pregnancy and after a birth

pages-maternity = Pregnancy and after a birth
maternity-intro = Private and voluntary: tell it or leave it. It stays on this device until you share the record.
maternity-state = What holds for you?
maternity-pregnant = Pregnant
maternity-after-birth = After a birth
maternity-none = Neither, or I do not say
maternity-none-note = Keep it, and what was eased for it is no longer eased.
maternity-default = Until limits of your maternity care are entered, the careful default holds: no lying flat, light to moderate work only.
maternity-due-on = Day on which the child is due
maternity-birth-on = Day of the birth
maternity-advice = What your maternity care advised
maternity-review-on = Day of the next review
maternity-lying-flat = Did they say that you may lie flat?

## Return

pages-return = Return after a sign
return-none = You reported no sign.
return-intro = Write who advised you, when, and with what limits. It is recorded as you write it.
return-which = Which sign is it about?
return-unknown-flag = A sign that this version does not know
return-record = Record the return

## Kit

pages-kits = Kit of your places
gear-intro = Each place has its own. What is here decides which movements and which loads are offered.
gear-pieces-count = { $n ->
    [one] one piece
   *[other] { $n } pieces
}
gear-add = Add a place like
gear-add-note = It is a copy to begin from: correct it as you meet it.
gear-name = Name of the place
gear-count = { $n ->
    [0] none
   *[other] { $n }
}
gear-remove = Take away: { $place }
gear-remove-sure = Touch again, and it is taken away: { $place }
gear-of = Place: { $place }
gear-pieces = Racks, benches and machines
gear-bars = Bars and collars
gear-discs = Discs
gear-dumbbells = Dumbbells
gear-kettlebells = Kettlebells
gear-stacks = Machines with a stack
gear-bands = Bands
gear-pieces-which = What is there?
gear-nothing = None yet.
gear-there = What is there
gear-touch-away = A touch takes one away.
gear-add-kettlebell = Mass of a kettlebell
gear-add-band = What do you call the band?
gear-bar = { $name }: { $mass }, { $n } of it
gear-bar-mass = Mass of: { $name }
gear-add-bar = Add a bar
gear-add-bar-note = It begins with the usual mass: weigh it, or read its end.
gear-bar-barbell = Barbell
gear-bar-trap = Trap bar
gear-bar-curl = Curl bar
gear-bar-padded = Padded squat bar
gear-bar-guided = Guided bar
gear-bar-sled = Sled
gear-bar-handle = Dumbbell handle
gear-collars = Both collars together weigh
gear-disc = { $n ->
    [one] { $mass }: one disc
   *[other] { $mass }: { $n } discs
}
gear-disc-wide = As wide as the widest
gear-disc-wide-note = Counts are of all discs, not per side. With the widest on, a bar on the floor lies at its usual height.
gear-add-disc = Mass of a disc to add, as a pair
gear-row = { $from } to { $to }, { $step } apart
gear-row-heavier = Ends one step heavier
gear-row-lighter = Ends one step lighter
gear-row-shortest = It has only one mass left: take the row away instead.
gear-row-falls = The heaviest is below the lightest: write the lightest first.
gear-in-pairs = In pairs
gear-away = Take it away
gear-add-row = Add a row of dumbbells
gear-row-from = Lightest
gear-row-to = Heaviest
gear-row-step = From one to the next
gear-add-stack = Add a machine
gear-stack-machine = Which machine?
gear-any-machine = Every machine that is not listed
gear-add-on = Small weight for the stack: { $machine }
gear-add-on-off = Take the { $mass } on top away

## Record

record-erase = Erase
record-erase-note = It takes everything off this device for good: the log, the answers, the programmes. What a coach or a server was given stays there until you erase it there. Export first what you want to keep.
record-erase-all = Erase everything
record-erase-sure = Touch again, and everything on this device is erased: log, answers, programmes

## Privacy

pages-privacy = What is stored where
privacy-here = On this device
privacy-file = The whole record is one file in the folder of this app: log, programmes, kit, settings.
privacy-answers = What you answer about health, pregnancy, operations and age stands in the same file, and in the copies of it that are told of below.
privacy-device = The file is as well locked as the device is: set a lock for its screen.
privacy-leaves = What leaves it
privacy-nothing = Nothing leaves it by itself.
privacy-sync = Once you pair a server, syncing sends the record there and brings back what is new. The host of that server keeps a copy.
privacy-coach = A coach sees the parts that you grant, while the grant stands.
privacy-backup = Once you make a key, a sealed copy is written to the folder that you choose, on every day that you open this. Only the words of the key open it.
privacy-export = An export goes where you send it, and is not sealed.
privacy-never = What there is not
privacy-no-account = No account, and no third party that gets anything.
privacy-no-telemetry = No counting of what you do, no advertising, no report of a crash.
privacy-end = The end of it
privacy-erase = Erasing takes everything off this device at once. A copy on a server or in a backup is erased there.

## Licences

pages-licences = Licences
licences-intro = Plinth is licensed under MIT or Apache-2.0, at your choice. The licences of its parts stand here in full, in English.
licences-parts = Parts of the core
licences-part = part
licences-offered = offered under
licences-taken = taken under
licences-notice = notice

## The server

pages-pairing = Server
pairing-none = Your record lies on this device alone. With a server it is also in a second place, and comes to your other devices.
pairing-who = Whoever runs the server, such as your gym or your coach, gives you an invitation. No coach sees anything of it unless you grant it.
pairing-invitation = The invitation: the line that begins with plinth:pair
pairing-by-hand = Or by hand
pairing-address = Address of the server
pairing-code = Code
pairing-certificate = Fingerprint of its certificate, where the host shows one
pairing-name = What this device is called in your list of devices
pairing-name-plain = Phone
pairing-pair = Pair with this server
pairing-read = The invitation is read: { $address }. Pair when the address is the one that the host named.
pairing-done = Paired with { $address }.
pairing-with = Paired with { $address } since { $date }.
pairing-together = Last brought together on { $date }.
pairing-never = Not brought together yet.
pairing-waiting = { $n ->
    [0] Nothing waits to be sent.
    [one] One entry waits to be sent.
   *[other] { $n } entries wait to be sent.
}
pairing-aside-head = Not taken by the server
pairing-aside = These entries stay here, and everything else went through:
pairing-aside-more = There are more of them.
pairing-now = Bring it together now
pairing-metered = Also over a connection that costs by the byte?
pairing-metered-note = Without it a sync waits for a connection that does not.
pairing-part-head = Part from the server
pairing-part-note = Your record stays here whole. What the server holds stays there until you or the host erase it.
pairing-part = Part from this server
pairing-part-sure = Yes, part from this server
pairing-parted = This device is paired with no server any more.
pairing-no-form = Invitation: this is none; copy the whole line from the host's screen. It begins with plinth:pair.
pairing-no-address = Address: no device would call this; write it as https://name:port, without a path.
pairing-no-certificate = Fingerprint: this is none; write the 64 digits that the host shows, or leave it out.
pairing-no-code = Code: this is none; write the letters and digits that the host shows.
pair-code = the server did not take the code
pair-code-remedy = a code counts once and for ten minutes; ask the host for a new one
pair-devices = your account has as many devices as the server takes
pair-devices-remedy = have one revoked that you no longer use, then ask the host for a new code
pair-often = too many codes were tried
pair-often-remedy = wait some minutes, then write the code again
pair-answer = what answered there does not speak as such a server does
pair-answer-remedy = check the address with the host
sync-later = the server was not reached, or is busy
sync-later-remedy = nothing is lost; it is tried again by itself
sync-token = the server does not know this device any more
sync-token-remedy = part from the server, and pair with a new invitation
sync-old = this program is too old for the server
sync-old-remedy = update this program; everything stays on this device until then
sync-protocol = the server answered in a way that this program cannot read ({ $code })
sync-protocol-remedy = try again later; if it stays, tell the host which versions both sides have

## Whom the record is opened to

pages-grants = Who sees your record
grants-none = You have opened your record to nobody: no coach sees anything of it.
grants-standing = Opened to
grants-over = No longer
grants-add = Open it to a coach
grants-host = What you grant, change or withdraw here counts at { $address } once your record is brought together with it.
grants-no-host = A grant has an effect only through a server that your record is paired with. Without one you can hand over a file.
grants-minor = A minor's record is open to a coach only while the guardian's grant to train stands, and body mass is never shown. A server knows a minor by the day of birth and by 18 years: enter the day under "About you".
grants-no-guardian = The guardian's grant is not there. Until the guardian gives it, under "About you", nothing can be opened.
grant-reads = Reads: { $what }.
grant-writes = Writes: { $what }.
grant-log = sessions and sets
grant-findings = what findings are made of
grant-discomfort = what hurts
grant-body-mass = body mass and measures
grant-screening = the answers about health
grant-programmes = programmes
grant-notes = notes
grant-unknown = It also allows what this version does not know. Withdrawing ends that too.
grant-since = Since { $date }.
grant-begins = From { $date }.
grant-until-day = Until the end of { $date }.
grant-open-end = Until you withdraw it.
grant-ended = Ended with { $date }.
grant-withdrawn = Withdrawn on { $date }.
grant-to = Name of the coach's account
grant-to-note = Whoever coaches you knows what their account is called at the server.
typed-account = { $what }: "{ $text }" is no account; write 1 to 40 of a-z, 0-9 and hyphens, with no hyphen at either end.
grant-log-ask = Show sessions and sets?
grant-log-note = All sessions and sets with their notes, programmes, kit, and movements of your own.
grant-findings-ask = Show what findings are made of?
grant-findings-note = Of each set the movement, load, amount and reserve, without your notes.
grant-discomfort-ask = Show what hurts?
grant-discomfort-note = Discomforts, warning signs and returns; with sessions and sets also what your weeks are made from.
grant-body-mass-ask = Show body mass?
grant-body-mass-note = Body mass and every other measure of the body, and the body mass of each session shown.
grant-screening-ask = Show the answers about health?
grant-screening-note = All of them: history and signs, pregnancy and birth, operations, clearances.
grant-programmes-ask = Let programmes be written for you?
grant-programmes-note = Your programmes are seen and new ones written. Only you take one on.
grant-notes-ask = Let notes be written to you?
grant-notes-note = They come into your record and are marked as the coach's.
grant-name-too = With any of these the coach also sees what you want to be called.
grant-until = Last day; empty for no end
grant-until-over = { $what }: { $date } is over; write today or a later day.
grant-nothing = Nothing is granted yet: say yes to something first. To end a grant, withdraw it.
grant-give = Open it
grant-given = Opened to { $to }.
grant-there = { $to } has a page here already: change it on this page, or give it again.
grant-change = Change it
grant-again = Give it again
grant-give-again = Open it again
grant-withdraw = Withdraw it now
grant-withdraw-sure = Yes, withdraw it from { $to }
grant-withdrawn-now = Withdrawn from { $to }. What was read before cannot be called back.

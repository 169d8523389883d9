### The coach's desk: pages in a browser.

desk-name = Plinth, the coach's desk
desk-skip = To what this page is about
desk-places = The places of the desk
desk-not-medical = Nothing here is medical advice or a diagnosis. Pain, illness and any known disease belong to licensed care.
desk-invented = A demo house: everybody here is invented, and their training is simulated.
desk-lifters = Lifters
desk-drafting = Drafting
desk-published = Published
desk-house = House
desk-failed = That did not work

## Signing in

desk-sign-in = Sign in
desk-sign-in-about = This browser is paired like any other device of yours: with a code that the keeper of the host gives you. A code counts once, and for ten minutes.
desk-code = The code
desk-browser = What this browser is called in your list of devices
desk-browser-plain = Browser at the desk
desk-wrong-code = This code does not count. Ask the keeper of the host for a new one: a code counts once, and for ten minutes.
desk-not-a-coach = This code is not a coach's. Ask the keeper of the host for one of yours; this one can still be used where it belongs.
desk-too-often = Too many codes were tried. Wait a minute, then ask the keeper of the host for a new one.
desk-sign-out = Sign out
desk-sign-out-everywhere = Sign out everywhere

## Who is there. $n are shown of $all.

desk-search = A name
desk-search-go = Look for it
desk-nobody = Nobody has opened a record to you yet. A lifter does so in their Locker, with the name of your account.
desk-count = { $all ->
    [one] One lifter has opened a record to you.
   *[other] { $all } lifters have opened their records to you; { $n } are shown. First stands who most repays five minutes.
}
desk-nothing-new = Nothing that asks for you.
desk-late = { $n ->
    [one] One record is still being read.
   *[other] { $n } records are still being read.
} Look again in a moment.
desk-heard = Last heard from on { $day }.
desk-never-heard = Never heard from yet.

## Why a lifter repays a look

desk-reason-flag = A red flag that no care has answered yet: { $flag }.
desk-reason-flag-on = A red flag that no care has answered yet: { $flag }, on { $day }.
desk-reason-pain = New or worse discomfort: { $region }.
desk-reason-pain-since = New or worse discomfort: { $region }, since { $day }.
desk-reason-notes = { $n ->
    [one] A note is
   *[other] { $n } notes are
} not yet read.
desk-reason-plateau = { $movement }: a plateau with a probability of { $percent } %.
desk-reason-short = { $movement }: the reps fell short of the range { $n ->
    [one] in the last session.
   *[other] in { $n } sessions in a row.
}
desk-reason-over = The programme is over.
desk-reason-runs-out = The programme ends with { $n ->
    [one] this week.
   *[other] the { $n } weeks that are left.
}
desk-reason-no-programme = No programme is under way, as far as is granted.
desk-reason-never-heard = { $n ->
    [one] One planned session was
   *[other] { $n } planned sessions were
} never heard of. That is not the same as not done.
desk-reason-not-heard = { $n ->
    [one] One planned session was
   *[other] { $n } planned sessions were
} not heard of since { $day }. That is not the same as not done.

## One lifter

desk-nobody-here = Nobody here
desk-not-granted = No grant of such a lifter stands. Ask the lifter for one.
desk-part-not-granted = The lifter has not granted this.
desk-granted = Granted: { $what }.
desk-group-log = the log
desk-group-findings = findings
desk-group-discomfort = discomfort
desk-group-body-mass = body mass
desk-group-screening = the screening
desk-group-programmes = writing programmes
desk-group-notes = writing notes
desk-now = What asks for you
desk-findings = Findings
desk-bests = The most yet, by reps
desk-rests-on = What this rests on
desk-log = Log
desk-no-log = No session is logged.
desk-set = { $amount } { $load }, { $reserve }{ $kind ->
    [missed] {" "}(missed)
    [warm-up] {" "}(warm-up)
   *[done] {""}
}
desk-set-bare = { $amount }, { $reserve }{ $kind ->
    [missed] {" "}(missed)
    [warm-up] {" "}(warm-up)
   *[done] {""}
}
desk-set-reps = { $n ->
    [one] one rep
   *[other] { $n } reps
}
desk-set-hold = { $n } s held
desk-set-carry = { $n } m carried
desk-set-left = { $n } left
desk-set-not-reported = reserve not reported
desk-load = at { $mass }
desk-load-pair = with two of { $mass }
desk-load-added = with { $mass } added
desk-load-assisted = with { $mass } taken off
desk-load-body = with body mass
desk-load-band = with the band { $band }
desk-notes = Notes
desk-no-notes = No notes.
desk-note-lifter = The lifter
desk-note-coach = The coach
desk-note-guardian = The guardian
desk-read = read
desk-not-yet-read = not yet read
desk-not-from-here = This form is not of this visit. Open the page again and send it from there.
desk-note-mark = Mark as read
desk-note-write = Write a note
desk-note-send = Send the note
desk-to-groups = Groups of lifters

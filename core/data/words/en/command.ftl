### Heads and labels of the command line.

## Table heads

head-movement = movement
head-sets = sets
head-rest = rest
head-ramp = ramp
head-reps = reps
head-leave = leave
head-points = points
head-why = why
head-weekly-sets = weekly sets
head-direct = direct
head-shared = shared
head-total = total
head-aim = aim
head-days = days
head-week = week
head-reserve = reserve
head-set = set
head-load = load
head-each-side = each side, from the inside
head-off = off
head-on = on
head-id = id
head-name = name
head-region = region
head-major = major
head-base-group = base group
head-pattern = pattern
head-trains = trains
head-source = source
head-stand-in = stand-in
head-when = when
head-still-to-do = still to do
head-equation = equation
head-estimate = estimate
head-made-for = made for
word-yes = yes

## The plan

day-head = { $day }: { $movements }
in-turn = { $n ->
    [one] { $n } set in turn with { $letter }
   *[other] { $n } sets in turn with { $letter }
}
day-foot = { $used } of { $minutes } minutes; { $general } general warm-up
day-foot-ankles = { $used } of { $minutes } minutes; { $general } general warm-up, { $ankles } ankle mobility
week-minutes = { $minutes } minutes a week. { $claim }
why-day = Why, { $day }
volume-below-minimum = below the minimum
volume-below-target = below the target
volume-above = above the range
volume-note = Shared work counts as half a set, by the convention that Pelland et al. (2025) found to fit best; the evidence spreads around it. Aim: minimum, target, most.
week-build = build
week-peak = peak, as above
week-deload = deload (common practice)
leave-one = leave { $reserve }
leave-range = leave { $low }-{ $high }
plan-not-medical = Not medical advice. Pain, illness and limits belong to licensed care; the rules of the place and whoever supervises it come first. Learn the bail-out of a lift before its first set: plinth catalogue ID.

## Loads

loads-head = Loads of the first session ({ $day }, week 1)
load-from-best = { $made } ({ $how }; { $percent } % of about { $maximum }, from { $load } x { $reps } with { $reserve } left)
load-made = wanted { $wanted }, made { $made }
load-find = no recent best: try { $reps } repetitions at { $loads } in turn; stop at the first set that leaves fewer than { $reserve }, or when the form changes
load-body-mass = body mass
load-band = a band that leaves the reserve asked
load-bar = { $bar } ({ $kit }): { $moves } disc moves on each side; loading each set heaviest first takes { $greedy }.
load-kit-yours = your kit
load-kit-invented = a usual gym's discs, invented
set-ramp = ramp, { $reps } repetitions
set-work = work
set-work-reps = work, { $reps } repetitions
discs-none = empty bar
discs-on-blocks = { $discs } (raise the bar on blocks)
estimate-range = About { $middle }; the equations say { $lowest } to { $highest }. An estimate is not a maximum to try.
route-proved = { $moves } disc moves on each side (no route has fewer); heaviest first takes { $greedy }. The sides never differ by more than { $imbalance }: load and strip them in turn, or the bar tips.
route-unproved = { $moves } disc moves on each side (the kit is too varied to prove the fewest); heaviest first takes { $greedy }. The sides never differ by more than { $imbalance }: load and strip them in turn, or the bar tips.

## A programme adapted

adapted-least = { $n ->
    [one] { $n } difference from the published programme. No adaptation changes less.
   *[other] { $n } differences from the published programme. No adaptation changes less.
}
adapted-perhaps = { $n ->
    [one] { $n } difference from the published programme. A smaller change may exist.
   *[other] { $n } differences from the published programme. A smaller change may exist.
}
adapted-day = { $day }, { $difference }
adapted-line = { $day }, { $movement }: { $difference }

## The catalogue

catalogue-count = { $n ->
    [one] { $shown } of { $n } movement, catalogue { $version }.
   *[other] { $shown } of { $n } movements, catalogue { $version }.
}
page-pattern = Pattern
page-joints = Joints
page-kit = Kit
page-asks = Asks of
page-caution = Caution
page-bail-out = Bail-out
page-set-up = Set-up
page-cue = Cue
page-fault = Fault
page-range = Range
page-breathing = Breathing
page-easier = Easier
page-harder = Harder
page-source = Source
page-or = { $first }; or { $next }
page-floor = floor
asks-little = { $region } (a little)
asks-much = { $region } (a good deal)
asks-most = { $region } (very much)
asks-nothing = no region in particular
share-direct = direct
share-indirect = indirect
occasion-discomfort = sore { $region }
occasion-ankle = ankles lack bend
occasion-imbalance = sides differ
occasion-busy = station taken
occasion-equipment = kit missing
occasion-alone = training alone
occasion-emphasis = more { $muscle }
occasion-regression = easier
occasion-progression = harder
occasion-pairing = goes with the session
occasion-lateral = as good

## The session in the terminal.
floor-cli-wide = Enter: { $label }
floor-cli-leave = Leave; the session stays open
floor-cli-open = The session stays open: the same command goes on with it.
floor-cli-dial = Call { $number }.
floor-cli-dial-local = Call the local emergency number.
floor-cli-recovered = The record was damaged: { $kept } entries are kept, { $lost } are lost, and the damaged file lies at { $aside }.
floor-cli-backup = Before the record was brought to this version it was copied to { $to }.
floor-cli-unread = An entry of the record cannot be used, and stays in it: { $what }

## The record

record-brief = The brief was taken into the record.
record-programme = The programme was taken on; its first day is { $day }.
record-exported = { $n ->
    [one] One entry was written to { $to }.
   *[other] { $n } entries were written to { $to }.
}
record-exported-sets = { $n ->
    [one] One set was written to { $to }.
   *[other] { $n } sets were written to { $to }.
}
record-imported = { $taken ->
    [one] One entry was taken
   *[other] { $taken } entries were taken
}; { $changed } changed the record.
record-refused = line { $line }, entry { $entry }, field { $field }: { $reason }; { $remedy }.
record-refused-count = { $n ->
    [one] one entry was refused; the others were taken. Mend it in the file and import it again.
   *[other] { $n } entries were refused; the others were taken. Mend them in the file and import it again.
}
record-check-good = { $n ->
    [one] One entry, and it agrees with its digest; the sums agree.
   *[other] { $n } entries, and each agrees with its digest; the sums agree.
}
record-check-bad = the record is damaged: { $fault }; run any command on it again: what is good is recovered, and the damaged file is kept beside it.
record-backup = { $n ->
    [one] A backup with one entry was written to { $to }.
   *[other] A backup with { $n } entries was written to { $to }.
}
record-restored = { $n ->
    [one] The backup stands at { $to }, with one entry.
   *[other] The backup stands at { $to }, with { $n } entries.
}
record-replaced = What was there before lies at { $aside }.
record-key = These words open your sealed backups. They are shown this once and kept nowhere here: write them down, away from this device.
record-sealed = { $n ->
    [one] A sealed backup with one entry was written to { $to }.
   *[other] A sealed backup with { $n } entries was written to { $to }.
}
record-opened = The backup was opened to { $to }; "plinth record restore" puts it in a record's place.
record-erased = Everything was erased.

## The host, and a sync with it

head-account = account
head-role = role
head-devices = devices
head-device = device
head-paired = paired
head-heard = heard
head-revoked = revoked
host-serves-own = Listening on { $at } with a certificate of its own. Devices call { $address } and take exactly the certificate { $fingerprint }, which each invitation names.
host-serves-public = Listening on { $at } with the certificate that was given. Devices call { $address }.
host-serves-proxy = Listening on { $at } without encryption, behind a proxy that has to speak TLS. Devices call { $address }.
host-serves-plain = Listening on { $at } without encryption, for this machine alone. Devices on it call { $address }.
host-metrics = What the host counts stands at http://{ $at }/metrics.
host-new-store = The store is new beside a ledger of earlier days: every device has to pair anew. What was erased stays erased.
host-older-store = The store is an older copy of itself. It has a new epoch, so that every device offers again what it has; revocations, withdrawn grants and erasures of the ledger hold.
host-no-ledger = The ledger is not this store's: { $why }. Every token and every grant was revoked and the store has a new epoch: pair every device anew.
host-ledger-aside = The ledger that was there lies at { $aside }.
host-invited = One device pairs with this line for the account { $account }, within ten minutes. Whoever has the line can: hand it over in person.
host-revoked = The device { $device } was revoked.
host-erased = The account { $account } was erased. A lifter's own devices keep what they have.
host-backup = A backup was written to { $to }. Keep the ledger apart from it: it must never be put back.
host-backup-dated = A backup was written to { $to }, with the ledger as it is now beside it. Entries: { $entries }, accounts: { $accounts }.
host-backups-thinned = { $n ->
    [one] One older backup was taken away.
   *[other] { $n } older backups were taken away.
}
host-restored = { $from } was checked and a copy of it put in place. Entries: { $entries }, accounts: { $accounts }.
host-restore-aside = The store that was there lies at { $aside }.
host-restore-ledger-taken = The ledger that was given is in place. What was revoked, withdrawn or erased after it was copied is not in it: look through the devices and grants.
host-restore-ledger-stays = The ledger that was here says as much as the one that was given, and stays.
host-restore-follows = At its next start the host takes a new epoch: every device offers again what it has. What the ledger says was revoked, withdrawn or erased stays so.
host-restore-revokes = No ledger goes with it: { $why }. At its next start the host revokes every token and every grant, and every device has to pair anew. Where a copy of the ledger was kept beside the backup, restore once more with --ledger FILE first.
host-restore-bad = the backup is damaged: { $fault }; nothing was changed: take another backup.
host-check-good = { $n ->
    [one] One entry, and it agrees with its digest; the sums are right.
   *[other] { $n } entries, and each agrees with its digest; the sums are right.
}
host-check-bad = the store is damaged: { $fault }; end the host, then mend it with `plinth host check STORE --mend`, or put the newest backup in its place with `plinth host restore`: the devices bring back what is lacking.
host-mended = The store was damaged. Entries that are good: { $kept }; entries that are lost here: { $lost }. The damaged store lies at { $aside }.
host-mend-made-again = These accounts had lost their own rows and were made again as lifters' accounts: { $accounts }. Where one was a coach's, invite the coach under another name.
host-mend-grants = What was withdrawn could not be read: no grant counts until its lifter writes it anew.
host-mend-unreadable = nothing of the store can be read: { $fault }; put the newest backup in its place with `plinth host restore`: the devices bring back what the backup lacks.
sync-together = Both sides hold the same. Sent: { $sent }, received: { $received }.
sync-apart = Both sides do not hold the same yet. Sent: { $sent }, received: { $received }, set aside by the host: { $aside }.

## The demo house, which opens in a terminal without a command

demo-making = Making a demo house: a coach's desk with five lifters who are invented, each with training that a small model simulates.
demo-open = The desk is open, on this machine alone. One press signs in: { $with-code }
demo-code = Or sign in at { $address } with the code { $code }. A code counts once, and for ten minutes.
demo-another = For another one, in another terminal: { $command }
demo-ends = Ctrl-C ends it, and takes away all that it wrote.
demo-kept = Ctrl-C ends it. What it wrote stays in { $folder }.
demo-lifter = Lifter { $n }
demo-brief = Invented: strength first
demo-note = The last squats felt slow from the bottom. Shall I stay at this load?
host-picture = The QR code of the invitation lies in { $path }. It counts as the line does: remove it once it was read.

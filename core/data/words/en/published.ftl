### The coach's desk: what is published, and groups.

desk-movement = Movement
desk-sets = Sets
desk-rest = Rest
desk-purpose = What it is for
desk-line-purpose = { $kind ->
    [carries] Carries the programme: { $muscles }.
   *[fills] Fills what is left open: { $muscles }.
} { $mark ->
    [keep] It stays; only safety may change it.
   *[may-bend] A stand-in of the same pattern may serve.
}
desk-week = The week at its peak
desk-block = The weeks of the block
desk-block-about = Sets and reps left, week by week
desk-block-week = { $kind ->
    [build] { $n }
    [peak] { $n }, peak
   *[deload] { $n }, deload
}
desk-block-none = rests
desk-block-sets = { $n } ×, { $reserve } left

## What is published

desk-untitled = Untitled
desk-publication = { $title }, version { $version }
desk-published-none = Nothing is published yet. A programme begins in Drafting.
desk-published-begin = To Drafting
desk-published-sent = { $n ->
    [0] Sent to nobody yet.
    [one] Sent to one lifter.
   *[other] Sent to { $n } lifters.
}
desk-published-on = Published on { $day }.
desk-publish = Publish
desk-publish-about = It becomes version { $version }, as it stands below. A version that is published is changed no more; who trains by an earlier one goes on with it until they take this one on.
desk-publish-title = Title
desk-publish-do = Publish version { $version }

## To whom it goes

desk-send = To lifters here
desk-send-about = It lies in their records then, and waits. Each phone says what it would change and why, and each lifter decides. A session under way keeps its version.
desk-send-nobody = No lifter here lets you write programmes. They do so in their Locker.
desk-send-whom = To whom
desk-send-do = Send to those chosen
desk-send-never = has none of its versions
desk-send-waits = version { $version } waits at theirs
desk-send-runs = trains by version { $version }
desk-send-runs-since = trains by version { $version }, taken on on { $day }
desk-send-aside = version { $version } was put aside
desk-send-ended = version { $version } is over
desk-send-gone = version { $version } was sent, and is not there any more
desk-send-changes = What changes for { $who }
desk-changes = What changes for { $who }
desk-changes-about = This is what their phone would change in it, as far as you are granted to know:
desk-changes-none = Nothing: it fits as it is, as far as you are granted to know.
desk-changes-unknown = Not known here: the log and discomforts are not both granted. Their phone says it to the lifter.
desk-changes-sent = It was sent, and waits for the lifter.
desk-changes-send = Send it to { $who }

## Ways without this host

desk-ways = To everybody else
desk-ways-about = A phone takes the file, or the texts of the pictures, in its Locker under Record.
desk-way-file = The signed file
desk-way-pictures = A sequence of pictures
desk-way-sheet = The sheet for the wall
desk-key = Signed with the key { $key }. Say it aloud where somebody doubts that a file is yours.
desk-picture = Picture { $k } of { $n }
desk-pictures-about = { $n ->
    [one] Any reader of QR codes reads this one.
   *[other] Any reader of QR codes reads these { $n }, in any order.
} Put the text on lines of its own into one file; the phone takes it as the programme, and names what is missing.
desk-sheet-print = Each day is a leaf of its own when it is printed.
desk-sheet-head = { $name }. About { $minutes } minutes, with { $warm } of easy movement first.
desk-sheet-rest = Rest { $time }.
desk-sheet-stand-ins = Where the place is taken: { $which }.
desk-sheet-caution = Stop at pain, dizziness or pressure in the chest, and get help; call the local emergency number in an emergency. Safeties set, collars on, a spotter where a bar could pin you. What a clinician or this house says stands above this sheet. Not medical advice.

## Groups

desk-groups = Groups
desk-groups-about = A group chooses lifters when something is sent. It opens nothing to you that they have not granted.
desk-group = Group
desk-group-everybody = everybody
desk-group-show = Show
desk-group-new = A new group
desk-group-name = What it is called
desk-group-members = Who is in it
desk-group-keep = Keep it
desk-group-delete = Delete { $name }

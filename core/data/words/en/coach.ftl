### What comes from a coach, and what is told to one.

sent-waits = A programme waits for you: { $title }
sent-untitled = A programme waits for you
sent-from = From { $from }, made on { $date }.
sent-from-version = From { $from }, version { $version }, made on { $date }.
sent-from-file = From a file, of { $date }.
sent-signed = The file is signed by { $by } with the key { $key }. The name is what the signer wrote; only the key is proved. If you doubt it, have the key read aloud to you.
sent-changes = What this phone would change
sent-changes-none = Nothing: it fits as it is.
sent-changes-about = To fit your kit, minutes, limits and what hurts, as they are today:
sent-nothing-left = Nothing of it is left for you as things stand today. Tell your coach.
sent-before = The programme that you train by ends on the day before. What you did by it stays.
sent-begins = From which day?
sent-from-today = Today
sent-from-monday = Monday, { $date }
sent-take-on = Take it on
sent-taken-on = Taken on from { $date }.
sent-aside = Put it aside
sent-aside-sure = Yes, put it aside
sent-put-aside = Put aside: { $title }.
sent-kept = The programme is kept. It waits on the page of the week until this session is closed.
sent-week = What your week would be
week-next = From { $date }: { $title }.
week-next-untitled = Another programme begins on { $date }.

## Notes

pages-notes = Notes
notes-about = Whom you let write notes can write to you here; whom you show sessions and sets reads what you write. A note is no way to get help: at warning signs stop, and call for help.
notes-write = Write a note
notes-none = There are no notes yet.
notes-new = Not read yet
notes-earlier = Earlier
notes-unread = { $n ->
    [one] One note that you have not read yet
   *[other] { $n } notes that you have not read yet
}
notes-one = Note
notes-by-coach = From a coach
notes-by-guardian = From the guardian
notes-by-you = From you
notes-read-on = read on { $date }
notes-not-read = not read yet
notes-mark = I have read it
notes-remove = Take it back
notes-remove-sure = Yes, take it back
notes-removed = Taken back. Who has read it has read it.
notes-written = Kept. It goes out with the next sync.
notes-written-here = Kept in your record. It goes to nobody while no server is paired.

## Who looked

pages-audit = Who has looked
audit-as-of = As of { $date }, { $time }. What came later is told at the next sync.
audit-none = Nothing was told yet.
audit-no-host = Only a server can tell, and none is paired. Nobody sees a record that stays on this device.
audit-at = { $date }, { $time }: { $told }.
audit-line = { $kind ->
    [paired] { $who } paired the device { $what }
    [renewed] { $who } renewed the key of { $what }
    [revoked] { $who } revoked { $what }
    [read] { $who } read: { $what }
    [wrote] { $who } wrote: { $what }
    [refused] { $who } asked for what no grant allows
   *[other] { $who } did something that this version does not know
}
audit-times = { $told } ({ $n } times)

### The pages of the places besides the floor.

place-floor = Floor
place-week = Week
place-catalogue = Catalogue
place-findings = Findings
place-locker = Locker

page-back = Back
page-refused-session = A session is open: close it first.
page-refused-gone = That is not there any more.

page-no-week = There is no week yet.
page-make-week = Make a week

pages-catalogue = { $n ->
    [one] One movement
   *[other] { $n } movements
}, to be looked up by pattern, by muscle, by kit, or by what they spare.
pages-by-pattern = By pattern
pages-by-muscle = By muscle trained directly
pages-by-kit = By kit
pages-by-limit = By what they spare
pages-movements = { $n ->
    [one] one movement
   *[other] { $n } movements
}
pages-sparing = Sparing: { $region }
pages-labelled = { $what }: { $text }
pages-share = share
pages-in-catalogue = What the catalogue says of it
pages-bests = Most yet for so many reps

pages-tally-note = Direct sets stand in full; a shared set counts a half (Pelland et al. 2025). The hatched range is the one that the programme was made for.
pages-tally = { $muscle }: { $direct } direct, { $shared } shared; range { $low } to { $high } sets a week.
pages-carries = It carries the programme.
pages-fills = It fills what the carrying movements leave open.
pages-mark-keep = It stays; only safety may change it.
pages-mark-may-bend = A stand-in of the same pattern may serve.
pages-rest = Rest after a set: { $time }
pages-rest-note = Yours for this movement. Never below two minutes after a heavy compound, one minute otherwise.
pages-rest-proposed = As proposed
pages-rest-shorter = { $n } s less
pages-rest-longer = { $n } s more
pages-trains-direct = Trained directly: { $muscles }.
pages-trains-shared = Shared: { $muscles }.

pages-settings = Settings
pages-language = Language
pages-hand = Which hand touches?
pages-hand-note = Where things lie side by side, the nearer side is chosen by it.
hand-right = The right one
hand-left = The left one
pages-backup = Backup
pages-backup-none = There is no key yet. With one, a sealed copy of your record is made every day that you open this.
pages-backup-made = Backups are sealed for your key. Only its words open them.
pages-make-key = Make the key
pages-make-another-key = Make another key
pages-backup-words = Write these words down now, in order. They are shown once and kept nowhere here. Without them nobody opens a backup.
pages-record = Record
pages-record-yours = The record is yours. It leaves this device only when you send it.
pages-give-record = Export the whole record
pages-give-sets = Export the sets as a table
pages-give-programme = Export the programme
pages-take = From a file
pages-take-what = What a file holds is added to the record; entries that are here already stay as they are. You are asked before a programme is taken on.
pages-take-record = Import a record
pages-take-sets = Import sets from a table
pages-take-programme = Take on a programme from a file
pages-choose-folder = Choose the folder for the sealed copies
pages-restore-head = From a sealed copy
pages-restore-what = A sealed copy takes the place of the record here, once you have written the 24 words of its key. The record that it replaces is kept aside.
pages-restore = Restore from a sealed copy
pages-check = Check every entry
pages-checked = { $n ->
    [one] One entry, in order.
   *[other] { $n } entries, all in order.
}
head-against = standing

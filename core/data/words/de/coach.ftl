### Was von Betreuenden kommt, und was ihnen gesagt wird.

sent-waits = Ein Programm wartet auf dich: { $title }
sent-untitled = Ein Programm wartet auf dich
sent-from = Von { $from }, vom { $date }.
sent-from-version = Von { $from }, Fassung { $version }, vom { $date }.
sent-from-file = Aus einer Datei, vom { $date }.
sent-signed = Die Datei ist signiert von { $by } mit dem Schlüssel { $key }. Der Name ist, was dort geschrieben wurde; bewiesen ist nur der Schlüssel. Im Zweifel lass ihn dir vorlesen.
sent-changes = Was dieses Telefon daran ändern würde
sent-changes-none = Nichts: Es passt, wie es ist.
sent-changes-about = Damit es heute zu deinen Geräten, deiner Zeit, deinen Grenzen und Beschwerden passt:
sent-nothing-left = So wie es heute steht, bleibt davon nichts für dich übrig. Sag es der Person, die dich betreut.
sent-before = Das Programm, nach dem du trainierst, endet am Tag davor. Was du damit gemacht hast, bleibt.
sent-begins = Ab welchem Tag?
sent-from-today = Heute
sent-from-monday = Montag, { $date }
sent-take-on = Übernehmen
sent-taken-on = Übernommen ab { $date }.
sent-aside = Weglegen
sent-aside-sure = Ja, weglegen
sent-put-aside = Weggelegt: { $title }.
sent-kept = Das Programm ist behalten. Es wartet auf der Seite der Woche, bis diese Einheit geschlossen ist.
sent-week = Was deine Woche wäre
week-next = Ab { $date }: { $title }.
week-next-untitled = Ab { $date } beginnt ein anderes Programm.

## Notizen

pages-notes = Notizen
notes-about = Wem du Notizen erlaubst, kann dir hier schreiben; wem du Einheiten und Sätze zeigst, liest, was du schreibst. Eine Notiz holt keine Hilfe: Bei Warnzeichen hör auf und ruf Hilfe.
notes-write = Eine Notiz schreiben
notes-none = Noch gibt es keine Notizen.
notes-new = Noch nicht gelesen
notes-earlier = Früher
notes-unread = { $n ->
    [one] Eine Notiz, die du noch nicht gelesen hast
   *[other] { $n } Notizen, die du noch nicht gelesen hast
}
notes-one = Notiz
notes-by-coach = Von der Person, die dich betreut
notes-by-guardian = Von Sorgeberechtigten
notes-by-you = Von dir
notes-read-on = gelesen am { $date }
notes-not-read = noch nicht gelesen
notes-mark = Ich habe sie gelesen
notes-remove = Zurücknehmen
notes-remove-sure = Ja, zurücknehmen
notes-removed = Zurückgenommen. Wer sie gelesen hat, hat sie gelesen.
notes-written = Behalten. Sie geht mit dem nächsten Abgleich hinaus.
notes-written-here = In deiner Aufzeichnung behalten. Sie geht an niemanden, solange kein Server gekoppelt ist.

## Wer hineingesehen hat

pages-audit = Wer hineingesehen hat
audit-as-of = Stand: { $date }, { $time }. Was danach kam, sagt der nächste Abgleich.
audit-none = Noch wurde nichts gesagt.
audit-no-host = Das kann nur ein Server sagen, und keiner ist gekoppelt. Eine Aufzeichnung, die auf diesem Gerät bleibt, sieht niemand.
audit-at = { $date }, { $time }: { $told }.
audit-line = { $kind ->
    [paired] { $who } hat das Gerät { $what } gekoppelt
    [renewed] { $who } hat den Schlüssel von { $what } erneuert
    [revoked] { $who } hat { $what } gesperrt
    [read] { $who } hat gelesen: { $what }
    [wrote] { $who } hat geschrieben: { $what }
    [refused] { $who } wollte, was nicht erlaubt ist
   *[other] { $who } hat getan, was diese Version nicht kennt
}
audit-times = { $told } ({ $n } Mal)

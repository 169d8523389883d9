### The pages of the locker that ask something: the brief, the screening, the profile, limits and kit.

## What is typed

typed-save = Merken
typed-note-date = Geschrieben als 3.5.2026 oder 2026-05-03.
typed-note-mass = Eine Zahl wie 72,5; eine Einheit darf folgen.
typed-unit = Einheit einer Masse, die ohne eine geschrieben ist
typed-empty = { $what }: nichts geschrieben; schreib etwas, oder lass es, wie es ist.
typed-long = { $what }: { $n } Zeichen sind zu viele; schreib höchstens { $most }.
typed-control = { $what }: darin sind Zeichen, die man nicht zeigen kann; schreib einfachen Text.
typed-date = { $what }: "{ $text }" ist kein Tag; schreib ihn als 3.5.2026 oder 2026-05-03.
typed-future = { $what }: { $date } liegt noch vor dir; schreib einen Tag bis heute.
typed-mass = { $what }: "{ $text }" ist keine Masse; schreib eine Zahl wie 72,5 oder eine mit Einheit wie 160 lb.
typed-body-mass = { $what }: das geht nicht; schreib eine Masse von { $low } bis { $high } kg.
typed-telephone = { $what }: "{ $text }" ist keine Telefonnummer; schreib ihre Ziffern, etwa 112.
answer-yes = Ja
answer-no = Nein

## The brief

pages-brief = Woraus die Woche gemacht wird
brief-intro = Mit diesen Antworten kannst du anfangen. Ändere, was bei dir anders ist.
brief-change = Erst ändern, woraus sie gemacht wird
brief-days = Trainingstage in der Woche
brief-minutes = Minuten für eine Einheit
brief-minutes-each = Für jeden Tag: { $minutes }. Eine Wahl hier gilt für alle Tage.
brief-shorter = { $n } min weniger
brief-longer = { $n } min mehr
brief-place = Womit kannst du trainieren?
brief-place-note = Nimm das Nächstliegende; Stücke, Scheiben und Stufen berichtigst du bei den Geräten deiner Orte.
brief-goal = Wofür ist es?
brief-goal-balanced = Von allem etwas
brief-goal-strength = Vor allem Kraft
brief-goal-size = Vor allem Muskelmasse
brief-goal-health = Vor allem Gesundheit
brief-experience = Wie lange trainierst du regelmäßig?
brief-experience-novice = Kürzer als ein halbes Jahr
brief-experience-intermediate = Ein halbes Jahr oder länger
brief-experience-advanced = Drei Jahre oder länger
brief-alone-note = Allein und ohne Ablagen wird keine Langhantel über der Brust geplant.
brief-make-next = Die nächste Woche machen
brief-from-today = Die neue Woche beginnt heute. Was du jetzt verfolgst, endet mit gestern und bleibt in der Aufzeichnung.
body-mass = Körpermasse, wenn du magst

begin-place-nothing = Nur der Boden
begin-place-dumbbells = Kurzhanteln zu Hause
begin-place-home-barbell = Langhantel zu Hause
begin-place-small-gym = Kleines Studio
begin-place-large-gym = Großes Studio
begin-place-gym-in-pounds = Studio in Pfund

locker-keep = Das merken
locker-kept = Gemerkt.
locker-missing = Noch nicht beantwortet: { $what } Beantworte es, dann merke es.
typed-early = { $what }: { $date } liegt vor dem { $after }; schreib einen späteren Tag.
typed-born = { $what }: so alt ist niemand; prüf das Jahr.
step-fewer = { $n } weniger
step-more = { $n } mehr

## Screening

pages-screening = Wann du zuerst ärztlich fragst
screening-why-regular-exercise = Woran ein Körper gewöhnt ist, entscheidet, wie hart er anfangen darf.
screening-why-known-disease = Mit einer davon ist harte Arbeit zuerst eine Frage an Ärztin oder Arzt.
screening-why-signs-or-symptoms = Das können Zeichen einer Krankheit sein, die noch niemand gefunden hat.
screening-outcome = Was deine Antworten raten
screening-source = Logik: { $source }
screening-allowed-none = Noch nichts
screening-allowed-light = Leichte bis mittlere Arbeit
screening-allowed-any = Jede Arbeit
screening-not-held = Das öffnet die Woche nicht: Es ist älter als deine Antworten, oder älter, als so ein Rat gilt. Frag noch einmal.
screening-week-after = Die Woche, der du folgst, bleibt, wie sie ist, bis du die nächste machst.

## Profile

pages-profile = Über dich
profile-intro = Nichts davon ist zum Trainieren nötig. Was du offen lässt, zählt als das Vorsichtigere.
profile-name = Wie willst du genannt werden?
profile-born-on = Wann bist du geboren?
profile-age-of-the-place = Wo du trainierst, ist man erwachsen ab { $age }
profile-age-note = Gesetz oder Haus dürfen mehr als 18 verlangen, nie weniger.
profile-minor = Bist du unter { $age }?
profile-minor-what = Keine schwersten Einzelnen und keine Ziele, Masse zu verlieren; die Körpermasse wird nicht gezeigt. Jede Einheit bestätigt jemand Erwachsenes.
profile-sex = Geschlecht, für die veröffentlichten Punkte
profile-sex-note = Die Punkte sind für Frauen und für Männer getrennt veröffentlicht. Nichts sonst fragt danach.
profile-sex-female = Weiblich
profile-sex-male = Männlich
profile-sex-open = Offen lassen
profile-grant = Die Zustimmung der Sorgeberechtigten
profile-granted = { $by } hat am { $date } dem Training hier zugestimmt.
profile-withdraw = Die Zustimmung wird zurückgenommen
profile-guardian = Name der oder des Sorgeberechtigten
profile-guardian-note = Sie oder er schreibt ihn selbst, hier und persönlich. Es gilt, bis es zurückgenommen wird.
profile-grant-it = Ich stimme dem Training hier zu
profile-emergency = Notrufnummer, wo du trainierst
profile-emergency-note = Der Bildschirm für den Notfall wählt sie, auch ohne Verbindung.

## Limits

pages-limits = Grenzen
limits-intro = Was wegbleibt oder leichter wird. Eine Änderung gilt sofort, auch in der Einheit; die Woche nimmt sie auf, wenn die nächste gemacht wird.
limits-out = Bleibt weg, bis eine Rückkehr oder ärztlicher Rat es zurückgibt: { $regions }
limits-after-surgery = Wird nicht belastet, bis die schriftlichen Grenzen nach der Operation eingetragen sind: { $regions }
limits-breath-why = Mit einem davon wird der Atem nie lange angehalten, und die Hinweise sagen, wie du stattdessen atmest.
limits-blood-pressure = Hoher Blutdruck
limits-heart = Herz
limits-eye = Ein Auge
limits-hernia = Ein Bruch (Hernie)
limits-stiff-ankles = Lassen sich deine Knöchel wenig beugen?
limits-no-lying-on-back = Liegen auf dem Rücken weglassen?
limits-no-lying-on-front = Liegen auf dem Bauch weglassen?
limits-no-long-breath-hold = Langes Anhalten des Atems weglassen?
limits-no-maximal-lifts = Maximale Versuche weglassen?
limits-regions = Alles weglassen, was belastet
limits-regions-note = Ein zweites Antippen nimmt die Region wieder auf.

## What hurts

pages-discomfort = Was weh tut
discomfort-intro = Was du kennst und was leicht ist, erleichtert eine Übung oder setzt eine andere an ihre Stelle. Was neu oder schlimmer ist, beendet sie.
discomfort-another = Etwas anderes tut weh
discomfort-since = Seit { $date }
discomfort-over = Es ist vorbei
discomfort-over-or-care = Es ist vorbei, oder du warst damit in Behandlung
discomfort-of-brief = Steht in dem, woraus die Woche gemacht wird.
discomfort-something-wrong = Für ein Warnzeichen, das jetzt Hilfe braucht, tipp in der Einheit auf "Etwas stimmt nicht", oder ruf Hilfe.

## Operations

pages-surgeries = Operationen
surgery-intro = Nichts belastet die Region, bis die schriftlichen Grenzen eingetragen sind. Eigene Fristen haben wir nicht.
surgery-add = Eine Operation eintragen
surgery-region = Welche Region?
surgery-on = Tag der Operation
surgery-limits = Die schriftlichen Grenzen
surgery-limits-note = Sie zählen als Ganzes: wer sie schrieb, wann, und was sie sagen. Lass alles offen, bis du sie hast.
surgery-limits-entered = Grenzen sind eingetragen.
surgery-limits-missing = Grenzen sind nicht eingetragen: Nichts belastet die Region.
surgery-still-out = Verbieten die Grenzen, die Region zu belasten?
surgery-remove = Diese Operation von der Liste nehmen
surgery-remove-sure = Noch einmal antippen, und sie ist von der Liste: { $region }

## Pregnancy and after a birth

pages-maternity = Schwangerschaft und nach einer Geburt
maternity-intro = Privat und freiwillig: Sag es, oder lass es. Es bleibt auf diesem Gerät, bis du die Aufzeichnung teilst.
maternity-state = Was gilt für dich?
maternity-pregnant = Schwanger
maternity-after-birth = Nach einer Geburt
maternity-none = Keins davon, oder ich sage es nicht
maternity-none-note = Merke es, und was dafür erleichtert war, ist es nicht mehr.
maternity-default = Bis die Grenzen deiner Hebamme, Ärztin oder deines Arztes eingetragen sind, gilt das Vorsichtige: nicht flach liegen, nur leichte bis mittlere Arbeit.
maternity-due-on = Errechneter Tag der Geburt
maternity-birth-on = Tag der Geburt
maternity-advice = Was dir geraten wurde
maternity-review-on = Tag, an dem neu geschaut wird
maternity-lying-flat = Haben sie gesagt, dass du flach liegen darfst?

## Return

pages-return = Rückkehr nach einem Warnzeichen
return-none = Du hast kein Warnzeichen gemeldet.
return-intro = Schreib, wer dir geraten hat, wann, und mit welchen Grenzen. Es wird aufgezeichnet, wie du es schreibst.
return-which = Um welches Warnzeichen geht es?
return-unknown-flag = Ein Warnzeichen, das diese Version nicht kennt
return-record = Die Rückkehr aufzeichnen

## Kit

pages-kits = Geräte deiner Orte
gear-intro = Jeder Ort hat seine eigenen. Was hier steht, entscheidet, welche Übungen und Lasten angeboten werden.
gear-pieces-count = { $n ->
    [one] ein Stück
   *[other] { $n } Stücke
}
gear-add = Einen Ort hinzufügen wie
gear-add-note = Das ist eine Abschrift für den Anfang: Berichtige sie, wie du es vorfindest.
gear-name = Name des Ortes
gear-count = { $n ->
    [0] keine
   *[other] { $n }
}
gear-remove = Wegnehmen: { $place }
gear-remove-sure = Noch einmal antippen, und es ist weg: { $place }
gear-of = Ort: { $place }
gear-pieces = Racks, Bänke und Maschinen
gear-bars = Stangen und Verschlüsse
gear-discs = Scheiben
gear-dumbbells = Kurzhanteln
gear-kettlebells = Kettlebells
gear-stacks = Maschinen mit Gewichtsblock
gear-bands = Widerstandsbänder
gear-pieces-which = Was ist da?
gear-nothing = Noch keine.
gear-there = Was da ist
gear-touch-away = Ein Antippen nimmt eins weg.
gear-add-kettlebell = Masse einer Kettlebell
gear-add-band = Wie nennst du das Band?
gear-bar = { $name }: { $mass }, davon { $n }
gear-bar-mass = Masse von: { $name }
gear-add-bar = Eine Stange hinzufügen
gear-add-bar-note = Sie beginnt mit der üblichen Masse: Wieg sie, oder lies ihr Ende.
gear-bar-barbell = Langhantel
gear-bar-trap = Trap-Bar
gear-bar-curl = Curlstange
gear-bar-padded = Gepolsterte Kniebeugenstange
gear-bar-guided = Geführte Stange
gear-bar-sled = Schlitten
gear-bar-handle = Kurzhantelgriff
gear-collars = Beide Verschlüsse zusammen wiegen
gear-disc = { $n ->
    [one] { $mass }: eine Scheibe
   *[other] { $mass }: { $n } Scheiben
}
gear-disc-wide = So breit wie die breiteste
gear-disc-wide-note = Gezählt sind alle Scheiben, nicht die je Seite. Mit den breitesten liegt eine Stange am Boden auf ihrer üblichen Höhe.
gear-add-disc = Masse einer neuen Scheibe, als Paar
gear-row = { $from } bis { $to }, je { $step } weiter
gear-row-heavier = Endet eine Stufe schwerer
gear-row-lighter = Endet eine Stufe leichter
gear-row-shortest = Es ist nur noch eine Masse übrig: Nimm stattdessen die Reihe weg.
gear-row-falls = Das Schwerste liegt unter dem Leichtesten: Schreib das Leichteste zuerst.
gear-in-pairs = Paarweise
gear-away = Wegnehmen
gear-add-row = Eine Reihe Kurzhanteln hinzufügen
gear-row-from = Leichteste Masse
gear-row-to = Schwerste Masse
gear-row-step = Von einer zur nächsten
gear-add-stack = Eine Maschine hinzufügen
gear-stack-machine = Welche Maschine?
gear-any-machine = Jede Maschine, die nicht aufgeführt ist
gear-add-on = Kleines Gewicht für den Block: { $machine }
gear-add-on-off = Die { $mass } obenauf wegnehmen

## Record

record-erase = Löschen
record-erase-note = Das nimmt für immer alles von diesem Gerät: Aufzeichnung, Antworten, Programme. Was ein Trainer oder ein Server bekommen hat, bleibt dort, bis du es dort löschst. Gib vorher aus, was du behalten willst.
record-erase-all = Alles löschen
record-erase-sure = Noch einmal antippen, und alles auf diesem Gerät ist gelöscht: Aufzeichnung, Antworten, Programme

## Privacy

pages-privacy = Was wo gespeichert ist
privacy-here = Auf diesem Gerät
privacy-file = Die ganze Aufzeichnung ist eine Datei im Ordner dieser App: Sätze, Programme, Geräte, Einstellungen.
privacy-answers = Was du zu Gesundheit, Schwangerschaft, Operationen und Alter antwortest, steht in derselben Datei und in den Kopien davon, von denen unten die Rede ist.
privacy-device = Die Datei ist so gut verschlossen wie das Gerät: Gib ihm eine Bildschirmsperre.
privacy-leaves = Was es verlässt
privacy-nothing = Von allein verlässt es nichts.
privacy-sync = Wenn du einen Server koppelst, schickt der Abgleich die Aufzeichnung dorthin und bringt Neues zurück. Wer den Server betreibt, hat eine Kopie.
privacy-coach = Ein Trainer sieht die Teile, die du erlaubst, solange die Erlaubnis steht.
privacy-backup = Wenn du einen Schlüssel machst, wird an jedem Tag, an dem du das öffnest, eine versiegelte Kopie in den Ordner geschrieben, den du wählst. Nur die Wörter des Schlüssels öffnen sie.
privacy-export = Eine Ausgabe geht dorthin, wohin du sie gibst, und ist nicht versiegelt.
privacy-never = Was es nicht gibt
privacy-no-account = Kein Konto, und niemand Drittes, der etwas bekommt.
privacy-no-telemetry = Kein Zählen dessen, was du tust, keine Werbung, kein Bericht über einen Absturz.
privacy-end = Das Ende davon
privacy-erase = Löschen nimmt sofort alles von diesem Gerät. Eine Kopie auf einem Server oder in einer Sicherung wird dort gelöscht.

## Licences

pages-licences = Lizenzen
licences-intro = Plinth steht nach deiner Wahl unter MIT oder Apache-2.0. Die Lizenzen seiner Teile stehen hier im Wortlaut, auf Englisch.
licences-parts = Teile des Kerns
licences-part = Teil
licences-offered = angeboten unter
licences-taken = genommen unter
licences-notice = Vermerk

## Der Server

pages-pairing = Server
pairing-none = Deine Aufzeichnung liegt nur auf diesem Gerät. Mit einem Server liegt sie auch an einem zweiten Ort und kommt auf deine anderen Geräte.
pairing-who = Wer den Server betreibt, etwa dein Studio oder deine Trainerin, gibt dir eine Einladung. Von dort sieht niemand, der dich betreut, etwas davon, solange du es nicht erlaubst.
pairing-invitation = Die Einladung: die Zeile, die mit plinth:pair beginnt
pairing-by-hand = Oder von Hand
pairing-address = Adresse des Servers
pairing-code = Code
pairing-certificate = Fingerabdruck seines Zertifikats, wo einer gezeigt wird
pairing-name = Wie dieses Gerät in deiner Geräteliste heißt
pairing-name-plain = Telefon
pairing-pair = Mit diesem Server koppeln
pairing-read = Die Einladung ist gelesen: { $address }. Kopple, wenn es die Adresse ist, die dir genannt wurde.
pairing-done = Mit { $address } gekoppelt.
pairing-with = Mit { $address } gekoppelt seit { $date }.
pairing-together = Zuletzt abgeglichen am { $date }.
pairing-never = Noch nicht abgeglichen.
pairing-waiting = { $n ->
    [0] Nichts wartet darauf, gesendet zu werden.
    [one] Ein Eintrag wartet darauf, gesendet zu werden.
   *[other] { $n } Einträge warten darauf, gesendet zu werden.
}
pairing-aside-head = Vom Server nicht angenommen
pairing-aside = Diese Einträge bleiben hier, alles andere ist angekommen:
pairing-aside-more = Es gibt noch mehr davon.
pairing-now = Jetzt abgleichen
pairing-metered = Auch über eine Verbindung, die nach Datenmenge kostet?
pairing-metered-note = Sonst wartet der Abgleich auf eine, die das nicht tut.
pairing-part-head = Vom Server trennen
pairing-part-note = Deine Aufzeichnung bleibt hier ganz erhalten. Was der Server hat, bleibt dort, bis du es löschst oder löschen lässt.
pairing-part = Von diesem Server trennen
pairing-part-sure = Ja, von diesem Server trennen
pairing-parted = Dieses Gerät ist mit keinem Server mehr gekoppelt.
pairing-no-form = Einladung: das ist keine; übernimm die ganze Zeile, die dir gezeigt wird. Sie beginnt mit plinth:pair.
pairing-no-address = Adresse: so ruft kein Gerät an; schreibe sie als https://name:port, ohne Pfad.
pairing-no-certificate = Fingerabdruck: das ist keiner; schreibe die 64 Zeichen, die dir gezeigt werden, oder lass ihn weg.
pairing-no-code = Code: das ist keiner; schreibe die Buchstaben und Ziffern, die dir gezeigt werden.
pair-code = der Server hat den Code nicht angenommen
pair-code-remedy = ein Code gilt einmal und zehn Minuten lang; lass dir einen neuen geben
pair-devices = dein Konto hat schon so viele Geräte, wie der Server annimmt
pair-devices-remedy = lass eines sperren, das du nicht mehr benutzt, und dir dann einen neuen Code geben
pair-often = es wurden zu viele Codes versucht
pair-often-remedy = warte einige Minuten und schreibe den Code dann noch einmal
pair-answer = was dort geantwortet hat, spricht nicht wie ein solcher Server
pair-answer-remedy = vergleiche die Adresse mit der, die dir genannt wurde
sync-later = der Server war nicht erreichbar oder hat viel zu tun
sync-later-remedy = nichts geht verloren; es wird von selbst noch einmal versucht
sync-token = der Server kennt dieses Gerät nicht mehr
sync-token-remedy = trenne dich vom Server und kopple dich mit einer neuen Einladung
sync-old = dieses Programm ist zu alt für den Server
sync-old-remedy = aktualisiere dieses Programm; bis dahin bleibt alles auf diesem Gerät
sync-protocol = der Server hat so geantwortet, dass dieses Programm es nicht lesen kann ({ $code })
sync-protocol-remedy = versuche es später noch einmal; bleibt es so, sag dem Betreiber des Servers, welche Versionen beide Seiten haben

## Whom the record is opened to

pages-grants = Wer deine Aufzeichnung sieht
grants-none = Deine Aufzeichnung steht niemandem offen: Niemand, der dich betreut, sieht etwas davon.
grants-standing = Offen für
grants-over = Nicht mehr
grants-add = Für jemanden öffnen, der dich betreut
grants-host = Was du hier erlaubst, änderst oder zurücknimmst, gilt bei { $address }, sobald deine Aufzeichnung damit abgeglichen ist.
grants-no-host = Eine Erlaubnis wirkt nur über einen Server, mit dem deine Aufzeichnung gekoppelt ist. Ohne ihn kannst du eine Datei weitergeben.
grants-minor = Solange du minderjährig bist, gilt eine Erlaubnis nur, während die Zustimmung der Sorgeberechtigten zum Training steht, und die Körpermasse wird nie gezeigt. Ein Server geht nach dem Tag deiner Geburt und nach 18 Jahren: Trag ihn ein unter "Über dich".
grants-no-guardian = Die Zustimmung der Sorgeberechtigten fehlt. Bis sie unter "Über dich" gegeben ist, kann niemandem etwas geöffnet werden.
grant-reads = Liest: { $what }.
grant-writes = Schreibt: { $what }.
grant-log = Einheiten und Sätze
grant-findings = woraus Befunde werden
grant-discomfort = was weh tut
grant-body-mass = Körpermasse und andere Maße
grant-screening = die Antworten zur Gesundheit
grant-programmes = Programme
grant-notes = Notizen
grant-unknown = Sie erlaubt auch etwas, das diese Version nicht kennt. Auch das endet, wenn du sie zurücknimmst.
grant-since = Seit dem { $date }.
grant-begins = Ab dem { $date }.
grant-until-day = Bis zum Ende des Tages: { $date }.
grant-open-end = Bis du sie zurücknimmst.
grant-ended = Abgelaufen, letzter Tag: { $date }.
grant-withdrawn = Zurückgenommen am { $date }.
grant-to = Name des Kontos
grant-to-note = Wer dich betreut, weiß, wie das eigene Konto auf dem Server heißt.
typed-account = { $what }: "{ $text }" ist kein Konto; schreib 1 bis 40 von a-z, 0-9 und Bindestrichen, mit keinem am Anfang oder am Ende.
grant-log-ask = Einheiten und Sätze zeigen?
grant-log-note = Alle Einheiten und Sätze mit ihren Notizen, Programme, Geräte und eigene Übungen.
grant-findings-ask = Zeigen, woraus Befunde werden?
grant-findings-note = Von jedem Satz Übung, Last, Menge und Reserve, ohne deine Notizen.
grant-discomfort-ask = Zeigen, was weh tut?
grant-discomfort-note = Beschwerden, Warnzeichen und Rückkehr; zusammen mit Einheiten und Sätzen auch, woraus deine Wochen gemacht sind.
grant-body-mass-ask = Körpermasse zeigen?
grant-body-mass-note = Die Körpermasse und jedes andere Maß des Körpers, auch die Masse bei jeder gezeigten Einheit.
grant-screening-ask = Die Antworten zur Gesundheit zeigen?
grant-screening-note = Alle davon: Vorgeschichte und Anzeichen, Schwangerschaft und Geburt, Operationen, was ärztlich erlaubt ist.
grant-programmes-ask = Dürfen dir Programme geschrieben werden?
grant-programmes-note = Deine Programme werden gesehen und neue geschrieben. Nur du übernimmst eines.
grant-notes-ask = Dürfen dir Notizen geschrieben werden?
grant-notes-note = Sie kommen in deine Aufzeichnung, und es steht dabei, von wem sie sind.
grant-name-too = Mit jedem davon ist auch zu sehen, wie du genannt werden willst.
grant-until = Letzter Tag; leer heißt ohne Ende
grant-until-over = { $what }: { $date } ist vorbei; schreib heute oder einen späteren Tag.
grant-nothing = Noch ist nichts erlaubt: Sag erst zu etwas Ja. Um eine Erlaubnis zu beenden, nimm sie zurück.
grant-give = Öffnen
grant-given = Geöffnet für { $to }.
grant-there = Für { $to } gibt es hier schon eine Seite: Ändere es auf dieser, oder erlaube es wieder.
grant-change = Ändern
grant-again = Wieder erlauben
grant-give-again = Wieder öffnen
grant-withdraw = Jetzt zurücknehmen
grant-withdraw-sure = Ja, zurücknehmen: { $to }
grant-withdrawn-now = Zurückgenommen: { $to }. Was schon gelesen wurde, lässt sich nicht zurückholen.
